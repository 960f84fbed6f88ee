"""A list of clubs that share: a plain file that is handed on, and put on the shelf as docs/knowledge/clubs.yaml."""

from typing import Annotated, Literal, get_args

from pydantic import Field

from gudgeon.records.base import Record
from gudgeon.records.fields import Line, named
from gudgeon.records.licences import Licence


class ClubThatShares(Record):
    """A club, and where the list of what it offers lies."""

    name: Line
    index: Annotated[
        str,
        *named(
            r"(?:https://[A-Za-z0-9.-]{1,200}(?::[0-9]{1,5})?/|(?!/))(?:[A-Za-z0-9._~%+-]{1,100}/){0,20}index\.json",
            "the address of a list of what a club offers, or its path from this file",
            "https://example.org/share/index.json",
        ),
    ]
    licence: Licence | None = Field(default=None, description="Of most of what it offers.")
    language: (
        Annotated[str, *named(r"[A-Za-z]{2,8}(?:-[A-Za-z0-9]{1,8}){0,4}", "a language by its tag", "en-GB")] | None
    ) = Field(default=None, description="That its texts are in, by its tag (BCP 47).")
    digest: (
        Annotated[str, *named(r"sha256:[0-9a-f]{64}", "the SHA-256 of the list", "sha256: and 64 digits")] | None
    ) = Field(default=None, description="Of its list, where the list is to be just that one.")


class ClubsFile(Record):
    """clubs.yaml"""

    format: Literal["gudgeon-clubs-1"]
    clubs: tuple[ClubThatShares, ...] = Field(max_length=500)


CLUBS_FORMAT: str = get_args(ClubsFile.model_fields["format"].annotation)[0]
