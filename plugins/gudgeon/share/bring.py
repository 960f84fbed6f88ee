"""Brings something from another club onto the shelf: pinned by its digest, with its origin and licence kept.

Nothing is fetched during a build; this runs when a person asks for it. What comes is untrusted: bounded, never run, and
written only when the whole shelf is sound with it.
"""

import datetime
import json
import re
import urllib.parse
import urllib.request
from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path

from gudgeon.project.safe_write import NotSound, write_if_sound
from gudgeon.project.writing import Desk
from gudgeon.records.bibliography import BIBLIOGRAPHY, faults
from gudgeon.records.fields import ID
from gudgeon.records.knowledge import SHARED_KINDS
from gudgeon.records.load_build import load_build
from gudgeon.records.load_knowledge import load_knowledge
from gudgeon.records.problems import Problem, Problems, shown
from gudgeon.records.shared_files import digest_of, item_files
from gudgeon.records.validation import first_fault
from gudgeon.records.yaml_text import BIGGEST, read_yaml
from gudgeon.records.yaml_writing import scalar
from gudgeon.share import needs
from gudgeon.share.item import SharedItem, digest_of_bytes

ORIGINS = "origins.yaml"  # below the shelf
PATIENCE = 20  # seconds for an address to answer
_ALLOWED = {
    "family": r"families/{id}/(family\.yaml|starter/(build|operations)\.yaml|starter/parts/[a-z0-9][a-z0-9_-]{{0,39}}\.yaml)",
    "rule": r"rules/{id}\.yaml",
    "caution": r"cautions/{id}\.yaml",
    "material": r"materials/{id}\.yaml",
    "outcomes": r"outcomes/{id}\.yaml",
}


class Refused(Exception):
    """What was to be brought is not taken; the message says why and what to do."""


class NotReached(Refused):
    """The address or the file cannot be reached."""


@dataclass(frozen=True)
class Brought:
    """What was brought. same: it was here already, word for word."""

    item: SharedItem
    name: str
    digest: str
    paths: list[Path]
    same: bool = False


class _OnlyWeb(urllib.request.HTTPRedirectHandler):
    def redirect_request(self, req, fp, code, msg, headers, newurl):
        _check_address(newurl)
        return super().redirect_request(req, fp, code, msg, headers, newurl)


def _check_address(address: str) -> None:
    parts = urllib.parse.urlsplit(address)
    local = parts.hostname in ("localhost", "127.0.0.1", "::1")
    if parts.scheme != "https" and not (parts.scheme == "http" and local):
        raise Refused(f'an address begins with https://. Found "{shown(address)}".')


def fetch(where: str) -> bytes:
    """The content of an address or a file, within bounds."""
    if "://" not in where:
        path = Path(where)
        if not path.is_file():
            raise NotReached(f"there is no file {shown(where)}.")
        if path.stat().st_size > BIGGEST:
            raise Refused(f"the file is over {BIGGEST // 1_000_000} MB; nothing that travels is.")
        return path.read_bytes()
    _check_address(where)
    try:
        with urllib.request.build_opener(_OnlyWeb).open(where, timeout=PATIENCE) as answer:
            content = answer.read(BIGGEST + 1)
    except (OSError, ValueError) as error:
        raise NotReached(f"{shown(where)} cannot be reached: {shown(str(getattr(error, 'reason', error)))}.") from None
    if len(content) > BIGGEST:
        raise Refused(f"{shown(where)} gives over {BIGGEST // 1_000_000} MB; nothing that travels is so large.")
    return content


def read_item(content: bytes, where: str, digest: str | None = None) -> SharedItem:
    """An item from its bytes; with a digest only if it is that one."""
    actual = digest_of_bytes(content)
    if digest and digest != actual:
        raise Refused(
            f"the digest differs: {shown(where)} is {actual}, not {shown(digest, 80)}. It was changed, or is another file."
        )
    try:
        item = SharedItem.model_validate_json(content)
    except (ValueError, RecursionError) as error:
        raise Refused(f"{shown(where)} is nothing that travels here: {first_fault(error)}.") from None
    pattern = re.compile(_ALLOWED[item.kind].format(id=re.escape(item.id)))
    odd = next((name for name in item.files if not pattern.fullmatch(name)), None)
    if odd is not None or not item.files:
        raise Refused(f'{shown(where)}: a {item.kind} does not hold a file "{shown(odd or "nothing")}".')
    return item


