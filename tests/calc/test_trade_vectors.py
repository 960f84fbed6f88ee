"""Worked vectors of the trade, recomputed: common practice, no source, unless a formula's docstring names one."""

import pytest
from gudgeon_calc import (
    cutting,
    expansion,
    flywheels,
    form,
    pistons,
    press_fits,
    rings,
    supplies,
    tapers,
    uncertainty,
)
from gudgeon_calc.units import NotAQuantity, reaches, read_quantity, read_readings
from gudgeon_calc.units import Quantity as Q

IRON, ALUMINIUM, STEEL = (Q(each, "1/kelvin") for each in (11e-6, 20.5e-6, 11.5e-6))


def hot(hole, shaft, temps, unit, inner=IRON):
    return expansion.clearance_at(
        Q(hole, unit), Q(shaft, unit), Q(temps[0], "degC"), Q(temps[1], "degC"), IRON, inner
    ).m_as(unit)


@pytest.mark.parametrize(
    ("hole", "shaft", "temps", "unit", "inner", "answer", "grain"),
    [
        (4.2515, 4.2460, (115, 155), "inch", IRON, 0.0036, 5e-5),
        (4.2515, 4.2460, (50, 130), "inch", IRON, 0.0018, 5e-5),
        (4.2515, 4.2355, (150, 290), "inch", IRON, 0.0095, 5e-5),
        (92.500, 92.4075, (100, 140), "mm", ALUMINIUM, -0.053, 5e-4),
    ],
)
def test_hot_clearance(hole, shaft, temps, unit, inner, answer, grain):
    assert hot(hole, shaft, temps, unit, inner) == pytest.approx(answer, abs=grain)


def test_ring_gap_hot():
    gap = rings.gap_at(Q(0.0149, "inch"), Q(4.25, "inch"), Q(130, "degC"), Q(200, "degC"), IRON, IRON)
    assert gap.m_as("inch") == pytest.approx(0.0046, abs=5e-5)


def test_warm_part_is_smaller_at_20():
    size = expansion.size_at_reference(Q(4.25, "inch"), Q(35, "degC"), Q(20, "degC"), IRON, STEEL)
    assert size.m_as("inch") - 4.25 == pytest.approx(-0.0007, abs=5e-5)


def test_aluminium_and_steel_both_cold():
    size = expansion.size_at_reference(Q(92.2785, "mm"), Q(11, "degC"), Q(11, "degC"), ALUMINIUM, STEEL)
    assert size.m == pytest.approx(92.286, abs=5e-5)


def test_rim():
    speed = flywheels.rim_speed(Q(24, "inch"), Q(2.25, "inch"), Q(420, "revolution/minute"))
    assert speed.m_as("ft/minute") == pytest.approx(2392, abs=0.5)
    assert flywheels.hoop_stress(Q(7200, "kg/m**3"), speed).m == pytest.approx(1.06, abs=5e-3)
    assert flywheels.hoop_stress(Q(7200, "kg/m**3"), Q(6000, "ft/minute")).m == pytest.approx(6.7, abs=0.05)


def test_key_tapers_part():
    assert tapers.mismatch(Q(1 / 96, ""), Q(1 / 100, ""), Q(4, "inch")).m_as("inch") == pytest.approx(0.0017, abs=5e-5)


def test_chance_out():
    below, above = uncertainty.chance_outside(2.26, 0.52, 1.80, None)
    assert below == pytest.approx(0.038, abs=5e-4) and above == 0.0


def test_implied_differences():
    assert expansion.implied_difference(Q(0.001, ""), IRON).m == pytest.approx(91, abs=0.5)
    assert expansion.implied_difference_of_gap(Q(0.0035, ""), IRON).m == pytest.approx(101, abs=0.5)


def test_limit_does_not_turn_on_binary_rounding():
    assert 3.2500 * 25.4 - 3.2465 * 25.4 != 0.0035 * 25.4 and reaches(3.2500 * 25.4 - 3.2465 * 25.4, 0.0035 * 25.4)


def test_two_angles_can_miss_an_oval():
    four = [Q(each, "mm") for each in (50.00, 50.01, 50.00, 49.99)]
    assert abs(four[0] - four[2]).m == 0 and form.ovality(*four)[0].m == pytest.approx(0.02)


