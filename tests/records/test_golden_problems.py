"""Bad input gets a clear message: each folder of golden/ lies over the small build, its problems.txt is the exact output.

Set GUDGEON_WRITE_GOLDEN=1 to write problems.txt anew; read every line of the change before it is kept.
"""

import os
import shutil
from pathlib import Path

import pytest
from click.testing import CliRunner
from gudgeon.cli import main
from gudgeon.records.load_build import load_build
from small_build import shelf, write

GOLDEN = Path(__file__).parent / "golden"
CASES = sorted(each.name for each in GOLDEN.iterdir())


def problems_of(folder: Path) -> str:
    return "".join(f"{problem}\n" for problem in load_build(folder, f"builds/{folder.name}", shelf()).problems)


@pytest.mark.parametrize("case", CASES)
def test_problems(tmp_path, case):
    write(tmp_path / "small")
    shutil.copytree(
        GOLDEN / case, tmp_path / "small", dirs_exist_ok=True, ignore=shutil.ignore_patterns("problems.txt")
    )
    found, expected = problems_of(tmp_path / "small"), GOLDEN / case / "problems.txt"
    if os.environ.get("GUDGEON_WRITE_GOLDEN"):
        expected.write_text(found, encoding="utf-8")
    assert found, "this case has no problem"
    assert found == expected.read_text(encoding="utf-8")


def test_the_small_build_is_sound(tmp_path):
    assert problems_of(write(tmp_path / "small")) == ""


def test_ten_megabytes(tmp_path):
    folder = write(tmp_path / "small")
    (folder / "fits.yaml").write_bytes(b"# padding\n" * 1_000_000)
    assert (
        problems_of(folder)
        == "builds/small/fits.yaml:1:1: the file is 10.0 MB; the most is 1 MB. Split it into several files.\n"
    )


def test_folder_without_build_file(tmp_path):
    (tmp_path / "small").mkdir()
    assert (
        problems_of(tmp_path / "small")
        == "builds/small:1:1: this folder has no build.yaml. Add one, or move the folder out of builds/.\n"
    )


def test_links_are_not_followed(tmp_path):
    folder = write(tmp_path / "small")
    (tmp_path / "secret.yaml").write_text("part: secret\n")
    (folder / "parts" / "secret.yaml").symlink_to(tmp_path / "secret.yaml")
    assert (
        problems_of(folder) == "builds/small/parts/secret.yaml:1:1: links are not followed. Put the file itself here.\n"
    )


def test_the_command_shows_them_all_and_says_so_in_its_exit_status(tmp_path):
    write(tmp_path / "builds" / "small", fits="fits: {F1: {}}\n")
    done = CliRunner().invoke(main, ["check", str(tmp_path)])
    assert done.exit_code == 1
    assert "builds/small/fits.yaml:1:12: F1:" in done.stdout and "1 build, 2 problems" in done.stderr


HAZARDS = """\
part: cyl
name: no
family: cylinder
material: ci
state: 12:30
made_from: 010
features:
  bore: {name: '0x1F', kind: bore, nominal: +.5 in, detail: 1:48, note: 2025-01-01}
"""


def test_yaml_does_not_change_what_was_written(tmp_path):
    build = load_build(write(tmp_path / "small", parts__cyl=HAZARDS), "builds/small", shelf())
    assert build.problems == []
    part = build.parts["cyl"]
    assert (part.name, part.state, part.made_from) == ("no", "12:30", "010")
    bore = part.features["bore"]
    assert (bore.name, bore.nominal, bore.detail, bore.note, bore.size) == (
        "0x1F",
        "+.5 in",
        "1:48",
        "2025-01-01",
        12.7,
    )


def test_every_value_knows_its_place(tmp_path):
    build = load_build(write(tmp_path / "small"), "builds/small", shelf())
    assert str(build.fits["F1"].where("want", 1)) == "builds/small/fits.yaml:2:96"
    assert str(build.rows[1].where("reads")) == "builds/small/readings/2025-02-02-bore.yaml:4:51"


@pytest.mark.parametrize("name", ["", "parts", "readings", "log", "photos"])
def test_links_to_folders_are_not_followed(tmp_path, name):
    elsewhere = write(tmp_path / "elsewhere")
    folder = write(tmp_path / "small")
    link = folder / name if name else folder
    if link.exists():
        shutil.rmtree(link)
    link.symlink_to(elsewhere / name if name else elsewhere)
    shown = f"builds/small/{name}" if name else "builds/small"
    assert problems_of(folder) == f"{shown}:1:1: links are not followed. Put the folder itself here.\n"
