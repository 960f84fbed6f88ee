"""The plain sums between two passes, each by a case that can be worked out in the head, by differences, or by the normal law."""

import math

import pytest
from gudgeon_calc.at_the_lathe import (
    SMALLEST_RISK,
    DialLaw,
    Doubts,
    chance_of_scrap,
    divisions,
    expanded_of_reading,
    landing_shift,
    metal_on,
    size_at_20,
    taper_along,
)
from gudgeon_calc.student import t_quantile

SURE = DialLaw(slope=1.0, offset=0.0, scatter=0.003, cuts=302, middle=0.1, spread=1e9)  # learnt from many
FEW = DialLaw(slope=0.98, offset=-0.004, scatter=0.003, cuts=4, middle=0.1, spread=0.04)
WARM = (100.0, 30.0, 26.0, 11e-6, 23e-6)  # reading, part and gauge °C, of the part and of the gauge per K


def doubts(**one):
    return Doubts(**({"use": 0.0, "scale": 0.0, "thermometer": 0.0, "uneven": 0.0, "part_cte": 0.0} | one))


def test_at_20_degrees_a_reading_has_the_doubts_of_its_gauge_alone():
    """Use 0.0015 standard and a scale of 0.004 at k = 2: 2·√(0.0015² + 0.002²) = 0.005; no temperature is off, so none counts."""
    of_gauge = doubts(use=0.0015, scale=0.004, uneven=0.5, part_cte=2e-6)
    assert expanded_of_reading(50.0, 20.0, 20.0, 11e-6, 11.5e-6, of_gauge) == pytest.approx(0.005)
    assert expanded_of_reading(0.0, 20.0, 20.0, 11e-6, 11.5e-6, of_gauge) == pytest.approx(0.005), (
        "a reading of nought too"
    )


@pytest.mark.parametrize(
    ("one", "moved"),
    [
        ({"thermometer": 2.0}, lambda by: (WARM[0], WARM[1] + 2 * by, WARM[2] + 2 * by, *WARM[3:])),
        ({"uneven": 0.25}, lambda by: (WARM[0], WARM[1] + 0.25 * 4 * by, *WARM[2:])),
        ({"part_cte": 1e-6}, lambda by: (*WARM[:3], WARM[3] + 1e-6 * by, WARM[4])),
    ],
)
def test_each_doubt_of_temperature_moves_the_size_as_far_as_it_goes(one, moved):
    """What lies evenly within ± a counts a/√3; how far a moves the size is read off the sum itself, a little to either side."""
    step = 1e-3
    by_one = (size_at_20(*moved(step)) - size_at_20(*moved(-step))) / (2 * step)
    assert expanded_of_reading(*WARM, doubts(**one)) == pytest.approx(2 * abs(by_one) / math.sqrt(3), rel=1e-6)


def test_doubts_add_by_their_squares_and_grow_with_the_size():
    alone = [expanded_of_reading(*WARM, doubts(**one)) for one in ({"use": 0.001}, {"scale": 0.003}, {"uneven": 0.25})]
    together = expanded_of_reading(*WARM, doubts(use=0.001, scale=0.003, uneven=0.25))
    assert together == pytest.approx(math.hypot(*alone))
    assert alone[:2] == pytest.approx([2 * 0.001 * size_at_20(*WARM) / 100, 0.003 * size_at_20(*WARM) / 100])


@pytest.mark.parametrize(
    ("times", "chance"), [(1.0, 0.158655), (1.644854, 0.05), (2.0, 0.022750), (2.5, 0.006210)]
)  # of the normal law
def test_the_chance_of_scrap_by_a_dial_known_from_many_cuts_is_the_normal_law_s(times, chance):
    """0.003 of the dial and 0.004 of the reading are 0.005 together; 0.06 is asked for and comes off."""
    assert chance_of_scrap(0.06 + times * 0.005, 0.06, SURE, 0.004) == pytest.approx(chance, rel=0.03)


def test_the_chance_of_scrap_at_its_ends():
    assert chance_of_scrap(0.06, 0.06, SURE, 0.004) == 0.5, "a cut to the limit itself"
    assert chance_of_scrap(0.05, 0.06, SURE, 0.004) == 0.5, "a deeper one is at least that, and not told apart"
    exact = DialLaw(1.0, 0.0, 0.0, 5, 0.1, 0.02)
    assert [chance_of_scrap(room, 0.06, exact, 0.0) for room in (0.05, 0.06, 0.07)] == [1.0, 0.5, SMALLEST_RISK]
    assert chance_of_scrap(0.05, 0.06, exact, 0.004) == 0.5 and chance_of_scrap(0.05, 0.06, FEW, 0.0) == 0.5
    assert chance_of_scrap(1.0, 0.06, SURE, 0.004) == SMALLEST_RISK, "never none"
    near = landing_shift(SMALLEST_RISK, SURE, 0.06, 0.004)
    assert chance_of_scrap(0.06 + near * 1.001, 0.06, SURE, 0.004) == SMALLEST_RISK
    assert SMALLEST_RISK < chance_of_scrap(0.06 + near * 0.98, 0.06, SURE, 0.004) < 3 * SMALLEST_RISK


