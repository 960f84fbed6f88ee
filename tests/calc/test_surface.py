"""The fitted surface of a round feature, against certified data, drawn readings and parts whose truth is known."""

import importlib.resources
import tracemalloc

import numpy as np
import pytest
from gudgeon_calc.least_squares import Errors, chi_square_limit, generalised_least_squares, t_limit
from gudgeon_calc.surface import Surface, fit_surface
from scipy import stats
from surface_maps import coverage

USE = 1.5e-3  # mm, standard
FOUR = [0.0, 45.0, 90.0, 135.0]
# NIST StRD, Longley (1967): employment; price deflator, product, unemployed, armed forces, population, year.
LONGLEY = """
60323 83.0 234289 2356 1590 107608 1947
61122 88.5 259426 2325 1456 108632 1948
60171 88.2 258054 3682 1616 109773 1949
61187 89.5 284599 3351 1650 110929 1950
63221 96.2 328975 2099 3099 112075 1951
63639 98.1 346999 1932 3594 113270 1952
64989 99.0 365385 1870 3547 115094 1953
63761 100.0 363112 3578 3350 116219 1954
66019 101.2 397469 2904 3048 117388 1955
67857 104.6 419180 2822 2857 118734 1956
68169 108.4 442769 2936 2798 120445 1957
66513 110.8 444546 4681 2637 121950 1958
68655 112.6 482704 3813 2552 123366 1959
69564 114.2 502601 3931 2514 125368 1960
69331 115.7 518173 4806 2572 127852 1961
70551 116.9 554894 4007 2827 130081 1962
"""


def surface(sizes, stations, angles, scale=0.0, **more) -> Surface:
    n = len(sizes)
    use = np.full(n, USE**2)
    return fit_surface(sizes, stations, angles, use, use, np.full((n, 1), scale), **more)


def independent(n):
    return Errors(np.ones(n), np.zeros((n, 0)))


def grid(stations=5, angles=FOUR):
    z, a = np.meshgrid(np.linspace(0, 80, stations), angles, indexing="ij")
    return z.ravel().tolist(), a.ravel().tolist()


def test_least_squares_on_longley():
    """NIST StRD linear regression, dataset Longley (higher level of difficulty), certified values."""
    data = np.array([line.split() for line in LONGLEY.split("\n") if line], dtype=float)
    y, x = data[:, 0], np.column_stack([np.ones(16), data[:, 1:]])
    fit = generalised_least_squares(x, y, independent(16))
    certified = [
        -3482258.63459582, 15.0618722713733, -0.0358191792925910, -2.02022980381683, -1.03322686717359,
        -0.0511041056535807, 1829.15146461355,
    ]  # fmt: skip
    deviations = [
        890420.383607373, 84.9149257747669, 0.0334910077722432, 0.488399681651699, 0.214274163161675,
        0.226073200069370, 455.478499142212,
    ]  # fmt: skip
    residual = np.sqrt(fit.chi_square / fit.degrees)
    assert fit.degrees == 9 and residual == pytest.approx(304.854073561965, rel=1e-9)
    assert fit.coefficients == pytest.approx(certified, rel=1e-7)
    assert residual * np.sqrt(np.diag(fit.covariance)) == pytest.approx(deviations, rel=1e-7)


def test_least_squares_on_norris():
    """NIST StRD linear regression, dataset Norris, certified values; the data as scipy carries them."""
    text = (importlib.resources.files("scipy.stats") / "tests" / "data" / "nist_linregress" / "Norris.dat").read_text()
    y, x = np.array([line.split() for line in text.splitlines()[60:] if len(line.split()) == 2], dtype=float).T
    fit = generalised_least_squares(np.column_stack([np.ones_like(x), x]), y, independent(36))
    residual = np.sqrt(fit.chi_square / fit.degrees)
    assert fit.coefficients == pytest.approx([-0.262323073774029, 1.00211681802045], rel=1e-10)
    assert residual == pytest.approx(0.884796396144373, rel=1e-10)
    assert residual * np.sqrt(np.diag(fit.covariance)) == pytest.approx(
        [0.232818234301152, 0.429796848199937e-3], rel=1e-10
    )


