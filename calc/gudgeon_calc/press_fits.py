"""Press and shrink fits: pressure, stress, force, torque and heating by Lamé's thick cylinders.

Stress: positive pulls, negative presses.
"""

import math

from gudgeon_calc.units import Number, formula
from gudgeon_calc.validity import ValidRange, holds_for


@formula(("MPa", "MPa"), source="bhavikatti", pressure="MPa", inner="mm", outer="mm")
def thick_wall_hoop(pressure: Number, inner: Number, outer: Number) -> tuple[Number, Number]:
    """Hoop stress of a thick cylinder under inner pressure, at the bore and outside.

    bore: p·(D² + d²)/(D² − d²); outside: 2p·d²/(D² − d²). pressure [MPa]. inner, outer [mm]: diameters.
    Returns (bore, outside) [MPa]. Source: Bhavikatti, Ex. 8.8.10. Valid: long, elastic, one material.
    """
    squares = outer**2 - inner**2
    return pressure * (outer**2 + inner**2) / squares, 2 * pressure * inner**2 / squares


@holds_for(
    ValidRange(
        "the allowed stress over the pressure",
        "stress",
        "no wall however thick holds it",
        "derived here",
        least=1.0,
        open=True,
        over="pressure",
    )
)
@formula("mm", source="bhavikatti", pressure="MPa", inner="mm", stress="MPa")
def thick_wall_outer(pressure: Number, inner: Number, stress: Number) -> Number:
    """Outside diameter that keeps the hoop stress at the bore: d·√((σ + p)/(σ − p)).

    pressure [MPa]. inner [mm]. stress [MPa]: allowed. Returns [mm].
    Source: Bhavikatti, Ex. 8.8.13. Valid: long, elastic, one material.
    """
    return inner * math.sqrt((stress + pressure) / (stress - pressure))


@holds_for(
    ValidRange(
        "the hub's outside over its seat",
        "hub_outer",
        "there is no hub",
        "derived here",
        least=1.0,
        open=True,
        over="seat",
    ),
    ValidRange(
        "the hole in the shaft over the seat",
        "shaft_inner",
        "there is no shaft",
        "derived here",
        least=0.0,
        most=1.0 - 1e-3,
        over="seat",
    ),
)
@formula(
    "MPa",
    source="bhavikatti",
    interference="mm",
    seat="mm",
    hub_outer="mm",
    shaft_inner="mm",
    hub_stiffness="MPa",
    shaft_stiffness="MPa",
    hub_poisson="",
    shaft_poisson="",
)
def seat_pressure(
    interference: Number,
    seat: Number,
    hub_outer: Number,
    shaft_inner: Number,
    hub_stiffness: Number,
    shaft_stiffness: Number,
    hub_poisson: Number,
    shaft_poisson: Number,
) -> Number:
    """Pressure between a hub and a shaft of unlike materials, the shaft solid or hollow.

    p = δ / {d·[((D² + d²)/(D² − d²) + νh)/Eh + ((d² + di²)/(d² − di²) − νs)/Es]}

    interference [mm]: on diameter, δ. seat [mm]: diameter d. hub_outer [mm]: D. shaft_inner [mm]: di, nought when solid.
    hub_stiffness, shaft_stiffness [MPa]: Young's moduli. hub_poisson, shaft_poisson []. Returns [MPa].
    Source: Bhavikatti, ch. 8 (Lamé), put together for two bodies. Valid: elastic, hub as long as its seat; for grey
    iron the modulus is a range, and the pressure scales with it.
    """
    hub = ((hub_outer**2 + seat**2) / (hub_outer**2 - seat**2) + hub_poisson) / hub_stiffness
    shaft = ((seat**2 + shaft_inner**2) / (seat**2 - shaft_inner**2) - shaft_poisson) / shaft_stiffness
    return interference / (seat * (hub + shaft))


@formula("MPa", source="bhavikatti", pressure="MPa", seat="mm", shaft_inner="mm")
def shaft_hoop(pressure: Number, seat: Number, shaft_inner: Number) -> Number:
    """Hoop stress of a pressed shaft or bush where it is greatest: −2p·d²/(d² − di²) at its bore, −p when solid.

    pressure [MPa]: on the seat. seat [mm]: diameter d. shaft_inner [mm]: di, nought when solid.
    Returns [MPa], negative. Source: Bhavikatti, ch. 8 (Lamé). Valid: elastic.
    """
    return -pressure if shaft_inner == 0 else -2 * pressure * seat**2 / (seat**2 - shaft_inner**2)


@formula("mm", source="derived", pressure="MPa", seat="mm", bore="mm", stiffness="MPa")
def bore_closure(pressure: Number, seat: Number, bore: Number, stiffness: Number) -> Number:
    """How much the bore of a bush or liner closes when pressed in: 2p·d²·di/(E·(d² − di²)), on diameter.

    pressure [MPa]: on its outside. seat [mm]: outside diameter d. bore [mm]: di. stiffness [MPa]: Young's modulus.
    Returns [mm], on diameter. Source: derived from Lamé. Valid: elastic; always read the bore again after pressing.
    """
    return 2 * pressure * seat**2 * bore / (stiffness * (seat**2 - bore**2))


@formula("newton", source="derived", pressure="MPa", seat="mm", length="mm", friction="")
def press_force(pressure: Number, seat: Number, length: Number, friction: Number) -> Number:
    """Force to press home, or to push off: μ·p·π·d·l.

    pressure [MPa]. seat, length [mm]. friction []: coefficient. Returns [newton].
    Source: derived; friction of press fits spreads two to one. Valid: even pressure along the seat.
    """
    return friction * pressure * math.pi * seat * length


@formula("newton * m", source="derived", force="newton", seat="m")
def torque_carried(force: Number, seat: Number) -> Number:
    """Torque that a fit carries before it slips: F·d/2.

    force [newton]: friction force all round. seat [m]: diameter. Returns [newton * m]. Source: derived.
    Valid: steady torque; a shaft in bending or a shock carries less.
    """
    return force * seat / 2


@formula("kelvin", source="derived", interference="mm", entry="mm", diameter="mm", cte="1/kelvin")
def heating_needed(interference: Number, entry: Number, diameter: Number, cte: Number) -> Number:
    """How much hotter than its shaft a hub has to be: (δ + entry clearance)/(α·d).

    interference [mm]. entry [mm]: clearance to drop it on. diameter [mm]. cte [1/kelvin]: of the hub.
    Returns [kelvin]. Source: derived from linear expansion. Valid: hub evenly hot, shaft not warmed by it.
    """
    return (interference + entry) / (cte * diameter)