def test_how_far_to_stay_short():
    """t of two degrees of freedom is 2.920 at 5 % (NIST TN 1297, Table B.1: 2.92 at 90 % of both sides); z is 1.645."""
    at_middle = FEW.scatter * math.sqrt(1 + 1 / 4)
    assert landing_shift(0.05, FEW, 0.1, 0.0) == pytest.approx(2.91999 * at_middle, rel=1e-5)
    assert landing_shift(0.05, FEW, 0.3, 0.0) == pytest.approx(2.91999 * FEW.scatter * 1.5, rel=1e-5), (
        "0.2 off the middle"
    )
    assert landing_shift(0.05, None, 0.1, 0.004) == pytest.approx(1.644854 * 0.004, rel=1e-6)
    both = landing_shift(0.05, FEW, 0.1, 0.004)
    assert both == pytest.approx(math.hypot(2.91999 * at_middle, 1.644854 * 0.004), rel=1e-5)
    assert landing_shift(0.5, FEW, 0.1, 0.004) == pytest.approx(0, abs=1e-9)
    for risk in (0.0, -0.1, 0.51):
        with pytest.raises(ValueError, match="between 0 and 0.5"):
            landing_shift(risk, FEW, 0.1, 0.004)


@pytest.mark.parametrize(("risk", "degrees"), [(0.9e-6, 5), (0.51, 5), (0.05, 0)])
def test_student_has_no_answer_beyond_what_he_holds_for(risk, degrees):
    assert t_quantile(1e-6, 1) == pytest.approx(1 / math.tan(math.pi * 1e-6), rel=1e-3), "of one degree: a cotangent"
    assert t_quantile(0.5, 1) == pytest.approx(0, abs=1e-12) and t_quantile(0.05, 1) == pytest.approx(6.3138, rel=1e-4)
    with pytest.raises(ValueError, match="a risk lies between"):
        t_quantile(risk, degrees)


def test_what_to_ask_of_a_dial():
    """0.98 comes off of each asked less 0.004 of spring: for 0.094, 0.1 is asked; on a dial of the radius 0.05, in divisions of 0.02."""
    assert FEW.ask(0.094) == pytest.approx(0.1)
    assert (divisions(0.1, 0.02, "radius"), divisions(0.1, 0.02, "diameter")) == (pytest.approx(2.5), pytest.approx(5))


@pytest.mark.parametrize(
    ("side", "most", "least", "on", "turn_to", "first", "last", "short"),
    [
        ("external", 50.200, 50.190, 0.250, 49.950, 0.230, 0.260, False),
        ("internal", 49.800, 49.810, 0.250, 50.050, 0.230, 0.260, False),
        # The place with the least metal is scrap before the other is in the middle: halfway between 0.230 and 0.240.
        ("external", 50.200, 50.170, 0.235, 49.965, 0.230, 0.240, True),
        ("internal", 49.800, 49.830, 0.235, 50.035, 0.230, 0.240, True),
        # It is scrap before the other is inside at all: no stop helps, and the middle stands.
        ("external", 50.200, 50.150, 0.250, 49.950, 0.230, 0.220, False),
        # Scrap just where the middle is, or just where the other comes in: nothing is stopped short.
        ("external", 50.250, 50.250, 0.250, 50.000, 0.250, 0.250, False),
    ],
)
def test_metal_between_what_is_and_what_is_wanted(side, most, least, on, turn_to, first, last, short):
    """Wanted 49.930 to 49.970 outside, 50.030 to 50.070 inside; the last line wants 50.000 alone."""
    wanted = (50.0, 50.0) if last == 0.250 else (49.930, 49.970) if side == "external" else (50.030, 50.070)
    metal = metal_on(side, most, least, *wanted)
    told = (metal.on_diameter, metal.turn_to, metal.to_first, metal.to_last)
    assert told == pytest.approx((on, turn_to, first, last)) and metal.stops_short is short


def test_a_taper_by_least_squares():
    """Through (0, 0), (1, 1) and (2, 1) the line of least squares rises 1/2 for 1."""
    taper = taper_along([(1.0, 1.0), (0.0, 0.0), (2.0, 1.0)])
    assert (taper.slope, taper.length, taper.over_all) == (pytest.approx(0.5), 2.0, pytest.approx(1.0))
    narrows = taper_along([(10.0, 50.02), (110.0, 50.00)])
    assert (narrows.slope, narrows.over_all) == (pytest.approx(-2e-4), pytest.approx(-0.02))
    assert taper_along([(5.0, 1.0), (5.0, 2.0)]) is None and taper_along([]) is None
