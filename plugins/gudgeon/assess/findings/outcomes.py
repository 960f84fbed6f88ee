"""Findings of what became of fits that ran, and what rules of thumb have to show for themselves."""

from pydantic import Field

from gudgeon.assess.findings.base import (
    Chance,
    Choice,
    Count,
    Day,
    Finding,
    Flag,
    Length,
    Minutes,
    Name,
    Note,
    Source,
    Table,
    Words,
)


class OutcomeFinding(Finding):
    """What became of a fit or a part after it ran: as somebody said, or still running by the log alone."""

    key = ("about", "since", "outcome")

    about: Name = Field(description="Fit, feature or part.")
    outcome: Name | None = Field(
        description="Id or day of the entry in outcomes.yaml; null where the running log alone tells it."
    )
    result: Choice = Field(description="Such as ran_free or nipped; running where nobody has said more.")
    since: Day | None = Field(
        description="Day of the last work on the halves before it ran so; null where none is written down."
    )
    first: Day = Field(description="The first day on which it ran so, or the day of the entry.")
    last: Day = Field(description="The last day on which it ran so, or the day of the entry.")
    ended: Day | None = Field(description="Day of the work that ended it; null where it has not ended.")
    minutes: Minutes | None = Field(description="How long it ran so; null where that is not known.")
    clearance: Length | None = Field(description="With which it ran, mm at 20 °C; null where that is not known.")
    rule: Name | None = Field(description="The rule of thumb that it followed.")
    counts: Flag = Field(description="Whether it is evidence of that rule.")
    why_not: Note | None = Field(description="Why it is none.")
    load: Words | None
    said_by: Words | None = Field(description="Who said it; null where the running log alone tells it.")
    note: Words | None
    source: Source


class EngineTold(Finding):
    """What became of one engine that followed a rule of thumb."""

    key = ("club", "engine", "fit", "since")

    club: Name
    engine: Words
    result: Choice
    minutes: Minutes | None
    size: Length | None = Field(description="The size that the rule was taken for, mm.")
    clearance: Length | None = Field(description="mm at 20 °C.")
    load: Words | None
    day: Day | None = Field(description="When it was told.")
    year: Count | None = Field(description="Where no more is known of the day.")
    said_by: Words | None
    note: Words | None
    build: Name | None = Field(description="Folder of the build, here or where it was told.")
    fit: Name | None
    since: Day | None
    here: Flag = Field(description="Whether the build is on this site.")


class HeldShare(Finding):
    """How many held of those that tell something, and between which shares the true one lies with 95 %."""

    held: Count
    told: Count
    low: Chance
    high: Chance


class HeldAfter(Finding):
    """The share that had still held after a time, by the product-limit estimate."""

    key = ("minutes",)

    minutes: Minutes
    at_risk: Count = Field(description="How many were watched so long.")
    share: Chance
    low: Chance | None = Field(description="Between which shares the true one lies with 95 %; null where nothing says.")
    high: Chance | None


class ClubEvidence(Finding):
    """What the engines of one club tell of a rule of thumb."""

    key = ("club",)

    club: Name
    counts: Table[str, Count] = Field(description="Result -> engines of which no more is known.")
    told: tuple[EngineTold, ...] = Field(description="Engine by engine.")
    results: Table[str, Count] = Field(
        description="Result -> all of its engines. What ran free for too short a time to prove anything counts as running."
    )
    untimed: Count = Field(description="Of those that ran free, how many of which no hours are known.")
    running_minutes: Minutes = Field(description="How long those still running have run, all together.")
    share: HeldShare | None = Field(description="Null where none tells anything yet.")


class RuleEvidence(Finding):
    """What engines tell of a rule of thumb: club by club, and of all together."""

    key = ("rule",)

    rule: Name
    clubs: tuple[ClubEvidence, ...]
    share: HeldShare | None = Field(description="Of all clubs together; null where none tells anything yet.")
    timed: Count = Field(description="Engines of which it is known how long they ran.")
    timed_minutes: Minutes = Field(description="How long these ran, all together.")
    after: tuple[HeldAfter, ...] = Field(
        description="Of these, after rising times; none where none failed or ran long enough."
    )
