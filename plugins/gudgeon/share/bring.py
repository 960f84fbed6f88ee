"""Brings things from other clubs onto the shelf: pinned by their digests, with their origin and licence kept.

Nothing is fetched during a build; this runs when a person asks for it. What comes is untrusted: bounded, never run, and
written only when the whole shelf is sound with it. Many things are tried together: what stands in the way of one leaves the
others, and what rests on it follows it.
"""

import datetime
import json
from collections.abc import Collection, Mapping, Sequence
from pathlib import Path

from gudgeon.project.safe_write import NotSound, write_if_sound
from gudgeon.project.writing import Desk
from gudgeon.records.bibliography import BIBLIOGRAPHY, faults
from gudgeon.records.knowledge import Origin
from gudgeon.records.load_build import load_build
from gudgeon.records.load_knowledge import load_knowledge
from gudgeon.records.model import Knowledge
from gudgeon.records.problems import Problem, shown
from gudgeon.records.shared_files import WORDS, digest_of
from gudgeon.share.fetching import NotReached, Refused, fetch
from gudgeon.share.item import SharedItem, digest_of_bytes
from gudgeon.share.names import first_name
from gudgeon.share.origins import ORIGINS, with_origins
from gudgeon.share.preparing import Brought, Given, NotTaken, Prepared, in_order, prepare, read_item
from gudgeon.share.words_file import with_word

# What goes with bringing, so that who brings imports one module.
__all__ = [
    "Brought",
    "Given",
    "NotReached",
    "NotTaken",
    "Prepared",
    "Refused",
    "bring",
    "bring_all",
    "fetch",
    "prepare",
    "read_item",
]


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
    """Bring one thing onto the shelf shelf_name of a project. day: the day, for the record. Raises Refused."""
    (outcome,) = bring_all(desk, shelf_name, [Given(where, content, digest, name, update, resting_on or {})], day)
    if isinstance(outcome, NotTaken):
        raise Refused(outcome.why)
    return outcome


def bring_all(desk: Desk, shelf_name: str, givens: Sequence[Given], day: datetime.date) -> list[Brought | NotTaken]:
    """Bring some things onto the shelf of a project, whatever order they are given in; what became of each, in the order in
    which one rests on the other. day: the day, for the record."""
    folder = desk.root / shelf_name
    shelf = load_knowledge(folder, shelf_name)
    ready, done = prepare(shelf, folder, givens)
    for one in ready:
        for path in (*one.before, BIBLIOGRAPHY, ORIGINS):
            desk.note(f"{shelf_name}/{path}")
    outcomes = [one.given for one in ready if one.item.kind == "outcomes"]
    told = _written(desk, shelf_name, shelf, [one for one in ready if one.item.kind != "outcomes"], day)
    if outcomes:  # what they tell of is looked for on the shelf as it is now
        shelf = load_knowledge(folder, shelf_name)
        ready, more = prepare(shelf, folder, outcomes)
        told += [*more, *(_of_no_rule_here(one) for one in ready if one.tells_nothing)]
        told += _written(desk, shelf_name, shelf, [one for one in ready if not one.tells_nothing], day)
    return [*done, *told]


def _of_no_rule_here(one: Prepared) -> NotTaken:
    rules = ", ".join(one.left_out) or "none"
    why = f"none of the rules that it tells of is on this shelf as it is there: {rules}. Bring these first."
    return NotTaken(one.given.where, one.item, why)


