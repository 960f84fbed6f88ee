"""Findings of how work stands in the lathe: offset and tilt, and which jaw by how much."""

from pydantic import Field

from gudgeon.assess.findings.base import Angle, Count, Day, Finding, Flag, Length, Name, Note, Ratio, Words


class SetUpSection(Finding):
    """Where the centre of one section stands."""

    key = ("station",)

    station: Length | None = Field(description="mm.")
    offset: Length = Field(
        description="How far its centre is off the lathe's axis, mm: half of what follows once a turn."
    )
    direction: Angle = Field(description="Toward which angle it is off, degrees: the high side.")
    expanded: Length | None = Field(description="U of the offset, mm; null where no indicator is named.")
    told: Flag = Field(description="Whether the offset is more than U, and more than what it leaves unexplained.")
    left: Length | None = Field(
        description="Root mean square of what the offset does not explain, mm: out of round, slips of reading."
    )


class JawMove(Finding):
    """What one jaw of an independent chuck has to do."""

    key = ("jaw",)

    jaw: Count
    angle: Angle = Field(description="Where it grips, degrees.")
    move: Length = Field(description="How far in, mm; negative is let out.")


class SetUpFinding(Finding):
    """How work was held, and how true it ran."""

    operation: Name = Field(
        description="The operation that it was set up for; another one of the same holding can take it over."
    )
    date: Day
    held: Words
    zero: Words | None
    indicator: Name | None
    valid: Flag = Field(description="Whether it still holds: the holding was not broken since.")
    sections: tuple[SetUpSection, ...]
    tilt: Ratio | None = Field(description="How much the offset changes along the axis, length over length.")
    tilt_direction: Angle | None = Field(description="Toward which angle it leans as the station grows, degrees.")
    jaws: tuple[JawMove, ...] = Field(
        description="Of a chuck with four jaws that are set each on its own, at the first section."
    )
    missing: tuple[Note, ...]
