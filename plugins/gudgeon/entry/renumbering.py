"""Readings that stand under one id twice, since two people gave it apart: one row keeps it, the others get ids of their own."""

from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass

from gudgeon.entry.reading_ids import reading_id
from gudgeon.entry.sizes import NotClear
from gudgeon.records.model import Build
from gudgeon.records.readings import ReadingWithdrawal, Row
from gudgeon.records.readings_csv import as_texts

Entry = Row | ReadingWithdrawal


@dataclass(frozen=True)
class Renamed:
    """A row that gets another id. kept: the row that keeps the one they shared."""

    entry: Entry
    new_id: str
    kept: Entry


@dataclass(frozen=True)
class Renumbering:
    """What is to be written. references: (row, its key, the id that it names from now on). unsure: to be looked at by a person."""

    renamed: tuple[Renamed, ...]
    references: tuple[tuple[Entry, str, str], ...]
    unsure: tuple[str, ...]


def given_twice(build: Build) -> dict[str, list[Entry]]:
    """Ids under which several rows stand, with these."""
    shared: dict[str, list[Entry]] = {}
    for entry in build.reading_entries:
        shared.setdefault(entry.id, []).append(entry)
    return {one_id: entries for one_id, entries in shared.items() if len(entries) > 1}


def renumbering(build: Build, first: Mapping[str, Entry]) -> Renumbering:
    """Which rows of a build get which ids. first: the row that keeps a shared id; where it says none, the first by day does."""
    twice = given_twice(build)
    taken = {entry.id for entry in build.reading_entries} | set(build.former_names["reading"])
    renamed: list[Renamed] = []
    for one_id, entries in twice.items():
        kept = first.get(one_id, entries[0])
        for entry in entries:
            if entry is kept:
                continue
            own = [other for other in build.reading_entries if (other.by, other.date) == (entry.by, entry.date)]
            texts = {key: text for key, text in as_texts(entry).items() if text is not None and key != "id"}
            number = next(number for number, other in enumerate(own, 1) if other is entry)
            new_id = reading_id(texts, build.sound_head.people, number, taken)
            taken.add(new_id)
            renamed.append(Renamed(entry, new_id, kept))
    references, unsure = _references(build, renamed)
    return Renumbering(tuple(renamed), tuple(references), tuple(unsure))


def _references(build: Build, renamed: Iterable[Renamed]) -> tuple[list[tuple[Entry, str, str]], list[str]]:
    """Rows that put right or withdraw a row under a shared id: which of the two they mean, where that can be told."""
    references: list[tuple[Entry, str, str]] = []
    unsure: list[str] = []
    by_id: dict[str, list[Renamed]] = {}
    for rename in renamed:
        by_id.setdefault(rename.entry.id, []).append(rename)
    for entry in build.reading_entries:
        key = "withdraws" if isinstance(entry, ReadingWithdrawal) else "supersedes"
        named = getattr(entry, key)
        if named not in by_id:
            continue
        ids = [(by_id[named][0].kept, named), *((rename.entry, rename.new_id) for rename in by_id[named])]
        meant = _meant(entry, [row for row, _ in ids])
        if meant is None:
            unsure.append(
                f"{entry.where(key)}: {entry.id} {key} {named}, and which of the rows is not sure; it stays with "
                f"{by_id[named][0].kept.where('id')}. Look at it."
            )
            continue
        new_id = next(one_id for row, one_id in ids if row is meant)
        if new_id != named:
            references.append((entry, key, new_id))
    return references, unsure


def _meant(entry: Entry, candidates: list[Entry]) -> Entry | None:
    """The one row that another can mean: of its feature, then in its file, then by its person; None where that leaves several."""
    if isinstance(entry, Row):
        candidates = [row for row in candidates if isinstance(row, Row) and row.of == entry.of]
    for alike in (lambda row: row.where().file == entry.where().file, lambda row: row.by == entry.by):
        if len(candidates) > 1:
            candidates = [row for row in candidates if alike(row)] or candidates
    return candidates[0] if len(candidates) == 1 else None


def renumbered_texts(build: Build, plan: Renumbering, text_of: Callable[[str], str | None]) -> dict[str, str]:
    """The files with the new ids in place of the old, from the build's folder; everything else stays as it is written.

    text_of: the text of a file, named from the project's root. Raises NotClear where it is no longer as it was read.
    """
    changes = [(rename.entry.where("id"), rename.entry.id, rename.new_id) for rename in plan.renamed]
    changes += [(entry.where(key), getattr(entry, key), new_id) for entry, key, new_id in plan.references]
    texts: dict[str, list[str]] = {}
    for where, old, new in sorted(changes, key=lambda change: change[0], reverse=True):
        name = where.file.removeprefix(f"{build.path}/")
        if name not in texts:
            texts[name] = (text_of(where.file) or "").split("\n")
        line = texts[name][where.line - 1] if where.line <= len(texts[name]) else ""
        before, behind = line[: where.column - 1], line[where.column - 1 :]
        quote = behind[:1] if behind[:1] in ("'", '"') else ""
        if not behind.startswith(f"{quote}{old}{quote}"):
            raise NotClear(f"{where}: {old} does not stand here as it was read. Run the command again.")
        texts[name][where.line - 1] = f"{before}{quote}{new}{quote}{behind[len(old) + 2 * len(quote) :]}"
    return {name: "\n".join(lines) for name, lines in texts.items()}
