"""The types of records' fields: quantities with their units, names, dates and text, each as people write it."""

import datetime
import re
from dataclasses import dataclass
from typing import Annotated, Any, cast

from gudgeon_calc.units import EXAMPLES, Measure, read_quantity, read_readings
from pydantic import AfterValidator, BeforeValidator, Field, PlainSerializer, ValidationInfo, WithJsonSchema

from gudgeon.records.bounds import LARGEST_EXPANSION, within_kind
from gudgeon.records.plain_data import is_list
from gudgeon.records.problems import shown


def _quantity(kind: str) -> tuple[Any, ...]:
    """How a quantity of a kind is read, written and described."""

    def read(value: Any) -> Measure:
        if isinstance(value, Measure):
            return value
        if not isinstance(value, str):
            raise ValueError(f"expected one {kind}. Write it like {EXAMPLES[kind]}.")
        return within_kind(read_quantity(value, kind))

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


def _over_zero(measure: Measure, info: ValidationInfo) -> Measure:
    """What a sum divides by, or what takes no time or metal at all, is a slip of the pen at 0."""
    if measure.value <= 0:
        raise ValueError(f"{(info.field_name or 'it').replace('_', ' ')} must be over 0. Found {measure}.")
    return measure


def up_to(most: str) -> AfterValidator:
    """For what is never more than this, by what it is, nor less than the same below nought."""

    def check(measure: Measure, info: ValidationInfo) -> Measure:
        if abs(measure.value) > read_quantity(most, measure.kind).value:
            what = (info.field_name or "it").replace("_", " ")
            raise ValueError(f"{what} cannot be {measure}. Expected at most {most}.")
        return measure

    return AfterValidator(check)


Amount = Annotated[Length, AfterValidator(_not_below_nought)]
PositiveLength = Annotated[Length, AfterValidator(_over_zero)]
# The largest that a shop has of each: common practice, no source.
Feed = Annotated[PositiveLength, up_to("20 mm")]  # per revolution
DepthOfCut = Annotated[Amount, up_to("100 mm")]  # a pass, or what is left for one
PositiveDepth = Annotated[DepthOfCut, AfterValidator(_over_zero)]
GaugeError = Annotated[Length, up_to("10 mm")]  # what an instrument is known to, or found to be, off
PositiveError = Annotated[GaugeError, AfterValidator(_over_zero)]
FormError = Annotated[Amount, up_to("10 mm")]  # out of round, out of parallel, out of flat; of a hand
Clearance = Annotated[Length, up_to("200 mm")]
Temperature = Annotated[Measure, *_quantity("temperature")]
TemperatureDifference = Annotated[Measure, *_quantity("temperature difference"), AfterValidator(_not_below_nought)]


@dataclass(frozen=True)
class SpreadTemperature:
    """A temperature of a case as it was written: 155 °C, or 155 ± 20 °C where it is said how well it is known."""

    text: str
    at: Measure
    within: Measure | None

    def __float__(self) -> float:
        return float(self.at)

    def __str__(self) -> str:
        return self.text


def _spread_temperature(value: Any) -> SpreadTemperature:
    if isinstance(value, SpreadTemperature):
        return value
    if not isinstance(value, str) or len(value) > 64:
        raise ValueError('expected one temperature. Write it like "155 °C" or "155 ± 20 °C".')
    at, _, spread = (text.strip() for text in re.sub(r"\+/?[-−]", "±", value).partition("±"))
    if not spread:
        return SpreadTemperature(value, within_kind(read_quantity(at or value, "temperature")), None)
    within = _not_below_nought(within_kind(read_quantity(spread, "temperature difference")))
    if not re.search(r"[^0-9.\s]$", at):
        at += f" {within.unit}"
    return SpreadTemperature(value, within_kind(read_quantity(at, "temperature")), within)


