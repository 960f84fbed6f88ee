"""The base of all records, the types of their fields, and validation with places."""

import datetime
import re
from typing import Annotated, Any, TypeVar

from gudgeon_calc.units import EXAMPLES, Measure, NotAQuantity, read_quantity, read_readings
from pydantic import (
    AfterValidator,
    BaseModel,
    BeforeValidator,
    ConfigDict,
    Field,
    PlainSerializer,
    PrivateAttr,
    ValidationError,
    WithJsonSchema,
)

from gudgeon.records.problems import Problems, Where, nearest, shown
from gudgeon.records.yaml_text import Document, Path_


class Record(BaseModel):
    """A record from a file. Knows where each of its fields stands."""

    model_config = ConfigDict(
        extra="forbid", frozen=True, arbitrary_types_allowed=True, populate_by_name=True, ignored_types=(property,)
    )

    _document: Document | None = PrivateAttr(default=None)
    _path: Path_ = PrivateAttr(default=())

    def where(self, *path: str | int) -> Where:
        """Where this record, or a field inside it, stands."""
        return self._document.where((*self._path, *path)) if self._document else Where("")


def _quantity(kind: str) -> tuple[Any, ...]:
    """How a quantity of a kind is read, written and described."""

    def read(value: Any) -> Measure:
        if isinstance(value, Measure):
            return value
        if not isinstance(value, str):
            raise ValueError(f"expected one {kind}. Write it like {EXAMPLES[kind]}.")
        return read_quantity(value, kind)

    return (
        BeforeValidator(read),
        PlainSerializer(lambda measure: measure.text),
        WithJsonSchema(
            {
                "type": "string",
                "maxLength": 64,
                "title": f"{kind} with its unit",
                "examples": re.findall(r'"([^"]*)"', EXAMPLES[kind]),
            }
        ),
    )


Length = Annotated[Measure, *_quantity("length")]


def _not_below_nought(measure: Measure) -> Measure:
    if measure.value < 0:
        raise ValueError(f"this cannot be less than nought. Found {measure}.")
    return measure


Amount = Annotated[Length, AfterValidator(_not_below_nought)]
Temperature = Annotated[Measure, *_quantity("temperature")]
TemperatureDifference = Annotated[Measure, *_quantity("temperature difference"), AfterValidator(_not_below_nought)]
Time = Annotated[Measure, *_quantity("time")]
Angle = Annotated[Measure, *_quantity("angle")]
Speed = Annotated[Measure, *_quantity("speed")]
Density = Annotated[Measure, *_quantity("density")]
Pressure = Annotated[Measure, *_quantity("pressure")]
SurfaceSpeed = Annotated[Measure, *_quantity("velocity")]
Hours = Annotated[Measure, *_quantity("time"), AfterValidator(_not_below_nought)]


def _expansion(value: Any) -> float:
    if isinstance(value, float):
        return value
    match = (
        re.fullmatch(r"([0-9]{1,3}(?:\.[0-9]{1,4})?)[eE]-([0-9])\s*/\s*°?(K|C|F)", value)
        if isinstance(value, str)
        else None
    )
    if not match:
        raise ValueError(
            f'expected a coefficient of expansion with its unit. Found "{shown(value)}". Write it like "11.0e-6 /K" or "6.1e-6 /F".'
        )
    return float(f"{match[1]}e-{match[2]}") * (1.8 if match[3] == "F" else 1)


Expansion = Annotated[
    float,
    BeforeValidator(_expansion),
    WithJsonSchema(
        {"type": "string", "title": "mean linear expansion with its unit", "examples": ["11.0e-6 /K", "6.1e-6 /F"]},
        mode="validation",
    ),
]


def _readings(value: Any) -> tuple[Measure, ...]:
    if isinstance(value, tuple):
        return value
    if isinstance(value, list):
        if not 0 < len(value) <= 50:
            raise ValueError("a row holds 1 to 50 readings.")
        return tuple(read_quantity(one if isinstance(one, str) else "", "length") for one in value)
    if not isinstance(value, str):
        raise ValueError('expected readings. Write them like "4.2515 4.2516 4.2515 in".')
    return tuple(read_readings(value))


