"""Where packages are looked for: folders, and lists of folders."""

from collections.abc import Iterable
from pathlib import Path

from gudgeon.records.problems import seen, shown
from gudgeon.survey.packages import NotRead, text_of

MOST_LISTED = 100_000


class NoPlace(Exception):
    """A list that cannot be used, or leads nowhere; told to people."""


def places_of(given: Iterable[Path]) -> list[Path]:
    """The folders that were given, and those that a given file lists, one a line, from that file's folder."""
    folders: list[Path] = []
    for place in given:
        folders += [place] if place.is_dir() else _listed(place)
    return folders


def _listed(path: Path) -> list[Path]:
    try:
        lines = text_of(path.resolve()).splitlines()
    except NotRead as lack:
        raise NoPlace(f"{seen(str(path))}: {lack}") from None
    if len(lines) > MOST_LISTED:
        raise NoPlace(f"{seen(str(path))}: it lists more than {MOST_LISTED} folders.")
    folders = []
    for number, line in enumerate(lines, 1):
        name = line.strip()
        if not name or name.startswith("#"):
            continue
        folder = path.parent / name
        if "\x00" in name or not folder.is_dir():
            raise NoPlace(f"{seen(str(path))}:{number}: there is no folder {shown(name)}. Write one folder a line.")
        folders.append(folder)
    return folders