@pytest.mark.parametrize(
    ("text", "inches"),
    [
        ("4.2465 in", 4.2465),
        ("4 1/4 in", 4.25),
        ("4-1/4 in", 4.25),
        ("1 51/64 in", 1.796875),
        ("9 thou", 0.009),
        ("5 tenths", 0.0005),
        ("92.500 mm", 92.5 / 25.4),
        ("12 µm", 0.012 / 25.4),
        ("-.003 in", -0.003),
        ("+1/64 in", 1 / 64),
        ("−2 thou", -0.002),
        ("3 1/8 in", 3.125),
    ],
)
def test_lengths_as_people_write_them(text, inches):
    measure = read_quantity(text, "length")
    assert float(measure) / 25.4 == pytest.approx(inches, abs=1e-15) and measure.text == text


@pytest.mark.parametrize(
    "text",
    [
        "",
        "4",
        "in",
        "4,5 mm",
        "4.5.6 in",
        "1/0 in",
        "1e5 in",
        "9**9**9 in",
        "٤ in",
        "4 in in",
        "0x10 in",
        "nan in",
        "inf mm",
        "4 1/4",
        "1" * 80 + " in",
    ],
)
def test_what_is_no_length(text):
    with pytest.raises(NotAQuantity):
        read_quantity(text, "length")


def test_readings_keep_their_digits():
    assert [each.text for each in read_readings("0.1880 0.1880 in")] == ["0.1880 in", "0.1880 in"]


def test_formula_refuses_bare_numbers_and_wrong_dimensions():
    with pytest.raises(TypeError, match="length needs a quantity in mm"):
        expansion.growth(50.0, IRON, Q(80, "kelvin"))
    with pytest.raises(Exception, match="Cannot convert"):
        expansion.growth(Q(50.0, "kg"), IRON, Q(80, "kelvin"))


# Worked by hand from the trade's own formulas (common practice, no source), one line each.
VECTORS = [
    (
        "shrink heat",
        lambda: press_fits.heating_needed(Q(0.0427, "mm"), Q(0.05, "mm"), Q(40, "mm"), Q(10.8e-6, "1/kelvin")).m,
        215,
        0.5,
    ),
    (
        "throat",
        lambda: supplies.throat_speed(Q(446, "ft/minute"), Q(4.25, "inch"), Q(0.938, "inch")).m_as("ft/second"),
        153,
        0.5,
    ),
    (
        "ring pressure",
        lambda: rings.pressure_from_free_gap(Q(100, "GPa"), Q(0.5035, "inch"), Q(4.25, "inch"), Q(0.165, "inch")).m_as(
            "psi"
        ),
        16,
        0.1,
    ),
    (
        "ring stress",
        lambda: rings.bending_stress(Q(100, "GPa"), Q(0.5035, "inch"), Q(4.25, "inch"), Q(0.165, "inch")).m,
        211,
        0.5,
    ),
    ("tailstock", lambda: tapers.tailstock_move(Q(1.2, "thou"), Q(14, "inch"), Q(6, "inch")).m_as("thou"), 1.4, 0.01),
    ("boil-off", lambda: supplies.boil_off(Q(2.5, "horsepower"), Q(0.16, ""), Q(0.35, "")).m, 6.5, 0.05),
    (
        "twelve minutes a pass is ordinary",
        lambda: cutting.cutting_time(Q(7, "inch"), Q(0.005, "inch"), Q(118, "revolution/minute")).m,
        12,
        0.2,
    ),
    (
        "a piston-length cut",
        lambda: cutting.cutting_time(Q(7, "inch"), Q(0.006, "inch"), Q(72, "revolution/minute")).m,
        16.2,
        0.05,
    ),
    ("dead centre", lambda: pistons.travel(Q(5, "degree"), Q(6, "inch"), Q(13.5, "inch")).m_as("thou"), 14, 0.2),
]


@pytest.mark.parametrize(("name", "found", "expected", "within"), VECTORS, ids=[each[0] for each in VECTORS])
def test_vector(name, found, expected, within):
    assert found() == pytest.approx(expected, abs=within)
