"""Which records differ between two readings of a build and of the knowledge, and a build with some of them put back.

A record is known by what it is and its id: ("reading", "a074"), ("feature", "piston.skirt"), ("engine", "speed"). Nothing
is written and nothing is copied: what did not change is shared.
"""

import json
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, fields, replace
from typing import Any, TypeVar

from gudgeon.records.base import Record
from gudgeon.records.build_file import Engine, Review
from gudgeon.records.load_knowledge import check_names
from gudgeon.records.model import Build, Instalment, Knowledge
from gudgeon.records.outcomes import Outcome
from gudgeon.records.problems import Problem, Problems, Where
from gudgeon.records.readings import Row
from gudgeon.records.references import check_references
from gudgeon.records.running import Run

# Stores of a build and of the knowledge that hold records by id -> what one of them is.
STORES = {
    "fits": "fit",
    "operations": "operation",
    "instruments": "instrument",
    "machines": "machine",
    "materials": "material",
    "figures": "figure",
    "photos": "picture",
    "films": "film",
}
SHELF = {
    "rules": "rule",
    "cautions": "caution",
    "materials": "club's material",
    "families": "part family",
    "sources": "source",
    "origins": "origin",
    "judgement": "threshold",
    "outcomes": "outcomes of a club",
}
LISTS = {
    "cuts": "cut",
    "cut_withdrawals": "withdrawal of a cut",
    "reviews": "verdict",
    "review_withdrawals": "withdrawal of a verdict",
    "runs": "run",
    "run_withdrawals": "withdrawal of a run",
    "outcomes": "outcome",
    "outcome_withdrawals": "withdrawal of an outcome",
}  # records without an id of their own: known by what they say
WITHDRAWAL = "withdrawal of a reading"
WITHDRAWN = {  # a withdrawal -> what it withdraws
    WITHDRAWAL: "reading",
    "withdrawal of a cut": "cut",
    "withdrawal of a verdict": "verdict",
    "withdrawal of a run": "run",
    "withdrawal of an outcome": "outcome",
}
SHOWN = ("picture", "film", "instalment")  # shown and told: no number is worked out of them
# maps inside build.yaml
HEAD = {"cases": "temperature case", "people": "person", "thermometers": "thermometer", "upkeep": "upkeep"}
NOT_RECORDS = (
    "id", "folder", "path", "problems", "unread", "changed_here", "words", "package", "whose", "replaced", "moved_below",
)  # fmt: skip

T = TypeVar("T")


@dataclass(frozen=True)
class Edit:
    """One record that differs. was, now: the record before and after; None where there was or is none."""

    what: str
    id: str
    was: Any
    now: Any

    @property
    def where(self) -> Where | None:
        """Where it stands now, or stood before it went."""
        for record in (self.now, self.was):
            if isinstance(record, Record):
                return record.where()
        return None

    @property
    def shared(self) -> bool:
        """Whether it is a record of the shared knowledge, and not of a build."""
        return self.what in SHELF.values() or self.what == "knowledge"

    @property
    def fields(self) -> list[str]:
        """The fields that differ, where the record was there before and after."""
        return differing(self.was, self.now)

    @property
    def names(self) -> set[str]:
        """By what other records and problems call it."""
        if self.what not in LISTS.values():
            return {self.id}
        record: Any = self.now or self.was
        if isinstance(record, (Run, Outcome)):
            return record.names
        names: set[str] = {record.id} if record.id else set()
        return {*names, record.day_and_person} if isinstance(record, Review) else names

    def withdraws(self, other: "Edit") -> bool:
        """Whether it is the withdrawal of the other, and both came or both went."""
        if WITHDRAWN.get(self.what) != other.what:
            return False
        record: Any = self.now or self.was
        came, went = self.was is None and other.was is None, self.now is None and other.now is None
        return (came or went) and record.withdraws in other.names


def differing(was: Any, now: Any) -> list[str]:
    """The fields in which two records differ; the texts count, not where they stand."""
    if not isinstance(was, Record) or not isinstance(now, Record):
        return []
    before, after = was.model_dump(), now.model_dump()
    return [name for name in after if before[name] != after.get(name)]


