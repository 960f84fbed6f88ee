"""Piston rings in their bore and grooves."""

import math

from gudgeon_calc.units import Number, formula
from gudgeon_calc.validity import ValidRange, holds_for

THICK_RING = "a thick ring bends otherwise, its stress being more on the inside than outside"
OF_A_TENTH = "derived here: by the curved beam 8 percent more at the inside at a tenth"
THIN_RING = ValidRange("the wall over the bore", "wall", THICK_RING, OF_A_TENTH, most=0.1, over="diameter")


def _apart(bore_read: Number, bore_wanted: Number) -> Number:
    return abs(bore_wanted - bore_read) / bore_read


@holds_for(
    ValidRange(
        "the difference of the bores over the one where it lay",
        _apart,
        "the ring bends out of its shape",
        "common practice, no source",
        most=0.01,
    )
)
@formula("mm", source="derived", gap="mm", bore_read="mm", bore_wanted="mm")
def gap_at_bore(gap: Number, bore_read: Number, bore_wanted: Number) -> Number:
    """Closed ring gap carried from the bore where it was read to another bore: G + π·(D − Dread).

    gap [mm]: closed gap as read. bore_read [mm]: bore diameter where the ring lay. bore_wanted [mm]: bore
    diameter where the gap is wanted. Returns [mm].
    Source: derived: the ring's length does not change. Valid: a ring that lies round in both.
    """
    return gap + math.pi * (bore_wanted - bore_read)


@formula(
    "mm",
    source="carvill-1993",
    gap="mm",
    bore="mm",
    bore_temp="degC",
    ring_temp="degC",
    bore_cte="1/kelvin",
    ring_cte="1/kelvin",
)
def gap_at(
    gap: Number, bore: Number, bore_temp: Number, ring_temp: Number, bore_cte: Number, ring_cte: Number
) -> Number:
    """Closed ring gap hot: G + π·D·[αb(Tb − 20) − αr(Tr − 20)].

    gap [mm]: closed, at 20 °C. bore [mm]: diameter at 20 °C. bore_temp, ring_temp [degC].
    bore_cte, ring_cte [1/kelvin]: mean linear expansion. Returns [mm]; negative means that the ends butt.
    Source: linear expansion, Carvill 1993. Valid: within both coefficients' ranges.
    """
    return gap + math.pi * bore * (bore_cte * (bore_temp - 20) - ring_cte * (ring_temp - 20))


@formula("mm", source="derived", groove="mm", ring="mm")
def side_clearance(groove: Number, ring: Number) -> Number:
    """Axial clearance of a ring in its groove: groove width less ring width.

    groove [mm]: width at its narrowest. ring [mm]: axial width of this very ring. Returns [mm].
    Source: derived. Valid: groove sides square to the piston's axis.
    """
    return groove - ring


@formula("mm", source="derived", bore="mm", root="mm", wall="mm")
def back_clearance(bore: Number, root: Number, wall: Number) -> Number:
    """Room behind a ring that bears on the bore, per side: (bore − groove root)/2 − radial wall.

    bore [mm]: smallest bore. root [mm]: diameter at the groove's root. wall [mm]: radial thickness of the ring.
    Returns [mm], per side. Source: derived. Valid: piston central in the bore.
    """
    return (bore - root) / 2 - wall


@formula("MPa", source="ring-manual-2008", force="newton", diameter="mm", width="mm")
def wall_pressure(force: Number, diameter: Number, width: Number) -> Number:
    """Mean pressure of a ring on the bore from its tangential force: p = 2·Ft/(d·h).

    force [newton]: tangential force that closes the ring. diameter [mm]: bore. width [mm]: axial width.
    Returns [MPa]. Source: Piston Ring Manual 2008, section 9. Valid: rings of even pressure.
    """
    return 2 * force / (diameter * width)


@holds_for(THIN_RING)
@formula("MPa", source="derived", stiffness="MPa", opening="mm", diameter="mm", wall="mm")
def pressure_from_free_gap(stiffness: Number, opening: Number, diameter: Number, wall: Number) -> Number:
    """Mean pressure of a ring on the bore from how far its gap closes: E·f/[7.07·D·(D/t − 1)³].

    stiffness [MPa]: Young's modulus of the ring's iron, a range rather than a number. opening [mm]: free gap less
    closed gap, f. diameter [mm]: bore. wall [mm]: radial thickness t. Returns [MPa].
    Source: derived: even pressure p bends a thin ring of mean radius r = (D − t)/2 by M = p·h·D/2·r·(1 + cos θ), θ from opposite
    the gap; its energy gives f = 3π·p·h·D/2·r³/(E·I), I = h·t³/12, and 36π/16 is 7.07.
    Valid: one-piece rings of even wall, shaped to press evenly.
    """
    return stiffness * opening / (7.07 * diameter * (diameter / wall - 1) ** 3)


