"""What a command is about to change, kept until it is done, so that the next one can put back what was killed half way.

It lies in the user's own folder and never in the project: nothing in a checkout can put anything into it.
"""

import base64
import hashlib
import json
import os
from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path

from gudgeon.project.platform_folder import folder_of_user
from gudgeon.project.staging import keep


@dataclass(frozen=True)
class Unfinished:
    """A change that did not end: what its files held, the digests of what they were to hold, the files it wrote beside them,
    the folders it made."""

    before: dict[str, bytes | None]
    after: dict[str, str | None]
    parts: list[str]
    folders: list[str]

    def is_after(self, name: str, content: bytes | None) -> bool:
        """Whether a file holds what the change put there, and something else before."""
        return _digest(content) == self.after[name] and content != self.before[name]


class Journal:
    """The journal of one project. file: None keeps none."""

    def __init__(self, file: Path | None, root: Path):
        self._file, self._root = file, os.fspath(root)

    @classmethod
    def of(cls, root: Path) -> "Journal":
        """The journal of a project, in the user's folder."""
        folder = folder_of_user()
        name = hashlib.sha256(os.fsencode(root)).hexdigest()[:32]
        return cls(folder / "unfinished" / f"{name}.json" if folder else None, root)

    def begin(
        self,
        before: Mapping[str, bytes | None],
        after: Mapping[str, bytes | None],
        parts: list[str],
        folders: list[str],
    ) -> None:
        """Note a change before anything of it is done. Where that cannot be kept, the change is made all the same."""
        if self._file is None:
            return
        told = {
            "root": self._root,
            "before": {name: None if raw is None else base64.b64encode(raw).decode() for name, raw in before.items()},
            "after": {name: _digest(raw) for name, raw in after.items()},
            "parts": parts,
            "folders": folders,
        }
        try:
            keep(self._file.parent, self._file.name, json.dumps(told).encode("utf-8", "surrogateescape"), durable=True)
        except OSError:
            self._file = None

    def end(self) -> None:
        """The change is done, or put back."""
        if self._file is not None:
            try:
                self._file.unlink(missing_ok=True)
            except OSError:
                return

    def unfinished(self) -> Unfinished | None:
        """The change that did not end; None where all did, or where nothing can be made of what is kept."""
        if self._file is None:
            return None
        try:
            told = json.loads(self._file.read_bytes())
            before = {str(name): None if raw is None else base64.b64decode(raw) for name, raw in told["before"].items()}
            after = {name: told["after"][name] for name in before}
            parts, folders = ([str(name) for name in told[key]] for key in ("parts", "folders"))
            return Unfinished(before, after, parts, folders) if told["root"] == self._root else None
        except (OSError, ValueError, TypeError, KeyError, AttributeError, RecursionError):
            return None


def _digest(content: bytes | None) -> str | None:
    return None if content is None else hashlib.sha256(content).hexdigest()
