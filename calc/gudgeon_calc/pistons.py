"""Pistons: where the piston stands, how thick its crown is, what its skirt carries, what passes it by."""

import math

from gudgeon_calc.units import Number, formula
from gudgeon_calc.validity import ValidRange, holds_for

ROD_OVER_CRANK = ValidRange(
    "the rod over the crank",
    "rod",
    "the crank cannot turn",
    "derived here",
    least=1.0,
    open=True,
    over="stroke",
    times=2.0,
)
# For sums by the first two terms of the piston's acceleration, cos θ + (r/L)·cos 2θ.
ROD_OF_TWO_CRANKS = ValidRange(
    "the rod over the crank",
    "rod",
    "the terms of the piston's acceleration that are left out begin to count",
    "derived here: at two cranks 5 percent of the greatest over the turn, at dead centre nothing",
    least=2.0,
    over="stroke",
    times=2.0,
)
RODS_OF_FOUR_CRANKS = ValidRange(
    "the rod over the crank",
    "rod",
    "a shorter rod presses harder, a longer one less",
    "common practice, no source",
    least=4.0,
    most=5.0,
    over="stroke",
    times=2.0,
)


@holds_for(ROD_OVER_CRANK)
@formula("mm", source="derived", angle="radian", stroke="mm", rod="mm")
def travel(angle: Number, stroke: Number, rod: Number) -> Number:
    """Distance of the piston from inner dead centre: r(1 − cos θ) + L − √(L² − r²·sin²θ).

    angle [radian]: of the crank from inner dead centre. stroke [mm]: r is half of it. rod [mm]: between centres.
    Returns [mm]. Source: derived. Valid: cylinder axis through the crank's.
    """
    crank = stroke / 2
    return crank * (1 - math.cos(angle)) + rod - math.sqrt(rod**2 - (crank * math.sin(angle)) ** 2)


@formula("newton", source="khurmi-2005", pressure="MPa", diameter="mm")
def gas_load(pressure: Number, diameter: Number) -> Number:
    """Load of gas on a round area: p·π/4·D².

    pressure [MPa]: gauge. diameter [mm]: of the bore for a piston, of the sealing edge for a head. Returns [newton].
    Source: Khurmi and Gupta 2005, ch. 32. Valid: even pressure.
    """
    return pressure * math.pi / 4 * diameter**2


@formula("mm", source="khurmi-2005", bore="mm", pressure="MPa", stress="MPa")
def crown_thickness(bore: Number, pressure: Number, stress: Number) -> Number:
    """Thickness of a flat crown as a plate held at its edge: D·√(3p/16σ).

    bore [mm]. pressure [MPa]: highest gas pressure. stress [MPa]: allowed in bending. Returns [mm].
    Source: Khurmi and Gupta 2005, sec. 32.8. Valid: flat iron crowns; heat flow may ask for more.
    """
    return bore * math.sqrt(3 * pressure / (16 * stress))


@holds_for(
    ValidRange(
        "the bore",
        "bore",
        "4.9 mm of it do not grow with the bore",
        "common practice, no source",
        least=50.0,
        most=300.0,
        unit="mm",
    )
)
@formula(("mm", "mm", "mm"), source="khurmi-2005", bore="mm", ring_wall="mm")
def barrel_thickness(bore: Number, ring_wall: Number) -> tuple[Number, Number, Number]:
    """Thickness of an iron piston's wall behind the rings, and least and most of it at the open end.

    t3 = 0.03·D + (t1 + 0.4 mm) + 4.5 mm; open end 0.25 to 0.35 of it. bore [mm]. ring_wall [mm]: t1.
    Returns (t3, least, most) [mm]. Source: Khurmi and Gupta 2005, Ex. 32.2. Valid: cast iron.
    """
    wall = 0.03 * bore + (ring_wall + 0.4) + 4.5
    return wall, 0.25 * wall, 0.35 * wall


@formula("newton", source="khurmi-2005", load="newton")
def side_thrust(load: Number) -> Number:
    """Side thrust of the skirt: a tenth of the gas load.

    load [newton]: gas load. Returns [newton].
    Source: Khurmi and Gupta 2005, Ex. 32.2. Valid: a figure to design by.
    """
    return 0.1 * load


@formula("MPa", source="khurmi-2005", thrust="newton", bore="mm", length="mm")
def skirt_pressure(thrust: Number, bore: Number, length: Number) -> Number:
    """Pressure of the skirt on the bore: R/(D·l). Khurmi allows 0.25 MPa in slow engines, 0.5 MPa in fast ones.

    thrust [newton]. bore [mm]. length [mm]: of the skirt below the rings. Returns [MPa].
    Source: Khurmi and Gupta 2005, p. 1138 and Ex. 32.2. Valid: thrust shared over the whole length.
    """
    return thrust / (bore * length)
