"""Records of earlier formats are brought to this one: no problem is left, and no reading, figure or comment is lost."""

import difflib
import shutil
from collections import Counter
from pathlib import Path

import pytest
import yaml
from click.testing import CliRunner
from gudgeon.cli import main
from gudgeon.migrations.migrating import LosesSomething, migration_of
from gudgeon.migrations.texts import Rewritten, Step, Texts
from gudgeon.project.project import Project
from gudgeon.records.formats import FORMAT
from gudgeon.records.load_knowledge import PACKAGE

pytestmark = pytest.mark.slow  # each reads a whole club, and some start other versions of the tool

FIRST = Path(__file__).parent / "first_format"


@pytest.fixture
def club(tmp_path) -> Path:
    shutil.copytree(FIRST, tmp_path / "club")
    return tmp_path / "club"


def run(club: Path, *words: str):
    return CliRunner().invoke(main, [*words, "--root", str(club)], catch_exceptions=False)


def texts(club: Path) -> dict[str, str]:
    return {
        path.relative_to(club).as_posix(): path.read_bytes().decode("utf-8")
        for path in sorted(club.rglob("*.*"))
        if path.is_file() and ".git" not in path.parts and path.suffix in (".yaml", ".md")
    }


def problems(club: Path) -> list[str]:
    project = Project.open(club, cache=False)
    return [str(one) for one in (*project.build("small").problems, *project.knowledge.problems)]


def scalars(text: str) -> Counter[str]:
    head = text.split("---\n")[1] if text.startswith("---") else text
    return Counter(token.value for token in yaml.scan(head) if isinstance(token, yaml.ScalarToken))


def test_the_first_format_is_refused_and_named_then_migrated_without_a_problem(club):
    told = CliRunner().invoke(main, ["check", str(club)])
    assert told.exit_code == 1 and "6 files are written as an earlier version" in told.stderr, told.stderr
    assert "gudgeon migrate --show" in told.stderr
    assert run(club, "migrate").exit_code == 0
    assert problems(club) == []
    build = Project.open(club, cache=False).build("small")
    assert build.sound_head.format == FORMAT == 2
    assert [(row.id, row.date.isoformat(), [one.text for one in row.reads]) for row in build.rows] == [
        ("s1", "2025-02-04", ["49.9450 mm"]),
        ("s2", "2025-02-05", ["49.9460 mm", "49.945 mm"]),
    ]
    assert build.rows[1].note == "read on: 2025-02-05, not before"
    assert (build.cuts[0].date.isoformat(), build.cuts[0].asked.text) == ("2025-02-03", "0.100 mm")
    assert build.reviews[0].date.isoformat() == "2025-02-06" and build.reviews[0].says == "good # enough"
    assert build.operations["TURN"].set_up.surface == "piston.skirt"
    assert build.instalments[0].head.date.isoformat() == "2025-02-04"


def test_every_scalar_and_comment_is_kept_in_its_place(club):
    before = texts(club)
    run(club, "migrate")
    after = texts(club)
    assert after.keys() == before.keys()
    gone, come = Counter(), Counter()
    for name, text in before.items():
        gone += scalars(text) - scalars(after[name])
        come += scalars(after[name]) - scalars(text)
    assert gone == {"on": 6}
    general = "Local rules and licensed practice come first."
    assert come == {"date": 5, "surface": 1, "format": 1, "2": 1, "codes": 1, general: 1}
    for name, text in before.items():
        lines = [line for line in difflib.ndiff(text.splitlines(), after[name].splitlines()) if line[0] in "-+"]
        for line in lines:  # nothing else moved on the line
            assert line[0] == "+" or any(
                line[2:].replace(old, new, 1) == other[2:]
                for other in lines
                for old, new in (("on:", "date:"), ('"on":', "date:"), ("on:", "surface:"))
                if other[0] == "+"
            ), (name, line)
    assert after["builds/small/log/01-first-cut.md"].endswith("on: is a word of this text, and # is no comment here.\n")


def test_show_writes_nothing_and_shows_what_would_be_written(club):
    before = texts(club)
    shown = run(club, "migrate", "--show")
    assert shown.exit_code == 0 and texts(club) == before
    assert "+      surface: piston.skirt   # it ran on the skirt" in shown.stdout.splitlines()
    assert "+format: 2" in shown.stdout.splitlines() and "Nothing was written" in shown.stderr
    run(club, "migrate")
    after = texts(club)
    assert run(club, "migrate", "--show").stdout == "" and run(club, "migrate").exit_code == 0
    assert texts(club) == after