def test_least_squares_with_errors_that_hang_together():
    """A shared error of known size is no scatter: two gauges, each with a zero of its own, weighted as JCGM 102 has it."""
    errors = Errors(np.ones(4), np.array([[1.0, 0], [1, 0], [0, 2], [0, 2]]))
    fit = generalised_least_squares(np.ones((4, 1)), [1.0, 1, 4, 4], errors)
    assert fit.covariance[0, 0] == pytest.approx(1 / (1 / 1.5 + 1 / 4.5))
    assert fit.coefficients[0] == pytest.approx((1 / 1.5 + 4 / 4.5) * fit.covariance[0, 0])
    with pytest.raises(ValueError, match="follows from the others"):
        generalised_least_squares(np.ones((4, 2)), [1, 1, 1, 1], errors)


@pytest.mark.parametrize("degrees", [1, 2, 3, 5, 12, 31])
@pytest.mark.parametrize("level", [0.05, 0.01, 0.0005])
def test_limits_of_scatter_against_scipy(degrees, level):
    assert chi_square_limit(degrees, level) == pytest.approx(stats.chi2.isf(level, degrees), rel=0.06)
    if level == 0.05:
        assert chi_square_limit(degrees, level) == pytest.approx(stats.chi2.isf(level, degrees), rel=0.03)
    if degrees >= 3:
        exact = stats.t.isf(level / 2, degrees)
        assert 0.99 * exact <= t_limit(degrees, level) <= (1.05 if level >= 0.01 else 1.12) * exact, (
            "too far out, if anything"
        )


@pytest.mark.slow
def test_propagated_uncertainty_against_drawn_readings():
    """JCGM 101: the spread of the least diameter over drawn readings is the stated one, where the form is beyond doubt."""
    chance, (z, a) = np.random.default_rng(7), grid()
    true = 50 + 0.02 * np.array(z) / 80 + 0.008 * np.cos(2 * np.radians(np.array(a) - 30))
    maps = [surface(true + chance.normal(0, USE, 20), z, a) for _ in range(200)]
    drawn, tapers = [fitted.least() for fitted in maps], [fitted.taper() for fitted in maps]
    doubt = [
        taper.expanded for taper, fitted in zip(tapers, maps, strict=True) if fitted.excess == 1 and not fitted.off
    ]
    assert len(doubt) > 180 and np.ptp(doubt) < 1e-12
    assert doubt[0] / 2 == pytest.approx(np.std([taper.value for taper in tapers]), rel=0.12)
    spread = np.std([least.value for least in drawn])
    assert 0.9 * spread < np.mean([least.standard for least in drawn]) < 1.25 * spread, (
        "with the doubt of the form in it"
    )
    assert np.mean([least.value for least in drawn]) == pytest.approx(50 - 0.008, abs=0.2 * spread)
    assert {(least.station, round(least.angle / 20)) for least in drawn} == {(0.0, 6)}, "at 120 degrees"


@pytest.mark.slow
@pytest.mark.parametrize(
    ("shape", "stations", "angles", "gauges", "least"),
    [
        ("cylinder", 5, 4, 1, True),
        ("taper", 4, 1, 1, False),
        ("oval", 1, 4, 2, True),
        ("bell_mouth", 10, 4, 1, True),
        ("three_jaw_lobes", 2, 2, 2, False),
    ],
)
def test_truth_lies_inside_the_stated_uncertainty(shape, stations, angles, gauges, least):
    """200 maps, so that 95 % comes out between 91 and 99; tests/benchmarks/surfaces.py has 2,000 of each."""
    maps = coverage(shape, stations, angles, gauges, 200, least)
    assert 0.91 <= maps.inside <= 0.99, maps
    assert abs(maps.bias) < 0.1 + 2 * maps.error, maps
    assert maps.oval_out < 0.05 and maps.taper_out < 0.05, maps
    assert maps.off < 0.04, maps