def rows_by_id(build: Build | None) -> dict[str, Row]:
    """The rows of a build by id, the first of each."""
    rows: dict[str, Row] = {}
    for row in build.rows if build else ():
        rows.setdefault(row.id, row)
    return rows


def edits_of_build(was: Build, now: Build) -> list[Edit]:
    """The records of a build that differ, in a fixed order."""
    edits = list(_edits_of_map("reading", rows_by_id(was), rows_by_id(now)))
    edits += _edits_of_map(WITHDRAWAL, *({row.id: row for row in build.reading_withdrawals} for build in (was, now)))
    for store, what in STORES.items():
        edits += _edits_of_map(what, getattr(was, store), getattr(now, store))
    edits += _edits_of_parts(was, now)
    for store, what in LISTS.items():
        edits += _edits_of_map(what, by_text(getattr(was, store)), by_text(getattr(now, store)))
    edits += _edits_of_map("instalment", *({told.slug: told for told in build.instalments} for build in (was, now)))
    return [*edits, *_edits_of_head(was, now)]


def moving_no_number(edits: Iterable[Edit], was: Build, now: Build) -> tuple[Edit, ...]:
    """Those of the edits that can move no number: pictures, films and instalments. An instalment whose day is the newest of a
    build, where that is another than before, can: the build's today is counted from."""
    days: set[Any] = {was.newest_date, now.newest_date} if was.newest_date != now.newest_date else set()
    return tuple(edit for edit in edits if edit.what in SHOWN and not days & _days_of(edit))


def _days_of(edit: Edit) -> set[Any]:
    told = [told for told in (edit.was, edit.now) if isinstance(told, Instalment)]
    return {day for one in told for day in (one.head.date, *(put_right.date for put_right in one.head.corrected))}


def edits_of_knowledge(was: Knowledge, now: Knowledge) -> list[Edit]:
    """The records of the shared knowledge that differ, in a fixed order."""
    if was is now:
        return []
    edits: list[Edit] = []
    for field in fields(Knowledge):
        if field.name in NOT_RECORDS:
            continue
        before, after = getattr(was, field.name), getattr(now, field.name)
        if field.name in SHELF:
            edits += _edits_of_map(SHELF[field.name], before, after)
        elif not _equal(before, after):
            edits.append(Edit("knowledge", field.name, before, after))
    return edits


def _edits_of_map(what: str, was: Mapping[str, Any], now: Mapping[str, Any]) -> Iterable[Edit]:
    for name in {**was, **now}:
        if not _equal(was.get(name), now.get(name)):
            yield Edit(what, name, was.get(name), now.get(name))


def _equal(was: Any, now: Any) -> bool:
    """Whether two records say the same, wherever they stand."""
    if was is now:
        return True
    if isinstance(was, Record) and isinstance(now, Record):
        return type(was) is type(now) and was.model_dump() == now.model_dump()
    if isinstance(was, Instalment) and isinstance(now, Instalment):
        return _equal(was.head, now.head) and was.body == now.body
    return was == now


def by_text(records: Iterable[Record]) -> dict[str, Record]:
    """Records without an id, by what they say; of two that say the same the second is numbered."""
    named: dict[str, Record] = {}
    for record in records:
        name = json.dumps(record.model_dump(mode="json"), sort_keys=True, ensure_ascii=False, default=str)
        number = 1
        while (key := name if number == 1 else f"{name} #{number}") in named:
            number += 1
        named[key] = record
    return named


def _edits_of_parts(was: Build, now: Build) -> Iterable[Edit]:
    """Parts without their features, and features one by one."""
    for part_id in {**was.parts, **now.parts}:
        before, after = was.parts.get(part_id), now.parts.get(part_id)
        bare = [part.model_copy(update={"features": {}}) if part else None for part in (before, after)]
        if not _equal(*bare):
            yield Edit("part", part_id, before, after)
    yield from _edits_of_map("feature", was.features, now.features)


def _edits_of_head(was: Build, now: Build) -> Iterable[Edit]:
    """build.yaml key by key; the engine, the cases and the people one by one."""
    if was.head is None or now.head is None:
        if was.head is not now.head:
            yield Edit("build", "build.yaml", was.head, now.head)
        return
    for name in type(now.head).model_fields:
        before, after = getattr(was.head, name), getattr(now.head, name)
        if name in HEAD:
            yield from _edits_of_map(HEAD[name], before, after)
        elif name == "engine":
            yield from (
                Edit("engine", key, getattr(before, key), getattr(after, key))
                for key in Engine.model_fields
                if not _equal(getattr(before, key), getattr(after, key))
            )
        elif not _equal(before, after):
            yield Edit("build", name, before, after)


