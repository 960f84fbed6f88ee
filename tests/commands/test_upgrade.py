"""Two versions of the tool over one club: what moves is told with its cause, and what cannot be compared is never called unmoved."""

import json
import shutil
import subprocess
import sys
import zipfile
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path

import pytest
from click.testing import CliRunner
from conftest import ROOT
from gudgeon.cli import main
from gudgeon.club.tool import of_wheel
from gudgeon.project.project import Project
from gudgeon.project.writing import desk
from gudgeon.review.as_markdown import slip_markdown
from gudgeon.review.as_text import slip_text
from gudgeon.review.slip import ReviewSlip
from gudgeon.upgrade import causes, shelves, upgrading
from gudgeon.upgrade.other_tool import CannotCompare, OtherTool, lacking, other_tool
from gudgeon.upgrade.pin import CannotPin, new_pin, unpinned_wheel
from gudgeon.upgrade.values import Head, digests, values_of
from small_build import write

pytestmark = pytest.mark.slow  # each reads a whole club, and some start other versions of the tool

SAME = "No number moves. The records are the same."


@pytest.fixture(scope="module")
def club(tmp_path_factory) -> Path:
    root = tmp_path_factory.mktemp("club")
    write(root / "builds" / "small")
    (root / "docs" / "knowledge").mkdir(parents=True)
    return root


@pytest.fixture(scope="module")
def lines(club) -> list[str]:
    """The values of the club, which takes most of the time of a comparison."""
    return list(values_of(Project.open(club, cache=False)))


@dataclass(frozen=True)
class Made(OtherTool):
    """Another version, whose values are made up of the shelf that it is given."""

    make: Callable[[Path], list[dict]] = lambda shelf: []

    def values(self, root: Path, to: Path) -> None:
        shelf = self.path[0] / "later" / "knowledge"
        to.write_text("".join(json.dumps(line) + "\n" for line in self.make(shelf)), encoding="utf-8")


@pytest.fixture
def slip(club, lines, tmp_path, monkeypatch):
    """slip(bend, bend_was): the slip of this version's values, bent, against those of a later one that are bent otherwise."""

    def compared(bend=lambda lines, shelf: None, bend_was=lambda lines, shelf: None) -> ReviewSlip:
        def make(shelf: Path) -> list[dict]:
            later = [json.loads(line) for line in lines]
            later[0] |= {"digest": "other", "package": str(tmp_path / "later")}
            bend(later, shelf)
            return later

        was = [json.loads(line) for line in lines]
        bend_was(was, tmp_path)
        monkeypatch.setattr(upgrading, "values_of", lambda project: map(json.dumps, was))
        return upgrading.slip_between(
            Project.open(club, cache=False), Made("the later one", Path(sys.executable), (tmp_path,), make)
        )

    return compared


def set_value(line: dict, address: str, value) -> None:
    entry = next(entry for entry in line["values"] if "/".join(entry[0]) == address)
    entry[2] = value


def test_equal_values_of_all_builds_are_said_not_to_move(slip):
    same = slip()
    assert same.nothing_moved and same.assessed == ["small"] and SAME in slip_text(same)


def test_a_build_that_one_version_cannot_work_out_is_first_and_never_unmoved(slip):
    problem = {"file": "builds/small/fits.yaml", "line": 3, "column": 2, "about": "F1", "text": "too new."}

    def spoil(lines, shelf):
        lines[1] |= {"worked_out": False, "problems": [problem], "values": [], "kinds": []}

    later, earlier, both = slip(spoil), slip(bend_was=spoil), slip(spoil, spoil)
    assert [(one.kind, one.file, one.line) for one in later.blockers] == [("record", "builds/small/fits.yaml", 3)]
    assert earlier.blockers == [] and "nothing can be said of what moved in it" in earlier.notes[0]
    for told in (later, earlier, both):
        assert told.not_worked_out == ["small"] and not told.nothing_moved
        for text in (slip_text(told), slip_markdown(told)):
            assert (
                "No number moves" not in text
                and "no fit moved" not in text
                and "1 build not worked out" in text.lower()
            )


