"""The texts of a club's records, and how a step changes them: in their place, with nothing lost that is not named."""

import re
from collections import Counter
from collections.abc import Callable, Iterable, Iterator, Mapping
from dataclasses import dataclass, field
from fnmatch import fnmatchcase
from pathlib import Path

import yaml

from gudgeon.records.problems import Problems
from gudgeon.records.yaml_text import Document, Path_, read_yaml

OF_A_BUILD = ("*.yaml", "parts/*.yaml", "readings/*.yaml", "log/*.md")
OF_THE_SHELF = (
    "*.yaml",
    *(f"{folder}/*.yaml" for folder in ("rules", "cautions", "materials", "glossary", "outcomes")),
)
HEAD = re.compile(r"---[ \t]*\n(.*?\n)---[ \t]*(?:\n|$)", re.DOTALL)  # of an instalment
_LOADER = getattr(yaml, "CLoader", yaml.Loader)


@dataclass(frozen=True)
class Replaced:
    """Something that no longer stands in a file as it stood, and why."""

    file: str
    what: str
    why: str


@dataclass
class Texts:
    """The texts of some builds and of the shelf, by name from the project's root, with plain line ends.

    builds: the folders of the builds, from the root. knowledge: the folder of the shelf.
    """

    texts: dict[str, str]
    builds: tuple[str, ...]
    knowledge: str

    def of_builds(self, pattern: str) -> Iterator[str]:
        """Names of the builds' files that a pattern below a build's folder names, in order."""
        return self._named([f"{build}/{pattern}" for build in self.builds])

    def of_shelf(self, pattern: str) -> Iterator[str]:
        """Names of the shelf's files that a pattern below its folder names, in order."""
        return self._named([f"{self.knowledge}/{pattern}"])

    def _named(self, patterns: list[str]) -> Iterator[str]:
        for name in sorted(self.texts):
            if any(fnmatchcase(name, pattern) and name.count("/") == pattern.count("/") for pattern in patterns):
                yield name

    def document(self, name: str) -> Document | None:
        """What a file says, of an instalment its head; None where it cannot be read, which `gudgeon check` tells."""
        text, first_line = self.texts[name], 1
        if name.endswith(".md"):
            head = HEAD.match(text)
            if head is None:
                return None
            text, first_line = head[1], 2
        return read_yaml(text, name, Problems(), first_line)


@dataclass
class Rewritten:
    """What a step makes of the texts: the files that it changes, and what no longer stands in them."""

    texts: dict[str, str] = field(default_factory=dict)
    replaced: list[Replaced] = field(default_factory=list)


@dataclass(frozen=True)
class Step:
    """One change of the format.

    since: the format in which the new way holds. says: the change in words. rewrite: gives it of the texts of builds of the format before,
    and of the shelf; it finds the old way itself, and changes nothing that is written in the new one.
    """

    name: str
    since: int
    says: str
    rewrite: Callable[[Texts], Rewritten]


def files_of(folder: Path, patterns: Iterable[str]) -> list[str]:
    """Names of the files of a folder that are records, below it; no link is followed."""
    if folder.is_symlink() or not folder.is_dir():
        return []
    return sorted(
        path.relative_to(folder).as_posix()
        for pattern in patterns
        for path in folder.glob(pattern)
        if path.is_file() and not path.is_symlink() and not path.parent.is_symlink()
    )


def with_keys_renamed(text: str, document: Document, names: Mapping[Path_, str]) -> str:
    """A text with keys called otherwise, each in its place. names: path of a key -> what it is called now."""
    lines = text.split("\n")
    # From the end of a line to its beginning, so that what stands before keeps its place.
    for path in sorted(names, key=lambda path: document.keys[path], reverse=True):
        line, column = (at - 1 for at in document.keys[path])
        written = lines[line]
        old = re.compile(rf"(['\"]?){re.escape(str(path[-1]))}\1").match(written, column)
        assert old, f"the key {path[-1]} does not stand at {document.keys[path]}"
        lines[line] = written[:column] + names[path] + written[old.end() :]
    return "\n".join(lines)


def lost(before: Mapping[str, str], after: Mapping[str, str]) -> Counter[str]:
    """Scalars and comments of some files that stand in none of those that take their place, as often as they are missing."""
    return _said(before) - _said(after)


def _said(texts: Mapping[str, str]) -> Counter[str]:
    said: Counter[str] = Counter()
    for name, text in texts.items():
        if name.endswith(".md"):
            head = HEAD.match(text)
            said[text[head.end() if head else 0 :]] += 1  # an instalment's text, as one
            text = head[1] if head else ""
        said.update(_scalars_and_comments(text))
    return said


def _scalars_and_comments(text: str) -> Iterator[str]:
    ends: dict[int, list[tuple[int, int]]] = {}  # line -> from and to which column a scalar stands in it
    for token in yaml.scan(text, Loader=_LOADER):
        if isinstance(token, yaml.ScalarToken):
            yield token.value
            first, last = token.start_mark, token.end_mark
            for line in range(first.line, last.line + 1):
                start = first.column if line == first.line else 0
                ends.setdefault(line, []).append((start, last.column if line == last.line else 1_000_000))
    for number, line in enumerate(text.split("\n")):
        for mark in re.finditer(r"(?:^|(?<=\s))#.*", line):
            if not any(start <= mark.start() < end for start, end in ends.get(number, ())):
                yield mark[0].rstrip()
                break
