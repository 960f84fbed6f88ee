"""Casting: contraction of patterns, weight of the melt, stock for finishing."""

from gudgeon_calc.published import table
from gudgeon_calc.units import Number, formula
from gudgeon_calc.validity import ValidRange, holds_for

FINISH_STOCK = (1 / 16, 1 / 8)  # in, a face, on small castings of iron and brass (dooley-1919, sec. 428)


@holds_for(
    ValidRange(
        "the length",
        "size",
        "under about a foot, rapping the pattern takes up as much as the metal shrinks",
        "common practice, no source",
        least=300.0,
        unit="mm",
    )
)
@formula("mm", source="derived", size="mm", contraction="")
def pattern_size(size: Number, contraction: Number) -> Number:
    """Size of the pattern for a size of the casting: L·(1 + c).

    size [mm]: wanted of the rough casting. contraction []: shrinkage over length, 1/96 for 1/8 in a foot. Returns [mm].
    Source: derived; the contraction itself is in the table and its sources disagree. Valid: metal that is free to contract.
    """
    return size * (1 + contraction)


def contractions(metal: str) -> list[tuple[float, str, str, str]]:
    """What each source prints for a metal: (shrinkage over length, source, where, basis), all of them, never averaged.

    metal: as in the table, such as "cast iron". Raises LookupError naming the metals held.
    Source: named row by row. Valid: linear, for free contraction.
    """
    rows = [row for row in table("pattern-contraction") if row["metal"] == metal]
    if not rows:
        held = ", ".join(dict.fromkeys(row["metal"] for row in table("pattern-contraction")))
        raise LookupError(f'no contraction held for "{metal}". Held: {held}.')
    return [(float(row["inch_per_foot"]) / 12, row["source"], row["where"], row["basis"]) for row in rows]


@formula("kg", source="derived", volume="mm**3", density="kg/m**3", extra="")
def melt_weight(volume: Number, density: Number, extra: Number) -> Number:
    """Metal to melt for a casting: V·ρ·(1 + extra).

    volume [mm**3]: of the rough casting. density [kg/m**3]. extra []: share for gates, risers and loss. Returns [kg].
    Half as much again is not unusual for small iron (common practice, no source). Source: derived.
    Valid: gates and risers weighed for this mould.
    """
    return volume * 1e-9 * density * (1 + extra)
