"""What was worked out before is kept by content, and makes no difference but to the time."""

import json
import os
import shutil
import subprocess
import sys

import pytest
from click.testing import CliRunner
from club_repo import ENV
from conftest import own
from gudgeon.assess.build import assess_with_inputs
from gudgeon.cli import main
from gudgeon.project import cache as cache_module
from gudgeon.project import project as project_module
from gudgeon.project import two_revisions
from gudgeon.project.cache import Cache, folder_digest, key_of
from gudgeon.project.project import Project, work_out
from gudgeon.review.compare import slip_of
from gudgeon.site import make_site
from small_build import ROOT, write


@pytest.fixture
def root(tmp_path, monkeypatch):
    """A project with one small build and the club's knowledge, and an empty cache."""
    monkeypatch.setenv("GUDGEON_CACHE", str(tmp_path / "cache"))
    project = tmp_path / "project"
    write(project / "builds" / "small")
    shutil.copytree(ROOT / "docs" / "knowledge", project / "docs" / "knowledge")
    return project


@pytest.fixture
def worked_out(monkeypatch):
    """The builds that were worked out, one entry each time."""
    seen = []

    def counted(build, knowledge):
        seen.append(build.id)
        return assess_with_inputs(build, knowledge)

    monkeypatch.setattr(project_module, "assess_with_inputs", counted)
    return seen


def entries(root):
    return sorted((root.parent / "cache").glob("*"))


def shown(root):
    site = make_site(Project.open(root))
    assert site.problems == []
    return {page.uri: page for page in site.pages}, {asset.uri: asset.content for asset in site.assets}


@pytest.mark.slow
def test_the_site_is_the_same_with_without_and_with_a_stale_cache(root, worked_out, monkeypatch):
    monkeypatch.setenv("GUDGEON_CACHE", "")
    without = shown(root)
    monkeypatch.setenv("GUDGEON_CACHE", str(root.parent / "cache"))
    assert shown(root) == without
    assert len(entries(root)) == 3  # findings, the numbers of the story and pages
    assert shown(root) == without
    assert worked_out == ["small", "small"]  # not a third time
    # An edit: what is kept is stale, and is not taken.
    readings = root / "builds" / "small" / "readings" / "2025-02-04-skirt.yaml"
    readings.write_text(readings.read_text().replace("49.945", "49.955"))
    with_stale = shown(root)
    monkeypatch.setenv("GUDGEON_CACHE", "")
    assert with_stale == shown(root) != without


@pytest.mark.parametrize(
    "edit",
    ["builds/small/photos/new.jpg", "docs/knowledge/rules/A-R1.yaml", "builds/small/build.yaml"],
)
def test_whatever_is_read_is_part_of_the_key(root, edit):
    def key():
        project = Project.open(root)
        project.knowledge  # noqa: B018
        project.build("small")
        return project.key("small", "findings")

    before = key()
    assert before is not None
    assert before == key()
    file = root / edit
    file.parent.mkdir(exist_ok=True)
    file.write_bytes((file.read_bytes() if file.exists() else b"") + b"\n# a word more\n")
    assert key() not in (before, None)


def test_the_code_is_part_of_the_key(monkeypatch):
    before = key_of("a")
    monkeypatch.setattr(cache_module, "tool_digest", lambda: "other code")
    assert key_of("a") != before


@pytest.mark.slow
@pytest.mark.parametrize(
    "damage", ["", "{", "[]", "{}", '{"key": "KEY", "kept": {"findings": {}, "inputs": {}}}', "\x00"]
)
def test_a_damaged_entry_is_as_if_it_were_not_there(root, worked_out, damage):
    before = Project.open(root).outcome_with_inputs("small")
    for path in entries(root):
        path.write_text(damage.replace("KEY", path.stem))
    assert Project.open(root).outcome_with_inputs("small") == before
    assert worked_out == ["small", "small"]


def test_an_entry_under_another_name_is_not_taken(tmp_path):
    cache = Cache(tmp_path)
    cache.put("a", 1)
    (tmp_path / "a.json").rename(tmp_path / "b.json")
    assert cache.get("b") is None


def test_a_folder_with_links_is_not_kept(tmp_path):
    (tmp_path / "a.yaml").write_text("a: 1")
    assert folder_digest(tmp_path)
    (tmp_path / "b.yaml").symlink_to("/etc/hostname")
    assert folder_digest(tmp_path) is None


def test_where_nothing_can_be_written_nothing_is_kept(root, monkeypatch):
    (root.parent / "cache").write_text("a file in the way")
    assert Project.open(root).outcome_with_inputs("small")[0].fits["F1"].clearance


def test_the_oldest_go_when_room_is_short(tmp_path, monkeypatch):
    cache = Cache(tmp_path)
    for index in range(5):
        cache.put(f"k{index}", "x" * 1000)
        os.utime(tmp_path / f"k{index}.json", (index, index))
    monkeypatch.setattr(cache_module, "ROOM", 2500)
    Cache(tmp_path).put("new", "x")
    assert sorted(path.stem for path in tmp_path.iterdir()) == ["k3", "k4", "new"]


