"""The running log, running.yaml, and what has to be done after hours of running (upkeep in build.yaml)."""

from typing import Annotated

from pydantic import Field, model_validator

from gudgeon.records.base import Record
from gudgeon.records.fields import Date, Line, Time, Words, Worked, up_to
from gudgeon.records.refs import OperationRef, PartRef, PersonRef, UpkeepRef


class Upkeep(Record):
    """Something to do after so many hours of running, such as tightening the head again."""

    does: Line
    part: PartRef | None = None
    after: tuple[Worked, ...] = Field(
        default=(),
        description="Hours of running after which it is due, each counted from the beginning: after the first 1 h, 10 h, 50 h.",
    )
    every: Worked | None = Field(
        default=None, description="Hours of running from one time to the next, once those of after are past."
    )
    since: OperationRef | None = Field(
        default=None,
        description="Hours count from the day on which this operation is done; until then none do. Without it all runs count.",
    )
    said: Line | None = Field(
        default=None, alias="from", description="Where the hours come from: a maker, a book, a habit."
    )

    @model_validator(mode="after")
    def _is_due_some_time(self) -> "Upkeep":
        if not self.after and self.every is None:
            raise ValueError('nothing says when it is due. Write "after: [1 h, 10 h]" or "every: 10 h".')
        hours = [float(point) for point in self.after]
        if hours != sorted(set(hours)):
            raise ValueError('the hours under "after" rise. Write the least first, each once.')
        return self


class Run(Record):
    """One run of the engine, or a day's work on it without one (hours: 0 min)."""

    date: Date
    hours: Annotated[Time, up_to("1000 h")] = Field(
        description="How long it ran, such as 40 min or 1.5 h; 0 min where it was only seen to."
    )
    load: Line | None = Field(default=None, description="What it drove, and how hard.")
    oil: Line | None = Field(default=None, description="Which oil, how many drops.")
    noticed: Words | None = Field(default=None, description="Sounds, heat, smoke, leaks, how it stopped.")
    did: tuple[UpkeepRef, ...] = Field(
        default=(), description="What of the build's upkeep was done after it: then its hours count anew."
    )
    by: PersonRef | None = None


class RunningFile(Record):
    """running.yaml"""

    runs: tuple[Run, ...]
