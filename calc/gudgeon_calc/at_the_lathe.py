"""What is worked out between two passes, on plain numbers: what a reading says, what is to come off, what the dial must say.

Nothing here needs a library, so that the answer to one line comes at once, and so that it can be written again in a script.
"""

import math
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any, Literal

from gudgeon_calc.student import normal_quantile, t_quantile

REFERENCE = 20.0  # °C, ISO 1
ROOT_3 = math.sqrt(3)
SMALLEST_RISK = 1e-6  # of scrap; a smaller one is said to be as small


def size_at_20(reading: Any, part_temp: Any, gauge_temp: Any, part_cte: Any, gauge_cte: Any) -> Any:
    """Size at 20 °C of a part read with a gauge, both away from 20 °C: R·[1 + αg(Tg − 20)] / [1 + αp(Tp − 20)].

    reading: any unit of length. part_temp, gauge_temp: °C. part_cte, gauge_cte: per K, mean linear expansion. Numbers, numbers
    with uncertainty, or arrays. Returns the unit of the reading. Source: ISO 1 gives 20 °C; linear expansion of both.
    Valid: both at an even temperature, within the range of their coefficients.
    """
    return reading * (1 + gauge_cte * (gauge_temp - REFERENCE)) / (1 + part_cte * (part_temp - REFERENCE))


def gauge_shows(
    size: float, part_temp: float, gauge_temp: float, part_cte: float, gauge_cte: float, reads_high: float = 0.0
) -> float:
    """What a gauge shows of a part of a known size at 20 °C, both at other temperatures: `size_at_20` turned round.

    size, reads_high: one unit of length; reads_high: how much the gauge is known to read too high. part_temp, gauge_temp: °C.
    part_cte, gauge_cte: per K. Returns the unit of the size. Source: ISO 1; linear expansion of both. Valid: as `size_at_20`.
    """
    warm = size * (1 + part_cte * (part_temp - REFERENCE))
    return warm / (1 + gauge_cte * (gauge_temp - REFERENCE)) + reads_high


@dataclass(frozen=True)
class Doubts:
    """What a reading is uncertain by, each for itself.

    use: standard uncertainty of feel and step. scale: expanded, k = 2, of the scale. Both in the unit of the reading.
    thermometer: ± K, shared by part and gauge. uneven: how far the part is off what was read on it, ± as a share of how far part
    and gauge are apart. part_cte: ± per K.
    """

    use: float
    scale: float
    thermometer: float
    uneven: float
    part_cte: float


def expanded_of_reading(
    reading: float, part_temp: float, gauge_temp: float, part_cte: float, gauge_cte: float, doubts: Doubts
) -> float:
    """Expanded uncertainty, k = 2, of a size at 20 °C from one row of readings: 2·√Σ(∂D/∂x·u(x))².

    reading: any unit of length. Temperatures: °C. part_cte, gauge_cte: per K. Returns the unit of the reading.
    Source: JCGM 100:2008, 5.1.2 (law of propagation), with what lies evenly within ± a taken as a/√3 (NIST TN 1297, 4.6).
    Valid: as `size_at_20`; what the thermometer reads high of the part it reads high of the gauge.
    """
    by_part = 1 + part_cte * (part_temp - REFERENCE)
    size = size_at_20(reading, part_temp, gauge_temp, part_cte, gauge_cte)
    of_part, of_gauge = -size * part_cte / by_part, reading * gauge_cte / by_part
    parts = (
        size / reading * doubts.use if reading else doubts.use,
        size / reading * doubts.scale / 2 if reading else doubts.scale / 2,
        (of_part + of_gauge) * doubts.thermometer / ROOT_3,
        of_part * doubts.uneven * abs(part_temp - gauge_temp) / ROOT_3,
        -size * (part_temp - REFERENCE) / by_part * doubts.part_cte / ROOT_3,
    )
    return 2 * math.sqrt(sum(part**2 for part in parts))


@dataclass(frozen=True)
class MetalOn:
    """What is still to come off, on diameter, one unit of length; negative: too much has gone.

    on_diameter: until the place with the most metal measures turn_to. to_first: until that place meets the first limit.
    to_last: until the place with the least metal passes the last limit. stops_short: a taper would make scrap before the
    middle of what is wanted.
    """

    on_diameter: float
    turn_to: float
    to_first: float
    to_last: float
    stops_short: bool


def metal_on(
    side: Literal["external", "internal"], most_metal: float, least_metal: float, low: float, high: float
) -> MetalOn:
    """Metal between what a feature measures and what is wanted of it.

    side: external: cutting makes it smaller; internal: larger. most_metal, least_metal: sizes of the places with the most and
    the least metal: the largest and the smallest of an external feature, the other way round of an internal one. low, high:
    least and most wanted. All in one unit of length, on diameter. Source: derived.

    A tool takes the same off everywhere. It is to bring the place with the most metal to the middle of what is wanted. Where
    that would make scrap of the place with the least, because a taper stays on, it stops halfway between the first place
    inside and scrap.
    """
    middle = (low + high) / 2
    sign = 1 if side == "external" else -1
    first, last = (high, low) if side == "external" else (low, high)
    to_first, to_last = sign * (most_metal - first), sign * (least_metal - last)
    on_diameter = sign * (most_metal - middle)
    stops_short = to_first < to_last < on_diameter
    if stops_short:
        on_diameter = (to_first + to_last) / 2
    return MetalOn(on_diameter, most_metal - sign * on_diameter, to_first, to_last, stops_short)


