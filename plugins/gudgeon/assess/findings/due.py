"""Findings of what is due: checks of gauges, concessions that end, waits that are over, upkeep after hours of running."""

from typing import Annotated, Literal

from pydantic import Field

from gudgeon.assess.findings.base import STATE, Count, Day, Finding, Minutes, Name, Note, Source


class RunningFinding(Finding):
    """How long the engine has run by its log."""

    runs: Count = Field(description="Entries of the log in which it ran.")
    minutes: Minutes = Field(description="All of them together.")
    last: Day | None = Field(description="The day of the last of them.")


class DueFinding(Finding):
    """Something that is due, was, or will be."""

    key = ("kind", "subject")

    kind: Annotated[Literal["gauge check", "concession", "wait", "upkeep"], STATE]
    subject: Name = Field(description="Id of the instrument, the verdict, the operation or the upkeep.")
    says: Note = Field(description="What it is.")
    state: Annotated[Literal["overdue", "due", "coming", "not yet"], STATE] = Field(
        description="overdue: its day or its hours are past; due: today; coming: later; not yet: nothing counts toward it so far."
    )
    day: Day | None = Field(description="The day on which it is due; null where only hours of running decide.")
    at: Minutes | None = Field(description="Minutes of running at which it is due; null where only a day decides.")
    run: Minutes | None = Field(description="Minutes run so far that count toward it.")
    counts_from: Name | None = Field(default=None, description="The operation that has to be done before any count.")
    source: Source
