"""Another version of the tool, run in a process of its own: from a wheel, a work tree, an environment or a Python."""

import hashlib
import importlib.metadata
import os
import re
import shutil
import subprocess
import sys
import tempfile
import venv
import zipfile
from collections.abc import Callable
from dataclasses import dataclass, replace
from pathlib import Path, PurePosixPath

from gudgeon.club.tool import NoWheel, Tool, of_wheel, pinned
from gudgeon.project.platform_folder import folder_of_user
from gudgeon.records.problems import seen, seen_lines

PATIENCE = 3600  # seconds; a club of a hundred builds takes about two minutes
BIGGEST = 500_000_000  # bytes of an unpacked wheel
KEPT = 3  # versions; one with an environment of its own takes some 300 MB
READY = "ready"  # written last: what is half made is made anew
LOCKED = re.compile(r"^([A-Za-z0-9._-]+)(?:\[[^\]]*\])?==([^\s;\\]+)[ \t]*(;)?", re.MULTILINE)


class CannotCompare(Exception):
    """The other version cannot be run, or gives no values; the message says why, and what to do."""


@dataclass(frozen=True)
class OtherTool:
    """A version of the tool that is at hand. said: what a person named it by. path: folders of code that its Python is given."""

    said: str
    python: Path
    path: tuple[Path, ...] = ()

    def with_code(self, folder: Path) -> "OtherTool":
        """The same with other code of its own before it: what lies in the folder is taken in its place."""
        return replace(self, path=(folder, *self.path))

    def values(self, root: Path, to: Path) -> None:
        """Have it write the values of the project in a folder into a file. Raises CannotCompare."""
        # Away from the club's folder, and without it on the way: no file of the records is taken for code.
        environment = {key: value for key, value in os.environ.items() if not key.startswith("PYTHON")}
        environment |= {"PYTHONUTF8": "1", "PYTHONPATH": os.pathsep.join(map(str, self.path))}
        command = [self.python, "-P", "-m", "gudgeon.cli", "values", "--root", root, "--to", to]
        try:
            done = subprocess.run(
                [str(word) for word in command],
                cwd=to.parent,
                env=environment,
                capture_output=True,
                text=True,
                encoding="utf-8",
                errors="replace",
                timeout=PATIENCE,
                check=False,
            )
        except OSError as error:
            raise CannotCompare(f"{self.said} cannot be run: {error.strerror or error}.") from None
        except subprocess.TimeoutExpired:
            raise CannotCompare(f"{self.said} did not end within {PATIENCE / 60:.0f} minutes.") from None
        if done.returncode or not to.is_file():
            raise CannotCompare(f"{self.said} cannot be compared: {_why(done.stderr)}")


def _why(told: str) -> str:
    if "No such command" in told and "values" in told:
        return "it is a version from before the command values, and tells no values."
    if re.search(r"No module named '?gudgeon", told):
        return "no gudgeon is installed there."
    last = [line for line in told.strip().splitlines() if line.strip()][-3:]
    return f"it ended with:\n{seen_lines(chr(10).join(last)[:600])}" if last else "it ended without values."


def other_tool(named: Path, root: Path, tell: Callable[[str], None]) -> OtherTool:
    """The version that a path names: a wheel, a requirements.txt that pins one, a work tree or an unpacked wheel, an environment, or a Python.

    root: of the club. tell: told what takes its time. Raises CannotCompare.
    """
    said = seen(str(named))
    if named.is_file() and named.suffix == ".whl":
        return _of_wheel(named, tell)
    if named.is_file() and named.suffix == ".txt":
        return _of_wheel(pinned_wheel(named), tell)
    if named.is_file():
        if not os.access(named, os.X_OK):
            raise CannotCompare(f"{said} is neither a wheel nor a Python that can be run.")
        return OtherTool(said, named.absolute())
    for folder, inside in (("bin", "python"), ("Scripts", "python.exe")):
        if (python := named / folder / inside).is_file():
            return OtherTool(said, python.absolute())
    tree = named / "plugins" / "gudgeon" / "cli.py", named / "calc" / "gudgeon_calc"
    if tree[0].is_file() and tree[1].is_dir():
        own = next(
            (path for path in (named / ".venv/bin/python", named / ".venv/Scripts/python.exe") if path.is_file()), None
        )
        return OtherTool(
            said,
            own.absolute() if own else Path(sys.executable),
            ((named / "calc").resolve(), (named / "plugins").resolve()),
        )
    if (named / "gudgeon" / "cli.py").is_file() and (named / "gudgeon_calc").is_dir():
        return OtherTool(said, Path(sys.executable), (named.resolve(),))
    raise CannotCompare(
        f"{said} is no version of the tool. Name its wheel, a requirements.txt that pins one, its work tree, an environment that it is "
        "installed in, or a Python."
    )


