"""The tool as a club's repository pins it: one wheel with its hash, and the libraries that it was tested with."""

import functools
import hashlib
import importlib.metadata
import io
import json
import re
import subprocess
import sys
import tempfile
import tomllib
import zipfile
from dataclasses import dataclass
from email.parser import HeaderParser
from pathlib import Path
from urllib.parse import urlsplit
from urllib.request import url2pathname

import gudgeon

NAME = "gudgeon"
FOLDER = "tool"  # of a club's repository; its wheel lies there
LOCK = f"{NAME}/club/requirements.lock"  # in the wheel; pyproject.toml puts it there
OWN_LOCK = Path(__file__).parent / "requirements.lock"  # there where this runs from its wheel
BIGGEST_WHEEL = 100_000_000  # bytes; the tool's is about a hundredth of that
_WHEEL_NAME = re.compile(rf"{NAME}-[A-Za-z0-9_.!+]+-py3-none-any\.whl")
_PINNED = re.compile(rf"^(?:\./(?P<path>{FOLDER}/\S+\.whl)|{NAME} @ (?P<address>\S+))", re.MULTILINE)
_HEAD = """\
# What this site is built with, each piece with its hash; start.py makes .venv/ from it. Written by gudgeon new club.
# Another version of the tool: python3 start.py gudgeon upgrade
"""


class NoWheel(Exception):
    """No wheel of the tool can be had; the message says why, and what to give."""


@dataclass(frozen=True)
class Tool:
    """One version of the tool. wheel: its content, where it goes into the repository; address: where it is fetched from
    otherwise. lock: the libraries that it was tested with, as a requirements file with hashes."""

    version: str
    name: str
    sha256: str
    lock: str
    wheel: bytes | None = None
    address: str | None = None

    @property
    def path(self) -> str | None:
        """Where the wheel lies in the club's repository."""
        return f"{FOLDER}/{self.name}" if self.wheel is not None else None

    def requirements(self) -> str:
        """The club's requirements.txt."""
        place = f"./{self.path}" if self.path else f"{NAME} @ {self.address}"
        libraries = "".join(line for line in self.lock.splitlines(keepends=True) if not line.startswith("#"))
        return (
            f"{_HEAD}{place} \\\n    --hash=sha256:{self.sha256}\n# The libraries that it was tested with.\n{libraries}"
        )


def pinned(requirements: str) -> str | None:
    """The wheel that a requirements.txt names: its path in the repository, or its address. None where it names none."""
    line = _PINNED.search(requirements)
    return (line["path"] or line["address"]) if line else None


def of_wheel(file: Path) -> Tool:
    """The tool in a wheel file. Raises NoWheel."""
    if not _WHEEL_NAME.fullmatch(file.name):
        raise NoWheel(
            f'"{file.name}" is no wheel of the tool: its name is {NAME}-VERSION-py3-none-any.whl, as it was made.'
        )
    try:
        if file.stat().st_size > BIGGEST_WHEEL:
            raise NoWheel(f"{file.name} is larger than any wheel of the tool.")
        content = file.read_bytes()
        version, lock = _inside(content)
    except OSError as error:
        raise NoWheel(f"{file} cannot be read: {error.strerror or error}.") from None
    except (zipfile.BadZipFile, KeyError, UnicodeDecodeError, EOFError, NotImplementedError, RuntimeError):
        raise NoWheel(
            f"{file.name} is no wheel, or one of a version that cannot be pinned: {LOCK} is not in it."
        ) from None
    return Tool(version, file.name, hashlib.sha256(content).hexdigest(), lock, wheel=content)


def of_installed() -> Tool:
    """The tool that runs now: made anew from its work tree, or as the wheel that it was installed from. Raises NoWheel."""
    tree = Path(gudgeon.__file__).resolve().parents[2]
    if _is_work_tree(tree):
        return _made_from(tree)
    origin = _origin()
    archive, url = origin.get("archive_info"), str(origin.get("url", ""))
    if archive is None or not url.endswith(".whl"):
        raise NoWheel(f"it is not known which wheel this {NAME} was installed from. {_GIVE}")
    told = (archive.get("hashes") or {}).get("sha256") or str(archive.get("hash", "")).removeprefix("sha256=")
    address = urlsplit(url)
    if address.scheme != "file":
        is_plain = address.scheme == "https" and not address.username and not any(sign.isspace() for sign in url)
        if not is_plain or not re.fullmatch(r"[0-9a-f]{64}", told) or not OWN_LOCK.is_file():
            raise NoWheel(f"{NAME} was installed from {address.hostname}, which cannot be pinned by its hash. {_GIVE}")
        name, version = address.path.rpartition("/")[2], importlib.metadata.version(NAME)
        return Tool(version, name, told, OWN_LOCK.read_text(encoding="utf-8"), address=url)
    file = Path(url2pathname(address.path))
    if not file.is_file():
        raise NoWheel(f"{NAME} was installed from {file}, and that is no longer there. {_GIVE}")
    tool = of_wheel(file)
    if told and tool.sha256 != told:
        raise NoWheel(f"{file} is not the file any more that {NAME} was installed from. {_GIVE}")
    return tool


_GIVE = "Give its wheel file with --tool WHEEL."


def _inside(content: bytes) -> tuple[str, str]:
    """The version that a wheel says of itself, and its lock."""
    with zipfile.ZipFile(io.BytesIO(content)) as archive:
        lock = archive.read(LOCK).decode("utf-8")
        metadata = next(name for name in archive.namelist() if name.endswith(".dist-info/METADATA"))
        said = HeaderParser().parsestr(archive.read(metadata).decode("utf-8"))
    if said["Name"] != NAME or not said["Version"]:
        raise KeyError(NAME)
    return said["Version"], lock


def _origin() -> dict:
    """What the installer wrote of where the tool came from (PEP 610); empty where it says nothing."""
    try:
        distribution = importlib.metadata.distribution(NAME)
        runs = Path(gudgeon.__file__).resolve()
        if Path(str(distribution.locate_file("gudgeon/__init__.py"))).resolve() != runs:
            return {}  # another copy is installed than the one that runs
        said = json.loads(distribution.read_text("direct_url.json") or "{}")
    except (importlib.metadata.PackageNotFoundError, OSError, ValueError):
        return {}
    return said if isinstance(said, dict) else {}


def _is_work_tree(folder: Path) -> bool:
    try:
        project = tomllib.loads((folder / "pyproject.toml").read_text(encoding="utf-8"))
    except (OSError, ValueError):
        return False
    return project.get("project", {}).get("name") == NAME


@functools.cache
def _made_from(tree: Path) -> Tool:
    """The wheel of a work tree as it stands: by hatchling where it is at hand, or by the pip of the Python outside."""
    ways = (
        [sys.executable, "-m", "hatchling", "build", "--target", "wheel", "--directory"],
        [
            getattr(sys, "_base_executable", sys.executable),
            "-m",
            "pip",
            "wheel",
            "--quiet",
            "--no-deps",
            ".",
            "--wheel-dir",
        ],
    )
    with tempfile.TemporaryDirectory(prefix="gudgeon-") as place:
        for way in ways:
            done = subprocess.run([*way, place], cwd=tree, capture_output=True)
            wheel = next(Path(place).glob("*.whl"), None)
            if done.returncode == 0 and wheel is not None:
                return of_wheel(wheel)
    raise NoWheel(
        f"no wheel could be made of {tree}: that takes the library hatchling, or pip and a network. Make one there with "
        f"python3 -m pip wheel --no-deps . and give it with --tool."
    )
