"""Shares that held and how long, against printed values, scipy and what happens to made-up engines."""

import math
import random

import pytest
from gudgeon_calc.survival import exact_interval, product_limit, survived
from scipy import stats

# Remission times in weeks of 21 patients given 6-mercaptopurine; + is still in remission. Freireich et al. 1963, Blood 21,
# 699-716, as printed in C. T. Le, Introductory Biostatistics, example 11.1.
SIX_MP = "6 6 6 7 10 13 16 22 23 6+ 9+ 10+ 11+ 17+ 19+ 20+ 25+ 32+ 32+ 34+ 35+"
REMISSIONS = [(float(text.rstrip("+")), not text.endswith("+")) for text in SIX_MP.split()]


@pytest.mark.parametrize(
    ("held", "tried", "confidence", "low", "high"),
    [
        (3, 20, 0.95, 0.0321, 0.3789),
        (12, 30, 0.90, 0.2495, 0.5661),
        (42, 100, 0.95, 0.3220, 0.5229),
        (85, 120, 0.99, 0.5904, 0.8092),
    ],
)
def test_exact_intervals_as_printed(held, tried, confidence, low, high):
    """The example table of codingace.net, "Clopper-Pearson interval"."""
    assert exact_interval(held, tried, confidence) == pytest.approx((low, high), abs=6e-5)


@pytest.mark.parametrize(("held", "tried"), [(0, 1), (1, 1), (0, 7), (6, 7), (7, 7), (1, 500), (499, 500)])
def test_exact_intervals_against_a_library(held, tried):
    library = stats.binomtest(held, tried).proportion_ci(0.95, "exact")
    assert exact_interval(held, tried) == pytest.approx((library.low, library.high), abs=1e-9)


@pytest.mark.parametrize(("held", "tried"), [(0, 0), (2, 1), (-1, 3)])
def test_what_cannot_have_held_is_refused(held, tried):
    with pytest.raises(ValueError, match="tried"):
        exact_interval(held, tried)


def test_the_product_limit_as_printed():
    """T. Therneau, S-news, November 2000, printed from his survfit: the first steps of the leukemia data of 23 patients."""
    patients = [(5.0, True)] * 2 + [(8.0, True)] * 2 + [(9.0, True)] + [(10.0, False)] * 18
    steps = product_limit(patients)
    assert [step.at_risk for step in steps] == [23, 21, 19]
    assert [step.share for step in steps] == pytest.approx([0.91304348, 0.82608696, 0.78260870], abs=5e-9)
    assert [step.spread for step in steps] == pytest.approx([0.0588, 0.0790, 0.0860], abs=6e-5)
    assert [step.spread / step.share for step in steps] == pytest.approx([0.06434895, 0.09567297, 0.10989675], abs=5e-9)


def test_the_product_limit_with_those_still_watched_as_printed():
    """Bewick, Cheek and Ball, Critical Care 2004, 8:389, table 2: 9+ was still alive when another died on day 9."""
    steps = product_limit([(1, True), (1, True), (4, True), (5, True), (6, False), (9, True), (9, False), (22, True)])
    assert [step.at_risk for step in steps] == [8, 6, 5, 3, 1]
    assert [step.share for step in steps] == pytest.approx([0.750, 0.625, 0.500, 0.333, 0.0], abs=5e-4)


def test_the_product_limit_with_those_still_running_against_a_library():
    """What is still in remission at the very week of a relapse was at risk then."""
    library = stats.ecdf(
        stats.CensoredData(
            uncensored=[time for time, failed in REMISSIONS if failed],
            right=[time for time, failed in REMISSIONS if not failed],
        )
    ).sf
    bounds = library.confidence_interval(0.95, method="log-log")
    steps = product_limit(REMISSIONS)
    assert [step.time for step in steps] == [6, 7, 10, 13, 16, 22, 23]
    for step in steps:
        place = list(library.quantiles).index(step.time)
        assert step.share == pytest.approx(library.probabilities[place], abs=1e-12)
        assert step.low == pytest.approx(bounds.low.probabilities[place], abs=1e-9)
        assert step.high == pytest.approx(bounds.high.probabilities[place], abs=1e-9)


def test_the_share_after_a_time_is_that_of_the_last_failure_before_it():
    assert survived(REMISSIONS, 12).share == survived(REMISSIONS, 10).share == product_limit(REMISSIONS)[2].share
    assert survived(REMISSIONS, 12).at_risk == 12
    assert survived(REMISSIONS, 36) is None, "nobody was watched so long"


def test_where_nothing_failed_yet_the_interval_is_that_of_those_watched_so_long():
    engines = [(10.0, False)] * 5 + [(2.0, False)] * 9
    still = survived(engines, 10)
    assert (still.share, still.at_risk, still.low, still.high) == (1.0, 5, exact_interval(5, 5)[0], 1.0)
    assert survived([], 10) is None


def test_where_all_failed_nothing_is_left_and_no_interval_is_made_up():
    last = product_limit([(1.0, True), (2.0, True)])[-1]
    assert (last.share, last.low, last.high) == (0.0, None, None)


def test_intervals_hold_the_truth_as_often_as_they_say():
    """Made-up engines that last 40 h on average, each watched for a time of its own."""
    chance, after, held_exact, held_limit, trials = random.Random(17), 20.0, 0, 0, 400
    truth = math.exp(-after / 40)
    for _ in range(trials):
        lasts = [(chance.expovariate(1 / 40), chance.uniform(10, 90)) for _ in range(30)]
        engines = [(min(life, watched), life <= watched) for life, watched in lasts]
        still = survived(engines, after)
        held_limit += still is not None and still.low <= truth <= still.high
        low, high = exact_interval(sum(life > after for life, _ in lasts), len(lasts))
        held_exact += low <= truth <= high
    assert held_exact / trials >= 0.95
    assert held_limit / trials == pytest.approx(0.95, abs=0.03)
