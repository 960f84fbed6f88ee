"""Quantities: the grammar in which people write them, and the units that formulas take.

The grammar is small and ours, because general parsers misread the trade's writing (a mixed fraction,
a decimal comma). After it has read a text, pint carries the quantity.
"""

import functools
import inspect
import re
from collections.abc import Callable
from dataclasses import dataclass
from fractions import Fraction
from typing import TYPE_CHECKING, Any, Protocol, cast

import pint
from pint.facets.plain import PlainQuantity

from gudgeon_calc.registry import new_registry

if TYPE_CHECKING:
    from gudgeon_calc.validity import ValidRange

registry: "pint.UnitRegistry[Any]" = new_registry()
registry.define("tenth = 1e-4 * inch")
Quantity: Any = registry.Quantity  # the registry's own class, which no type checker can name

INCH = Fraction(254, 10)  # millimetres, exactly
POUND = Fraction("0.45359237")  # kilograms, exactly
POUND_FORCE = POUND * Fraction("9.80665")  # newtons, exactly


@dataclass(frozen=True)
class QuantityKind:
    """A kind of quantity: everything that reads, works out or shows one takes it from here, by its name.

    unit: the unit that sums and findings hold it in. accepted: what a builder may write -> its factor to that unit,
    exactly; None where none is ever written. example: how to write it. in_expressions: the units that a rule's
    expression may use.
    """

    unit: str
    accepted: dict[str, Fraction] | None = None
    example: str = ""
    in_expressions: tuple[str, ...] = ()


LENGTHS = {
    "in": INCH,
    "thou": INCH / 1000,
    "tenths": INCH / 10000,
    "tenth": INCH / 10000,
    "ft": INCH * 12,
    "mm": Fraction(1),
    "cm": Fraction(10),
    "m": Fraction(1000),
    "µm": Fraction(1, 1000),
    "μm": Fraction(1, 1000),
    "um": Fraction(1, 1000),
}
_KELVIN, _FAHRENHEIT = Fraction(1), Fraction(5, 9)
_FOOT_POUND = POUND_FORCE * INCH * 12 / 1000  # joules or newton metres, exactly
QUANTITY_KINDS = {
    "length": QuantityKind("mm", LENGTHS, '"4.2465 in", "4 1/4 in", "9 thou" or "92.500 mm"', tuple(LENGTHS)),
    "size": QuantityKind("mm"),  # a length that is shown to the last digit of a reading
    "area": QuantityKind("mm**2"),
    "volume": QuantityKind(
        "mm**3",
        {
            "cu in": INCH**3,
            "cm³": Fraction(1000),
            "cm3": Fraction(1000),
            "mm³": Fraction(1),
            "mm3": Fraction(1),
            "L": Fraction(1000000),
        },
        '"25.1 cu in"',
    ),
    "temperature": QuantityKind(
        "degC", {"C": _KELVIN, "°C": _KELVIN, "F": _FAHRENHEIT, "°F": _FAHRENHEIT}, '"14 °C"'
    ),  # of Fahrenheit 32 is taken off first
    "temperature difference": QuantityKind(
        "kelvin",
        {"K": _KELVIN, "°C": _KELVIN, "C": _KELVIN, "F": _FAHRENHEIT, "°F": _FAHRENHEIT},
        '"1 °C"',
        ("K",),
    ),
    "time": QuantityKind(
        "minute",
        {"min": Fraction(1), "h": Fraction(60), "day": Fraction(1440), "days": Fraction(1440)},
        '"45 min"',
        ("min",),
    ),
    "angle": QuantityKind("degree", {"deg": Fraction(1), "°": Fraction(1)}, '"45 deg"'),
    "speed": QuantityKind("revolution/minute", {"rpm": Fraction(1)}, '"420 rpm"', ("rpm",)),
    "velocity": QuantityKind(
        "m/second",
        {
            "m/s": Fraction(1),
            "m/min": Fraction(1, 60),
            "ft/min": INCH * 12 / 60000,
            "ft/s": INCH * 12 / 1000,
        },
        '"5280 ft/min" or "26.8 m/s"',
    ),
    "frequency": QuantityKind("1/minute"),
    "drip rate": QuantityKind("1/minute", {"drops/min": Fraction(1)}, '"10 drops/min"'),
    "density": QuantityKind(
        "kg/m**3",
        {"kg/m³": Fraction(1), "kg/m3": Fraction(1), "lb/cu in": POUND / INCH**3 * 10**9},
        '"7200 kg/m³"',
    ),
    "pressure": QuantityKind(
        "MPa",
        {
            "MPa": Fraction(1),
            "GPa": Fraction(1000),
            "psi": POUND_FORCE / INCH**2,
            "bar": Fraction(1, 10),
            "kPa": Fraction(1, 1000),
        },
        '"100 GPa" or "300 psi"',
    ),
    "force": QuantityKind("newton", {"N": Fraction(1), "kN": Fraction(1000), "lbf": POUND_FORCE}, '"98 N" or "22 lbf"'),
    "torque": QuantityKind(
        "newton * m",
        {
            "N.m": Fraction(1),
            "N·m": Fraction(1),
            "lbf.ft": _FOOT_POUND,
            "lbf·ft": _FOOT_POUND,
            "lbf.in": _FOOT_POUND / 12,
            "lbf·in": _FOOT_POUND / 12,
        },
        '"22 N.m" or "16 lbf.ft"',
    ),
    "mass": QuantityKind("kg", {"kg": Fraction(1), "g": Fraction(1, 1000), "lb": POUND}, '"2.4 kg" or "5.3 lb"'),
    "inertia": QuantityKind("kg * m**2"),
    "energy": QuantityKind("joule", {"J": Fraction(1), "kJ": Fraction(1000), "ft·lbf": _FOOT_POUND}, '"250 J"'),
    "power": QuantityKind(
        "watt", {"W": Fraction(1), "kW": Fraction(1000), "hp": _FOOT_POUND * 550}, '"1.9 kW" or "2.5 hp"'
    ),
    "mass flow": QuantityKind("kg/hour"),
    "volume flow": QuantityKind("milliliter/hour"),
    "spring rate": QuantityKind("newton/mm"),
    "expansion": QuantityKind("1/kelvin"),
    "ratio": QuantityKind("", {}, '"1:96"'),
    "number": QuantityKind("", {}, '"0.18"'),
}
# The kinds that people write, each with its units; and how each is written.
KINDS = {name: kind.accepted for name, kind in QUANTITY_KINDS.items() if kind.accepted is not None}
EXAMPLES = {name: QUANTITY_KINDS[name].example for name in KINDS}

