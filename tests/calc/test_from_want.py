"""Limits from a want, held against printed examples and against the sums that they come from."""

from decimal import Decimal

import pytest
from click.testing import CliRunner
from gudgeon.cli import main
from gudgeon.wording import UnitFormatter
from gudgeon_calc.from_want import NoTolerance, limits_from_want, limits_of_other, nearest_classes

INCH = 25.4


def inches(pair):
    return pytest.approx([size * INCH for size in pair], abs=1e-9)


def test_a_basic_shaft_as_a_navy_manual_works_it():
    """US Navy training manual 14276, figure 340: shaft 1.500 in, allowance 0.003, tolerance 0.002 on each."""
    limits = limits_from_want(1.5 * INCH, 0.003 * INCH, 0.007 * INCH, "shaft")
    assert list(limits.hole) == inches((1.503, 1.505)) and list(limits.shaft) == inches((1.498, 1.500))
    assert list(limits.clearance) == inches((0.003, 0.007))


def test_a_running_fit_as_a_textbook_works_it():
    """Mott, Machine Elements in Mechanical Design, 4th ed., example problem 13-1, p. 584: RC5 at 2.00 in."""
    low, high = 0.0025 * INCH, 0.0055 * INCH
    nearest = nearest_classes(2 * INCH, low, high)[1][0]
    assert nearest.name == "RC5" and nearest.inside and nearest.off == pytest.approx(0, abs=1e-9)
    limits = limits_from_want(2 * INCH, low, high, hole_share=0.0018 / 0.0030)
    assert list(limits.hole) == inches((2.0000, 2.0018)) and list(limits.shaft) == inches((1.9963, 1.9975))
    # The hole made first, to its limits, leaves the shaft the same ones.
    assert list(limits_of_other(2 * INCH, 2.0018 * INCH, low, high, "hole").shaft) == inches((1.9963, 1.9975))


@pytest.mark.parametrize(("basis", "name"), [("hole", "H8/f7"), ("shaft", "F8/h7")])
def test_the_class_that_a_want_is_taken_from_is_the_nearest(basis, name):
    """50 H8/f7: clearance 0.025 to 0.089 mm; turned round for a basic shaft it fits alike."""
    nearest = nearest_classes(50, 0.025, 0.089, basis)[0]
    assert nearest[0].name == name and nearest[0].clearance == pytest.approx((0.025, 0.089), abs=1e-9)
    offs = [round(one.off, 9) for one in nearest]
    assert offs == sorted(offs)


@pytest.mark.parametrize("basis", ["hole", "shaft"])
@pytest.mark.parametrize(("low", "high"), [(0.02, 0.05), (-0.03, -0.01), (-0.01, 0.02), (0.0, 0.01)])
def test_parts_within_the_limits_have_what_is_wanted(basis, low, high):
    for share in (0.2, 0.5, 0.6):
        limits = limits_from_want(40, low, high, basis, share)
        assert limits.clearance == pytest.approx((low, high), abs=1e-9)
        assert limits.hole_tolerance + limits.shaft_tolerance == pytest.approx(high - low, abs=1e-9)
    for made, least in (("hole", 40.01), ("shaft", 39.99)):
        assert limits_of_other(least, least + 0.004, low, high, made).clearance == pytest.approx((low, high), abs=1e-9)


def test_what_leaves_nothing_is_refused():
    for sums in (
        lambda: limits_of_other(50.000, 50.030, 0.05, 0.08, "hole"),
        lambda: limits_of_other(50.010, 50.000, 0.05, 0.08, "hole"),
        lambda: limits_from_want(50, 0.05, 0.05),
        lambda: limits_from_want(0, 0.05, 0.08),
        lambda: limits_from_want(50, 0.05, 0.08, hole_share=1),
    ):
        with pytest.raises(NoTolerance):
            sums()


def run(*words):
    return CliRunner().invoke(main, ["limits", *words])


