"""The club's bibliography: works in CSL-JSON, an open standard, as far as citations here need it."""

import json
from pathlib import Path
from typing import TYPE_CHECKING, Annotated, Any, Literal

from pydantic import BaseModel, ConfigDict, Field, ValidationError

from gudgeon.records.build_file import Basis
from gudgeon.records.fields import Id, Line
from gudgeon.records.plain_data import is_list, is_map
from gudgeon.records.problems import Problems, Where, nearest, shown
from gudgeon.records.yaml_text import read_text

Year = Annotated[int, Field(ge=1, le=2199)]
Part = Annotated[int, Field(ge=1, le=31)]
TYPES = (
    "article", "article-journal", "article-magazine", "article-newspaper", "bill", "book", "broadcast", "chapter", "dataset",
    "document", "entry", "entry-dictionary", "entry-encyclopedia", "figure", "graphic", "interview", "legislation", "manuscript",
    "map", "motion_picture", "pamphlet", "paper-conference", "patent", "periodical", "personal_communication", "post",
    "post-weblog", "regulation", "report", "review", "software", "speech", "standard", "thesis", "webpage",
)  # fmt: skip

# A type checker reads a plain word here; which words there are stands above, once.
if TYPE_CHECKING:
    WorkType = str
else:
    WorkType = Literal[TYPES]


BIBLIOGRAPHY = "sources/bibliography.json"  # below a shelf
CslEntry = dict[str, Any]  # a work as its file has it; `Work` says which keys one has


class _Csl(BaseModel):
    model_config = ConfigDict(extra="forbid", strict=False)


class Name(_Csl):
    """A person or a body."""

    family: Line | None = None
    given: Line | None = None
    literal: Line | None = None
    suffix: Line | None = None


class Day(_Csl):
    """A date: year, month, day."""

    date_parts: Annotated[
        list[tuple[Year] | tuple[Year, Part] | tuple[Year, Part, Part]], Field(min_length=1, max_length=2)
    ] = Field(alias="date-parts")


class Ground(_Csl):
    """Ours: on what ground the work stands here."""

    basis: Basis | None = None


class Work(_Csl):
    """One work, in CSL-JSON."""

    id: Id
    type: WorkType
    title: Line
    author: Annotated[list[Name], Field(max_length=20)] = []
    editor: Annotated[list[Name], Field(max_length=20)] = []
    issued: Day | None = None
    accessed: Day | None = None
    number: Line | None = None
    publisher: Line | None = None
    publisher_place: Line | None = Field(default=None, alias="publisher-place")
    container_title: Line | None = Field(default=None, alias="container-title")
    collection_title: Line | None = Field(default=None, alias="collection-title")
    genre: Line | None = None
    edition: Line | int | None = None
    volume: Line | int | None = None
    issue: Line | int | None = None
    page: Line | None = None
    URL: Annotated[str, Field(pattern=r"^https?://[^\s\"'<>]{1,500}$")] | None = None
    DOI: Line | None = None
    ISBN: Line | None = None
    ISSN: Line | None = None
    language: Line | None = None
    note: Annotated[str, Field(max_length=2000)] | None = None
    custom: Ground | None = None


def read_bibliography(path: Path, file: str, problems: Problems) -> dict[str, CslEntry] | None:
    """Key -> work, as its file has it; None where the file cannot be read. A work that is not sound is a problem, and is left
    with its title alone."""
    if not path.exists():
        return {}
    text = read_text(path, file, problems)
    if text is None:
        return None
    try:
        entries = json.loads(text)
        if not is_list(entries) or not all(is_map(entry) and isinstance(entry.get("id"), str) for entry in entries):
            raise ValueError
    except (ValueError, RecursionError) as error:
        problems.add(
            Where(file, getattr(error, "lineno", 1), getattr(error, "colno", 1)),
            "",
            "this is not a CSL-JSON list of entries, each with an id.",
        )
        return None
    works: dict[str, CslEntry] = {}
    for entry in entries:
        key = entry["id"]
        where = Where(file, text.count("\n", 0, max(text.find(f'"id": {json.dumps(key, ensure_ascii=False)}'), 0)) + 1)
        if key in works:
            problems.add(where, shown(key), "this work stands twice in the bibliography. Keep one.")
            continue
        said = faults(entry)
        if said:
            problems.add(where, shown(key), said)
            entry = {"id": key, "type": "document", "title": shown(entry.get("title", key))}
        works[key] = entry
    return works


def faults(entry: CslEntry) -> str | None:
    """What is wrong with a work, in words; None where nothing is."""
    try:
        Work.model_validate(entry)
    except ValidationError as error:
        first = error.errors()[0]
        at = ".".join(str(step) for step in first["loc"] if not str(step).startswith("tuple[")) or "the work"
        if first["type"] == "extra_forbidden":
            known = [field.alias or name for name, field in Work.model_fields.items()]
            return f'unknown key "{shown(at)}".{nearest(at, known)}'
        if first["type"] == "missing":
            return f'"{shown(at)}" is missing.'
        return f"{shown(at)} is not as CSL-JSON has it ({shown(first['msg'], 100)}). Found {shown(str(first.get('input')))}."
    return None
