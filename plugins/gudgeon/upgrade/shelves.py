"""What two versions of the tool bring with them, held against each other: records of their shelves, keys of records."""

import re
from collections.abc import Iterator, Mapping
from pathlib import Path

from gudgeon.review.slip import Newer
from gudgeon.upgrade.values import Head

# A file of the shelf -> what it is, and its name where it has one.
FILES = (
    (re.compile(r"rules/([^/]+)\.yaml"), "rule"),
    (re.compile(r"cautions/([^/]+)\.yaml"), "caution"),
    (re.compile(r"materials/([^/]+)\.yaml"), "material"),
    (re.compile(r"families/([^/]+)/starter/.+"), "starter"),
    (re.compile(r"families/([^/]+)/.+"), "family"),
)
Change = tuple[str, str]  # what it is, its name


def differing_files(was: Head, now: Head) -> list[str]:
    """Files of the shelf that ships with the tool which are not the same in both versions."""
    return sorted(name for name in {*was.shelf, *now.shelf} if was.shelf.get(name) != now.shelf.get(name))


def record_of(file: str) -> Change:
    """What a file of the shelf is, and its name: ("rule", "P-R1")."""
    for pattern, what in FILES:
        if match := pattern.fullmatch(file):
            return what, match[1]
    return "file", file


def newer(was: Head, now: Head, own: Path) -> list[Newer]:
    """What the later version brings, changes or no longer has. own: the club's shelf, whose files stand in the place of the tool's."""
    return [*_of_shelf(was, now, own), *_of_keys(was.keys, now.keys)]


def _of_shelf(was: Head, now: Head, own: Path) -> Iterator[Newer]:
    files: dict[Change, list[str]] = {}
    for file in differing_files(was, now):
        files.setdefault(record_of(file), []).append(file)
    for (what, name), of_record in files.items():
        before, after = ([file in head.shelf for file in of_record] for head in (was, now))
        change = "new" if not any(before) else "withdrawn" if not any(after) else "changed"
        yield Newer(what=what, id=name, change=change, own=all((own / file).is_file() for file in of_record))


def _of_keys(was: Mapping[str, tuple[str, ...]], now: Mapping[str, tuple[str, ...]]) -> Iterator[Newer]:
    for schema in sorted({*was, *now}):
        before, after = set(was.get(schema, ())), set(now.get(schema, ()))
        for key in sorted(_topmost(after - before)):
            yield Newer(what="key", id=f"{schema}: {key}", change="new", own=False)
        for key in sorted(_topmost(before - after)):
            yield Newer(what="key", id=f"{schema}: {key}", change="withdrawn", own=False)


def _topmost(keys: set[str]) -> set[str]:
    """The keys of which none above is among them: of a new record its own key is enough."""
    return {key for key in keys if not any(key.startswith(f"{above}.") for above in keys)}
