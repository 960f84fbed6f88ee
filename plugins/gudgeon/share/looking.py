"""Looks where things were brought from: what is newer there, what was withdrawn, what is no longer offered."""

import datetime
import re
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from typing import Literal

from gudgeon.project.writing import Desk
from gudgeon.records.knowledge import SHARED_KINDS, Origin, WithdrawnThere
from gudgeon.records.load_knowledge import load_knowledge
from gudgeon.records.model import Knowledge
from gudgeon.share.fetching import Refused
from gudgeon.share.offers import INDEX_NAME, Entry, Notice, Offers, fetch_offers, kind_of
from gudgeon.share.origins import ORIGINS, with_origins

State = Literal["same", "newer", "withdrawn", "gone", "not looked at"]


@dataclass(frozen=True)
class Looked:
    """How something that was brought stands where it came from. why: of what was not looked at."""

    key: str
    origin: Origin
    state: State
    changed_here: bool
    entry: Entry | None = None
    notice: Notice | None = None
    why: str = ""

    @property
    def name(self) -> str:
        """Its id here."""
        return self.key.partition(" ")[2]


def look(shelf: Knowledge, where: str | None = None, fetch: Callable[[str], Offers] = fetch_offers) -> list[Looked]:
    """Everything on a shelf that was brought, or with where, the address or file of a list, what came from there."""
    lists: dict[str, Offers | Refused] = {}

    def offers_at(address: str) -> Offers | Refused:
        if address not in lists:
            try:
                lists[address] = fetch(address)
            except Refused as problem:
                lists[address] = problem
        return lists[address]

    looked: list[Looked] = []
    of_where = offers_at(where) if where is not None else None
    if isinstance(of_where, Refused):
        raise of_where
    for key, origin in shelf.origins.items():
        if origin.is_of_tool:
            continue
        base, name = _came_from(key, origin)
        changed = key in shelf.changed_here
        if of_where is not None:
            # A file's place is not kept in the records: it is known again by its club.
            if base != of_where.base and not (base is None and origin.club == of_where.club):
                continue
            looked.append(_looked(key, origin, changed, of_where, name))
        elif base is None:
            why = "it came from a file: gudgeon bring --look with the place of the list that lies beside it"
            looked.append(Looked(key, origin, "not looked at", changed, why=why))
        else:
            offers = offers_at(base + INDEX_NAME)
            if isinstance(offers, Refused):
                looked.append(Looked(key, origin, "not looked at", changed, why=str(offers)))
            else:
                looked.append(_looked(key, origin, changed, offers, name))
    return looked


def _came_from(key: str, origin: Origin) -> tuple[str | None, str]:
    """Where the list that something was on lies, None where that is not known; and what it is called there."""
    word, _, name = key.partition(" ")
    kind = kind_of(word)
    if kind is None:
        return None, name
    address = re.fullmatch(
        rf"(?P<base>.*/)?{SHARED_KINDS[kind]}/(?P<name>[^/]+)\.json|(?P<file>[^/]+)\.json", origin.came_from
    )
    if address is None:
        return None, origin.was_called or name
    return address["base"], address["name"] or address["file"]


def _looked(key: str, origin: Origin, changed: bool, offers: Offers, name: str) -> Looked:
    there = f"{key.partition(' ')[0]} {name}"
    entry = next((entry for entry in offers.entries if entry.key == there), None)
    notice = offers.notices.get(there)
    if notice is None and entry and entry.is_withdrawn:
        notice = Notice(offers.club, None, "its grade there is withdrawn now")
    if notice is not None:
        return Looked(key, origin, "withdrawn", changed, entry, notice)
    if entry is None:
        return Looked(key, origin, "gone", changed)
    return Looked(key, origin, "same" if entry.digest == origin.digest else "newer", changed, entry)


def keep_notices(desk: Desk, shelf_name: str, looked: list[Looked], day: datetime.date) -> list[str]:
    """Write into origins.yaml what was withdrawn since, and take out what no longer is; the keys that this touched."""
    # Read anew: it may have been written meanwhile.
    origins = load_knowledge(desk.root / shelf_name, shelf_name).origins
    entries: dict[str, Origin] = {}
    for one in looked:
        origin = origins.get(one.key)
        if origin is None or one.state in ("not looked at", "gone"):
            continue
        was = origin.withdrawn
        if one.notice is None:
            now = None
        else:
            now = WithdrawnThere(by=one.notice.by, on=one.notice.on, because=one.notice.because, told=day)
            if was and was.model_copy(update={"told": day}) == now:
                now = was  # told earlier
        if now != was:
            entries[one.key] = origin.model_copy(update={"withdrawn": now})
    write_origins(desk, shelf_name, entries)
    return list(entries)


def write_origins(desk: Desk, shelf_name: str, entries: Mapping[str, Origin]) -> None:
    """Make some entries of origins.yaml anew; nothing where there are none."""
    if entries:
        name = f"{shelf_name}/{ORIGINS}"
        desk.write({name: with_origins(desk.text(name), entries)})
