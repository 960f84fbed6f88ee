"""Offset and tilt from an indicator: against a circle fitted by an independent library, and by hand."""

import math

import numpy
import pytest
from gudgeon_calc.set_up import Offset, jaw_moves, offset_expanded, offset_of, tilt_of
from scipy.optimize import least_squares

FOUR = (0.0, 90.0, 180.0, 270.0)


def test_half_of_what_the_indicator_moves_from_side_to_side():
    """0° reads 4, 180° reads 0, 90° and 270° read 2: the work is 2 high toward 0°."""
    offset = offset_of(FOUR, (4.0, 2.0, 0.0, 2.0))
    assert (offset.along, offset.across, offset.left) == pytest.approx((2.0, 0.0, 0.0))
    assert jaw_moves(offset, 4) == pytest.approx((2.0, 0.0, -2.0, 0.0))
    assert (offset.size, offset.direction) == pytest.approx((2.0, 0.0))


def test_out_of_round_is_no_offset():
    """An oval work that runs true reads the same at 0° and 180°."""
    offset = offset_of(FOUR, (3.0, 0.0, 3.0, 0.0))
    assert offset.size == pytest.approx(0.0, abs=1e-12) and offset.left == pytest.approx(3.0)


@pytest.mark.parametrize("angles", [FOUR, (0.0, 120.0, 240.0), (0.0, 45.0, 90.0, 135.0, 180.0, 225.0, 270.0, 315.0)])
def test_it_is_the_centre_of_the_least_squares_circle(angles):
    """A disc of 50 mm off by 0.03 mm toward 40°: the radii seen from the axis, and the circle fitted through them by scipy."""
    radius, off, toward = 50.0, 0.03, math.radians(40)
    turns = numpy.radians(angles)
    seen = off * numpy.cos(turns - toward) + numpy.sqrt(radius**2 - (off * numpy.sin(turns - toward)) ** 2)
    points = numpy.column_stack([seen * numpy.cos(turns), seen * numpy.sin(turns)])
    fitted = least_squares(
        lambda p: numpy.hypot(points[:, 0] - p[0], points[:, 1] - p[1]) - p[2], [0, 0, 49], xtol=1e-14
    ).x
    offset = offset_of(angles, (seen - radius).tolist())
    assert (offset.along, offset.across) == pytest.approx(tuple(fitted[:2]), abs=1e-5)
    assert offset.direction == pytest.approx(40.0, abs=0.02) and offset.size == pytest.approx(off, abs=1e-5)


def test_the_tilt_is_the_change_of_the_offset_over_the_length():
    tilt = tilt_of(Offset(1.0, 0.0, None), Offset(1.0, 4.0, None), 100.0)
    assert (tilt.size, tilt.direction) == pytest.approx((0.04, 90.0))


def test_the_uncertainty_of_an_offset_by_drawing_it():
    rng = numpy.random.default_rng(14)
    drawn = [offset_of(FOUR, rng.normal(0, 0.5, 4).tolist()).along for _ in range(4000)]
    assert 2 * numpy.std(drawn) == pytest.approx(offset_expanded(1.0, 4), rel=0.04)


@pytest.mark.parametrize("angles", [(0.0, 180.0, 0.0, 180.0), (0.0, 90.0), (0.0, 0.0, 90.0)])
def test_angles_that_tell_no_offset_are_refused(angles):
    with pytest.raises(ValueError):
        offset_of(angles, [0.0] * len(angles))