@pytest.mark.slow
@pytest.mark.parametrize(
    ("shape", "stations", "angles"),
    [("slight_oval", 1, 4), ("slight_taper", 4, 1), ("cylinder", 5, 4)],
)
def test_a_form_that_the_readings_cannot_tell_from_none_is_in_the_uncertainty(shape, stations, angles):
    """Two halves read with one scale, which cancels: what the form hides is then all there is. And a cylinder is no worse off."""
    halves = [coverage(shape, stations, angles, 1, 300, least, scale=0) for least in (True, False)]
    assert all(0.91 <= half.inside <= 0.99 for half in halves), halves


@pytest.mark.slow
def test_the_worst_of_many_noisy_readings_is_not_the_worst_of_the_part():
    chance, (z, a) = np.random.default_rng(3), grid()
    sizes = [50 + chance.normal(0, USE, 20) for _ in range(60)]
    assert np.mean([min(read) for read in sizes]) < 50 - 1.5 * USE
    assert np.mean([surface(read, z, a).least().value for read in sizes]) == pytest.approx(50, abs=0.35 * USE)


def test_what_readings_share_moves_the_surface_as_a_whole_and_never_falls_with_their_number():
    z, a = grid()
    sizes = 50 + np.random.default_rng(5).normal(0, USE, 20)
    alone, together = surface(sizes, z, a), surface(sizes + 0.003, z, a, scale=0.004)
    least = together.least()
    assert least.value == pytest.approx(alone.least().value + 0.003, abs=2e-6)
    assert least.weights.sum() == pytest.approx(1)
    assert least.value == pytest.approx(float(least.weights @ (sizes + 0.003)) + least.correction)
    assert least.standard**2 == pytest.approx(alone.least().standard ** 2 + 0.004**2, rel=1e-3)
    covariance = np.eye(20) * USE**2 + 0.004**2
    assert least.standard**2 == pytest.approx(least.weights @ covariance @ least.weights + least.added**2)


def test_order_of_the_readings_changes_nothing():
    z, a = grid()
    sizes = 50 + np.random.default_rng(5).normal(0, USE, 20)
    turned = surface(sizes[::-1], z[::-1], a[::-1])
    assert turned.least().value == pytest.approx(surface(sizes, z, a).least().value, abs=1e-9)
    assert turned.chance_below(49.998) == pytest.approx(surface(sizes, z, a).chance_below(49.998), abs=1e-9)


@pytest.mark.parametrize(
    ("angles", "untold", "read"),
    [
        ([0], {"ovality"}, None),
        ([None], {"ovality"}, None),
        ([0, 90], {"ovality across"}, 0.020),
        ([45, 135], {"ovality across"}, 0.0),  # an ovality that lies on 0 and 90 cannot be seen there
        ([0, 60, 120], set(), 0.020),
        (FOUR, set(), 0.020),
    ],
)
def test_what_the_angles_cannot_tell_is_said(angles, untold, read):
    z, a = grid(3, [np.nan if angle is None else angle for angle in angles])
    sizes = [50 + (0 if np.isnan(angle) else 0.010 * np.cos(2 * np.radians(angle))) for angle in a]
    fitted = surface(sizes, z, [None if np.isnan(angle) else angle for angle in a])
    assert {*fitted.not_tested} == untold
    ovality = fitted.ovality()
    assert ovality is None if read is None else ovality is not None and ovality.value == pytest.approx(read, abs=2e-4)
    if read:
        assert (
            ovality is not None
            and ovality.angle == 0
            and ovality.against(0.005) == "out"
            and ovality.against(0.030) == "in"
        )


