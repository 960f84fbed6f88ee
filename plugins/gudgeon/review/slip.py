"""The review slip as data: what text, Markdown, JSON and SARIF are written from."""

from typing import Annotated, Literal

from pydantic import ConfigDict, Field, model_validator

from gudgeon.assess.findings import Finding, Source
from gudgeon.assess.findings.base import Conformity, State
from gudgeon.records.problems import Where
from gudgeon.records.validation import holds_unseen

# A slip may come back from a stranger's hands: its figures are bounded, so that nobody writes a kilometre of noughts.
Millimetres = Annotated[float, Field(ge=-1e6, le=1e6)]
Degrees = Annotated[float, Field(ge=-1e6, le=1e6)]
Chance = Annotated[float, Field(ge=0, le=1)]
Minutes = Annotated[float, Field(ge=0, le=1e9)]
Figure = Annotated[float, Field(ge=-1e15, le=1e15)]
Units = Literal["in", "mm"]


class LimitingPoint(Finding):
    """The place on one half of a fit that decides."""

    of: str = Field(description="part.feature.")
    station: Millimetres | None = Field(description="Distance along the axis, mm.")
    angle: Degrees | None = Field(description="Degrees.")
    rows: list[str] = Field(description="Readings behind it.")
    source: Source | None = Field(description="Where the first of them stands.")


class FitSnapshot(Finding):
    """How a fit stands in one revision."""

    state: State
    conformity: Conformity | None
    clearance: Millimetres | None = Field(description="At the worst place, mm; negative is interference.")
    expanded: Millimetres | None = Field(description="U, k = 2, mm.")
    want_low: Millimetres | None = Field(description="mm.")
    want_high: Millimetres | None = Field(description="mm.")
    want_from: str
    rule_low: Millimetres | None = Field(description="What the cited rule gives, least, mm.")
    rule_high: Millimetres | None = Field(description="What the cited rule gives, most, mm.")
    chance_out: Chance | None = Field(description="Chance that it is outside what is wanted, 0 to 1.")
    dangerous: Literal["tight", "loose"]
    chance_dangerous: Chance | None = Field(description="Chance that it is outside on the side that hurts, 0 to 1.")
    at: list[LimitingPoint] = Field(description="The limiting places, outer half first.")
    hot_least: Millimetres | None = Field(description="Least clearance over its temperature cases, mm.")
    hot_case: str | None
    look: bool = Field(description="True where somebody should look.")

    @model_validator(mode="after")
    def _is_whole(self):
        if (self.clearance is not None and self.expanded is None) or (self.hot_least is None) != (
            self.hot_case is None
        ):
            raise ValueError("a clearance has its uncertainty, and a least hot its case")
        return self


class Cause(Finding):
    """A record that moved something, as proved: with it put back, and nothing else, the value moves back."""

    record: str = Field(description="What it is and its id, such as: reading a074.")
    says: str = Field(description="What became of it, in words.")
    together_with: list[str] = Field(
        description="Records that had to be put back with it, because it cannot stand alone."
    )
    by: Figure | None = Field(description="How much of the move of the leading value it made, in the unit of its kind.")
    kind: str = Field(default="length", description="Kind of that value: length, or a kind of quantity.")
    expanded_by: Millimetres | None = Field(description="How much of the move of U it made, mm.")
    source: Source | None = Field(description="Where the record stands, or stood.")


class MovedValue(Finding):
    """A value of the ledger that moved."""

    label: str = Field(description="What it is, such as: next ask.")
    kind: str = Field(
        description="Kind of value: length, chance, minutes, state ...; of a calculation the kind of quantity."
    )
    was: Figure | bool | str | list[str] | None = Field(description="In the unit of its kind; lengths in mm.")
    now: Figure | bool | str | list[str] | None


class FitChange(Finding):
    """A fit of which a value moved."""

    build: str
    id: str
    name: str
    units: Units = Field(description="The unit of the build's drawings.")
    was: FitSnapshot | None = Field(description="null where the fit is new.")
    now: FitSnapshot | None = Field(description="null where the fit is gone.")
    alarm: str | None = Field(
        description="What somebody should look at first, in words; null where nothing turned for the worse."
    )
    moved: list[str] = Field(description="The values that moved, by their address below the fit.")
    values: list[MovedValue] = Field(
        default=[], description="Some of them that was and now do not show, the most telling first."
    )
    causes: list[Cause] = Field(description="The changed records that moved it, as proved.")
    unproved: bool = Field(description="True where it was not worked out which of the changed records moved it.")
    source: Source

    @model_validator(mode="after")
    def _stands_somewhere(self):
        if self.was is None and self.now is None:
            raise ValueError("a fit that moved stands in one of the two revisions")
        return self


