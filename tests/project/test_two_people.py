"""Two people at once, with git and on one project: conflicts, ids that clash, line ends of another system, names that differ by case."""

import os
import subprocess

import pytest
from click.testing import CliRunner
from club_repo import ENV
from gudgeon.cli import main
from gudgeon.records.load_build import load_build
from gudgeon.records.shared_files import digest_of, item_files
from small_build import shelf, write

LINE = ["enter", "small", "piston skirt - - {} 20c/20c mic by ada", "--yes", "--on", "2025-02-20"]
FILE = "builds/small/readings/2025-02-20-piston-skirt.yaml"


def git(root, *words, fails=False):
    done = subprocess.run(
        ["git", *words], cwd=root, env={**os.environ, **ENV}, capture_output=True, text=True, check=False
    )
    assert fails or done.returncode == 0, done.stderr
    return done.stdout


def enter(root, size):
    return CliRunner().invoke(main, [word.format(size) for word in LINE] + ["--root", str(root)])


def check(root):
    return CliRunner().invoke(main, ["check", str(root)]).output


@pytest.fixture
def two(tmp_path):
    """Two clones in which a reading each was added to one file, merged in the second: the merge has a conflict."""
    ann, bea = tmp_path / "ann", tmp_path / "bea"
    write(ann / "builds/small")
    (ann / "mkdocs.yml").write_text("site_name: Club\nplugins: [gudgeon]\n")
    git(tmp_path, "init", "-q", "-b", "main", "ann")
    git(ann, "add", "-A")
    git(ann, "commit", "-qm", "start")
    git(tmp_path, "clone", "-q", "ann", "bea")
    for root, size in ((ann, "49.945"), (bea, "49.944")):
        assert enter(root, size).exit_code == 0
        git(root, "add", "-A")
        git(root, "commit", "-qm", "a reading")
    git(bea, "fetch", "-q")
    git(bea, "merge", "origin/main", fails=True)
    return bea


@pytest.mark.slow
def test_readings_that_two_people_added_to_one_file(two):
    file = two / FILE
    for mark, line in (("<<<<<<<", 2), ("=======", 3), (">>>>>>>", 4)):  # taken out one after the other
        assert f"{FILE}:{line}:1: a merge stands here half done." in check(two), mark
        refused = enter(two, "49.940")
        assert refused.exit_code == 1 and "a merge stands here half done" in refused.output, (
            "no row goes into such a file"
        )
        text = file.read_text()
        file.write_text("".join(row for row in text.splitlines(keepends=True) if not row.startswith(mark)))
    assert "0 problems" in check(two), "the two rows were given one id"
    assert enter(two, "49.940").exit_code == 0 and file.read_text().count("id: ad0") == 3


def test_a_row_keeps_the_line_ends_and_the_mark_of_its_file(tmp_path):
    write(tmp_path / "builds/small")
    assert enter(tmp_path, "49.945").exit_code == 0
    file = tmp_path / FILE
    other = b"\xef\xbb\xbf" + file.read_bytes().replace(b"\n", b"\r\n")
    file.write_bytes(other)
    assert enter(tmp_path, "49.944").exit_code == 0
    after = file.read_bytes()
    assert after.startswith(other) and after.count(b"\n") == after.count(b"\r\n") and b"49.944" in after[len(other) :]
    assert load_build(tmp_path / "builds/small", "builds/small", shelf()).problems == []


def test_every_record_reads_the_same_with_other_line_ends_and_a_mark(tmp_path):
    write(tmp_path / "builds/small")
    plain = load_build(tmp_path / "builds/small", "builds/small", shelf())
    for path in (tmp_path / "builds").rglob("*.*"):
        path.write_bytes(b"\xef\xbb\xbf" + path.read_bytes().replace(b"\n", b"\r\n"))
    other = load_build(tmp_path / "builds/small", "builds/small", shelf())
    assert other.problems == [] and other.rows == plain.rows and other.parts == plain.parts and other.fits == plain.fits


def test_what_travels_has_one_digest_whatever_line_ends_git_keeps(tmp_path):
    (tmp_path / "materials").mkdir()
    (tmp_path / "materials/x.yaml").write_bytes(b"material: x\nname: X\n")
    there = digest_of(item_files(tmp_path, "material", "x"))
    (tmp_path / "materials/x.yaml").write_bytes(b"material: x\r\nname: X\r\n")
    assert digest_of(item_files(tmp_path, "material", "x")) == there


