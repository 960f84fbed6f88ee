"""The running log, running.yaml, and what has to be done after hours of running (upkeep in build.yaml)."""

from typing import Annotated, Any

from pydantic import Discriminator, Field, Tag, model_validator

from gudgeon.records.base import Record
from gudgeon.records.fields import Date, Id, Line, Time, Words, Worked, up_to
from gudgeon.records.refs import OperationRef, PartRef, PersonRef, RunRef, UpkeepRef
from gudgeon.records.withdrawals import key_of_entry, model_chosen


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

    id: Id | None = Field(default=None, description="Needed only where another run of the same day is withdrawn.")
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

    @property
    def names(self) -> set[str]:
        """By what it can be withdrawn: its day, and its id where it has one."""
        return {self.date.isoformat(), *([self.id] if self.id else [])}


class RunWithdrawal(Record):
    """An entry that withdraws a run, which was entered by mistake: that run stays, with the reason, and its hours do not count."""

    id: Id | None = None
    withdraws: RunRef = Field(
        description="The run that was entered by mistake: its id, or its day where one run alone is of it."
    )
    because: Words = Field(description="Why it is withdrawn.")
    date: Date
    by: PersonRef
    note: Words | None = None

    @model_validator(mode="before")
    @classmethod
    def _is_no_run(cls, data: Any) -> Any:
        if key := key_of_entry(Run, cls, data):
            raise ValueError(
                f'an entry that withdraws a run is none itself. Take out "{key}", and enter the right run in a line '
                "of its own."
            )
        return data


RunEntry = Annotated[
    Annotated[Run, Tag(Run.__name__)] | Annotated[RunWithdrawal, Tag(RunWithdrawal.__name__)],
    Discriminator(model_chosen(Run, RunWithdrawal)),
]


class RunningFile(Record):
    """running.yaml"""

    runs: tuple[RunEntry, ...]
