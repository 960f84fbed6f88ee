"""Rules of thumb drawn in the build's own unit, with the same figures in words."""

import html
import re

import pytest
from gudgeon.assess.build import assess
from gudgeon.pages.drawn.rules import alike, by_size, in_lengths
from gudgeon.wording import UnitFormatter, hotter


def drawn(findings, fit, units):
    rules = [rule for rule in findings.rules if fit in rule.fits]
    return str(in_lengths(rules, UnitFormatter(units), fit, findings.fits[fit]))


def test_a_rule_stands_in_thou_in_its_own_words_with_the_cited_one_marked(harrow):
    text = drawn(harrow, "A-F01", "in")
    cited = next(rule for rule in harrow.rules if "A-F01" in rule.cited_by)
    assert f"Chosen: “{cited.says}”: {UnitFormatter('in').clearance_text(cited.low)}" in text
    assert text.count("<rect") == 3, "the wanted range with its legend, and one square"
    assert "Not for this engine: “" in text and " K" not in text
    assert not re.search(r"\b[A-Z]-R\d", text), "members' words and no ids"


def test_a_metric_build_has_millimetres_and_no_withdrawn_rule(club):
    sundlia = assess(next(build for build in club.builds if build.id == "sundlia"), club.knowledge)
    ring = next(fit.id for fit in sundlia.fits.values() if fit.kind == "ring_gap")
    text = drawn(sundlia, ring, "mm")
    withdrawn = [rule.says for rule in sundlia.rules if rule.grade == "withdrawn" and ring in rule.fits]
    assert (
        " mm" in text
        and "thou;" not in text
        and withdrawn
        and not any(says in html.unescape(text) for says in withdrawn)
    )


def test_each_size_has_an_axis_of_its_own(harrow):
    for kind in {rule.kind for rule in harrow.rules}:
        for rules in by_size([rule for rule in harrow.rules if rule.kind == kind]).values():
            assert len({rule.fits for rule in rules}) == 1


def test_no_drawing_where_nothing_can_be_worked_out(harrow):
    rules = [rule.model_copy(update={"low": None, "high": None}) for rule in harrow.rules]
    assert in_lengths(rules, UnitFormatter("in"), "none") is None


def test_long_words_are_broken_into_lines_and_nothing_stands_over_another(harrow):
    """A bar from end to end has its figures below it: the next rule's words begin under them."""
    rule = next(rule for rule in harrow.rules if "A-F01" in rule.fits and rule.low is not None)
    says = "a thou and a half to the inch for the first three inches, a thou after that, and never under two and a half"
    wide = rule.model_copy(update={"says": says, "low": 0.001, "high": 2.5})
    text = str(in_lengths([wide, rule.model_copy(update={"says": "next"})], UnitFormatter("mm"), "wide"))
    texts = re.findall(r'<text[^>]* y="(?P<y>[\d.]+)"[^>]*>(?P<words>[^<]*)</text>', text)
    words = [(float(y), line) for y, line in texts if "…" not in line]
    said = " ".join(line for _, line in words)
    assert "…" not in text and html.unescape(said).count("never under two and a half") >= 1
    size = next(y for y, line in words if line == "0.001 to 2.500 mm")
    after = next(y for y, line in words if "next" in line)
    assert after - size >= 12


def test_a_want_without_a_most_is_open_to_the_end_of_the_axis(harrow):
    fit = harrow.fits["A-F01"].model_copy(update={"want_low": 0.1, "want_high": None})
    text = str(in_lengths([rule for rule in harrow.rules if "A-F01" in rule.fits], UnitFormatter("mm"), "open", fit))
    x, wide = map(float, re.search(r'<rect x="([\d.]+)" y="4" width="([\d.]+)"', text).groups())
    assert x + wide == pytest.approx(346) and wide > 10


def test_a_want_is_drawn_where_all_fits_of_the_size_want_the_same(harrow):
    skirt, bearing = harrow.fits["A-F01"], harrow.fits["A-F10"]
    assert alike([skirt]) is skirt and alike([skirt, bearing]) is None


@pytest.mark.parametrize(
    ("low", "high", "said"),
    [
        (90.9, 90.9, "91 °C (164 °F) hotter"),
        (101.28, 231.5, "101 to 232 °C (182 to 417 °F) hotter"),
        (-40.0, -20.0, "20 to 40 °C (36 to 72 °F) colder"),
        (0.0, 10.0, "0 to 10 °C (0 to 18 °F) hotter"),
    ],
)
def test_heat_is_said_as_degrees_of_both_kinds(low, high, said):
    assert hotter(low, high) == said
