"""Stack-ups: what a chain of lengths adds up to."""

import math
from collections.abc import Sequence

from gudgeon_calc.units import Number, formula


def worst_case(links: Sequence[tuple[float, float, float]]) -> tuple[float, float]:
    """Least and most of a chain with every link at its worst.

    links: (sign, nominal, plus or minus), signs +1 and −1, one unit throughout. Returns (least, most) in that unit.
    Source: derived. Valid: always; for one engine with its parts read, add the readings instead.
    """
    middle, reach = sum(sign * nominal for sign, nominal, _ in links), sum(within for _, _, within in links)
    return middle - reach, middle + reach


def statistical(links: Sequence[tuple[float, float, float]]) -> tuple[float, float]:
    """Least and most of a chain whose links vary each on its own: root of the sum of squares.

    links: as in `worst_case`. Returns (least, most). Source: derived. Valid: for many engines with parts taken at
    random; never for a one-off whose parts have been read, nor for the uncertainty of one clearance with a shared scale.
    """
    middle, reach = (
        sum(sign * nominal for sign, nominal, _ in links),
        math.sqrt(sum(tolerance**2 for _, _, tolerance in links)),
    )
    return middle - reach, middle + reach


@formula("mm", source="derived", larger="mm", smaller="mm")
def difference(larger: Number, smaller: Number) -> Number:
    """What one length leaves over another: the shortest chain.

    larger, smaller [mm]. Returns [mm]. Source: derived. Valid: both along one line.
    """
    return larger - smaller
