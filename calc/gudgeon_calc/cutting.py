"""Cutting on the lathe: speed, time, passes, finish, and what the dial must say."""

import bisect
import math
from collections.abc import Sequence
from dataclasses import dataclass
from statistics import NormalDist

from gudgeon_calc.form import line_fit
from gudgeon_calc.published import table
from gudgeon_calc.uncertainty import t_quantile
from gudgeon_calc.units import Number, formula


@formula("revolution/minute", source="derived", surface="m/minute", diameter="m")
def spindle_speed(surface: Number, diameter: Number) -> Number:
    """Spindle speed for a surface speed: V/(π·D); in inches 12·V/(π·D), not the shortcut 4·V/D, which is 5 percent fast.

    surface [m/minute]. diameter [m]: where it cuts. Returns [revolution/minute]. Source: derived. Valid: turning and boring.
    """
    return surface / (math.pi * diameter)


@formula("m/minute", source="derived", speed="revolution/minute", diameter="m")
def surface_speed(speed: Number, diameter: Number) -> Number:
    """Surface speed of work: π·D·n.

    speed [revolution/minute]. diameter [m]. Returns [m/minute]. Source: derived. Valid: turning and boring.
    """
    return math.pi * diameter * speed


@formula("minute", source="derived", length="mm", feed="mm", speed="revolution/minute")
def cutting_time(length: Number, feed: Number, speed: Number) -> Number:
    """Time of one pass: L/(f·n).

    length [mm]: of the cut with its run-in. feed [mm]: per revolution. speed [revolution/minute]. Returns [minute].
    Source: derived. Valid: the tool in the cut; winding back and measuring come on top.
    """
    return length / (feed * speed)


def pick_speed(speed: float, ladder: Sequence[float], over: float = 0.0) -> float | None:
    """The fastest speed of a spindle's ladder that is at most a share over a speed; None where even the slowest is.

    speed, ladder: rpm. over: share by which a rung may be faster. Source: common practice, no source.
    Valid: a few percent; the next rung up burns the tool.
    """
    rungs = sorted(ladder)
    place = bisect.bisect_right(rungs, speed * (1 + over) * (1 + 1e-9))
    return rungs[place - 1] if place else None


def cutting_speeds(metal: str, tool: str) -> list[tuple[float, float, str, str, str]]:
    """What each source prints for a metal and a tool: (least, most in ft/min, source, where, basis).

    metal, tool: as in the table. Empty where none is held. Source: named row by row. Valid: ordinary turning.
    """
    return [
        (float(row["least_ft_min"]), float(row["most_ft_min"]), row["source"], row["where"], row["basis"])
        for row in table("cutting-speeds")
        if row["metal"] == metal and row["tool"] == tool
    ]


def rough_passes(stock: float, leave: float, depth: float) -> int:
    """How many rough passes take stock down to what is left for finishing: ⌈(stock − leave)/(2·depth)⌉.

    stock, leave: on diameter. depth: per side; all in one unit, depth above nought. Source: derived.
    Valid: through the skin or without one; the first pass has to get below it.
    """
    return max(0, math.ceil((stock - leave) / (2 * depth) - 1e-9))


@dataclass(frozen=True)
class CutLaw:
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


def cut_law(asked: Sequence[float], got: Sequence[float]) -> CutLaw:
    """Fit cuts asked against cuts got, by least squares.

    asked, got: on diameter, one unit, three cuts or more at two different settings. Raises ValueError.
    Source: NIST/SEMATECH e-Handbook (straight line by least squares). Valid: one tool, feed and holding; passes without
    infeed are not cuts and are left out by the caller.
    """
    if len(asked) < 3:
        raise ValueError("a law of the dial needs three cuts or more")
    line = line_fit(asked, got)
    if line.slope <= 0:
        raise ValueError("more asked has to give more cut")
    middle = sum(asked) / len(asked)
    spread = sum((setting - middle) ** 2 for setting in asked)
    return CutLaw(line.slope, line.intercept, line.residual_sd, len(asked), middle, spread)


def landing_shift(risk: float, law: CutLaw | None, asked: float, reading: float) -> float:
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
    of_reading = NormalDist().inv_cdf(1 - risk) * reading
    if law is None:
        return of_reading
    return math.hypot(t_quantile(risk, law.cuts - 2) * law.next_scatter(asked), of_reading)
