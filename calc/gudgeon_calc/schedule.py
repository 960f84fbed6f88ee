"""Who does what when: a list schedule that never idles, its tails, and the chain that decides when it ends."""

import math
from collections.abc import Sequence
from dataclasses import dataclass
from graphlib import CycleError, TopologicalSorter
from typing import cast

import numpy as np
from numpy.typing import NDArray


@dataclass(frozen=True)
class Job:
    """One job of a plan. least, likely, most: minutes of work.

    wait, wait_before: days that pass with nobody at work after it, and between what it needs and its start. rests: days from now
    before which it cannot start. needs: places of jobs before it. hand: the only hands that do it; None for all that are shared.
    factor: on its minutes. spent: minutes already worked at it.
    """

    least: float
    likely: float
    most: float
    wait: float = 0.0
    needs: tuple[int, ...] = ()
    wait_before: float = 0.0
    rests: float = 0.0
    hand: int | None = None
    factor: float = 1.0
    spent: float = 0.0


@dataclass(frozen=True)
class Hands:
    """One pair of hands. days_a_minute: calendar days for a minute of work. shared: does what is nobody's in particular.

    away: (first, last) days from now between which nothing of theirs moves, in order and apart.
    """

    days_a_minute: float
    shared: bool = True
    away: tuple[tuple[float, float], ...] = ()

    def does(self, place: int, job: Job) -> bool:
        """Whether these hands, at their place among all, do a job."""
        return job.hand == place if job.hand is not None else self.shared

    def back(self, day: np.ndarray) -> np.ndarray:
        """The day itself, or the one on which they are back."""
        for gone, back in self.away:
            day = np.where((day >= gone) & (day < back), back, day)
        return day

    def through(self, start: np.ndarray, days: np.ndarray) -> np.ndarray:
        """When work of so many days ends that starts while they are there: what they are away for is added."""
        end = start + days
        for gone, back in self.away:
            end = np.where((start < gone) & (end > gone), end + back - gone, end)
        return end


NONE_STARTS = "what jobs need goes in a circle, or nobody does a job"


@dataclass(frozen=True)
class Schedule:
    """When jobs start and end, days, and which hands do them: one row a draw, one column a job."""

    start: np.ndarray
    end: np.ndarray
    by: np.ndarray


def list_schedule(
    minutes: np.ndarray, jobs: Sequence[Job], hands: Sequence[Hands], not_before: np.ndarray | None = None
) -> Schedule:
    """Give each job, as soon as hands that do it are free and it can start, to them; of several that can, the first listed.

    minutes: what each job takes, draws × jobs; not_before: days before which none of them starts, alike. Hands never idle while a job can start that they do. Raises ValueError where needs
    go in a circle or nobody does a job. Source: Graham 1969, Bounds on multiprocessing timing anomalies (the list rule, from
    memory). Valid: a job is not broken off; with several hands or waits such a schedule need not be the shortest.
    """
    draws, count = len(minutes), len(jobs)
    rows = np.arange(draws)
    after: list[list[int]] = [[] for _ in jobs]
    for place, job in enumerate(jobs):
        for need in set(job.needs):
            after[need].append(place)
    branches = np.array([len(places) for places in after])
    behind = np.zeros((count, max(branches, default=0)), dtype=int)
    for place, places in enumerate(after):
        behind[place, : len(places)] = places
    wait, before, rests = (np.array([getattr(job, name) for job in jobs]) for name in ("wait", "wait_before", "rests"))
    put_off = np.broadcast_to(rests, (draws, count)) if not_before is None else np.maximum(rests, not_before)
    lacking = np.tile(np.array([len(set(job.needs)) for job in jobs]), (draws, 1))
    since = np.zeros((draws, count))
    ready = np.where(lacking == 0, np.maximum(before, put_off), np.inf)  # infinite too once it is given out
    alike = _alike(jobs, hands)
    pace = np.array([pair.days_a_minute for pair in hands])
    free = np.zeros((draws, len(hands)))
    start, end, by = np.zeros((draws, count)), np.zeros((draws, count)), np.zeros((draws, count), dtype=int)
    startable = np.isfinite(ready).sum(axis=0)  # in how many draws a job can start
    first, to_give = 0, np.full(count, draws)  # before the first all jobs are given out in all draws
    for _ in jobs:
        # Of a long chain few jobs can start in any draw; the others need not be looked at.
        waiting = np.flatnonzero(startable)
        if not waiting.size:
            raise ValueError(NONE_STARTS)
        columns = waiting if 2 * len(waiting) < count - first else slice(first, count)
        when, who, what = _next(ready, free, alike, columns)
        if not np.isfinite(when).all():
            raise ValueError(NONE_STARTS)
        start[rows, what], by[rows, what] = when, who
        days = minutes[rows, what] * pace[who]
        done = when + days
        for place, pair in enumerate(hands):
            if pair.away:
                theirs = who == place
                done[theirs] = pair.through(when[theirs], days[theirs])
        end[rows, what], free[rows, who], ready[rows, what] = done, done, np.inf
        given_out = np.bincount(what, minlength=count)
        to_give -= given_out
        startable -= given_out
        while first < count and not to_give[first]:
            first += 1
        left_free = done + wait[what]
        for branch in range(behind.shape[1]):
            has = np.flatnonzero(branches[what] > branch)
            if not has.size:
                break
            later = behind[what[has], branch]
            since[has, later] = np.maximum(since[has, later], left_free[has])
            lacking[has, later] -= 1
            now = lacking[has, later] == 0
            here, freed = has[now], later[now]
            ready[here, freed] = np.maximum(since[here, freed] + before[freed], put_off[here, freed])
            startable += np.bincount(freed, minlength=count)
    return Schedule(start, end, by)


