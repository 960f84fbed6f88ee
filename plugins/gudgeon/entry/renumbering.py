"""Readings and cuts that stand under one id twice, since two people gave it apart: one keeps it, the others get ids of their own."""

from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass
from typing import TypeVar

from gudgeon.entry.reading_ids import reading_id
from gudgeon.entry.sizes import NotClear
from gudgeon.records.cuts import Cut, CutWithdrawal
from gudgeon.records.model import Build
from gudgeon.records.readings import ReadingWithdrawal, Row
from gudgeon.records.readings_csv import as_texts

Entry = Row | ReadingWithdrawal | Cut | CutWithdrawal
E = TypeVar("E", bound=Entry)


@dataclass(frozen=True)
class Renamed:
    """A row or cut that gets another id in place of old_id. kept: the one that keeps the one they shared."""

    entry: Entry
    old_id: str
    new_id: str
    kept: Entry


@dataclass(frozen=True)
class Renumbering:
    """What is to be written. references: (row, its key, the id that it names from now on). unsure: to be looked at by a person."""

    renamed: tuple[Renamed, ...]
    references: tuple[tuple[Entry, str, str], ...]
    unsure: tuple[str, ...]


def readings_of(build: Build) -> Sequence[Entry]:
    """The rows of the readings, withdrawals among them."""
    return build.reading_entries


def cuts_of(build: Build) -> Sequence[Entry]:
    """The entries of the cuts, withdrawals among them."""
    return build.cut_entries


def given_twice(entries: Iterable[E]) -> dict[str, list[E]]:
    """Ids under which several entries stand, with these."""
    shared: dict[str, list[E]] = {}
    for entry in entries:
        if entry.id is not None:
            shared.setdefault(entry.id, []).append(entry)
    return {one_id: alike for one_id, alike in shared.items() if len(alike) > 1}


def renumbering(build: Build, first: Mapping[str, Entry], first_cuts: Mapping[str, Entry]) -> Renumbering:
    """Which rows and cuts of a build get which ids. first, first_cuts: the one that keeps a shared id; where they say none, the
    first row by day does, and the first cut of the file."""
    readings, cuts = _readings(build, first), _cuts(build, first_cuts)
    return Renumbering(
        readings.renamed + cuts.renamed, readings.references + cuts.references, readings.unsure + cuts.unsure
    )


def _cuts(build: Build, first: Mapping[str, Entry]) -> Renumbering:
    """The same of the cuts: the id with a number behind it."""
    taken = {cut.id for cut in build.cut_entries if cut.id}
    renamed: list[Renamed] = []
    for one_id, entries in given_twice(build.cut_entries).items():
        kept = first.get(one_id, entries[0])
        for entry in entries:
            if entry is not kept:
                number = next(number for number in range(2, len(taken) + 3) if f"{one_id[:36]}-{number}" not in taken)
                taken.add(f"{one_id[:36]}-{number}")
                renamed.append(Renamed(entry, one_id, f"{one_id[:36]}-{number}", kept))
    naming = [(row, "after_cut", row.after_cut) for row in build.rows if row.after_cut]
    naming += [(entry, "withdraws", entry.withdraws) for entry in build.cut_withdrawals]
    references, unsure = _references(naming, renamed)
    return Renumbering(tuple(renamed), tuple(references), tuple(unsure))


def _readings(build: Build, first: Mapping[str, Entry]) -> Renumbering:
    """The same of the readings, withdrawals among them."""
    twice: dict[str, list[Row | ReadingWithdrawal]] = given_twice(build.reading_entries)
    taken = {entry.id for entry in build.reading_entries} | set(build.former_names["reading"])
    renamed: list[Renamed] = []
    for one_id, entries in twice.items():
        kept: Entry = first.get(one_id, entries[0])
        for entry in entries:
            if entry is kept:
                continue
            own = [other for other in build.reading_entries if (other.by, other.date) == (entry.by, entry.date)]
            texts = {key: text for key, text in as_texts(entry).items() if text is not None and key != "id"}
            number = next(number for number, other in enumerate(own, 1) if other is entry)
            new_id = reading_id(texts, build.sound_head.people, number, taken)
            taken.add(new_id)
            renamed.append(Renamed(entry, one_id, new_id, kept))
    naming = [
        (entry, key, getattr(entry, key))
        for entry in build.reading_entries
        for key in ["withdraws" if isinstance(entry, ReadingWithdrawal) else "supersedes"]
    ]
    references, unsure = _references(naming, renamed)
    return Renumbering(tuple(renamed), tuple(references), tuple(unsure))


def _references(
    naming: Iterable[tuple[Entry, str, str]], renamed: Iterable[Renamed]
) -> tuple[list[tuple[Entry, str, str]], list[str]]:
    """Entries that put right, withdraw or follow one under a shared id: which of the two they mean, where that can be told.

    naming: (entry, its key, the id that it names).
    """
    references: list[tuple[Entry, str, str]] = []
    unsure: list[str] = []
    by_id: dict[str, list[Renamed]] = {}
    for rename in renamed:
        by_id.setdefault(rename.old_id, []).append(rename)
    for entry, key, named in naming:
        if named not in by_id:
            continue
        ids = [(by_id[named][0].kept, named), *((rename.entry, rename.new_id) for rename in by_id[named])]
        meant = _meant(entry, [row for row, _ in ids])
        if meant is None:
            unsure.append(
                f"{entry.where(key)}: {entry.id} {key} {named}, and which of them is not sure; it stays with "
                f"{by_id[named][0].kept.where('id')}. Look at it."
            )
            continue
        new_id = next(one_id for row, one_id in ids if row is meant)
        if new_id != named:
            references.append((entry, key, new_id))
    return references, unsure


def _meant(entry: Entry, candidates: list[Entry]) -> Entry | None:
    """The one that another can mean: of its feature, of its day where it is a cut, then in its file, then by its person; None where
    that leaves several."""
    if isinstance(entry, Row):
        candidates = [other for other in candidates if isinstance(other, Row | Cut) and other.of == entry.of]
        candidates = [other for other in candidates if isinstance(other, Row) or other.date == entry.date]
    for alike in (lambda row: row.where().file == entry.where().file, lambda row: row.by == entry.by):
        if len(candidates) > 1:
            candidates = [row for row in candidates if alike(row)] or candidates
    return candidates[0] if len(candidates) == 1 else None


def renumbered_texts(build: Build, plan: Renumbering, text_of: Callable[[str], str | None]) -> dict[str, str]:
    """The files with the new ids in place of the old, from the build's folder; everything else stays as it is written.

    text_of: the text of a file, named from the project's root. Raises NotClear where it is no longer as it was read.
    """
    changes = [(rename.entry.where("id"), rename.old_id, rename.new_id) for rename in plan.renamed]
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