def put_back(now: Build, edits: Iterable[Edit]) -> Build:
    """The build with some records as they were before; its problems are not looked for (see `problems_of`)."""
    build = replace(now)
    for edit in edits:
        _put_back(build, edit)
    return build


def _put_back(build: Build, edit: Edit) -> None:
    stores = {what: store for store, what in STORES.items()}
    lists = {what: store for store, what in LISTS.items()}
    if edit.what == "reading":
        rows = [row for row in build.rows if row.id != edit.id] + ([edit.was] if edit.was else [])
        build.rows = sorted(rows, key=lambda row: (row.date, row.id, row.where()))
    elif edit.what == WITHDRAWAL:
        withdrawals = _with({row.id: row for row in build.reading_withdrawals}, edit).values()
        build.reading_withdrawals = sorted(withdrawals, key=lambda row: (row.date, row.id, row.where()))
    elif edit.what in stores:
        setattr(build, stores[edit.what], _with(getattr(build, stores[edit.what]), edit))
    elif edit.what in lists:
        named = _with(by_text(getattr(build, lists[edit.what])), edit)
        setattr(build, lists[edit.what], tuple(named.values()))
    elif edit.what == "part":
        # The features go back one by one, with edits of their own.
        features = build.parts[edit.id].features if edit.id in build.parts else {}
        part = edit.was.model_copy(update={"features": features}) if edit.was else None
        build.parts = _with(build.parts, Edit("part", edit.id, part, edit.now))
    elif edit.what == "feature":
        part_id, _, name = edit.id.partition(".")
        part = build.parts.get(part_id)
        if part is not None:
            features = _with(part.features, Edit("feature", name, edit.was, edit.now))
            build.parts = {**build.parts, part_id: part.model_copy(update={"features": features})}
    elif edit.what == "instalment":
        named = _with({told.slug: told for told in build.instalments}, edit)
        build.instalments = sorted(named.values(), key=lambda told: (told.head.number, told.slug))
    else:
        _put_back_in_head(build, edit)


def _put_back_in_head(build: Build, edit: Edit) -> None:
    maps = {what: key for key, what in HEAD.items()}
    if edit.id == "build.yaml" or build.head is None:
        build.head = edit.was
    elif edit.what in maps:
        key = maps[edit.what]
        build.head = build.head.model_copy(update={key: _with(getattr(build.head, key), edit)})
    elif edit.what == "engine":
        engine = build.head.engine.model_copy(update={edit.id: edit.was})
        build.head = build.head.model_copy(update={"engine": engine})
    else:
        build.head = build.head.model_copy(update={edit.id: edit.was})


def put_back_in_knowledge(now: Knowledge, edits: Iterable[Edit]) -> Knowledge:
    """The shared knowledge with some records as they were before."""
    knowledge = replace(now)
    stores = {what: store for store, what in SHELF.items()}
    for edit in edits:
        if edit.what in stores:
            setattr(knowledge, stores[edit.what], _with(getattr(knowledge, stores[edit.what]), edit))
        else:
            setattr(knowledge, edit.id, edit.was)
    return knowledge


def _with(store: Mapping[str, T], edit: Edit) -> dict[str, T]:
    """A store with one record put back, at its place in the order where it is still there."""
    if edit.was is None:
        return {name: record for name, record in store.items() if name != edit.id}
    return {**store, edit.id: edit.was}


def problems_of(build: Build, knowledge: Knowledge) -> list[Problem]:
    """The problems of a build in memory: names that lead nowhere, circles, what lies outside. It is not read again."""
    problems = Problems()
    check_references(build, knowledge, problems)
    return problems.in_order()


def problems_of_knowledge(knowledge: Knowledge) -> list[Problem]:
    """The problems of the knowledge in memory: names that lead nowhere. It is not read again."""
    problems = Problems()
    check_names(knowledge, problems)
    return problems.in_order()