@dataclass(frozen=True)
class _Alike:
    """Hands that do the same jobs at all times: those that are free first start first. hands: one of them."""

    places: np.ndarray
    does: np.ndarray
    hands: Hands


def _alike(jobs: Sequence[Job], hands: Sequence[Hands]) -> list[_Alike]:
    groups: dict[tuple[object, ...], list[int]] = {}
    for place, pair in enumerate(hands):
        groups.setdefault((*(pair.does(place, job) for job in jobs), pair.away), []).append(place)
    return [
        _Alike(np.array(places), np.array([hands[places[0]].does(places[0], job) for job in jobs]), hands[places[0]])
        for places in groups.values()
    ]


def _next(
    ready: np.ndarray, free: np.ndarray, alike: Sequence[_Alike], columns: np.ndarray | slice
) -> tuple[np.ndarray, np.ndarray, np.ndarray]:
    """For each draw the hands that can start a job first: when, whose they are, and which job. columns: of the jobs that count, rising."""
    rows = np.arange(len(ready))
    places = cast("NDArray[np.intp]", np.arange(ready.shape[1])[columns])
    when, who, what = np.full(len(ready), np.inf), np.zeros(len(ready), dtype=int), np.zeros(len(ready), dtype=int)
    for group in alike:
        open_to = ready[:, columns]
        if not group.does.all():
            open_to = np.where(group.does[columns], open_to, np.inf)
        theirs = free[:, group.places]
        at = group.hands.back(theirs.min(axis=1))
        can = open_to <= at[:, None]
        job = can.argmax(axis=1)
        idle = np.flatnonzero(~can[rows, job])
        if idle.size:
            at[idle] = group.hands.back(open_to[idle].min(axis=1))
            job[idle] = (open_to[idle] <= at[idle, None]).argmax(axis=1)
        pair = group.places[(theirs <= at[:, None]).argmax(axis=1)]
        sooner = (at < when) | ((at == when) & (pair < who))
        when[sooner], who[sooner], what[sooner] = at[sooner], pair[sooner], places[job[sooner]]
    return when, who, what


def expected_minutes(job: Job) -> float:
    """Mean minutes still to work at a job: (a + 4m + b)/6 times its factor, less what was worked at it.

    Of a job under way the mean of the times that are longer than that, by the beta law of the three points: it is not done, so
    what was shorter is ruled out. Nought where all are shorter: nothing is known then. Source: derived.
    """
    mean, span = (job.least + 4 * job.likely + job.most) / 6 * job.factor, job.most - job.least
    if job.spent <= job.least * job.factor or span <= 0:
        return max(0.0, mean - job.spent)
    begun = (job.spent / job.factor - job.least) / span
    if begun >= 1:
        return 0.0
    first = 4 * (job.likely - job.least) / span  # the exponents of the law
    share = begun + (1 - begun) * (np.arange(500) + 0.5) / 500
    weight = share**first * (1 - share) ** (4 - first)
    return float((job.least + span * (share @ weight) / weight.sum()) * job.factor - job.spent)


