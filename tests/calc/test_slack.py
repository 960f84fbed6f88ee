"""What a job can wait: by hand on small plans, and tried from outside on plans made at random."""

import random

import numpy as np
import pytest
from gudgeon_calc.schedule import Hands, Job, expected_minutes, list_schedule
from gudgeon_calc.slack import MOST_JOBS, NEAR, days_to_spare

ONE = [Hands(1.0)]


def job(minutes: float, **more) -> Job:
    return Job(minutes, minutes, minutes, **more)


def plan_of(jobs, hands):
    return list_schedule(np.array([[expected_minutes(one) for one in jobs]]), jobs, hands)


def spare(jobs, hands):
    return days_to_spare(jobs, hands, plan_of(jobs, hands))


def test_one_pair_of_hands_can_put_off_what_the_other_work_can_go_before():
    """Three days, two days, and a last one of a day that needs the first alone: the second may go anywhere, the first before the last."""
    assert spare([job(3), job(2), job(1, needs=(0,))], ONE) == [2, 1, 0]


def test_with_hands_for_everything_it_is_the_float_of_the_critical_path():
    jobs = [job(3), job(1), job(2, needs=(0, 1)), job(4, needs=(1,), wait=0.5)]
    assert spare(jobs, [Hands(1.0)] * 4) == pytest.approx([0.5, 0, 0.5, 0], abs=NEAR)


def test_a_wait_counts_as_time_that_has_to_pass():
    """A day of work that rests ten: put off by a day it moves the end; two days of other work fit into its rest."""
    assert spare([job(1, wait=10), job(2)], ONE) == [0, 8]


def test_too_many_jobs_are_not_tried():
    jobs = [job(1)] * (MOST_JOBS + 1)
    assert spare(jobs, [Hands(1.0)]) == [None] * len(jobs) and spare([], ONE) == []


@pytest.mark.parametrize("seed", range(12))
def test_what_is_told_was_possible_and_much_more_is_not(seed):
    chance = random.Random(seed)
    jobs = [
        job(
            chance.randint(1, 9),
            wait=chance.choice([0, 0, 3]),
            needs=tuple(sorted({chance.randrange(place) for _ in range(chance.randint(0, 2))})) if place else (),
        )
        for place in range(8)
    ]
    hands = [Hands(1.0, away=((4.0, 6.0),))] * chance.randint(1, 2)
    plan, wait = plan_of(jobs, hands), np.array([one.wait for one in jobs])
    end = (plan.end[0] + wait).max()
    for place, days in enumerate(spare(jobs, hands)):
        for more, holds in ((0.0, True), (NEAR + 0.01, False)):
            later = np.zeros((1, len(jobs)))
            later[0, place] = plan.start[0][place] + days + more
            put_off = list_schedule(np.array([[expected_minutes(one) for one in jobs]]), jobs, hands, later)
            if holds:
                assert (put_off.end[0] + wait).max() <= end + 1e-6
            elif days == 0 and len(hands) == 1 and not wait.any():
                assert (put_off.end[0] + wait).max() > end