def test_a_want_with_one_end_gives_the_limits_that_it_can():
    """2 in, 17 thou or more: nothing says how large the hole may be or how small the shaft."""
    open_ = limits_from_want(50, 0.1, None)
    assert (open_.hole, open_.shaft, open_.clearance) == (
        (50, None),
        (None, pytest.approx(49.9)),
        (pytest.approx(0.1), None),
    )
    assert limits_from_want(50, 0.1, None, "shaft").hole == (pytest.approx(50.1), None)
    assert limits_of_other(50.00, 50.01, 0.1, None, "hole").shaft == (None, pytest.approx(49.9))
    assert limits_of_other(50.00, 50.01, None, 0.1, "hole").shaft == (pytest.approx(49.91), None)
    assert limits_of_other(49.90, 49.91, None, 0.1, "shaft").hole == (None, pytest.approx(50.0))
    for ends in ((None, 0.1), (None, None)):
        with pytest.raises(NoTolerance):
            limits_from_want(50, *ends)
    shown = run("2 in", "17 thou", "-", "--inches")
    assert "hole: at least 2.0000 in, tolerance open\nshaft: at most 1.9830 in, tolerance open\n" in shown.output
    assert "together: 17.0 thou or more" in shown.output and "No standard class" in shown.output
    most = run("2 in", "-", "5 thou", "--hole", "2.0003 in", "--inches")
    assert "shaft: at least 1.9953 in" in most.output and "together: at most 5.0 thou" in most.output
    assert run("2 in", "-", "5 thou").exit_code == 1


def test_an_interference_is_typed_with_its_minus():
    shown = run("40 mm", "-0.03 mm", "-0.01 mm")
    assert "shaft: 40.020 mm to 40.030 mm" in shown.output, shown.output
    assert "shaft: 40.0" in run("40 mm", "-1.2 thou", "-0.4 thou").output


@pytest.mark.parametrize("basis", ["hole", "shaft"])
@pytest.mark.parametrize("inches", [True, False])
@pytest.mark.parametrize(("low", "high"), [(0.0253, 0.0661), (-0.0307, -0.0102), (0.0501, 0.0537), (0.0501, 0.0506)])
def test_limits_that_are_shown_are_never_wider_than_they_were_worked_out(basis, inches, low, high):
    parts = limits_from_want(50.0003, low, high, basis)
    fmt = UnitFormatter("in" if inches else "mm")
    for least, most in (parts.hole, parts.shaft):
        ends = [
            Decimal(word.split()[0]) * (Decimal("25.4") if inches else 1)
            for word in fmt.limits_text(least, most).split(" to ")
        ]
        assert least - 1e-6 <= ends[0] < ends[1] <= most + 1e-6, (ends, least, most)
        assert fmt.shown_limits(least, most) == pytest.approx([float(end) for end in ends], abs=1e-9)
        tolerance = Decimal(fmt.tolerance_text(least, most).split()[0])
        assert tolerance * (Decimal("0.0254") if inches else 1) == ends[1] - ends[0]


def test_by_the_command():
    shown = CliRunner().invoke(main, ["limits", "1.5 in", "3 thou", "7 thou", "--basis", "shaft", "--inches"])
    assert shown.exit_code == 0
    assert "hole: 1.5030 in to 1.5050 in, tolerance 2.0 thou\nshaft: 1.4980 in to 1.5000 in" in shown.output
    left = CliRunner().invoke(
        main, ["limits", "50 mm", "0.05 mm", "0.08 mm", "--hole", "50.012 mm", "--within", "0.02 mm"]
    )
    assert left.exit_code == 1 and "none is left for the other" in left.output
    wrong = CliRunner().invoke(main, ["limits", "50", "0.05 mm", "0.08 mm"])
    assert wrong.exit_code == 2


def test_a_half_that_was_read_is_said_as_read_and_its_doubt_is_asked_for():
    """1.5004 in ± 0.2 thou, 3 to 7 thou wanted: the shaft from 1.5006 - 0.007 to 1.5002 - 0.003 in, and so in millimetres."""
    want = ["limits", "1.5 in", "3 thou", "7 thou", "--hole", "1.5004 in"]
    shown = CliRunner().invoke(main, [*want, "--within", "0.2 thou", "--inches"]).output
    assert "hole as read: 1.5004 in, ±0.2 thou" in shown and "shaft: 1.4936 in to 1.4972 in" in shown
    metric = CliRunner().invoke(main, [*want, "--within", "0.2 thou"]).output
    assert "shaft: 37.938 mm to 38.028 mm" in metric, "37.9374 to 38.0289 mm, rounded inward"
    assert "taken as exact: write --within" in CliRunner().invoke(main, want).output
    for words, said in ((["--within", "-1 mm"], "must not be negative"), (want[4:4], "goes with --hole or --shaft")):
        refused = CliRunner().invoke(main, [*(want if words else want[:4]), *(words or ["--within", "1 mm"])])
        assert refused.exit_code == 2 and said in refused.output
