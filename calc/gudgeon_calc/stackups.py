"""Stack-ups: what a chain of lengths adds up to."""

from gudgeon_calc.units import Number, formula


@formula("mm", source="derived", larger="mm", smaller="mm")
def difference(larger: Number, smaller: Number) -> Number:
    """What one length leaves over another: the shortest chain.

    larger, smaller [mm]. Returns [mm]. Source: derived. Valid: both along one line.
    """
    return larger - smaller
