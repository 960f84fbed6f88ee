"""A number with what it is uncertain by, carried through sums of sums jointly (decision 0033).

There are two kinds of doubt. A reading has an error of measurement, normal, with all that it shares with other readings (one scale, one
expansion). A figure with a stated range, such as a friction factor from 0.09 to 0.30, lies anywhere within it, evenly. One reading or one
figure that goes into a sum in several ways is one and the same doubt.
"""

import functools
import itertools
import math
from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from typing import Any

import numpy as np
from gudgeon_calc.surface import SEED
from gudgeon_calc.uncertainty import COVERAGE
from uncertainties import covariance_matrix

from gudgeon.assess.measuring.agreement import UncertainLength

DRAWS = 20_000
DRAWS_ONE_BY_ONE = 1_000  # through a formula that takes no columns
ROUNDING = 1e-9  # of the value: a range below it is what rounding leaves

Column = np.ndarray
Points = Mapping[str, Column]  # doubt -> its value at each point


@dataclass(frozen=True)
class Uncertain:
    """A value, the doubts that it rests on, and what it is at any values of theirs.

    readings: what was read -> the size with its uncertainty. ranges: figure -> the least and the most it may be.
    """

    value: float
    at: Callable[[Points], Column | float]
    readings: Mapping[str, UncertainLength] = field(default_factory=dict)
    ranges: Mapping[str, tuple[float, float]] = field(default_factory=dict)

    @functools.cached_property
    def ends(self) -> tuple[float, float] | None:
        """What `ends` says of it, worked out once: every sum that takes it shows them."""
        return ends(self)

    @property
    def is_exact(self) -> bool:
        """Whether nothing says how uncertain it is."""
        return not self.readings and not self.ranges


def exact(value: float) -> Uncertain:
    """A number that nothing says the uncertainty of."""
    return Uncertain(value, lambda points: value)


def reading(name: str, size: UncertainLength) -> Uncertain:
    """What was read; name: the same for the same reading wherever it goes in."""
    return Uncertain(size.nominal_value, lambda points: points[name], readings={name: size})


def within(name: str, value: float, low: float, high: float) -> Uncertain:
    """A figure that lies anywhere from low to high; name: the same for the same figure wherever it goes in."""
    return Uncertain(value, lambda points: points[name], ranges={name: (low, high)})


def combined(
    value: float, takes: Mapping[str, Uncertain], work_out: Callable[[dict[str, Column | float]], Column]
) -> Uncertain:
    """The result of a sum. work_out: the result for columns of its inputs."""
    readings = {name: size for one in takes.values() for name, size in one.readings.items()}
    ranges = {name: ends for one in takes.values() for name, ends in one.ranges.items()}

    def at(points: Points) -> Column | float:
        return work_out({name: one.at(points) for name, one in takes.items()}) if readings or ranges else value

    return Uncertain(value, at, readings, ranges)


def by_columns(work_out: Callable[[Mapping[str, Any]], Any], columns: dict[str, Column | float]) -> Column:
    """A formula's results for columns of its inputs: at once, or one by one where it takes no columns; no result is not a number."""
    with np.errstate(all="ignore"):
        try:
            return np.asarray(work_out(columns), dtype=float)
        except (TypeError, ValueError, LookupError, ZeroDivisionError):
            pass
    whole = np.broadcast_arrays(*columns.values())
    if whole[0].size > DRAWS_ONE_BY_ONE:
        raise TypeError("a formula that takes no columns is worked out for few draws only")
    return np.array(
        [
            _at_one(work_out, dict(zip(columns, map(float, row), strict=True)))
            for row in zip(*map(np.ravel, whole), strict=True)
        ]
    )


def _at_one(work_out: Callable[[Mapping[str, Any]], Any], row: dict[str, float]) -> float:
    try:
        return float(work_out(row))
    except (ValueError, LookupError, ZeroDivisionError):
        return math.nan


