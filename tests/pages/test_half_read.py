"""In mid-evening half of the planned places are read: every page stands, works out what it can and says what is missing."""

import html
import itertools

import pytest
from gudgeon.assess.build import assess
from gudgeon.records.model import Club
from small_build import bent, load, rendered, shelf

STATIONS, ANGLES = ("10", "60", "110"), ("0", "45", "90", "135")
PLANNED = bent(
    "parts/cyl.yaml",
    "extent: [0 mm, 120 mm]",
    "extent: [0 mm, 120 mm], plan: {stations: [10 mm, 60 mm, 110 mm], angles: [0 deg, 45 deg, 90 deg, 135 deg]}",
)
PLACES = list(itertools.product(STATIONS, ANGLES))


def read(places) -> str:
    """The bore's readings at some places; None is a station or angle that nobody noted."""
    rows = [
        f"  - {{id: b{number}, {f'station: {station} mm, ' if station else ''}{f'angle: {angle} deg, ' if angle else ''}"
        f"reads: 50.0{10 + number} mm}}\n"
        for number, (station, angle) in enumerate(places)
    ]
    every = "{date: 2025-02-02, by: ada, of: cyl.bore, gauge: gauge, part_temp: 20 °C, gauge_temp: 20 °C, after: BORE}"
    return f"every_row: {every}\nrows:\n" + "".join(rows)


@pytest.fixture
def pages_of(tmp_path):
    def make(places):
        build = load(tmp_path, parts__cyl=PLANNED, readings__2025_02_02_bore=read(places))
        assert build.problems == []
        findings = assess(build, shelf())
        pages, _ = rendered(Club([build], shelf()), {build.id: findings})
        return findings, {page.uri.rpartition("small/")[2]: html.unescape(page.text) for page in pages}

    return make


@pytest.mark.slow
@pytest.mark.parametrize("count", [1, 2, 5, 6, 9, 11, 12])
def test_after_every_reading_all_pages_stand(pages_of, count):
    findings, pages = pages_of(PLACES[:count])
    bore = findings.features["cyl.bore"]
    assert len(bore.cells) == count and len(bore.missing_cells) == 12 - count
    assert pages["maps/cyl.bore.md"].count("not read</td>") == 12 - count, (
        "a planned map stands from the first reading on"
    )
    assert pages["maps/cyl.bore.md"].count("50.0") >= count, "what was read stands there"
    said = f"{12 - count} of 12 planned places are not measured yet" in pages["parts/cyl.md"]
    assert said == (count < 12), "the part's page tells what is missing"


@pytest.mark.slow
@pytest.mark.parametrize(
    "places",
    [
        [("10", "0"), ("60", "90")],
        [(None, "0"), ("10", "90")],
        [(None, None), ("10", "90")],
        [("10", None), ("60", "0"), ("60", "90")],
        [("10", "0"), ("70", "20")],
    ],
    ids=str,
)
def test_places_that_nobody_planned_or_noted(pages_of, places):
    findings, pages = pages_of(places)
    known = findings.features["cyl.bore"].form.taper_ends is not None
    assert ("taper not known" in pages["maps/cyl.bore.md"]) != known, (
        "a taper that nobody could tell is not told as none"
    )
