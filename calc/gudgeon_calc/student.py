"""The normal law and Student's t by plain numbers: what is passed on one side with a chance."""

import math
from functools import lru_cache
from statistics import NormalDist

_NORMAL = NormalDist()


def normal_quantile(risk: float) -> float:
    """What a normal error of standard deviation 1 passes on one side with a chance, 0 to 1. Source: the normal law."""
    return _NORMAL.inv_cdf(1 - risk)


@lru_cache(maxsize=4096)
def t_quantile(risk: float, degrees: int) -> float:
    """What Student's t passes on one side with a chance: the t of a one-sided risk.

    risk: 0 to 0.5. degrees: whole, 1 or more. Raises ValueError. Source: Abramowitz and Stegun, 26.7.3 and 26.7.4 (from
    memory): the finite sums for whole degrees of freedom, turned round by halving. Valid: risks over a millionth.
    """
    if not 1e-6 <= risk <= 0.5 or degrees < 1:
        raise ValueError("a risk lies between a millionth and 0.5, degrees of freedom are 1 or more")
    low, high = 0.0, math.pi / 2  # angle whose tangent is t/√degrees
    for _ in range(60):
        angle = (low + high) / 2
        if (1 - chance_within(angle, degrees)) / 2 > risk:
            low = angle
        else:
            high = angle
    return math.sqrt(degrees) * math.tan(high)


def chance_within(angle: float, degrees: int) -> float:
    """Chance, 0 to 1, that Student's t lies within ± √degrees·tan(angle).

    angle: radians. degrees: whole degrees of freedom, 1 or more. Source: Abramowitz and Stegun, 26.7.3 and 26.7.4 (from
    memory). Valid: any angle from 0 to a right one.
    """
    odd = degrees % 2
    term, total = (math.cos(angle) if odd else 1.0), 0.0
    for power in range(odd, degrees - 1, 2):
        total += term
        term *= math.cos(angle) ** 2 * (power + 1) / (power + 2)
    return (2 / math.pi) * (angle + math.sin(angle) * total) if odd else math.sin(angle) * total
