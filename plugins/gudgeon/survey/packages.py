"""Which data packages lie in some folders, and what each says of itself. They were written by others: nothing in them is trusted."""

import json
import os
import stat
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from gudgeon.export.package_format import DATA_FORMAT
from gudgeon.records.problems import Problems, Where, seen, shown

DESCRIPTOR = "datapackage.json"
MOST_PACKAGES = 200_000
BIGGEST = 20_000_000  # bytes of a file
LONGEST = 300  # letters of a name


class NotRead(Exception):
    """A file that is not read; told to people."""


@dataclass(frozen=True)
class Package:
    """The data package of one build. key: its folder, as it is shown to people. day: of its newest record, or empty.

    invented: it says that no such engine was built.
    """

    folder: Path
    key: str
    build: str
    title: str
    club: str
    licence: str
    address: str
    units: str
    day: str
    invented: bool


def packages(places: Iterable[Path], problems: Problems) -> list[Package]:
    """The packages in some folders and below them. A build that lies there twice counts once, as its newest package has it."""
    newest: dict[tuple[str, str], Package] = {}
    for number, folder in enumerate(_folders(places)):
        if number == MOST_PACKAGES:
            problems.add(
                Where(seen(str(folder))), "", f"more than {MOST_PACKAGES} packages. Ask of fewer folders at a time."
            )
            break
        package = _described(folder, problems)
        if package is None:
            continue
        # Without a club nothing says that two builds of one name are one.
        same = (package.club, package.build if package.club else package.key)
        before = newest.get(same)
        if before is None or package.day > before.day:
            newest[same] = package
    return sorted(newest.values(), key=lambda package: package.key)


def _folders(places: Iterable[Path]) -> Iterator[Path]:
    passed: set[Path] = set()
    for place in places:
        for folder, below, names in os.walk(place):  # links are not followed: a package may hold one to anywhere
            below.sort()
            here = Path(folder)
            if DESCRIPTOR in names and here.resolve() not in passed:
                passed.add(here.resolve())
                yield here


def text_of(path: Path) -> str:
    """What stands in a file of a package. Raises NotRead for what is no plain file of a bounded size in UTF-8."""
    try:
        state = path.lstat()
        if not stat.S_ISREG(state.st_mode):
            raise NotRead("this is no plain file: a link or a device is not read.")
        if state.st_size > BIGGEST:
            raise NotRead(f"the file is over {BIGGEST // 1_000_000} MB; no table of one build is.")
        return path.read_bytes().decode("utf-8-sig")
    except UnicodeDecodeError as error:
        raise NotRead(f"this is not UTF-8: byte {error.start}.") from None
    except OSError as error:
        raise NotRead(f"it cannot be read: {error.strerror}.") from None


def _described(folder: Path, problems: Problems) -> Package | None:
    where = Where(str(folder / DESCRIPTOR))
    try:
        told = json.loads(text_of(folder / DESCRIPTOR))
    except NotRead as lack:
        problems.add(where, "", str(lack))
        return None
    except (ValueError, RecursionError) as error:
        line = error.lineno if isinstance(error, json.JSONDecodeError) else 1
        problems.add(Where(where.file, line), "", "this is not JSON.")
        return None
    ours = told.get("gudgeon") if isinstance(told, dict) else None
    if not isinstance(ours, dict):
        return None  # another program's package: it is no business of ours
    if ours.get("format") != DATA_FORMAT:
        problems.add(where, "", f"its format is {shown(str(ours.get('format')))}; what is read here is {DATA_FORMAT}.")
        return None
    build = _line(told.get("name"))
    if not build:
        problems.add(where, "", 'it has no "name".')
        return None
    licences = told.get("licenses")
    first = licences[0] if isinstance(licences, list) and licences else None
    address = _line(told.get("homepage"))
    return Package(
        folder=folder,
        key=seen(str(folder)),
        build=build,
        title=_line(told.get("title")),
        club=_line(ours.get("club")),
        licence=_line(first.get("name")) if isinstance(first, dict) else "",
        address=address if address.startswith(("https://", "http://")) else "",
        units="in" if ours.get("units") == "in" else "mm",
        day=_line(told.get("version")),
        invented=ours.get("invented") is True,
    )


def _line(given: Any) -> str:
    """A text of a package on one line, with nothing unseen in it; empty where it is none."""
    return seen(shown(given, LONGEST)) if isinstance(given, str) else ""