def test_it_can_be_switched_off(root, worked_out):
    (root / "mkdocs.yml").write_text("plugins:\n  - gudgeon:\n      cache: false\n")
    Project.open(root).outcome_with_inputs("small")
    assert entries(root) == []


def test_nothing_in_the_project_is_read_as_a_cache(root, worked_out):
    project = Project.open(root)
    project.outcome_with_inputs("small")
    shutil.move(root.parent / "cache", root / ".gudgeon")
    Project.open(root).outcome_with_inputs("small")
    assert worked_out == ["small", "small"]


def test_what_is_kept_is_json_alone(root):
    Project.open(root).outcome_with_inputs("small")
    assert all(json.loads(path.read_text())["key"] == path.stem for path in entries(root))


@pytest.mark.slow
def test_findings_of_real_builds_come_back_as_they_were(tmp_path, monkeypatch):
    monkeypatch.setenv("GUDGEON_CACHE", str(tmp_path))
    for name in Project.open(ROOT).build_names():
        findings, inputs = Project.open(ROOT).outcome_with_inputs(name)
        again, inputs_again = Project.open(ROOT).outcome_with_inputs(name)
        assert again is not findings
        assert (again, inputs_again) == (findings, inputs)
        assert again.model_dump_json() == findings.model_dump_json()
    assert len(list(tmp_path.iterdir())) == len(Project.open(ROOT).build_names())


WRITER = """
import sys
from pathlib import Path
from gudgeon.project.cache import Cache
cache = Cache(Path(sys.argv[1]))
for turn in range(40):
    cache.put("same", [sys.argv[2]] * 5000)
    kept = cache.get("same")
    assert kept is not None and set(kept) <= {"a", "b"} and len(set(kept)) == 1 and len(kept) == 5000, turn
"""


def test_two_processes_that_write_one_entry_at_once_never_leave_half_of_one(tmp_path):
    writers = [
        subprocess.Popen([sys.executable, "-c", WRITER, str(tmp_path), name], stderr=subprocess.PIPE, text=True)
        for name in ("a", "b")
    ]
    assert [(writer.communicate()[1], writer.returncode) for writer in writers] == [("", 0), ("", 0)]
    assert [path.name for path in tmp_path.iterdir()] == ["same.json"]


@pytest.mark.slow
def test_without_the_cache_nothing_is_taken_from_it_and_nothing_is_kept(root):
    def check(*more):
        done = CliRunner().invoke(main, ["check", str(root), *more])
        assert done.exit_code == 0, done.output

    check("--no-cache")
    assert entries(root) == []
    check()
    assert len(entries(root)) == 3
    for kept in entries(root):
        os.utime(kept, (1, 1))  # whoever takes it marks it as used
    check("--no-cache")
    assert {kept.stat().st_mtime for kept in entries(root)} == {1}


@pytest.mark.slow
def test_a_review_takes_what_was_worked_out_of_the_revision_before_and_says_the_same(root, monkeypatch):
    habit = own(root, "judgement.yaml")
    for words in (["init", "-q", "-b", "main"], ["add", "-A"], ["commit", "-q", "-m", "a build"]):
        subprocess.run(["git", *words], cwd=root, env=ENV, check=True)
    Project.open(root).outcome_with_inputs("small")
    counted = []
    monkeypatch.setattr(two_revisions, "work_out", lambda *of: counted.append(of) or work_out(*of))
    reading = root / "builds" / "small" / "readings" / "2025-02-02-bore.yaml"
    for edited, was, now in (
        (habit, "evenings_a_week:\n  is: 2", "evenings_a_week:\n  is: 3"),
        (reading, "50.012 50.012", "50.012 50.016"),
    ):
        before = edited.read_text(encoding="utf-8")
        assert was in before
        edited.write_text(before.replace(was, now, 1), encoding="utf-8")
        counted.clear()
        with two_revisions.compare_revisions(Project.open(root)) as comparison:
            slip = slip_of(comparison)
        assert len(counted) == 1, "the side that is new alone"
        with two_revisions.compare_revisions(Project.open(root, cache=False)) as comparison:
            assert slip_of(comparison) == slip
        assert len(counted) == 3, "without the cache both"
        edited.write_text(before, encoding="utf-8")


@pytest.mark.slow
def test_copies_of_pictures_are_kept_from_one_site_to_the_next(root, monkeypatch):
    from seeded_pictures import saved

    folder = root / "builds" / "small"
    (folder / "photos").mkdir()
    (folder / "photos" / "skirt.webp").write_bytes(saved("WEBP"))
    (folder / "photos.yaml").write_text("photos:\n  skirt.webp: {shows: A skirt, licence: MIT}\n")
    part = folder / "parts" / "piston.yaml"
    part.write_text(part.read_text() + "photos: [skirt.webp]\n")
    monkeypatch.setenv("GUDGEON_CACHE", str(root.parent / "cache"))
    first = shown(root)
    assert [path.suffix for path in entries(root)].count(".bytes") == 1
    monkeypatch.setattr("gudgeon.pictures.sizes.pixels_of", lambda *given: pytest.fail("it was made again"))
    assert shown(root) == first
