"""Cylinder and head: walls, gas load, studs, volumes, the pressure test."""

import math

from gudgeon_calc.units import Number, formula
from gudgeon_calc.validity import ValidRange, holds_for

# Khurmi and Gupta 2005, Table 32.1, as quoted page by page: bore in mm, allowance for reboring in mm.
REBORING = (
    *((75.0, 1.5), (100.0, 2.4), (150.0, 4.0), (200.0, 6.3), (250.0, 8.0)),
    *((300.0, 9.5), (350.0, 11.0), (400.0, 12.5), (450.0, 12.5), (500.0, 12.5)),
)

REBORED = ValidRange(
    "the bore",
    "bore",
    "the print has no row for it",
    "Khurmi and Gupta 2005, Table 32.1, as quoted page by page",
    least=REBORING[0][0],
    most=REBORING[-1][0],
    unit="mm",
)
THIN_FOR_ITS_PRESSURE = ValidRange(
    "the wall that the pressure asks for, over the bore",
    "pressure",
    "the thin sum reads a tenth low there, and lower beyond; take the outside by Lamé",
    "derived here: Lamé's 5.55 p against 5 p",
    most=0.1,
    over="stress",
    times=0.5,
)
POURED_WALL = ValidRange(
    "the wall",
    "result",
    "foundries seldom pour thinner",
    "Khurmi and Gupta 2005, ch. 32, as quoted page by page",
    least=4.5,
    unit="mm",
)
FRICTION_FACTOR = ValidRange(
    "the friction factor K",
    "factor",
    "no state of threads in the table has it",
    "Shigley 2010, Table 8-15 p. 439",
    least=0.09,
    most=0.30,
)


@formula("MPa", source="bourne-1865", pressure="MPa", bore="mm", wall="mm")
def wall_stress(pressure: Number, bore: Number, wall: Number) -> Number:
    """Hoop stress of a wall: p·D/(2t); over a tenth of the bore thick, at the bore by Lamé: p·[(D + 2t)² + D²]/[(D + 2t)² − D²].

    pressure [MPa]: gauge. bore, wall [mm]: wall at its thinnest. Returns [MPa]. Source: Bourne 1865, Q. 342.
    The thin sum is used up to a tenth of the bore, where it reads a tenth low. Valid: even wall without ribs.
    """
    if wall > bore / 10:
        outside = bore + 2 * wall
        return pressure * (outside**2 + bore**2) / (outside**2 - bore**2)
    return pressure * bore / (2 * wall)


@formula("mm", source="derived", worn="mm", pit="mm", set_up="mm")
def clean_up_bore(worn: Number, pit: Number, set_up: Number) -> Number:
    """Smallest bore that cleans up: largest worn diameter + 2·deepest pit + set-up error.

    worn [mm]: largest diameter read. pit [mm]: depth of the deepest. set_up [mm]: on diameter. Returns [mm].
    Source: derived. Valid: pits on any side.
    """
    return worn + 2 * pit + set_up


@formula("mm**3", source="derived", diameter="mm", thickness="mm")
def disc_volume(diameter: Number, thickness: Number) -> Number:
    """Volume of a crushed gasket's hole, or of a disc: π/4·D²·t.

    diameter [mm]: of the hole. thickness [mm]: crushed. Returns [mm**3]. Source: derived. Valid: round holes.
    """
    return math.pi / 4 * diameter**2 * thickness


@formula("mm**3", source="derived", bore="mm", land="mm", depth="mm")
def crevice_volume(bore: Number, land: Number, depth: Number) -> Number:
    """Volume round the top land, down to the first ring: π/4·(D² − d²)·h.

    bore, land [mm]: diameters. depth [mm]: crown to the first ring. Returns [mm**3]. Source: derived. Valid: round land.
    """
    return math.pi / 4 * (bore**2 - land**2) * depth


@formula("newton", source="derived", preload="newton", count="")
def clamp_load(preload: Number, count: Number) -> Number:
    """Load that all studs clamp with: P·n.

    preload [newton]: of one stud. count []: how many. Returns [newton]. Source: derived. Valid: evenly tightened.
    """
    return preload * count


@formula("", source="derived", clamp="newton", gas="newton")
def clamp_ratio(clamp: Number, gas: Number) -> Number:
    """How many times the gas load the studs clamp with; two to three is wanted (common practice).

    clamp, gas [newton]: gas load on the sealing diameter, not on the bore. Returns []. Source: derived. Valid: cold joint.
    """
    return clamp / gas


@holds_for(FRICTION_FACTOR)
@formula("newton * mm", source="wentzell-2003", factor="", diameter="mm", preload="newton")
def tightening_torque(factor: Number, diameter: Number, preload: Number) -> Number:
    """Torque for a preload: K·d·P.

    factor []: K, the friction factor: 0.18 lubricated, 0.30 black (Shigley 2010, Table 8-15); it spreads so much that
    torque alone is a weak control. diameter [mm]: nominal. preload [newton]. Returns [newton * mm].
    Source: Wentzell 2003, Ex. 6.1. Valid: threads in good order, in the state that K is for.
    """
    return factor * diameter * preload


