"""Schedules: published examples, every order tried on small plans, closed forms, and the stated range by simulation."""

import itertools
import math
import random

import numpy as np
import pytest
from gudgeon_calc.estimates import history_factor, outlook, three_point
from gudgeon_calc.schedule import Hands, Job, deciding_chain, expected_minutes, list_schedule, longest_path, tails

ONE = (Hands(1.0),)


def job(minutes: float, **more) -> Job:
    return Job(minutes, minutes, minutes, **more)


def means(jobs: list[Job]) -> np.ndarray:
    return np.array([[expected_minutes(each_job) for each_job in jobs]])


def end_of(jobs: list[Job], hands) -> float:
    ends = list_schedule(means(jobs), jobs, hands).end[0]
    return max(end + one.wait for end, one in zip(ends, jobs, strict=True))


def in_order(jobs: list[Job], order) -> list[Job]:
    place = {old: new for new, old in enumerate(order)}
    return [Job(**{**vars(jobs[old]), "needs": tuple(place[need] for need in jobs[old].needs)}) for old in order]


def by_tails(jobs: list[Job], hands) -> list[Job]:
    longest = tails(jobs, hands)
    return in_order(jobs, sorted(range(len(jobs)), key=lambda place: (-longest[place], place)))


@pytest.mark.parametrize(("shorter", "hands", "end"), [(0, 2, 31), (1, 2, 32), (0, 3, 36)])
def test_the_anomaly_of_a_published_example(shorter, hands, end):
    """Pinedo, Scheduling (4th ed. 2012), example 2.3.2: ten jobs on two machines end at 31 without idling; with every job a unit
    shorter at 32, with a third machine at 36."""
    minutes = [8, 7, 7, 2, 3, 2, 2, 8, 8, 15]
    pairs = [(1, 2), (1, 3), (2, 10), (3, 10), (5, 3), (4, 5), (4, 6), (5, 8), (6, 7), (7, 9), (5, 9), (7, 8)]
    jobs = [
        job(length - shorter, needs=tuple(first - 1 for first, then in pairs if then == place))
        for place, length in enumerate(minutes, 1)
    ]
    several = [Hands(1.0)] * hands
    assert end_of(by_tails(jobs, several), several) == end


def test_the_critical_path_of_a_published_example():
    """Fourteen activities with three times each, as printed with its solution in an exercise of operations management (seen in a
    stored solution: A, C, E, H, I, K, M, N in 50.83 days); with hands enough the chain is the path."""
    estimates = {
        "A": (5, 5, 7, ""), "B": (1, 2, 5, ""), "C": (5, 5, 5, "A"), "D": (4, 8, 13, "A"), "E": (1, 10, 17, "BC"),
        "F": (1, 5, 7, "D"), "G": (2, 6, 9, "D"), "H": (4, 4, 6, "EF"), "I": (2, 7, 10, "GH"), "J": (2, 4, 7, "I"),
        "K": (6, 10, 13, "I"), "L": (2, 6, 6, "J"), "M": (2, 2, 3, "K"), "N": (7, 7, 12, "LM"),
    }  # fmt: skip
    jobs = [
        Job(low, likely, high, needs=tuple("ABCDEFGHIJKLMN".index(need) for need in needs))
        for low, likely, high, needs in estimates.values()
    ]
    assert three_point(1, 10, 17) == (pytest.approx(9.67, abs=0.005), pytest.approx(2.67, abs=0.005))
    days, path = longest_path(jobs, ONE)
    assert "".join("ABCDEFGHIJKLMN"[place] for place in path) == "ACEHIKMN" and days == pytest.approx(50.83, abs=0.005)
    many = [Hands(1.0)] * 14
    chain, of_hands = deciding_chain(list_schedule(means(jobs), jobs, many), jobs)
    assert chain == path and not of_hands and end_of(jobs, many) == pytest.approx(days)


def made_up(chance: random.Random, most: int, waits: bool) -> tuple[list[Job], list[Hands]]:
    pairs = [Hands(chance.choice([1.0, 1.0, 2.0])) for _ in range(chance.randint(1, 3))]
    jobs = []
    for place in range(chance.randint(1, most)):
        needs = tuple(need for need in range(place) if chance.random() < 0.3)
        more = {}
        if waits:
            more = {"wait": chance.choice([0.0, 0.0, 5.0]), "rests": chance.choice([0.0, 0.0, 4.0])}
            more["wait_before"] = chance.choice([0.0, 3.0]) if needs else 0.0
        own = chance.choice([None, None, chance.randrange(len(pairs))])
        jobs.append(job(chance.randint(1, 9), needs=needs, hand=own, **more))
    return jobs, pairs


