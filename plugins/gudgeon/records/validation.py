"""From a file's data to a record, or to problems in words at their places."""

import re
from collections import Counter
from typing import Any, TypeVar

from pydantic import ValidationError

from gudgeon.records.base import Record, set_positions
from gudgeon.records.plain_data import is_list, is_map, is_sequence
from gudgeon.records.problems import UNSEEN, Problems, nearest, shown
from gudgeon.records.yaml_text import Document, Path_

R = TypeVar("R", bound=Record)


def validate(model: type[R], document: Document, problems: Problems, path: Path_ = (), about: str = "") -> R | None:
    """Make a record of a document's data, or None with every problem noted at its place."""
    data = document.data
    for step in path:
        data = data[step]
    if not isinstance(data, dict):
        problems.add(document.where(path), about, f"expected keys with values (key: value). Found {_kind(data)}.")
        return None
    try:
        record = model.model_validate(data)
    except ValidationError as error:
        errors = error.errors()
        at_or_inside = Counter(one["loc"][:depth] for one in errors for depth in range(len(one["loc"]) + 1))
        for one in errors:
            # A list that lost an item to a problem is not too short as well.
            if at_or_inside[one["loc"]] > 1:
                continue
            _note(one, model, document, problems, path, about)
        return None
    set_positions(record, document, path)
    return record


def holds_unseen(given: Any) -> bool:
    """Whether a character that cannot be seen stands anywhere in data from elsewhere."""
    waiting: list[Any] = [given]
    while waiting:
        value = waiting.pop()
        if isinstance(value, str) and UNSEEN.search(value):
            return True
        if is_sequence(value):
            waiting += value
        elif is_map(value):
            waiting += [*value, *value.values()]
    return False


def first_fault(error: Exception) -> str:
    """The first thing that a model has against JSON from elsewhere: where in it, and what; for JSON that people do not write."""
    if not isinstance(error, ValidationError):
        return "not JSON"
    first = error.errors()[0]
    at = ".".join(str(step) for step in first["loc"])
    return f"{shown(at) + ': ' if at else ''}{shown(first['msg'], 120)}"


def _note(error: Any, model: type[Record], document: Document, problems: Problems, base: Path_, about: str) -> None:
    # Pydantic puts the names of union members and "[key]" in its path; keep what stands in the file.
    path = base
    for step in error["loc"]:
        if step == "[key]":
            break
        if (*path, step) in document.values:
            path = (*path, step)
    kind, value = error["type"], error.get("input")
    if kind == "missing":
        path = (*path, error["loc"][-1])
    if kind == "extra_forbidden":
        known = _fields_at(model, error["loc"][:-1])
        problems.add(
            document.where_key(path),
            _about(document, path[:-1], about),
            f'unknown key "{shown(str(path[-1]))}".{problems.nearest(str(path[-1]), known)}',
        )
        return
    if kind == "missing":
        problems.add(
            document.where(path[:-1]),
            _about(document, path[:-1], about),
            f'"{path[-1]}" is missing. Add the line "{path[-1]}: …".',
        )
        return
    place_of = document.where_key(path) if error["loc"] and error["loc"][-1] == "[key]" else document.where(path)
    problems.add(place_of, _about(document, path, about), _said(kind, error, value))


def _said(kind: str, error: Any, value: Any) -> str:
    if kind == "value_error":
        return str(error["ctx"]["error"])
    if value is None:
        return "nothing is written here. Write a value, or remove the key."
    expected = {
        "list_type": "expected a list: [one, two]",
        "tuple_type": "expected a list: [one, two]",
        "dict_type": "expected keys with values (key: value)",
        "model_type": "expected keys with values (key: value)",
        "model_attributes_type": "expected keys with values (key: value)",
        "string_type": "expected one line of text",
        "int_parsing": "expected a whole number",
        "int_type": "expected a whole number",
        "float_parsing": "expected a number",
        "float_type": "expected a number",
        "bool_parsing": 'expected "true" or "false"',
        "string_too_long": f"the text is too long; the most is {error.get('ctx', {}).get('max_length')} characters",
        "less_than_equal": f"expected at most {error.get('ctx', {}).get('le')}",
        "less_than": f"expected less than {error.get('ctx', {}).get('lt')}",
        "greater_than_equal": f"expected at least {error.get('ctx', {}).get('ge')}",
        "greater_than": f"expected more than {error.get('ctx', {}).get('gt')}",
        "too_short": "the list is too short",
        "too_long": "the list is too long",
        "missing_argument": "a value is missing",
    }.get(kind)
    if kind in ("literal_error", "enum"):
        words = re.findall(r"'([^']*)'", str(error["ctx"]["expected"]))
        return f'"{shown(value)}" is not one of the words for this.{nearest(str(value), words)}'
    if kind == "string_too_long":
        return f"{expected}. Found {len(value)}."
    return f"{expected or error['msg']}. Found {_kind(value)}."


def _kind(value: Any) -> str:
    if is_map(value):
        return "keys with values"
    if is_sequence(value):
        return f"a list of {len(value)}"
    return "nothing" if value is None else f'"{shown(value)}"'


def _fields_at(model: Any, steps: Path_) -> list[str]:
    """The known keys of the record that the steps of an error lead to; where a field may hold several, a step names which."""
    alternatives: list[type[Record]] = []
    for step in steps:
        fields = getattr(model, "model_fields", {})
        if step in fields:
            alternatives = _records_in(fields[step].annotation)
            model = alternatives[0] if alternatives else model
        else:
            model = next((record for record in alternatives if record.__name__ == step), model)
    return [field.alias or name for name, field in model.model_fields.items()]


def _records_in(annotation: Any) -> list[type[Record]]:
    """The records that a field may hold."""
    parts: tuple[Any, ...] = getattr(annotation, "__args__", ())
    if isinstance(annotation, type) and issubclass(annotation, Record):
        return [annotation]
    return [record for part in parts for record in _records_in(part)]


def _inside(data: Any, step: str | int) -> Any:
    """What lies at a step of a path in a file's data, or None."""
    if is_map(data) and isinstance(step, str):
        return data.get(step)
    return data[step] if is_list(data) and isinstance(step, int) and step < len(data) else None


def _about(document: Document, path: Path_, fallback: str) -> str:
    """The name a person would use for what a path lies in: the feature, the fit, the operation, the row."""
    name = fallback
    data = document.data
    for depth, step in enumerate(path):
        if isinstance(step, int):
            row = data[step] if is_list(data) and step < len(data) else None
            if is_map(row):
                named = row.get("id")
                name = named if isinstance(named, str) else f"{path[depth - 1]} {step + 1}"
        elif depth == 0 or (depth == 1 and is_map(data) and is_map(data.get(step))):
            name = str(step)
        data = _inside(data, step)
    return shown(name, 40)
