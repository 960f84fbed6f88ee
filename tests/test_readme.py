"""What the README says is true: its build of five minutes works as written, its commands and its picture exist."""

import re
import subprocess
import sys
from pathlib import Path

import pytest
from gudgeon.assess.build import assess
from gudgeon.records.load_build import load_build
from small_build import shelf

ROOT = Path(__file__).parent.parent
README = (ROOT / "README.md").read_text(encoding="utf-8")


LATER = ("machines.yaml", "cuts.yaml", "running.yaml")  # told after the build of five minutes


def files() -> dict[str, str]:
    """The files of the README's example build, by name."""
    blocks = re.findall(r"```yaml\n(.*?)```", README, re.DOTALL)
    names = [
        "build.yaml",
        "instruments.yaml",
        "parts/cylinder.yaml",
        "parts/piston.yaml",
        "fits.yaml",
        "readings/2026-02-01-bore-and-skirt.yaml",
        *LATER,
    ]
    assert all(f"`{name}`" in README for name in names) and len(blocks) == len(names)
    return dict(zip(names, blocks, strict=True))


def worked_out(folder, without=()):
    for name, text in files().items():
        if name not in without:
            (folder / "my-engine" / name).parent.mkdir(parents=True, exist_ok=True)
            (folder / "my-engine" / name).write_text(text, encoding="utf-8")
    build = load_build(folder / "my-engine", "builds/my-engine", shelf())
    assert build.problems == []
    return assess(build, shelf())


def test_a_cut_as_written_ends_what_was_known(tmp_path):
    skirt = worked_out(tmp_path).features["piston.skirt"]
    assert skirt.state == "stale" and skirt.why.subject == "c1" and skirt.size is None


def test_the_build_of_five_minutes_works_as_written(tmp_path):
    found = worked_out(tmp_path, without=LATER)
    assert found.mistakes == () and found.fits["F1"].state == "in"
    assert found.fits["F1"].clearance / 25.4 == pytest.approx(0.0035, abs=5e-5)


def test_the_picture_and_the_links_are_there():
    without_code = re.sub(r"`[^`]*`", "", README)  # a tied number is written there as it is typed
    for link in re.findall(r"\]\(([^)#]+)\)", without_code):
        assert link.startswith("http") or (ROOT / link).exists(), link


def test_start_tells_what_it_can_do():
    done = subprocess.run([sys.executable, ROOT / "start.py"], capture_output=True, text=True, check=False)
    assert done.returncode == 1 and "start.py site --once" in done.stderr and "start.py test" in done.stderr
    for command in ("python3 start.py site", "python3 start.py test", "python3 start.py site --once"):
        assert command in README


def test_start_needs_nothing_but_the_standard_library():
    text = (ROOT / "start.py").read_text(encoding="utf-8")
    assert set(re.findall(r"^(?:import|from) (\w+)", text, re.MULTILINE)) <= set(sys.stdlib_module_names)
