"""How quantities other than lengths are said: in this build's units first, in the others beside them."""

import math
import re

from gudgeon.assess.findings import Calculation, DangerFinding, Term
from gudgeon.wording import INCH, UnitFormatter, number

# Kind of gudgeon_calc.units.QUANTITY_KINDS -> ((unit, factor from the unit of the kind) of the inch world, the same of the
# metric world); one pair where both worlds say the same. What SHOWN_OTHERWISE names is said in a way of its own.
SHOWN_OTHERWISE = ("size", "length", "temperature")
SHOWN = {
    "area": (("sq in", 1 / INCH**2), ("mm²", 1.0)),
    "volume": (("cu in", 1 / INCH**3), ("cm³", 1e-3)),
    "angle": (("°", 1.0),),
    "speed": (("rpm", 1.0),),
    "time": (("min", 1.0),),
    "velocity": (("ft/min", 60 / 0.3048), ("m/s", 1.0)),
    "frequency": (("a minute", 1.0),),
    "drip rate": (("drops/min", 1.0),),
    "pressure": (("psi", 145.037738), ("MPa", 1.0)),
    "force": (("lbf", 0.224808943), ("N", 1.0)),
    "torque": (("lbf·ft", 0.737562149), ("N·m", 1.0)),
    "mass": (("lb", 2.20462262), ("kg", 1.0)),
    "density": (("lb/cu in", 3.61272920e-5), ("kg/m³", 1.0)),
    "inertia": (("lb·ft²", 23.7303604), ("kg·m²", 1.0)),
    "energy": (("ft·lbf", 0.737562149), ("J", 1.0)),
    "power": (("hp", 1 / 745.699872), ("W", 1.0)),
    "mass flow": (("lb/h", 2.20462262), ("kg/h", 1.0)),
    "volume flow": (("cu in/h", 0.0610237441), ("ml/h", 1.0)),
    "spring rate": (("lbf/in", 5.71014715), ("N/mm", 1.0)),
    "expansion": (("e-6 /K", 1e6),),
    "temperature difference": (("°F warmer", 1.8), ("K", 1.0)),
    "number": (("", 1.0),),
    "ratio": (("", 1.0),),
}
DIGITS = 4
Spread = tuple[float, float] | None
FAR = 10_000.0  # mm: a length from here on is a height or a distance, said in feet or metres
COUNTED = ("angle", "speed", "frequency", "drip rate")  # said as they are counted: 420 rpm, not 420.0


def text(fmt: UnitFormatter, value: float, kind: str, spread: Spread = None) -> str:
    """A quantity in the build's own unit. spread: its least and most, which tell how many figures it carries."""
    return texts(value, kind, spread)[0 if fmt.inch else -1]


def with_range(fmt: UnitFormatter, value: float, kind: str, spread: Spread) -> str:
    """A quantity in the build's own unit with its range, none of the three with more figures than it carries."""
    said = text(fmt, value, kind, spread)
    if spread is None:
        return said
    low, high = (text(fmt, end, kind, spread) for end in spread)
    if low == high:  # a range that is narrower than what is shown says nothing
        return said
    return f"{said} ({low.partition(' ')[0]} to {high})"


def texts(value: float, kind: str, spread: Spread = None) -> list[str]:
    """A quantity in the inch world's unit and in the metric one; once where both say the same.

    spread: its least and most: the figures end where half of that has its second.
    """
    if spread is not None and spread[1] > spread[0]:
        half = (spread[1] - spread[0]) / 2
        return [
            _to_figures(value * factor + zero, half * factor, unit, most) for unit, factor, zero, most in _units(kind)
        ]
    if kind == "size":
        return [UnitFormatter("in").size_text(value), UnitFormatter("mm").size_text(value)]
    if kind == "length":
        if abs(value) >= FAR:
            return [f"{_bare(significant(value / INCH / 12))} ft", f"{_bare(significant(value / 1000))} m"]
        return [f"{_four(value / INCH, 4)} in", f"{_four(value, 3)} mm"]
    if kind == "temperature":
        return [f"{number(value * 1.8 + 32, 1)} °F", f"{number(value, 1)} °C"]
    if kind in COUNTED:
        return [_joined(_bare(significant(value)), SHOWN[kind][0][0])]
    return [_joined(significant(value * factor), unit) for unit, factor in SHOWN[kind]]


