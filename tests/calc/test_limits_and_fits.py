"""Limits and fits: edges of steps, letters' case, how the tables hang together, and what is said of what is not held."""

import math

import pytest
from gudgeon_calc.limits_and_fits import (
    INCH_CLASSES,
    ISO_LETTERS,
    NotInTable,
    read_fit_class,
    read_tolerance,
)
from gudgeon_calc.published import table
from limits import inch_fit, iso_deviations, iso_fit, iso_tolerance

STEPS = (0, 3, 6, 10, 18, 30, 50, 80, 120, 180, 250, 315, 400, 500)


def micrometres(basic, name):
    return tuple(round(each * 1000, 6) for each in iso_deviations(basic, name))


# Well known limits as every shop's wall chart has them (from memory).
@pytest.mark.parametrize(
    ("basic", "name", "expected"),
    [
        (25, "H7", (0, 21)),
        (25, "h6", (-13, 0)),
        (25, "G7", (7, 28)),
        (25, "F8", (20, 53)),
        (25, "E9", (40, 92)),
        (25, "D10", (65, 149)),
        (25, "js6", (-6.5, 6.5)),
        (25, "k6", (2, 15)),
        (25, "k8", (0, 33)),
        (25, "m6", (8, 21)),
        (25, "n6", (15, 28)),
        (25, "K7", (-15, 6)),
        (25, "M7", (-21, 0)),
        (25, "N7", (-28, -7)),
        (25, "N9", (-52, 0)),
        (25, "P7", (-35, -14)),
        (25, "P9", (-74, -22)),
        (25, "R7", (-41, -20)),
        (25, "S7", (-48, -27)),
        (2, "N7", (-14, -4)),
        (2, "P7", (-16, -6)),
        (280, "M6", (-41, -9)),
        (22, "u6", (41, 54)),
        (28, "u6", (48, 61)),
        (98, "p6", (37, 59)),
        (100, "c11", (-390, -170)),
        (450, "H8", (0, 97)),
    ],
)
def test_known_limits(basic, name, expected):
    assert micrometres(basic, name) == expected


@pytest.mark.parametrize("edge", STEPS[1:-1])
def test_an_edge_belongs_to_the_step_below(edge):
    for grade in range(5, 13):
        assert iso_tolerance(edge, grade) <= iso_tolerance(edge + 0.01, grade)
        assert iso_tolerance(edge, grade) == iso_tolerance(edge - 0.01, grade)
    assert micrometres(edge, "f7")[1] >= micrometres(edge + 0.01, "f7")[1]


def test_fifty_and_a_hundredth_over():
    assert micrometres(50, "f7") == (-50, -25) and micrometres(50.01, "f7") == (-60, -30)
    assert iso_fit(50, "H7/g6") == pytest.approx((0.009, 0.050)) and iso_fit(50.01, "H7/g6") == pytest.approx(
        (0.010, 0.059)
    )


@pytest.mark.parametrize("low,high", list(zip(STEPS[1:], STEPS[2:], strict=False)))
def test_grades_keep_to_the_standard_s_own_formula(low, high):
    """i = 0.45·∛D + 0.001·D over the geometric mean of the step: the table rounds it, so it must lie within a few percent."""
    mean = math.sqrt(low * high)
    unit = 0.45 * mean ** (1 / 3) + 0.001 * mean
    for grade, factor in {5: 7, 6: 10, 7: 16, 8: 25, 9: 40, 10: 64, 11: 100, 12: 160}.items():
        assert iso_tolerance(high, grade) * 1000 == pytest.approx(unit * factor, rel=0.07, abs=1.1), (high, grade)


@pytest.mark.parametrize("low,high", list(zip(STEPS[3:], STEPS[4:], strict=False)))
def test_deviations_keep_to_the_standard_s_own_formulas(low, high):
    mean = math.sqrt(low * high)
    for letter, formula in {
        "d": -16 * mean**0.44,
        "e": -11 * mean**0.41,
        "f": -5.5 * mean**0.41,
        "g": -2.5 * mean**0.34,
        "n": 5 * mean**0.34,
    }.items():
        low_deviation, high_deviation = micrometres(high, f"{letter}7")
        nearest = high_deviation if letter < "h" else low_deviation
        assert nearest == pytest.approx(formula, rel=0.06, abs=1.1), (high, letter)


@pytest.mark.parametrize("letter", [each for each in ISO_LETTERS if each < "h"])
def test_a_running_hole_mirrors_its_shaft(letter):
    for basic in (2, 5, 25, 50.01, 119, 300, 500):
        for grade in range(5, 13):
            hole, shaft = micrometres(basic, f"{letter.upper()}{grade}"), micrometres(basic, f"{letter}{grade}")
            assert hole == (-shaft[1], -shaft[0])


