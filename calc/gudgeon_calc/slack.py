"""How long each job of a plan can be put off, the others moving up, before the end of the plan moves."""

from collections.abc import Sequence

import numpy as np

from gudgeon_calc.schedule import Hands, Job, Schedule, expected_minutes, list_schedule, tails

MOST_JOBS = 200  # of more the trials cost more than what they tell is worth
NEAR = 0.25  # days; the trials stop where they know it so well
WITHIN = 1e-6  # days; an end that moves by less has not moved


def days_to_spare(jobs: Sequence[Job], hands: Sequence[Hands], plan: Schedule) -> list[float | None]:
    """Days by which each job can start later than planned while the plan, made anew around it, ends no later.

    plan: the schedule of the jobs with mean times, one draw. None for all where there are too many jobs to try. What is
    returned was tried; up to a quarter of a day more may be possible. Source: derived (by trial, each job put off alone). Valid: of one
    job at a time; two put off together may move the end.
    """
    count = len(jobs)
    if not count or count > MOST_JOBS:
        return [None] * count
    wait = np.array([job.wait for job in jobs])
    end = float((plan.end[0] + wait).max())
    start = plan.start[0]
    most = np.maximum(0.0, end - _hangs_on(jobs, hands) - start)
    minutes = np.array([expected_minutes(job) for job in jobs])

    def holds(places: np.ndarray, later: np.ndarray) -> np.ndarray:
        """Of some jobs whether the plan ends no later when that job alone starts so many days later: a draw for each."""
        not_before = np.zeros((len(places), count))
        not_before[np.arange(len(places)), places] = start[places] + later
        tried = list_schedule(np.tile(minutes, (len(places), 1)), jobs, hands, not_before)
        return (tried.end + wait).max(axis=1) <= end + WITHIN

    known = np.where(holds(np.arange(count), most), most, 0.0)
    while (places := np.flatnonzero(most - known > NEAR)).size:
        middle = (known[places] + most[places]) / 2
        can = holds(places, middle)
        known[places] = np.where(can, middle, known[places])
        most[places] = np.where(can, most[places], middle)
    return [float(days) for days in known]


def _hangs_on(jobs: Sequence[Job], hands: Sequence[Hands]) -> np.ndarray:
    """The least days from the start of each job to the end: the longest path behind it, and for one pair of hands all work behind it."""
    behind = np.array(tails(jobs, hands))
    if len(hands) > 1:
        return behind
    work = np.array([expected_minutes(job) * hands[0].days_a_minute for job in jobs])
    after: list[set[int]] = [set() for _ in jobs]
    for place, job in enumerate(jobs):
        for need in job.needs:
            after[need].add(place)
    total = np.empty(len(jobs))
    for place in range(len(jobs)):
        seen, ahead = {place}, [place]
        while ahead:
            for later in after[ahead.pop()] - seen:
                seen.add(later)
                ahead.append(later)
        total[place] = work[list(seen)].sum()
    return np.maximum(behind + work, total)