def bring(
    desk: Desk,
    shelf_name: str,
    where: str,
    content: bytes,
    day: datetime.date,
    digest: str | None = None,
    name: str | None = None,
    update: bool = False,
    resting_on: Mapping[str, str] | None = None,
) -> Brought:
    """Bring an item onto the shelf shelf_name of a project. where: the address or file that its content was fetched from.

    day: the day, for the record. digest: demand this one. name: give it another id here, so that it stands beside one that
    says otherwise. update: put it in the place of what was brought before and was not changed here. resting_on: rule whose
    result it takes -> rule of this shelf whose result it is to take here. Raises Refused.
    """
    item = read_item(content, where, digest)
    here = name or item.id
    if not re.fullmatch(ID, here) or (name and item.kind == "family"):
        raise Refused(
            f'"{shown(here)}" cannot be the id of a {item.kind}.'
            + (" A part family keeps its name: builds and cautions call it by that." if item.kind == "family" else "")
        )
    folder = desk.root / shelf_name
    shelf = load_knowledge(folder, shelf_name)
    key = f"{item.kind} {here}"
    files = needs.resting_on(_renamed(item, here), resting_on or {})
    there = item_files(folder, item.kind, here)
    for path in (*there, BIBLIOGRAPHY, ORIGINS):
        desk.note(f"{shelf_name}/{path}")
    if there == files:
        return Brought(item, here, digest_of_bytes(content), [], same=True)
    if there:
        if not update:
            beside = f" Bring it beside that one with --as {here}-2, or" if item.kind != "family" else " To"
            raise Refused(
                f"a {item.kind} {here} stands here already and says otherwise.{beside} take its place with --update."
            )
        if key not in shelf.origins or key in shelf.changed_here:
            raise Refused(
                f"the {item.kind} {here} is this club's own or was changed here: it is not written over. Bring it beside that one with --as."
            )
    stated = item.model_copy(
        update={
            "rests_on": {other: digest for other, digest in item.rests_on.items() if other not in (resting_on or {})}
        }
    )
    lacks = needs.lacking(stated, files, shelf, where)
    if lacks:
        raise Refused(lacks)
    new = {**files}
    sources = _sources(desk.text(f"{shelf_name}/{BIBLIOGRAPHY}"), shelf.sources, item)
    if sources:
        new[BIBLIOGRAPHY] = sources
    before = desk.text(f"{shelf_name}/{ORIGINS}")
    new[ORIGINS] = _origins(before, key, item, where, digest_of_bytes(content), files, day)
    try:
        paths = write_if_sound(
            desk,
            shelf_name,
            new,
            lambda place: _problems(place, shelf_name, item),
            {str(problem) for problem in shelf.problems},
            gone=set(there) - set(files),
        )
    except NotSound as problem:
        raise Refused(f"it is not sound here, and nothing was written:\n{problem}") from None
    return Brought(item, here, digest_of_bytes(content), paths)


def _renamed(item: SharedItem, name: str) -> dict[str, str]:
    """The item's files, under another id where it is to have one here."""
    if name == item.id:
        return dict(item.files)
    ((path, text),) = item.files.items()
    document = read_yaml(text, path, Problems())
    place = document.values.get((item.kind,)) if document else None
    if place is None:
        raise Refused(f'{path} has no line "{item.kind}: {item.id}".')
    lines = text.split("\n")
    lines[place[0] - 1] = f"{item.kind}: {scalar(name)}"
    return {f"{SHARED_KINDS[item.kind]}/{name}.yaml": "\n".join(lines)}


def _sources(bibliography: str | None, known: dict[str, dict], item: SharedItem) -> str | None:
    """The bibliography with the works that the item cites and that are not in it; None where all are."""
    new = []
    for work in item.sources:
        said = faults(work)
        if said:
            raise Refused(f"a work that it cites is not sound: {said}")
        key = work["id"]
        if key not in known:
            new.append(work)
        elif known[key].get("title") != work["title"]:
            raise Refused(
                f'it cites "{shown(work["title"])}" as {key}, and the bibliography here has another work under that key: '
                f'"{shown(known[key].get("title", ""))}". Rename the key in one of them.'
            )
    if not new:
        return None
    before = json.loads(bibliography) if bibliography is not None else []
    return json.dumps([*before, *new], indent=1, ensure_ascii=False) + "\n"


def _origins(
    there: str | None, key: str, item: SharedItem, where: str, digest: str, files: dict[str, str], day: datetime.date
) -> str:
    """origins.yaml with one entry more, or with its entry made anew."""
    before = (
        there
        if there is not None
        else "# Where things on this shelf were brought from. Written by gudgeon bring.\norigins:\n"
    )
    kept = re.sub(rf'^  "?{re.escape(key)}"?:\n(?:    .*\n)*', "", before, flags=re.MULTILINE)
    values = {
        "came_from": where if "://" in where else Path(where).name,
        "club": item.club,
        "licence": item.licence,
        "digest": digest,
        "as_brought": digest_of(files),
        **({"was_called": item.id} if not key.endswith(f" {item.id}") else {}),
        "on": day.isoformat(),
    }
    return kept + f"  {scalar(key)}:\n" + "".join(f"    {name}: {scalar(value)}\n" for name, value in values.items())


def _problems(place: Path, shown_as: str, item: SharedItem) -> list[Problem]:
    """The problems of a shelf, and of the starter of a family that was brought onto it."""
    shelf = load_knowledge(place, shown_as)
    starter = f"families/{item.id}/starter"
    if item.kind != "family" or not (place / starter).exists():
        return shelf.problems
    return [*shelf.problems, *load_build(place / starter, f"{shown_as}/{starter}", shelf).problems]
