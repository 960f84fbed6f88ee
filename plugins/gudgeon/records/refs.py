"""Fields that name another record: what each points at stands in its type, and the check, the schema's hint and the lists
of what is used where follow from that."""

import functools
import re
from collections.abc import Iterator
from dataclasses import dataclass
from typing import Annotated, Any, get_args

from pydantic import GetJsonSchemaHandler
from pydantic_core import CoreSchema

from gudgeon.records.base import Record
from gudgeon.records.fields import ID, Id, named
from gudgeon.records.plain_data import is_map, is_sequence
from gudgeon.records.problems import Where


@dataclass(frozen=True)
class Ref:
    """What a field points at.

    kinds: of what kind the record may be that it names; the first that has the name counts. missing: what is said where
    none has it.
    """

    kinds: tuple[str, ...]
    missing: str

    def __get_pydantic_json_schema__(self, schema: CoreSchema, handler: GetJsonSchemaHandler) -> dict[str, Any]:
        made = handler(schema)
        made["x-refers-to"] = list(self.kinds)
        return made


def _ref(*kinds: str, label: str = "", missing: str = "") -> Ref:
    return Ref(kinds, missing or f'no {label or kinds[0]} "{{}}".')


PersonRef = Annotated[Id, _ref("person")]
InstrumentRef = Annotated[Id, _ref("instrument")]
GaugeRef = Annotated[Id, _ref("instrument", missing='"{}" is not in the gauge drawer (instruments.yaml).')]
MachineRef = Annotated[Id, _ref("machine")]
OperationRef = Annotated[Id, _ref("operation")]
CutRef = Annotated[Id, _ref("cut", missing='no cut has the id "{}" (cuts.yaml).')]
RunRef = Annotated[Id, _ref("run", missing='no run of this id or day "{}" (running.yaml).')]
OutcomeRef = Annotated[Id, _ref("outcome", missing='no outcome of this id or day "{}" (outcomes.yaml).')]
ReadingRef = Annotated[Id, _ref("reading")]
PartRef = Annotated[Id, _ref("part")]
ThermometerRef = Annotated[Id, _ref("thermometer", missing='no thermometer "{}" (thermometers in build.yaml).')]
CaseRef = Annotated[Id, _ref("temperature case")]
UpkeepRef = Annotated[Id, _ref("upkeep", missing='no upkeep "{}" (upkeep in build.yaml).')]
RuleRef = Annotated[Id, _ref("rule")]
SourceRef = Annotated[Id, _ref("source")]
MaterialRef = Annotated[Id, _ref("material", "club material")]
BuildMaterialRef = Annotated[Id, _ref("material", label="material of this build")]
ClubMaterialRef = Annotated[Id, _ref("club material")]
FeatureRef = Annotated[str, *named(rf"{ID}\.{ID}", "a part and its feature", "piston.skirt"), _ref("feature")]
MateRef = Annotated[
    str,
    *named(rf"{ID}(\.{ID})?", "a part, or a part and its feature", "piston.skirt"),
    _ref("feature", "part", label="such mate"),
]
AboutRef = Annotated[
    str,
    *named(rf"{ID}(\.{ID})?", "a fit, a part, or a part and its feature", "piston.skirt"),
    _ref("fit", "feature", "part", label="fit, feature or part"),
]
ALL_OF_A_PART = _ref("part")  # what part.* points at
ChangeRef = Annotated[
    str,
    *named(rf"{ID}\.({ID}|\*)", "a part and its feature, or all of its features", "piston.*"),
    _ref("feature"),
]
PHOTO_NAME = re.compile(r"[A-Za-z0-9][A-Za-z0-9_-]{0,80}\.(jpg|jpeg|png|webp|JPG|JPEG|PNG)")
PhotoName = Annotated[
    str,
    *named(
        PHOTO_NAME.pattern,
        "the name of a picture in photos/, with no folder",
        "skirt-in-chuck.jpg",
    ),
    _ref("photo"),
]


@dataclass(frozen=True, slots=True)
class Reference:
    """One name that a record gives of another one. path: the keys of the record that lead to it."""

    ref: Ref
    name: str
    record: Record
    path: tuple[str | int, ...]

    @property
    def where(self) -> Where:
        """Where the name stands."""
        return self.record.where(*self.path)


def references_in(record: Record, without: tuple[str, ...] = ()) -> Iterator[Reference]:
    """Every name of another record that a record, or one inside it, gives. without: fields that are left out."""
    for field, key, plan in field_plans(type(record)):
        if field not in without:
            yield from _in_value(record, getattr(record, field), plan, (key,))


@dataclass(frozen=True)
class Plan:
    """What the values of a field point at, what the keys of a map point at, and whether records lie inside."""

    ref: Ref | None
    key_ref: Ref | None
    records: bool


@functools.cache
def field_plans(model: type[Record]) -> tuple[tuple[str, str, Plan], ...]:
    """The fields of a model that name other records, or hold records: (name, key in the file, what lies there)."""
    plans: list[tuple[str, str, Plan]] = []
    for name, field in model.model_fields.items():
        key_ref = None
        annotation: Any = field.annotation
        if getattr(annotation, "__origin__", None) is dict:
            key, annotation = get_args(annotation)
            key_ref = _ref_in(key)
        ref = next((note for note in field.metadata if isinstance(note, Ref)), None) or _ref_in(annotation)
        plan = Plan(ref, key_ref, _holds_records(annotation))
        if plan != Plan(None, None, False):
            plans.append((name, field.alias or name, plan))
    return tuple(plans)


def _ref_in(annotation: Any) -> Ref | None:
    if isinstance(annotation, Ref):
        return annotation
    parts = (*get_args(annotation), *getattr(annotation, "__metadata__", ()))
    return next((ref for part in parts if (ref := _ref_in(part)) is not None), None)


def _holds_records(annotation: Any) -> bool:
    if isinstance(annotation, type) and issubclass(annotation, Record):
        return True
    return any(_holds_records(part) for part in get_args(annotation))


def _in_value(record: Record, value: Any, plan: Plan, path: tuple[str | int, ...]) -> Iterator[Reference]:
    if value is None:
        return
    if isinstance(value, Record):
        for field, key, inner_plan in field_plans(type(value)):
            yield from _in_value(record, getattr(value, field), inner_plan, (*path, key))
    elif isinstance(value, str):
        if plan.ref is not None:
            yield _reference(record, plan.ref, value, path)
    elif is_map(value):
        inside = Plan(plan.ref, None, plan.records)  # the keys of a map inside a map name nothing
        for key, inner in value.items():
            if plan.key_ref is not None:
                yield _reference(record, plan.key_ref, key, (*path, key))
            yield from _in_value(record, inner, inside, (*path, key))
    elif is_sequence(value):
        for index, inner in enumerate(value):
            yield from _in_value(record, inner, plan, (*path, index))


def _reference(record: Record, ref: Ref, name: str, path: tuple[str | int, ...]) -> Reference:
    if name.endswith(".*"):
        ref, name = ALL_OF_A_PART, name.removesuffix(".*")
    return Reference(ref, name, record, path)
