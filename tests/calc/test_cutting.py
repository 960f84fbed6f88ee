"""Cutting and estimates: passes, the ladder, the dial's law and the last cut by simulation, the outlook by closed form."""

import math
from dataclasses import replace

import numpy as np
import pytest
from benchmarks.dial import chance_of_passing
from gudgeon_calc.at_the_lathe import landing_shift
from gudgeon_calc.cutting import cut_law, pick_speed, rough_passes
from gudgeon_calc.estimates import history_factor, outlook, three_point
from gudgeon_calc.schedule import Hands, Job
from gudgeon_calc.student import t_quantile
from scipy import stats

CHANCE = np.random.default_rng(4)


def test_through_the_skin_in_four():
    """Common practice, no source: about 0.050 in a pass, so 0.200 in of stock is four passes to a continuous cut."""
    assert rough_passes(0.200, 0.0, 0.025) == 4


@pytest.mark.parametrize(
    ("stock", "leave", "depth", "passes"),
    [
        (0.0111, 0.004, 0.005, 1),
        (0.0140, 0.004, 0.005, 1),
        (0.0141, 0.004, 0.005, 2),
        (0.004, 0.004, 0.005, 0),
        (0.001, 0.004, 0.005, 0),
    ],
)
def test_passes(stock, leave, depth, passes):
    assert rough_passes(stock, leave, depth) == passes


def test_speed_is_picked_down_the_ladder():
    ladder = [28, 45, 72, 118, 190]
    assert [pick_speed(rpm, ladder) for rpm in (27.9, 28, 71.99, 72, 117, 500)] == [None, 28, 45, 72, 72, 190]
    assert [pick_speed(rpm, ladder, 0.05) for rpm in (112.3, 112.4)] == [72, 118], "118 is 5 % over 112.38"


@pytest.mark.parametrize("turn", range(10))
def test_law_of_the_dial_is_found_again(turn):
    slope, offset, scatter = CHANCE.uniform(0.9, 1.05), CHANCE.uniform(-0.03, 0.01), 0.003
    asked = CHANCE.uniform(0.02, 0.8, 400)
    law = cut_law(asked, slope * asked + offset + CHANCE.normal(0, scatter, 400))
    assert (law.slope, law.offset) == (pytest.approx(slope, abs=0.003), pytest.approx(offset, abs=0.001))
    assert law.scatter == pytest.approx(scatter, rel=0.15)
    assert law.slope * law.ask(0.1) + law.offset == pytest.approx(0.1)


def test_a_law_needs_cuts():
    with pytest.raises(ValueError, match="three cuts"):
        cut_law([0.1, 0.2], [0.1, 0.2])
    with pytest.raises(ValueError, match="more asked"):
        cut_law([0.1, 0.2, 0.3], [0.3, 0.2, 0.1])


@pytest.mark.parametrize("degrees", [1, 2, 3, 4, 7, 13, 60])
@pytest.mark.parametrize("risk", [0.001, 0.05, 0.3, 0.5])
def test_one_sided_t_against_a_library(risk, degrees):
    assert t_quantile(risk, degrees) == pytest.approx(stats.t.isf(risk, degrees), rel=1e-6, abs=1e-9)


@pytest.mark.parametrize("cuts", [3, 4, 5, 8, 15])
def test_the_stated_risk_is_kept_from_few_cuts(cuts):
    """2000 draws of a dial learnt from few cuts: 5 % stated, 5 % passed (± 3 standard deviations); more never, with a reading.

    The full size stands in benchmarks/dial.py.
    """
    passed, with_reading = chance_of_passing(cuts, 0.0, 2_000), chance_of_passing(cuts, 0.004, 2_000)
    assert passed == pytest.approx(0.05, abs=0.015) and 0.01 < with_reading <= 0.062


@pytest.mark.parametrize("risk", [0.01, 0.02, 0.05, 0.2])
def test_last_cut_passes_the_limit_as_often_as_was_accepted(risk):
    """With a dial known from very many cuts."""
    scatter, reading, n = 0.004, 0.003, 400_000
    asked = np.tile([0.05, 0.5], 2_000)
    law = cut_law(asked, asked + np.tile([scatter, scatter, -scatter, -scatter], 1_000))
    shift = landing_shift(risk, law, 0.05, reading)
    stock = 0.05  # true metal to the scrap limit
    read = stock + CHANCE.normal(0, reading, n)
    landed = stock - (read - shift + CHANCE.normal(0, scatter, n))
    assert float((landed < 0).mean()) == pytest.approx(risk, rel=0.005, abs=5 * math.sqrt(risk / n))
    with pytest.raises(ValueError, match="between 0 and 0.5"):
        landing_shift(0.7, law, 0.05, reading)


def test_three_points_and_history():
    assert three_point(60, 90, 180) == (100, 20)
    plain, shrunk = history_factor([120, 60], [60, 60], 5)
    assert plain == pytest.approx(1.5) and shrunk == pytest.approx((3 + 5) / 7)
    assert history_factor([], [], 5) == (1.0, 1.0)


def test_outlook_of_a_chain_without_waits_is_the_sum():
    jobs = [Job(30, 60, 120, needs=(i - 1,) if i else (), factor=1.3) for i in range(60)]
    found = outlook(jobs, [Hands(1 / 120)])
    mean = 60 * three_point(30, 60, 120)[0] * 1.3
    first = 1 + 4 * 30 / 90
    sd = 90 * math.sqrt(first * (6 - first) / 36 / 7) * math.sqrt(60) * 1.3
    assert found.minutes[0] == pytest.approx(mean, rel=0.002)
    assert found.minutes[1] == pytest.approx(mean + 0.8416 * sd, rel=0.004)
    assert found.days == (pytest.approx(found.minutes[0] / 120), pytest.approx(found.minutes[1] / 120))
    assert found.chain == tuple(range(60))


def test_waits_do_not_shrink_and_decide_the_date():
    """The casting is ordered first, 30 days away; two short jobs fill the time, and the last waits for the casting."""
    for factor in (1.0, 2.0):
        hour = Job(60, 60, 60, factor=factor)
        jobs = [replace(hour, wait=30.0), hour, hour, replace(hour, needs=(0, 1))]
        found = outlook(jobs, [Hands(1 / 60)])
        assert found.days[0] == pytest.approx(30 + 2 * factor) and found.chain == (0, 3)
        assert found.minutes[0] == pytest.approx(240 * factor)
    assert outlook([], [Hands(1.0)]).days == (0.0, 0.0)


def test_the_same_plan_gives_the_same_figures():
    jobs = [Job(30, 60, 120, wait=1.0 if i % 3 else 0.0) for i in range(20)]
    once, again = (outlook(jobs, [Hands(0.01)], 0.1) for _ in range(2))
    assert once == again and np.array_equal(once.plan.end, again.plan.end)