def _quickest(job: Job, hands: Sequence[Hands]) -> float:
    """Days of work of a job by the quickest hands that do it."""
    paces = [pair.days_a_minute for place, pair in enumerate(hands) if pair.does(place, job)]
    return expected_minutes(job) * min(paces, default=math.inf)


def _needs_first(jobs: Sequence[Job]) -> list[int]:
    try:
        return list(TopologicalSorter({place: job.needs for place, job in enumerate(jobs)}).static_order())
    except CycleError as circle:
        raise ValueError("what jobs need goes in a circle") from circle


def tails(jobs: Sequence[Job], hands: Sequence[Hands]) -> list[float]:
    """Days of work and waits that hang on each job, the longest first to be taken: the longest path from it to the end.

    jobs, hands: with mean times. With one pair of hands counted from the end of the job, with several from its start. Source: Jackson's
    rule turned round, and the critical path rule (both from memory). Valid: one pair of hands and no waits but after the
    last jobs make the longest first the shortest plan; else it is a good rule and no more.
    """
    behind = [job.wait for job in jobs]
    for place in reversed(_needs_first(jobs)):
        job = jobs[place]
        for need in job.needs:
            whole = job.wait_before + _quickest(job, hands) + behind[place]
            behind[need] = max(behind[need], jobs[need].wait + whole)
    if len(hands) == 1:
        return behind
    return [_quickest(job, hands) + rest for job, rest in zip(jobs, behind, strict=True)]


def longest_path(jobs: Sequence[Job], hands: Sequence[Hands]) -> tuple[float, tuple[int, ...]]:
    """What more hands could not shorten: days of the longest path through needs and waits with mean times, and its jobs."""
    if not jobs:
        return 0.0, ()
    ends, held_by = [0.0] * len(jobs), dict[int, int | None]()
    for place in _needs_first(jobs):
        job = jobs[place]
        held = max(job.needs, key=ends.__getitem__, default=None)
        begin = (ends[held] if held is not None else 0.0) + job.wait_before
        held_by[place] = None if job.rests > begin else held
        ends[place] = max(begin, job.rests) + _quickest(job, hands) + job.wait
    last = max(range(len(jobs)), key=ends.__getitem__)
    return ends[last], _back(last, held_by)


def deciding_chain(schedule: Schedule, jobs: Sequence[Job]) -> tuple[tuple[int, ...], bool]:
    """The jobs of a schedule's first draw that decide when it ends, first to last, and whether hands link some of them.

    Back from the job that ends last with its wait: to what it needed, where it started as soon as that let it, else to
    the job that its hands did before. Their days with the waits between them add up to the end. Source: derived (the critical
    path with resource links). Valid: the schedule as given; another order can have another chain.
    """
    if not jobs:
        return (), False
    start, end, by = schedule.start[0], schedule.end[0], schedule.by[0]
    out = [float(end[place]) + job.wait for place, job in enumerate(jobs)]
    before: dict[int, int | None] = {}
    of_hands: set[int] = set()
    last_of: dict[int, int] = {}
    for place in sorted(range(len(jobs)), key=lambda place: (start[place], end[place], place)):
        job = jobs[place]
        held = max(job.needs, key=out.__getitem__, default=None)
        ready = max((out[held] if held is not None else 0.0) + job.wait_before, job.rests)
        earlier = last_of.get(int(by[place]))
        last_of[int(by[place])] = place
        if start[place] > ready + 1e-9 and earlier is not None and float(end[earlier]) > ready:
            before[place] = earlier
            of_hands.add(place)
        else:
            before[place] = None if job.rests >= ready and job.rests > 0 else held
    chain = _back(max(range(len(jobs)), key=out.__getitem__), before)
    return chain, any(place in of_hands for place in chain)


def _back(last: int, before: dict[int, int | None]) -> tuple[int, ...]:
    chain: list[int] = []
    place: int | None = last
    while place is not None:
        chain.append(place)
        place = before[place]
    return tuple(reversed(chain))