def test_a_fit_that_goes_out_is_told_with_its_columns_and_its_cause(slip):
    def bend(lines, shelf):
        for address, value in (("state", "out"), ("conformity", "out"), ("clearance", 0.2), ("look", True)):
            set_value(lines[1], f"fit/F1/{address}", value)

    told = slip(bend)
    (fit,) = told.fits
    assert (fit.alarm, fit.now.clearance, fit.was.state) == ("now out", 0.2, "in") and told.moved == 4
    assert [one.record for one in fit.causes] == ["tool"] and "1 fit WENT OUT" in slip_text(told)
    assert "the tool, " in slip_markdown(told)


def test_what_a_later_version_has_beside_and_states_that_are_not_known_here_are_told(slip):
    def bend(lines, shelf):
        lines[1]["values"].append([["fit", "F1", "never heard of"], 0, "in"])
        set_value(lines[1], "fit/F1/state", "a state of tomorrow")

    told = slip(bend)
    assert told.fits == [] and told.moved == 2
    (change,) = told.subjects
    assert (change.subject, change.id, change.values[0].now) == ("fit", "F1", "a state of tomorrow")
    assert "a state of tomorrow" in slip_text(told)


@pytest.mark.parametrize(
    ("bend", "why"),
    [
        (lambda lines, shelf: lines[0].update(format="gudgeon-values-2"), "no line of values: format"),
        (lambda lines, shelf: lines.pop(), "end too early"),
        (lambda lines, shelf: lines[1].update(build="other"), "stand where those of small should"),
        (lambda lines, shelf: lines[0].update(builds=["small", "more"]), "reads other builds"),
        (lambda lines, shelf: set_value(lines[1], "fit/F1/clearance", {"a": 1}), "neither a number"),
        (lambda lines, shelf: set_value(lines[1], "fit/F1/state", "in\u202e"), "cannot be seen"),
    ],
)
def test_values_that_are_none_are_no_comparison(slip, bend, why):
    with pytest.raises(CannotCompare, match=why):
        slip(bend)


def test_an_empty_club_is_not_said_to_have_moved_nothing(slip):
    def empty(lines, shelf):
        lines[:] = [lines[0] | {"builds": []}]

    told = slip(empty, empty)
    assert not told.nothing_moved and slip_text(told).splitlines()[1] == "Nothing was compared."


def test_a_record_of_the_shelf_is_the_cause_where_putting_it_back_alone_moves_the_value_back(
    slip, tmp_path, monkeypatch
):
    """The later version has P-R1 otherwise, P-R2 too, no P-R9, and a new P-R5; the values hang on P-R1, P-R5 and the tool."""
    earlier, later = tmp_path / "earlier", tmp_path / "later" / "knowledge"
    for folder, names in ((earlier, (1, 2, 9)), (later, (1, 2, 5))):
        (folder / "rules").mkdir(parents=True)
        for number in names:
            (folder / "rules" / f"P-R{number}.yaml").write_text(f"{folder.name} {number}", encoding="utf-8")
    monkeypatch.setattr(causes, "SHELF", earlier)

    def bend_was(lines, shelf):
        lines[0]["shelf"] = digests(earlier)

    def bend(lines, shelf):
        lines[0]["shelf"] = digests(shelf)
        if "knowledge" in (shelf / "rules" / "P-R1.yaml").read_text(encoding="utf-8"):
            set_value(lines[1], "fit/F1/clearance", 0.07)
        if (shelf / "rules" / "P-R5.yaml").exists():
            lines[1]["values"].append([["rule", "P-R5", "low"], 0, "0.1"])
        set_value(lines[1], "feature/piston.skirt/size", 49.9)

    told = slip(bend, bend_was)
    assert [cause.record for cause in told.fits[0].causes] == ["rule P-R1"] and not told.fits[0].unproved
    by = {(one.subject, one.id): [cause.record for cause in one.causes] for one in told.subjects if not one.unproved}
    assert by == {("feature", "piston.skirt"): ["tool"], ("rule", "P-R5"): ["rule P-R5"]}
    assert {(one.change, one.id) for one in told.newer if one.what == "rule"} == {
        ("changed", "P-R1"),
        ("changed", "P-R2"),
        ("new", "P-R5"),
        ("withdrawn", "P-R9"),
    }
    assert "Withdrawn in the tool (1): rule P-R9" in slip_text(told)


