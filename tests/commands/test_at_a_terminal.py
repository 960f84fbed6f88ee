"""The evening at a real terminal: what is asked, what an empty answer does, how it ends."""

import os
import pty
import select
import shutil
import subprocess
import sys
import time

import pytest
from conftest import ROOT
from gudgeon.records.load_build import load_build
from small_build import shelf

pytestmark = pytest.mark.slow
PATIENCE = 90  # seconds; a loaded machine is slow to start


@pytest.fixture
def club(tmp_path):
    shutil.copytree(ROOT / "builds" / "harrow-pond", tmp_path / "builds" / "harrow-pond")
    (tmp_path / "docs").mkdir()
    (tmp_path / "docs" / "knowledge").symlink_to(ROOT / "docs" / "knowledge")
    return tmp_path


def talk(folder, words, answers):
    """Run a command at a terminal: answers are (what is waited for, what is typed then). Gives all that was shown, and the status."""
    main, side = pty.openpty()
    program = subprocess.Popen(
        [sys.executable, "-m", "gudgeon.cli", *words], cwd=folder, stdin=side, stdout=side, stderr=side
    )
    os.close(side)
    shown, waiting, until = "", list(answers), time.monotonic() + PATIENCE
    since = 0
    while time.monotonic() < until:
        ready, _, _ = select.select([main], [], [], 0.2)
        if ready:
            try:
                shown += os.read(main, 65536).decode("utf-8", "replace")
            except OSError:
                break
        if waiting and waiting[0][0] in shown[since:]:
            since = len(shown)
            os.write(main, f"{waiting.pop(0)[1]}\n".encode())
        if not ready and program.poll() is not None:
            break
    program.kill()
    os.close(main)
    assert not waiting, f"never asked: {waiting}\n{shown}"
    return shown, program.wait()


def build(club):
    return load_build(club / "builds" / "harrow-pond", "builds/harrow-pond", shelf())


def test_an_evening_line_by_line(club):
    """A pass that is asked about, and No; one that is sound, and an empty answer writes it; done asks what still holds."""
    words = ["cut", "harrow-pond", "skirt", "dial", "3", "reads", "2", "0"]
    shown, status = talk(club, [*words, "4.3508", "15c/15c", "om45", "by", "odette"], [("all the same? [y/N]", "")])
    assert "cutting does not add metal" in shown and status == 1 and len(build(club).cuts) == 6
    shown, status = talk(club, [*words, "4.2508", "24c/16c", "om45", "by", "odette"], [("Write it? [Y/n]", "")])
    assert status == 0 and "4.2504 in at 20 °C; 4.3 thou to go" in shown and "will show" in shown
    assert len(build(club).cuts) == 7
    asked = [("read after the operation? [y/N]", "y")]
    shown, status = talk(club, ["done", "harrow-pond", "A-PIS-100", "--took", "95"], asked)
    assert status == 0 and "Put down again as read after it" in shown and build(club).rows[-1].after == "A-PIS-100"


def test_new_asks_for_what_is_missing(club):
    answers = [
        ("What is it", "inside mic 4-5 in"),
        ("smallest step", "0.0001"),
        ("repeats in your hands", "0.0003 in"),
        ("How well its scale is known", "set in om45"),
    ]
    _, status = talk(club, ["new", "gauge", "harrow-pond", "im45"], answers)
    assert status == 0 and build(club).instruments["im45"].scale_from == "om45"
    words = [
        "new",
        "build",
        "mill",
        "--name",
        "Mill",
        "--units",
        "mm",
        "--layout",
        "vertical",
        "--person",
        "Ann",
        "--club",
        "Ours",
    ]
    _, status = talk(club, words, [("Bore (mm", "80"), ("Stroke (mm", ""), ("Governed speed (rpm", "500")])
    engine = load_build(club / "builds" / "mill", "builds/mill", shelf()).sound_head.engine
    assert status == 0 and engine.bore.text == "80 mm" and engine.stroke is None