LONGEST = 64  # characters; no honest quantity is longer
NUMBER = re.compile(
    r"(?P<sign>[+\-−])?[ ]*"
    r"(?:(?:(?P<whole>[0-9]{1,9})(?:[ ]+|-))?(?P<over>[0-9]{1,6})/(?P<under>[0-9]{1,6})|(?P<decimal>[0-9]{1,9}(?:\.[0-9]{1,12})?|\.[0-9]{1,12}))"
    r"(?![0-9./])[ ]*(?P<unit>.*)"
)
DECIMAL_COMMA = re.compile(r"(?P<before>[+\-−]?[0-9]+),(?P<after>[0-9]+)(?P<rest>.*)")


class NotAQuantity(ValueError):
    """A text is not a quantity; the message says what to write instead."""


@dataclass(frozen=True)
class Measure:
    """A quantity as somebody wrote it: the text is kept, the value is exact.

    text: as written. kind: a key of `KINDS`. value: in the kind's unit (`QUANTITY_KINDS`), a Fraction.
    unit: as written.
    """

    text: str
    kind: str
    value: Fraction
    unit: str

    def __float__(self) -> float:
        return float(self.value)

    @property
    def inches(self) -> bool:
        """Whether it was written in inch units."""
        return self.kind == "length" and self.unit in ("in", "thou", "tenth", "tenths", "ft")

    def __str__(self) -> str:
        return self.text


