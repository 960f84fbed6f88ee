"""Untrusted YAML text to plain data with positions, and nothing else.

Every leaf stays the text that was written (no implicit types, so `1:48`, `010` and `no` survive); duplicate
keys, anchors, aliases and tags are problems. The text is walked by events with bounds on size and depth,
so that no input can hang or crash the build.
"""

import re
from collections.abc import Iterator
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any, cast

import yaml

from gudgeon.records.plain_data import is_list
from gudgeon.records.problems import UNSEEN, Problems, Where, shown

BIGGEST = 1_000_000  # bytes; a notebook's worth of readings is a hundredth of it
DEEPEST = 20  # levels; the deepest record has eight
# What git writes where two branches changed the same lines. In Markdown a line of "=" underlines a heading.
CONFLICT = re.compile(r"^(?:<{7} |>{7} |\|{7} |={7}\r?$)", re.MULTILINE)
CONFLICT_IN_MARKDOWN = re.compile(r"^(?:<{7} |>{7} |\|{7} )", re.MULTILINE)
_LOADER = getattr(yaml, "CLoader", yaml.Loader)  # libyaml where the wheel carries it: eight times faster

Path_ = tuple[str | int, ...]


@dataclass
class Document:
    """What a file says: data (dicts, lists, strings, None) and where each value and each key stands."""

    file: str
    data: Any = None
    values: dict[Path_, tuple[int, int]] = field(default_factory=dict)
    keys: dict[Path_, tuple[int, int]] = field(default_factory=dict)

    def where(self, path: Path_ = ()) -> Where:
        """Where the value at a path stands, or the nearest thing around it."""
        while path not in self.values and path:
            path = path[:-1]
        return Where(self.file, *self.values.get(path, (1, 1)))

    def where_key(self, path: Path_) -> Where:
        """Where the key at a path stands."""
        return Where(self.file, *self.keys[path]) if path in self.keys else self.where(path)


class _Refused(Exception):
    def __init__(self, line: int, column: int, text: str):
        self.line, self.column, self.text = line, column, text


def raw_of(path: Path, file: str, problems: Problems) -> bytes | None:
    """The bytes of a file within bounds, or None with a problem noted. Links are not followed."""
    if path.is_symlink():
        problems.add(Where(file), "", "links are not followed. Put the file itself here.")
        return None
    try:
        size = path.stat().st_size
        raw = path.read_bytes() if size <= BIGGEST else b""
    except OSError as error:
        problems.add(Where(file), "", f"this file cannot be read: {error.strerror}.")
        return None
    if size > BIGGEST:
        problems.add(
            Where(file),
            "",
            f"the file is {size / 1e6:.1f} MB; the most is {BIGGEST / 1e6:.0f} MB. Split it into several files.",
        )
        return None
    return raw


def read_text(path: Path, file: str, problems: Problems) -> str | None:
    """The text of a file within bounds, or None with a problem noted. Links are not followed."""
    raw = raw_of(path, file, problems)
    if raw is None:
        return None
    try:
        text = raw.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        before = raw[: error.start]
        column = error.start - (before.rfind(b"\n") + 1) + 1
        problems.add(
            Where(file, before.count(b"\n") + 1, column),
            "",
            f"the file is not UTF-8 text: byte 0x{raw[error.start]:02x}. Save it as UTF-8.",
        )
        return None
    conflict = (CONFLICT_IN_MARKDOWN if path.suffix == ".md" else CONFLICT).search(text)
    if conflict:
        problems.add(
            Where(file, text.count("\n", 0, conflict.start()) + 1),
            "",
            "a merge stands here half done. Keep the rows of both sides, of a row that stands twice under one id the main branch's, "
            'and remove the lines that begin with "<<<<<<<", "=======" and ">>>>>>>".',
        )
        return None
    unseen = UNSEEN.search(text)
    if unseen:
        before = text[: unseen.start()]
        problems.add(
            Where(file, before.count("\n") + 1, unseen.start() - (before.rfind("\n") + 1) + 1),
            "",
            f"a character that cannot be seen (U+{ord(unseen[0]):04X}). Remove it.",
        )
        return None
    return text


