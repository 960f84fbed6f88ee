"""The head of an instalment, log/<nn>-<title>.md; its text is read by `instalment_text.py`."""

from typing import Annotated

from pydantic import Field

from gudgeon.records.base import Record
from gudgeon.records.fields import Date, FormerFile, Line, WebAddress
from gudgeon.records.refs import AboutRef, PersonRef, PhotoName

FormerTitles = Annotated[
    tuple[FormerFile, ...],
    Field(max_length=20, description="Names that its file had before, without .md: their addresses lead here."),
]


class Cost(Record):
    """What an instalment cost."""

    time: Line | None = None
    scrap: Line | None = None
    rework: Line | None = None


class Correction(Record):
    """Something that was put right in an instalment after its day."""

    date: Date = Field(description="The day on which it was put right.")
    what: Line = Field(
        description="What was wrong, and what is right, in words: it stands at the head of the instalment."
    )


class Instalment(Record):
    """The head of log/<nn>-<title>.md, between two lines of three hyphens."""

    number: int = Field(ge=0, le=9999)
    title: Line
    date: Date
    by: PersonRef
    about: tuple[AboutRef, ...] = Field(
        default=(), description="Fits, parts or features that it tells of: their pages link to it."
    )
    lead: PhotoName | None = Field(default=None, description="The picture that stands at its head, in lists and cards.")
    cost: Cost | None = Field(default=None, description="What it cost, in words.")
    corrected: tuple[Correction, ...] = Field(
        default=(), max_length=50, description="What was put right in it after its day, told at its head."
    )
    formerly: FormerTitles = ()
    discuss: WebAddress | None = Field(
        default=None, description="Where it is talked about, such as the forge's issue of this instalment."
    )
    photos: tuple[PhotoName, ...] = Field(default=(), description="Pictures that stand below the text.")
    photos_taken: int | None = Field(default=None, ge=0, le=100_000)
