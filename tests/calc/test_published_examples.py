"""Worked examples that others published, through the product's own functions: the GUM's annex H and NIST's reference data."""

import importlib.resources
import math
import statistics

import numpy as np
import pytest
from gudgeon.assess.measuring.sizes import budget
from gudgeon_calc.form import line_fit
from gudgeon_calc.least_squares import Errors, generalised_least_squares
from gudgeon_calc.uncertainty import coverage_factor, effective_degrees
from uncertainties import correlated_values
from uncertainties.umath import cos, sin  # type: ignore[attr-defined]

# JCGM 100:2008, Table H.2: five sets of potential difference (V), current (A) and phase (rad), read together.
VOLTS = np.array([5.007, 4.994, 5.005, 4.990, 4.999])
AMPERES = np.array([19.663, 19.639, 19.640, 19.685, 19.678]) / 1000
PHASES = np.array([1.0456, 1.0438, 1.0468, 1.0428, 1.0433])
# Table H.4: resistance, reactance, impedance (ohm), each with its combined standard uncertainty.
RESISTANCE, REACTANCE, IMPEDANCE = (127.732, 0.071), (219.847, 0.295), (254.260, 0.236)

# JCGM 100:2008, Table H.6: readings of a thermometer (°C) and the corrections observed (°C).
READ = np.array([21.521, 22.012, 22.512, 23.003, 23.507, 23.999, 24.513, 25.002, 25.503, 26.010, 26.511])
CORRECTION = np.array([-0.171, -0.169, -0.166, -0.159, -0.164, -0.165, -0.156, -0.157, -0.159, -0.161, -0.160])


def test_readings_taken_together_one_set_after_the_other():
    """JCGM 100:2008, H.2.4, second way: the three results of each set of five, and the spread of their means."""
    for result, (value, standard) in (
        (VOLTS / AMPERES * np.cos(PHASES), RESISTANCE),
        (VOLTS / AMPERES * np.sin(PHASES), REACTANCE),
        (VOLTS / AMPERES, IMPEDANCE),
    ):
        mean, _, of_mean = repeatability(result.tolist())
        assert mean == pytest.approx(value, abs=0.0006) and of_mean == pytest.approx(standard, abs=0.0006)


def test_readings_taken_together_by_their_correlation():
    """JCGM 100:2008, H.2.3, first way: what V, I and φ share is carried on, as sizes carry a scale or a thermometer."""
    together = np.array([VOLTS, AMPERES, PHASES])
    means, _, of_means = zip(*(repeatability(row.tolist()) for row in together), strict=True)
    assert means == pytest.approx((4.9990, 19.6610e-3, 1.04446), rel=1e-6)
    assert of_means == pytest.approx((0.0032, 0.0095e-3, 0.00075), rel=0.02)
    volts, amperes, phase = correlated_values(means, np.cov(together) / 5, tags=["together"] * 3)
    for result, (value, standard) in (
        (volts / amperes * cos(phase), RESISTANCE),
        (volts / amperes * sin(phase), REACTANCE),
        (volts / amperes, IMPEDANCE),
    ):
        assert result.nominal_value == pytest.approx(value, abs=0.0006)
        assert math.hypot(*(line.standard for line in budget(result))) == pytest.approx(standard, abs=0.0006)


def _independent(n):
    return Errors(np.ones(n), np.zeros((n, 0)))


def test_calibration_of_a_thermometer():
    """JCGM 100:2008, H.3: the line of its corrections, how intercept and slope hang together, and the correction at 30 °C."""
    line = line_fit(READ - 20, CORRECTION)
    assert (line.intercept, line.intercept_sd) == (pytest.approx(-0.1712, abs=5e-5), pytest.approx(0.0029, abs=5e-5))
    assert (line.slope, line.slope_sd) == (pytest.approx(0.00218, abs=5e-6), pytest.approx(0.00067, abs=5e-6))
    fit = generalised_least_squares(np.column_stack([np.ones(11), READ - 20]), CORRECTION, _independent(11))
    of_one = fit.chi_square / fit.degrees
    assert fit.coefficients == pytest.approx([line.intercept, line.slope])
    covariance = fit.covariance * of_one
    assert covariance[0, 1] / math.sqrt(covariance[0, 0] * covariance[1, 1]) == pytest.approx(-0.930, abs=5e-4)
    at = np.array([1.0, 10.0])
    assert at @ fit.coefficients == pytest.approx(-0.1494, abs=5e-5)
    assert math.sqrt(at @ covariance @ at) == pytest.approx(0.0041, abs=5e-5)