def test_files_that_only_capital_letters_tell_apart_are_told(tmp_path):
    write(tmp_path / "builds/small")
    readings = tmp_path / "builds/small/readings"
    for path in list(readings.iterdir()):
        twin = path.with_name(path.name.upper().replace(".YAML", ".yaml"))
        if twin.exists():
            pytest.skip("this file system keeps but one of them")
        twin.write_text(path.read_text().replace("id: ", "id: z"))
    problems = [str(problem) for problem in load_build(tmp_path / "builds/small", "builds/small", shelf()).problems]
    assert len([text for text in problems if "only in capital letters" in text]) == len(list(readings.iterdir())) // 2


def test_what_is_not_read_for_its_name_is_told(tmp_path):
    """A system that folds case reads it, another passes it over in silence: it is told on all of them."""
    folder = write(tmp_path / "builds/small")
    (folder / "parts/rod.yml").write_text("part: rod\n")
    (folder / "readings/2025-02-09-x.YAML").write_text("rows: []\n")
    (folder / "log").mkdir()
    (folder / "log/01-first.markdown").write_text("---\n")
    (folder / "Photos").mkdir()
    (folder / "Fits.YAML").write_text("fits: {}\n")
    told = [str(problem) for problem in load_build(folder, "builds/small", shelf()).problems]
    for file, wanted in (
        ("parts/rod.yml", 'end in ".yaml"'),
        ("readings/2025-02-09-x.YAML", 'end in ".yaml"'),
        ("log/01-first.markdown", 'end in ".md"'),
        ("Photos", 'called "photos"'),
        ("Fits.YAML", 'called "fits.yaml"'),
    ):
        assert any(text.startswith(f"builds/small/{file}:") and wanted in text for text in told), (file, told)


def test_an_accent_that_is_coded_in_two_ways_is_told(tmp_path):
    folder = write(tmp_path / "builds/small")
    for name in ("2025-02-09-\u00e9.yaml", "2025-02-09-e\u0301.yaml"):
        (folder / "readings" / name).write_text("rows: []\n")
    if len([path for path in (folder / "readings").iterdir() if "2025-02-09" in path.name]) < 2:
        pytest.skip("this file system keeps but one of them")
    told = [str(problem) for problem in load_build(folder, "builds/small", shelf()).problems]
    assert any("how an accent is coded" in text for text in told)


@pytest.mark.slow
def test_a_merge_that_keeps_both_sides_of_readings_would_lose_what_a_row_says(tmp_path):
    """Why the records have no merge=union: lines that two new rows share git takes for one, where somebody wrote a row in several
    lines. The row that loses its temperatures is well-formed, and nobody would be told."""
    folder = write(tmp_path / "builds/small")
    git(tmp_path, "init", "-q", "-b", "main", ".")
    (tmp_path / ".gitattributes").write_text("*.yaml merge=union\n")
    file = folder / "readings/2025-02-20-skirt.yaml"
    start = "every_row: {of: piston.skirt, date: 2025-02-20, by: ada, gauge: mic, after: TURN}\nrows:\n"
    shared = "    station: 20 mm\n    part_temp: 35 °C\n    gauge_temp: 20 °C\n    time: '9:15'\n"
    file.write_text(start + "  - {id: z1, reads: 49.946 mm}\n")
    git(tmp_path, "add", "-A")
    git(tmp_path, "commit", "-qm", "start")
    start = file.read_text()
    mine, theirs = (f"  - id: {name}\n    reads: {size} mm\n" for name, size in (("y1", "49.945"), ("y2", "49.944")))
    for branch, row in (("other", theirs), ("main", mine)):
        git(tmp_path, "checkout", "-q", *(["-b"] if branch == "other" else []), branch)
        file.write_text(start + row + shared)
        git(tmp_path, "commit", "-qam", branch)
    git(tmp_path, "merge", "-q", "other")
    assert file.read_text() == start + mine + theirs + shared
    build = load_build(folder, "builds/small", shelf())
    assert build.problems == [] and [row.part_temp is None for row in build.rows if row.id in ("y1", "y2")] == [
        True,
        False,
    ]
