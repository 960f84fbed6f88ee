"""The two layers of what is shared: what comes with the tool, and a club's own over it."""

import shutil

import gudgeon
import pytest
from click.testing import CliRunner
from club_repo import ClubRepo, review
from conftest import ROOT, own
from gudgeon.cli import main
from gudgeon.pages.whose import changes, differs, mark
from gudgeon.records.load_knowledge import load_knowledge
from gudgeon.records.shared_files import files_of, item_files
from gudgeon.records.shelf_layers import PACKAGE, package_path
from gudgeon.review.as_text import slip_text
from small_build import rendered

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


def taken(root, *words):
    return CliRunner().invoke(main, ["new", "own", *words, "--on", "2025-04-06", "--root", str(root)])


def read(root):
    return load_knowledge(root / "docs/knowledge", "docs/knowledge")


@pytest.mark.parametrize("key", ["rule P-R1", "caution scald", "material brass", "family pin"])
def test_a_copy_of_what_comes_with_the_tool_is_the_club_s_word_for_word(tmp_path, key):
    kind, name = key.split()
    done = taken(tmp_path, kind, name)
    assert done.exit_code == 0, done.output
    shelf = read(tmp_path)
    assert shelf.problems == [] and shelf.in_place_of == {key} and changes(shelf, key) == []
    assert files_of(shelf, kind, name) == item_files(PACKAGE.folder, kind, name)
    assert (shelf.origins[key].is_of_tool, shelf.origins[key].licence) == (True, "CC-BY-4.0")
    before = {path: path.read_bytes() for path in tmp_path.rglob("*") if path.is_file()}
    again = taken(tmp_path, kind, name)
    assert again.exit_code == 1 and "stands on the club's shelf already" in again.stderr
    assert before == {path: path.read_bytes() for path in tmp_path.rglob("*") if path.is_file()}


def test_what_the_club_changed_and_what_moved_below_is_said(tmp_path, monkeypatch):
    taken(tmp_path, "rule", "P-R9")
    path = tmp_path / "docs/knowledge/rules/P-R9.yaml"
    path.write_text(path.read_text().replace("0.0012]", "0.0014]"))
    shelf = read(tmp_path)
    (said,) = changes(shelf, "rule P-R9")
    assert said.startswith("gives ") and "0.0014" in said and "0.0012" in said.partition("instead of")[2]
    assert shelf.moved_below == set() and (mark(shelf, "rule", "P-R9"), differs(shelf, "rule", "P-R9")) == (
        "ours, in place of Gudgeon’s",
        said,
    )
    assert mark(shelf, "rule", "P-R1") == "Gudgeon’s"
    newer = tmp_path / "newer"
    (newer / "rules").mkdir(parents=True)
    (newer / "rules/P-R9.yaml").write_text((PACKAGE.folder / "rules/P-R9.yaml").read_text() + "note: newer\n")
    shutil.copytree(PACKAGE.folder / "sources", newer / "sources")
    moved = load_knowledge(tmp_path / "docs/knowledge", "docs/knowledge", type(PACKAGE)(newer, "x"))
    assert moved.moved_below == {"rule P-R9"}
    assert differs(moved, "rule", "P-R9").endswith("Gudgeon’s has changed since it was copied")
    listed = taken(tmp_path)
    assert "1 of the club's own, 1 of them in place" in listed.output and said in listed.output


def test_what_does_not_come_with_the_tool_is_told_with_the_nearest_and_nothing_is_written(tmp_path):
    done = taken(tmp_path, "rule", "P-R11")
    assert done.exit_code == 1 and 'no rule "P-R11" comes with Gudgeon. Did you mean "P-R' in done.stderr
    assert not (tmp_path / "docs").exists() and taken(tmp_path, "rule").exit_code == 2


def test_every_card_says_whose_it_is(tmp_path):
    """In a club with one rule of its own, one in place of the tool's and the rest as it came."""
    repo = ClubRepo(tmp_path / "club")
    taken(repo.root, "rule", "P-R9")
    repo.file("docs/knowledge/glossary/words.yaml", "words:\n  - {word: gudgeon pin, means: The metal of ours.}\n")
    pages = {page.uri: page for page in rendered(gudgeon.open(repo.root).club(), {})[0]}
    rules = pages["rules.md"].text
    for name, said in (("R1", "ours<"), ("P-R9", "ours, in place of Gudgeon’s<"), ("P-R1", "Gudgeon’s<")):
        assert said in rules.partition(f'id="{name}"')[2].partition("</th>")[0], name
    assert pages["families/pin.md"].edit is None and pages["rules.md"].edit == "docs/knowledge/rules"
    assert pages["cautions.md"].edit is None and pages["words.md"].edit == "docs/knowledge/glossary/words.yaml"
    assert "means “The metal of ours.” instead of" in pages["words.md"].text
    assert "it says the same as Gudgeon’s" in rules.partition('id="P-R9"')[2].partition("</tr>")[0]
    assert "Ours in place of Gudgeon’s" in pages["share.md"].text and "rule P-R9" in pages["share.md"].text
    for name in ("cautions.md", "metals.md", "sources.md", "unverified.md", "families/index.md", "families/pin.md"):
        assert "Gudgeon’s" in pages[name].text, name
