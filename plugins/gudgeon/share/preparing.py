"""Makes ready what was fetched: reads it as what travels, and says as far as it can be told without trying it what of it can be
brought onto a shelf, in which order, and what somebody has to agree to first."""

import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from pathlib import Path

from gudgeon.records.fields import ID
from gudgeon.records.knowledge import SINGLE, SharedKind
from gudgeon.records.licences import terms_of
from gudgeon.records.model import Knowledge
from gudgeon.records.problems import shown
from gudgeon.records.shared_files import files_of, item_files
from gudgeon.records.validation import first_fault
from gudgeon.share import needs
from gudgeon.share.fetching import Refused
from gudgeon.share.item import SharedItem, digest_of_bytes
from gudgeon.share.names import renamed, same_thing
from gudgeon.share.outcomes import for_this_shelf

_ALLOWED = {
    "family": r"families/{id}/(family\.yaml|starter/(build|operations)\.yaml|starter/parts/[a-z0-9][a-z0-9_-]{{0,39}}\.yaml)",
    "rule": r"rules/{id}\.yaml",
    "caution": r"cautions/{id}\.yaml",
    "material": r"materials/{id}\.yaml",
    "outcomes": r"outcomes/{id}\.yaml",
    "word": r"glossary/words\.yaml",
    "habits": r"habits\.yaml",
    "judgement": r"judgement\.yaml",
}
_MOVES = {
    "habits": "the club's habits count in every build that does not say otherwise: its plans may move",
    "judgement": "it says from where on something has to be looked at, in every build",
}


@dataclass(frozen=True)
class Given:
    """Something that was fetched and is to be brought.

    where: the address or file that its content was fetched from. digest: demand this one. name: give it another id here, so
    that it stands beside one that says otherwise. update: put it in the place of what was brought before and was not changed
    here. resting_on: rule whose result it takes -> rule of this shelf whose result it is to take here.
    """

    where: str
    content: bytes
    digest: str | None = None
    name: str | None = None
    update: bool = False
    resting_on: Mapping[str, str] = field(default_factory=dict)


@dataclass(frozen=True)
class Brought:
    """What was brought. same: it was here already, word for word, by this name. left_out: rules of which nothing was taken, because
    they are not here as they are there."""

    item: SharedItem
    name: str
    digest: str
    paths: list[Path]
    same: bool = False
    left_out: tuple[str, ...] = ()


@dataclass(frozen=True)
class NotTaken:
    """What was not brought, and why; needed: kind and name of what has to come first, where it is that."""

    where: str
    item: SharedItem | None
    why: str
    needed: tuple[SharedKind, str] | None = None


@dataclass(frozen=True)
class Prepared:
    """Something that can be brought as far as its own file and the shelf's names tell. files: as they would stand here;
    before: as they stand. asks: what somebody has to agree to first. left_out: rules that outcomes tell of, and that are not here
    as they are there; tells_nothing: it tells of no others, as the shelf is now."""

    given: Given
    item: SharedItem
    name: str
    files: dict[str, str]
    before: dict[str, str]
    asks: list[str]
    left_out: tuple[str, ...] = ()
    tells_nothing: bool = False

    @property
    def key(self) -> str:
        """Under which origins.yaml has it."""
        return f"{self.item.kind} {self.name}"


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
    if item.kind in SINGLE and item.id != item.kind:
        raise Refused(f'{shown(where)}: a shelf has one file of this kind, and it is called "{item.kind}".')
    return item


