"""Tapers: of keys, of shafts and of bores."""

import math

from gudgeon_calc.units import Number, formula
from gudgeon_calc.validity import ValidRange, holds_for


def _half_angle(large: Number, small: Number, length: Number) -> Number:
    return math.degrees(math.atan(abs(large - small) / (2 * length)))


@formula("mm", source="derived", taper_a="", taper_b="", length="mm")
def mismatch(taper_a: Number, taper_b: Number, length: Number) -> Number:
    """How far two tapers part over a bearing length: |ta − tb|·L.

    taper_a, taper_b []: change of thickness over length, 1:96 is 1/96. length [mm]: along which they bear.
    Returns [mm]. Source: derived. Valid: both surfaces flat.
    """
    return abs(taper_a - taper_b) * length


@formula("mm", source="navedtra-14076", difference="mm", centres="mm", measured="mm")
def tailstock_move(difference: Number, centres: Number, measured: Number) -> Number:
    """How far the tailstock has to move to take a taper out between centres: ΔD·Lc/(2·Lm).

    difference [mm]: of the two diameters. centres [mm]: between centres. measured [mm]: between the diameters.
    Returns [mm], toward the tool where the tailstock end is the larger. Source: NAVEDTRA 14076, lathe chapter.
    Valid: small tapers, work between centres; in the chuck there is no tailstock to move.
    """
    return difference * centres / (2 * measured)


@formula("degree", source="derived", large="mm", small="mm", length="mm")
def rest_angle(large: Number, small: Number, length: Number) -> Number:
    """Angle between the work's axis and the compound rest's slide for a taper: arctan[(D − d)/(2·L)].

    large, small [mm]: diameters. length [mm]: between them, along the axis. Returns [degree]; half the included angle. A rest whose nought stands
    across the bed is set to 90° less this. Source: derived; Jones 1914, taper chapter, sets 60° from nought for 30°. Valid: the tool on centre height.
    """
    return math.degrees(math.atan((large - small) / (2 * length)))


@holds_for(
    ValidRange(
        "half the angle of the taper",
        _half_angle,
        "the centres no longer bear in their holes",
        "common practice, no source",
        most=8.0,
        unit="°",
    )
)
@formula("mm", source="derived", large="mm", small="mm", length="mm", centres="mm")
def tailstock_setover(large: Number, small: Number, length: Number, centres: Number) -> Number:
    """How far to set the tailstock over for a taper between centres: Lc·sin[arctan((D − d)/(2·L))].

    large, small [mm]: diameters. length [mm]: of the taper. centres [mm]: length of the work between the centres' points. Returns [mm].
    Source: derived; for small tapers the handbooks' (D − d)·Lc/(2·L), see `tailstock_move`. Valid: the tool on
    centre height, ball centres or worn centre holes apart.
    """
    half = (large - small) / 2
    return centres * half / math.hypot(length, half)
