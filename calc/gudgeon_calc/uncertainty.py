"""Uncertainty of a reading and the decision at a limit.

Expanded uncertainty U is for coverage factor k = 2, or the factor of its degrees of freedom where few readings are behind it.
"""

import functools
import math
from collections.abc import Sequence
from statistics import NormalDist
from typing import Literal

import numpy as np

from gudgeon_calc.published import table
from gudgeon_calc.student import chance_within
from gudgeon_calc.units import GRAIN, reaches

COVERAGE = 2.0
Conformity = Literal["in", "reads in", "reads out", "out"]
WORST_FIRST: tuple[Conformity, ...] = ("out", "reads out", "reads in", "in")
LEVEL = 0.9545  # that k = 2 stands for, of a normal error
MANY = 1000  # degrees of freedom from which on t is the normal law
NODES = 48  # of the integral over two correlated errors
_NEVER = 1e-12  # a chance below this is none
_NORMAL = NormalDist()


def standard_from_limits(half_width: float) -> float:
    """Standard uncertainty of a value that lies evenly anywhere within ± half_width: a/√3.

    half_width: any unit. Returns the same unit. Source: NIST TN 1297, sec. 4.6. Valid: nothing known but the limits.
    """
    return half_width / math.sqrt(3)


def standard_from_use(use: float, resolution: float) -> float:
    """Standard uncertainty of use: the larger of feel-and-repeat and the scale's step, never both.

    use: expanded uncertainty of use (feel, repeat), k = 2. resolution: smallest step of the scale. Both and the
    result in one unit. Source: ISO 14253-2 (from memory): repeat as observed already holds the step.
    Valid: readings taken with the stated instrument by the hands it was stated for.
    """
    return max(use / COVERAGE, resolution / 2 / math.sqrt(3))


def chance_outside(
    value: float, expanded: float, low: float | None, high: float | None, degrees: float | None = None
) -> tuple[float, float]:
    """Chance that the true size lies below low and above high.

    value, expanded, low, high: all in one unit; a limit of None is open. degrees: effective degrees of freedom of U where it
    rests on few readings: then by Student's t with s = U/k, k of `coverage_of`; else by the normal law with s = U/2.
    Returns (below, above), each 0 to 1. With no uncertainty the chance is 0 or 1. Source: JCGM 106 (from memory);
    JCGM 100:2008, G.4. Valid: error near normal, nothing else known of the size.
    """
    below = 0.0 if low is None else _chance(low - value, expanded, degrees)
    above = 0.0 if high is None else _chance(value - high, expanded, degrees)
    return below, above


def _chance(overshoot: float, expanded: float, degrees: float | None) -> float:
    if expanded <= 0:
        return 1.0 if overshoot > GRAIN else 0.0
    times = overshoot / (expanded / coverage_of(degrees))
    if degrees is None or degrees > MANY:
        return _NORMAL.cdf(times)
    whole = int(degrees + 1e-9)
    inside = chance_within(math.atan(abs(times) / math.sqrt(whole)), whole)
    return (1 + math.copysign(inside, times)) / 2


_gauss = functools.cache(np.polynomial.legendre.leggauss)  # worked out once: it takes longer than the integral


def chance_of_neither(first: float, second: float, correlation: float) -> float:
    """Chance that a first quantity is not below its limit and a second not above its own.

    first: chance that the first is below. second: chance that the second is above. correlation: of the two, -1 to 1. All
    without unit. The two are joined as normal scores of their chances are (exact for two normal quantities).
    Source: Plackett 1954, Biometrika 41 (from memory), for the bivariate normal integral. Valid: correlation well known.
    """
    if min(first, second) < _NEVER or max(first, second) > 1 - _NEVER:
        return max(0.0, 1 - min(1.0, first + second))
    one, other = _NORMAL.inv_cdf(first), _NORMAL.inv_cdf(second)
    most = math.asin(max(-1.0, min(1.0, -correlation)))
    nodes, weights = _gauss(NODES)
    angles = most * (nodes + 1) / 2
    heights = np.exp(-(one**2 + other**2 - 2 * one * other * np.sin(angles)) / (2 * np.cos(angles) ** 2))
    both = first * second + most / 2 * float(weights @ heights) / (2 * math.pi)
    both = max(0.0, first + second - 1, min(both, first, second))
    return max(0.0, 1 - first - second + both)


