"""Flywheel rims: speed and stress. A wheel that bursts kills: these are figures to stay away from."""

import math
from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

from gudgeon_calc.units import Number, formula
from gudgeon_calc.validity import ValidRange

Row = Sequence[float] | NDArray[np.float64]
THIN_RIM = ValidRange(
    "the depth of the rim over its mean radius",
    "depth",
    "a deeper rim is stressed more at its inside, 7 percent at a tenth and 14 at a fifth",
    "derived here from the sum for a disc with a bore",  # 1 + x² + (1 + ν)·x times as much, x half of that number
    most=0.1,
    over="mean_radius",
)
RIM_FOR_RADIUS = ValidRange(  # the same for a radius, m, that a sum gives; depth in mm
    THIN_RIM.what, "depth", THIN_RIM.why, THIN_RIM.ground, most=THIN_RIM.most, over="result", times=1e-3
)


@formula("m/second", source="derived", outside="m", depth="m", speed="revolution/second")
def rim_speed(outside: Number, depth: Number, speed: Number) -> Number:
    """Speed of the rim at its mean radius: π·(D − depth)·n.

    outside [m]: outside diameter. depth [m]: radial depth of the rim. speed [revolution/second].
    Returns [m/second]. Source: derived. Valid: rims of even section.
    """
    return math.pi * (outside - depth) * speed


@formula("mm", source="derived", outside="mm", depth="mm")
def mean_radius(outside: Number, depth: Number) -> Number:
    """Mean radius of a rim: (D − h)/2.

    outside [mm]. depth [mm]: radial. Returns [mm]. Source: derived. Valid: even section.
    """
    return (outside - depth) / 2


@formula("MPa", source="carvill-1993", density="kg/m**3", velocity="m/second")
def hoop_stress(density: Number, velocity: Number) -> Number:
    """Hoop stress of a free thin ring: ρ·v².

    density [kg/m**3]. velocity [m/second]: at the mean radius. Returns [MPa].
    Source: Carvill 1993, sec. 1.2.7. Valid: ring in one piece, no spokes.
    """
    return density * velocity**2 / 1e6


@formula("MPa", source="common practice", density="kg/m**3", velocity="m/second", mean_radius="mm", depth="mm")
def rim_stress_between_spokes(
    density: Number, velocity: Number, mean_radius: Number, depth: Number, spokes: Number
) -> Number:
    """Rim stress with bending between spokes: ρ·v²·[¾ + 4.94·R/(n²·t)].

    density [kg/m**3]. velocity [m/second]: at the mean radius. mean_radius [mm]. depth [mm]: radial depth of
    the rim. spokes: how many. Returns [MPa].
    Source: common practice, no source, for the shares: three quarters of the free ring's stress and a quarter of the bending. The
    bending is derived: a straight beam fixed at both spokes, l = 2π·R/n, under w = ρ·v²·b·t/R has M = w·l²/12 and σ = 6·M/(b·t²),
    which is 2π²·ρ·v²·R/(n²·t); a quarter of 2π² is 4.94 nearly. Valid: one-piece rims of even section on stiff spokes.
    """
    return density * velocity**2 / 1e6 * (0.75 + 4.94 * mean_radius / (spokes**2 * depth))


@formula("MPa", source="derived", density="kg/m**3", velocity="m/second", poisson="", bore="mm", outside="mm")
def disc_stress(density: Number, velocity: Number, poisson: Number, bore: Number, outside: Number) -> Number:
    """Highest stress of a spinning disc, at the edge of its bore: ρ·v²/4·[(3 + ν) + (1 − ν)·(d/D)²].

    With no bore at all it is at the centre and half of what the smallest bore gives: ρ·v²·(3 + ν)/8 (Carvill 1993, sec. 1.2.7).
    density [kg/m**3]. velocity [m/second]: at the outside. poisson []. bore, outside [mm]: diameters; bore 0 is a solid disc.
    Returns [MPa]. Source: derived: σr = A − B/r² − (3 + ν)·ρω²r²/8, σt = A + B/r² − (1 + 3ν)·ρω²r²/8, both edges free, give
    A = (3 + ν)·ρω²·(ri² + ro²)/8 and B = (3 + ν)·ρω²·ri²·ro²/8; σt at ri is the sum above.
    A disc as thick as a long cylinder has at most 4 percent more: (3 − 2ν)/(1 − ν) for (3 + ν) (Shigley and Mischke 1989, as an
    engineering page quotes it). Valid: flat discs of even thickness, one piece, loose on the shaft; a keyway or a press fit adds to it.
    """
    if not 0 <= bore < outside:
        raise ValueError("the bore has to be smaller than the disc")
    solid = density * velocity**2 / 1e6 * (3 + poisson) / 8
    if bore == 0:
        return solid
    return 2 * solid + density * velocity**2 / 1e6 * (1 - poisson) / 4 * (bore / outside) ** 2


@formula("m/second", source="derived", solid="m/second", strength="")
def jointed_rim_speed(solid: Number, strength: Number) -> Number:
    """Highest speed of a jointed rim: that of a solid one · √(strength of the joint).

    solid [m/second]: highest speed of the same rim in one piece, at its edge. strength []: of the joint over that of the solid rim;
    about a quarter (nz-1921). Returns [m/second]. Source: derived: stress grows with the square of speed.
    Valid: the joint is the weakest place.
    """
    return solid * math.sqrt(strength)


