"""Cuts: what came off, as it was done. They are added to, never changed: each one ends a state of the metal."""

from typing import Annotated, Any

from pydantic import Discriminator, Field, Tag, model_validator

from gudgeon.records.base import Record
from gudgeon.records.fields import Date, DepthOfCut, Feed, Id, Length, Line, TimeOfDay, Words, up_to
from gudgeon.records.refs import CutRef, FeatureRef, MachineRef, OperationRef, PersonRef
from gudgeon.records.withdrawals import key_of_entry, model_chosen


class Cut(Record):
    """One cut: what the dial was set to take and what came off, both on diameter."""

    id: Id | None = Field(
        default=None, description='Needed where a reading says that it was taken "after_cut", or where it is withdrawn.'
    )
    date: Date
    time: TimeOfDay | None = Field(
        default=None, description="When, on a clock of 24 hours: it tells what was read before."
    )
    of: FeatureRef
    operation: OperationRef | None = Field(default=None, description="The operation that it is a cut of.")
    number: int | None = Field(default=None, alias="pass", ge=1, le=999, description="Which pass of the operation.")
    machine: MachineRef
    asked: DepthOfCut = Field(description="What the dial was set to take; nought for a pass without infeed.")
    got: Annotated[Length, up_to("100 mm")] | None = Field(
        default=None, description="What came off, where it was not read before and after: then it is worked out."
    )
    tool: Line
    feed: Feed = Field(description="Per revolution.")
    by: PersonRef | None = Field(default=None, description="Who made it.")
    note: Words | None = None

    @property
    def label(self) -> str:
        """How it is named to people: by its id, or by its day and what was dialled."""
        if self.id:
            return self.id
        return (
            f"the cut of {self.date} ({self.asked} dialled)" if self.asked.value else f"the spring cut of {self.date}"
        )


class CutWithdrawal(Record):
    """An entry that withdraws a cut, which was entered by mistake: that cut stays, with the reason, and does not count."""

    id: Id | None = None
    withdraws: CutRef = Field(description="The cut that was entered by mistake.")
    because: Words = Field(description="Why it is withdrawn.")
    date: Date
    by: PersonRef
    note: Words | None = None

    @model_validator(mode="before")
    @classmethod
    def _is_no_cut(cls, data: Any) -> Any:
        if key := key_of_entry(Cut, cls, data):
            raise ValueError(
                f'an entry that withdraws a cut is none itself. Take out "{key}", and enter the right cut in a '
                "line of its own."
            )
        return data


CutEntry = Annotated[
    Annotated[Cut, Tag(Cut.__name__)] | Annotated[CutWithdrawal, Tag(CutWithdrawal.__name__)],
    Discriminator(model_chosen(Cut, CutWithdrawal)),
]


class CutsFile(Record):
    """cuts.yaml"""

    cuts: tuple[CutEntry, ...]
