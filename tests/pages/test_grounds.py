"""No limit on the site without source or basis."""

import html
import re

import pytest
from gudgeon.assess.build import assess
from gudgeon.records.knowledge import GROUNDS
from small_build import rendered

BASES = (*GROUNDS, "derived", "the builder's")


@pytest.fixture(scope="module")
def found(club):
    return {build.id: assess(build, club.knowledge) for build in club.builds}


@pytest.fixture(scope="module")
def pages(club, found):
    return {page.uri: html.unescape(page.text) for page in rendered(club, found)[0]}


@pytest.mark.slow
def test_every_wanted_range_says_on_what_ground_it_stands(club, found, pages):
    seen = 0
    for build in club.builds:
        for name, fit in found[build.id].fits.items():
            if fit.want_low is None:
                continue
            seen += 1
            assert fit.want_basis and fit.want_basis.startswith(BASES), (build.id, name)
            assert all(key in club.knowledge.sources for key in fit.want_sources + fit.class_sources)
            text = pages[f"builds/{build.id}/fits/{name.lower()}.md"]
            assert fit.want_basis in text, f"{name}: its ground is not on its page"
    assert seen == 29


def test_every_limit_of_a_feature_says_where_it_comes_from(found):
    for findings in found.values():
        for ref, feature in findings.features.items():
            assert (feature.limits is None) == (feature.limits_from is None), ref
            if feature.limits:
                assert feature.limits_basis and feature.limits_basis.startswith(BASES), ref


def test_every_rule_material_and_caution_shows_its_basis(club, pages):
    for name, rule in club.knowledge.rules.items():
        row = re.search(rf'<tr id="{name}".*?</tr>', pages["rules.md"], re.DOTALL)[0]
        assert rule.basis in row or rule.source and f"#{rule.source}" in row, name
    for caution in club.knowledge.cautions.values():
        for danger in caution.dangers:
            assert danger.source in club.knowledge.sources or danger.basis == "common practice", caution.caution
    for material in club.knowledge.materials.values():
        assert material.basis and (not material.stiffness or material.stiffness_source)
        assert not material.density or material.density_source


def test_what_is_not_verified_is_listed(club, pages):
    text = pages["unverified.md"]
    for name, rule in club.knowledge.rules.items():
        assert (f"rule {name}:" in text.lower() or f"Rule {name}:" in text) == (rule.basis != "published"), name
    assert (
        "ISO 286 deviations of the letter j: 18 rows" in text and "LN, FN: class LC10, over in 1.19, to in 1.97" in text
    )
    assert text.count("LN, FN: class ") == 14, "what nobody saw in print stands row by row"
    assert all(meaning[1:] in text for word, meaning in GROUNDS.items() if word != "published"), (
        "every word is explained"
    )
    assert "Supplies: boil off" in text, "a formula recalled stands there too"
    assert "Rings: bending stress" not in text, "what rings press and bear is derived from the bending of a thin ring"


def test_what_judges_a_rule_a_fit_and_a_history_stands_on_its_page_with_its_ground(pages):
    ground = r"common practice, no source"
    for page in ("rules.md", "builds/harrow-pond/rules.md", "builds/harrow-pond/fits/a-f01.md"):
        assert re.search(rf"under 20 reports are too few to conclude from \({ground}\)", pages[page]), page
        assert re.search(rf"ran free for\s+under 10 h proves nothing yet \({ground}\)", pages[page]), page
    assert re.search(
        rf"Chance too tight.*looked at over 5 %<br><small>{ground}", pages["builds/harrow-pond/fits/a-f01.md"]
    )
    timing = [text for text in pages.values() if "Find it by a stop met on both sides" in text]
    assert timing and all(re.search(rf"15° or more away\s+\({ground}\)", text) for text in timing)
    schedule = next(
        text
        for uri, text in pages.items()
        if uri.startswith("builds/harrow-pond/") and "Estimates are multiplied" in text
    )
    assert re.search(rf"drawn toward 1 by 5 jobs done to estimate\s+\({ground}\)", schedule)


def test_a_narrower_spread_than_the_club_s_is_told_as_the_build_s_own(pages):
    (row,) = [
        row
        for uri, text in pages.items()
        if uri.startswith("builds/harrow-pond/")
        for row in re.findall(r"<tr.*?</tr>", text, re.DOTALL)
        if "this build's own, the club has ± 1.2" in row
    ]
    assert "own melt" in row and "± 0.5" in row and "nor what the plus or minus of this melt rests on" in row
    assert not any("this build's own, the club" in pages[uri] for uri in pages if uri.startswith("builds/sundlia/"))


def test_rules_that_give_the_same_stand_on_the_same_ground(club):
    grounds = {}
    for rule in club.knowledge.rules.values():
        if rule.gives and rule.gives.per_length and rule.grade != "withdrawn":
            grounds.setdefault((rule.kind, rule.gives.per_length), set()).add((rule.basis, rule.source))
    assert len(grounds) > 5 and all(len(of_one) == 1 for of_one in grounds.values()), grounds


def test_withdrawn_rules_stay_to_be_seen_and_serve_nothing(pages, found):
    assert "withdrawn, do not use" in pages["rules.md"] and "nought slipped" in pages["rules.md"]
    assert "withdrawn, do not use" in pages["builds/sundlia/rules.md"]
    assert not any(rule.cited_by for each in found.values() for rule in each.rules if rule.grade == "withdrawn")


def test_both_unit_systems_keep_their_last_place(pages):
    """An inch build shows its tenths in millimetres to the micrometre, a metric one its micrometres in tenths of a thou."""
    inch, metric = pages["builds/harrow-pond/fits/a-f01.md"], pages["builds/sundlia/fits/b-f01.md"]
    assert re.search(r"\d\.\d thou</span> <small>\(\d\.\d{3} mm\)", inch) and re.search(
        r"\d\.\d{4} in</span> <small>\(\d+\.\d{3} mm\)", inch
    )
    assert re.search(r"\d\.\d{3} mm</span> <small>\(\d\.\d thou\)", metric)
    tenths = re.findall(r"(\d+\.\d{4}) in</span> <small>\((\d+\.\d{3}) mm\)", "".join(pages.values()))
    back = re.findall(r"(\d+\.\d{3}) mm</span> <small>\((\d+\.\d{4}) in\)", "".join(pages.values()))
    assert len(tenths) > 50 and len(back) > 50
    for inches, millimetres in tenths:
        assert abs(float(inches) * 25.4 - float(millimetres)) < 0.0018
    for millimetres, inches in back:
        assert abs(float(inches) * 25.4 - float(millimetres)) < 0.0018


def test_cautions_say_their_margin_run_away(pages):
    wheel = re.sub(r"<[^>]*>", "", pages["builds/sundlia/parts/flywheel.md"])
    over = "OVER A SAFETY LIMIT: speed of the wheel's edge, run away 30.16 m/s, limit 26.82 m/s"
    assert over in wheel and "Not past the limit: rim speed at the mean radius, governed 13.45 m/s" in wheel
    assert wheel.index("A flywheel that bursts") < wheel.index("A heavy wheel"), "what is past its limit stands first"
    assert over in re.sub(r"<[^>]*>", "", pages["builds/sundlia/index.md"])
    assert wheel.index(over) < wheel.index("the part: shrunk on"), "it leads the page"
