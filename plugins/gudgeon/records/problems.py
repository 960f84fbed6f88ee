"""Problems in records, told to people: where, what was found, what to write."""

import difflib
import re
from collections.abc import Iterable
from dataclasses import dataclass, field

# Control characters, marks that turn the direction of writing and characters without a shape: they hide what a text says. The two joiners
# stand between letters of the scripts that need them, and not beside Latin ones; so do the marks that choose a letter's form.
UNSEEN = re.compile(
    "[\x00-\x08\x0b\x0c\x0e-\x1f\x7f-\x9f\u00ad\u034f\u061c\u115f\u1160\u17b4\u17b5\u180b-\u180f\u200b\u200e\u200f\u2028-\u202e"
    "\u2060-\u206f\u3164\ufeff\uffa0\ufff0-\ufffb\ufffe\uffff\U0001d173-\U0001d17a\U000e0000-\U000e0fff]"
    "|(?<![^\x00-\x7f])[\u200c\u200d]|[\u200c\u200d](?![^\x00-\x7f])|(?<=[A-Za-z\\s])[\ufe00-\ufe0f]"
)
_NOT_ON_A_LINE = re.compile(f"{UNSEEN.pattern}|[\r\n]")
MOST_SOUGHT = 40  # words of one run for which a near name is looked for


def seen(text: str) -> str:
    """A text that may hold anything, such as a file's name, with what cannot be seen or written shown as it is coded. It is one
    line: a line end in a name would make what stands behind it look like a line of ours."""
    if text.isprintable():
        return text
    text = text.encode("utf-8", "backslashreplace").decode("utf-8")
    return _NOT_ON_A_LINE.sub(lambda unseen: f"\\x{ord(unseen[0]):02x}", text)


def seen_lines(text: str) -> str:
    """The same of a text of several lines."""
    return "\n".join(seen(line) for line in text.split("\n"))


@dataclass(frozen=True, order=True)
class Where:
    """A place in a file: path as shown to people (relative, with /), line and column from 1."""

    file: str
    line: int = 1
    column: int = 1

    def __post_init__(self):
        object.__setattr__(self, "file", seen(self.file))

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
    _sought: int = 0  # near names looked for

    def add(self, where: Where, about: str, text: str) -> None:
        """Note one problem; what a shared line spoils in many rows is told once."""
        self.found.setdefault((where, text), Problem(where, seen(about), seen(text)))

    def nearest(self, word: str, known: Iterable[str]) -> str:
        """As the function: for the first words, since a search costs as much as there are names. Where hundreds lead nowhere,
        they do so for one reason, which the first tell."""
        self._sought += 1
        return nearest(word, known) if self._sought <= MOST_SOUGHT else ""

    def in_order(self) -> list[Problem]:
        """All problems by file, line and column."""
        return sorted(self.found.values())

    def __bool__(self) -> bool:
        return bool(self.found)


def nearest(word: str, known: Iterable[str]) -> str:
    """A clause that names the nearest known word, or the known words where none is near and they are few."""
    known = sorted(set(known))
    close = difflib.get_close_matches(word[:80], known, n=1, cutoff=0.6)
    if close:
        return f' Did you mean "{close[0]}"?'
    return f" Known: {', '.join(known)}." if 0 < len(known) <= 13 else ""


def shown(text: str, most: int = 60) -> str:
    """A found text, short enough for a message and on one line."""
    flat = " ".join(str(text).split())
    return flat if len(flat) <= most else flat[: most - 1] + "…"
