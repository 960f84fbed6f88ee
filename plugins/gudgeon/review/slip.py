"""The review slip as data: what text, Markdown, JSON and SARIF are written from."""

from typing import Annotated, Literal

from pydantic import ConfigDict, Field, model_validator

from gudgeon.assess.findings import Finding, Source
from gudgeon.assess.findings.base import Conformity, State
from gudgeon.records.problems import Where
from gudgeon.records.yaml_text import UNSEEN

# A slip may come back from a stranger's hands: its figures are bounded, so that nobody writes a kilometre of noughts.
Millimetres = Annotated[float, Field(ge=-1e6, le=1e6)]
Degrees = Annotated[float, Field(ge=-1e6, le=1e6)]
Chance = Annotated[float, Field(ge=0, le=1)]
Minutes = Annotated[float, Field(ge=0, le=1e9)]


class At(Finding):
    """The place on one half of a fit that decides."""

    of: str = Field(description="part.feature.")
    station: Millimetres | None = Field(description="Distance along the axis, mm.")
    angle: Degrees | None = Field(description="Degrees.")
    rows: list[str] = Field(description="Readings behind it.")
    source: Source | None = Field(description="Where the first of them stands.")


class Standing(Finding):
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
    at: list[At] = Field(description="The limiting places, outer half first.")
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


class FitChange(Finding):
    """A fit whose numbers moved."""

    build: str
    id: str
    name: str
    units: Literal["in", "mm"] = Field(description="The unit of the build's drawings.")
    was: Standing | None = Field(description="null where the fit is new.")
    now: Standing | None = Field(description="null where the fit is gone.")
    causes: list[str] = Field(description="The changed records that reach it.")
    source: Source

    @model_validator(mode="after")
    def _stands_somewhere(self):
        if self.was is None and self.now is None:
            raise ValueError("a fit that moved stands in one of the two revisions")
        return self


class Caution(Finding):
    """A caution that is new or cleared."""

    build: str
    kind: str = Field(description="Kind of slip, the caution that watches a figure, or hot.")
    about: str
    says: str
    source: Source | None


class NewReading(Finding):
    """A reading that was added."""

    build: str
    row: str
    of: str
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


class Line(Finding):
    """A person's verdict that was added to reviews.yaml."""

    build: str
    date: str
    who: str
    verdict: str
    about: list[str]
    says: str
    source: Source


class Trouble(Finding):
    """Something that has to be put right before this is merged."""

    kind: Literal["record", "reading edited", "reading removed", "reading id twice"]
    build: str | None
    says: str = Field(description="What is wrong and what to do.")
    file: str
    line: int
    column: int

    @classmethod
    def at(cls, kind: str, build: str | None, says: str, where: Where) -> "Trouble":
        """A trouble at a place in a file."""
        return cls(kind=kind, build=build, says=says, file=where.file, line=where.line, column=where.column)


class ReviewSlip(Finding):
    """What moved between two revisions."""

    model_config = ConfigDict(frozen=False)  # it is filled build by build

    format: Literal["gudgeon-review-1"] = "gudgeon-review-1"
    base: str = Field(description="What it was compared with, in words.")
    head: str = Field(description="What was looked at, in words.")
    files: int = Field(description="Files of records that differ.")
    assessed: list[str] = Field(description="Builds that the edit can reach, and that were worked out for it.")
    notes: list[str] = Field(description="What could not be compared, and why.")
    troubles: list[Trouble]
    readings: list[NewReading]
    fits: list[FitChange]
    cautions_new: list[Caution]
    cautions_cleared: list[Caution]
    stale: list[StaleReading]
    work: list[WorkChange]
    reviews: list[Line] = Field(description="Verdicts of people that were added.")

    @model_validator(mode="before")
    @classmethod
    def _nothing_unseen(cls, given):
        """Refuse characters that steer a terminal or turn the direction of writing, wherever they stand."""
        waiting = [given]
        while waiting:
            each = waiting.pop()
            if isinstance(each, str) and UNSEEN.search(each):
                raise ValueError("a character that cannot be seen stands in it.")
            if isinstance(each, (list, tuple)):
                waiting += each
            elif isinstance(each, dict):
                waiting += [*each, *each.values()]
        return given

    @property
    def empty(self) -> bool:
        """Whether nothing moved."""
        return not any(
            (
                self.troubles,
                self.notes,
                self.readings,
                self.fits,
                self.cautions_new,
                self.cautions_cleared,
                self.stale,
                self.work,
                self.reviews,
            )
        )