@holds_for(THIN_RING)
@formula("mm", source="derived", pressure="MPa", diameter="mm", wall="mm", stiffness="MPa", gap="mm")
def free_gap_for_pressure(pressure: Number, diameter: Number, wall: Number, stiffness: Number, gap: Number) -> Number:
    """Free gap of a ring that is to press on its bore so hard: g + (36π/16)·p·D·(D/t − 1)³/E.

    pressure [MPa]: wanted, on the bore. diameter [mm]: bore, D. wall [mm]: radial thickness t. stiffness [MPa]: Young's modulus of
    the ring's iron, a range. gap [mm]: closed gap g. Returns [mm]. Source: derived: the mean pressure from the free gap turned
    round. Valid: one-piece rings of even wall, shaped to press evenly.
    """
    return gap + 36 * math.pi / 16 * pressure * diameter * (diameter / wall - 1) ** 3 / stiffness


@holds_for(THIN_RING)
@formula("MPa", source="derived", stiffness="MPa", opening="mm", diameter="mm", wall="mm")
def bending_stress(stiffness: Number, opening: Number, diameter: Number, wall: Number) -> Number:
    """Bending stress opposite the gap when the gap is closed or opened by so much: 0.424·E·(f/t)/(D/t − 1)².

    stiffness [MPa]. opening [mm]: change of the gap, f: free less closed in the bore, or opened over the piston less
    free. diameter [mm]: bore. wall [mm]: radial thickness t. Returns [MPa].
    Source: derived: opposite the gap M = p·h·D·r and σ = 6·M/(h·t²), with p as the free gap gives it; 3 ÷ 7.07 is 0.424. Valid: one-piece rings of even wall, shaped to press evenly.
    """
    return 0.424 * stiffness * (opening / wall) / (diameter / wall - 1) ** 2


@formula("mm", source="common practice", wall="mm")
def opening_over_piston(wall: Number) -> Number:
    """Gap that a ring is sprung open to when it goes over its piston: about 8 times its wall.

    wall [mm]: radial thickness. Returns [mm]. Source: common practice, no source. Valid: sprung over by hand or with three strips.
    """
    return 8 * wall


@formula("newton", source="ring-manual-2008", tangential="newton", ratio="")
def diametral_force(tangential: Number, ratio: Number) -> Number:
    """Force across a ring that closes it as a tangential force does: Fd = ratio·Ft.

    tangential [newton]. ratio []: 2.05 for cast iron, 2.15 for spheroidal iron. Returns [newton].
    Source: Piston Ring Manual 2008, section 10, which states it to about 5 percent. Valid: rings closed by a band or across.
    """
    return ratio * tangential


@formula("", source="derived", size="mm", part="mm")
def ratio_to(size: Number, part: Number) -> Number:
    """How many times a length goes into another: D/t for the wall, f/D for the free gap.

    size, part [mm]. Returns []. Source: derived. Valid: any two lengths.
    """
    return size / part


@holds_for(ValidRange("the wall over the bore", "result", THICK_RING, OF_A_TENTH, most=0.1, over="bore"))
@formula("mm", source="khurmi-2005", bore="mm", pressure="MPa", stress="MPa")
def ring_wall(bore: Number, pressure: Number, stress: Number) -> Number:
    """Radial wall of a ring from its pressure on the bore: D·√(3·p/σ).

    bore [mm]. pressure [MPa]: of the ring on the bore. stress [MPa]: allowed in bending, closed in the bore. Returns [mm].
    Source: Khurmi and Gupta 2005, ch. 32, as quoted page by page; it is the bending of a thin ring, 3·p·D²/t² nearly.
    Valid: one-piece rings of even wall; stress with the ring sprung over the piston is another.
    """
    return bore * math.sqrt(3 * pressure / stress)


@formula("mm", source="khurmi-2005", bore="mm", rings="")
def least_ring_width(bore: Number, rings: Number) -> Number:
    """Least axial width of a ring: D/(10·n).

    0.7 to 1 times the wall is printed beside it. bore [mm]. rings []: how many on the piston. Returns [mm].
    Source: Khurmi and Gupta 2005, ch. 32, as quoted page by page. Valid: an empirical rule for iron rings.
    """
    return bore / (10 * rings)
