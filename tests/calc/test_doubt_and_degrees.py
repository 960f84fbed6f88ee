"""Weights of results, coverage factors and decisions at a limit, at values that can be worked out by hand or are published."""

import math

import numpy as np
import pytest
from gudgeon_calc.uncertainty import (
    best_weights,
    chance_of_neither,
    chance_outside,
    conformity,
    coverage_factor,
    coverage_of,
    effective_degrees,
    limit_of_error,
    normalised_error,
    standard_from_use,
)
from scipy import stats


@pytest.mark.parametrize(
    ("covariance", "weights"),
    [
        ([[1.0, 0.0], [0.0, 4.0]], [0.8, 0.2]),  # by the inverse of the variance
        ([[1.0, 0.5], [0.5, 4.0]], [7 / 8, 1 / 8]),  # (4 - 0.5) : (1 - 0.5)
        ([[1.0, 1.0], [1.0, 4.0]], [1.0, 0.0]),  # the second adds nothing
        ([[1.0, 1.9], [1.9, 4.0]], [1.0, 0.0]),  # it shares more than it adds: left out, never counted backwards
        ([[4.0, 1.9], [1.9, 1.0]], [0.0, 1.0]),
        ([[1.0, 1.9, 0.0], [1.9, 4.0, 0.0], [0.0, 0.0, 4.0]], [0.8, 0.0, 0.2]),  # and the others share as before
        ([[0.0, 0.0], [0.0, 1.0]], [1.0, 0.0]),  # of what is exact and what is not, the exact
        ([[0.0, 0.0, 0.0], [0.0, 1.0, 0.0], [0.0, 0.0, 0.0]], [0.5, 0.0, 0.5]),
        ([[0.0, 0.0], [0.0, 0.0]], [0.5, 0.5]),
        ([[2.0]], [1.0]),
    ],
)
def test_weights_of_results_that_share_their_errors(covariance, weights):
    assert best_weights(np.array(covariance)) == pytest.approx(weights, abs=1e-12)


@pytest.mark.parametrize(
    ("degrees", "level", "factor"),
    [(1, 0.95, 12.71), (4, 0.95, 2.78), (4.999, 0.95, 2.78), (10, 0.9545, 2.28), (10, 0.90, 1.81), (10, 0.99, 3.17)],
)
def test_coverage_factors_as_printed(degrees, level, factor):
    """NIST TN 1297, Table B.1; degrees between two rows take the lower row, and a hair under a row is the row."""
    assert coverage_factor(degrees, level) == factor
    assert coverage_factor(10 - 1e-12, 0.95) == 2.23


@pytest.mark.parametrize(("degrees", "level", "told"), [(0.9, 0.95, "0.9 degrees"), (10, 0.68, "at 0.68")])
def test_a_coverage_factor_that_is_not_printed_is_refused(degrees, level, told):
    with pytest.raises(ValueError, match=told):
        coverage_factor(degrees, level)


def test_u_is_two_standard_uncertainties_unless_few_readings_are_behind_it():
    assert (coverage_of(None), coverage_of(1)) == (2.0, 13.97)
    assert effective_degrees([(3.0, 4), (4.0, math.inf)]) == pytest.approx(625 / (81 / 4))  # (9 + 16)² over 3⁴/4
    assert effective_degrees([(3.0, 4), (4.0, 8)]) == pytest.approx(625 / (81 / 4 + 256 / 8))


def test_the_chance_outside_is_that_of_its_law():
    """Two standard uncertainties: 2.275 % of the normal law; of one degree of freedom U is 13.97 s, and 1/2 - atan(13.97)/π."""
    assert chance_outside(9.0, 1.0, 10.0, None) == (pytest.approx(0.97725, abs=1e-5), 0.0)
    assert chance_outside(9.0, 1.0, None, 10.0) == (0.0, pytest.approx(0.02275, abs=1e-5))
    assert chance_outside(9.0, 1.0, None, 10.0, 1)[1] == pytest.approx(0.5 - math.atan(13.97) / math.pi, rel=1e-6)
    assert chance_outside(11.0, 1.0, None, 10.0, 1)[1] == pytest.approx(0.5 + math.atan(13.97) / math.pi, rel=1e-6)
    assert chance_outside(10.0, 0.0, 9.0, 11.0) == (0.0, 0.0) and chance_outside(12.0, 0.0, 9.0, 11.0) == (0.0, 1.0)
    assert chance_outside(10.0, 0.0, 10.0, 10.0) == (0.0, 0.0), "at a limit exactly counts as inside"


@pytest.mark.parametrize(
    ("first", "second", "correlation", "neither"),
    [
        (0.5, 0.5, 0.0, 0.25),  # two coins
        (0.5, 0.5, 0.5, 1 / 6),  # P(X > 0, Y < 0) = 1/4 - asin(1/2)/2π
        (0.5, 0.5, -0.5, 1 / 3),
        (0.1, 0.2, 0.0, 0.72),  # 0.9 · 0.8
        (0.1, 0.2, 1.0, 0.7),  # one and the same: never both outside
        (0.1, 0.2, -1.0, 0.8),  # opposite: whenever the first is outside, so is the second
        (0.0, 0.3, 0.5, 0.7),
        (0.3, 0.0, 0.5, 0.7),
        (1.0, 0.3, 0.5, 0.0),
        (0.3, 1.0, 0.5, 0.0),
        (0.6, 0.7, 1.0, 0.0),
    ],
)
def test_the_chance_of_being_inside_at_both_ends(first, second, correlation, neither):
    """Of two jointly normal errors; Sheppard's 1/4 ± asin(ρ)/2π where each is as often below as above."""
    assert chance_of_neither(first, second, correlation) == pytest.approx(neither, abs=2e-4)


@pytest.mark.parametrize(
    ("value", "expected"),
    [
        (10.004, "in"), (10.0039, "reads in"), (10.000, "reads in"), (9.9999, "reads out"), (9.996, "out"),
        (10.036, "in"), (10.0361, "reads in"), (10.040, "reads in"), (10.0401, "reads out"), (10.044, "out"),
    ],
)  # fmt: skip
def test_a_size_against_its_limits_at_every_edge(value, expected):
    """10.000 to 10.040 with U = 0.004 (ISO 14253-1): the edges themselves count to the better side, but "out" from the whole of U on."""
    assert conformity(value, 0.004, 10.0, 10.04) == expected
    one_end = conformity(value, 0.004, 10.0, None) if value < 10.02 else conformity(value, 0.004, None, 10.04)
    assert one_end == expected and conformity(value, 0.004, None, None) == "in"


def test_two_results_against_each_other():
    assert normalised_error(-0.006, 0.004) == pytest.approx(1.5) and normalised_error(0.006, 0.004) == pytest.approx(
        1.5
    )
    assert normalised_error(0.0, 0.0) == 0.0 and normalised_error(0.001, 0.0) == math.inf
    assert limit_of_error(1) == pytest.approx(1.0)
    for places in (2, 10, 300):  # together they are past it by chance as often as one place is: 2.275 % to either side
        assert places * stats.norm.sf(2 * limit_of_error(places)) == pytest.approx(stats.norm.sf(2), rel=1e-6)


def test_the_larger_of_use_and_half_a_step_and_never_both():
    assert standard_from_use(0.004, 0.001) == 0.002
    assert standard_from_use(0.001, 0.012) == pytest.approx(0.006 / math.sqrt(3))
