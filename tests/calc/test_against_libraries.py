"""Formulas against independent ways to the same number over random inputs: linear algebra, quadrature, statistics, geometry."""

import math

import numpy as np
import pytest
from gudgeon_calc import cylinders, expansion, flywheels, form, pistons, press_fits, rings, uncertainty
from gudgeon_calc.units import Quantity as Q
from scipy import integrate, optimize, stats

CHANCE = np.random.default_rng(20251125)
TIMES = range(40)


def draw(low, high):
    return float(CHANCE.uniform(low, high))


@pytest.mark.parametrize("turn", TIMES)
def test_seat_pressure_against_the_equations_of_elasticity(turn):
    """Both bodies u = A·r + B/r; four unknowns from free surfaces, equal pressure and the interference, solved by numpy."""
    seat, hub = draw(20, 80), draw(1.4, 4.0)
    inner = 0.0 if turn % 3 == 0 else seat * draw(0.2, 0.7)
    outer = seat * hub
    modulus, poisson = (draw(7e4, 2.1e5), draw(7e4, 2.1e5)), (draw(0.2, 0.35), draw(0.2, 0.35))
    interference = draw(0.01, 0.08)
    found = press_fits.seat_pressure(
        *(Q(each, "mm") for each in (interference, seat, outer, inner)),
        *(Q(each, "MPa") for each in modulus),
        *(Q(each, "") for each in poisson),
    ).m

    def radial(e, nu, r):
        """Coefficients of A and B in the radial stress (plane stress)."""
        return e / (1 - nu), -e / (1 + nu) / r**2

    r, ri, ro = seat / 2, max(inner / 2, 1e-9), outer / 2
    rows = np.zeros((4, 4))  # A and B of the hub, A and B of the shaft
    rows[0, :2] = radial(modulus[0], poisson[0], ro)
    if inner:
        rows[1, 2:] = radial(modulus[1], poisson[1], ri)
    else:
        rows[1, 3] = 1.0
    rows[2, :2] = radial(modulus[0], poisson[0], r)
    rows[2, 2:] = [-each for each in radial(modulus[1], poisson[1], r)]
    rows[3] = [r, 1 / r, -r, -1 / r]
    scale = np.abs(rows).max(axis=1)
    solved = np.linalg.solve(rows / scale[:, None], np.array([0, 0, 0, interference / 2]) / scale)
    pressure = -float(np.dot(radial(modulus[0], poisson[0], r), solved[:2]))
    assert found == pytest.approx(pressure, rel=1e-6)
    if inner:
        closes = press_fits.bore_closure(Q(found, "MPa"), Q(seat, "mm"), Q(inner, "mm"), Q(modulus[1], "MPa")).m
        assert closes == pytest.approx(-2 * (solved[2] * ri + solved[3] / ri), rel=1e-6)


@pytest.mark.parametrize("turn", range(12))
def test_free_opening_of_a_ring_against_the_bending_energy(turn):
    """Half a ring loaded by even pressure: its end moves by the energy of the moment p·h·r²(1 + cos φ) times a unit load's."""
    p, r, h, t, e = draw(0.03, 0.2), draw(30, 120), draw(2, 6), draw(1.5, 5), draw(6e4, 1.5e5)
    second = h * t**3 / 12
    moment = lambda phi: p * h * r**2 * (1 + math.cos(phi))  # noqa: E731
    unit = lambda phi: r * (1 + math.cos(phi))  # noqa: E731
    half, _ = integrate.quad(lambda phi: moment(phi) * unit(phi) * r / (e * second), 0, math.pi)
    # The bore feels the pressure on the outside, the sum of the bending counts it at the mean radius.
    diameter = 2 * r + t
    on_bore = Q(p * (diameter - t) / diameter, "MPa")
    found = rings.free_gap_for_pressure(on_bore, Q(diameter, "mm"), Q(t, "mm"), Q(e, "MPa"), Q(0, "mm")).m
    assert found == pytest.approx(2 * half, rel=1e-9)
    back = rings.pressure_from_free_gap(Q(e, "MPa"), Q(found, "mm"), Q(diameter, "mm"), Q(t, "mm")).m
    assert back == pytest.approx(p * (diameter - t) / diameter, rel=1e-3)
    stress = rings.bending_stress(Q(e, "MPa"), Q(found, "mm"), Q(diameter, "mm"), Q(t, "mm")).m
    assert stress == pytest.approx(moment(0) * (t / 2) / second, rel=1e-3)


