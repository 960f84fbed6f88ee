"""What is known of pictures and films: photos.yaml and films.yaml. The pictures themselves lie in photos/."""

from typing import Annotated

from pydantic import Field

from gudgeon.records.base import Record
from gudgeon.records.fields import Date, Id, Line, WebAddress, Words, named
from gudgeon.records.licences import Licence
from gudgeon.records.refs import OperationRef, PersonRef, PhotoName

FilmTime = Annotated[
    str, *named(r"(?:[0-9]{1,2}:)?[0-9]{1,2}:[0-5][0-9]", "minutes and seconds, or hours before them", "4:10")
]


Digest = Annotated[
    str, *named(r"sha256:[0-9a-f]{64}", "the SHA-256 of a file", "sha256: and 64 digits of 0 to 9 and a to f")
]


class PictureWithdrawn(Record):
    """That a picture is no longer to be shown. The history of the repository keeps it all the same."""

    date: Date
    because: Line = Field(alias="why")


class Picture(Record):
    """One picture in photos/, by its file's name."""

    shows: Line = Field(description="What is to be seen, for people who do not see it.")
    caption: Words | None = None
    date: Date | None = None
    by: PersonRef | None = None
    licence: Licence | None = Field(
        default=None, description="SPDX identifier; without it the build's licence for photos counts."
    )
    people: tuple[Line, ...] = Field(default=(), description="Who is seen, by the names that they go by.")
    consent: Line | None = Field(default=None, description="Who of them agreed that it is shown, and when.")
    drawn: Line | None = Field(
        default=None, description="How it was made, where it is no photograph: drawn for the demonstration."
    )
    original: Digest | None = Field(
        default=None, description="Digest of the file as it came from the camera, which is kept elsewhere."
    )
    withdrawn: PictureWithdrawn | None = None

    @property
    def lacks_consent(self) -> bool:
        """Whether people are seen and nothing says that they agreed."""
        return bool(self.people) and not (self.consent or "").strip()

    @property
    def may_be_shown(self) -> bool:
        """Whether it is shown on the site, in feeds and in the book."""
        return self.withdrawn is None and not self.lacks_consent


class PicturesFile(Record):
    """photos.yaml"""

    photos: dict[PhotoName, Picture]


class Chapter(Record):
    """A place in a film."""

    at: FilmTime
    shows: Line
    operation: OperationRef | None = None


class Film(Record):
    """A film that stands elsewhere: the site shows a card with its link, and loads nothing."""

    title: Line
    poster: PhotoName | None = None
    length: FilmTime
    link: WebAddress
    date: Date | None = None
    by: PersonRef | None = None
    chapters: tuple[Chapter, ...] = ()


class FilmsFile(Record):
    """films.yaml"""

    films: dict[Id, Film]