CaseTemperature = Annotated[
    SpreadTemperature,
    BeforeValidator(_spread_temperature),
    PlainSerializer(lambda temperature: temperature.text),
    WithJsonSchema(
        {
            "type": "string",
            "maxLength": 64,
            "title": "temperature with its unit, and how well it is known",
            "examples": ["155 °C", "155 ± 20 °C"],
        }
    ),
]
ErrorOfTemperature = Annotated[TemperatureDifference, up_to("100 K")]
Time = Annotated[Measure, *_quantity("time"), AfterValidator(_not_below_nought)]
Angle = Annotated[Measure, *_quantity("angle")]
Speed = Annotated[Measure, *_quantity("speed"), AfterValidator(_over_zero)]
Density = Annotated[Measure, *_quantity("density")]
Pressure = Annotated[Measure, *_quantity("pressure"), AfterValidator(_over_zero)]
SurfaceSpeed = Annotated[Measure, *_quantity("velocity"), AfterValidator(_over_zero)]
PositiveTime = Annotated[Time, AfterValidator(_over_zero)]
Worked = Annotated[PositiveTime, up_to("1000 h")]  # at one operation: half a year of working days


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
    expansion = float(f"{match[1]}e-{match[2]}") * (1.8 if match[3] == "F" else 1)
    if expansion > LARGEST_EXPANSION:
        raise ValueError(f"nothing expands by {value}. Expected at most {LARGEST_EXPANSION * 1e6:.0f}e-6 /K.")
    return expansion


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
        return cast(tuple[Measure, ...], value)  # read before
    if is_list(value):
        if not 0 < len(value) <= 50:
            raise ValueError("a row holds 1 to 50 readings.")
        return tuple(within_kind(read_quantity(one if isinstance(one, str) else "", "length")) for one in value)
    if not isinstance(value, str):
        raise ValueError('expected readings. Write them like "4.2515 4.2516 4.2515 in".')
    return tuple(within_kind(read) for read in read_readings(value))


Readings = Annotated[
    tuple[Measure, ...],
    BeforeValidator(_readings),
    PlainSerializer(lambda reads: [read.text for read in reads]),
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


def time_of_day(value: Any) -> str:
    """A time of day as people write it, with two figures each. Raises ValueError."""
    match = re.fullmatch(r"([01]?[0-9]|2[0-3]):([0-5][0-9])", value) if isinstance(value, str) else None
    if not match:
        raise ValueError(f'expected a time of day. Found "{shown(value)}". Write it like "19:40".')
    return f"{int(match[1]):02d}:{match[2]}"  # so written, times stand in order as texts


TimeOfDay = Annotated[
    str,
    BeforeValidator(time_of_day),
    WithJsonSchema(
        {
            "type": "string",
            "title": "time of day",
            "pattern": "^([01]?[0-9]|2[0-3]):[0-5][0-9]$",
            "examples": ["19:40"],
        }
    ),
]

# Ids end up in addresses of pages and in other people's records: plain letters, digits and hyphens.
NOT_INDEX = r"(?!(?i:index)\b)"  # that address is taken by the list of all
ID = NOT_INDEX + r"[A-Za-z0-9][A-Za-z0-9_-]{0,39}"


def named(pattern: str, what: str, example: str) -> tuple[Any, ...]:
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


Id = Annotated[str, *named(ID, "an id of letters, digits, _ and -", "A-PIS-70")]


def _former_ids(value: Any) -> Any:
    return value.split() if isinstance(value, str) else value


FormerIds = Annotated[
    tuple[Id, ...],
    BeforeValidator(_former_ids),
    WithJsonSchema(
        {
            "anyOf": [{"type": "string"}, {"type": "array", "items": {"type": "string"}}],
            "title": "an id, or a list of ids",
            "examples": ["om46"],
        }
    ),
    Field(
        min_length=1,
        max_length=20,
        description="The id that it had before it was renamed, or a list of them. Nothing else of its kind may take such an id.",
    ),
]
INSTALMENT_NAME = r"[0-9]{1,4}-[a-z0-9][a-z0-9-]{0,79}"
FormerFile = Annotated[str, *named(INSTALMENT_NAME, "the name of an instalment's file, without .md", "07-first-cut")]
VerdictRef = Annotated[
    str,
    *named(
        rf"(?:{ID}|[0-9]{{4}}-[0-9]{{2}}-[0-9]{{2}} {ID})", "the id of a verdict, or its date and who", "2025-03-18 ada"
    ),
]
Line = Annotated[str, Field(min_length=1, max_length=300)]
WebAddress = Annotated[
    str,
    *named(
        r"https://[A-Za-z0-9.-]{1,200}(?:/[!-~]{0,800})?",
        "an address that begins with https://",
        "https://example.org/film",
    ),
]
Words = Annotated[str, Field(min_length=1, max_length=4000)]


def limits_pair(limits: tuple[Measure, Measure]) -> tuple[Measure, Measure]:
    """Check that a pair of limits stands least first."""
    least, most = limits
    if least.value > most.value:
        raise ValueError(f"limits reversed. Found {least} then {most}. Write the least first: [{most}, {least}].")
    return limits
