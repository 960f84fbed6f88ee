"""Whatever a record can hold has an end: every kind of quantity, every number, every pair; and what is told names it."""

from typing import Any, get_args

import pytest
from annotated_types import Ge, Gt, Le, Lt
from gudgeon.records.base import Record
from gudgeon.records.bounds import BY_KIND
from gudgeon.records.record_files import RECORD_FILES
from gudgeon_calc.units import KINDS


def models() -> list[type[Record]]:
    known: dict[type[Record], None] = {}

    def walk(annotation: Any) -> None:
        if isinstance(annotation, type) and issubclass(annotation, Record) and annotation not in known:
            known[annotation] = None
            for field in annotation.model_fields.values():
                walk(field.annotation)
        for part in get_args(annotation):
            walk(part)

    for record_file in RECORD_FILES:
        walk(record_file.model)
    return list(known)


@pytest.mark.parametrize("kind", sorted(set(KINDS) - {"number"}))
def test_every_kind_of_quantity_has_bounds(kind):
    assert kind in BY_KIND, "say in records/bounds.py what it can be at all"


@pytest.mark.parametrize("model", models(), ids=lambda model: model.__name__)
def test_every_plain_number_has_a_least_and_a_most(model):
    for name, field in model.model_fields.items():
        plain = {part for part in (field.annotation, *get_args(field.annotation)) if part in (int, float)}
        if not plain or any("expansion" in str(note) for note in field.metadata):
            continue
        least = [note for note in field.metadata if isinstance(note, (Ge, Gt))]
        most = [note for note in field.metadata if isinstance(note, (Le, Lt))]
        assert least and most, f"{model.__name__}.{name}: say what it is at least and at most"