def test_what_the_stations_cannot_tell_is_said():
    assert {*surface([50.0, 50.01], [None, None], [0, 90]).not_tested} == {"ovality across", "taper", "barrel"}
    mixed = surface([50.0, 50.01], [0, 80], [0, 90])
    assert {"taper", "ovality"} <= {*mixed.not_tested} and mixed.taper() is None and mixed.ovality() is None
    told = surface([50.0, 50.01], [0, 80], [0, 0]).taper()
    assert told is not None and told.value == pytest.approx(0.010) and told.against(0.004) == "out"


def test_forms_that_the_data_bear_are_told():
    z, a = grid()
    noise = np.random.default_rng(2).normal(0, USE, 20)
    assert surface(50 + noise, z, a).borne == ()
    assert "taper" in surface(50 + noise + 0.008 * np.array(z) / 80, z, a).borne
    assert "ovality" in surface(50 + noise + 0.004 * np.cos(2 * np.radians(a)), z, a).borne
    assert {"bell-mouth", "barrel"} & {*surface(50 + noise + 0.010 * (np.abs(np.array(z) - 40) == 40), z, a).borne}


def test_a_reading_that_stands_off_decides_itself_the_safe_way_until_it_is_read_again():
    z, a = grid()
    sizes = 50 + np.random.default_rng(2).normal(0, USE, 20)
    assert surface(sizes, z, a).off == ()
    low, high = sizes.copy(), sizes.copy()
    low[7] -= 0.015
    high[7] += 0.015
    for read, end, other in ((low, "least", "greatest"), (high, "greatest", "least")):
        fitted = surface(read, z, a)
        decides = getattr(fitted, end)()
        assert fitted.off == (7,) and decides.reading == 7 and decides.value == read[7] and decides.station == z[7]
        assert decides.standard == pytest.approx(USE, rel=1e-3)
        assert getattr(fitted, other)().reading is None
        assert getattr(fitted, other)().value == pytest.approx(
            getattr(surface(sizes, z, a), other)().value, abs=USE / 2
        )
    assert surface(low, z, a).chance_below(49.99) > 0.95
    for further, chance in ((0, 0.5), (2, 0.02275)):  # of the normal law about the reading
        assert surface(low, z, a).chance_below(low[7] - further * USE) == pytest.approx(chance, rel=5e-3)
        assert surface(high, z, a).chance_above(high[7] + further * USE) == pytest.approx(chance, rel=5e-3)
    assert surface(low, z, a).least([0.0, 80.0]).reading is None, "it lies at neither of these"


def test_scatter_beyond_chance_raises_the_uncertainty_and_less_than_stated_never_lowers_it():
    z, a = grid()
    noise = np.random.default_rng(2).normal(0, USE, 20)
    stated, calm, wild = surface(50 + noise, z, a), surface(50 + noise / 50, z, a), surface(50 + 4 * noise, z, a)
    assert stated.excess == calm.excess == 1 and wild.excess > 5
    assert calm.least().standard > 0.2 * USE
    assert wild.least().standard > 2.5 * stated.least().standard


@pytest.mark.slow
def test_few_places_are_taken_off_less_than_they_scatter():
    """Below four places the worst reading decides, less what chance has added to it, with the doubt of that."""
    chance = np.random.default_rng(9)
    errors = []
    for _ in range(200):
        least = surface(50 + chance.normal(0, USE, 3), [0, 40, 80], [0, 0, 0]).least()
        errors.append(((least.value - 50) / USE, least.standard / USE))
    bias, inside = np.mean([error for error, _ in errors]), np.mean([abs(error) <= 2 * u for error, u in errors])
    assert abs(bias) < 0.4 and 0.92 < inside <= 1
    far = surface([50.0, 50.1, 50.2], [0, 40, 80], [0, 0, 0]).least()
    assert far.value == pytest.approx(50, abs=USE / 10) and far.standard == pytest.approx(USE, rel=0.05)
    one = surface([50.0], [None], [None]).least()
    assert (one.value, one.standard) == (50.0, pytest.approx(USE, rel=1e-3))


