"""Walks the models along a build's data: every value with its place, the field that holds it, and what kind of thing it is."""

import functools
import re
from collections.abc import Iterator
from dataclasses import dataclass
from typing import Any, Literal, get_args, get_origin

from fuzz.whole_builds import Files
from gudgeon.records.base import Record
from gudgeon.records.figures import FIGURES
from gudgeon.records.parts import FEATURE_KINDS
from gudgeon.records.record_files import BUILD_FILES
from gudgeon.records.refs import Ref
from pydantic import WithJsonSchema

Path = tuple[Any, ...]


@dataclass(frozen=True)
class Leaf:
    """One value of a build's data.

    kind: a kind of quantity, or "day", "time of day", "expansion", "readings", "word", "truth", "whole", "number", "text",
    "id", or "name of" something. owner, field: the record and its field. choices: the words that it may be.
    """

    file: str
    path: Path
    value: Any
    kind: str
    owner: str
    field: str
    choices: tuple[str, ...] = ()


@functools.cache
def model_of(file: str) -> type[Record]:
    """The model of a file below a build's folder."""
    for record_file in BUILD_FILES:
        pattern = re.sub(r"<[^>]*>", "[^/]+", record_file.name.split(",")[0].replace(".", r"\."))
        if re.fullmatch(pattern, file):
            return record_file.model
    raise KeyError(file)


def leaves(files: Files) -> Iterator[Leaf]:
    """Every value of a build."""
    for file, data in files.items():
        yield from _walked(file, data, "leaves", _record)


def records(files: Files) -> Iterator[tuple[str, Path, type[Record], dict[str, Any]]]:
    """Every record of a build: its file, its path, its model and its data."""
    for file, data in files.items():
        yield from _walked(file, data, "records", _records)


# What a walk gave, by what it walked; the data are held with it, so that their number stays theirs. Nobody changes data in their place.
_WALKED: dict[tuple[str, str, int], tuple[Any, list[Any]]] = {}


def _walked(file: str, data: Any, what: str, walk: Any) -> list[Any]:
    key = (what, file, id(data))
    if key not in _WALKED:
        if len(_WALKED) > 4000:
            _WALKED.clear()
        head = file.startswith("log/")
        given = list(walk(model_of(file), data["head"] if head else data, file, ("head",) if head else ()))
        _WALKED[key] = (data, given)
    return _WALKED[key][1]


def _records(annotation: Any, data: Any, file: str, path: Path) -> Iterator[Any]:
    if isinstance(annotation, type) and issubclass(annotation, Record):
        if isinstance(data, dict):
            yield file, path, annotation, data
            for name, field in annotation.model_fields.items():
                alias = field.alias or name
                if alias in data:
                    yield from _records(field.annotation, data[alias], file, (*path, alias))
        return
    models = [model for model in _models_in(annotation) if model.__name__ not in ("ReadingWithdrawal", "CutWithdrawal")]
    if not models:
        return
    if isinstance(data, dict) and get_origin(annotation) is dict:
        for key, inner in data.items():
            yield from _records(models[0], inner, file, (*path, key))
    elif isinstance(data, list):
        for index, inner in enumerate(data):
            yield from _records(models[0], inner, file, (*path, index))
    elif isinstance(data, dict):
        yield from _records(models[0], data, file, path)


@functools.cache
def _models_in(annotation: Any) -> list[type[Record]]:
    if isinstance(annotation, type) and issubclass(annotation, Record):
        return [annotation]
    return [model for part in get_args(annotation) for model in _models_in(part)]


@functools.cache
def _plain_fields(owner: type[Record]) -> list[tuple[str, str, tuple[str, ...]]]:
    """The fields of a record that hold no records: the key, the kind, the words that it may be."""
    return [
        (field.alias or name, *_kind(field.annotation, [*field.metadata, *_notes(field.annotation)]))
        for name, field in owner.model_fields.items()
        if not _models_in(field.annotation)
    ]


def _record(model: type[Record], data: Any, file: str, above: Path) -> Iterator[Leaf]:
    for _, path, owner, record in _records(model, data, file, above):
        for alias, kind, choices in _plain_fields(owner):
            if alias not in record:
                continue
            if owner.__name__ == "Feature" and alias == "nominal":
                kind = FEATURE_KINDS.get(record.get("kind"), None) or "text"
            if owner.__name__ == "Figure" and alias in ("is", "least", "most"):
                kind = FIGURES[path[-1]][0] if path[-1] in FIGURES else "text"
            for where, value in _values(record[alias], (*path, alias)):
                yield Leaf(file, where, value, kind, owner.__name__, alias, choices)


def _values(value: Any, path: Path) -> Iterator[tuple[Path, Any]]:
    if isinstance(value, list):
        for index, inner in enumerate(value):
            yield from _values(inner, (*path, index))
    elif isinstance(value, dict):
        for key, inner in value.items():
            yield from _values(inner, (*path, key))
    else:
        yield path, value


def _notes(annotation: Any) -> list[Any]:
    own = list(getattr(annotation, "__metadata__", ()))
    return own + [note for part in get_args(annotation) for note in _notes(part)]


def _kind(annotation: Any, notes: list[Any]) -> tuple[str, tuple[str, ...]]:
    ref = next((note for note in notes if isinstance(note, Ref)), None)
    if ref is not None:
        return f"name of {ref.kinds[0]}", ()
    for note in notes:
        if isinstance(note, WithJsonSchema) and note.json_schema:
            said = str(note.json_schema.get("title", ""))
            if note.json_schema.get("format") == "date":
                return "day", _words(annotation)
            for ending in (" with its unit", " with its unit, and how well it is known"):
                if said.endswith(ending):
                    said = said.removesuffix(ending)
                    return ("expansion" if "expansion" in said else said), ()
            if said.startswith("readings"):
                return "readings", ()
            if said == "time of day":
                return said, ()
            return "id", ()
    words = _words(annotation)
    if words:
        return "word", words
    plain = _plain(annotation)
    for kind, name in ((bool, "truth"), (int, "whole"), (float, "number")):
        if kind in plain:
            return name, ()
    return "text", ()


def _words(annotation: Any) -> tuple[str, ...]:
    if get_origin(annotation) is Literal:
        return tuple(str(word) for word in get_args(annotation))
    return tuple(word for part in get_args(annotation) for word in _words(part))


def _plain(annotation: Any) -> set[Any]:
    if isinstance(annotation, type):
        return {annotation}
    return {kind for part in get_args(annotation) for kind in _plain(part)} if get_origin(annotation) else set()