Readings = Annotated[
    tuple[Measure, ...],
    BeforeValidator(_readings),
    PlainSerializer(lambda reads: [each.text for each in reads]),
    WithJsonSchema(
        {
            "anyOf": [{"type": "string"}, {"type": "array", "items": {"type": "string"}}],
            "title": "readings as read, one unit for the row",
            "examples": ["4.2515 4.2516 4.2515 in"],
        }
    ),
]


def _date(value: Any) -> datetime.date:
    if isinstance(value, datetime.date):
        return value
    if isinstance(value, str) and re.fullmatch(r"[0-9]{4}-[0-9]{2}-[0-9]{2}", value):
        try:
            day = datetime.date.fromisoformat(value)
        except ValueError:
            raise ValueError(f'there is no such day. Found "{value}".') from None
        if not 1970 <= day.year < 2200:
            raise ValueError(f'a record is dated from 1970 to 2199. Found "{value}".')
        return day
    raise ValueError(f'expected a date. Found "{shown(value)}". Write it like "2025-03-18".')


Date = Annotated[datetime.date, BeforeValidator(_date), WithJsonSchema({"type": "string", "format": "date"})]

# Ids end up in addresses of pages and in other people's records: plain letters, digits and hyphens.
NOT_INDEX = r"(?!(?i:index)\b)"  # that address is taken by the list of all
ID = NOT_INDEX + r"[A-Za-z0-9][A-Za-z0-9_-]{0,39}"


def _named(pattern: str, what: str, example: str) -> tuple[Any, ...]:
    """How a name of a form is read and described."""
    compiled = re.compile(pattern)

    def read(value: Any) -> str:
        if not isinstance(value, str) or not compiled.fullmatch(value):
            raise ValueError(f'expected {what}. Found "{shown(value)}". Write it like "{example}".')
        return value

    return (
        BeforeValidator(read),
        WithJsonSchema(
            {"type": "string", "pattern": f"^{pattern}$".replace(NOT_INDEX, ""), "title": what, "examples": [example]}
        ),
    )


Id = Annotated[str, *_named(ID, "an id of letters, digits, _ and -", "A-PIS-70")]
FeatureRef = Annotated[str, *_named(rf"{ID}\.{ID}", "a part and its feature", "piston.skirt")]
PartOrFeatureRef = Annotated[str, *_named(rf"{ID}(\.{ID})?", "a part, or a part and its feature", "piston.skirt")]
ChangeRef = Annotated[str, *_named(rf"{ID}\.({ID}|\*)", "a part and its feature, or all of its features", "piston.*")]
PhotoName = Annotated[
    str,
    *_named(
        r"[A-Za-z0-9][A-Za-z0-9_-]{0,80}\.(jpg|jpeg|png|webp|JPG|JPEG|PNG)",
        "the name of a picture in photos/, with no folder",
        "skirt-in-chuck.jpg",
    ),
]
Line = Annotated[str, Field(min_length=1, max_length=300)]
Words = Annotated[str, Field(min_length=1, max_length=4000)]


def limits_pair(value: Any) -> Any:
    """Check that a pair of limits stands least first."""
    if isinstance(value, tuple) and len(value) == 2 and value[0].value > value[1].value:
        raise ValueError(
            f"limits reversed. Found {value[0]} then {value[1]}. Write the least first: [{value[1]}, {value[0]}]."
        )
    return value


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
        found = error.errors()
        for one in found:
            # A list that lost an item to a problem is not too short as well.
            if any(other is not one and other["loc"][: len(one["loc"])] == one["loc"] for other in found):
                continue
            _note(one, model, document, problems, path, about)
        return None
    set_positions(record, document, path)
    return record


def first_fault(error: Exception) -> str:
    """The first thing that a model has against JSON from elsewhere: where in it, and what; for JSON that people do not write."""
    if not isinstance(error, ValidationError):
        return "not JSON"
    first = error.errors()[0]
    at = ".".join(str(each) for each in first["loc"])
    return f"{shown(at) + ': ' if at else ''}{shown(first['msg'], 120)}"


