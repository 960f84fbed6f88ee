"""A build as it would stand had its records always had the names that they have now (`formerly:`)."""

from collections.abc import Iterable, Mapping
from dataclasses import replace
from typing import Any, TypeVar

from gudgeon.records.base import Record
from gudgeon.records.model import Build
from gudgeon.records.parts import Part
from gudgeon.records.plain_data import is_map, is_sequence
from gudgeon.records.readings import ReadingWithdrawal, Row
from gudgeon.records.refs import ALL_OF_A_PART, Plan, Ref, field_plans

Former = Mapping[str, Mapping[str, str]]  # kind of record -> id that it had -> id that it has; see Build.former_names
R = TypeVar("R", bound=Record)
RowOrWithdrawal = TypeVar("RowOrWithdrawal", Row, ReadingWithdrawal)


def with_new_names(build: Build, former: Former) -> Build:
    """The build with every record that was renamed, and every name of it in others, as it is called now.

    Two revisions are compared by names: with the old one brought to the new names, a rename moves nothing. Nothing is read
    or written, and the build that is given is not touched.
    """
    if not any(former.values()) or build.head is None:
        return build
    parts: dict[str, Part] = {}
    for part_id, part in build.parts.items():
        features = {
            former["feature"].get(f"{part_id}.{name}", f".{name}").partition(".")[2]: _renamed(feature, former)
            for name, feature in part.features.items()
        }
        new_id = former["part"].get(part_id, part_id)
        parts[new_id] = _renamed(part, former).model_copy(update={"features": features, "part": new_id})
    people = {former["person"].get(name, name): person for name, person in build.head.people.items()}
    return replace(
        build,
        head=_renamed(build.head, former).model_copy(update={"people": people}),
        parts=parts,
        fits=_store(build.fits, "fit", former),
        operations=_store(build.operations, "operation", former),
        instruments=_store(build.instruments, "instrument", former),
        machines=_store(build.machines, "machine", former),
        materials=_store(build.materials, "material", former),
        photos=_store(build.photos, "picture", former),
        films=_store(build.films, "film", former),
        figures=_store(build.figures, "figure", former),
        rows=sorted(_rows(build.rows, former), key=lambda row: (row.date, row.id, row.where())),
        reading_withdrawals=_rows(build.reading_withdrawals, former),
        cuts=tuple(_renamed(cut, former) for cut in build.cuts),
        cut_withdrawals=tuple(_renamed(entry, former) for entry in build.cut_withdrawals),
        reviews=tuple(_renamed(review, former) for review in build.reviews),
        review_withdrawals=tuple(_renamed(entry, former) for entry in build.review_withdrawals),
        run_withdrawals=tuple(_renamed(entry, former) for entry in build.run_withdrawals),
        outcomes=tuple(_renamed(outcome, former) for outcome in build.outcomes),
        outcome_withdrawals=tuple(_renamed(entry, former) for entry in build.outcome_withdrawals),
        instalments=[replace(told, head=_renamed(told.head, former)) for told in build.instalments],
    )


def _store(records: Mapping[str, R], kind: str, former: Former) -> dict[str, R]:
    names = former.get(kind, {})
    return {names.get(name, name): _renamed(record, former) for name, record in records.items()}


def _rows(rows: Iterable[RowOrWithdrawal], former: Former) -> list[RowOrWithdrawal]:
    return [_renamed(row, former).model_copy(update={"id": former["reading"].get(row.id, row.id)}) for row in rows]


def _renamed(record: R, former: Former) -> R:
    """A record in which every name of another one is the new one; itself where none is another."""
    changes: dict[str, Any] = {}
    for field, _, plan in field_plans(type(record)):
        value = getattr(record, field)
        renamed = _value(value, plan, former)
        if renamed is not value:
            changes[field] = renamed
    return record.model_copy(update=changes) if changes else record


def _value(value: Any, plan: Plan, former: Former) -> Any:
    if isinstance(value, Record):
        return _renamed(value, former)
    if isinstance(value, str):
        return value if plan.ref is None else _name(value, plan.ref, former)
    if is_map(value):
        new = {
            name if plan.key_ref is None else _name(name, plan.key_ref, former): _value(entry, plan, former)
            for name, entry in value.items()
        }
        same = list(new) == list(value) and all(new[name] is value[name] for name in value)
        return value if same else new
    if is_sequence(value):
        entries = [_value(entry, plan, former) for entry in value]
        return value if all(new is old for new, old in zip(entries, value, strict=True)) else type(value)(entries)
    return value


def _name(name: str, ref: Ref, former: Former) -> str:
    all_of_it = name.endswith(".*")
    kinds = ALL_OF_A_PART.kinds if all_of_it else ref.kinds
    bare = name.removesuffix(".*")
    for kind in kinds:
        if bare in former.get(kind, {}):
            return former[kind][bare] + (".*" if all_of_it else "")
    return name
