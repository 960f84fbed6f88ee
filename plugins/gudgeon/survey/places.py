"""Where packages are looked for: folders, lists of folders, and lists of clubs."""

from collections.abc import Iterable
from pathlib import Path

from gudgeon.records.clubs import CLUBS_FORMAT, ClubsFile
from gudgeon.records.problems import Problems, Where, seen, shown
from gudgeon.records.validation import validate
from gudgeon.records.yaml_text import read_yaml
from gudgeon.survey.packages import NotRead, text_of

MOST_LISTED = 100_000


class NoPlace(Exception):
    """A list that cannot be used, or leads nowhere; told to people."""


def places_of(given: Iterable[Path], problems: Problems) -> list[Path]:
    """The folders that were given, and those that a given file lists: one a line, or the copies of clubs' sites that a
    clubs.yaml names. Both are from that file's folder. A club that is only on the network is told as a problem."""
    folders: list[Path] = []
    for place in given:
        folders += [place] if place.is_dir() else _listed(place, problems)
    return folders


def _listed(path: Path, problems: Problems) -> list[Path]:
    name = seen(str(path))
    try:
        text = text_of(path.resolve())
    except NotRead as lack:
        raise NoPlace(f"{name}: {lack}") from None
    of_clubs = CLUBS_FORMAT in text[:4_000]
    lines = _copies(text, name, problems) if of_clubs else list(enumerate(text.splitlines(), 1))
    if len(lines) > MOST_LISTED:
        raise NoPlace(f"{name}: it lists more than {MOST_LISTED} folders.")
    folders = []
    for number, line in lines:
        folder_name = line.strip()
        if not folder_name or folder_name.startswith("#"):
            continue
        folder = path.parent / folder_name
        if "\x00" in folder_name or not folder.is_dir():
            form = "a list of clubs names a copy of a site" if of_clubs else "Write one folder a line"
            raise NoPlace(f"{name}:{number}: there is no folder {shown(folder_name)}. {form}.")
        folders.append(folder)
    return folders


def _copies(text: str, name: str, problems: Problems) -> list[tuple[int, str]]:
    """(line, folder of the copy of its site) of each club in a clubs.yaml."""
    of_file = Problems()
    document = read_yaml(text, name, of_file)
    listed = validate(ClubsFile, document, of_file) if document else None
    if listed is None:
        raise NoPlace("\n".join(str(problem) for problem in of_file.in_order()))
    copies = []
    for club in listed.clubs:
        where: Where = club.where("index")
        if "://" in club.index:
            problems.add(
                where,
                club.name,
                "its site is on the network and was not asked: fetch a copy and name its share/index.json.",
            )
        else:
            site = club.index.removesuffix("index.json").removesuffix("share/")
            copies.append((where.line, site or "."))
    return copies
