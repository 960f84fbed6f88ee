"""Readings of one place and state of the metal: one size from several gauges and hands, and whether they agree."""

from collections import Counter
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from itertools import combinations
from typing import Any

import numpy as np
from gudgeon_calc.uncertainty import COVERAGE, best_weights, limit_of_error, normalised_error
from gudgeon_calc.units import GRAIN
from uncertainties import covariance_matrix, ufloat

# A number with uncertainty, mm: the library makes its operators at run time, where a type checker does not see them.
UncertainLength = Any


@dataclass(frozen=True)
class Hand:
    """The readings of one place by one gauge in one person's hand: their mean is one size."""

    gauge: str
    by: str
    rows: tuple[str, ...]
    size: UncertainLength

    @property
    def name(self) -> tuple[str, str]:
        """The gauge and the person."""
        return self.gauge, self.by


def hands(rows: Iterable[Any]) -> list[Hand]:
    """Sized readings of one place by gauge and person. Of repeats the use part falls, the scale's does not."""
    groups: dict[tuple[str, str], list[Any]] = {}
    for row in rows:
        groups.setdefault((row.gauge, row.by), []).append(row)
    return [
        Hand(gauge, by, tuple(row.id for row in group), sum(row.size for row in group) / len(group))
        for (gauge, by), group in groups.items()
    ]


def error_between(one: Hand, other: Hand) -> float:
    """The normalised error between two hands: over their limit they cannot both be right."""
    apart = one.size - other.size
    return normalised_error(apart.nominal_value, COVERAGE * apart.std_dev)


Limits = Mapping[frozenset[tuple[str, str]], float]  # two hands -> the normalised error over which both cannot be right


def limits_of(places: Iterable[Sequence[Hand]]) -> Limits:
    """How far two hands may be apart, by how many places of a feature both have read."""
    compared = Counter(frozenset((one.name, other.name)) for read in places for one, other in combinations(read, 2))
    return {pair: limit_of_error(count) for pair, count in compared.items()}


def agreed_size(by_hand: Sequence[Hand], limits: Limits, against: Sequence[UncertainLength] = ()) -> UncertainLength:
    """The size of one place from all that read it, mm.

    Hands count by their uncertainties with what they share taken out. Where they cannot all be right, or a reading cannot
    be right against others (`against`: their sizes, together with this place's), the uncertainty covers every one of them.
    """
    size: UncertainLength = by_hand[0].size
    if len(by_hand) > 1:
        weights = best_weights(np.asarray(covariance_matrix([hand.size for hand in by_hand])))
        parts = [float(weight) * hand.size for weight, hand in zip(weights, by_hand, strict=True)]
        size = sum(parts[1:], start=parts[0])
    to_cover = list(against)
    if any(
        error_between(one, other) > limits[frozenset((one.name, other.name))] + GRAIN
        for one, other in combinations(by_hand, 2)
    ):
        to_cover += [hand.size for hand in by_hand]
    if not to_cover:
        return size
    furthest = max(abs(other.nominal_value - size.nominal_value) + COVERAGE * other.std_dev for other in to_cover)
    more = (furthest / COVERAGE) ** 2 - size.std_dev**2
    return size + ufloat(0, more**0.5, tag="readings that cannot all be right") if more > 0 else size
