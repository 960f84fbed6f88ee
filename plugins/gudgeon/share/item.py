"""What travels: one rule, caution, material or part family with its texts, its licence and the sources that it cites."""

import hashlib
import re
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from typing import Any, Literal

from pydantic import BaseModel, ConfigDict, Field, model_validator

from gudgeon.records.base import Record
from gudgeon.records.fields import ID, Id, Line
from gudgeon.records.knowledge import SHARED_KINDS, Rule, SharedKind
from gudgeon.records.licences import terms_of
from gudgeon.records.model import Knowledge
from gudgeon.records.shared_files import digest_of, files_of
from gudgeon.records.validation import holds_unseen

TITLES = {"rule": "says", "caution": "hazard", "material": "name", "family": "name"}  # the field that names one
CITES = ("source", "density_source", "stiffness_source")


class SharedItem(BaseModel):
    """The file that travels."""

    model_config = ConfigDict(extra="forbid")

    format: Literal["gudgeon-share-1"] = "gudgeon-share-1"
    kind: SharedKind
    id: Id
    title: Line
    club: Line = Field(description="Who gives it, or gave it first.")
    licence: Line = Field(description="SPDX identifier.")
    origin: Line | None = Field(description="Where it was brought from, where the giver brought it too.")
    was_called: Id | None = Field(
        default=None, description="Its id with the club that gave it first, where it has another one now."
    )
    files: dict[str, str] = Field(description="Path below docs/knowledge/ -> text, as it stands.")
    sources: list[dict[str, Any]] = Field(description="CSL-JSON of the works that it cites.")
    rests_on: dict[Id, Line] = Field(
        default={},
        description="Rule whose result it takes -> digest of that rule's record: another one gives other numbers.",
    )

    @model_validator(mode="before")
    @classmethod
    def _nothing_unseen(cls, given: Any) -> Any:
        """What is said of it is shown in terminals and stands in origins.yaml. Its files are read as records are."""
        if isinstance(given, dict) and holds_unseen({key: value for key, value in given.items() if key != "files"}):
            raise ValueError("a character that cannot be seen stands in it.")
        return given


@dataclass(frozen=True)
class Offered:
    """An item as the site offers it."""

    item: SharedItem
    path: str
    digest: str
    content: bytes


def digest_of_bytes(content: bytes) -> str:
    """The digest that pins a file."""
    return f"sha256:{hashlib.sha256(content).hexdigest()}"


def offered(shelf: Knowledge, made: Iterable[SharedItem] = ()) -> list[Offered]:
    """Everything of the club's own that may be given away: nothing without docs/knowledge/sharing.yaml, and of what was brought
    only what is unchanged, under the licence it came with, where that lets it be passed on. What came with the tool every club
    has. made: what is put together from builds, such as outcomes."""
    if shelf.sharing is None or shelf.folder is None:
        return []
    taken_back = {f"{notice.kind} {notice.id}" for notice in shelf.sharing.withdrawn}
    items = [_offered(item) for item in made if f"{item.kind} {item.id}" not in taken_back]
    for kind, name, title, records in _things(shelf):
        key = f"{kind} {name}"
        origin = shelf.origins.get(key)
        if shelf.whose.get(key) == "package":
            continue
        if key in shelf.changed_here or key in taken_back:
            continue  # whose words they are now is for people to say
        files = files_of(shelf, kind, name)
        if not files or (origin and (origin.is_of_tool or not terms_of(origin.licence).pass_on)):
            continue
        works = {work for record in records for work in cited(record)}
        item = SharedItem(
            kind=kind,
            id=name,
            title=title[:300],
            club=origin.club if origin else shelf.sharing.club,
            licence=origin.licence if origin else shelf.sharing.licence,
            origin=origin.came_from if origin else None,
            was_called=origin.was_called if origin else None,
            files=files,
            sources=[shelf.sources[work] for work in sorted(works) if work in shelf.sources],
            rests_on={
                other: digest_of(files_of(shelf, "rule", other))
                for record in records
                for other in sorted(record.rests_on if isinstance(record, Rule) else ())
            },
        )
        items.append(_offered(item))
    return items


def _offered(item: SharedItem) -> Offered:
    # A key that says nothing is left out, so that the digests of most files stay as they were.
    text = item.model_dump_json(indent=1, exclude=set() if item.was_called else {"was_called"})
    content = f"{text}\n".encode()
    return Offered(item, f"share/{SHARED_KINDS[item.kind]}/{item.id}.json", digest_of_bytes(content), content)


def _things(shelf: Knowledge) -> Iterator[tuple[SharedKind, str, str, Iterable[Record]]]:
    """What lies on a shelf: kind, name, what it is in a line, its records."""
    stores: dict[SharedKind, Mapping[str, Record]] = {
        "rule": shelf.rules,
        "caution": shelf.cautions,
        "material": shelf.materials,
        "family": shelf.families,
    }
    for kind, store in stores.items():
        for name, record in store.items():
            yield kind, name, getattr(record, TITLES[kind]), [record]
    for word in shelf.words:
        if re.fullmatch(ID, word.anchor):
            yield "word", word.anchor, word.word, [word]
    yield "habits", "habits", "What the club usually does", []
    yield "judgement", "judgement", "From where on the club looks at something", list(shelf.judgement.values())


def cited(record) -> set[str]:
    """Keys of the works that a record cites."""
    inner = [record, *getattr(record, "others", ()), *getattr(record, "dangers", ())]
    return {key for part in inner for name in CITES if (key := getattr(part, name, None))}