def read_yaml(text: str, file: str, problems: Problems, first_line: int = 1) -> Document | None:
    """Read one YAML document, or None with a problem noted. first_line: where the text starts in its file."""
    document = Document(file)
    try:
        _Reader(document, first_line - 1).read(text)
    except _Refused as refused:
        problems.add(Where(file, refused.line, refused.column), "", refused.text)
        return None
    except yaml.YAMLError as error:
        mark = getattr(error, "problem_mark", None) or getattr(error, "context_mark", None)
        line, column = (mark.line + first_line, mark.column + 1) if mark else (first_line, 1)
        said = shown(getattr(error, "problem", None) or "not readable", 120)
        problems.add(
            Where(file, line, column),
            "",
            f"this is not YAML: {said}. Look at the indentation, the quotes and the colons here.",
        )
        return None
    if document.data is None:
        problems.add(Where(file), "", "the file is empty. Write the record, or delete the file.")
        return None
    return document


class _Reader:
    """Builds data from parser events, keeping an explicit stack instead of recursion."""

    def __init__(self, document: Document, shift: int):
        self.document, self.shift = document, shift
        self.stack: list[tuple[Any, Path_]] = []  # open containers with their paths
        self.key: list[str | None] = []  # for each open container: the key that waits for a value

    def read(self, text: str) -> None:
        documents = 0
        events = cast(Iterator[yaml.Event], yaml.parse(text, Loader=_LOADER))  # pyright: ignore[reportUnknownMemberType]  # its stub has no types
        for event in events:
            at = (event.start_mark.line + 1 + self.shift, event.start_mark.column + 1)
            if isinstance(event, yaml.DocumentStartEvent):
                documents += 1
                if documents > 1:
                    raise _Refused(
                        *at,
                        'one file holds one document. Remove the line "---" and what follows, or make a second file.',
                    )
            elif isinstance(event, yaml.AliasEvent):
                raise _Refused(*at, f'aliases are not read here. Found "*{shown(event.anchor)}". Write the value out.')
            elif isinstance(event, (yaml.MappingStartEvent, yaml.SequenceStartEvent)):
                self._plain(event, at)
                if len(self.stack) >= DEEPEST:
                    raise _Refused(
                        *at, f"nested more than {DEEPEST} deep. No record goes that deep: look for a stray bracket."
                    )
                container: Any = {} if isinstance(event, yaml.MappingStartEvent) else []
                path = self._put(container, at)
                self.stack.append((container, path))
                self.key.append(None)
            elif isinstance(event, (yaml.MappingEndEvent, yaml.SequenceEndEvent)):
                self.stack.pop()
                self.key.pop()
            elif isinstance(event, yaml.ScalarEvent):
                self._plain(event, at)
                if UNSEEN.search(event.value):
                    raise _Refused(*at, "a character that cannot be seen stands in this text. Remove it.")
                empty = event.value == "" and not event.style
                self._put(None if empty else event.value, at)

    def _plain(self, event: Any, at: tuple[int, int]) -> None:
        if event.anchor:
            raise _Refused(
                *at,
                f'anchors are not read here. Found "&{shown(event.anchor)}". Write the value out where it is needed.',
            )
        if event.tag and not (isinstance(event, yaml.ScalarEvent) and event.tag == "!"):
            raise _Refused(*at, f'tags are not read here. Found "{shown(event.tag)}". Write the plain value.')

    def _put(self, value: Any, at: tuple[int, int]) -> Path_:
        if not self.stack:
            self.document.data = value
            self.document.values[()] = at
            return ()
        container, path = self.stack[-1]
        if is_list(container):
            here = (*path, len(container))
            container.append(value)
            self.document.values[here] = at
            return here
        waiting = self.key[-1]
        if waiting is None:
            if not isinstance(value, str):
                raise _Refused(*at, "a key is a plain word.")
            here = (*path, value)
            if value in container:
                first = self.document.keys[here]
                raise _Refused(*at, f'"{shown(value)}" stands twice; the first is on line {first[0]}. Keep one.')
            container[value] = None
            self.document.keys[here] = self.document.values[here] = at
            self.key[-1] = value
            return here
        here = (*path, waiting)
        container[waiting] = value
        self.document.values[here] = at
        self.key[-1] = None
        return here
