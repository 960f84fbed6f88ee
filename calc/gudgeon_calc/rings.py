"""Piston rings in their bore and grooves."""

import math

from gudgeon_calc.units import formula


@formula("mm", source="derived", gap="mm", bore_read="mm", bore_wanted="mm")
def gap_at_bore(gap, bore_read, bore_wanted):
    """Closed ring gap carried from the bore where it was read to another bore: G + π·(D − Dread).

    gap [mm]: closed gap as read. bore_read [mm]: bore diameter where the ring lay. bore_wanted [mm]: bore
    diameter where the gap is wanted. Returns [mm].
    Source: derived: the ring's length does not change. Valid: bores that differ by under a hundredth of the diameter.
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
def gap_at(gap, bore, bore_temp, ring_temp, bore_cte, ring_cte):
    """Closed ring gap hot: G + π·D·[αb(Tb − 20) − αr(Tr − 20)].

    gap [mm]: closed, at 20 °C. bore [mm]: diameter at 20 °C. bore_temp, ring_temp [degC].
    bore_cte, ring_cte [1/kelvin]: mean linear expansion. Returns [mm]; negative means that the ends butt.
    Source: linear expansion, Carvill 1993. Valid: within both coefficients' ranges.
    """
    return gap + math.pi * bore * (bore_cte * (bore_temp - 20) - ring_cte * (ring_temp - 20))


@formula("mm", source="derived", groove="mm", ring="mm")
def side_clearance(groove, ring):
    """Axial clearance of a ring in its groove: groove width less ring width.

    groove [mm]: width at its narrowest. ring [mm]: axial width of this very ring. Returns [mm].
    Source: derived. Valid: groove sides square to the piston's axis.
    """
    return groove - ring


@formula("mm", source="derived", bore="mm", root="mm", wall="mm")
def back_clearance(bore, root, wall):
    """Room behind a ring that bears on the bore, per side: (bore − groove root)/2 − radial wall.

    bore [mm]: smallest bore. root [mm]: diameter at the groove's root. wall [mm]: radial thickness of the ring.
    Returns [mm], per side. Source: derived. Valid: piston central in the bore.
    """
    return (bore - root) / 2 - wall


@formula("MPa", source="ring-manual-2008", force="newton", diameter="mm", width="mm")
def wall_pressure(force, diameter, width):
    """Mean pressure of a ring on the bore from its tangential force: p = 2·Ft/(d·h).

    force [newton]: tangential force that closes the ring. diameter [mm]: bore. width [mm]: axial width.
    Returns [MPa]. Source: Piston Ring Manual 2008, section 9. Valid: thin rings of even pressure.
    """
    return 2 * force / (diameter * width)
