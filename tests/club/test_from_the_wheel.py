"""A club begun from the built wheel in an empty folder, without this repository: its site, a build, a reading, a review."""

import json
import os
import re
import subprocess
import sys
import zipfile

import pytest
from club_repo import ENV
from conftest import ROOT
from gudgeon.club.tool import of_installed
from links import broken_links, unreached

pytestmark = pytest.mark.slow
GAUGE = """\
instruments:
  mic: {name: outside mic 2-3 in, range: [2 in, 3 in], resolution: 0.0001 in, scale: 0.0001 in, use: 0.0002 in, cte: 11.5e-6 /K, checked: never}
"""


@pytest.fixture(scope="module")
def machine(tmp_path_factory):
    """run(folder, *words) for a machine that has the wheel installed and nothing of this repository; and where it lies."""
    place = tmp_path_factory.mktemp("machine")
    tool = of_installed()
    wheel = place / tool.name
    wheel.write_bytes(tool.wheel)
    installed = place / "installed"
    with zipfile.ZipFile(wheel) as archive:
        archive.extractall(installed)
    (kept,) = installed.glob("*.dist-info")
    told = {"url": wheel.as_uri(), "archive_info": {"hashes": {"sha256": tool.sha256}}}
    (kept / "direct_url.json").write_text(json.dumps(told))

    def run(folder, *words, status=0):
        env = {**ENV, "PYTHONPATH": str(installed), "HOME": str(place), "XDG_CACHE_HOME": str(place / "cache")}
        command = [sys.executable, *map(str, words)]
        done = subprocess.run(command, cwd=folder, env=env, capture_output=True, text=True, check=False)
        assert done.returncode == status, f"{words}: {done.stdout}{done.stderr}"
        return done.stdout + done.stderr

    return run, place


def with_environment(club):
    """The club's .venv/ as it would be made, but of the libraries that are here already: what pip does is not tried."""
    python = club / ".venv" / "bin" / "python"
    python.parent.mkdir(parents=True)
    python.write_text(f'#!/bin/sh\nexec "{sys.executable}" "$@"\n')
    python.chmod(0o755)
    stamp = "import start; start.STAMP.write_text(start.wanted())"
    subprocess.run([sys.executable, "-c", stamp], cwd=club, check=True)


@pytest.mark.skipif(os.name == "nt", reason="the stand-in for the environment is a shell script")
def test_from_the_wheel_to_a_site_a_reading_and_a_review(machine):
    run, place = machine
    said = ("--name", "Brook Lane", "--licence", "CC-BY-4.0", "--units", "in", "--forge", "later")
    assert "pinned by its hash" in run(place, "-m", "gudgeon.cli", "new", "club", "club", *said)
    club = place / "club"
    with_environment(club)
    assert "open index.html there" in run(club, "start.py", "site", "--once")
    home = (club / "site" / "index.html").read_text(encoding="utf-8")
    assert "No build stands here yet" in home and "none was worked out" in home
    assert broken_links(club / "site") == [] and unreached(club / "site") == []

    def git(*words):
        subprocess.run(["git", *words], cwd=club, env=ENV, check=True, capture_output=True)

    git("init", "-b", "main")
    git("add", "-A")
    git("commit", "-m", "the club")
    engine = (
        "--name",
        "Mine",
        "--units",
        "in",
        "--layout",
        "vertical",
        "--bore",
        "2.5",
        "--stroke",
        "3",
        "--speed",
        "500",
    )
    run(club, "start.py", "gudgeon", "new", "build", "mine", *engine, "--person", "Ann", "--club", "Brook Lane")
    (club / "builds" / "mine" / "instruments.yaml").write_text(GAUGE)
    run(club, "start.py", "gudgeon", "new", "part", "mine", "piston", "--family", "piston", "--material", "grey-iron")
    git("add", "-A")
    git("commit", "-m", "an engine")
    line = ("piston", "skirt", "1.25", "0", "2.4968", "2.4968", "2.4967", "14c/14c", "mic", "by", "ann", "--yes")
    run(club, "start.py", "gudgeon", "enter", "mine", *line, "--despite-doubts")
    assert "1 new reading" in run(club, "start.py", "gudgeon", "review").splitlines()[1]
    assert "1 build read, worked out and shown, 0 problems" in run(club, "start.py", "check")


def test_a_folder_with_nothing_but_the_readme_s_build_is_checked(machine):
    """No shelf of its own, no repository: grey iron, the parts' families and the rules are those that come with the tool."""
    run, place = machine
    build = place / "bare" / "builds" / "my-engine"
    (build / "parts").mkdir(parents=True)
    (place / "bare" / "mkdocs.yml").write_text("site_name: Club\nplugins: [gudgeon]\n")
    texts = re.findall(r"```yaml\n(.*?)```", (ROOT / "README.md").read_text(), re.DOTALL)
    for name, text in zip(("build", "instruments", "parts/cylinder", "parts/piston", "fits"), texts, strict=False):
        (build / f"{name}.yaml").write_text(text)
    assert "1 build read, worked out and shown, 0 problems" in run(place / "bare", "-m", "gudgeon.cli", "check")
