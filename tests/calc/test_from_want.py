"""Limits from a want, held against printed examples and against the sums that they come from."""

import pytest
from click.testing import CliRunner
from gudgeon.cli import main
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
    assert "shaft: 37.937 mm to 38.029 mm" in metric
    assert "taken as exact: write --within" in CliRunner().invoke(main, want).output
    for words, said in ((["--within", "-1 mm"], "must not be negative"), (want[4:4], "goes with --hole or --shaft")):
        refused = CliRunner().invoke(main, [*(want if words else want[:4]), *(words or ["--within", "1 mm"])])
        assert refused.exit_code == 2 and said in refused.output
