"""Names of files and folders come from strangers too: none of them steers a terminal or passes for a line of ours."""

import re

import pytest
from click.testing import CliRunner
from gudgeon.cli import main
from small_build import ROOT, write

UNSEEN = re.compile("[\x00-\x08\x0b-\x1f\x7f-\x9f\u202e]")
NAMES = ["a\x1b]0;x\x07", "a\rb", "a\u202eb", "a\nforged: line"]  # a terminal takes the first for its title
COLUMNS = """\
columns: {Feature: of, Pos: station, Value: reads}
units: {station: mm, reads: mm}
every_row: {by: ada, gauge: mic, date: 2025-04-06, part_temp: 15 °C, gauge_temp: 15 °C}
"""


def run(root, *words, status: int) -> str:
    place = [str(root)] if words == ("check",) else ["--root", str(root)]
    done = CliRunner().invoke(main, [*words, *place])
    assert done.exit_code == status, done.output
    assert not UNSEEN.search(done.output), done.output
    assert not any(line.startswith("forged") for line in done.output.splitlines()), done.output
    return done.output


@pytest.fixture(scope="module")
def project(tmp_path_factory):
    root = tmp_path_factory.mktemp("names")
    write(root / "builds" / "small")
    (root / "docs").mkdir()
    (root / "docs" / "knowledge").symlink_to(ROOT / "docs" / "knowledge")
    for name in NAMES:
        folder = root / "builds" / name
        folder.mkdir()
        (folder / "build.yaml").write_text("name: x\n", encoding="utf-8")
        (root / "builds" / "small" / "readings" / f"{name}.yaml").write_text("rows: x\n", encoding="utf-8")
    return root


@pytest.mark.parametrize("words", [("check",), ("due",), ("due", "--form", "ics"), ("due", "none")])
def test_of_builds_and_records(project, words):
    told = run(project, *words, status=3 if "none" in words else 1)
    assert "\\x1b" in told or words == ("due", "none") or "readings/" in told


@pytest.mark.parametrize("name", NAMES)
def test_of_a_table_that_is_imported(tmp_path, name):
    write(tmp_path / "builds" / "small")
    (tmp_path / "map.yaml").write_text(COLUMNS, encoding="utf-8")
    table, words = tmp_path / f"{name}.csv", ("--columns", str(tmp_path / "map.yaml"))
    run(tmp_path, "import", "small", str(table), status=3)
    table.write_text("Feature,Pos,Value\n", encoding="utf-8")
    run(tmp_path, "import", "small", str(table), status=1)
    run(tmp_path, "import", "small", str(table), *words, status=1)
    table.write_text("Feature,Pos,Value\npiston.skirt,20,49.944\n", encoding="utf-8")
    run(tmp_path, "import", "small", str(table), *words, "--dry-run", "--despite-doubts", status=0)
    written = run(tmp_path, "import", "small", str(table), *words, "--despite-doubts", status=0)
    assert "1 row written" in written
