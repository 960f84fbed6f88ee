"""What became of fits that ran: outcomes.yaml of a build, and what the shelf holds of engines that are not on this site."""

from typing import Annotated, Any, Literal

from pydantic import Discriminator, Field, Tag, model_validator

from gudgeon.records.base import Record
from gudgeon.records.fields import Clearance, Date, Id, Length, Line, Time, Words, up_to
from gudgeon.records.refs import AboutRef, OutcomeRef, PersonRef, RuleRef
from gudgeon.records.withdrawals import key_of_entry, model_chosen

Result = Literal[
    "ran_free",
    "running",
    "tight",
    "nipped",
    "stuck",
    "seized",
    "knocked",
    "scuffed",
    "worn_out",
    "came_loose",
    "leaked",
]
RAN_FREE: Result = "ran_free"
NO_VERDICT: Result = "running"  # watched so long and nothing wrong; nobody has said more
RESULT_WORDS = (
    "ran_free: it did what it should. running: still at it, or taken apart without a verdict. All others did not hold."
)

HoursRun = Annotated[Time, up_to("200000 h")]
Counts = dict[Result, Annotated[int, Field(ge=0, le=100_000)]]


class Outcome(Record):
    """What became of a fit or a part after it ran, as somebody saw it. Outcomes are added to, never changed."""

    id: Id | None = Field(default=None, description="Needed only where another outcome of the same day is withdrawn.")
    date: Date
    about: AboutRef
    result: Result = Field(description=RESULT_WORDS)
    hours: HoursRun | None = Field(
        default=None,
        description="How long it had run with these sizes. Left out, the running log says so, from the last work on its halves up to the day.",
    )
    clearance: Clearance | None = Field(
        default=None, description="At 20 °C. Left out, it is that of the readings with which it ran."
    )
    rule: RuleRef | None = Field(
        default=None,
        description="The rule of thumb that it is an outcome of. Left out, the one that the fit followed, where its clearance was in the range wanted by it.",
    )
    load: Line | None = Field(default=None, description="What it drove, and how hard.")
    by: PersonRef
    note: Words | None = None

    @property
    def names(self) -> set[str]:
        """By what it can be withdrawn: its day, and its id where it has one."""
        return {self.date.isoformat(), *([self.id] if self.id else [])}


class OutcomeWithdrawal(Record):
    """An entry that withdraws an outcome, which was entered by mistake: that one stays, with the reason, and does not count."""

    id: Id | None = None
    withdraws: OutcomeRef = Field(
        description="The outcome that was entered by mistake: its id, or its day where one outcome alone is of it."
    )
    because: Words = Field(description="Why it is withdrawn.")
    date: Date
    by: PersonRef
    note: Words | None = None

    @model_validator(mode="before")
    @classmethod
    def _is_no_outcome(cls, data: Any) -> Any:
        if key := key_of_entry(Outcome, cls, data):
            raise ValueError(
                f'an entry that withdraws an outcome is none itself. Take out "{key}", and enter the right outcome in a '
                "line of its own."
            )
        return data


OutcomeEntry = Annotated[
    Annotated[Outcome, Tag(Outcome.__name__)] | Annotated[OutcomeWithdrawal, Tag(OutcomeWithdrawal.__name__)],
    Discriminator(model_chosen(Outcome, OutcomeWithdrawal)),
]


class OutcomesFile(Record):
    """outcomes.yaml"""

    outcomes: tuple[OutcomeEntry, ...]


class OutcomeElsewhere(Record):
    """What became of one engine that is not on this site, or of one that another club has told of."""

    rule: RuleRef = Field(description="The rule of thumb that it followed.")
    engine: Line = Field(description="Which engine, in words.")
    result: Result = Field(description=RESULT_WORDS)
    hours: HoursRun | None = Field(default=None, description="How long it had run when this was told.")
    size: Length | None = Field(default=None, description="The size that the rule was taken for.")
    clearance: Clearance | None = Field(default=None, description="At 20 °C.")
    load: Line | None = None
    date: Date | None = Field(default=None, description="The day, where it is known.")
    year: int | None = Field(default=None, ge=1850, le=2200, description="The year, where no more is known.")
    said_by: Line | None = None
    club: Line | None = Field(default=None, description="The engine's club, where it is another than the file's.")
    build: Id | None = Field(default=None, description="Folder of the build on the site where it was told.")
    fit: Id | None = Field(default=None, description="The fit of that build.")
    since: Date | None = Field(default=None, description="The day of the last work on the fit before it ran so.")
    note: Line | None = None

    @model_validator(mode="after")
    def _one_time(self):
        if self.date is not None and self.year is not None:
            raise ValueError('the day says the year too. Take out "year".')
        return self


class ClubOutcomes(Record):
    """docs/knowledge/outcomes/<name>.yaml: what one club tells of engines. The file's name is its id."""

    outcomes: Id
    club: Line = Field(description="Whose engines they are.")
    counts: dict[RuleRef, Counts] = Field(
        default={}, description="Rule -> how many engines came to which result, where no more is known of them."
    )
    told: tuple[OutcomeElsewhere, ...] = Field(default=(), description="Engine by engine.")