def pinned_wheel(requirements: Path) -> Path:
    """The wheel that a requirements.txt pins, where it lies in the repository. Raises CannotCompare."""
    try:
        place = pinned(requirements.read_text(encoding="utf-8"))
    except (OSError, UnicodeDecodeError):
        place = None
    if place is None:
        raise CannotCompare(f"{seen(str(requirements))} pins no wheel of the tool.")
    wheel = requirements.parent / place
    if "://" in place or not wheel.is_file():
        raise CannotCompare(f"{seen(place)} is not at hand. Fetch that wheel, and name it with --to.")
    return wheel


def _of_wheel(wheel: Path, tell: Callable[[str], None]) -> OtherTool:
    try:
        tool = of_wheel(wheel)
    except NoWheel as lack:
        raise CannotCompare(str(lack)) from None
    kept = folder_of_user()
    place = Path(tempfile.mkdtemp(prefix="gudgeon-tool-")) if kept is None else kept / "tools"
    python_digest = hashlib.sha256(sys.version.encode()).hexdigest()[:8]
    folder = place / f"{tool.version}-{tool.sha256[:16]}-{python_digest}"
    said = f"{seen(wheel.name)}"
    try:
        if not (folder / READY).is_file():
            _set_up(wheel, tool, folder, tell)
    except OSError as error:
        raise CannotCompare(f"{said} cannot be set up in {folder}: {error.strerror or error}.") from None
    own = next(
        (path for path in (folder / "venv/bin/python", folder / "venv/Scripts/python.exe") if path.is_file()), None
    )
    return OtherTool(said, own or Path(sys.executable), (folder / "code",))


def _set_up(wheel: Path, tool: Tool, folder: Path, tell: Callable[[str], None]) -> None:
    """The code of a wheel, and an environment where this one has other libraries; whole, or not there at all."""
    folder.parent.mkdir(parents=True, exist_ok=True)
    with tempfile.TemporaryDirectory(prefix="being-made-", dir=folder.parent, ignore_cleanup_errors=True) as place:
        made = Path(place) / folder.name
        (made / "code").mkdir(parents=True)
        _unpack(wheel, made / "code")
        if lacks := lacking(tool.lock):
            tell(
                f"Version {tool.version} was tested with other libraries ({', '.join(lacks[:3])}): fetching them, once."
            )
            _install(tool, made)
        (made / READY).write_text("", encoding="utf-8")
        shutil.rmtree(folder, ignore_errors=True)
        made.replace(folder)
    kept = sorted((path for path in folder.parent.iterdir() if path != folder), key=lambda path: path.stat().st_mtime)
    for old in kept[: -KEPT + 1]:
        shutil.rmtree(old, ignore_errors=True)


def lacking(lock: str) -> list[str]:
    """The libraries that a lock names and that this environment has otherwise, or not at all; one for some platforms may be missing."""
    lacks: list[str] = []
    for name, version, only_there in LOCKED.findall(lock):
        try:
            here = importlib.metadata.version(name)
        except importlib.metadata.PackageNotFoundError:
            here = None
        if here != version and not (here is None and only_there):
            lacks.append(f"{name} {version}")
    return lacks


def _unpack(wheel: Path, to: Path) -> None:
    try:
        with zipfile.ZipFile(wheel) as archive:
            entries = archive.infolist()
            if sum(entry.file_size for entry in entries) > BIGGEST:
                raise CannotCompare(f"{seen(wheel.name)} unpacks to more than any version of the tool.")
            for entry in entries:
                path = PurePosixPath(entry.filename)
                if path.is_absolute() or ".." in path.parts or "\\" in entry.filename or ":" in entry.filename:
                    raise CannotCompare(f"{seen(wheel.name)} would write outside its folder.")
            archive.extractall(to)
    except (zipfile.BadZipFile, RuntimeError, NotImplementedError, EOFError):
        raise CannotCompare(f"{seen(wheel.name)} cannot be unpacked.") from None


def _install(tool: Tool, folder: Path) -> None:
    """An environment with the libraries that a version was tested with, each checked against its hash."""
    lock = folder / "requirements.lock"
    lock.write_text(tool.lock, encoding="utf-8")
    try:
        venv.create(folder / "venv", with_pip=True)
    except subprocess.CalledProcessError:
        raise CannotCompare(
            "this Python cannot make environments. On Debian: apt install python3-venv. Or name an environment with --to."
        ) from None
    python = next(path for path in (folder / "venv/bin/python", folder / "venv/Scripts/python.exe") if path.is_file())
    install = [
        str(python),
        "-m",
        "pip",
        "install",
        "--disable-pip-version-check",
        "-q",
        "--require-hashes",
        "-r",
        str(lock),
    ]
    done = subprocess.run(install, capture_output=True, text=True, encoding="utf-8", errors="replace", check=False)
    if done.returncode:
        last = seen_lines("\n".join(done.stderr.strip().splitlines()[-2:])[:400])
        raise CannotCompare(
            f"the libraries of version {tool.version} could not be fetched:\n{last}\nWhere they are installed already, name that "
            "environment with --to."
        )
