"""Numbers of the story that are tied to what the records say: `[5.5 thou](fit:A-F01)`, `[4.2456 in](size:piston.skirt)`.

A tie is an ordinary link of Markdown. What may stand in it is read here; whether the number agrees is worked out elsewhere.
"""

import re
from collections.abc import Callable, Iterable
from dataclasses import dataclass
from urllib.parse import unquote

from gudgeon_calc.units import NotAQuantity, read_quantity

from gudgeon.records.instalment_text import Tie
from gudgeon.records.model import Build, Instalment
from gudgeon.records.problems import Problems, shown
from gudgeon.records.written_length import NotALength, WrittenLength, read_written

# What a number can be tied to -> how such a link is written.
TIED_TO = {
    "fit": "[5.5 thou](fit:A-F01)",
    "size": "[4.2456 in](size:piston.skirt), at one station [4.2562 in](size:cyl.bore@3.5)",
    "form": "[ovality 0.6 thou](form:cyl.bore)",
    "reading": "[4.2456 in](reading:a074)",
}
# What looks as if it could be tied, and why it cannot.
NOT_DATED = {
    "progress": "how far a build was on a day is not in its records: operations that are planned have no date",
    "left": "what was left to do on a day is not in its records: estimates have no date",
}
_STATION = re.compile(r"(?P<number>[0-9]{1,5}(?:[.,][0-9]{1,4})?|[.,][0-9]{1,4}) ?(?P<unit>in|mm)?")
_FORMS = (("taper", "taper"), ("oval", "ovality"), ("out of round", "ovality"), ("out-of-round", "ovality"))


Near = Callable[[str, Iterable[str]], str]


class NotATie(ValueError):
    """A tie leads nowhere or holds no number; the message says what to write instead."""


@dataclass(frozen=True)
class TiedTo:
    """What a number is tied to. kind: a key of TIED_TO. name: the id that it has now. station: mm. form: ovality or taper."""

    kind: str
    name: str
    station: float | None = None
    form: str | None = None


@dataclass(frozen=True)
class ReadTie:
    """A tied number that can be read. tie: as it stands in the text."""

    tie: Tie
    to: TiedTo
    written: WrittenLength


def check_ties(build: Build, problems: Problems) -> None:
    """Note a problem for every tied number that leads nowhere, or is no number."""
    for told in build.instalments:
        for tie in told.ties:
            try:
                read_tie(build, tie, problems.nearest)
            except NotATie as error:
                problems.add(tie.where, shown(tie.words), str(error))


def ties_of(build: Build, told: Instalment) -> list[ReadTie]:
    """The tied numbers of an instalment; those that `check_ties` has a problem with are left out."""
    read: list[ReadTie] = []
    for tie in told.ties:
        try:
            here = read_tie(build, tie)
        except NotATie:
            continue
        if here is not None:
            read.append(here)
    return read


def read_tie(build: Build, tie: Tie, near: Near = lambda word, known: "") -> ReadTie | None:
    """A tie read: None where it points into a file that could not be read, of which nothing can be said.

    near: names the nearest known word to one that is not known. Raises NotATie with what is wrong.
    """
    kind = tie.kind
    if kind in NOT_DATED:
        raise NotATie(f"{NOT_DATED[kind]}. Write the number without a tie.")
    name, at, station = unquote(tie.target)[:300].partition("@")
    now = _name(build, kind, name, near)
    if now is None:
        return None
    if at and kind != "size":
        raise NotATie(f"a {kind} has no station: take out {shown(at + station)!r}.")
    forms = {form for word, form in _FORMS if kind == "form" and word in tie.words.lower()}
    if kind == "form" and len(forms) != 1:
        raise NotATie(f"which form? Say ovality or taper in the words of the link, like {TIED_TO[kind]}.")
    try:
        written = read_written(tie.words)
    except NotALength as error:
        raise NotATie(str(error)) from None
    if written.tight is not None and kind != "fit":
        raise NotATie(f"only a fit has a clearance or an interference. Write the number alone, like {TIED_TO[kind]}.")
    return ReadTie(tie, TiedTo(kind, now, _station(build, station) if at else None, *forms), written)


def _name(build: Build, kind: str, name: str, near: Near) -> str | None:
    """The id that something has now; None where it may stand in a file that could not be read."""
    what = {"fit": "fit", "reading": "reading"}.get(kind, "feature")
    known: Iterable[str] = {
        "fit": build.fits,
        "feature": build.features,
        "reading": {row.id: row for row in build.rows},
    }[what]
    now = build.former_names[what].get(name, name)
    if now not in known:
        unread = {"fit": "fits", "reading": "readings", "feature": name.partition(".")[0]}[what]
        if unread in build.unread or f"{unread}.yaml" in build.unread:
            return None
        raise NotATie(f'there is no {what} "{shown(name)}" in this build.{near(name, known)}')
    if what == "feature" and not build.features[now].is_length:
        raise NotATie(f'"{now}" is not a length: only lengths are tied.')
    if kind == "form" and build.features[now].kind not in ("bore", "od"):
        raise NotATie(f'"{now}" is not round: ovality and taper are of a bore or an outside diameter.')
    return now


def _station(build: Build, station: str) -> float:
    match = _STATION.fullmatch(station.strip())
    units = build.head.units if build.head else "mm"
    if match is None:
        raise NotATie(f"expected a station behind @. Found {shown(station)!r}. Write it like cyl.bore@3.5.")
    number = match["number"].replace(",", ".")
    try:
        return float(read_quantity(f"{number} {match['unit'] or units}", "length"))
    except NotAQuantity as error:
        raise NotATie(str(error)) from None
