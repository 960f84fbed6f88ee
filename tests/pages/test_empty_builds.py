"""Builds without operations, fits or readings, and plans that are done: every page says so, and none reassures."""

import re

import pytest
from gudgeon.assess.build import assess
from gudgeon.records.model import Club
from small_build import FILES, load, rendered, shelf

pytestmark = pytest.mark.slow

NOTHING = {
    "instruments": None,
    "materials": None,
    "parts__cyl": None,
    "parts__piston": None,
    "fits": None,
    "operations": None,
    "readings__2025_02_02_bore": None,
    "readings__2025_02_04_skirt": None,
}
DONE = FILES["operations.yaml"]
REST = DONE.replace("TURN: {", "TURN: {wait: 30 days, ")


def pages_of(tmp_path, **changes):
    """The text of the pages of a small build, without its markup."""
    build = load(tmp_path, **changes)
    assert build.problems == []
    made, _ = rendered(Club([build], shelf()), {build.id: assess(build, shelf())})
    return {
        address.removeprefix(f"builds/{build.id}/").removesuffix(".md"): " ".join(re.sub(r"<[^>]+>", " ", page).split())
        for address, page in ((page.uri, page.text) for page in made)
        if address.startswith(f"builds/{build.id}/")
    }


def test_an_empty_build_says_on_every_page_that_nothing_is_written(tmp_path):
    pages = pages_of(tmp_path, build=FILES["build.yaml"].partition("cases:")[0], **NOTHING)
    for name, said in {
        "index": "No fits are written yet.",
        "work": "No operations are written yet.",
        "fits/index": "No fits are written yet",
        "sheets/index": "No operations are written yet.",
        "parts/index": "No parts are written yet.",
        "gauges": "No instruments are written yet",
        "readings": "0 readings",
        "rules": "No fits are written yet",
        "metals": "No part says yet what it is of.",
    }.items():
        assert said in pages[name], (name, pages[name][:600])
    for name, text in pages.items():
        for reassurance in ("Nothing is left to do", "Nothing is held up", "None found", "All operations are done"):
            assert reassurance not in text, (name, reassurance)
    assert "No record has a day yet." in pages["index"]


def test_a_plan_that_is_done_tells_how_the_features_stand_and_what_still_rests(tmp_path):
    pages = pages_of(tmp_path, operations=REST, readings__2025_02_04_skirt=None)
    assert "All operations are done. Of 2 features:" in pages["work"] and "○ 1 no reading" in pages["work"]
    assert "can start" not in pages["work"] and "tonight" not in pages["work"]
    assert "TURN (turn skirt) rests 30 days, until 2025-03-05." in pages["work"]


def test_what_has_no_estimate_is_not_said_to_be_too_long_for_tonight(tmp_path):
    more = DONE + "  PAINT: {part: cyl, does: paint}\n"
    assert "No job is known to be short enough for an evening of 3 h." in pages_of(tmp_path, operations=more)["work"]
