"""How quantities other than lengths are said: in this build's units first, in the others beside them."""

import math
import re

from gudgeon.assess.findings import Calculation
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
COUNTED = ("angle", "speed", "frequency", "drip rate")  # said as they are counted: 420 rpm, not 420.0


def text(fmt: UnitFormatter, value: float, kind: str) -> str:
    """A quantity in the build's own unit."""
    return texts(value, kind)[0 if fmt.inch else -1]


def texts(value: float, kind: str) -> list[str]:
    """A quantity in the inch world's unit and in the metric one; once where both say the same."""
    if kind == "size":
        return [UnitFormatter("in").size_text(value), UnitFormatter("mm").size_text(value)]
    if kind == "length":
        return [f"{number(value / INCH, 4)} in", f"{number(value, 3)} mm"]
    if kind == "temperature":
        return [f"{number(value * 1.8 + 32, 1)} °F", f"{number(value, 1)} °C"]
    if kind in COUNTED:
        return [f"{_bare(significant(value))} {SHOWN[kind][0][0]}"]
    return [f"{significant(value * factor)} {unit}".strip() for unit, factor in SHOWN[kind]]


def significant(value: float) -> str:
    """A figure to four significant digits, never fewer than the whole units."""
    if value == 0:
        return "0"
    return number(value, max(0, DIGITS - 1 - math.floor(math.log10(abs(value)))))


def in_letters(calculation: Calculation) -> str:
    """A sum with its letters."""
    return calculation.formula.format_map(calculation.symbols)


def in_numbers(fmt: UnitFormatter, calculation: Calculation) -> str:
    """A sum with this engine's numbers; one that is raised to a power stands in brackets with its unit."""
    raised = re.sub(r"(\{\w+\})([²³⁴^])", r"(\1)\2", calculation.formula)
    return raised.format_map({term.argument: _given(fmt, term.value, term.kind) for term in calculation.terms})


def _given(fmt: UnitFormatter, value: float, kind: str) -> str:
    """A number that went into a sum, without noughts that nobody wrote."""
    figure, _, unit = text(fmt, value, kind).partition(" ")
    return f"{figure if kind in ('size', 'length') else _bare(figure)} {unit}".strip()


def _bare(figure: str) -> str:
    """A figure without the noughts at its end."""
    return figure.rstrip("0").rstrip(".") if "." in figure else figure