@pytest.mark.parametrize("letter,grade", [("k", 8), ("m", 8), ("n", 8), ("p", 7), ("r", 7), ("s", 7), ("u", 7)])
def test_delta_makes_equal_letters_fit_alike(letter, grade):
    """H7/p6 and P7/h6 have the same limits of fit, which is what delta is for (one exception of the standard apart)."""
    for basic in (5, 25, 45, 100, 200, 300, 450):
        by_hole = iso_fit(basic, f"{letter.upper()}{grade}/h{grade - 1}")
        by_shaft = iso_fit(basic, f"H{grade}/{letter}{grade - 1}")
        if (letter, grade - 1) == ("k", 7) or letter != "k":
            assert by_hole == pytest.approx(by_shaft, abs=1e-9), (letter, basic)


def test_every_step_of_every_letter_is_there_without_gap_or_overlap():
    for letter in ISO_LETTERS:
        if letter in ("h", "js", "j"):
            continue
        rows = [row for row in table("iso286-shafts") if row["letter"] == letter]
        ends = [(float(row["over_mm"]), float(row["to_mm"])) for row in rows]
        assert ends[-1][1] == 500 and ends[0][0] == (24 if letter == "t" else 0)
        assert all(before[1] == after[0] for before, after in zip(ends, ends[1:], strict=False)), letter
    for grade in range(4, 14):
        ends = [(float(r["over_mm"]), float(r["to_mm"])) for r in table("iso286-grades") if int(r["grade"]) == grade]
        assert [low for low, _ in ends] == list(STEPS[:-1]) and [high for _, high in ends] == list(STEPS[1:])


NUMBERS = {"RC": 9, "LC": 11, "LT": 6, "LN": 3, "FN": 5}


@pytest.mark.parametrize("name", [f"{kind}{n}" for kind, most in NUMBERS.items() for n in range(1, most + 1)])
def test_inch_classes_reach_five_inches_and_hang_together(name):
    rows = [row for row in table("b41-fits") if row["class"] == name]
    assert float(rows[-1]["to_in"]) >= 5 and len(INCH_CLASSES) == len(NUMBERS)
    ends = [(float(row["over_in"]), float(row["to_in"])) for row in rows]
    assert all(before[1] == after[0] for before, after in zip(ends, ends[1:], strict=False))
    for row in rows:
        hole, low, high = (float(row[each]) for each in ("hole_most_thou", "shaft_least_thou", "shaft_most_thou"))
        least, most = (each * 1000 for each in inch_fit(float(row["to_in"]), name))
        assert hole > 0 and low < high and least == pytest.approx(-high) and most == pytest.approx(hole - low)
        kind = name[:2]
        assert (kind not in ("RC", "LC") or least >= 0) and (kind not in ("LN", "FN") or most <= 1e-9)
        assert kind != "LT" or least < 0 < most
    if name[:2] in ("RC", "LC", "LN"):
        wide = [float(row["hole_most_thou"]) for row in rows]
        assert wide == sorted(wide), "tolerances grow with size"


def test_running_classes_grow_looser_by_number():
    for basic in (0.1, 0.3, 1.0, 2.5, 5.0):
        mean = [sum(inch_fit(basic, f"RC{n}")) for n in range(1, 10)]
        assert mean == sorted(mean)


def test_classes_are_no_grades_by_number():
    rc4, h8f7 = inch_fit(40 / 25.4, "RC4"), iso_fit(40, "H8/f7")
    assert [each * 25.4 for each in rc4] == pytest.approx(h8f7, rel=0.05), "RC4 is near H8/f7, not H4 or f4"


def test_classes_as_written():
    assert read_fit_class("25 H7/g6").clearance.low == pytest.approx(0.007)
    assert read_fit_class("25 mm H7/g6") == read_fit_class("25 H7/g6")
    assert read_fit_class("1.25 in RC4").basic == pytest.approx(31.75)
    assert read_fit_class("RC4", 31.75).clearance == read_fit_class("1.25 in RC4").clearance
    edge = read_fit_class("RC3", 1.97 * 25.4)
    assert edge.clearance.low == pytest.approx(0.001 * 25.4), "1.97 in belongs to the step below, after millimetres too"
    limits = read_tolerance("45 f7")
    assert (limits.low, limits.high) == (44.950, 44.975)
    assert read_fit_class("4.5 in FN2").clearance.basis == "from memory", "a row of which no print was read says so"
    assert read_fit_class("50 H7/j6").clearance.basis == "agrees with two packages", "no better than its weakest row"
    assert read_fit_class("40 H7/s6").clearance.basis == "seen in a secondary print"


@pytest.mark.parametrize(
    ("text", "says"),
    [
        ("25 h7/g6", "the hole has a capital letter"),
        ("25 H7/G6", "the shaft has a small letter"),
        ("H7/g6", "counts from a basic size"),
        ("25 H7", "names a hole and a shaft"),
        ("RC4", "needs a size"),
        ("25 Q7/g6", "no tolerance class"),
        ("25 Js7/h6", "the hole has a capital letter"),
        ("3 in RC12", "no class"),
        ("9 in RC4", "no RC4 at 9 in"),
        ("900 H7/g6", "Held: IT4 to IT13"),
        ("25 K9/h8", "goes to grade 8"),
        ("25 H7/g6 or so", "expected a class of fit"),
    ],
)
def test_what_is_not_held_is_said(text, says):
    with pytest.raises(NotInTable, match=says.replace("(", r"\(")):
        read_fit_class(text)
