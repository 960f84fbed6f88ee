"""Random edits of single records, for properties that hold for every edit: every record of a build and of the knowledge, and
the same with something in it changed."""

import re
from datetime import date, timedelta

from gudgeon.records.base import Record
from gudgeon.records.edits import HEAD, LISTS, SHELF, STORES, Edit, by_text
from hypothesis import strategies as st
from pydantic import ValidationError

USED = ("rules", "cautions", "materials")  # of the knowledge; the rest is shown and moves no finding


def records(build, knowledge):
    """(what, id, record, other values for its fields) of everything that may be edited."""
    stores = [("reading", {row.id: row for row in build.rows}), ("feature", build.features)]
    stores += [(what, getattr(build, store)) for store, what in STORES.items()]
    stores += [(what, by_text(getattr(build, store))) for store, what in LISTS.items()]
    stores += [(what, getattr(build.head, key)) for key, what in HEAD.items()]
    stores += [("part", {name: part.model_copy(update={"features": {}}) for name, part in build.parts.items()})]
    stores += [(SHELF[store], getattr(knowledge, store)) for store in USED]
    for what, named in stores:
        pool = {}
        for record in named.values():
            for field, value in written(record).items():
                pool.setdefault(field, []).append(value)
        yield from ((what, name, record, pool) for name, record in named.items())
    for key in type(build.head.engine).model_fields:
        yield "engine", key, getattr(build.head.engine, key), {}
    yield "knowledge", "cutting", knowledge.cutting, {}


def written(record):
    return as_written(record.model_dump(mode="json", by_alias=True, exclude_none=True, exclude_defaults=True))


def as_written(value):
    """A dump as a file has it: a rate has no unit and is read from text alone."""
    if not isinstance(value, dict):
        return value
    return {
        key: [f"{rate:.6f}" for rate in inner] if key == "per_length" else as_written(inner)
        for key, inner in value.items()
    }


def changed(value, pool, draw):
    """A value of a record with one thing in it changed; where nothing else helps, another record's value."""
    if isinstance(value, dict) and value:
        key = draw(st.sampled_from(sorted(value)))
        if draw(st.integers(0, 5)) == 0:
            return {name: inner for name, inner in value.items() if name != key}
        others = [other for other in pool.get(key, []) if other != value[key]]
        if others and draw(st.booleans()):
            return {**value, key: draw(st.sampled_from(others))}
        return {**value, key: changed(value[key], {}, draw)}
    if isinstance(value, list) and value:
        index = draw(st.integers(0, len(value) - 1))
        if draw(st.booleans()):
            return value[:index] + value[index + 1 :]
        return [*value[:index], changed(value[index], pool, draw), *value[index + 1 :]]
    if isinstance(value, bool):
        return not value
    if isinstance(value, (int, float)):
        return value * draw(st.sampled_from((0.5, 2, 3)))
    if isinstance(value, str) and re.fullmatch(r"\d{4}-\d\d-\d\d", value):
        return (
            date.fromisoformat(value) + timedelta(days=draw(st.sampled_from((-300, -30, -1, 1, 30, 300))))
        ).isoformat()
    if isinstance(value, str):
        factor = draw(st.sampled_from((0.5, 0.999, 1.0005, 1.01, 3)))
        return re.sub(r"\d+\.?\d*", lambda number: f"{float(number[0]) * factor:.5f}"[:8], value, count=1)
    return value


def an_edit(record, what, name, pool, draw):
    """The record gone, or with something in it changed; None where what came of it is no record or says the same."""
    if not isinstance(record, Record):
        try:
            text = changed(str(record), {}, draw)
            return Edit(what, name, None if draw(st.booleans()) else engine_value(name, text), record)
        except (ValidationError, ValueError):
            return None
    if what not in ("feature", "part", "knowledge") and draw(st.integers(0, 4)) == 0:
        return Edit(what, name, None, record)
    try:
        now = type(record).model_validate(changed(written(record), pool, draw))
    except (ValidationError, ValueError):
        return None
    # A record that says what it said is no edit: all that it lost is its place in its file.
    return None if now.model_dump() == record.model_dump() else Edit(what, name, now, record)


def engine_value(name, text):
    from gudgeon.records.build_file import Engine

    return getattr(Engine.model_validate({"layout": "horizontal", name: text}), name)
