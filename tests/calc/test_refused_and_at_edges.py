"""What a sum refuses and says why, and both sides of where a sum or a table turns."""

import math

import pytest
from gudgeon_calc.casting import contractions
from gudgeon_calc.cutting import cut_law
from gudgeon_calc.estimates import outlook
from gudgeon_calc.flywheels import disc_stress
from gudgeon_calc.form import line_fit
from gudgeon_calc.limits_and_fits import read_tolerance
from gudgeon_calc.schedule import Hands, Job, deciding_chain, expected_minutes, list_schedule, longest_path, tails
from gudgeon_calc.supplies import boiling_point
from gudgeon_calc.units import NotAQuantity, read_quantity, read_readings, smallest_step
from limits import iso_deviations

DAILY = [Hands(1 / 60)]


@pytest.mark.parametrize(
    ("call", "told"),
    [
        (lambda: contractions("unobtainium"), 'no contraction held for "unobtainium". Held: .*cast iron'),
        (lambda: disc_stress.on_numbers(7200, 10, 0.26, 300, 300), "the bore has to be smaller"),
        (lambda: disc_stress.on_numbers(7200, 10, 0.26, -1, 300), "the bore has to be smaller"),
        (lambda: line_fit([1.0, 1.0], [1.0, 2.0]), "two or more points"),
        (lambda: boiling_point.on_numbers(44_400), "no air so high"),
        (lambda: read_tolerance("H7"), 'expected a basic size and a tolerance class. Found "H7"'),
        (lambda: read_tolerance("45 H7/g6"), "expected a basic size and a tolerance class"),
        (lambda: read_tolerance("45 RC4"), "expected a basic size and a tolerance class"),
        (lambda: read_tolerance("20 t6"), 'no letter "t" at 20 mm'),
        (lambda: read_tolerance("20 j9"), "no j9 at 20 mm. Held: j5, j6, j7"),
        (lambda: tails([Job(1, 1, 1, needs=(1,)), Job(1, 1, 1, needs=(0,))], DAILY), "goes in a circle"),
        (lambda: list_schedule([[1.0]], [Job(1, 1, 1, hand=1)], DAILY), "nobody does a job"),
        (lambda: cut_law([0.1, 0.2, 0.3], [1.0, 1.0, 1.0]), "more asked"),
        (lambda: cut_law([0.1, 0.2, 0.3], [0.12, 0.10, 0.08]), "more asked"),
    ],
)  # fmt: skip
def test_what_has_no_result_is_refused_with_why(call, told):
    with pytest.raises((ValueError, LookupError), match=told):
        call()


@pytest.mark.parametrize(
    ("basic", "name", "expected"),
    [
        # ISO 286-2 (from memory): up to 3 mm holes have no delta, above it those from K on have it to grade 8, P to U to 7.
        (3, "K6", (-6, 0)), (3.01, "K6", (-6, 2)), (3, "M7", (-12, -2)), (3.01, "M7", (-12, 0)),
        (3, "N7", (-14, -4)), (3.01, "N7", (-16, -4)), (3, "P7", (-16, -6)), (3.01, "P7", (-20, -8)),
        (25, "K8", (-23, 10)), (25, "M8", (-29, 4)), (25, "N8", (-36, -3)), (25, "P8", (-55, -22)),
        (3, "N9", (-29, -4)), (3.01, "N9", (-30, 0)),
        # The standard's one exception, M6 over 250 to 315, and its neighbours.
        (250, "M6", (-37, -8)), (250.01, "M6", (-41, -9)), (315, "M6", (-41, -9)), (315.01, "M6", (-46, -10)),
        # k begins at the basic size outside grades 4 to 7.
        (25, "k7", (2, 23)), (25, "k8", (0, 33)), (25, "k4", (2, 8)),
    ],
)  # fmt: skip
def test_limits_on_both_sides_of_where_the_standard_turns(basic, name, expected):
    assert tuple(round(end * 1000, 6) for end in iso_deviations(basic, name)) == expected


@pytest.mark.parametrize(
    ("text", "kind", "value"),
    [
        ("1:96", "ratio", 1 / 96), ("1.5:12", "ratio", 0.125), ("0:5", "ratio", 0.0), ("−3", "number", -3.0),
        (".25", "number", 0.25), ("+2", "number", 2.0), ("-1 1/2 in", "length", -38.1), ("1/2 in", "length", 12.7),
        ("32 °F", "temperature", 0.0), ("32 F", "temperature difference", 160 / 9), ("212 F", "temperature", 100.0),
    ],
)  # fmt: skip
def test_quantities_as_written(text, kind, value):
    assert float(read_quantity(text, kind)) == pytest.approx(value, rel=1e-12)