def ends(of: Uncertain) -> tuple[float, float] | None:
    """The least and the most: at every corner of the ranges, widened there by U (k = 2) of the readings; None: not known.

    Corners are exact where the result rises or falls with each range, as all sums here do: where there are many, only those two are
    tried at which it is least and greatest by each range on its own. U is taken by full steps of 2 u to either side along the
    independent directions of the readings' errors.
    """
    if of.is_exact:
        return None
    directions = _directions(of)
    steps = [np.zeros(len(of.readings))]
    steps += [sign * COVERAGE * column for column in directions.T for sign in (1, -1)]
    if 2 ** len(of.ranges) * len(steps) <= DRAWS_ONE_BY_ONE:
        corners = list(itertools.product(*of.ranges.values()))
    else:
        corners = _outer_corners(of)
    points = {
        name: np.array([of.readings[name].nominal_value + step[index] for _ in corners for step in steps])
        for index, name in enumerate(of.readings)
    }
    points |= {
        name: np.array([corner[index] for corner in corners for _ in steps]) for index, name in enumerate(of.ranges)
    }
    results = np.broadcast_to(of.at(points), len(corners) * len(steps)).reshape(len(corners), len(steps))
    if not np.isfinite(results).all():
        return None
    halves = (results[:, 1::2] - results[:, 2::2]) / 2
    expanded = np.sqrt((halves**2).sum(axis=1))
    low, high = float((results[:, 0] - expanded).min()), float((results[:, 0] + expanded).max())
    low, high = min(low, of.value), max(high, of.value)
    return (low, high) if high - low > ROUNDING * abs(of.value) else None


def _outer_corners(of: Uncertain) -> list[tuple[float, ...]]:
    """The two corners at which the result is least and greatest by each range on its own, the others at their middles."""
    low, high = (np.array(side) for side in zip(*of.ranges.values(), strict=True))
    count = len(of.ranges)
    tried = np.tile(
        (low + high) / 2, (2 * count, 1)
    )  # the first half with one range each at its least, then at its most
    tried[range(count), range(count)], tried[range(count, 2 * count), range(count)] = low, high
    points = {name: np.full(2 * count, size.nominal_value) for name, size in of.readings.items()}
    results = of.at(points | {name: tried[:, index] for index, name in enumerate(of.ranges)})
    at_low, at_high = np.reshape(np.broadcast_to(results, 2 * count), (2, count))
    return [tuple(np.where(at_high >= at_low, low, high)), tuple(np.where(at_high >= at_low, high, low))]


def chance_past(of: Uncertain, limit: float, over: bool) -> float | None:
    """The chance, 0 to 1, that it is over the limit (or under it), by seeded draws; None where nothing is known of its uncertainty.

    A draw at which the sum has no result counts as past.
    """
    if of.is_exact:
        return None
    points = drawn(of, DRAWS)
    try:
        results = np.asarray(of.at(points), dtype=float)
    except (TypeError, ValueError):
        results = np.asarray(of.at({name: column[:DRAWS_ONE_BY_ONE] for name, column in points.items()}), dtype=float)
    safe = results <= limit if over else results >= limit
    return float(1 - np.mean(safe))


def drawn(of: Uncertain, draws: int) -> Points:
    """Values of all its doubts, drawn jointly."""
    random = np.random.default_rng(SEED)
    errors = random.standard_normal((draws, len(of.readings))) @ _directions(of).T
    points = {name: size.nominal_value + errors[:, index] for index, (name, size) in enumerate(of.readings.items())}
    return points | {name: random.uniform(low, high, draws) for name, (low, high) in of.ranges.items()}


def _directions(of: Uncertain) -> Column:
    """Columns of one standard uncertainty each, independent of one another, over the readings."""
    if not of.readings:
        return np.zeros((0, 0))
    values, vectors = np.linalg.eigh(np.asarray(covariance_matrix(list(of.readings.values()))))
    return vectors * np.sqrt(np.clip(values, 0, None))