def test_a_moved_value_that_was_not_tried_is_not_put_down_to_anything(slip):
    def bend(lines, shelf):  # its shelf is not at hand
        lines[0] |= {"shelf": {"judgement.yaml": "x"}, "package": "/nowhere"}
        set_value(lines[1], "fit/F1/clearance", 0.07)

    told = slip(bend, lambda lines, shelf: lines[0].update(shelf={}))
    assert told.fits[0].causes == [] and told.fits[0].unproved
    assert "not worked out which of the changed records" in slip_markdown(told)


def test_new_and_withdrawn_keys_are_listed_by_the_topmost():
    head = {"version": "1", "digest": "d", "records_format": 2, "builds": []}
    was = Head.model_validate({**head, "keys": {"build": ["name", "old", "old.part"]}})
    now = Head.model_validate({**head, "keys": {"build": ["name", "new", "new.part"], "wheel": ["a"]}})
    told = [(one.change, one.id) for one in shelves.newer(was, now, Path("none"))]
    assert told == [("new", "build: new"), ("withdrawn", "build: old"), ("new", "wheel: a")]


def test_what_is_no_version_of_the_tool_is_told(tmp_path):
    quiet = {"root": tmp_path, "tell": lambda text: None}
    (tmp_path / "notes.md").write_text("", encoding="utf-8")
    (tmp_path / "gudgeon-9-py3-none-any.whl").write_text("no archive", encoding="utf-8")
    (tmp_path / "requirements.txt").write_text("mkdocs==1.6\n", encoding="utf-8")
    for name, why in (
        (".", "is no version of the tool"),
        ("notes.md", "neither a wheel nor a Python"),
        ("gudgeon-9-py3-none-any.whl", "is no wheel"),
        ("requirements.txt", "pins no wheel"),
    ):
        with pytest.raises(CannotCompare, match=why):
            other_tool(tmp_path / name, **quiet)


def test_a_wheel_that_would_write_outside_its_folder_is_not_unpacked(tmp_path):
    from gudgeon.upgrade import other_tool as module

    wheel = tmp_path / "gudgeon-9-py3-none-any.whl"
    with zipfile.ZipFile(wheel, "w") as archive:
        archive.writestr("../outside.py", "")
    (tmp_path / "in").mkdir()
    with pytest.raises(CannotCompare, match="outside its folder"):
        module._unpack(wheel, tmp_path / "in")
    assert not (tmp_path / "outside.py").exists()


def test_libraries_are_held_to_a_lock_line_by_line():
    here = (
        "click==0.0.1 \\\n    --hash=sha256:00\nno-such-library==1 ; sys_platform == 'win32' \\\n    --hash=sha256:00\n"
    )
    assert lacking(here) == ["click 0.0.1"]
    assert lacking("no-such-library==1 \\\n    --hash=sha256:00\n") == ["no-such-library 1"]


