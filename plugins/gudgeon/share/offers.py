"""Reads what a club offers: its list, and the things on it, from an address or a folder."""

import datetime
import json
import re
from collections.abc import Callable, Iterable
from concurrent.futures import ThreadPoolExecutor
from dataclasses import dataclass, field

from pydantic import TypeAdapter, ValidationError

from gudgeon.records.fields import ID
from gudgeon.records.knowledge import SHARED_KINDS, SharedKind
from gudgeon.records.problems import seen, shown
from gudgeon.share.fetching import Refused, fetch

INDEX_NAME = "index.json"
MOST = 2_000  # entries of a list; the largest shelf that is known has a hundredth of it
AT_ONCE = 8  # things that are fetched at the same time
_DAY = TypeAdapter(datetime.date)


@dataclass(frozen=True)
class Entry:
    """A line of a list. where: the address or file of the thing. is_withdrawn: by its own grade. says: digest of its texts as
    the club that gave it first has them, where the list tells it: the same of two clubs is the same thing."""

    kind: SharedKind
    id: str
    title: str
    licence: str
    where: str
    digest: str
    is_withdrawn: bool = False
    says: str | None = None

    @property
    def key(self) -> str:
        """Kind and id, as origins.yaml calls a thing."""
        return f"{self.kind} {self.id}"


@dataclass(frozen=True)
class Notice:
    """That a club withdrew something that it gave. on: the day, where it says one."""

    by: str
    on: datetime.date | None
    because: str


@dataclass(frozen=True)
class Offers:
    """What a club offers. base: what the paths of its things follow. odd: entries that are not of the form that is brought."""

    base: str
    club: str
    entries: list[Entry]
    notices: dict[str, Notice] = field(default_factory=dict)  # "rule A-R1" -> that it was withdrawn
    odd: int = 0
    of: int = 0


def read_offers(content: bytes, where: str) -> Offers:
    """A club's list. where: its address or file. Raises Refused."""
    try:
        listed = json.loads(content)
        items, club = listed["items"], listed.get("club")
        if not isinstance(items, list):
            raise TypeError
    except (ValueError, TypeError, KeyError, AttributeError, RecursionError):
        raise Refused(f"{seen(where)} is no list of what a club offers.") from None
    if len(items) > MOST:
        raise Refused(f"{seen(where)} lists {len(items)} things; at most {MOST} are read.")
    base = where.removesuffix(INDEX_NAME)
    entries: dict[str, Entry] = {}
    odd = 0
    for item in items:
        entry = _entry(item, base)
        if entry is None or entry.key in entries:
            odd += 1
        else:
            entries[entry.key] = entry
    notices = listed.get("withdrawn")
    by = seen(shown(club if isinstance(club, str) and club.strip() else where, 80))
    return Offers(
        base,
        by,
        list(entries.values()),
        dict(_notices(notices[:MOST] if isinstance(notices, list) else [], by)),
        odd,
        len(items),
    )


def kind_of(word: object) -> SharedKind | None:
    """The kind of thing that a word names; None where it names none."""
    return next((kind for kind in SHARED_KINDS if kind == word), None)


def _entry(item: object, base: str) -> Entry | None:
    if not isinstance(item, dict):
        return None
    said = [item.get(key) for key in ("id", "title", "licence", "path", "digest")]
    name, title, licence, path, digest = (value if isinstance(value, str) else "" for value in said)
    kind = kind_of(item.get("kind"))
    # People copy the command into their shell: nothing stands in it but what has a form.
    whole = re.fullmatch(ID, name) and re.fullmatch("sha256:[0-9a-f]{64}", digest)
    if kind is None or not whole or path != f"{SHARED_KINDS[kind]}/{name}.json":
        return None
    says = item.get("says")
    return Entry(
        kind,
        name,
        seen(shown(title, 80)),
        seen(shown(licence, 80)),
        base + path,
        digest,
        item.get("withdrawn") is True,
        says if isinstance(says, str) else None,
    )


def _notices(listed: list[object], by: str) -> Iterable[tuple[str, Notice]]:
    for item in listed:
        if not isinstance(item, dict):
            continue
        kind, name, because, on = kind_of(item.get("kind")), *(item.get(key) for key in ("id", "because", "on"))
        if kind is None or not isinstance(name, str) or not re.fullmatch(ID, name):
            continue
        try:
            day = _DAY.validate_python(on)
        except ValidationError:
            day = None
        says = seen(shown(because, 300)) if isinstance(because, str) and because.strip() else "no reason is given"
        yield f"{kind} {name}", Notice(by, day, says)


def fetch_offers(where: str) -> Offers:
    """The list at an address or in a file. Raises Refused."""
    return read_offers(fetch(where), where)


def fetch_all(entries: Iterable[Entry], tell: Callable[[int], None] = lambda done: None) -> list[bytes | Refused]:
    """The contents of some things, several fetched at once; for each that could not be, why. tell(done): called on the way."""

    def one(entry: Entry) -> bytes | Refused:
        try:
            return fetch(entry.where)
        except Refused as problem:
            return problem

    contents: list[bytes | Refused] = []
    with ThreadPoolExecutor(AT_ONCE) as pool:
        for content in pool.map(one, entries):
            contents.append(content)
            tell(len(contents))
    return contents
