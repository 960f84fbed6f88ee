"""The home page that people write is headed by what is past a safety limit, and says what was not worked out."""

import html
import re

import pytest
from gudgeon.assess.build import assess
from gudgeon.danger_words import _how_far, danger_tally, leading
from gudgeon.pages.club_pages import home_lead
from gudgeon.pages.page import Renderer, with_lead
from gudgeon.pages.view import View
from gudgeon.records.model import Club


@pytest.fixture(scope="module")
def sundlia(club):
    return assess(next(build for build in club.builds if build.id == "sundlia"), club.knowledge)


def lead_of(club, outcomes, failed=None):
    views = [
        View(build, outcomes[build.id], club.knowledge, Renderer()) for build in club.builds if build.id in outcomes
    ]
    return html.unescape(home_lead(club, views, Renderer(), failed or {}))


def test_the_home_says_of_each_build_what_the_bench_says(club, harrow, sundlia):
    lead = lead_of(club, {"harrow-pond": harrow, "sundlia": sundlia})
    for findings in (harrow, sundlia):
        assert danger_tally(findings.dangers) in lead
    said = re.findall(r"<strong>⚠ (?P<head>[^<]*):</strong>", lead)
    assert said == ["OVER A SAFETY LIMIT"] * 2  # one line a build, the worst of it
    assert f"{len(leading(harrow.dangers)) - 1} more on its page" in lead


def test_what_was_not_worked_out_is_never_left_unsaid(club, harrow):
    assert danger_tally(()) == "no figure of it is held against a safety limit"
    lacking = [danger for danger in harrow.dangers if danger.state == "not worked out"]
    assert danger_tally(lacking) == f"{len(lacking)} safety limits: {len(lacking)} not worked out"
    planned = [danger for danger in harrow.dangers if danger.state == "not past" and danger.chance is None]
    assert planned and "from sizes that are planned or only half measured" in danger_tally(planned)
    lead = lead_of(club, {}, failed={"harrow-pond": None})
    assert "harrow-pond: not worked out, the tool failed" in re.sub(r"<[^>]*>", "", lead)
    assert "none was worked out" in lead_of(Club([], club.knowledge), {})


@pytest.mark.parametrize(
    ("page", "begins"),
    [
        ("# Club\n\nWords.\n", "# Club\n\nDANGER\n\nWords."),
        ("---\ntitle: x\n---\n# Club\nWords.\n", "---\ntitle: x\n---\n# Club\n\nDANGER\n\nWords."),
        ("Words first.\n\n# Then a title\n", "DANGER\n\nWords first."),
        ("# Alone", "# Alone\n\nDANGER"),
        ("", "DANGER"),
    ],
)
def test_it_stands_below_the_title(page, begins):
    assert with_lead(page, "DANGER").startswith(begins)


@pytest.mark.parametrize(
    ("value", "limit", "said"),
    [
        (99.98, 55, "1.8 times"),
        (110, 100, "1.1 times"),
        (104, 100, "4 % over"),
        (100.02, 100, "0.02 % over"),
        (1.5, 2, "75 % of it"),
        (1.992, 2, "0.4 % under"),
        (-1, 2, "past it by any measure"),
    ],
)
def test_how_far_past_a_limit_is_said_without_rounding_it_away(value, limit, said):
    assert _how_far(value, limit) == said
