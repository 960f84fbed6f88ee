"""Problems in records, told to people: where, what was found, what to write."""

import difflib
from collections.abc import Iterable
from dataclasses import dataclass, field


@dataclass(frozen=True, order=True)
class Where:
    """A place in a file: path as shown to people (relative, with /), line and column from 1."""

    file: str
    line: int = 1
    column: int = 1

    def __str__(self) -> str:
        return f"{self.file}:{self.line}:{self.column}"


@dataclass(frozen=True, order=True)
class Problem:
    """One thing that has to be put right. `about` names the record, `text` says what is wrong and what to write."""

    where: Where
    about: str
    text: str

    def __str__(self) -> str:
        return f"{self.where}: {self.about}: {self.text}" if self.about else f"{self.where}: {self.text}"


@dataclass
class Problems:
    """Collects the problems of a run, so that they are shown together."""

    found: dict[tuple[Where, str], Problem] = field(default_factory=dict)

    def add(self, where: Where, about: str, text: str) -> None:
        """Note one problem; what a shared line spoils in many rows is told once."""
        self.found.setdefault((where, text), Problem(where, about, text))

    def in_order(self) -> list[Problem]:
        """All problems by file, line and column."""
        return sorted(self.found.values())

    def __bool__(self) -> bool:
        return bool(self.found)


def nearest(word: str, known: Iterable[str]) -> str:
    """A clause that names the nearest known word, or the known words where none is near and they are few."""
    known = sorted(known)
    close = difflib.get_close_matches(word[:80], known, n=1, cutoff=0.6)
    if close:
        return f' Did you mean "{close[0]}"?'
    return f" Known: {', '.join(known)}." if 0 < len(known) <= 12 else ""


def shown(text: str, most: int = 60) -> str:
    """A found text, short enough for a message and on one line."""
    flat = " ".join(str(text).split())
    return flat if len(flat) <= most else flat[: most - 1] + "…"
