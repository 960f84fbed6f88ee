"""The club's shelf: what is wrong there is told, and the rest of the shelf stands."""

import shutil
from pathlib import Path

import pytest
from gudgeon.assess.build import assess
from gudgeon.records.folder import load_club
from gudgeon.records.shelf import load_knowledge

ROOT = Path(__file__).parent.parent.parent


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
            "cautions/iron-dust.yaml",
            "basis: common practice",
            "basis: hearsay",
            'docs/knowledge/cautions/iron-dust.yaml:9:8: basis: "hearsay" is not one of the words for this. Known: common practice, from memory, published, seen in a secondary print.',
        ),
    ],
)
def test_wrong_shelf(copy, file, old, new, message):
    edit(copy / "docs" / "knowledge" / file, old, new)
    assert message in [
        str(problem) for problem in load_knowledge(copy / "docs" / "knowledge", "docs/knowledge").problems
    ]


def test_a_withdrawn_rule_serves_nothing(copy):
    edit(copy / "docs/knowledge/rules/A-R4.yaml", "grade: club rule", "grade: withdrawn")
    assert [str(problem) for problem in load_club(copy).problems] == [
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
    places += [*(ROOT / "docs" / "knowledge").rglob("*.yaml"), *(ROOT / "builds").rglob("*.yaml")]
    text = "\n".join(path.read_text(encoding="utf-8") for path in places)
    assert [key for key in club.knowledge.sources if key not in text] == []