def _written(
    desk: Desk, shelf_name: str, shelf: Knowledge, ready: list[Prepared], day: datetime.date
) -> list[Brought | NotTaken]:
    """Write what is sound together. What has a problem in a file of its own is left out; where the problem stands elsewhere,
    each half is tried by itself."""
    if not ready:
        return []
    folder = desk.root / shelf_name
    files, gone, refused = _files(desk, shelf_name, shelf, ready, day)
    if refused:
        return [*refused, *_again(desk, shelf_name, shelf, ready, refused, day)]
    try:
        paths = write_if_sound(
            desk,
            shelf_name,
            files,
            lambda place: _problems(place, shelf_name, ready),
            {str(problem) for problem in shelf.problems},
            gone=gone,
        )
    except NotSound as problem:
        told: dict[str, list[Problem]] = {}
        for fault in problem.problems:
            for one in ready:
                if fault.where.file in {f"{shelf_name}/{name}" for name in one.files if name != WORDS}:
                    told.setdefault(one.key, []).append(fault)
        if not told and len(ready) == 1:
            told = {ready[0].key: problem.problems}
        if told:
            refused = [
                NotTaken(one.given.where, one.item, _not_sound(told[one.key])) for one in ready if one.key in told
            ]
            return [*refused, *_again(desk, shelf_name, shelf, ready, refused, day)]
        half = len(ready) // 2
        first = _written(desk, shelf_name, shelf, ready[:half], day)
        now = load_knowledge(folder, shelf_name)
        rest, lacking = in_order(now, ready[half:])
        return [*first, *lacking, *_written(desk, shelf_name, now, rest, day)]
    return [
        Brought(
            one.item,
            one.name,
            digest_of_bytes(one.given.content),
            [path for path in paths if path.relative_to(folder).as_posix() in one.files or len(ready) == 1],
            left_out=one.left_out,
        )
        for one in ready
    ]


def _again(
    desk: Desk,
    shelf_name: str,
    shelf: Knowledge,
    ready: list[Prepared],
    refused: Collection[Brought | NotTaken],
    day: datetime.date,
) -> list[Brought | NotTaken]:
    """The same without those that were refused, nor what rests on them."""
    out = {id(outcome.item) for outcome in refused}
    rest, lacking = in_order(shelf, [one for one in ready if id(one.item) not in out])
    return [*lacking, *_written(desk, shelf_name, shelf, rest, day)]


def _not_sound(problems: list[Problem]) -> str:
    return "it is not sound here, and nothing was written of it:\n" + "\n".join(str(problem) for problem in problems)


def _files(
    desk: Desk, shelf_name: str, shelf: Knowledge, ready: list[Prepared], day: datetime.date
) -> tuple[dict[str, str], set[str], list[Brought | NotTaken]]:
    """All files of some things, with the works that they cite and where they came from; the files that go; what is refused."""
    files: dict[str, str] = {}
    gone: set[str] = set()
    refused: list[Brought | NotTaken] = []
    known, works = dict(shelf.sources), []
    origins: dict[str, Origin] = {}
    for one in ready:
        try:
            works += _new_works(known, one.item)
            if one.item.kind == "word":
                text = files.get(WORDS, desk.text(f"{shelf_name}/{WORDS}"))
                files[WORDS] = with_word(text, one.files[WORDS], one.name)
            else:
                files |= one.files
                gone |= set(one.before) - set(one.files)
        except Refused as problem:
            refused.append(NotTaken(one.given.where, one.item, str(problem)))
            continue
        origins[one.key] = _origin(one, shelf.origins.get(one.key), day)
    if works:
        text = desk.text(f"{shelf_name}/{BIBLIOGRAPHY}")
        before = json.loads(text) if text is not None else []
        files[BIBLIOGRAPHY] = json.dumps([*before, *works], indent=1, ensure_ascii=False) + "\n"
    files[ORIGINS] = with_origins(desk.text(f"{shelf_name}/{ORIGINS}"), origins)
    return files, gone, refused


def _new_works(known: dict[str, dict], item: SharedItem) -> list[dict]:
    """The works that an item cites and that are not known yet; they are then."""
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
    known.update({work["id"]: work for work in new})
    return new


def _origin(one: Prepared, before: Origin | None, day: datetime.date) -> Origin:
    first = first_name(one.item)
    return Origin(
        came_from=one.given.where if "://" in one.given.where else Path(one.given.where).name,
        club=one.item.club,
        licence=one.item.licence,
        digest=digest_of_bytes(one.given.content),
        as_brought=digest_of(one.files),
        was_called=first if first != one.name else None,
        resting_on=dict(one.given.resting_on) or (dict(before.resting_on) if before else {}),
        on=day,
        withdrawn=before.withdrawn if before else None,
    )


def _problems(place: Path, shown_as: str, ready: Sequence[Prepared]) -> list[Problem]:
    """The problems of a shelf, and of the starters of families that were brought onto it."""
    shelf = load_knowledge(place, shown_as)
    problems = list(shelf.problems)
    for one in ready:
        starter = f"families/{one.name}/starter"
        if one.item.kind == "family" and (place / starter).exists():
            problems += load_build(place / starter, f"{shown_as}/{starter}", shelf).problems
    return problems
