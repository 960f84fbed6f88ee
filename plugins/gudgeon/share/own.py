"""Copies something of the shelf that comes with the tool onto the club's own, to be changed there: it then stands in its place."""

import datetime
from pathlib import Path

from gudgeon.project.safe_write import NotSound, write_if_sound
from gudgeon.project.writing import Desk
from gudgeon.records.knowledge import HAS_A_FILE, WITH_TOOL, Origin, SharedKind, Sharing
from gudgeon.records.load_knowledge import load_knowledge
from gudgeon.records.model import Knowledge
from gudgeon.records.problems import Problems, nearest, shown
from gudgeon.records.read_file import read_record
from gudgeon.records.shared_files import digest_of, item_files
from gudgeon.share.origins import ORIGINS, with_origins


class NotTaken(Exception):
    """What was to be copied is not; the message says why and what to do."""


def take_own(
    desk: Desk, shelf_name: str, shelf: Knowledge, kind: SharedKind, name: str, day: datetime.date
) -> list[Path]:
    """Copy one thing of the tool's shelf onto the club's. shelf: both layers as they stand. Raises NotTaken."""
    key = f"{kind} {name}"
    if shelf.whose.get(key) == "club":
        raise NotTaken(f"the {key} stands on the club's shelf already: edit it in {shelf_name}/{_place(kind, name)}.")
    if key not in shelf.whose or shelf.package is None:
        known = [other.partition(" ")[2] for other, whose in shelf.whose.items() if other.startswith(f"{kind} ")]
        raise NotTaken(f'no {kind} "{shown(name)}" comes with Gudgeon.{nearest(name, known)}')
    files = item_files(shelf.package.folder, kind, name)
    given = read_record(shelf.package.folder / "sharing.yaml", "sharing.yaml", Sharing, Problems())
    if not files or given is None:
        raise NotTaken(f"the files of the {key} cannot be read where Gudgeon is installed. Install it anew.")
    digest = digest_of(files)
    origin = Origin(
        came_from=WITH_TOOL, club=given.club, licence=given.licence, digest=digest, as_brought=digest, on=day
    )
    there = desk.text(f"{shelf_name}/{ORIGINS}")
    for path in files:
        if desk.note(f"{shelf_name}/{path}") is not None:
            raise NotTaken(f"{shelf_name}/{path} already exists, and is not written over.")
    try:
        return write_if_sound(
            desk,
            shelf_name,
            {**files, ORIGINS: with_origins(there, {key: origin})},
            lambda place: load_knowledge(place, shelf_name, shelf.package).problems,
            {str(problem) for problem in shelf.problems},
        )
    except NotSound as problem:
        raise NotTaken(f"it is not sound here, and nothing was written:\n{problem}") from None


def _place(kind: SharedKind, name: str) -> str:
    return f"{HAS_A_FILE[kind]}/{name}/family.yaml" if kind == "family" else f"{HAS_A_FILE[kind]}/{name}.yaml"
