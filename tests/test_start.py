"""start.py: what was broken off is made anew, what was made elsewhere is not taken, and odd places, languages and users do."""

import importlib.util
import os
import re
import shutil
import signal
import subprocess
import sys
import sysconfig
import tomllib
from importlib.metadata import Distribution
from pathlib import Path

import pytest
from conftest import ROOT

pytestmark = pytest.mark.slow  # processes of their own

STEPS = ("a fresh environment", "the libraries", "the templates")


@pytest.fixture
def start(tmp_path, monkeypatch):
    """start.py as it stands in a folder with an odd name; its commands only leave a mark of having been run."""
    home = tmp_path / "a place [é 1]"
    home.mkdir()
    for name in ("start.py", "requirements.lock", "requirements-test.lock", "requirements-book.lock", "pyproject.toml"):
        shutil.copy(ROOT / name, home / name)
    spec = importlib.util.spec_from_file_location("start_in_a_copy", home / "start.py")
    module = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(module)
    module.ran, module.falls_at = [], None

    def run(*command, **more):
        step = "a fresh environment" if "venv" in command[1:3] else STEPS[len(module.ran)]
        if step == module.falls_at:
            raise module.fault
        module.ran.append(step)
        module.PYTHON.parent.mkdir(parents=True, exist_ok=True)
        Path(sysconfig.get_path("purelib", "venv", vars={"base": str(module.VENV)})).mkdir(parents=True, exist_ok=True)
        if not module.PYTHON.exists():
            module.PYTHON.symlink_to(sys.executable)

    monkeypatch.setattr(module, "run", run)
    monkeypatch.setattr(module.shutil, "which", lambda name: f"/bin/{name}")
    return module


@pytest.mark.parametrize("step", STEPS)
@pytest.mark.parametrize(
    "fault", [KeyboardInterrupt(), SystemExit(1), SystemExit("killed")], ids=["ctrl-c", "fails", "killed"]
)
def test_what_was_broken_off_is_made_anew(start, step, fault):
    start.falls_at, start.fault = step, fault
    with pytest.raises(type(fault)):
        start.set_up()
    assert not start.is_ready()
    start.falls_at, start.ran = None, []
    start.set_up()
    assert start.is_ready() and tuple(start.ran) == STEPS
    start.ran = []
    start.set_up()
    assert start.ran == [], "ready, so nothing is asked of the network"


@pytest.mark.parametrize("stamp", [b"", b"\xff\xfe\x00", b"half"])
def test_a_stamp_that_says_nothing_is_no_stamp(start, stamp):
    start.set_up()
    start.STAMP.write_bytes(stamp)
    assert not start.is_ready()


def test_an_environment_of_another_python_or_place_or_without_its_python_is_not_taken(start, monkeypatch, tmp_path):
    start.set_up()
    with monkeypatch.context() as other:
        other.setattr(start.sys, "version", "3.99")
        assert not start.is_ready()
    with monkeypatch.context() as other:
        other.setattr(start, "HOME", shutil.copytree(start.HOME, tmp_path / "elsewhere", symlinks=True))
        assert not start.is_ready()
    start.PYTHON.unlink()
    start.PYTHON.symlink_to("/nowhere/python3")
    assert not start.is_ready()
    start.ran = []
    start.set_up()
    assert start.is_ready() and tuple(start.ran) == STEPS


def test_a_half_removed_environment_is_never_taken_for_ready(start, monkeypatch):
    start.set_up()

    def broken_off(folder):
        raise KeyboardInterrupt

    with monkeypatch.context() as killed:
        killed.setattr(start.shutil, "rmtree", broken_off)
        with pytest.raises(KeyboardInterrupt):
            start.clear()
    assert start.PYTHON.exists() and not start.is_ready()


def test_an_environment_that_is_a_link_is_not_written_through(start, tmp_path):
    outside = tmp_path / "outside"
    (outside / "kept").mkdir(parents=True)
    start.VENV.symlink_to(outside)
    start.set_up()
    assert start.is_ready() and [path.name for path in outside.iterdir()] == ["kept"]


def test_an_environment_that_cannot_be_made_is_told(start, monkeypatch):
    def refuse():
        raise PermissionError(13, "Permission denied")

    monkeypatch.setattr(start, "clear", refuse)
    with pytest.raises(SystemExit, match=r"\.venv/ cannot be made in .*: Permission denied.* It has to be yours"):
        start.set_up()


def test_commands_read_text_as_utf_8_and_keep_nothing_without_a_home(start, monkeypatch, tmp_path):
    assert start.environment()["PYTHONUTF8"] == "1"
    monkeypatch.setattr(start.Path, "home", lambda: tmp_path)
    assert "PIP_NO_CACHE_DIR" not in start.environment()
    monkeypatch.setattr(start.Path, "home", lambda: tmp_path / "nowhere")
    assert start.environment()["PIP_NO_CACHE_DIR"] == "1"