@functools.lru_cache(maxsize=8192)  # a build's texts are few, and each is asked for many times
def read_quantity(text: str, kind: str) -> Measure:
    """Read one quantity of a kind, such as `4 1/4 in` for a length.

    text: what was written. kind: a key of `KINDS`. Gives a `Measure`; raises `NotAQuantity` with the way
    to write it. Bounded: a text over 64 characters is refused unread.
    """
    units = KINDS[kind]
    text = text.strip()
    article = "an" if kind[0] in "ae" else "a"
    if len(text) > LONGEST:
        raise NotAQuantity(f"{article} {kind} is short. Found {len(text)} characters. Write it like {EXAMPLES[kind]}.")
    if kind == "ratio":
        return _read_ratio(text)
    if kind == "number":
        return _read_number(text)
    comma = DECIMAL_COMMA.fullmatch(text)
    if comma:
        right = f"{comma['before']}.{comma['after']}{comma['rest']}"
        raise NotAQuantity(f'a decimal comma could be read two ways. Found "{text}". Write "{right}".')
    match = NUMBER.fullmatch(text)
    if not match:
        raise NotAQuantity(f'expected {article} {kind}. Found "{text}". Write it like {EXAMPLES[kind]}.')
    unit = match["unit"].strip()
    if not unit:
        raise NotAQuantity(f'{article} {kind} needs a unit. Found "{text}". {_with_units(text, match, kind)}')
    if unit not in units:
        known = ", ".join(units)
        hint = ' A thousandth of an inch is a "thou".' if unit in ("mil", "mils") else ""
        raise NotAQuantity(f'"{unit}" is not a unit of {kind}. Found "{text}". Known: {known}.{hint}')
    value = _number(text, match)
    if kind == "temperature" and unit in ("F", "°F"):
        value -= 32
    return Measure(text, kind, value * units[unit], unit)


def smallest_step(measure: Measure) -> Fraction:
    """The step of the last digit that a quantity was written with, or of its fraction, in the unit of its kind.

    0.0001 in for 4.2465 in, 1/64 in for 1 51/64 in.
    """
    match = NUMBER.fullmatch(measure.text.strip())
    assert match, "a measure was read by this grammar"
    step = (
        Fraction(1, int(match["under"]))
        if match["under"]
        else Fraction(1, 10 ** len(match["decimal"].partition(".")[2]))
    )
    return step * KINDS[measure.kind][measure.unit]


def _number(text: str, match: re.Match[str]) -> Fraction:
    if match["under"] is None:
        value = Fraction("0" + match["decimal"] if match["decimal"].startswith(".") else match["decimal"])
    elif int(match["under"]) == 0:
        raise NotAQuantity(f'a fraction cannot be over nought. Found "{text}".')
    else:
        value = int(match["whole"] or 0) + Fraction(int(match["over"]), int(match["under"]))
    return -value if match["sign"] in ("-", "−") else value


def _with_units(text: str, match: re.Match[str], kind: str) -> str:
    if kind != "length":
        return f"Write it like {EXAMPLES[kind]}."
    metric = float(_number(text, match) * INCH)
    return f'Write "{text} in" or "{metric:.2f} mm".'


def _read_ratio(text: str) -> Measure:
    match = re.fullmatch(r"([0-9]{1,6}(?:\.[0-9]{1,6})?):([0-9]{1,6}(?:\.[0-9]{1,6})?)", text)
    if not match or Fraction(match[2]) == 0:
        raise NotAQuantity(f'expected a taper as a ratio. Found "{text}". Write it like {EXAMPLES["ratio"]}.')
    return Measure(text, "ratio", Fraction(match[1]) / Fraction(match[2]), "")


def _read_number(text: str) -> Measure:
    if not re.fullmatch(r"[+\-−]?(?:[0-9]{1,9}(?:\.[0-9]{1,12})?|\.[0-9]{1,12})", text):
        raise NotAQuantity(f'expected a plain number. Found "{text}". Write it like {EXAMPLES["number"]}.')
    return Measure(text, "number", Fraction(text.replace("−", "-")), "")


def read_readings(text: str) -> list[Measure]:
    """Read a row of readings, `4.2515 4.2515 4.2511 in`: decimals, then one unit for them all.

    Each reading keeps its own digits. Raises `NotAQuantity`. At most 50 readings a row.
    """
    words = text.strip().split()
    if len(words) > 51 or len(text) > 1000:
        raise NotAQuantity("a row holds at most 50 readings. Start another row.")
    if len(words) < 2:
        return [read_quantity(text, "length")]
    *numbers, unit = words
    if re.fullmatch(r"[+\-−]?[0-9.,]+", unit):
        last = f"{unit} in"
        raise NotAQuantity(
            f'a length needs a unit. Found "{text.strip()}". Write the unit after the last reading: "… {last}".'
        )
    readings: list[Measure] = []
    for number in numbers:
        if "/" in number:
            raise NotAQuantity(
                f'a row of readings is decimals. Found "{text.strip()}". Write a fraction as a list: ["1 51/64 in"].'
            )
        readings.append(read_quantity(f"{number} {unit}", "length"))
    return readings


