"""Where along a bore a fit is tightest: the mark stands at the finding, what is not measured is marked, and nothing is made up."""

import re

import pytest
from gudgeon.pages.drawn import fit_along
from gudgeon.wording import UnitFormatter


@pytest.fixture(scope="module")
def drawn(harrow, club):
    build = next(build for build in club.builds if build.id == "harrow-pond")

    def make(fit_id: str, units: str = "in", **changed):
        fit = harrow.fits[fit_id]
        hole = harrow.features.get(fit.hole)
        hole = hole and hole.model_copy(update=changed)
        return fit_along.along(fit, build.fits[fit_id], hole, build.features.get(fit.hole), UnitFormatter(units))

    return make


def test_the_mark_stands_at_the_worst_place_and_bears_the_finding(drawn, harrow):
    drawing = drawn("A-F01")
    fit = harrow.fits["A-F01"]
    assert ">tightest: −5.4 thou at station 0.75 in" in drawing
    ((x, y),) = re.findall(r'<circle cx="(\S+)" cy="(\S+)" r="5"', drawing)
    stations = sorted({cell.station for cell in harrow.features[fit.hole].cells})
    whiskers = re.findall(r'<line x1="(\S+)" y1="(\S+)" x2="\S+" y2="(\S+)" class="g-whisker"', drawing)
    assert len(whiskers) == len(stations)
    assert x == dict(zip(stations, whiskers, strict=True))[fit.hole_at.station][0]
    # One scale for all: that of two stations' smallest diameters gives the place of the finding.
    least = [
        min(cell.size for cell in harrow.features[fit.hole].cells if cell.station == at) - fit.shaft_at.size
        for at in stations
    ]
    tall = [float(low) for _, low, _ in whiskers]
    low, high = least.index(min(least)), least.index(max(least))
    share = (fit.clearance - least[low]) / (least[high] - least[low])
    assert float(y) == pytest.approx(tall[low] + share * (tall[high] - tall[low]), abs=0.3)
    assert "wanted, further up: 4.5 to 6.5 thou" in drawing and "g-wanted" not in drawing
    assert "g-wanted" in drawn("A-F02")
    assert " mm at station 19.1 mm" in drawn("A-F01", "mm")


def test_stations_that_are_not_measured_are_marked(drawn, harrow):
    cells = harrow.features["cyl.bore"].cells
    last = max(cell.station for cell in cells)
    fewer = {
        "cells": tuple(cell for cell in cells if cell.station != last),
        "missing_cells": tuple((cell.station, cell.angle) for cell in cells if cell.station == last),
    }
    assert ">?<" in drawn("A-F01", **fewer) and ">?<" not in drawn("A-F01")


def test_without_several_stations_there_is_no_drawing(drawn, harrow):
    cells = harrow.features["cyl.bore"].cells
    assert drawn("A-F01", cells=cells[:4]) is None and drawn("A-F01", cells=()) is None
    assert drawn("A-F16") is None and drawn("A-F03") is None
