"""Findings of the numbers that the story tells and ties to a fit, a size, a form or a reading."""

from typing import Annotated, Literal

from pydantic import Field

from gudgeon.assess.findings.base import STATE, Choice, Count, Day, Finding, Flag, Length, Name, Names, Source, Words

Verdict = Literal["agrees", "disagrees", "nothing read"]


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
    then: Length | None = Field(description="What the records said, mm; null where nothing had been read of it.")
    read_on: Day | None = Field(default=None, description="The day of the reading that said so.")
    overtaken: Flag = Field(
        default=False, description="Whether something done by the end of that day had moved it since it was read."
    )
    now: Length | None = Field(description="What they say now, mm; null where that is not known.")
    now_read_on: Day | None = Field(default=None, description="The day of the reading that says so.")
    now_state: Choice = Field(description="How the fit, the feature or the reading stands now.")
    gone_since: Names = Field(description="Readings behind it that were withdrawn or put right by now.")
    found_off_since: Names = Field(
        description="Instruments that it was read with and that were found off after that day."
    )
    source: Source
    column: Count = Field(description="Column in its line, from 1.")