def test_an_ovality_that_is_not_seen_is_carried():
    """Evenly from nought to 10 µm: from nought to 5 µm below the mean diameter."""
    z, a = grid(4, [0.0])
    seen, unseen = (
        surface([50.0] * 4, z, [None] * 4).least(),
        surface([50.0] * 4, z, [None] * 4, unseen_ovality=0.010).least(),
    )
    assert unseen.value == pytest.approx(seen.value - 0.0025)
    assert unseen.standard**2 == pytest.approx(seen.standard**2 + 0.005**2 / 12)
    known = grid()
    assert surface([50.0] * 20, *known, unseen_ovality=0.01).least().value == surface([50.0] * 20, *known).least().value


@pytest.mark.slow
def test_chance_of_any_place_being_out():
    chance, (z, a) = np.random.default_rng(4), grid()
    chances, truths = [], []
    for _ in range(100):
        size = 50 + chance.normal(0, 0.002)
        fitted = surface(size + chance.normal(0, USE, 20), z, a)
        chances.append(fitted.chance_below(50.0))
        truths.append(size < 50)
    assert np.mean(chances) == pytest.approx(np.mean(truths), abs=0.1)
    assert fitted.chance_below(40) == 0 and fitted.chance_below(60) == pytest.approx(1) and fitted.chance_above(60) == 0
    assert fitted.chance_below(50, [0.0]) <= fitted.chance_below(50) + 0.02


def test_size_at_a_place():
    z, a = grid()
    fitted = surface(50 + 0.02 * np.array(z) / 80 + 0.005 * np.cos(2 * np.radians(a)), z, a)
    size, standard = fitted.size_at(40, 0)
    assert size == pytest.approx(50.015, abs=2e-4) and standard < USE
    assert fitted.size_at(200, 0)[1] > 2 * standard, "beyond the places read it is less known"


def test_what_is_no_map_is_refused():
    for sizes, z, a in (([], [], []), ([50.0], [0, 1], [0]), ([50.0], [0], [])):
        with pytest.raises(ValueError, match="for every reading"):
            fit_surface(sizes, z, a, np.ones(len(sizes)), np.ones(len(sizes)), np.zeros((len(sizes), 0)))
    with pytest.raises(ValueError, match="must not be negative"):
        fit_surface([50.0], [0], [0], [-1e-6], [1e-6], np.zeros((1, 0)))


def test_shared_errors_weigh_as_their_whole_covariance_does():
    chance = np.random.default_rng(3)
    errors = Errors(chance.uniform(0.5, 2, 9), chance.normal(0, 3, (9, 2)))
    covariance = np.diag(errors.alone) + errors.shared @ errors.shared.T
    columns, weights = chance.normal(0, 1, (9, 4)), chance.normal(0, 1, 9)
    assert errors.weighed_back(errors.whitened(columns)) == pytest.approx(np.linalg.solve(covariance, columns))
    assert errors.inverse_diagonal == pytest.approx(np.diag(np.linalg.inv(covariance)))
    assert errors.variance(weights) == pytest.approx(weights @ covariance @ weights)
    kept = [0, 3, 8]
    assert errors.of(kept).variance(np.ones(3)) == pytest.approx(covariance[np.ix_(kept, kept)].sum())


def test_a_bore_of_thousands_of_stations_costs_in_step_with_them():
    n = 3000
    z = np.linspace(0, 100, n)
    read = 50 + np.random.default_rng(5).normal(0, USE, n)
    read[250::500] += 0.1  # each that stands off is looked for anew
    tracemalloc.start()
    try:
        fitted = surface(read, z.tolist(), [0.0] * n, 0.002)
        fitted.least()
        most = tracemalloc.get_traced_memory()[1]
    finally:
        tracemalloc.stop()
    assert set(fitted.off) == set(range(250, n, 500))
    assert most < n * n * 8, "less than one matrix of every reading against every other"