def test_the_pin_is_changed_whole_and_an_edit_by_hand_is_not_lost(tmp_path):
    def wheel(version: str) -> Path:
        file = tmp_path / f"gudgeon-{version}-py3-none-any.whl"
        with zipfile.ZipFile(file, "w") as archive:
            archive.writestr("gudgeon/club/requirements.lock", "click==8.1 \\\n    --hash=sha256:00\n")
            archive.writestr(f"gudgeon-{version}.dist-info/METADATA", f"Name: gudgeon\nVersion: {version}\n")
        return file

    root = tmp_path / "pinned"
    (root / "tool").mkdir(parents=True)
    old = of_wheel(wheel("1.0"))
    (root / old.path).write_bytes(old.wheel)
    (root / "requirements.txt").write_text(old.requirements(), encoding="utf-8")
    assert unpinned_wheel(root) is None
    with desk(root, print) as at:
        new_pin(root, wheel("2.0")).write(at)
    assert [path.name for path in (root / "tool").iterdir()] == ["gudgeon-2.0-py3-none-any.whl"]
    text = (root / "requirements.txt").read_text(encoding="utf-8")
    assert text == of_wheel(wheel("2.0")).requirements()
    shutil.copy(wheel("3.0"), root / "tool")
    assert unpinned_wheel(root).name == "gudgeon-3.0-py3-none-any.whl"
    (root / "requirements.txt").write_text(text + "mkdocs-extra==1\n", encoding="utf-8")
    with pytest.raises(CannotPin, match="mkdocs-extra==1"):
        new_pin(root, wheel("3.0"))
    (root / "requirements.txt").write_text("mkdocs\n", encoding="utf-8")
    with pytest.raises(CannotPin, match="pins no wheel"):
        new_pin(root, wheel("3.0"))


@pytest.fixture(scope="module")
def doctored(tmp_path_factory) -> Path:
    """A work tree of the tool in which one formula has another constant."""
    tree = tmp_path_factory.mktemp("doctored")
    for folder in ("plugins", "calc"):
        shutil.copytree(ROOT / folder, tree / folder, ignore=shutil.ignore_patterns("__pycache__"))
    formulas = tree / "calc" / "gudgeon_calc" / "engine.py"
    text = formulas.read_text(encoding="utf-8")
    assert text.count("return 2 * stroke * speed") == 1
    formulas.write_text(text.replace("return 2 * stroke * speed", "return 2.2 * stroke * speed"), encoding="utf-8")
    (tree / "pyproject.toml").write_text('[project]\nname = "gudgeon"\nversion = "0.3.0"\n', encoding="utf-8")
    return tree


def test_two_real_versions_tell_exactly_what_the_changed_formula_moves(club, doctored, tmp_path):
    done = CliRunner().invoke(
        main,
        [
            *["upgrade", "--show", "--form", "json", "--slip"],
            str(tmp_path / "slip.md"),
            "--to",
            str(doctored),
            "--root",
            str(club),
        ],
        catch_exceptions=False,
    )
    assert done.exit_code == 0, done.stderr
    told = ReviewSlip.model_validate_json(done.stdout)
    assert told.head.startswith("version 0.3.0 ") and told.base.startswith("version 0.2.0 ")
    assert (told.fits, told.newer, told.notes, told.not_worked_out) == ([], [], [], [])
    (moved,) = told.subjects
    assert (moved.subject, moved.id, told.moved) == ("calculation", "piston-speed -", 1)
    # 2 × 60 mm × 500 rpm = 1.0 m/s, and a tenth more
    assert (moved.values[0].was, moved.values[0].now) == (pytest.approx(1.0), pytest.approx(1.1))
    assert [cause.says for cause in moved.causes] == [
        f"the tool, {told.base.split('version ')[1][:16]} → 0.3.0 ({_digest(told)})"
    ]
    assert "Mean piston speed" in (tmp_path / "slip.md").read_text(encoding="utf-8")


def _digest(told: ReviewSlip) -> str:
    return told.head.partition("(")[2].partition(")")[0]


def test_a_version_without_values_is_told_plainly(club, doctored, tmp_path):
    older = tmp_path / "older"
    shutil.copytree(doctored, older)
    cli = older / "plugins" / "gudgeon" / "cli.py"
    cli.write_text(cli.read_text(encoding="utf-8").replace('    "values": "values",\n', ""), encoding="utf-8")
    # A file of the club that would pass for a library is not taken for one.
    (club / "yaml.py").write_text("raise SystemExit('the club was run')\n", encoding="utf-8")
    command = [sys.executable, "-P", "-m", "gudgeon.cli", "upgrade", "--show", "--to", older]
    done = subprocess.run(command, cwd=club, capture_output=True, text=True, check=False)
    assert (
        done.returncode == 3
        and "tells no values" in done.stderr
        and "Nothing is known of what would move" in done.stderr
    )
    assert done.stdout == ""
