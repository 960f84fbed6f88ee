"""A club's start.py: what was broken off is made anew, what lacks is told in plain words, and a second run waits for the first."""

import importlib.util
import sys
import threading
import time

import pytest
from conftest import ROOT

STEPS = ["venv", "pip", "schemas"]


@pytest.fixture
def start(tmp_path, monkeypatch):
    """start.py as it stands in a club's folder; its commands only leave a mark of having been run, or fail."""
    home = tmp_path / "a place [é 1]"
    home.mkdir()
    text = (ROOT / "plugins" / "gudgeon" / "club" / "templates" / "start.py.txt").read_text(encoding="utf-8")
    (home / "start.py").write_text(text, encoding="utf-8")
    (home / "requirements.txt").write_text("one==1 --hash=sha256:0\n")
    spec = importlib.util.spec_from_file_location("start_of_a_club", home / "start.py")
    module = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(module)
    module.ran, module.fails = [], []

    def run(*command, said=None):
        words = [str(word) for word in command]
        step = next((step for step in STEPS if step in words), words[1:])
        module.ran.append(step)
        if step in module.fails:
            return 1
        module.PYTHON.parent.mkdir(parents=True, exist_ok=True)
        if not module.PYTHON.exists():
            module.PYTHON.symlink_to(sys.executable)
        return 0

    monkeypatch.setattr(module, "run", run)
    return module


def said_by(start, *words):
    """What main() ends with, for these words."""
    start.sys.argv[1:] = words
    with pytest.raises(SystemExit) as ended:
        start.main()
    return ended.value.code


@pytest.fixture(autouse=True)
def words(monkeypatch):
    monkeypatch.setattr(sys, "argv", ["start.py"])


@pytest.mark.parametrize(("step", "told"), [("venv", "apt install python3-venv"), ("pip", "needs a network this once")])
def test_what_lacks_is_told_and_the_next_run_makes_it_anew(start, step, told):
    start.fails = [step]
    assert told in said_by(start, "check") and not start.is_ready()
    start.fails, start.ran = [], []
    assert said_by(start, "check") == 0
    assert start.ran == [*STEPS, ["-m", "gudgeon.cli", "check"]]
    start.ran = []
    said_by(start, "gudgeon", "new", "build")
    assert start.ran == [["-m", "gudgeon.cli", "new", "build"]], "ready: nothing is asked of the network"


def test_without_schemas_everything_else_works(start, capsys):
    start.fails = ["schemas"]
    assert said_by(start, "site", "--once") == 0 and start.is_ready()
    assert "everything else works" in capsys.readouterr().err


def test_other_pins_another_python_and_a_link_make_it_anew(start, monkeypatch, tmp_path):
    start.set_up()
    with start.PINS.open("a") as pins:
        pins.write("two==2 --hash=sha256:1\n")
    assert not start.is_ready()
    start.set_up()
    with monkeypatch.context() as other:
        other.setattr(start.sys, "version", "3.99")
        assert not start.is_ready()
    outside = tmp_path / "outside"
    start.VENV.rename(outside)
    start.VENV.symlink_to(outside)
    assert not start.is_ready()
    start.set_up()
    assert start.is_ready() and not start.VENV.is_symlink() and (outside / "set-up-from").exists()


def test_an_older_python_and_a_folder_that_is_not_ours_are_told(start, monkeypatch):
    with monkeypatch.context() as older:
        older.setattr(start.sys, "version_info", (3, 10))
        assert "3.11 or newer" in said_by(start, "site")

    def refuse():
        raise PermissionError(13, "Permission denied")

    monkeypatch.setattr(start, "set_up", refuse)
    assert "cannot be made" in said_by(start, "check")


@pytest.mark.skipif(sys.platform == "win32", reason="files are not locked there")
def test_a_second_run_waits_for_the_first_and_finds_it_ready(start, capsys):
    with start.alone():
        second = threading.Thread(target=start.set_up)
        second.start()
        for _ in range(200):
            if "waiting for it" in capsys.readouterr().err:
                break
            time.sleep(0.05)
        else:
            raise AssertionError("it does not say that it waits")
        assert start.ran == []
        start.PYTHON.parent.mkdir(parents=True)
        start.PYTHON.symlink_to(sys.executable)
        start.STAMP.write_text(start.wanted())
    second.join(10)
    assert start.ran == [] and start.is_ready()


@pytest.mark.parametrize(("job", "runs"), [("site", "gudgeon.serving"), ("check", "gudgeon.cli")])
def test_the_words_lead_to_their_commands_and_the_status_comes_back(start, job, runs):
    start.set_up()
    start.ran = []
    said_by(start, job, "--quiet")
    assert start.ran[0][1] == runs and start.ran[0][-1] == "--quiet"