@holds_for(FRICTION_FACTOR)
@formula("newton", source="wentzell-2003", torque="newton * mm", factor="", diameter="mm")
def preload_from_torque(torque: Number, factor: Number, diameter: Number) -> Number:
    """Preload of one stud from its torque: T/(K·d).

    torque [newton * mm]. factor []: K, the friction factor of the threads. diameter [mm]. Returns [newton].
    Source: Wentzell 2003, Ex. 6.1, turned round.
    Valid: threads in good order, in the state that the friction factor K is for.
    """
    return torque / (factor * diameter)


@formula(("mm", "mm"), source="khurmi-2005", diameter="mm")
def stud_pitch_limits(diameter: Number) -> tuple[Number, Number]:
    """Least and most pitch of head studs that keeps a joint tight: 19·√d and 28.5·√d, d in mm.

    diameter [mm]: of the studs. Returns (least, most) [mm]. Source: Khurmi and Gupta 2005, Ex. 32.1. Valid: iron heads.
    """
    return 19 * math.sqrt(diameter), 28.5 * math.sqrt(diameter)


@formula("mm", source="khurmi-2005", circle="mm", count="")
def stud_pitch(circle: Number, count: Number) -> Number:
    """Pitch of studs along their circle: π·D/n.

    circle [mm]: pitch circle diameter. count []: how many. Returns [mm]. Source: Khurmi and Gupta 2005, Ex. 32.1.
    Valid: evenly spaced.
    """
    return math.pi * circle / count


@formula("MPa", source="pa-code-34-3a", working="MPa", factor="")
def test_pressure(working: Number, factor: Number) -> Number:
    """Hydrostatic test pressure: working pressure · factor, with water and all air bled.

    working [MPa]: gauge. factor []: 1.5 by one state's law for boilers and vessels. Returns [MPa]. Source: pa-code-34-3a, section 115 (a)(1)(i).
    Valid: local codes come first; an open hopper is filled, never pumped up.
    """
    return working * factor


@formula("mm", source="khurmi-2005", bore="mm", pressure="MPa", stress="MPa")
def head_thickness(bore: Number, pressure: Number, stress: Number) -> Number:
    """Thickness of a flat head: D·√(0.1·p/σ).

    bore [mm]: or the sealing diameter, which is wider and safer. pressure [MPa]: highest, gauge. stress [MPa]: allowed; 30 to
    50 MPa is printed for iron. Returns [mm]. Source: Khurmi and Gupta 2005, ch. 32, as quoted page by page.
    Valid: flat round iron heads without ports or pockets in the plate.
    """
    return bore * math.sqrt(0.1 * pressure / stress)


@holds_for(THIN_FOR_ITS_PRESSURE)
@formula("mm", source="khurmi-2005", bore="mm", pressure="MPa", stress="MPa", allowance="mm")
def wall_thickness(bore: Number, pressure: Number, stress: Number, allowance: Number) -> Number:
    """Wall of a new cylinder with what boring out and rust may take: p·D/(2σ) + C.

    bore [mm]. pressure [MPa]: highest, gauge. stress [MPa]: allowed; 35 to 100 MPa is printed for iron. allowance [mm]: C, per
    side, over the life of the cylinder. Returns [mm]. Source: Khurmi and Gupta 2005, ch. 32, as quoted page by page.
    Valid: even wall without ribs.
    """
    return pressure * bore / (2 * stress) + allowance


@holds_for(REBORED)
@formula("mm", source="khurmi-2005", bore="mm")
def reboring_allowance(bore: Number) -> Number:
    """What the print allows on the wall for boring out, between its bores in a straight line.

    bore [mm]. Returns [mm], per side. Raises ValueError outside 75 to 500 mm.
    Source: Khurmi and Gupta 2005, Table 32.1, as quoted page by page. Valid: boring out alone; rust of a hopper's water is not in it.
    """
    for (low, least), (high, most) in zip(REBORING, REBORING[1:], strict=False):
        if low <= bore <= high:
            return least + (most - least) * (bore - low) / (high - low)
    raise ValueError(f"the table of reboring allowances is for bores of {REBORED.said}")


@formula("mm", source="derived", wall="mm", needed="mm")
def bore_out_left(wall: Number, needed: Number) -> Number:
    """How much larger a bore may yet become, on diameter, before its wall is down to what the pressure needs: 2·(t − tn).

    wall [mm]: at its thinnest. needed [mm]: p·D/(2σ) with what rust may take. Returns [mm], on diameter; negative where it is too thin
    already. Source: derived. Valid: bored true to the outside; a core that shifted counts in the thinnest place.
    """
    return 2 * (wall - needed)