@pytest.mark.parametrize(
    ("text", "kind", "told"),
    [
        ("1:0", "ratio", "expected a taper as a ratio"), ("1/96", "ratio", "expected a taper as a ratio"),
        ("1.2.3", "number", "expected a plain number"), ("3 mm", "number", "expected a plain number"),
        ("1/0 in", "length", "over nought"), ("92,5 mm", "length", 'Write "92.5 mm"'), ("92.5", "length", '92.5 in" or "2349.50 mm'),
        ("3", "angle", "an angle needs a unit"), ("3", "speed", "a speed needs a unit"), ("3 mil", "length", 'is a "thou"'),
        ("3 furlong", "length", 'Known: in, thou, .*um.$'), ("1" * 65, "length", "Found 65 characters"),
        ("1" * 64, "length", "expected a length"),
    ],
)  # fmt: skip
def test_what_is_no_quantity_is_told_how_to_write_it(text, kind, told):
    with pytest.raises(NotAQuantity, match=told):
        read_quantity(text, kind)


def test_a_row_of_readings():
    row = read_readings("4.2515 4.251 in")
    assert [reading.text for reading in row] == ["4.2515 in", "4.251 in"] and len(read_readings("9 mm")) == 1
    assert [float(smallest_step(reading)) for reading in row] == pytest.approx([25.4e-4, 25.4e-3])
    assert float(smallest_step(read_quantity("1 51/64 in", "length"))) == pytest.approx(25.4 / 64)
    assert len(read_readings("1 " * 50 + "mm")) == 50
    for text, told in (
        ("1 " * 51 + "mm", "at most 50 readings"),
        ("1 2 3", "needs a unit"),
        ("1/2 3 mm", "decimals"),
        ("1 " + " " * 1000 + "mm", "at most 50 readings"),
    ):
        with pytest.raises(NotAQuantity, match=told):
            read_readings(text)


def test_a_job_of_one_time_that_is_worked_off_takes_nothing_more():
    for spent, left in ((0.0, 60.0), (20.0, 40.0), (60.0, 0.0), (90.0, 0.0)):
        assert outlook([Job(60, 60, 60, spent=spent)], DAILY).minutes == (left, left)
        assert expected_minutes(Job(60, 60, 60, spent=spent)) == left


def test_what_is_left_of_a_job_under_way():
    """By the three points 30, 60, 90 a job takes 60; once it has taken 60 and is not done, the beta law of the points leaves
    the upper half of 30 + 60·Beta(3, 3): its mean is 5/16 of the span over the middle, times 1/2: 60·(5/32) = 9.375 more."""
    assert expected_minutes(Job(30, 60, 90)) == pytest.approx(60)
    assert expected_minutes(Job(30, 60, 90, factor=2.0)) == pytest.approx(120)
    assert expected_minutes(Job(30, 60, 90, spent=30.0)) == pytest.approx(30), "nothing is ruled out yet"
    assert expected_minutes(Job(30, 60, 90, spent=60.0)) == pytest.approx(9.375, rel=1e-3)
    assert expected_minutes(Job(30, 60, 90, spent=120.0, factor=2.0)) == pytest.approx(18.75, rel=1e-3)
    assert expected_minutes(Job(30, 60, 90, spent=90.0)) == 0.0


def test_paths_of_nothing_and_of_jobs_that_wait():
    """A job of 60 minutes is a day. The second needs the first with 2 days of rest after it and 1 before itself."""
    assert longest_path([], DAILY) == (0.0, ()) and deciding_chain(None, []) == ((), False)
    jobs = [Job(60, 60, 60, wait=2.0), Job(60, 60, 60, needs=(0,), wait_before=1.0), Job(60, 60, 60, rests=3.5)]
    assert longest_path(jobs, DAILY) == (5.0, (0, 1)) and tails(jobs, DAILY) == [4.0, 0.0, 0.0]
    assert tails(jobs, [*DAILY, Hands(1 / 30)]) == [5.0, 1.0, 1.0], "of several hands the quickest, and from its start"
    late = [jobs[0], Job(60, 60, 60, needs=(0,), rests=7.0)]
    assert longest_path(late, DAILY) == (8.0, (1,)), "a day that it has to wait for holds it, and not what it needs"
    assert math.isinf(longest_path([Job(60, 60, 60, hand=1)], DAILY)[0])
