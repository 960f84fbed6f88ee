"""Operations: what is done to parts, in which order, and what each one changes."""

from typing import Annotated

from pydantic import Field, field_validator, model_validator

from gudgeon.records.base import Record
from gudgeon.records.cutting import Cutting
from gudgeon.records.fields import (
    Date,
    FormerIds,
    Id,
    Line,
    PositiveDepth,
    Time,
    Words,
    Worked,
    up_to,
)
from gudgeon.records.refs import ChangeRef, FeatureRef, MachineRef, OperationRef, PartRef, PersonRef
from gudgeon.records.set_up import SetUp

Estimate = tuple[Annotated[Time, up_to("1000 h")], Worked, Worked]  # least, likely, most


class Operation(Record):
    """One operation."""

    part: PartRef
    does: Line
    needs: tuple[OperationRef, ...] = Field(default=(), description="Operations that come first.")
    estimate: Estimate | None = Field(default=None, description="Least, likely and most time.")
    took: Worked | None = Field(
        default=None, description="Time that it took; while it is not done, that was worked at it so far."
    )
    by: PersonRef | None = Field(
        default=None, description="Who does it; without it whoever is free of those who share the work."
    )
    kind: Line | None = Field(
        default=None,
        description="Kind of work in a word, such as turning or casting: estimates are corrected by kind once enough are done.",
    )
    done: Date | None = Field(default=None, description="The day it was finished.")
    changes: tuple[ChangeRef, ...] = Field(
        default=(), description="Features it moves: part.feature, or part.* for all."
    )
    presses: tuple[FeatureRef, ...] = Field(
        default=(), description="Features it joins for good: their last sizes are frozen, not stale."
    )
    holding: Id | None = Field(
        default=None, description="Operations of one holding must follow each other without unchucking."
    )
    jaws: int | None = Field(
        default=None, ge=2, le=6, description="Jaws of the chuck that held it: three can leave three lobes."
    )
    leaves: PositiveDepth | None = Field(
        default=None,
        description="Left on for later operations on each diameter that it cuts: on the diameter, as diameters are dimensioned (30 thou is 15 a side). Its cuts are planned down to that.",
    )
    wait: Time | None = Field(default=None, description="Time that passes with nobody at work once it is done.")
    wait_before: Time | None = Field(
        default=None,
        description="Time that passes with nobody at work between what it needs and its start: soak, delivery.",
    )
    machine: MachineRef | None = Field(default=None, description="The lathe it is done on.")
    cutting: Cutting | None = None
    cutting_of: dict[FeatureRef, Cutting] = Field(
        default={}, description="The same for one feature of several, where it is cut otherwise."
    )
    set_up: SetUp | None = Field(
        default=None, description="How the work was held for it and where the indicator ran; its holding shares it."
    )
    hold_point: bool = Field(
        default=False, description="Somebody competent looks before it: readings of its part must be fresh."
    )
    rework: Words | None = None
    note: Words | None = None
    formerly: FormerIds = ()

    @field_validator("estimate")
    @classmethod
    def _estimate_rises(cls, estimate: Estimate | None) -> Estimate | None:
        if estimate is not None and not estimate[0].value <= estimate[1].value <= estimate[2].value:
            told = ", ".join(str(time) for time in estimate)
            rising = ", ".join(str(time) for time in sorted(estimate, key=float))
            raise ValueError(f"an estimate is least, likely, most. Found {told}. Write [{rising}].")
        return estimate

    @model_validator(mode="after")
    def _waits_from_something(self) -> "Operation":
        if self.wait_before is not None and not self.needs:
            raise ValueError('"wait_before" counts from what an operation needs. Write "needs: [...]" beside it.')
        return self

    @model_validator(mode="after")
    def _leaves_once(self) -> "Operation":
        if self.leaves is not None and self.cutting is not None and self.cutting.leave_on is not None:
            raise ValueError('"leaves" and "leave_on" under "cutting" say the same. Keep "leaves".')
        return self


class OperationsFile(Record):
    """operations.yaml"""

    operations: dict[Id, Operation]
