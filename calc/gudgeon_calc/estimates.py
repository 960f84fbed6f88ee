"""Estimates of time: three points, a builder's own history, and how long a plan takes by simulation."""

from collections.abc import Sequence
from dataclasses import dataclass, field

import numpy as np

from gudgeon_calc.schedule import Hands, Job, Schedule, deciding_chain, expected_minutes, list_schedule, longest_path

DRAWS, LEAST_DRAWS, DRAWN_JOBS = 2_000, 250, 250_000  # most and least draws, and of all jobs together
SEED = 20_250_101  # fixed: the same files give the same figures


def three_point(least: float, likely: float, most: float) -> tuple[float, float]:
    """Mean and standard deviation of a three-point estimate: (a + 4m + b)/6 and (b − a)/6.

    least, likely, most: one unit, rising. Returns (mean, sd). Source: common practice (from memory: PERT).
    Valid: one hump, ends that are hardly ever passed.
    """
    return (least + 4 * likely + most) / 6, (most - least) / 6


def history_factor(
    took: Sequence[float], estimated: Sequence[float], shrinkage: float, toward: float = 1.0
) -> tuple[float, float]:
    """How a builder's work compares with the estimates: (mean of took/estimated, the same shrunk toward another).

    Σ(took/estimated)/n, and with shrinkage more jobs at the factor toward. took, estimated: one unit, above nought, pairwise;
    estimated is the mean that the factor is to multiply: the mean of the ratios then foretells the mean, however they scatter.
    Returns (toward, toward) without history. Source: derived; how much to shrink is judgement. Valid: jobs of like kind.
    """
    ratios = [a / b for a, b in zip(took, estimated, strict=True)]
    if not ratios:
        return toward, toward
    return sum(ratios) / len(ratios), (sum(ratios) + shrinkage * toward) / (len(ratios) + shrinkage)


@dataclass(frozen=True)
class Outlook:
    """How long a plan takes. minutes, days: at 50 and 80 percent. days_between: at 5 and 95 percent.

    mean_days: the end with mean times. chain: places of the jobs that decide it; hands_decide: whether hands link some of them.
    least_days, path: what more hands could not shorten, and its jobs. plan: the schedule with mean times; None without jobs.
    """

    minutes: tuple[float, float]
    days: tuple[float, float]
    days_between: tuple[float, float]
    mean_days: float
    chain: tuple[int, ...]
    hands_decide: bool
    least_days: float
    path: tuple[int, ...]
    plan: Schedule | None = field(default=None, compare=False)  # arrays have no one equality


def draws_for(jobs: int) -> int:
    """How many draws a plan of so many jobs is given: fewer where it is large, so that its cost stays in proportion."""
    return max(LEAST_DRAWS, min(DRAWS, DRAWN_JOBS // max(1, jobs)))


def outlook(jobs: Sequence[Job], hands: Sequence[Hands], spread: float = 0.0, draws: int | None = None) -> Outlook:
    """How long hands take over jobs, the first listed first, waits and needs kept.

    spread: standard deviation of the logarithm of the factor that all jobs share, for what a short history leaves open; the
    mean of that factor is 1.
    Draws follow the beta law with the mean (a + 4m + b)/6, by a fixed seed, column by column; of a job under way those that are
    longer than what was worked at it. Source: derived. Valid: jobs are taken in the order listed and not broken off; waits do not
    shrink with practice. Raises ValueError for a circle.
    """
    if not jobs:
        return Outlook((0.0, 0.0), (0.0, 0.0), (0.0, 0.0), 0.0, (), False, 0.0, ())
    draws = draws or draws_for(len(jobs))
    chance = np.random.default_rng(SEED)
    shared = np.exp(spread * chance.standard_normal(draws) - spread**2 / 2) if spread else np.ones(draws)
    minutes = np.column_stack([_drawn(job, shared * job.factor, chance, draws) for job in jobs])
    drawn = list_schedule(minutes, jobs, hands)
    wait = np.array([job.wait for job in jobs])
    ends, total = (drawn.end + wait).max(axis=1), minutes.sum(axis=1)
    by_mean = list_schedule(np.array([[expected_minutes(job) for job in jobs]]), jobs, hands)
    chain, hands_decide = deciding_chain(by_mean, jobs)
    least, path = longest_path(jobs, hands)
    return Outlook(
        minutes=_percentiles(total, 50, 80),
        days=_percentiles(ends, 50, 80),
        days_between=_percentiles(ends, 5, 95),
        mean_days=float((by_mean.end[0] + wait).max()),
        chain=chain,
        hands_decide=hands_decide,
        least_days=least,
        path=path,
        plan=by_mean,
    )


def _percentiles(drawn: np.ndarray, low: float, high: float) -> tuple[float, float]:
    return float(np.percentile(drawn, low)), float(np.percentile(drawn, high))


def _drawn(job: Job, factor: np.ndarray, chance: np.random.Generator, draws: int) -> np.ndarray:
    """Minutes still to work at a job, one a draw."""
    span = job.most - job.least
    if span <= 0:
        return np.maximum(0.0, job.likely * factor - job.spent)
    first = 1 + 4 * (job.likely - job.least) / span
    if not job.spent:
        return (job.least + span * chance.beta(first, 6 - first, draws)) * factor
    minutes = (job.least + span * chance.beta(first, 6 - first, 10 * draws)) * np.tile(factor, 10)
    longer = minutes[minutes > job.spent]  # it is not done yet: what was shorter than this is ruled out
    return chance.choice(longer, draws) - job.spent if longer.size else np.zeros(draws)