@pytest.mark.parametrize("waits", [False, True])
def test_hands_never_idle_while_a_job_can_start(waits):
    """On 150 small plans: needs and waits are kept, no hands do two things, and whenever a job waits all hands that do it work.

    The chain's days, with the waits between, add up to the end, and no end is under the longest path.
    """
    for seed in range(150):
        jobs, pairs = made_up(random.Random(seed), 8, waits)
        plan = list_schedule(means(jobs), jobs, pairs)
        start, end, by = plan.start[0], plan.end[0], plan.by[0]
        for place, one in enumerate(jobs):
            assert pairs[by[place]].does(int(by[place]), one)
            assert end[place] - start[place] == pytest.approx(one.likely * pairs[by[place]].days_a_minute)
            freed = max((end[need] + jobs[need].wait for need in one.needs), default=0.0) + one.wait_before
            ready = max(freed, one.rests)
            assert start[place] >= ready - 1e-9
            for number, pair in enumerate(pairs):
                if pair.does(number, one):
                    busy = sum(
                        max(0.0, min(end[other], start[place]) - max(start[other], ready))
                        for other in range(len(jobs))
                        if by[other] == number
                    )
                    assert busy == pytest.approx(max(0.0, start[place] - ready)), (seed, place, number)
        chain, _ = deciding_chain(plan, jobs)
        last = end_of(jobs, pairs)
        assert longest_path(jobs, pairs)[0] <= last + 1e-9
        days, before = jobs[chain[0]].rests + (jobs[chain[0]].wait_before if not jobs[chain[0]].rests else 0), None
        if not before and start[chain[0]]:
            days = start[chain[0]]
            assert days == jobs[chain[0]].rests, "a chain that does not begin at once begins where a rest ends"
        for number, place in enumerate(chain):
            days += end[place] - start[place]
            then = chain[number + 1] if number + 1 < len(chain) else None
            if then is None:
                days += jobs[place].wait
            elif place in jobs[then].needs and start[then] > end[place]:
                days += jobs[place].wait + jobs[then].wait_before
        assert days == pytest.approx(last), (seed, chain)


@pytest.mark.slow
def test_every_order_tried():
    """One pair of hands, waits only after the last jobs: the longest tail first is as short as the best of all orders
    (Jackson's rule turned round). With more hands and no waits the list is under 2 − 1/m times the best (Graham 1969)."""
    chance = random.Random(7)
    for _ in range(25):
        jobs = [job(chance.randint(1, 9), wait=float(chance.randint(0, 20))) for _ in range(chance.randint(2, 5))]
        best = min(end_of(in_order(jobs, order), ONE) for order in itertools.permutations(range(len(jobs))))
        assert end_of(by_tails(jobs, ONE), ONE) == best
    for _ in range(15):
        two = [Hands(1.0)] * 2
        jobs = [
            job(chance.randint(1, 9), needs=tuple(need for need in range(place) if chance.random() < 0.3))
            for place in range(5)
        ]
        best = min(end_of(in_order(jobs, order), two) for order in itertools.permutations(range(5)))
        assert best <= end_of(by_tails(jobs, two), two) <= 1.5 * best
        assert end_of(jobs, ONE) == sum(one.likely for one in jobs), "one pair of hands: the sum"


def test_two_people_and_a_job_of_ones_own():
    """Bob casts while Ada turns; what only Ada does waits for her though Bob is free."""
    hands = [Hands(1.0), Hands(1.0, shared=False)]
    jobs = [job(10), job(10), job(4, hand=1)]
    plan = list_schedule(means(jobs), jobs, hands)
    assert list(plan.by[0]) == [0, 0, 1] and list(plan.end[0]) == [10, 20, 4]
    with pytest.raises(ValueError, match="nobody does"):
        list_schedule(means(jobs), jobs, [Hands(1.0, shared=False)] * 2)
    with pytest.raises(ValueError, match="circle"):
        outlook([job(1, needs=(1,)), job(1, needs=(0,))], ONE)


def test_a_wait_before_the_work_leaves_the_hands_free():
    """An hour, then three days of delivery before the last job: the hands do the other work meanwhile, not after."""
    jobs = [job(1), job(1, needs=(0,), wait_before=3.0), job(2)]
    result = outlook(jobs, ONE)
    assert result.days[0] == 5 and result.chain == (0, 1) and not result.hands_decide
    assert outlook([job(1, rests=2.5)], ONE).days == (3.5, 3.5)


def test_a_job_under_way():
    """Of a job that takes 30 to 150 minutes 60 are worked: what was shorter is ruled out, so that more is left than 70 − 60."""
    under_way = outlook([Job(30, 60, 150, spent=60.0)], ONE, draws=4000)
    chance = np.random.default_rng(3)
    times = 30 + 120 * chance.beta(2, 4, 200_000)
    left = times[times > 60] - 60
    assert under_way.minutes[0] == pytest.approx(float(np.percentile(left, 50)), rel=0.05)
    assert outlook([Job(30, 60, 150, spent=151.0)], ONE).minutes == (0.0, 0.0)
    assert expected_minutes(Job(30, 60, 150, spent=60.0)) == pytest.approx(float(left.mean()), rel=0.01)
    assert expected_minutes(Job(30, 60, 150, spent=100.0, factor=1.5)) == pytest.approx(
        float((1.5 * times[1.5 * times > 100] - 100).mean()), rel=0.01
    )
    assert expected_minutes(Job(30, 60, 150, spent=20.0)) == 50 and expected_minutes(Job(30, 60, 150, spent=80.0)) > 15