@dataclass(frozen=True)
class DialLaw:
    """What comes off for what is asked: got = slope·asked + offset, with the scatter of one cut (units of the data).

    middle: mean of what was asked; spread: sum of squares about it. They say how far the line is known where it is used.
    """

    slope: float
    offset: float
    scatter: float
    cuts: int
    middle: float
    spread: float

    def ask(self, wanted: float) -> float:
        """What to ask for so that on average the wanted comes off."""
        return (wanted - self.offset) / self.slope

    def next_scatter(self, asked: float) -> float:
        """Standard deviation of the next cut about the line: s·√(1 + 1/n + (x − x̄)²/Σ(xi − x̄)²).

        asked: what is set for it, in the unit of the data. Returns the same. Source: NIST/SEMATECH e-Handbook, 4.5.1.2
        (a single response: the line's own uncertainty and the scatter of one response). Valid: as for the law.
        """
        return self.scatter * math.sqrt(1 + 1 / self.cuts + (asked - self.middle) ** 2 / self.spread)


def divisions(on_diameter: float, division: float, dial_reads: Literal["radius", "diameter"]) -> float:
    """Divisions of a dial for so much on diameter: half of it on a dial that reads the radius.

    on_diameter, division: one unit of length. Returns a number without unit. Source: derived.
    """
    return (on_diameter / 2 if dial_reads == "radius" else on_diameter) / division


def landing_shift(risk: float, law: DialLaw | None, asked: float, reading: float) -> float:
    """How far short of the scrap limit to aim so that the chance of passing it is at most a chosen risk: √((t·s)² + (z·u)²).

    risk: 0 to 0.5, such as 0.05. law: of the dial; None leaves out the cut, so that the risk holds for the reading alone.
    asked: what is set for the cut. reading: standard uncertainty of the size against its limit, known beforehand; all on
    diameter, one unit. t of n − 2 degrees of freedom, because s was found from n cuts. Raises ValueError.
    Source: NIST/SEMATECH e-Handbook, 4.5.1.2, for s and t; adding the squares of the two reaches is the modified
    large-sample method (Graybill and Wang 1980, from memory). Valid: errors near normal; the risk is met exactly where either
    part is nought, and is under the stated one between.
    """
    if not 0 < risk <= 0.5:
        raise ValueError("a risk lies between 0 and 0.5")
    of_reading = normal_quantile(risk) * reading
    if law is None:
        return of_reading
    return math.hypot(t_quantile(risk, law.cuts - 2) * law.next_scatter(asked), of_reading)


def chance_of_scrap(to_last: float, asked: float, law: DialLaw, reading: float) -> float:
    """At most how likely it is that a cut passes the scrap limit: the risk whose `landing_shift` is the room that is left.

    to_last: to come off until the limit is passed. asked: what is set for the cut. reading: standard uncertainty of the size
    against its limit. All on diameter, one unit. Returns 0 to 1; where the cut itself reaches the limit it is at least one
    half, and is not told apart. Source: as `landing_shift`. Valid: as there.
    """
    room = to_last - (law.slope * asked + law.offset)
    if room <= 0:
        return 1.0 if room < 0 and not (law.scatter or reading) else 0.5
    least, most = SMALLEST_RISK, 0.5
    if room >= landing_shift(least, law, asked, reading):
        return least
    for _ in range(40):
        middle = math.sqrt(least * most)
        least, most = (middle, most) if landing_shift(middle, law, asked, reading) > room else (least, middle)
    return most


@dataclass(frozen=True)
class Taper:
    """A straight line along the axis: the change on diameter for one unit of length, and the length that was read."""

    slope: float
    length: float

    @property
    def over_all(self) -> float:
        """The change over the length that was read; positive grows with the station."""
        return self.slope * self.length


def taper_along(sections: Sequence[tuple[float, float]]) -> Taper | None:
    """The taper of sections, (station, mean size), by least squares; None where they are not at two stations or more.

    Stations and sizes: one unit of length. Source: NIST/SEMATECH e-Handbook, straight line by least squares.
    Valid: errors in the sizes alone, even along the axis.
    """
    stations = [station for station, _ in sections]
    if len(set(stations)) < 2:
        return None
    middle, mean = sum(stations) / len(stations), sum(size for _, size in sections) / len(sections)
    spread = sum((station - middle) ** 2 for station in stations)
    slope = sum((station - middle) * (size - mean) for station, size in sections) / spread
    return Taper(slope, max(stations) - min(stations))