def test_line_ends_and_the_mark_of_an_editor_stay(club):
    path = club / "builds" / "small" / "cuts.yaml"
    path.write_bytes(b"\xef\xbb\xbf" + path.read_bytes().replace(b"\n", b"\r\n"))
    run(club, "migrate")
    raw = path.read_bytes()
    assert raw.startswith(b"\xef\xbb\xbfcuts:\r\n") and raw.count(b"\n") == raw.count(b"\r\n") == 2
    assert b"{date: 2025-02-03" in raw


def test_a_newer_format_is_read_by_nothing_and_left_alone(club):
    head = club / "builds" / "small" / "build.yaml"
    head.write_text("format: 3\n" + head.read_text(encoding="utf-8") + "unheard_of: yes\n", encoding="utf-8")
    build = Project.open(club, cache=False).build("small")
    assert [str(one.where) for one in build.problems] == ["builds/small/build.yaml:1:9"] and build.head is None
    assert "none above 2" in build.problems[0].text
    before = texts(club)
    refused = run(club, "migrate")
    assert refused.exit_code == 1 and "none above 2" in refused.stderr and texts(club) == before
    assert CliRunner().invoke(main, ["check", str(club)]).exit_code == 1


def test_a_step_that_loses_something_writes_nothing(club):
    def forgets(texts: Texts) -> Rewritten:
        name = "builds/small/cuts.yaml"
        return Rewritten({name: texts.texts[name].replace(", tool: brazed carbide", "")})

    project = Project.open(club, cache=False)
    steps = (Step("forgets", 2, "forgets the tool", forgets),)
    with pytest.raises(LosesSomething, match="brazed carbide"):
        migration_of(project.settings, ["small"], lambda name: (club / name).read_text(encoding="utf-8"), steps)


def test_what_would_have_new_problems_is_not_written(club, monkeypatch):
    def spoils(texts: Texts) -> Rewritten:
        name = "builds/small/fits.yaml"
        return Rewritten({name: "fits: {F1: nothing}\n"})

    monkeypatch.setattr("gudgeon.migrations.migrating.STEPS", (Step("spoils", 2, "spoils", spoils),))
    before = texts(club)
    refused = run(club, "migrate")
    assert refused.exit_code == 1 and "fits.yaml:1" in refused.stderr and texts(club) == before


def test_records_of_today_without_a_format_have_no_problem_and_are_only_numbered(tmp_path):
    from small_build import write

    write(tmp_path / "builds" / "small")
    (tmp_path / "docs" / "knowledge").mkdir(parents=True)
    assert Project.open(tmp_path, cache=False).build("small").sound_head.format == 1
    shown = run(tmp_path, "migrate", "--show").stdout.splitlines()
    assert [line for line in shown if line[:1] in "+-" and line[:3] not in ("+++", "---")] == ["+format: 2"]


def test_half_a_build_and_a_file_that_cannot_be_read_are_left_alone(club):
    (club / "builds" / "small" / "cuts.yaml").write_text("cuts: [\n", encoding="utf-8")
    (club / "builds" / "half").mkdir()
    (club / "builds" / "half" / "fits.yaml").write_text("fits: {}\n", encoding="utf-8")
    done = run(club, "migrate")
    assert done.exit_code == 0 and texts(club)["builds/small/cuts.yaml"] == "cuts: [\n"
    assert "date: 2025-02-04" in texts(club)["builds/small/readings/2025-02-04-skirt.yaml"]


RULE = """\
rule: R{number}
says: 'one in a thousand'
kind: skirt
applies_to: 'iron piston in iron bore'
gives: {{per_length: [0.001, 0.0016]}}
valid: 'any'
said_by: 'a member'
basis: common practice
grade: member rule
{more}note: 'of ours'   # the end
"""
IN_RULES = {
    1: "outcomes: {ran_free: 6, tight: 0}   # counted at the show\n",
    2: """\
told:
  # from letters
  - {engine: 'Old "Ned"', result: ran_free, hours: 12.50 h, told: 2024-05-01}   # by post
  - engine: Blue one
    hours: 3 h
    result: tight
# of what follows
""",
    3: "told: [{engine: A, result: nipped, hours: 1 h}, {result: ran_free, engine: B, hours: 2.0 h, told: 2023-01-02}]\n",
    4: "outcomes:\n  ran_free: 1\n  # once\n  seized: 2\n",
}


