"""The two layers of what is shared: what comes with the tool, and a club's own over it."""

import gudgeon
import pytest
from club_repo import ClubRepo, review
from conftest import ROOT, own
from gudgeon.records.load_knowledge import load_knowledge
from gudgeon.records.shelf_layers import PACKAGE, package_path
from gudgeon.review.as_text import slip_text

WORDS = {
    "cautions/scald.yaml": ("caution scald", "cautions"),
    "materials/brass.yaml": ("material brass", "materials"),
    "rules/P-R1.yaml": ("rule P-R1", "rules"),
    "families/pin/family.yaml": ("family pin", "families"),
}


def test_an_empty_club_has_the_shelf_that_comes_with_the_tool(tmp_path):
    shelf = load_knowledge(tmp_path / "docs/knowledge", "docs/knowledge")
    assert shelf.problems == [] and set(shelf.whose.values()) == {"package"} and shelf.in_place_of == set()
    assert {"P-R1"} <= set(shelf.rules) and not {name for name in shelf.rules if name[0] != "P"}
    assert shelf.rules["P-R1"].where().file == "(gudgeon)/knowledge/rules/P-R1.yaml"
    assert shelf.edited_at("rule", "P-R1", "rules/P-R1.yaml") is None, "no club edits it"


@pytest.mark.parametrize("file", WORDS)
def test_a_file_of_the_club_stands_in_place_of_the_tool_s(tmp_path, file):
    key, store = WORDS[file]
    path = own(tmp_path, file)
    path.write_text(path.read_text() + "# ours\n")
    shelf = load_knowledge(tmp_path / "docs/knowledge", "docs/knowledge")
    assert shelf.problems == [] and shelf.in_place_of == {key} and shelf.whose[key] == "club"
    assert getattr(shelf, store)[key.split()[1]].where().file == f"docs/knowledge/{file}"
    assert shelf.edited_at(*key.split(), file) == f"docs/knowledge/{file}"


@pytest.mark.parametrize("file", WORDS)
def test_a_broken_file_of_the_club_leaves_neither_standing_and_says_so(tmp_path, file):
    key, store = WORDS[file]
    own(tmp_path, file).write_text("nothing: here\n")
    shelf = load_knowledge(tmp_path / "docs/knowledge", "docs/knowledge")
    kind, name = key.split()
    assert name not in getattr(shelf, store) and key in shelf.in_place_of
    assert f"in place of the {kind} {name} that comes with Gudgeon. Until it can be read, neither holds." in str(
        shelf.problems
    )


def test_thresholds_habits_words_and_works_are_laid_over_one_by_one(tmp_path):
    for name, text in (
        ("judgement.yaml", "hot_shop: {is: 38 °C, means: too hot, basis: from memory}\n"),
        ("habits.yaml", "cutting: {risk: 0.1}\n"),
        ("glossary/words.yaml", "words:\n  - {word: flywheel, means: Ours.}\n  - {word: Aa, means: First.}\n"),
        (
            "sources/bibliography.json",
            '[{"id": "iso-1", "type": "book", "title": "Ours", "custom": {"basis": "published"}}]',
        ),
    ):
        (tmp_path / name).parent.mkdir(exist_ok=True)
        (tmp_path / name).write_text(text)
    shelf, below = load_knowledge(tmp_path, "docs/knowledge"), load_knowledge(tmp_path / "none", "docs/knowledge")
    assert shelf.problems == []
    assert float(shelf.judgement["hot_shop"]) == 38 and len(shelf.judgement) == len(below.judgement)
    assert shelf.cutting and (shelf.cutting.risk, shelf.cutting.tool_of) == (0.1, below.cutting.tool_of)
    assert shelf.words[0].word == "Aa" and shelf.sources["iso-1"]["title"] == "Ours"
    assert len(shelf.sources) == len(below.sources)
    assert {"threshold hot_shop", "habit risk", "source iso-1"} <= shelf.in_place_of
    assert {shelf.whose[key] for key in ("habit tool_of", "threshold few_cuts")} == {"package"}


def test_the_tool_s_shelf_is_the_project_s_where_that_holds_the_source(tmp_path):
    assert package_path(ROOT) == "plugins/gudgeon/knowledge" and package_path(tmp_path) is None
    assert gudgeon.open(ROOT).shelves == ("docs/knowledge", "plugins/gudgeon/knowledge")
    assert gudgeon.open(ROOT).knowledge.rules["P-R1"].where().file == "plugins/gudgeon/knowledge/rules/P-R1.yaml"


def test_what_an_environment_inside_a_project_holds_is_not_the_project_s(monkeypatch, tmp_path):
    installed = tmp_path / ".venv/lib/python3.11/site-packages/gudgeon/knowledge"
    monkeypatch.setattr("gudgeon.records.shelf_layers.PACKAGE", type(PACKAGE)(installed, "x", in_project=False))
    assert package_path(tmp_path) is None


@pytest.mark.slow
def test_a_rule_of_the_tool_that_is_edited_in_its_own_repository_shows_in_the_slip(tmp_path, monkeypatch):
    repo = ClubRepo(tmp_path / "club")
    shelf = "plugins/gudgeon/knowledge"
    for name in ("rules/P-R9.yaml", "sources/bibliography.json", "materials/grey-iron.yaml"):
        repo.file(f"{shelf}/{name}", (PACKAGE.folder / name).read_text())
    repo.change("builds/small/fits.yaml", "rule: R1", "rule: P-R9")
    repo.commit("the tool with its shelf")
    monkeypatch.setattr("gudgeon.records.shelf_layers.PACKAGE", type(PACKAGE)(repo.root / shelf, "x", in_project=False))
    repo.change(f"{shelf}/rules/P-R9.yaml", "0.0006, 0.0012", "0.0008, 0.0012")
    assert "P-R9 - F1" in slip_text(review(repo.root))
