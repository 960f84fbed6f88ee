"""What was worked out before, kept by a digest of everything that it rests on.

It lies in the user's own cache folder and never in the project, so that nothing in a checkout or a fork can put anything
into it. It is safe to delete. Entries are JSON, held to the models when they are read; nothing in them runs. An entry that
cannot be read is as if it were not there.
"""

import functools
import hashlib
import importlib.metadata
import importlib.util
import json
import os
import sys
import zlib
from collections.abc import Iterable
from pathlib import Path
from typing import Any

from gudgeon.project.platform_folder import folder_of_user
from gudgeon.project.staging import keep
from gudgeon.records.shelf_layers import PACKAGE

BIGGEST, MOST_FILES = 300_000_000, 5_000  # bytes and files of a folder above which nothing of it is kept
ROOM = 600_000_000  # bytes; the entries that were used longest ago go first. Half is for pictures: of 400 all copies
# What decides a number or a page beside our own code.
LIBRARIES = (
    "citeproc-py",
    "jinja2",
    "markdown-it-py",
    "markupsafe",
    "nh3",
    "numpy",
    "pandas",
    "pillow",
    "pint",
    "pydantic",
    "pyyaml",
    "uncertainties",
)


class Cache:
    """Entries in a folder, each named by the digest of what it rests on. folder: None keeps nothing."""

    def __init__(self, folder: Path | None):
        self._folder = folder
        self._written = 0

    @property
    def keeps(self) -> bool:
        """Whether it keeps anything: where it does not, nothing has to be digested."""
        return self._folder is not None

    @classmethod
    def of_user(cls) -> "Cache":
        """The cache of this user on this platform."""
        return cls(folder_of_user())

    def get(self, key: str | None) -> Any:
        """What was kept under a key; None where nothing is, or where it cannot be read."""
        if self._folder is None or key is None:
            return None
        path = self._folder / f"{key}.json"
        try:
            entry = json.loads(path.read_text(encoding="utf-8"))
            os.utime(path)
        except (OSError, ValueError, RecursionError):
            return None
        # The key stands in the entry too: a file under another's name is not taken for it.
        return entry.get("kept") if isinstance(entry, dict) and entry.get("key") == key else None

    def put(self, key: str | None, kept: Any) -> None:
        """Keep something that JSON can hold. Where it cannot be written nothing is kept, and nothing is said."""
        if self._folder is None or key is None:
            return
        self._put(f"{key}.json", json.dumps({"key": key, "kept": kept}).encode("utf-8", "surrogateescape"))

    def get_packed(self, key: str | None) -> Any:
        """As `get`, of what was kept packed: much text, such as the pages of a build."""
        packed = None if key is None else self._bytes_of(f"{key}.packed")
        try:
            unpacker = zlib.decompressobj()
            entry = json.loads(unpacker.decompress(packed or b"", BIGGEST))
        except (zlib.error, ValueError, RecursionError):
            return None
        return entry.get("kept") if isinstance(entry, dict) and entry.get("key") == key else None

    def put_packed(self, key: str | None, kept: Any) -> None:
        """As `put`, packed."""
        if key is not None and self.keeps:
            text = json.dumps({"key": key, "kept": kept}).encode("utf-8", "surrogateescape")
            self._put(f"{key}.packed", zlib.compress(text, 1))

    def get_bytes(self, key: str) -> bytes | None:
        """The same of what is no JSON; whoever reads it has to see by itself that it is whole and what it asked for."""
        return self._bytes_of(f"{key}.bytes")

    def _bytes_of(self, name: str) -> bytes | None:
        if self._folder is None:
            return None
        path = self._folder / name
        try:
            kept = path.read_bytes()
            os.utime(path)
        except OSError:
            return None
        return kept

    def put_bytes(self, key: str, kept: bytes) -> None:
        """Keep bytes; as `put`."""
        if self._folder is not None:
            self._put(f"{key}.bytes", kept)

    def _put(self, name: str, content: bytes) -> None:
        assert self._folder is not None
        try:
            keep(self._folder, name, content)
            if self._written % 20 == 0:
                self._make_room()
            self._written += 1
        except OSError:
            return

    def _make_room(self) -> None:
        """Remove what was used longest ago, until the rest fits."""
        assert self._folder is not None
        entries = []
        for path in self._folder.iterdir():
            try:
                state = path.stat()
            except OSError:  # another process was faster
                continue
            if path.is_file():
                entries.append((state.st_mtime, state.st_size, path))
        total = 0
        for _, size, path in sorted(entries, reverse=True):
            total += size
            if total > ROOM:
                path.unlink(missing_ok=True)


def key_of(*parts: str | None) -> str | None:
    """One key of several texts, and of the tool; None where one of them is None, which keeps nothing."""
    if None in parts:
        return None
    return _digest([tool_digest(), *(part or "" for part in parts)])


def folder_digest(folder: Path) -> str | None:
    """A digest of the names and contents of all files below a folder.

    None where it cannot be told what a reader would see: with links in it, with more in it than any build has, or unreadable.
    """
    parts: list[str] = []
    total = 0
    try:
        if folder.is_symlink():
            return None
        for path in sorted(folder.rglob("*")):
            if path.is_symlink():
                return None
            if path.is_file():
                total += path.stat().st_size
                if total > BIGGEST or len(parts) > 2 * MOST_FILES:
                    return None
                with path.open("rb") as file:
                    parts += [path.relative_to(folder).as_posix(), hashlib.file_digest(file, "sha256").hexdigest()]
            elif not path.is_dir():
                return None
    except (OSError, UnicodeError):
        return None
    return _digest(parts)


@functools.cache
def tool_digest() -> str:
    """A digest of the code that works things out: our own files as they are, Python and the libraries. The shelf that comes
    with them is not of it: it is digested where it is read, which may be as another revision had it."""
    formulas = importlib.util.find_spec("gudgeon_calc")  # looked for, not known: they are files here, like any
    assert formulas is not None and formulas.origin is not None
    parts = [sys.version]
    parts += [f"{name} {importlib.metadata.version(name)}" for name in LIBRARIES]
    for folder in (Path(__file__).resolve().parent.parent, Path(formulas.origin).parent):
        for path in sorted(folder.rglob("*")):
            code = path.suffix not in (".pyc", ".pyo") and not path.is_relative_to(PACKAGE.folder)
            if path.is_file() and code:
                parts += [path.relative_to(folder).as_posix(), hashlib.sha256(path.read_bytes()).hexdigest()]
    return _digest(parts)


def _digest(parts: Iterable[str]) -> str:
    taken = hashlib.sha256()
    for part in parts:
        raw = part.encode("utf-8", "surrogateescape")
        taken.update(f"{len(raw)}:".encode() + raw)
    return taken.hexdigest()
