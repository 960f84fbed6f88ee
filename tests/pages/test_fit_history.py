"""A fit's history on a true axis: days where they lie, the band of what was wanted on each day, a break where a value is far off."""

import datetime as dt
import re

import pytest
from gudgeon.assess.build import assess
from gudgeon.pages.drawn import fit_history
from gudgeon.wording import UnitFormatter


@pytest.fixture(scope="module")
def sundlia(club):
    build = next(build for build in club.builds if build.id == "sundlia")
    return build, assess(build, club.knowledge)


def rects(drawing, css: str) -> list[list[float]]:
    """x, y, width and height of the rectangles of a class."""
    given = re.findall(rf'<rect x="(\S+)" y="(\S+)" width="(\S+)" height="(\S+)" class="{css}"', drawing)
    return [[float(value) for value in rect] for rect in given]


def dots(drawing) -> list[tuple[float, float]]:
    return [(float(x), float(y)) for x, y in re.findall(r'<circle cx="(\S+)" cy="(\S+)" r="4"', drawing)]


def test_the_band_steps_on_the_day_on_which_the_rule_was_given_up(sundlia):
    build, findings = sundlia
    fit = findings.fits["B-F01"]
    old, new = fit_history.wanted_in_time(fit)
    assert (old.low, old.high, old.until) == pytest.approx((0.085, 0.100, dt.date(2025, 7, 13)))
    assert (new.low, new.high, new.since, new.until) == (0.200, 0.230, dt.date(2025, 7, 13), None)
    drawing = fit_history.history(fit, build.fits["B-F01"].of_kind, UnitFormatter("mm"), findings.as_of)
    (was, now) = rects(drawing, "g-wanted")
    (last, first) = dots(drawing)
    assert was[0] + was[2] == pytest.approx(now[0], abs=0.15) and first[0] < now[0] < last[0]
    assert was[1] < first[1] < was[1] + was[3], "0.091 lay in what was wanted on its day"
    assert now[1] < last[1] < now[1] + now[3]
    # True days: 28 June to 13 July is 15 days, to 19 July 21.
    assert (now[0] - first[0]) / (last[0] - first[0]) == pytest.approx(15 / 21, abs=0.01)
    assert "0.085 to 0.100 mm until 2025-07-13; 0.200 to 0.230 mm from 2025-07-13 on" in drawing


def test_a_first_value_far_off_stands_beyond_a_break(harrow, club):
    build = next(build for build in club.builds if build.id == "harrow-pond")
    drawing = fit_history.history(harrow.fits["A-F01"], build.fits["A-F01"].of_kind, UnitFormatter("in"), harrow.as_of)
    assert drawing.count("<polyline") == 2, "the line of the dots and the break"
    last, middle, first = dots(drawing)
    (band,) = rects(drawing, "g-wanted")
    assert first[1] == fit_history.BOTTOM and band[1] + band[3] < last[1] < middle[1] < first[1]
    assert band[3] >= 10, "2 thou can be seen beside 80.6"


def test_a_range_without_a_day_has_no_place_and_is_said(sundlia):
    build, findings = sundlia
    fit = findings.fits["B-F01"]
    undated = fit.model_copy(
        update={"wanted_before": tuple(was.model_copy(update={"until": None}) for was in fit.wanted_before)}
    )
    assert [step.low for step in fit_history.wanted_in_time(undated)] == [0.200]
    drawing = fit_history.history(undated, build.fits["B-F01"].of_kind, UnitFormatter("mm"), findings.as_of)
    assert len(rects(drawing, "g-wanted")) == 1 and "on days that nobody wrote down 0.085 to 0.100 mm" in drawing


def test_no_reading_or_one_alone_is_no_history(sundlia):
    build, findings = sundlia
    fit = findings.fits["B-F07"]
    for moves in (fit.moves[:1], ()):
        kept = fit.model_copy(update={"moves": moves})
        assert fit_history.history(kept, build.fits["B-F07"].of_kind, UnitFormatter("mm"), findings.as_of) is None
    one_end = findings.fits["B-F05"].model_copy(update={"want_high": None})
    drawing = fit_history.history(one_end, build.fits["B-F05"].of_kind, UnitFormatter("mm"), findings.as_of)
    assert rects(drawing, "g-wanted")[0][1] == fit_history.TOP, "no most: open to the top"