def set_positions(record: Record, document: Document, path: Path_) -> None:
    """Tell a record and all records inside it where they stand."""
    record._document, record._path = document, path
    for name in type(record).model_fields:
        alias = type(record).model_fields[name].alias or name
        value = getattr(record, name)
        if isinstance(value, Record):
            set_positions(value, document, (*path, alias))
        elif isinstance(value, dict):
            for key, each in value.items():
                if isinstance(each, Record):
                    set_positions(each, document, (*path, alias, key))
        elif isinstance(value, (list, tuple)):
            for index, each in enumerate(value):
                if isinstance(each, Record):
                    set_positions(each, document, (*path, alias, index))


def _note(error: Any, model: type[Record], document: Document, problems: Problems, base: Path_, about: str) -> None:
    # Pydantic puts the names of union members and "[key]" in its path; keep what stands in the file.
    path = base
    for step in error["loc"]:
        if step == "[key]":
            break
        if (*path, step) in document.values or error["type"] in ("missing",):
            path = (*path, step)
    kind, found = error["type"], error.get("input")
    if kind == "extra_forbidden":
        known = _fields_at(model, path[len(base) : -1])
        problems.add(
            document.where_key(path),
            _about(document, path[:-1], about),
            f'unknown key "{shown(str(path[-1]))}".{nearest(str(path[-1]), known)}',
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
    problems.add(place_of, _about(document, path, about), _said(kind, error, found))


def _said(kind: str, error: Any, found: Any) -> str:
    if kind == "value_error":
        return str(error["ctx"]["error"])
    if found is None:
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
        return f'"{shown(found)}" is not one of the words for this.{nearest(str(found), words)}'
    if kind == "string_too_long":
        return f"{expected}. Found {len(found)}."
    return f"{expected or error['msg']}. Found {_kind(found)}."


def _kind(found: Any) -> str:
    if isinstance(found, dict):
        return "keys with values"
    if isinstance(found, (list, tuple)):
        return f"a list of {len(found)}"
    return "nothing" if found is None else f'"{shown(found)}"'


def _fields_at(model: Any, path: Path_) -> list[str]:
    """The known keys of the record that a path leads to."""
    for step in path:
        fields = getattr(model, "model_fields", {})
        inner = fields[step].annotation if step in fields else model
        model = _record_in(inner) or model
    return [field.alias or name for name, field in model.model_fields.items()]


def _record_in(annotation: Any) -> Any:
    if isinstance(annotation, type) and issubclass(annotation, Record):
        return annotation
    for part in getattr(annotation, "__args__", ()):
        inner = _record_in(part)
        if inner:
            return inner
    return None


def _inside(data: Any, step: str | int) -> Any:
    """What lies at a step of a path in a file's data, or None."""
    if isinstance(data, dict):
        return data.get(step)
    return data[step] if isinstance(data, list) and isinstance(step, int) and step < len(data) else None


def _about(document: Document, path: Path_, fallback: str) -> str:
    """The name a person would use for what a path lies in: the feature, the fit, the operation, the row."""
    name = fallback
    data = document.data
    for depth, step in enumerate(path):
        if isinstance(step, int):
            row = data[step] if isinstance(data, list) and step < len(data) else None
            named = row.get("id") if isinstance(row, dict) else None
            if isinstance(row, dict):
                name = named if isinstance(named, str) else f"{path[depth - 1]} {step + 1}"
        elif depth == 0 or (depth == 1 and isinstance(data, dict) and isinstance(data.get(step), dict)):
            name = str(step)
        data = _inside(data, step)
    return shown(name, 40)


__all__ = [
    "Amount",
    "Angle",
    "ChangeRef",
    "Date",
    "Density",
    "Expansion",
    "FeatureRef",
    "Hours",
    "Id",
    "Length",
    "Line",
    "NotAQuantity",
    "PartOrFeatureRef",
    "PhotoName",
    "Pressure",
    "Readings",
    "Record",
    "Speed",
    "SurfaceSpeed",
    "Temperature",
    "TemperatureDifference",
    "Time",
    "Words",
    "limits_pair",
    "first_fault",
    "set_positions",
    "validate",
]