def _units(kind: str) -> list[tuple[str, float, float, int | None]]:
    """(unit, factor from the unit of the kind, what is added, most places) of the inch world and of the metric one."""
    if kind in ("size", "length"):
        return [("in", 1 / INCH, 0.0, 4), ("mm", 1.0, 0.0, 3)]
    if kind == "temperature":
        return [("°F", 1.8, 32.0, 1), ("°C", 1.0, 0.0, 1)]
    return [(unit, factor, 0.0, None) for unit, factor in SHOWN[kind]]


def _to_figures(value: float, half: float, unit: str, most: int | None) -> str:
    places = 1 - math.floor(math.log10(half))
    # No more than without a range: what one input carries less of, another may carry more of.
    usual = most if most is not None else DIGITS - 1 - math.floor(math.log10(abs(value))) if value else places
    return _joined(_places(value, min(places, usual)), unit)


def _places(value: float, places: int) -> str:
    """A figure to so many places; below nought: to tens, hundreds ..."""
    if places >= 0:
        return number(value, places)
    return number(float(number(abs(value) / 10**-places, 0)) * 10**-places * (1 if value >= 0 else -1), 0)


def significant(value: float, digits: int = DIGITS) -> str:
    """A figure to so many significant digits, whole units above them too: 30649 is 30650."""
    if value == 0:
        return "0"
    return _places(value, digits - 1 - _exponent(value, digits))


def _exponent(value: float, digits: int = DIGITS) -> int:
    """The power of ten of a figure once it is rounded: 9.9999 is 10.00."""
    return int(f"{value:.{digits - 1}e}".partition("e")[2])


def _four(value: float, most: int) -> str:
    """A length to so many places, and to no more than four figures: 0.1417 in, 10.88 in."""
    return number(value, most) if value == 0 else _places(value, min(most, DIGITS - 1 - _exponent(value)))


def _joined(figure: str, unit: str) -> str:
    return f"{figure}{unit}" if unit == "°" else f"{figure} {unit}".strip()


def limit_text(fmt: UnitFormatter, value: float, kind: str, figures: int) -> str:
    """A limit in the build's own unit, with as many figures as it is written with: 25 kg is 55 lb."""
    units = _units(kind)
    unit, factor, zero, _ = units[0 if fmt.inch else -1]
    return _joined(significant(value * factor + zero, figures), unit)


def spread_of(finding: Calculation | DangerFinding | Term) -> Spread:
    """The least and the most of a result or an input, where something says."""
    return None if finding.low is None or finding.high is None else (finding.low, finding.high)


def in_letters(calculation: Calculation) -> str:
    """A sum with its letters."""
    return calculation.formula.format_map(calculation.symbols)


def in_numbers(fmt: UnitFormatter, calculation: Calculation) -> str:
    """A sum with this engine's numbers; one that is raised to a power stands in brackets with its unit."""
    raised = re.sub(r"(\{\w+\})([²³⁴^])", r"(\1)\2", calculation.formula)
    return raised.format_map({term.argument: _given(fmt, term) for term in calculation.terms})


def _given(fmt: UnitFormatter, term: Term) -> str:
    """A number that went into a sum, without noughts that nobody wrote."""
    value, kind = term.value, term.kind
    figure, _, unit = text(fmt, value, kind, spread_of(term)).partition(" ")
    return f"{figure if kind in ('size', 'length') and spread_of(term) else _bare(figure)} {unit}".strip()


def _bare(figure: str) -> str:
    """A figure without the noughts at its end."""
    return figure.rstrip("0").rstrip(".") if "." in figure else figure
