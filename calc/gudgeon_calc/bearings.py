"""Bearings and pins: pressure on the projected area, sizes from loads, shells and bushes."""

import math

from gudgeon_calc.units import Number, formula


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


@formula("newton", source="derived", mass="kg", stroke="m", speed="radian/second", rod="m")
def reciprocating_load(mass: Number, stroke: Number, speed: Number, rod: Number) -> Number:
    """Inertia load at inner dead centre: m·r·ω²·(1 + r/L), which the rod bolts carry in a four-stroke engine.

    mass [kg]: of piston, pin, rings and the rod's small end. stroke [m]: r is half of it. speed [radian/second].
    rod [m]: between centres. Returns [newton]. Source: derived (first two terms of the piston's acceleration).
    Valid: rod longer than twice the crank.
    """
    crank = stroke / 2
    return mass * crank * speed**2 * (1 + crank / rod)
