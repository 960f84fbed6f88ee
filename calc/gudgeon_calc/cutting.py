"""Cutting on the lathe: speed, time, passes, finish, and what the dial must say."""

import bisect
import math
from collections.abc import Sequence

from gudgeon_calc.at_the_lathe import DialLaw
from gudgeon_calc.form import line_fit
from gudgeon_calc.published import table
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


def cut_law(asked: Sequence[float], got: Sequence[float]) -> DialLaw:
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
    return DialLaw(line.slope, line.intercept, line.residual_sd, len(asked), middle, spread)
