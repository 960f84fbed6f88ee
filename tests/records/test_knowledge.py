"""The club's shelf: what is wrong there is told, and the rest of the shelf stands."""

import json
import shutil
from pathlib import Path

import gudgeon
import pytest
from conftest import own
from gudgeon.assess.build import assess
from gudgeon.records.load_build import load_build
from gudgeon.records.load_knowledge import load_knowledge
from small_build import FILES, said, write

ROOT = Path(__file__).parent.parent.parent
SHELF = ROOT / "plugins" / "gudgeon" / "knowledge"


@pytest.fixture
def copy(tmp_path):
    for name in ("docs", "builds"):
        shutil.copytree(ROOT / name, tmp_path / name)
    return tmp_path


def edit(path: Path, old: str, new: str) -> None:
    text = path.read_text(encoding="utf-8")
    assert old in text
    path.write_text(text.replace(old, new), encoding="utf-8")


@pytest.mark.parametrize(
    ("file", "old", "new", "message"),
    [
        (
            "rules/A-R1.yaml",
            "per_length: 0.001",
            "per_length: 1 thou",
            'docs/knowledge/rules/A-R1.yaml:5:21: gives: expected a length per the same length, which has no unit: "0.001" is one thou per inch. Write one number, or [least, most].',
        ),
        (
            "rules/A-R1.yaml",
            "rule: A-R1",
            "rule: A-R11",
            'docs/knowledge/rules/A-R1.yaml:1:7: rule: the id differs from the file\'s name. Found "A-R11". Write "A-R1", or rename the file.',
        ),
        (
            "rules/A-R1.yaml",
            "grade: member rule",
            "grade: typical",
            'docs/knowledge/rules/A-R1.yaml:13:8: grade: "typical" is not one of the words for this. Known: club rule, hearsay, member rule, trade rule, withdrawn.',
        ),
        (
            "materials/brass.yaml",
            "source: carvill-1993\nwhere",
            "source: carvill-1939\nwhere",
            'docs/knowledge/materials/brass.yaml:4:9: brass: the bibliography has no "carvill-1939". Did you mean "carvill-1993"?',
        ),
        (
            "cautions/scald.yaml",
            "basis: published",
            "basis: hearsay",
            'docs/knowledge/cautions/scald.yaml:11:8: basis: "hearsay" is not one of the words for this. Known: common practice, from memory, published, seen in a secondary print.',
        ),
    ],
)
def test_wrong_shelf(copy, file, old, new, message):
    edit(own(copy, file), old, new)
    assert message in [
        str(problem) for problem in load_knowledge(copy / "docs" / "knowledge", "docs/knowledge").problems
    ]


def test_a_withdrawn_rule_serves_nothing(copy):
    edit(copy / "docs/knowledge/rules/A-R4.yaml", "grade: club rule", "grade: withdrawn")
    assert [str(problem) for problem in gudgeon.open(copy).club().problems] == [
        "builds/harrow-pond/fits.yaml:19:11: A-F02: rule A-R4 is withdrawn. Cite another."
    ]


def test_a_build_overrides_the_clubs_material(club):
    build = next(each for each in club.builds if each.id == "harrow-pond")
    found = assess(build, club.knowledge)
    assert found.metals["ci"].cte == pytest.approx(11.0e-6) and found.metals["ci"].density == 7200, (
        "density comes from the club's grey iron"
    )
    assert club.knowledge.materials["grey-iron"].cte == pytest.approx(10.8e-6)
    assert found.metals["bab"].cte == found.metals["ci"].cte and found.metals["bab"].governed_by == "ci"


BAD_EXPRESSIONS = {
    "size / 0": "it divides by nought (character 6).",
    "size + 1": '"+" between a length and a plain number: give both the same unit (character 6).',
    "0.001 * wear": 'no quantity "wear". Known: size, bore, stroke, rod, speed, expansion_hole, expansion_shaft (character 9).',
    "(" * 1000 + "size" + ")" * 1000: "an expression has at most 200 characters; this has 2004 (character 201).",
    "size ^ 1000000": "an exponent is a whole number up to 4; for a root write sqrt(…) (character 8).",
}


@pytest.mark.slow
@pytest.mark.parametrize("text", BAD_EXPRESSIONS, ids=lambda text: text[:20])
def test_a_bad_expression_is_told_with_its_place_and_harms_no_other_rule(copy, text):
    edit(copy / "docs/knowledge/rules/A-R2.yaml", "{per_length: 0.001, plus: 0.001 in}", f'{{expression: "{text}"}}')
    club = gudgeon.open(copy).club()
    assert [str(each) for each in club.problems] == [
        f"docs/knowledge/rules/A-R2.yaml:5:21: gives: {BAD_EXPRESSIONS[text]}"
    ]
    assert "A-R2" not in club.knowledge.rules and {"A-R1", "A-R3", "P-R13"} <= set(club.knowledge.rules)
    for build in club.builds:
        found = assess(build, club.knowledge)
        assert all(fit.state for fit in found.fits.values())
        if build.id == "harrow-pond":
            assert found.fits["A-F01"].rule_low is None and found.fits["A-F01"].clearance is not None
            assert "whose file cannot be read" in said(found.fits["A-F01"].want_from[0])


def test_a_fit_that_has_only_an_unreadable_rule_says_so(tmp_path, copy):
    edit(copy / "docs/knowledge/rules/A-R1.yaml", "per_length: 0.001", "expression: size / 0")
    shelf_now = load_knowledge(copy / "docs" / "knowledge", "docs/knowledge")
    fits = FILES["fits.yaml"].replace("want: [0.050 mm, 0.080 mm]", "rule: A-R1")
    assert "rule: A-R1" in fits
    build = load_build(write(tmp_path / "small", fits=fits), "builds/small", shelf_now)
    found = assess(build, shelf_now).fits["F1"]
    assert build.problems == [] and found.state == "no limit" and "cannot be read" in said(found.causes[-1])