@pytest.mark.skipif(os.name == "nt", reason="links to Python")
@pytest.mark.parametrize(
    "more",
    [{"LANG": "C"}, {"LC_ALL": "POSIX", "PYTHONCOERCECLOCALE": "0", "PYTHONUTF8": "0"}, {"HOME": "/nowhere"}],
    ids=lambda more: "-".join(more),
)
def test_once_set_up_it_runs_in_any_language_without_git_or_a_home(start, more, tmp_path):
    start.set_up()
    (tmp_path / "bin").mkdir()
    env = {"PATH": str(tmp_path / "bin"), "PYTHONPATH": f"{ROOT / 'calc'}{os.pathsep}{ROOT / 'plugins'}", **more}
    start.PYTHON.unlink()
    start.PYTHON.write_text(f'#!/bin/sh\nexec "{sys.executable}" "$@"\n')  # with the libraries of this one
    start.PYTHON.chmod(0o755)
    done = subprocess.run(
        [sys.executable, start.HOME / "start.py", "gudgeon", "limits", "40 mm", "0.025 mm", "0.066 mm"],
        env=env,
        cwd=tmp_path,
        capture_output=True,
        text=True,
        check=False,
    )
    assert done.returncode == 0 and "clearance" in done.stdout, done.stderr


def test_the_project_is_known_in_the_environment_without_the_accents_of_its_place(start):
    start.set_up()
    (named,) = start.VENV.rglob("gudgeon.pth")
    folders = named.read_bytes().decode("ascii").splitlines()
    assert [os.path.normpath(named.parent / folder) for folder in folders] == [
        f"{start.HOME}/calc",
        f"{start.HOME}/plugins",
    ]
    (known,) = start.VENV.rglob("gudgeon-*.dist-info")
    project = tomllib.loads((ROOT / "pyproject.toml").read_text(encoding="utf-8"))["project"]
    told = Distribution.at(known)
    assert (told.name, told.version) == ("gudgeon", project["version"])
    assert {entry.group: {entry.name: entry.value} for entry in told.entry_points} == {
        "console_scripts": project["scripts"],
        **project["entry-points"],
    }
    if os.name != "nt":
        start.PYTHON.unlink()
        start.PYTHON.write_text('#!/bin/sh\necho "$@"\n')
        start.PYTHON.chmod(0o755)
        asked = subprocess.run([start.BIN / "gudgeon", "check", "a b"], capture_output=True, text=True, check=True)
        assert asked.stdout == "-m gudgeon.cli check a b\n"


@pytest.mark.parametrize(("more", "lock"), [("tests", "requirements-test.lock"), ("book", "requirements-book.lock")])
def test_libraries_that_the_site_does_without_are_added_when_they_are_asked_for(start, more, lock):
    start.set_up()
    assert start.is_ready() and not start.is_ready(more)
    start.falls_at, start.fault = None, None
    asked = []
    start.run = lambda *command, **settings: asked.append([str(word) for word in command])
    start.set_up(more)
    (command,) = asked
    assert "--require-hashes" in command and command[-2:] == ["-r", lock], "nothing is made anew, and all is locked"
    assert start.is_ready(more) and start.is_ready()
    (start.HOME / lock).write_text("another\n")
    assert start.is_ready() and not start.is_ready(more), "the site's environment does not rest on it"


def test_lint_asks_ruff_and_the_type_checker_and_ends_where_one_is_not_content(start):
    asked = []

    def run(*command, **settings):
        asked.append(command[2:])
        if command[2] == "basedpyright":
            sys.exit(1)

    start.run = run
    with pytest.raises(SystemExit):
        start.lint()
    assert asked == [("ruff", "check"), ("ruff", "format", "--check"), ("basedpyright",)]


def test_no_library_is_locked_in_two_versions():
    def pins(name):
        return set(re.findall(r"^([a-z0-9._-]+==[^\n\\]+)", (ROOT / name).read_text(encoding="utf-8"), re.MULTILINE))

    site, tests, book = pins("requirements.lock"), pins("requirements-test.lock"), pins("requirements-book.lock")
    assert site and site < book < tests and any(pin.startswith("weasyprint==") for pin in book)
    wanted = tomllib.loads((ROOT / "pyproject.toml").read_text(encoding="utf-8"))["project"]
    named = {re.split("[<>=]", library)[0] for library in wanted["dependencies"]}
    others = {re.split("[<>=]", library)[0] for extra in wanted["optional-dependencies"].values() for library in extra}
    locked = {pin.partition("==")[0] for pin in site}
    assert named <= locked and not locked & (others - {"lxml"}), "citations need lxml too"


@pytest.mark.slow
@pytest.mark.skipif(
    "GUDGEON_SET_UP" not in os.environ, reason="sets everything up anew over the network; GUDGEON_SET_UP=1 runs it"
)
def test_a_set_up_that_was_killed_is_mended_in_a_place_with_an_accent(tmp_path):
    home = tmp_path / "a place [é 1]"
    shutil.copytree(ROOT, home, ignore=shutil.ignore_patterns(".venv", ".git", "site", ".cache", "__pycache__"))
    begin = [sys.executable, home / "start.py", "gudgeon", "--version"]
    killed = subprocess.Popen(begin, start_new_session=True)
    with pytest.raises(subprocess.TimeoutExpired):
        killed.wait(15)
    os.killpg(killed.pid, signal.SIGKILL)
    env = {key: value for key, value in os.environ.items() if key not in ("HOME", "PYTHONPATH")}
    env |= {"LC_ALL": "C", "PYTHONCOERCECLOCALE": "0", "PYTHONUTF8": "0"}
    done = subprocess.run(begin, env=env, capture_output=True, check=False)
    assert done.returncode == 0 and b"gudgeon" in done.stdout, done.stderr[-2000:]
    again = subprocess.run([*begin[:-1], "check"], env=env, capture_output=True, check=False)
    assert again.returncode == 0 and b"Setting up" not in again.stderr, again.stderr[-2000:]
