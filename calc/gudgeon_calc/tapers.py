"""Tapers: of keys, of shafts and of bores."""

from gudgeon_calc.units import Number, formula


@formula("mm", source="derived", taper_a="", taper_b="", length="mm")
def mismatch(taper_a: Number, taper_b: Number, length: Number) -> Number:
    """How far two tapers part over a bearing length: |ta − tb|·L.

    taper_a, taper_b []: change of thickness over length, 1:96 is 1/96. length [mm]: along which they bear.
    Returns [mm]. Source: derived. Valid: both surfaces flat.
    """
    return abs(taper_a - taper_b) * length


@formula("", source="navedtra-14076", large="mm", small="mm", length="mm")
def taper(large: Number, small: Number, length: Number) -> Number:
    """Taper of a piece: (large − small)/length; times 12 in it is taper per foot.

    large, small [mm]: size at the two ends. length [mm]: between them. Returns [].
    Source: NAVEDTRA 14076, lathe chapter. Valid: straight tapers.
    """
    return (large - small) / length


@formula("mm", source="navedtra-14076", difference="mm", centres="mm", measured="mm")
def tailstock_move(difference: Number, centres: Number, measured: Number) -> Number:
    """How far the tailstock has to move to take a taper out between centres: ΔD·Lc/(2·Lm).

    difference [mm]: of the two diameters. centres [mm]: between centres. measured [mm]: between the diameters.
    Returns [mm], toward the tool where the tailstock end is the larger. Source: NAVEDTRA 14076, lathe chapter.
    Valid: small tapers, work between centres; in the chuck there is no tailstock to move.
    """
    return difference * centres / (2 * measured)
