"""Reads a list of clubs, and what they all offer side by side."""

import urllib.parse
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path

from gudgeon.records.clubs import CLUBS_FORMAT, ClubsFile, ClubThatShares
from gudgeon.records.knowledge import SHARED_KINDS
from gudgeon.records.problems import Problems, seen, shown
from gudgeon.records.validation import validate
from gudgeon.records.yaml_text import read_yaml
from gudgeon.share.fetching import Refused, fetch
from gudgeon.share.item import digest_of_bytes
from gudgeon.share.offers import Entry, Offers, read_offers


@dataclass(frozen=True)
class ClubOffers:
    """A club of the list and what it offers, or why nothing is known of that. where: of its list."""

    club: ClubThatShares
    where: str
    offers: Offers | Refused


def is_clubs(content: bytes) -> bool:
    """Whether something that was fetched is a list of clubs."""
    return CLUBS_FORMAT.encode() in content[:4_000]


def read_clubs(content: bytes, where: str) -> tuple[ClubThatShares, ...]:
    """The clubs of a list in YAML or JSON. Raises Refused with its problems."""
    problems = Problems()
    name = seen(shown(where))
    try:
        document = read_yaml(content.decode("utf-8-sig"), name, problems)
    except UnicodeDecodeError:
        raise Refused(f"{name} is not UTF-8 text.") from None
    listed = validate(ClubsFile, document, problems) if document else None
    if listed is None:
        raise Refused("\n".join(str(problem) for problem in problems.in_order()))
    return listed.clubs


def offers_of(
    clubs: tuple[ClubThatShares, ...], where: str, tell: Callable[[int, int], None] = lambda done, of: None
) -> list[ClubOffers]:
    """What each club offers. where: the address or file of the list of clubs. tell(done, of): called on the way."""
    known: list[ClubOffers] = []
    for club in clubs:
        address = _place(club.index, where)
        offers: Offers | Refused
        try:
            content = fetch(address)
            if club.digest and digest_of_bytes(content) != club.digest:
                raise Refused(f"{seen(address)} is not the list that was meant: its digest differs.")
            offers = read_offers(content, address)
        except Refused as problem:
            offers = problem
        known.append(ClubOffers(club, address, offers))
        tell(len(known), len(clubs))
    return known


def _place(index: str, where: str) -> str:
    if "://" in index:
        return index
    return urllib.parse.urljoin(where, index) if "://" in where else str(Path(where).parent / index)


def side_by_side(known: list[ClubOffers]) -> dict[str, list[tuple[ClubOffers, Entry]]]:
    """Kind and id -> the clubs that offer something under it, in the order of their list."""
    by_name: dict[str, list[tuple[ClubOffers, Entry]]] = {}
    for one in known:
        for entry in one.offers.entries if isinstance(one.offers, Offers) else ():
            by_name.setdefault(entry.key, []).append((one, entry))
    kinds = list(SHARED_KINDS)
    return dict(sorted(by_name.items(), key=lambda named: (kinds.index(named[1][0][1].kind), named[0])))
