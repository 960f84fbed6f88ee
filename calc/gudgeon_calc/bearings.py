"""Bearings and pins: pressure on the projected area, sizes from loads, shells and bushes."""

import math

from gudgeon_calc.pistons import ROD_OVER_CRANK
from gudgeon_calc.units import Number, formula
from gudgeon_calc.validity import ValidRange, holds_for


@formula("MPa", source="khurmi-2005", load="newton", diameter="mm", length="mm")
def projected_pressure(load: Number, diameter: Number, length: Number) -> Number:
    """Pressure on a bearing's projected area: F/(d·l).

    load [newton]. diameter, length [mm]. Returns [MPa]. Source: Khurmi and Gupta 2005, Ex. 32.4.
    Valid: a mean figure; edges and misalignment carry more.
    """
    return load / (diameter * length)


@formula("mm", source="khurmi-2005", load="newton", length_ratio="", pressure="MPa")
def journal_diameter(load: Number, length_ratio: Number, pressure: Number) -> Number:
    """Diameter of a journal whose length is a multiple of it: √(F/(k·p)).

    load [newton]. length_ratio []: length over diameter. pressure [MPa]: allowed on the projected area.
    Returns [mm]. Source: Khurmi and Gupta 2005, pp. 1157-1159. Valid: pressure governs, not heat or bending.
    """
    return math.sqrt(load / (length_ratio * pressure))


@formula("mm", source="khurmi-2005", load="newton", beam="mm", width="mm", stress="MPa")
def cap_thickness(load: Number, beam: Number, width: Number, stress: Number) -> Number:
    """Thickness of a big-end cap as a beam between its bolts: √(6·(F·x/6)/(b·σ)).

    load [newton]: that pulls the cap off. beam [mm]: between bolt centres. width [mm]: of the cap. stress [MPa]:
    allowed. Returns [mm]. Source: Khurmi and Gupta 2005, p. 1160. Valid: load spread between even and central.
    """
    return math.sqrt(6 * (load * beam / 6) / (width * stress))


@holds_for(
    ROD_OVER_CRANK,
    ValidRange(
        "the cap over what of the rod turns",
        "cap",
        "the cap is a part of what turns",
        "derived here",
        least=0.0,
        most=1.0,
        over="turning",
    ),
)
@formula(
    "newton",
    source="derived",
    mass="kg",
    turning="kg",
    cap="kg",
    stroke="m",
    rod="m",
    speed="radian/second",
    suction="pascal",
    bore="m",
)
def rod_bolt_load(
    mass: Number,
    turning: Number,
    cap: Number,
    stroke: Number,
    rod: Number,
    speed: Number,
    suction: Number,
    bore: Number,
) -> Number:
    """Load that all rod bolts carry at inner dead centre, from exhaust to suction: m·r·ω²·(1 + r/L) + (mb − mc)·r·ω² + ps·π/4·D².

    mass [kg]: of piston, pin, rings and the rod's small end. turning [kg]: mb, what of the rod turns with the crankpin, the cap with it.
    cap [kg]: mc, of the cap, which the crankpin holds and the bolts do not. stroke, rod [m]: r is half the stroke, L the rod between
    centres. speed [radian/second]. suction [pascal]: ps, below the atmosphere's pressure. bore [m]. Returns [newton].
    Source: derived: what the bolts pull inward, over the cap; the piston's acceleration at dead centre is r·ω²·(1 + r/L), exactly. Khurmi and
    Gupta 2005, p. 1160, take the first term alone. Valid: four-stroke engine, the crank side of the piston at the atmosphere's pressure;
    what the bolts are tightened by comes on top, less what the joint gives up.
    """
    pull = stroke / 2 * speed**2
    inertia = mass * pull * (1 + stroke / 2 / rod)
    return inertia + (turning - cap) * pull + suction * math.pi / 4 * bore**2
