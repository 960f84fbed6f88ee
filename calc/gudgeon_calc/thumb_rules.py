"""Rules of thumb: what a saying gives for a size. They are set side by side, never averaged."""

from gudgeon_calc.units import Number, formula


@formula("mm", source="common practice", size="mm", per_length="", plus="mm")
def allowance(size: Number, per_length: Number, plus: Number) -> Number:
    """What a per-length rule with a constant gives: size·rate + constant.

    size [mm]: diameter that the rule names. per_length []: length per the same length, so 1 thou per inch is
    0.001 whatever the unit. plus [mm]: constant part. Returns [mm], diametral unless the rule says otherwise.
    Source: common practice. Valid: only within the sizes, materials and speeds that the rule names.
    """
    return size * per_length + plus
