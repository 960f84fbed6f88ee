"""Turning moment of a one-cylinder four-stroke engine, from an idealised card and the inertia of what goes to and fro."""

import functools
import math

import numpy as np
from numpy.typing import NDArray

from gudgeon_calc.engine import ABOVE_ONE
from gudgeon_calc.flywheels import fluctuation_of_energy
from gudgeon_calc.pistons import ROD_OVER_CRANK
from gudgeon_calc.units import Number, formula
from gudgeon_calc.validity import holds_for

STEPS = 1440  # half degrees over the two turns of a cycle


def piston_motion(angle: Number, crank: float, rod: float) -> tuple[Number, Number, Number]:
    """Piston from inner dead centre, and its first and second derivative by the crank's angle.

    angle: radian from inner dead centre, one or a column of them. crank, rod: one unit of length. Returns that unit (per radian, per radian squared).
    Source: derived: x = r(1 − cos θ) + L − √(L² − r²·sin²θ), differentiated. Valid: rod longer than the crank.
    """
    sine, cosine = np.sin(angle), np.cos(angle)
    along = np.sqrt(rod**2 - (crank * sine) ** 2)
    first = crank * sine * (1 + crank * cosine / along)
    second = crank * cosine + crank**2 * (cosine**2 - sine**2) / along + (crank**2 * sine * cosine) ** 2 / along**3
    return crank * (1 - cosine) + rod - along, first, second


def gas_pressure(
    angle: Number, swept_share: Number, ratio: float, peak: float, atmosphere: float, compresses: float, expands: float
) -> Number:
    """Pressure on the piston above the atmosphere's, over a cycle that begins with suction at inner dead centre.

    angle: 0 to 4π, one or a column of them. swept_share: piston's travel over its stroke. ratio: compression ratio. peak: highest pressure, gauge.
    atmosphere: absolute. compresses, expands: polytropic exponents. One unit of pressure.
    Source: derived: suction and exhaust at the atmosphere's pressure, p·V^n constant between, burning at inner dead centre.
    Valid: a card that is rounded at its peak, or loses by its valves, does less work from the same peak.
    """
    volume = (1 / (ratio - 1) + swept_share) / (1 / (ratio - 1))  # over that of the clearance
    compressing = (math.pi <= angle) & (angle < 2 * math.pi)
    expanding = (2 * math.pi <= angle) & (angle < 3 * math.pi)
    compressed = atmosphere * ((ratio / volume) ** compresses - 1)
    expanded = (peak + atmosphere) * volume**-expands - atmosphere
    return np.where(compressing, compressed, np.where(expanding, expanded, 0.0))


@holds_for(ROD_OVER_CRANK, ABOVE_ONE)
@formula(
    ("newton * m", "joule", "newton * m"),
    source="derived",
    bore="m",
    stroke="m",
    rod="m",
    speed="radian/second",
    mass="kg",
    ratio="",
    peak="pascal",
    atmosphere="pascal",
    compresses="",
    expands="",
)
def turning_moment(
    bore: Number,
    stroke: Number,
    rod: Number,
    speed: Number,
    mass: Number,
    ratio: Number,
    peak: Number,
    atmosphere: Number,
    compresses: Number,
    expands: Number,
) -> tuple[Number, Number, Number]:
    """Mean turning moment, greatest fluctuation of energy and greatest moment of a four-stroke cycle that fires.

    T(θ) = (p·A − m·ω²·x″)·x′ over 720°, with the gas by `gas_pressure`; the load is taken as even, at the mean.
    bore, stroke, rod [m]: rod between centres. speed [radian/second]. mass [kg]: that goes to and fro. ratio []: compression ratio.
    peak [pascal]: highest pressure, gauge. atmosphere [pascal]: absolute. compresses, expands []: polytropic exponents.
    Returns (mean, fluctuation, greatest) [newton * m], [joule], [newton * m]. Raises ValueError. Source: derived here from
    `gas_pressure` and the motion of the crank; its mean is held against the cycle's work in closed form.
    Valid: one cylinder, four-stroke, every charge fired, valve losses and friction left out; steady speed.
    """
    if rod <= stroke / 2 or ratio <= 1:
        raise ValueError("the rod has to be longer than the crank, and the compression ratio above 1")
    return _of_cycle(bore, stroke, rod, speed, mass, ratio, peak, atmosphere, compresses, expands)


@functools.lru_cache(maxsize=1024)  # three sums of an engine take one of its results each, at every point of its doubts
def _of_cycle(
    bore: float,
    stroke: float,
    rod: float,
    speed: float,
    mass: float,
    ratio: float,
    peak: float,
    atmosphere: float,
    compresses: float,
    expands: float,
) -> tuple[float, float, float]:
    area, crank = math.pi / 4 * bore**2, stroke / 2
    angles = 4 * math.pi * np.arange(STEPS + 1) / STEPS
    with np.errstate(all="ignore"):  # numbers that no engine has give no finite moment
        travelled, first, second = piston_motion(angles, crank, rod)
        pressure = gas_pressure(angles, travelled / stroke, ratio, peak, atmosphere, compresses, expands)
        moments: NDArray[np.float64] = (pressure * area - mass * speed**2 * second) * first
        return float(np.mean(moments[:-1])), fluctuation_of_energy(angles, moments), float(np.max(moments))


@formula("kg * m**2", source="khurmi-theory", fluctuation="joule", coefficient="", speed="radian/second")
def inertia_wanted(fluctuation: Number, coefficient: Number, speed: Number) -> Number:
    """Moment of inertia of all wheels that keeps a coefficient of fluctuation: ΔE/(k·ω²).

    fluctuation [joule]: of energy, in a cycle. coefficient []: k, highest less lowest speed over their mean.
    speed [radian/second]: mean. Returns [kg * m**2]. Source: Khurmi and Gupta, Theory of machines, Ex. 16.16.
    Valid: a mean speed half-way between highest and lowest; exact then.
    """
    return fluctuation / (coefficient * speed**2)


@formula("kg", source="derived", inertia="kg * m**2", wheels="", radius="m")
def rim_mass_wanted(inertia: Number, wheels: Number, radius: Number) -> Number:
    """Mass of each rim that has a moment of inertia between them: I/(n·R²).

    inertia [kg * m**2]: of all wheels. wheels []: how many, alike. radius [m]: mean, of the rim. Returns [kg].
    Source: derived. Valid: the rim taken as a hoop at its mean radius, hubs and spokes left out: a little more is there than is counted.
    """
    return inertia / (wheels * radius**2)


@formula(
    "revolution/minute",
    source="derived",
    speed="radian/second",
    torque="newton * m",
    missed="",
    inertia="kg * m**2",
    wheels="",
)
def speed_after_misses(speed: Number, torque: Number, missed: Number, inertia: Number, wheels: Number) -> Number:
    """Speed to which a hit-and-miss engine falls while it coasts through missed cycles: √(ω² − 2·T·4π·c/(n·I)).

    speed [radian/second]: at the beginning of the first missed cycle. torque [newton * m]: of the load with friction and pumping,
    even over the coast. missed []: cycles of four strokes in a row. inertia [kg * m**2]: of one wheel. wheels []: how many, alike.
    Returns [revolution/minute]. Raises ValueError where it stops. Source: derived from the energy of the wheels.
    Valid: a torque that does not fall with the speed; compression is given back.
    """
    left = speed**2 - 2 * torque * 4 * math.pi * missed / (wheels * inertia)
    if left <= 0:
        raise ValueError("it stops before it fires again")
    return math.sqrt(left) * 30 / math.pi