def _of_nist(name):
    """A data set of NIST StRD, analysis of variance, as scipy carries it: instrument and reading of every line from the 61st."""
    data = importlib.resources.files("scipy.stats") / "tests" / "data" / "nist_anova" / f"{name}.dat"
    numbers = np.array([line.split() for line in data.read_text().splitlines()[60:] if line.split()], dtype=float)
    return numbers[:, 0].astype(int), numbers[:, 1]


@pytest.mark.parametrize(
    ("name", "between", "within", "degrees", "ratio", "residual"),
    [
        ("SiRstv", 5.11462616000000e-02, 2.16636560000000e-01, (4, 20), 1.18046237440255, 1.04076068334656e-01),
        ("AtmWtAg", 3.63834187500000e-09, 1.04951729166667e-08, (1, 46), 15.9467335677930, 1.51048314446410e-05),
    ],
)
def test_between_and_within_instruments(name, between, within, degrees, ratio, residual):
    """NIST StRD, analysis of variance: a mean for each instrument against one for all, by the least squares of the surface."""
    instrument, read = _of_nist(name)
    everyone, of_each = np.ones((len(read), 1)), (instrument[:, None] == np.unique(instrument)).astype(float)
    one, apart = (generalised_least_squares(design, read, _independent(len(read))) for design in (everyone, of_each))
    assert (one.degrees - apart.degrees, apart.degrees) == degrees
    assert apart.chi_square == pytest.approx(within, rel=1e-7)
    assert one.chi_square - apart.chi_square == pytest.approx(between, rel=1e-7)
    assert (one.chi_square - apart.chi_square) / degrees[0] / (apart.chi_square / degrees[1]) == pytest.approx(
        ratio, rel=1e-7
    )
    assert math.sqrt(apart.chi_square / degrees[1]) == pytest.approx(residual, rel=1e-7)
    spreads = [repeatability(read[instrument == number].tolist()) for number in np.unique(instrument)]
    assert apart.coefficients == pytest.approx([mean for mean, _, _ in spreads], rel=1e-12)
    pooled = math.sqrt(sum(spread**2 for _, spread, _ in spreads) / len(spreads))
    assert pooled == pytest.approx(residual, rel=1e-7), "instruments were read equally often"


# NIST/SEMATECH e-Handbook of Statistical Methods, 2.6.1: probe 2362 on five wafers, the mean of six days in each of two runs,
# ohm.cm, and how far it stood off the mean of five probes; as the handbook's R output prints them, read in a copy of it.
RUNS = [(95.09282, 95.12427), (99.30595, 99.30978), (96.03573, 96.07653), (101.06022, 101.07900), (94.21482, 94.24377)]
STANDS_OFF = [-0.0372, -0.0094, -0.0261, -0.0252, -0.0383, -0.0508, -0.0657, -0.0398, -0.0534, -0.0469]


def test_the_gauge_study_of_the_e_handbook():
    """2.6.1: between runs 0.0196 with 5 degrees; 2.6.3: bias −0.0393, combined with the days 42 degrees and U 0.0782."""
    of_run = [repeatability(pair)[1] for pair in RUNS]
    assert of_run == pytest.approx([0.02224, 0.00271, 0.02885, 0.01328, 0.02047], abs=1e-5)
    runs = math.sqrt(sum(spread**2 for spread in of_run) / len(of_run))
    assert runs == pytest.approx(0.0196, abs=5e-5)
    bias, of_probe, of_mean = repeatability(STANDS_OFF)
    assert (bias, of_probe) == (pytest.approx(-0.0393, abs=5e-5), pytest.approx(0.0162, abs=5e-5))
    days, degrees_of_days = 0.03617, 50  # level 2, pooled over wafers and runs
    parts = [(math.sqrt(5 / 6) * days, degrees_of_days), (runs, 5), (of_mean, 9)]
    combined = math.sqrt(sum(part**2 for part, _ in parts))
    assert combined == pytest.approx(0.03876, abs=2e-5)
    degrees = effective_degrees(parts)
    assert round(degrees) == 42
    assert coverage_factor(degrees, 0.95) * combined == pytest.approx(0.0782, abs=2e-4)


def repeatability(readings):
    """Mean, standard deviation of one reading and of the mean, of repeated readings."""
    return statistics.mean(readings), statistics.stdev(readings), statistics.stdev(readings) / math.sqrt(len(readings))
