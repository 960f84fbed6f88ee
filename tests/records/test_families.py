"""Part families: one for each, with words for every feature, and a starter that builds as it stands."""

import shutil

import pytest
from conftest import ROOT, build_site, small_project
from gudgeon.assess.build import assess
from gudgeon.records.load_build import load_build
from gudgeon.records.parts import FAMILIES

FOLDER = ROOT / "plugins" / "gudgeon" / "knowledge" / "families"


def test_there_is_a_page_for_every_family(club):
    assert set(club.knowledge.families) == set(FAMILIES) == set(club.starters)


@pytest.mark.parametrize("family", FAMILIES)
def test_starter_builds_clean_with_everything_at_no_reading(family, club, tmp_path):
    shutil.copytree(FOLDER / family / "starter", tmp_path / "my-engine")
    build = load_build(tmp_path / "my-engine", "builds/my-engine", club.knowledge)
    assert build.problems == []
    found = assess(build, club.knowledge)
    assert found.features and {each.state for each in found.features.values()} == {"no reading"}
    assert not found.mistakes and found.next_jobs and all(danger.state == "not worked out" for danger in found.dangers)


@pytest.mark.parametrize("family", FAMILIES)
def test_every_feature_has_its_words_and_the_other_way_round(family, club):
    words, part = club.knowledge.families[family], club.starters[family].parts[family]
    assert set(words.features) == set(part.features) and part.family == family
    readable = [name for name, each in part.features.items() if each.is_length and each.metal_side]
    assert sum(words.features[name].measure is not None for name in readable) >= len(readable) / 2
    assert club.starters[family].operations and words.watch and words.measure


@pytest.mark.slow
def test_a_starter_is_a_site_of_its_own(tmp_path):
    project = small_project(tmp_path / "club")
    for family in ("piston", "flywheel"):
        shutil.copytree(FOLDER / family / "starter", project / "builds" / f"my-{family}")
    done = build_site(project, tmp_path / "site", "--strict")
    assert done.returncode == 0, done.stderr
    text = (tmp_path / "site" / "builds" / "my-piston" / "parts" / "piston" / "index.html").read_text(encoding="utf-8")
    assert text.count("no reading") >= 10