@formula("", source="derived", speed="m/second", highest="m/second")
def share_of_speed(speed: Number, highest: Number) -> Number:
    """A rim's speed over the highest that it bears: over 1 it is past it.

    speed [m/second]. highest [m/second]. Returns []. Source: derived. Valid: both at one radius.
    """
    return speed / highest


@formula("kg", source="derived", outside="m", depth="m", width="m", density="kg/m**3")
def rim_mass(outside: Number, depth: Number, width: Number, density: Number) -> Number:
    """Mass of a rim: ρ·b·π/4·(D² − d²), worked out as ρ·b·π·t·(D − t), so that a thin rim is no difference of two large squares.

    outside [m]. depth [m]: radial. width [m]. density [kg/m**3]. Returns [kg]. Source: derived. Valid: even section.
    """
    return density * width * math.pi * depth * (outside - depth)


@formula("kg * m**2", source="derived", outside="m", depth="m", width="m", density="kg/m**3")
def rim_inertia(outside: Number, depth: Number, width: Number, density: Number) -> Number:
    """Moment of inertia of a rim about its axis: m·(R² + r²)/2.

    outside [m]. depth [m]: radial; half the diameter for a plain disc. width [m]. density [kg/m**3].
    Returns [kg * m**2]. Source: derived. Valid: the rim alone, of even section; spokes and hub add to it.
    """
    inside = outside - 2 * depth
    mass = density * width * math.pi * depth * (outside - depth)
    return mass * (outside**2 + inside**2) / 8


@formula("joule", source="khurmi-theory", inertia="kg * m**2", speed="radian/second")
def energy(inertia: Number, speed: Number) -> Number:
    """Energy in a turning wheel: I·ω²/2.

    inertia [kg * m**2]. speed [radian/second]. Returns [joule]. Source: Khurmi and Gupta, Theory of machines, Ex. 16.2.
    Valid: all wheels on the shaft counted.
    """
    return inertia * speed**2 / 2


def fluctuation_of_energy(angles: Row, torques: Row, load: Row | None = None) -> float:
    """Greatest fluctuation of energy in joules from a torque diagram over one cycle.

    angles: radians, rising, the first and last a cycle apart. torques: N·m at them. load: N·m at them; without it the
    mean torque. Between two points the torque runs straight. Raises ValueError for lists of unlike length.
    Source: Khurmi and Gupta, Theory of machines, Ex. 16.12. Valid: steady running, the cycle closed.
    """
    if len(angles) < 2 or len(torques) != len(angles) or (load is not None and len(load) != len(angles)):
        raise ValueError("a torque diagram needs a torque at every angle, two or more of them")
    at, widths, drives = np.asarray(angles, dtype=float), np.diff(angles), np.asarray(torques, dtype=float)
    if load is None:
        load = np.full(len(at), np.sum(widths * (drives[:-1] + drives[1:]) / 2) / (at[-1] - at[0]))
    over = drives - np.asarray(load, dtype=float)
    before, after = over[:-1], over[1:]
    heights = np.concatenate(([0.0], np.cumsum(widths * (before + after) / 2)))
    # Where it crosses nought between two points, the extreme lies there.
    crosses = before * after < 0
    turns = heights[:-1][crosses] + widths[crosses] * before[crosses] ** 2 / (before - after)[crosses] / 2
    extremes = np.concatenate((heights, turns))
    return float(np.max(extremes) - np.min(extremes))


@formula("", source="khurmi-theory", fluctuation="joule", inertia="kg * m**2", speed="radian/second")
def coefficient_of_fluctuation(fluctuation: Number, inertia: Number, speed: Number) -> Number:
    """Coefficient of fluctuation of speed: ΔE/(I·ω²), highest less lowest speed over their mean.

    fluctuation [joule]: of energy. inertia [kg * m**2]. speed [radian/second]: mean. Returns [].
    Source: Khurmi and Gupta, Theory of machines, Ex. 16.16.
    Exact, for I·(ω1² − ω2²)/2 is I·ω·(ω1 − ω2). Valid: a mean speed half-way between highest and lowest.
    """
    return fluctuation / (inertia * speed**2)


@formula("m", source="derived", stress="MPa", density="kg/m**3", speed="radian/second")
def radius_for_stress(stress: Number, density: Number, speed: Number) -> Number:
    """Mean radius at which a free rim reaches a hoop stress: √(σ/ρ)/ω.

    stress [MPa]. density [kg/m**3]. speed [radian/second]. Returns [m]. Source: derived from ρ·v².
    Valid: ring in one piece, no spokes.
    """
    return math.sqrt(stress * 1e6 / density) / speed


@formula("revolution/minute", source="common practice", speed="revolution/minute")
def runaway(speed: Number) -> Number:
    """Speed to reckon with when the governor sticks: twice the governed speed, where nothing better is known.

    speed [revolution/minute]: governed. Returns [revolution/minute]. Source: common practice, no source.
    Valid: a guess for want of a better; a light engine without load may go beyond.
    """
    return 2 * speed