def conformity(value: float, expanded: float, low: float | None, high: float | None) -> Conformity:
    """Where a size stands against its limits: "in", "reads in", "reads out" or "out".

    value, expanded, low, high: mm; a limit of None is open. "in": inside by the whole of U or more; "out":
    outside by the whole of U or more; between them what it reads, no more. At a limit exactly counts as inside.
    Source: ISO 14253-1 (from memory). Valid: U with k = 2.
    """
    room = min((limit for limit in (_room(value, low), _room(high, value)) if limit is not None), default=math.inf)
    if reaches(room, expanded):
        return "in"
    if reaches(room, 0):
        return "reads in"
    return "out" if reaches(-room, expanded) else "reads out"


def _room(upper: float | None, lower: float | None) -> float | None:
    return None if upper is None or lower is None else upper - lower


def effective_degrees(parts: Sequence[tuple[float, float]]) -> float:
    """Effective degrees of freedom of a combined standard uncertainty (Welch-Satterthwaite): u⁴/Σ(ui⁴/νi).

    parts: (standard uncertainty, its degrees of freedom), one unit; math.inf where it is known beyond doubt.
    Source: JCGM 100:2008, G.4. Valid: parts independent.
    """
    combined = sum(part**2 for part, _ in parts) ** 2
    below = sum(part**4 / degrees for part, degrees in parts if not math.isinf(degrees))
    return math.inf if below == 0 else combined / below


def coverage_factor(degrees: float, level: float = 0.95) -> float:
    """Coverage factor t for a level of confidence and degrees of freedom, these truncated as the guide says.

    degrees: 1 or more. level: 0.90, 0.95, 0.9545 or 0.99. Raises ValueError. Source: NIST TN 1297, Table B.1.
    Valid: degrees between two rows take the lower row.
    """
    column = f"t_{level * 100:g}".replace(".", "_")
    rows = [row for row in table("t-factors") if float(row["degrees"]) <= degrees + 1e-9]
    if not rows or column not in rows[0]:
        raise ValueError(f"no t-factor for {degrees:g} degrees of freedom at {level:g}")
    return float(rows[-1][column])


def coverage_of(degrees: float | None) -> float:
    """Coverage factor of U for 95.45 percent: 2, or the t of its effective degrees of freedom where it rests on few readings.

    degrees: 1 or more, or None where nothing says. Returns a number without unit. Source: JCGM 100:2008, G.4.
    Valid: error near normal.
    """
    return COVERAGE if degrees is None else coverage_factor(degrees, LEVEL)


def normalised_error(difference: float, expanded: float) -> float:
    """The normalised error E of two results: |difference| over the expanded uncertainty of the difference.

    difference, expanded (k = 2): in one unit. Over 1 the two cannot both be right within what they state. With no
    uncertainty at all any difference is infinitely many. Source: ISO 13528:2015, the score E_n (from memory).
    Valid: errors near normal; what the two share is taken out of the uncertainty of the difference.
    """
    if abs(difference) <= GRAIN:
        return 0.0
    return abs(difference) / expanded if expanded > 0 else math.inf


def limit_of_error(compared: int) -> float:
    """The normalised error from which on results that are compared at several places cannot all be right.

    compared: places, 1 or more. 1 where one place is compared; more where chance has more places to play with, so that a
    sound pair is called wrong as seldom at many as at one (4.6 %). Source: Bonferroni's inequality on the normal law.
    Valid: errors near normal; safe where the places share a part of them.
    """
    return _NORMAL.inv_cdf(1 - (1 - _NORMAL.cdf(COVERAGE)) / compared) / COVERAGE


def best_weights(covariance: np.ndarray) -> np.ndarray:
    """How much each of n results counts in their mean of least uncertainty, together 1: V⁻¹1/(1ᵀV⁻¹1).

    covariance: n × n, of the results, any unit squared. Returns n weights, none below 0: a result that shares more with
    another than it adds is left out. Results without uncertainty count alike. Source: GUM (JCGM 100), H.5 for the weighted
    mean; generalised least squares for what is shared. Valid: the uncertainties are as stated.
    """
    variances = np.diag(covariance)
    if not np.all(variances > 0):
        exact = variances <= 0
        return exact / exact.sum()
    kept = np.ones(len(variances), dtype=bool)
    while True:
        solved = np.linalg.lstsq(covariance[np.ix_(kept, kept)], np.ones(kept.sum()), rcond=None)[0]
        if np.all(solved >= 0):
            break
        worst = np.flatnonzero(kept)[int(np.argmin(solved))]
        kept[worst] = False
    weights = np.zeros(len(variances))
    weights[kept] = solved / solved.sum()
    return weights
