"""Who works on a build, and when: "people" and "evenings" in build.yaml."""

from typing import Annotated

from pydantic import Field, field_validator

from gudgeon.records.base import Record
from gudgeon.records.fields import Date, FormerIds, Line, PositiveTime, up_to


class Evenings(Record):
    """How much time there is."""

    length: Annotated[PositiveTime, up_to("24 h")] = Field(description="Of one evening at work.")
    a_week: float = Field(ge=0.01, le=7)


class Person(Record):
    """Somebody who works on the build or reviews it."""

    name: Line
    does: Line | None = None
    evenings: Evenings | None = Field(
        default=None, description="When this person works on the build: they share the operations that name nobody."
    )
    away: tuple[tuple[Date, Date], ...] = Field(
        default=(),
        max_length=50,
        description="Days on which this person does nothing on the build: [first, last], on both of them too.",
    )
    commits_as: tuple[Line, ...] = Field(
        default=(), description="Names or addresses under which this person commits, where they differ from the name."
    )
    formerly: FormerIds = ()

    @field_validator("away")
    @classmethod
    def _first_day_first(cls, away: tuple[tuple[Date, Date], ...]) -> tuple[tuple[Date, Date], ...]:
        for first, last in away:
            if last < first:
                raise ValueError(f"days reversed. Found {first} then {last}. Write the first day first.")
        return away