def prepare(shelf: Knowledge, folder: Path, givens: Sequence[Given]) -> tuple[list[Prepared], list[Brought | NotTaken]]:
    """What can be brought as far as it can be told without trying it, what rests on others behind them; and what was refused
    or is here already."""
    ready: list[Prepared] = []
    done: list[Brought | NotTaken] = []
    for given in givens:
        item: SharedItem | None = None
        try:
            item = read_item(given.content, given.where, given.digest)
            one = _prepared(shelf, folder, given, item)
            if isinstance(one, Brought):
                done.append(one)
                continue
            twin = next((other for other in ready if other.key == one.key), None)
            if twin is None:
                ready.append(one)
            elif twin.files != one.files:
                raise Refused(f"another {item.kind} {one.name} comes with it and says otherwise. Bring one with --as.")
        except Refused as problem:
            done.append(NotTaken(given.where, item, str(problem)))
    ready, lacking = in_order(shelf, ready)
    return ready, [*done, *lacking]


def _prepared(shelf: Knowledge, folder: Path, given: Given, item: SharedItem) -> "Prepared | Brought":
    here = given.name or item.id
    fixed = item.kind in ("family", "word", *SINGLE)
    if not re.fullmatch(ID, here) or (given.name and given.name != item.id and fixed):
        raise Refused(
            f'"{shown(here)}" cannot be the id of a {item.kind}.'
            + (" It keeps its name: builds and texts call it by that." if fixed else "")
        )
    key = f"{item.kind} {here}"
    left_out: tuple[str, ...] = ()
    tells_nothing = False
    if item.kind == "outcomes":
        fitted = for_this_shelf(item, shelf)
        if fitted is None:
            raise Refused(f"{shown(given.where)} is nothing that travels here: its outcomes cannot be read.")
        item, left_out, tells_nothing = fitted.item, fitted.left_out, not fitted.engines
    files = needs.resting_on(renamed(item.kind, item.id, item.files, here), given.resting_on)
    there = item_files(folder, item.kind, here)
    digest, origin = digest_of_bytes(given.content), shelf.origins.get(key)
    is_told_anew = given.update and origin is not None and origin.digest != digest
    if there == files and not is_told_anew:
        return Brought(item, here, digest, [], same=True)
    in_the_package = {} if there or item.kind in SINGLE else files_of(shelf, item.kind, here)
    if in_the_package == files:
        return Brought(item, here, digest, [], same=True)
    if there:
        if not given.update and item.kind != "outcomes":
            beside = f" Bring it beside that one with --as {here}-2, or" if not fixed else " To"
            raise Refused(
                f"a {item.kind} {here} stands here already and says otherwise.{beside} take its place with --update."
            )
        if origin is None or key in shelf.changed_here:
            raise Refused(
                f"the {item.kind} {here} is this club's own or was changed here: it is not written over."
                + ("" if fixed else " Bring it beside that one with --as.")
            )
    other = None if given.name or there else same_thing(item, shelf, folder)
    if other:
        return Brought(item, other, digest, [], same=True)
    asks = list(terms_of(item.licence).asks)
    if asks:
        asks = [f"its licence is {shown(item.licence)}: {' and '.join(asks)}"]
    if in_the_package:
        asks.append(
            f"it would stand in place of the {item.kind} of this name that comes with Gudgeon, which says otherwise"
        )
    if item.kind in _MOVES:
        asks.append(_MOVES[item.kind])
    return Prepared(given, item, here, files, there, asks, left_out, tells_nothing)


def in_order(shelf: Knowledge, ready: list[Prepared]) -> tuple[list[Prepared], list[Brought | NotTaken]]:
    """Those of which all that they name is on the shelf or comes before them, in that order; and the others."""
    ordered: list[Prepared] = []
    waiting, lacks = list(ready), {}
    while waiting:
        coming = {one.key: one.files for one in ordered}
        still: list[Prepared] = []
        for one in waiting:
            lack = needs.lacking(one.item, one.files, shelf, one.given.where, one.given.resting_on, coming)
            if lack is None:
                ordered.append(one)
                coming[one.key] = one.files
            else:
                still.append(one)
                lacks[one.key] = lack
        if len(still) == len(waiting):
            break
        waiting = still
    else:
        return ordered, []
    return ordered, [NotTaken(one.given.where, one.item, lacks[one.key].says, lacks[one.key].needed) for one in waiting]
