"""Thresholds of judgement stand in one file of the shelf: read, held to their kinds, listed, and a club's own counts."""

from dataclasses import replace

import pytest
from gudgeon.assess.build import assess
from gudgeon.assess.knowledge_checks import grounds
from gudgeon.records.edits import edits_of_knowledge
from gudgeon.records.judgement import Judgement
from gudgeon.records.load_knowledge import load_knowledge
from gudgeon.records.model import Club
from small_build import all_said, bent, load, shelf

OWN = "{name}: {{is: {value}, means: what happens, basis: from memory}}\n"


def told(thresholds):
    """What thresholds say, wherever they stand."""
    return {name: threshold.model_dump() for name, threshold in thresholds.items()}


def read(tmp_path, text: str):
    (tmp_path / "judgement.yaml").write_text(text, encoding="utf-8")
    return load_knowledge(tmp_path, "docs/knowledge")


def test_the_shelf_holds_every_threshold_as_it_is_shipped():
    assert told(shelf().judgement) == told(Judgement().thresholds()), "the file and what holds without it say the same"
    assert all(
        threshold.where().file == "plugins/gudgeon/knowledge/judgement.yaml" for threshold in shelf().judgement.values()
    )


def test_what_a_club_leaves_out_is_as_shipped(tmp_path):
    own = read(tmp_path, OWN.format(name="coarse_share", value="0.9"))
    assert own.problems == [] and float(own.judgement["coarse_share"]) == 0.9
    others = Judgement().thresholds().keys() - {"coarse_share"}
    assert all(told(own.judgement)[name] == told(Judgement().thresholds())[name] for name in others)


@pytest.mark.parametrize(
    ("name", "value", "said"),
    [
        ("look_at_chance", "0.9", ':1:22: look_at_chance: this must be over 0 and at most 0.5. Found "0.9".'),
        ("coarse_share", "0", ':1:20: coarse_share: this must be over 0 and at most 1. Found "0".'),
        ("gap_depth", "0 mm", ':1:17: gap_depth: this must be over 0. Found "0 mm".'),
        ("gap_depth", "0.25", ":1:17: gap_depth: a length needs a unit. Found"),
        ("soak_part", "warm", ":1:17: soak_part: expected a temperature difference. Found"),
        ("few_cuts", "2.5", ':1:16: few_cuts: expected a whole number. Found "2.5".'),
        ("coarse", "0.25", ':1:1: unknown key "coarse". Did you mean "coarse_share"?'),
    ],
)
def test_a_bad_value_is_told_at_its_place_and_the_shipped_one_holds(tmp_path, name, value, said):
    own = read(tmp_path, OWN.format(name=name, value=value))
    meanwhile, problem = sorted(own.problems, key=lambda problem: "Until" not in problem.text)
    assert f"docs/knowledge/judgement.yaml{said}" in str(problem), own.problems
    assert "Until it can be read, the thresholds that come with Gudgeon hold" in str(meanwhile)
    assert told(own.judgement) == told(Judgement().thresholds())


def test_a_source_that_nobody_has_is_told(tmp_path):
    own = read(tmp_path, "hot_shop: {is: 45 °C, means: too hot, basis: published, source: nowhere}\n")
    assert "1:65: hot_shop" in str(own.problems[0]) and 'the bibliography has no "nowhere"' in str(own.problems[0])


def test_a_club_that_judges_otherwise_has_other_findings(tmp_path):
    build = load(tmp_path)
    own = replace(
        shelf(), judgement=shelf().judgement | read(tmp_path, OWN.format(name="coarse_share", value="0.01")).judgement
    )
    usual, strict = (assess(build, knowledge).features["cyl.bore"].advice for knowledge in (shelf(), own))
    assert not any(note.code == "coarse-for-limits" for note in usual)
    assert ("coarse-for-limits", "1 %") in [(note.code, note.words.get("share")) for note in strict]
    assert [(edit.what, edit.id) for edit in edits_of_knowledge(shelf(), own)] == [("threshold", "coarse_share")]


def test_what_a_threshold_judges_is_told_with_its_ground(tmp_path):
    """Each threshold with a ground of its own, so that no other one's stands in the sentence."""
    bore = "readings/2025-02-02-bore.yaml"
    warm = bent(bore, "reads: 50.010 50.010 mm", "reads: 50.000 50.060 mm").replace(
        "part_temp: 20 °C", "part_temp: 26 °C"
    )
    near = bent("build.yaml", "hot: {hole: 100 °C, shaft: 150 °C}", "hot: {hole: 30 °C, shaft: 146 °C}")
    coarse = bent("instruments.yaml", "use: 0.004 mm", "use: 0.020 mm")
    names = ("coarse_share", "spread_of_use", "soak_gap", "closing_chance")
    text = "".join(OWN.format(name=name, value=getattr(Judgement(), name).value) for name in names)
    own = replace(shelf(), judgement=read(tmp_path, text).judgement)
    for folder in ("coarse", "near"):
        (tmp_path / folder).mkdir()
    found = assess(load(tmp_path / "coarse", readings__2025_02_02_bore=warm, instruments=coarse), own)
    hot = assess(load(tmp_path / "near", build=near), own).fits["F1"]
    of_bore, of_fit = (all_said(one.advice) for one in (found.features["cyl.bore"], found.fits["F1"]))
    for words, told_of in (
        ("over a quarter of the limits (from memory)", of_bore),
        ("over 2.5 times their uncertainty of use (from memory)", of_bore),
        ("asked for over 5 °C apart or over 15 °C off 20 °C; from memory and common practice, no source)", of_bore),
        ("over a quarter of the wanted range (from memory)", of_fit),
        ("by a chance of over 5 % (from memory)", all_said(hot.causes)),
    ):
        assert any(words in sentence for sentence in told_of), (words, told_of)


def test_they_are_listed_as_not_verified():
    listed = [ground for ground in grounds(Club([], shelf())) if ground.kind == "threshold of judgement"]
    assert len(listed) == len(Judgement.model_fields)
    assert any("hotter" in ground.what or "Fahrenheit: 40 °C" in ground.what for ground in listed)
