"""Findings of the numbers that the story tells and ties to a fit, a size, a form or a reading."""

from typing import Annotated, Literal

from pydantic import Field

from gudgeon.assess.findings.base import STATE, Choice, Count, Day, Finding, Flag, Length, Name, Names, Source, Words

Verdict = Literal["agrees", "disagrees", "nothing read"]
Unknown = Literal["not read", "in part", "no reading counts", "moved", "withdrawn", "superseded", "held back"]


class NumberTold(Finding):
    """A number in the story beside what the records said at the end of the day of its instalment, and say now."""

    key = ("instalment", "about", "says")

    instalment: Name = Field(description="Its instalment.")
    day: Day = Field(description="The day of the instalment.")
    says: Words = Field(description="The number as it is written.")
    of: Choice = Field(description="What it is tied to: fit, size, form or reading.")
    target: Words = Field(description="What it is tied to, as it is written.")
    about: Name = Field(description="The id that this has now: a fit, part.feature or a reading.")
    station: Length | None = Field(default=None, description="Of a size at one place: the station, mm.")
    form: Choice | None = Field(default=None, description="Of a form: ovality or taper.")
    verdict: Annotated[Verdict, STATE] = Field(
        description="Whether what the records said on that day, rounded to the digits written, is what is written."
    )
    then: Length | None = Field(description="What the records said, mm; null where it was not known.")
    unknown_then: Annotated[Unknown, STATE] | None = Field(
        default=None, description="Why it was not known on that day, or counted no more; null where it counted."
    )
    read_on: Day | None = Field(default=None, description="The day of the reading that said so.")
    first_read_on: Day | None = Field(default=None, description="The first day on which it was known, as read by now.")
    overtaken: Flag = Field(
        default=False,
        description="Whether what the records said counted no more at the end of that day: moved, or its reading withdrawn.",
    )
    cut_withdrawn: Flag = Field(
        default=False, description="Whether what had moved it by that day was a cut that was withdrawn later."
    )
    now: Length | None = Field(description="What they say now, mm; null where that is not known.")
    unknown_now: Annotated[Unknown, STATE] | None = Field(default=None, description="Why it is not known now.")
    now_read_on: Day | None = Field(
        default=None, description="The day of the newest reading behind it, where the number moved to this on that day."
    )
    now_state: Choice = Field(description="How the fit, the feature or the reading stands now.")
    gone_since: Names = Field(description="Readings behind it that were withdrawn or put right by now.")
    gone_moved_it: Flag = Field(
        default=False, description="Whether the number would be another one if they counted still."
    )
    found_off_since: Names = Field(
        description="Instruments that it was read with, found off after that day, and that moved the number."
    )
    source: Source
    column: Count = Field(description="Column in its line, from 1.")

    @property
    def is_right(self) -> bool:
        """Whether the records said so on that day, and what they said still counted then."""
        return self.verdict == "agrees" and not self.overtaken
