"""Estimates of time: three points, a builder's own history, and how long a plan takes by simulation."""

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

SHRINKAGE = (
    5.0  # as many jobs done exactly to estimate are added to a history, so that a few do not rule (common practice)
)
DRAWS = 10_000
SEED = 20_250_101  # fixed: the same files give the same figures


def three_point(least: float, likely: float, most: float) -> tuple[float, float]:
    """Mean and standard deviation of a three-point estimate: (a + 4m + b)/6 and (b − a)/6.

    least, likely, most: one unit, rising. Returns (mean, sd). Source: common practice (from memory: PERT).
    Valid: one hump, ends that are hardly ever passed.
    """
    return (least + 4 * likely + most) / 6, (most - least) / 6


def history_factor(
    took: Sequence[float], estimated: Sequence[float], shrinkage: float = SHRINKAGE
) -> tuple[float, float]:
    """How a builder's work compares with the estimates: (geometric mean of took/estimated, the same shrunk toward 1).

    exp[Σ ln(took/estimated)/n] and with n + shrinkage below. took, estimated: one unit, above nought, pairwise.
    Returns (1, 1) without history. Source: common practice, no source. Valid: jobs of like kind.
    """
    logs = [math.log(a / b) for a, b in zip(took, estimated, strict=True)]
    if not logs:
        return 1.0, 1.0
    return math.exp(sum(logs) / len(logs)), math.exp(sum(logs) / (len(logs) + shrinkage))


@dataclass(frozen=True)
class Job:
    """One job of a plan. least, likely, most: minutes. wait: days that pass afterwards. needs: places of jobs before it."""

    least: float
    likely: float
    most: float
    wait: float = 0.0
    needs: tuple[int, ...] = ()


@dataclass(frozen=True)
class Outlook:
    """How long a plan takes. minutes, days: at 50 and 80 percent. chain: places of the jobs that decide the date."""

    minutes: tuple[float, float]
    days: tuple[float, float]
    chain: tuple[int, ...]


def outlook(jobs: Sequence[Job], factor: float, days_a_minute: float, draws: int = DRAWS) -> Outlook:
    """How long one pair of hands takes over jobs in this order, waits and needs kept.

    jobs: every need before the job that has it (ValueError otherwise). factor: on all minutes. days_a_minute: calendar
    days for a minute of work. Draws follow the beta law with the mean (a + 4m + b)/6, by a fixed seed, column by column.
    Source: derived. Valid: one builder who takes the jobs in the order given; waits do not shrink with practice.
    """
    if not jobs:
        return Outlook((0.0, 0.0), (0.0, 0.0), ())
    chance = np.random.default_rng(SEED)
    free, total = np.zeros(draws), np.zeros(draws)
    ready: list[np.ndarray] = []
    mean_free = 0.0
    mean_ready: list[float] = []
    before: list[int | None] = []
    for place, job in enumerate(jobs):
        if any(need >= place for need in job.needs):
            raise ValueError("a job stands before what it needs")
        minutes = _drawn(job, chance, draws) * factor
        total += minutes
        start = free
        for need in job.needs:
            start = np.maximum(start, ready[need])
        free = start + minutes * days_a_minute
        ready.append(free + job.wait)
        # The same once more with the means, to see what holds each job up.
        held = max(job.needs, key=lambda need: mean_ready[need], default=None)
        if held is not None and mean_ready[held] > mean_free + 1e-12:
            before.append(held)
            mean_free = mean_ready[held]
        else:
            before.append(place - 1 if place else None)
        mean_free += three_point(job.least, job.likely, job.most)[0] * factor * days_a_minute
        mean_ready.append(mean_free + job.wait)
    ends = np.maximum.reduce(ready)
    last: int | None = max(range(len(jobs)), key=mean_ready.__getitem__)
    chain: list[int] = []
    while last is not None:
        chain.append(last)
        last = before[last]
    return Outlook(_even_and_likely(total), _even_and_likely(ends), tuple(reversed(chain)))


def _even_and_likely(drawn: np.ndarray) -> tuple[float, float]:
    return float(np.percentile(drawn, 50)), float(np.percentile(drawn, 80))


def _drawn(job: Job, chance: np.random.Generator, draws: int) -> np.ndarray:
    span = job.most - job.least
    if span <= 0:
        return np.full(draws, job.likely)
    first = 1 + 4 * (job.likely - job.least) / span
    return job.least + span * chance.beta(first, 6 - first, draws)