class SubjectChange(Finding):
    """Something other than a fit of which a value moved: a feature's size, a calculation, a cut, an operation ..."""

    build: str
    subject: str = Field(description="feature, calculation, cut, danger, operation, instrument ...")
    id: str
    name: str = Field(description="What it is called.")
    units: Units = Field(description="The unit of the build's drawings.")
    is_new: bool
    is_gone: bool
    alarm: str | None = Field(
        description="What somebody should look at first, in words; null where nothing turned for the worse."
    )
    limits: tuple[Millimetres, Millimetres] | None = Field(
        default=None, description="Of a size: its own limits, where it has some, mm."
    )
    held_against: MovedValue | None = Field(default=None, description="Of a danger: its limit.")
    quiet: bool = Field(
        default=False,
        description="True where only what moves with any record moved: what a sum takes, how many rows a gauge has, the day.",
    )
    values: list[MovedValue] = Field(description="The values that tell it, the most telling first.")
    more: int = Field(description="How many further values of it moved.")
    causes: list[Cause]
    unproved: bool = Field(description="True where it was not worked out which of the changed records moved it.")
    source: Source | None


class IdleRecord(Finding):
    """A record that differs and moves no number and no standing."""

    build: str | None = Field(description="null for one that all builds share.")
    record: str
    says: str
    text: bool = Field(description="Whether a text that the pages show differs with it.")
    source: Source | None


class Caution(Finding):
    """A caution that is new, cleared or removed."""

    build: str
    kind: str = Field(description="Kind of suspected mistake, the caution that watches a figure, or hot.")
    about: str
    says: str
    source: Source | None


class Earlier(Finding):
    """What was read at a place before."""

    row: str
    reads: str = Field(description="As written.")
    date: str
    by: str
    size: Millimetres | None = Field(description="Size at 20 °C, mm.")


class NewReading(Finding):
    """A reading that was added."""

    build: str
    units: Units
    row: str
    of: str
    reads: str = Field(description="As written.")
    size: Millimetres | None = Field(description="Size at 20 °C, mm; null without both temperatures.")
    station: str | None = Field(description="As written.")
    angle: str | None = Field(description="As written.")
    gauge: str
    by: str
    date: str
    temperatures: str | None = Field(description="Of part and gauge, as written.")
    status: str | None = Field(description="What became of it; null where the build was not worked out.")
    before: Earlier | None = Field(description="What was read at the same place before.")
    supersedes: str | None
    source: Source


class StaleReading(Finding):
    """A reading that counted before and counts no more."""

    build: str
    row: str
    of: str
    status: str
    why: str
    source: Source


class WorkChange(Finding):
    """Work to go of one build."""

    build: str
    was: Minutes | None = Field(description="Expected minutes of everything open; null where the build is new.")
    now: Minutes = Field(description="The same now.")
    ready: list[str] = Field(description="Operations that can start now and could not before.")
    no_longer_ready: list[str] = Field(description="Operations, still open, that could start before and cannot now.")


class Verdict(Finding):
    """A person's verdict that was added to reviews.yaml."""

    build: str
    units: Units
    date: str
    who: str
    verdict: str
    about: list[str]
    says: str
    allow: tuple[Millimetres, Millimetres] | None = Field(description="Of a concession: what is let stand, mm.")
    ends: str | None = Field(description="Of a concession: when it ends, in words.")
    committed_by: str | None = Field(
        description="Who committed it, where that is somebody else than the person who speaks; null where it is he, or not known."
    )
    source: Source


class ToldOtherwise(Finding):
    """A tied number of an instalment that is new or edited, which the records of its day do not say."""

    build: str
    instalment: str
    says: str = Field(description="As it is written.")
    about: str = Field(description="What it is tied to, such as: fit A-F01.")
    why: str = Field(description="What the records of that day say of it, in words.")
    source: Source
    column: int


