"""What a few engines tell: the share that held with an exact interval, and how many still hold after hours of running."""

import math
from collections.abc import Callable, Iterable
from dataclasses import dataclass
from statistics import NormalDist

CONFIDENCE = 0.95


def exact_interval(held: int, tried: int, confidence: float = CONFIDENCE) -> tuple[float, float]:
    """Between which shares the true one lies, where `held` of `tried` did: it holds at least as often as it says.

    held, tried: counts, tried 1 or more. Returns shares, 0 to 1. Raises ValueError. Source: Clopper and Pearson 1934 (from
    memory): the shares at which so few, or so many, have half of what is left of the confidence as their chance. Valid:
    engines that say nothing of each other.
    """
    if tried < 1 or not 0 <= held <= tried or not 0 < confidence < 1:
        raise ValueError("of 1 or more that were tried, none to all held; the confidence lies between 0 and 1")
    tail = (1 - confidence) / 2
    low = 0.0 if held == 0 else _share_at(lambda share: _chance_of_more(held - 1, tried, share) < tail)
    high = 1.0 if held == tried else _share_at(lambda share: 1 - _chance_of_more(held, tried, share) > tail)
    return low, high


def _share_at(below: Callable[[float], bool]) -> float:
    """The share up to which a test holds, by halving."""
    low, high = 0.0, 1.0
    for _ in range(60):
        middle = (low + high) / 2
        if below(middle):
            low = middle
        else:
            high = middle
    return (low + high) / 2


def _chance_of_more(count: int, tried: int, share: float) -> float:
    """Chance that more than a count hold where each holds with a share: the binomial law."""
    if share <= 0 or share >= 1:
        return 0.0 if share <= 0 else 1.0
    logs = (math.log(share), math.log1p(-share))
    chances = (
        math.exp(
            math.lgamma(tried + 1)
            - math.lgamma(held + 1)
            - math.lgamma(tried - held + 1)
            + held * logs[0]
            + (tried - held) * logs[1]
        )
        for held in range(count + 1, tried + 1)
    )
    return min(1.0, math.fsum(chances))


@dataclass(frozen=True)
class Survived:
    """The share that still held after a time. at_risk: how many were watched so long. spread: standard error of the share.

    low, high: between which shares the true one lies with 95 %; None where the estimate has no interval of its own.
    """

    time: float
    at_risk: int
    share: float
    spread: float
    low: float | None
    high: float | None


def product_limit(times: Iterable[tuple[float, bool]], confidence: float = CONFIDENCE) -> tuple[Survived, ...]:
    """The share that still held after each time at which one failed. times: (how long it was watched, whether it failed then).

    What was watched until a time and had not failed is taken as watched at that very time too. times: one unit, 0 or more.
    Source: Kaplan and Meier 1958 (from memory), standard errors after Greenwood 1926, the interval on the scale of
    log(−log share), which stays between 0 and 1. Valid: watching ended for no reason that has to do with failing.
    """
    watched = sorted(times)
    quantile = NormalDist().inv_cdf((1 + confidence) / 2)
    share, variance, steps = 1.0, 0.0, list[Survived]()
    for time in sorted({time for time, failed in watched if failed}):
        at_risk = sum(1 for until, _ in watched if until >= time)
        failed = sum(1 for until, ended in watched if ended and until == time)
        share *= 1 - failed / at_risk
        if failed == at_risk:
            steps.append(Survived(time, at_risk, 0.0, 0.0, None, None))
            break
        variance += failed / (at_risk * (at_risk - failed))
        wide = quantile * math.sqrt(variance) / math.log(share)
        low, high = (share ** math.exp(sign * wide) for sign in (-1, 1))
        steps.append(Survived(time, at_risk, share, share * math.sqrt(variance), low, high))
    return tuple(steps)


def survived(times: Iterable[tuple[float, bool]], after: float, confidence: float = CONFIDENCE) -> Survived | None:
    """The share that still held after a time; None where nothing was watched so long.

    after: in the unit of the times. Where nothing had failed by then the interval is the exact one of those that were
    watched so long, for the product-limit estimate has none there. Source: as `product_limit`.
    """
    watched = list(times)
    at_risk = sum(1 for until, _ in watched if until >= after)
    if not at_risk:
        return None
    steps = [step for step in product_limit(watched, confidence) if step.time <= after]
    if steps:
        last = steps[-1]
        return Survived(after, at_risk, last.share, last.spread, last.low, last.high)
    return Survived(after, at_risk, 1.0, 0.0, exact_interval(at_risk, at_risk, confidence)[0], 1.0)