@pytest.mark.parametrize(
    ("file", "old", "new", "message"),
    [
        (
            "rules/B-R5.yaml",
            "copied_from: B-R4",
            "copied_from: B-R44",
            'rules/B-R5.yaml:7:14: B-R5: no rule "B-R44". Did you mean "B-R4"?',
        ),
        (
            "rules/A-R1.yaml",
            "hole_materials: [grey-iron]",
            "hole_materials: [gray-iron]",
            'rules/A-R1.yaml:9:18: A-R1: no material of the club "gray-iron". Did you mean "grey-iron"?',
        ),
        (
            "cautions/flywheel-falls.yaml",
            "figure: wheel-mass",
            "figure: wheel-weight",
            'cautions/flywheel-falls.yaml:9:14: wheel-weight: no computed figure that a caution can watch "wheel-weight". Known: big-end-pressure',
        ),
        (
            "cautions/flywheel-falls.yaml",
            "over: 25 kg",
            "over: 25 ft/min",
            'cautions/flywheel-falls.yaml:9:32: flywheel-falls: "ft/min" is not a unit of mass.',
        ),
        (
            "cautions/flywheel-falls.yaml",
            "over: 25 kg",
            "over: 25 kg, under: 3 kg",
            "a danger has one limit. Write either",
        ),
        (
            "families/pin/family.yaml",
            "family: pin",
            "family: rod",
            'families/pin/family.yaml:1:9: family: the family differs from its folder\'s name. Found "rod". Write "pin".',
        ),
        (
            "families/pin/starter/parts/pin.yaml",
            "kind: od",
            "kind: diameter",
            '"diameter" is not one of the words for this.',
        ),
    ],
)
def test_names_on_the_shelf_lead_somewhere(copy, file, old, new, message):
    edit(own(copy, file), old, new)
    problems = [str(each) for each in gudgeon.open(copy).club().problems]
    assert any(message in each for each in problems), problems


def test_every_entry_of_the_shelf_says_on_what_ground_it_stands(club):
    for store in (club.knowledge.rules, club.knowledge.cautions, club.knowledge.materials):
        for name, record in store.items():
            assert record.basis, name
            assert record.basis == "common practice" or record.source, f"{name}: {record.basis} needs its source"
    for key, entry in club.knowledge.sources.items():
        assert entry["custom"]["basis"] in ("published", "seen in a secondary print", "from memory"), key


def test_every_source_is_used(club):
    """A list of sources that nothing rests on would claim more than is there."""
    places = [
        path
        for room in ("calc", "plugins")
        for path in (ROOT / room).rglob("*")
        if path.suffix in (".py", ".csv", ".j2")
    ]
    places += [
        *(ROOT / "docs" / "knowledge").rglob("*.yaml"),
        *SHELF.rglob("*.yaml"),
        *(ROOT / "builds").rglob("*.yaml"),
    ]
    text = "\n".join(path.read_text(encoding="utf-8") for path in places)
    assert [key for key in club.knowledge.sources if key not in text] == []


@pytest.mark.parametrize(
    ("change", "said"),
    [
        ({"author": 5}, "author is not as CSL-JSON has it"),
        ({"author": [5]}, "author.0 is not as CSL-JSON has it"),
        ({"author": [{"literal": 5}]}, "author.0.literal"),
        ({"issued": "x"}, "issued is not as CSL-JSON has it"),
        ({"issued": {"date-parts": [["x"]]}}, "issued.date-parts"),
        ({"issued": {"date-parts": [[10**30]]}}, "issued.date-parts"),
        ({"custom": 5}, "custom is not as CSL-JSON has it"),
        ({"language": 7}, "language is not as CSL-JSON has it"),
        ({"type": "nonsense"}, "type is not as CSL-JSON has it"),
        ({"URL": "javascript:alert(1)"}, "URL is not as CSL-JSON has it"),
        ({"titel": "x"}, 'unknown key "titel". Did you mean "title"?'),
    ],
)
def test_a_work_that_is_not_sound_is_told_at_its_line_and_takes_no_page_down(tmp_path, change, said):
    from gudgeon.pages.citations import Bibliography

    folder = tmp_path / "sources"
    folder.mkdir()
    works = [
        {"id": "sound", "type": "book", "title": "Sound"},
        {"id": "evil", "type": "book", "title": "Evil", **change},
    ]
    (folder / "bibliography.json").write_text(json.dumps(works, indent=1))
    shelf = load_knowledge(tmp_path, "docs/knowledge")
    (problem,) = shelf.problems
    assert said in str(problem) and str(problem).startswith("docs/knowledge/sources/bibliography.json:8:1: evil: ")
    bibliography = Bibliography(shelf.sources)
    assert "evil" in bibliography.cite(str, "evil") and "Sound" in bibliography.entry("sound")


@pytest.mark.parametrize("text", ["{}", "[1]", '[{"id": 5}]', "[" * 100_000, "x"])
def test_a_bibliography_that_is_no_list_of_works(tmp_path, text):
    (tmp_path / "sources").mkdir()
    (tmp_path / "sources" / "bibliography.json").write_text(text)
    said = [problem.text for problem in load_knowledge(tmp_path, "docs/knowledge").problems]
    assert sorted(said) == [
        "Until it can be read, only the works that come with Gudgeon are known.",
        "this is not a CSL-JSON list of entries, each with an id.",
    ]