@pytest.mark.parametrize("turn", range(12))
def test_fluctuation_of_energy_against_quadrature(turn):
    a, b, phase = draw(100, 500), draw(50, 300), draw(0, math.pi)
    torque = lambda x: 1000 + a * math.sin(2 * x) + b * math.sin(x + phase)  # noqa: E731
    angles = np.linspace(0, 2 * math.pi, 4001)
    found = flywheels.fluctuation_of_energy(list(angles), [torque(x) for x in angles])
    height = integrate.cumulative_simpson([torque(x) - 1000 for x in angles], x=angles, initial=0)
    assert found == pytest.approx(float(height.max() - height.min()), rel=1e-4)


def test_fluctuation_finds_an_extreme_between_two_points():
    assert flywheels.fluctuation_of_energy([0, 1, 2, 3, 4], [1, -1, 1, -1, 1]) == pytest.approx(0.5)
    with pytest.raises(ValueError, match="torque at every angle"):
        flywheels.fluctuation_of_energy([0, 1], [1])


@pytest.mark.parametrize("degrees", [1, 2, 3, 7, 12, 18, 30, 45, 100])
def test_coverage_factors_against_scipy(degrees):
    for level in (0.90, 0.95, 0.9545, 0.99):
        assert uncertainty.coverage_factor(degrees, level) == pytest.approx(
            stats.t.ppf((1 + level) / 2, degrees), abs=0.0051
        )
    assert uncertainty.coverage_factor(degrees + 0.9) >= stats.t.ppf(0.975, degrees + 0.9) - 0.0051, "never too small"


def test_effective_degrees_of_the_end_gauge():
    """JCGM 100:2008, H.1.6: the contributions of the end gauge have about 16 effective degrees of freedom."""
    parts = [(25, 18), (5.8, 24), (3.9, 5), (6.7, 8), (2.9, 50), (16.6, 2)]
    found = uncertainty.effective_degrees(parts)
    assert 16 <= found < 18 and uncertainty.coverage_factor(found, 0.99) == pytest.approx(2.92, abs=0.03)
    assert uncertainty.effective_degrees([(1, math.inf), (2, math.inf)]) == math.inf
    assert uncertainty.effective_degrees([(3.0, 7)]) == pytest.approx(7)


@pytest.mark.slow
@pytest.mark.parametrize("lobes", range(2, 12))
@pytest.mark.parametrize("angle", [60, 90, 108, 120])
def test_vee_against_the_geometry_of_contact(lobes, angle):
    """A lobed profile let down into a vee until it bears on both sides; the indicator reads its top."""
    height = 1e-4
    turns = np.linspace(0, 2 * math.pi / lobes, 73)
    around = np.linspace(0, 2 * math.pi, 20000, endpoint=False)
    tops = []
    for turn in turns:
        radius = 1 + height * np.cos(lobes * (around - turn))
        x, y = radius * np.cos(around), radius * np.sin(around)
        half = math.radians(angle / 2)
        # Sides of the vee have the outward normals (±cos half, −sin half): the centre rises until both are touched.
        right, left = (np.max(sign * math.cos(half) * x - math.sin(half) * y) for sign in (1, -1))
        rise = (right + left) / (2 * math.sin(half))
        tops.append(rise + 1 + height * math.cos(lobes * (math.pi / 2 - turn)))
    swing = (max(tops) - min(tops)) / (2 * height)
    assert swing == pytest.approx(form.vee_sees(lobes, angle), abs=0.02)


@pytest.mark.parametrize("lobes", range(2, 12))
def test_two_point_against_the_profile(lobes):
    height, turns = 1e-4, np.linspace(0, 2 * math.pi / lobes, 361)
    radius = lambda at: 1 + height * math.cos(lobes * at)  # noqa: E731
    two = [radius(turn) + radius(turn + math.pi) for turn in turns]
    assert (max(two) - min(two)) / (4 * height) == pytest.approx(form.two_point_sees(lobes), abs=1e-3)


