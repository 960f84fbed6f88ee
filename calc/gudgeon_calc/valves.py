"""Valves and timing: areas, springs, marks on the rim, dead centre."""

import math

from gudgeon_calc.units import Number, formula
from gudgeon_calc.validity import ValidRange


def _met_from_dead_centre(mark_before: Number, mark_after: Number, rim: Number) -> Number:
    return abs(mark_after - mark_before) / 2 / (math.pi * rim) * 360


AWAY_FROM_DEAD_CENTRE = ValidRange(
    "the crank's angle from dead centre at which the stop is met",
    _met_from_dead_centre,
    "near dead centre the piston hardly moves, and the stop is met anywhere",
    "common practice, no source",
    least=15.0,
    unit="°",
    judged="stop_angle",
)


@formula("mm**2", source="derived", diameter="mm", lift="mm")
def curtain_area(diameter: Number, lift: Number) -> Number:
    """Area that a lifted valve leaves open: round its edge π·d·l, and never more than the port's own π·d²/4.

    diameter [mm]: of the port. lift [mm]. Returns [mm**2]. Source: derived: the two are equal at a lift of d/4.
    Valid: flat seats, no stem in the port.
    """
    return math.pi * diameter * min(lift, diameter / 4)


@formula("mm", source="derived", diameter="mm")
def full_lift(diameter: Number) -> Number:
    """Lift at which the curtain is as large as the port: d/4.

    diameter [mm]: of the port. Returns [mm]. Source: derived; a seat of 45° needs d/(4·cos 45°), two fifths more.
    Valid: flat seats.
    """
    return diameter / 4


@formula("m/second", source="derived", piston_speed="m/second", bore="mm", area="mm**2")
def gas_speed(piston_speed: Number, bore: Number, area: Number) -> Number:
    """Mean speed of gas through an opening: v·A/a.

    piston_speed [m/second]: mean. bore [mm]. area [mm**2]: of the opening. Returns [m/second]. Source: derived.
    Valid: a mean over the stroke; gas does not follow at the peak.
    """
    return piston_speed * math.pi / 4 * bore**2 / area


@formula("newton", source="derived", pressure="MPa", diameter="mm")
def spring_load(pressure: Number, diameter: Number) -> Number:
    """Spring load that lets an automatic valve open at a suction: p·π/4·d².

    pressure [MPa]: suction at which it opens. diameter [mm]: of the port. Returns [newton]. Source: derived.
    Valid: valve shut; its own weight is to be added or taken off where it hangs.
    """
    return pressure * math.pi / 4 * diameter**2


@formula("degree", source="derived", opens_before="degree", shuts_after="degree")
def duration(opens_before: Number, shuts_after: Number) -> Number:
    """Crank angle for which a valve stands open over one stroke: before + 180 + after.

    opens_before [degree]: before the dead centre that begins the stroke; negative is after it. shuts_after [degree]:
    after the dead centre that ends it. Returns [degree]. Source: derived. Valid: any four-stroke engine.
    """
    return opens_before + 180 + shuts_after


@formula("mm", source="derived", mark_before="mm", mark_after="mm")
def dead_centre_mark(mark_before: Number, mark_after: Number) -> Number:
    """Dead centre on the rim by the stop method: half-way between the marks at which the stop is met on either side.

    mark_before, mark_after [mm]: along the rim, from one zero. Returns [mm]. Source: derived: the motion is even about
    dead centre. Valid: marks by a stop met on both sides; the highest reading of an indicator is no dead centre.
    """
    return (mark_before + mark_after) / 2