def test_a_history_that_took_the_mean_leaves_the_estimates_alone():
    """Jobs of 30, 60 and 150 that take 70, their mean, are estimated rightly; a kind of work is drawn toward all of it."""
    mean = three_point(30, 60, 150)[0]
    assert history_factor([mean] * 9, [mean] * 9, 5) == (1.0, 1.0)
    plain, shrunk = history_factor([2.0] * 5, [1.0] * 5, 5, toward=1.5)
    assert plain == pytest.approx(2) and shrunk == pytest.approx((2 + 1.5) / 2)
    assert history_factor([], [], 5, toward=1.5) == (1.5, 1.5)


@pytest.mark.parametrize("true", [0.8, 1.0, 1.5])
def test_the_factor_of_a_history_is_unbiased(true):
    """Three thousand builders of 12 jobs, whose times scatter by their estimates and by a third more besides.

    The mean of the ratios gives the true factor; their geometric mean is low by about half the square of the scatter.
    """
    chance = np.random.default_rng(5)
    estimates = [(30, 60, 150), (20, 40, 60), (60, 90, 240)] * 4
    means = np.array([three_point(*points)[0] for points in estimates])
    beta = np.column_stack(
        [
            low + (most - low) * chance.beta(first := 1 + 4 * (likely - low) / (most - low), 6 - first, 3000)
            for low, likely, most in estimates
        ]
    )
    took = true * beta * np.exp(0.3 * chance.standard_normal(beta.shape) - 0.3**2 / 2)
    learnt = np.array([history_factor(row, means, 5)[0] for row in took])
    assert learnt.mean() == pytest.approx(true, rel=4 * learnt.std() / math.sqrt(3000) / true) and learnt.std() < 0.2
    geometric = np.exp(np.log(took / means).mean(axis=1))
    assert geometric.mean() < 0.97 * true, "what it took the place of"


def test_what_is_foretold_is_what_it_takes_on_the_mean():
    """The minutes of the draws with a factor that is known badly have the mean of those with it known: the spread adds none."""
    jobs = [Job(30, 60, 150)] * 40
    sure, unsure = (outlook(jobs, ONE, spread, draws=4000) for spread in (0.0, 0.3))
    assert sure.minutes[0] == pytest.approx(40 * 70, rel=0.01)
    # Of a lognormal law with mean 1 half lie under exp(-0.3²/2).
    assert unsure.minutes[0] == pytest.approx(40 * 70 * math.exp(-(0.3**2) / 2), rel=0.02)


def test_who_is_away_does_nothing_meanwhile():
    """Two days of work begun a day before three days away end on the sixth day; other hands take what they can."""
    gone = Hands(1.0, away=((1.0, 4.0),))
    assert end_of([job(2)], [gone]) == 5 and end_of([job(1), job(1)], [gone]) == 5
    assert end_of([job(1, rests=2.0)], [gone]) == 5, "what may start while they are away starts when they are back"
    assert end_of([job(1), job(1), job(1)], [gone, Hands(1.0)]) == 2
    plan = list_schedule(means(jobs := [job(1), job(1, needs=(0,))]), jobs, [gone])
    assert deciding_chain(plan, jobs) == ((0, 1), False)
    jobs = [job(1, rests=1.5), job(1)]
    assert list(list_schedule(means(jobs), jobs, [gone]).by[0]) == [0, 0] and end_of(jobs, [gone]) == 5


@pytest.mark.parametrize("known", [True, False])
def test_nine_times_in_ten_is_nine_times_in_ten(known):
    """The builder's true times, drawn apart from the forecast and scheduled one by one, end within the range 90 % of the time.

    Where the factor is known, and where it is learnt from six jobs: then the true one is drawn as the history leaves it open.
    """
    chance = np.random.default_rng(11)
    jobs = by_tails(
        [Job(30, 60, 150), Job(20, 40, 60, wait=0.5), Job(60, 90, 240, needs=(1,)), Job(30, 40, 90, needs=(0,), hand=1)]
        + [Job(10, 50, 60, needs=(2,), wait=1.0), Job(30, 60, 150, needs=(3,), wait_before=0.3)],
        hands := [Hands(1 / 60), Hands(1 / 90)],
    )
    spread = 0.0 if known else 0.3 / math.sqrt(6 + 5)
    low, high = outlook(jobs, hands, spread).days_between
    draws = 4000
    factor = np.exp(spread * chance.standard_normal(draws) - spread**2 / 2)
    times = [
        one.least
        + (one.most - one.least)
        * chance.beta(first := 1 + 4 * (one.likely - one.least) / (one.most - one.least), 6 - first, draws)
        for one in jobs
    ]
    plan = list_schedule(np.column_stack(times) * factor[:, None], jobs, hands)
    ends = (plan.end + np.array([one.wait for one in jobs])).max(axis=1)
    assert np.mean((low <= ends) & (ends <= high)) == pytest.approx(0.9, abs=0.02)