def test_outcomes_leave_the_rules_for_the_file_of_their_club_with_every_count_digit_and_comment(club):
    shelf = club / "docs" / "knowledge"
    (shelf / "rules").mkdir()
    for number, more in IN_RULES.items():
        (shelf / "rules" / f"R{number}.yaml").write_text(RULE.format(number=number, more=more), encoding="utf-8")
    (shelf / "sharing.yaml").write_text("club: 'Mill: Pond'\nlicence: CC-BY-4.0\n", encoding="utf-8")
    digest = f"sha256:{'0' * 64}"
    brought = f"{{came_from: x, club: Far Club, licence: CC0-1.0, digest: '{digest}', as_brought: '{digest}', on: 2025-01-01}}"
    (shelf / "origins.yaml").write_text(f"origins:\n  rule R4: {brought}\n", encoding="utf-8")
    before = Project.open(club, cache=False).knowledge
    done = run(club, "migrate")
    assert done.exit_code == 0, done.stderr
    after = Project.open(club, cache=False).knowledge
    assert after.problems == [] and not any(rule.outcomes or rule.told for rule in after.rules.values())
    assert set(after.outcomes) == {"mill-pond", "far-club"}
    assert _told(after) == _told(before)
    assert after.outcomes["far-club"].counts == {"R4": {"ran_free": 1, "seized": 2}}
    text = (shelf / "outcomes" / "mill-pond.yaml").read_text(encoding="utf-8")
    for kept in ("12.50 h", "2.0 h", "# counted at the show", "# from letters", "# by post"):
        assert kept in text
    for number in IN_RULES:
        rule = (shelf / "rules" / f"R{number}.yaml").read_text(encoding="utf-8")
        assert rule == RULE.format(number=number, more="# of what follows\n" if number == 2 else "")
    assert run(club, "migrate", "--show").stdout == ""


def _told(knowledge) -> list:
    of_clubs = knowledge.outcomes.values()
    counts = [(one.club, rule, counts) for one in of_clubs for rule, counts in one.counts.items()]
    told = [(one.club, entry.model_dump(mode="json")) for one in of_clubs for entry in one.told]
    return sorted(map(repr, [*counts, *told]))


def test_copies_of_the_shelf_of_the_tool_go_where_they_are_wanted_gone_and_what_was_changed_stays(club):
    shelf = club / "docs" / "knowledge"
    run(club, "migrate")
    (shelf / "rules").mkdir()
    for name in ("P-R1", "P-R10"):
        shutil.copy(PACKAGE.folder / "rules" / f"{name}.yaml", shelf / "rules")
    changed = (shelf / "rules" / "P-R10.yaml").read_text(encoding="utf-8") + "# ours\n"
    (shelf / "rules" / "P-R10.yaml").write_text(changed, encoding="utf-8")
    before = Project.open(club, cache=False)
    assert run(club, "migrate").exit_code == 0 and (shelf / "rules" / "P-R1.yaml").exists()
    shown = run(club, "migrate", "--drop-copies", "--show")
    assert "docs/knowledge/rules/P-R1.yaml" in shown.stderr and (shelf / "rules" / "P-R1.yaml").exists()
    assert run(club, "migrate", "--drop-copies").exit_code == 0
    assert [path.name for path in (shelf / "rules").iterdir()] == ["P-R10.yaml"]
    after = Project.open(club, cache=False)
    assert after.knowledge.problems == [] and after.knowledge.rules.keys() == before.knowledge.rules.keys()


def test_what_is_no_format_is_a_problem_and_is_left_alone_and_a_shelf_without_builds_is_migrated(club):
    head = club / "builds" / "small" / "build.yaml"
    for said in ("0", "two", "-1", "1.5", "9" * 30):
        head.write_text(
            f"format: {said}\n" + "\n".join(head.read_text(encoding="utf-8").split("\n")[-9:]), encoding="utf-8"
        )
        before = head.read_text(encoding="utf-8")
        assert any("format" in one for one in problems(club)), said
        run(club, "migrate")
        assert head.read_text(encoding="utf-8") == before
    shutil.rmtree(club / "builds")
    (club / "builds").mkdir()
    caution = club / "docs" / "knowledge" / "cautions" / "iron-dust.yaml"
    caution.write_text(caution.read_text(encoding="utf-8").replace("codes:", "# codes:"), encoding="utf-8")
    done = run(club, "migrate")
    assert done.exit_code == 0 and "1 file was written, 0 builds" in done.stderr
