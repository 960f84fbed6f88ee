"""Bolted joints: how stiff stud and iron are, and what a load on the joint does to either."""

import math

from gudgeon_calc.units import Number, formula
from gudgeon_calc.validity import ValidRange, holds_for


@formula("newton/mm", source="derived", area="mm**2", length="mm", stiffness="MPa")
def stud_stiffness(area: Number, length: Number, stiffness: Number) -> Number:
    """Pull that lengthens a stud by one unit: E·A/l.

    area [mm**2]: stress area. length [mm]: that is stretched, from the first engaged thread to the nut. stiffness [MPa]: Young's
    modulus. Returns [newton/mm]. Source: derived. Valid: one section all along; a waisted shank is softer.
    """
    return stiffness * area / length


@holds_for(
    ValidRange(
        "the face under the nut over its hole",
        "face",
        "nothing bears",
        "derived here",
        least=1.0,
        open=True,
        over="hole",
    )
)
@formula("newton/mm", source="derived", hole="mm", face="mm", grip="mm", stiffness="MPa")
def clamped_stiffness(hole: Number, face: Number, grip: Number, stiffness: Number) -> Number:
    """Load that squeezes what a stud clamps by one unit, the pressure spreading in a cone of 30° below the nut.

    k = π·E·d·tan 30° / ln{[(2l·tan 30° + D − d)(D + d)]/[(2l·tan 30° + D + d)(D − d)]}, one cone as long as the grip, because
    a stud's thread sits in the far part. hole [mm]: d, clearance hole. face [mm]:
    D, under the nut or its washer. grip [mm]: l, thickness of the clamped part. stiffness [MPa]: Young's modulus. Returns [newton/mm].
    Source: derived here: dδ = P·dx/(E·A), A = π[(D/2 + x·tan 30°)² − (d/2)²], integrated; the angle of 30° is Shigley's, from memory.
    Valid: metal as wide as the cone; a gasket is softer by far and then governs.
    """
    if not 0 < hole < face:
        raise ValueError("the clearance hole has to be over nought and smaller than what bears on its face")
    spread = 2 * grip * math.tan(math.radians(30))
    # The quotient less one, written out: of a thin part under a wide face the quotient itself is one but for rounding.
    logarithm = math.log1p(2 * spread * hole / ((spread + face + hole) * (face - hole)))
    return math.pi * stiffness * hole * math.tan(math.radians(30)) / logarithm


@formula("", source="derived", stud="newton/mm", clamped="newton/mm")
def stud_share(stud: Number, clamped: Number) -> Number:
    """Share of an outer load that comes onto the stud of a tight joint: ks/(ks + kc).

    stud, clamped [newton/mm]. Returns []. Source: derived. Valid: while the joint has not opened.
    """
    return stud / (stud + clamped)


@formula("newton", source="derived", preload="newton", share="", load="newton")
def stud_load(preload: Number, share: Number, load: Number) -> Number:
    """Load of a stud in service: F0 + C·P, or the whole load where the joint has opened.

    preload [newton]. share []: C, see `stud_share`. load [newton]: outer load on this one stud. Returns [newton].
    Source: derived. Valid: load along the stud.
    """
    return max(preload + share * load, load)


@formula("newton", source="derived", preload="newton", share="", load="newton")
def clamp_left(preload: Number, share: Number, load: Number) -> Number:
    """What still clamps when the load comes on: F0 − (1 − C)·P; at nought the joint opens and leaks.

    preload, load [newton]: of one stud. share []: C. Returns [newton]; nought where the joint has opened. Source: derived.
    Valid: even tightening.
    """
    return max(preload - (1 - share) * load, 0.0)


@formula("newton", source="derived", clamp="", load="newton", count="")
def preload_wanted(clamp: Number, load: Number, count: Number) -> Number:
    """Preload of one stud for a clamping load of so many times the gas load: c·F/n.

    clamp []: clamping load over gas load; two to three is wanted (common practice, no source). load [newton]: gas load on the
    sealing diameter. count []: studs. Returns [newton]. Source: derived. Valid: even tightening.
    """
    return clamp * load / count