@pytest.mark.parametrize("turn", range(12))
def test_piston_travel_against_the_triangle(turn):
    stroke, rod, angle = draw(50, 200), draw(150, 600), draw(0, 2 * math.pi)
    crank = stroke / 2
    pin = optimize.brentq(
        lambda x: math.hypot(x - crank * math.cos(angle), crank * math.sin(angle)) - rod, 0, crank + rod + 1
    )
    found = pistons.travel(Q(angle, "radian"), Q(stroke, "mm"), Q(rod, "mm")).m
    assert found == pytest.approx(crank + rod - pin, abs=1e-6)


@pytest.mark.parametrize("turn", range(8))
def test_rim_against_the_integral_of_its_mass(turn):
    outside, depth, width, density = draw(0.3, 0.9), draw(0.02, 0.1), draw(0.03, 0.1), draw(6900, 7400)
    inner = outside / 2 - depth
    mass, _ = integrate.quad(lambda r: density * width * 2 * math.pi * r, inner, outside / 2)
    inertia, _ = integrate.quad(lambda r: density * width * 2 * math.pi * r**3, inner, outside / 2)
    body = (Q(outside, "m"), Q(depth, "m"), Q(width, "m"), Q(density, "kg/m**3"))
    assert flywheels.rim_mass(*body).m == pytest.approx(mass)
    assert flywheels.rim_inertia(*body).m == pytest.approx(inertia)


@pytest.mark.parametrize("turn", range(8))
def test_hot_clearance_and_its_uncertainty_against_draws(turn):
    """The linear uncertainty of a hot clearance against a hundred thousand draws of sizes and coefficients."""
    from uncertainties import ufloat

    hole, shaft = draw(90, 110), draw(89, 90)
    u_hole, u_shaft, a, b = draw(1e-3, 4e-3), draw(1e-3, 4e-3), draw(10e-6, 12e-6), draw(19e-6, 22e-6)
    u_a, u_b, hot_hole, hot_shaft = 0.4e-6, 0.7e-6, draw(60, 130), draw(100, 200)
    found = expansion.clearance_at(
        Q(ufloat(hole, u_hole), "mm"),
        Q(ufloat(shaft, u_shaft), "mm"),
        Q(hot_hole, "degC"),
        Q(hot_shaft, "degC"),
        Q(ufloat(a, u_a), "1/kelvin"),
        Q(ufloat(b, u_b), "1/kelvin"),
    ).m
    n = 100_000
    drawn = CHANCE.normal(hole, u_hole, n) * (1 + CHANCE.normal(a, u_a, n) * (hot_hole - 20)) - CHANCE.normal(
        shaft, u_shaft, n
    ) * (1 + CHANCE.normal(b, u_b, n) * (hot_shaft - 20))
    assert found.nominal_value == pytest.approx(float(drawn.mean()), abs=5 * found.std_dev / math.sqrt(n))
    assert found.std_dev == pytest.approx(float(drawn.std()), rel=0.02)


def test_wall_by_thin_and_thick_theory_agree_where_both_hold():
    thin = cylinders.wall_stress(Q(2, "MPa"), Q(100, "mm"), Q(2, "mm")).m
    bore, outside = (each.m for each in press_fits.thick_wall_hoop(Q(2, "MPa"), Q(100, "mm"), Q(104, "mm")))
    assert outside < thin < bore and thin == pytest.approx((bore + outside) / 2, rel=0.01)


@pytest.mark.parametrize("turn", range(8))
def test_closure_and_barrel_against_numpy(turn):
    """What four diameters fail to close by is the alternating term of their discrete Fourier series; a barrel, half a second difference."""
    sizes = [draw(99.9, 100.1) for _ in range(4)]
    closes = form.closure(*(Q(size, "mm") for size in sizes)).m
    assert closes == pytest.approx(np.fft.fft(sizes)[2].real, abs=1e-9)
    barrel = form.middle_over_ends(*(Q(size, "mm") for size in sizes[:3])).m
    assert barrel == pytest.approx(-np.diff(sizes[:3], n=2)[0] / 2, abs=1e-9)