class WithdrawnElsewhere(Finding):
    """Something brought that was withdrawn where it came from."""

    build: str | None = Field(description="Of which records count on it; null where it is told for the whole shelf.")
    says: str
    used_by: list[str] = Field(description="The fits and parts of the build that count on it.")


BlockerKind = Literal[
    "record",
    "tool",
    "reading edited",
    "reading removed",
    "reading id twice",
    "verdict edited",
    "verdict removed",
    "cut edited",
    "cut removed",
    "cut id twice",
    "withdrawn twice",
    "merge conflict",
]


class Blocker(Finding):
    """Something that has to be put right before this is merged."""

    kind: BlockerKind
    build: str | None
    says: str = Field(description="What is wrong and what to do.")
    file: str
    line: int
    column: int

    @classmethod
    def at(cls, kind: BlockerKind, build: str | None, says: str, where: Where) -> "Blocker":
        """Something to put right, at a place in a file."""
        return cls(kind=kind, build=build, says=says, file=where.file, line=where.line, column=where.column)


class Newer(Finding):
    """What another version of the tool brings with it, changes or no longer has: a rule, a caution, a key of a record ..."""

    what: str = Field(description="rule, caution, material, family, key ...")
    id: str
    change: Literal["new", "changed", "withdrawn"]
    own: bool = Field(description="True where the club has a file of its own in its place, which holds.")


class ReviewSlip(Finding):
    """What moved between two revisions."""

    model_config = ConfigDict(frozen=False)  # it is filled build by build

    format: Literal["gudgeon-review-2"] = "gudgeon-review-2"
    base: str = Field(description="What it was compared with, in words.")
    head: str = Field(description="What was looked at, in words.")
    files: int = Field(description="Files of records that differ.")
    other_files: list[str] = Field(
        description="Files outside the records that differ: code, settings, workflows, words."
    )
    assessed: list[str] = Field(description="Builds that were worked out for this in both revisions, or that are new.")
    not_worked_out: list[str] = Field(
        description="Builds of which nothing is said: their records have problems, the tool failed on them, or they were left."
    )
    notes: list[str] = Field(description="What could not be compared, and why.")
    blockers: list[Blocker]
    readings: list[NewReading]
    fits: list[FitChange]
    subjects: list[SubjectChange] = Field(description="What else moved: sizes, calculations, cuts, times ...")
    cautions_new: list[Caution]
    cautions_cleared: list[Caution] = Field(
        description="What no longer holds although what watches for it is still there."
    )
    cautions_removed: list[Caution] = Field(
        description="What is no longer watched for: its caution, fit or case is gone."
    )
    cautions_reworded: list[Caution] = Field(description="Shared cautions that say something else.")
    stale: list[StaleReading]
    work: list[WorkChange]
    reviews: list[Verdict] = Field(description="Verdicts of people that were added.")
    told_otherwise: list[ToldOtherwise] = Field(
        default=[], description="Numbers of new or edited instalments that the records of their day do not say."
    )
    withdrawn_elsewhere: list[WithdrawnElsewhere] = Field(
        default=[],
        description="What builds count on and was withdrawn where it was brought from; advice, and no error.",
    )
    idle: list[IdleRecord] = Field(description="Records that differ and move no number.")
    newer: list[Newer] = Field(
        default=[], description="Between two versions of the tool: what the head brings, changes or no longer has."
    )
    moved: int = Field(description="How many values of the ledgers differ; text not counted.")

    @model_validator(mode="before")
    @classmethod
    def _nothing_unseen(cls, given):
        """Refuse characters that steer a terminal or turn the direction of writing, wherever they stand."""
        if holds_unseen(given):
            raise ValueError("a character that cannot be seen stands in it.")
        return given

    @property
    def new_builds(self) -> int:
        """How many builds are new, so that nothing of them could move."""
        return sum(1 for change in self.work if change.was is None)

    @property
    def nothing_moved(self) -> bool:
        """Whether the ledgers are equal: everything that could be reached was worked out, and no value differs."""
        return not (
            self.moved
            or self.new_builds
            or self.blockers
            or self.notes
            or self.not_worked_out
            or self.fits
            or self.subjects
        )

    @property
    def empty(self) -> bool:
        """Whether there is nothing at all to tell."""
        return self.nothing_moved and not any(
            (self.readings, self.stale, self.work, self.reviews, self.idle, self.other_files, self.files)
        )