# What the body of a formula works on: a number, a numpy array or a number with uncertainty. They share no type but this.
Number = Any

# Everything below a nanometre is arithmetic, not metal: the finest reading of a shop is a thousand times that.
GRAIN = 1e-6  # mm


def reaches(value: float, limit: float) -> bool:
    """Whether value is at or above limit, in mm, not turned by binary rounding.

    3.2500 in less 3.2465 in reaches 0.0035 in. Two values within a nanometre count as equal.
    """
    return value >= limit - GRAIN


@functools.cache
def unit(name: str) -> pint.Unit:
    """A unit by its name, read once: reading the text again costs more than a formula does."""
    return registry.Unit(name)


def quantity(value: Number, name: str) -> "PlainQuantity[Any]":
    """A value with a unit by its name; the value may be a number, an array or a number with uncertainty."""
    return Quantity(value, unit(name))


@functools.cache
def between(of: str, to: str) -> Callable[[Number], Number]:
    """What takes a number in one unit to another, by their names; worked out once, as pint's way there is long.

    Raises pint's DimensionalityError where they are of two kinds.
    """
    if unit(of) == unit(to):
        return lambda value: value

    def by_pint(value: Number) -> Number:
        return cast(Any, quantity(value, of)).m_as(unit(to))

    if by_pint(0.0) != 0:  # a scale with a zero of its own
        return by_pint
    factor = by_pint(1.0)
    return lambda value: value * factor


class Formula(Protocol):
    """A function of quantities that says its units (argument -> unit), those of its result, its source and where it holds.

    on_numbers: the same on plain numbers in these units, unchecked, for what is asked for hundreds of times in a build.
    """

    __name__: str
    units: dict[str, str]
    returns: str | tuple[str, ...]
    source: str
    ranges: "tuple[ValidRange, ...]"
    on_numbers: Callable[..., Any]

    def __call__(self, *args: Any, **kwargs: Any) -> Any: ...


def formula(
    returns: str | tuple[str, ...], *, source: str, **units: str
) -> Callable[[Callable[..., Number | tuple[Number, ...]]], Formula]:
    """Declare a formula's dimensions: its body works on plain numbers in the units named here.

    returns: unit of the result ("" for a plain number, a tuple for several). units: argument -> unit.
    source: key in the bibliography, or "common practice" or "derived".
    A call takes pint quantities (scalars, numpy arrays or numbers with uncertainty) and gives quantities;
    a bare number raises TypeError, a wrong dimension pint's DimensionalityError.
    """

    def declare(body: Callable[..., Number | tuple[Number, ...]]) -> Formula:
        signature = inspect.signature(body)
        names = list(signature.parameters)
        takes = {name: unit(unit_name) for name, unit_name in units.items()}
        gives = tuple(unit(unit_name) for unit_name in (returns if isinstance(returns, tuple) else (returns,)))

        @functools.wraps(body)
        def call(*args: Any, **kwargs: Any) -> Any:
            given = dict(zip(names, args, strict=False)) | kwargs
            for name, wanted in takes.items():
                value = given.get(name)
                if value is None:
                    continue
                if not isinstance(value, Quantity):
                    raise TypeError(
                        f"{body.__name__}: {name} needs a quantity in {units[name] or 'plain numbers'}, found {value!r}"
                    )
                given[name] = value.magnitude if value.units == wanted else value.m_as(wanted)
            result = body(**given)
            if isinstance(returns, tuple):
                return tuple(Quantity(magnitude, its) for magnitude, its in zip(result, gives, strict=True))
            return Quantity(result, gives[0])

        declared = cast(Formula, call)
        declared.units, declared.returns, declared.source, declared.ranges = units, returns, source, ()
        declared.on_numbers = body
        return declared

    return declare
