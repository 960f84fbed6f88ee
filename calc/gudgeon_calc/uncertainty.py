"""Uncertainty of a reading and the decision at a limit.

Expanded uncertainty U is for coverage factor k = 2 throughout.
"""

import math
from statistics import NormalDist

from gudgeon_calc.units import GRAIN, formula, reaches

COVERAGE = 2.0
_NORMAL = NormalDist()


def standard_from_limits(half_width: float) -> float:
    """Standard uncertainty of a value that lies evenly anywhere within ± half_width: a/√3.

    half_width: any unit. Returns the same unit. Source: NIST TN 1297, sec. 4.6. Valid: nothing known but the limits.
    """
    return half_width / math.sqrt(3)


def standard_from_evens(half_width: float) -> float:
    """Standard uncertainty of a value that is within ± half_width as often as not: 1.48·a.

    half_width: any unit. Returns the same unit. Source: NIST TN 1297, sec. 4.4. Valid: errors near normal.
    """
    return half_width / _NORMAL.inv_cdf(0.75)


def standard_from_confidence(half_width: float, level: float) -> float:
    """Standard uncertainty from an interval stated with a confidence: a/z.

    half_width: any unit. level: 0 to 1, such as 0.95. Returns the unit of half_width. Source: NIST TN 1297, sec. 4.3.
    Valid: errors near normal.
    """
    return half_width / _NORMAL.inv_cdf((1 + level) / 2)


def standard_from_use(use: float, resolution: float) -> float:
    """Standard uncertainty of use: the larger of feel-and-repeat and the scale's step, never both.

    use: expanded uncertainty of use (feel, repeat), k = 2. resolution: smallest step of the scale. Both and the
    result in one unit. Source: ISO 14253-2 (from memory): repeat as observed already holds the step.
    Valid: readings taken with the stated instrument by the hands it was stated for.
    """
    return max(use / COVERAGE, resolution / 2 / math.sqrt(3))


def chance_outside(value: float, expanded: float, low: float | None, high: float | None) -> tuple[float, float]:
    """Chance that the true size lies below low and above high, by the normal law with s = U/2.

    value, expanded, low, high: all in one unit; a limit of None is open. Returns (below, above), each 0 to 1.
    With no uncertainty the chance is 0 or 1. Source: JCGM 106 (from memory).
    Valid: error near normal, nothing else known of the size.
    """
    below = 0.0 if low is None else _chance(low - value, expanded)
    above = 0.0 if high is None else _chance(value - high, expanded)
    return below, above


def _chance(overshoot: float, expanded: float) -> float:
    if expanded <= 0:
        return 1.0 if overshoot > GRAIN else 0.0
    return _NORMAL.cdf(overshoot / (expanded / COVERAGE))


def place(value: float, expanded: float, low: float | None, high: float | None) -> str:
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


def _room(upper, lower):
    return None if upper is None or lower is None else upper - lower


@formula(("mm", "mm"), source="iso-14253-1", low="mm", high="mm", expanded="mm")
def acceptance_zone(low, high, expanded):
    """Limits drawn in by the uncertainty: readings between them are in beyond doubt.

    low, high [mm]: limits. expanded [mm]: U, k = 2. Returns low + U and high − U [mm].
    Source: ISO 14253-1 (from memory). Valid: U under half of the band; otherwise the zone is empty.
    """
    return low + expanded, high - expanded
