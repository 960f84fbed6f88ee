"""Ids: no two that differ only in capital letters, and none that something else had before it was renamed."""

from gudgeon.records.model import Build
from gudgeon.records.problems import Problems, Where


def check_ids(build: Build, problems: Problems) -> None:
    """Note a problem for every id that cannot be told from another one's."""
    _one_name_once(build, problems)
    _former_ids(build, problems)
    _former_files(build, problems)
    _one_id_once(build, problems)


def _one_name_once(build: Build, problems: Problems) -> None:
    """Names become addresses of pages, where small and capital letters are one."""
    groups = [
        ("part", build.parts),
        ("fit", build.fits),
        ("operation", build.operations),
        *((f"feature of {part_id}", part.features) for part_id, part in build.parts.items()),
    ]
    for what, named in groups:
        seen: dict[str, str] = {}
        for name, record in named.items():
            if name.lower() in seen:
                problems.add(
                    record.where(),
                    name,
                    f'the {what} "{seen[name.lower()]}" differs only in capital letters. Rename one.',
                )
            seen.setdefault(name.lower(), name)


def _former_ids(build: Build, problems: Problems) -> None:
    """An id that something had before it was renamed still leads to it: nothing else of its kind may take it."""
    groups = [
        ("part", build.parts),
        ("fit", build.fits),
        ("operation", build.operations),
        ("instrument", build.instruments),
        ("person", build.head.people if build.head else {}),
        ("reading", {row.id: row for row in build.reading_entries}),
        *(("feature", part.features) for part in build.parts.values()),
    ]
    for what, named in groups:
        renamed: dict[str, str] = {}
        for name, record in named.items():
            for was in record.formerly:
                where = record.where("formerly")
                if was == name:
                    problems.add(where, name, f'"{was}" is the id that it has now. Take it out of "formerly".')
                elif was in named:
                    problems.add(
                        named[was].where(),
                        was,
                        f'this id is taken: the {what} "{name}" had it before it was renamed ({where}). Choose another.',
                    )
                elif was in renamed:
                    problems.add(
                        where,
                        name,
                        f'the {what} "{renamed[was]}" says too that it was "{was}" before. Take it out of one of them.',
                    )
                renamed.setdefault(was, name)


def _former_files(build: Build, problems: Problems) -> None:
    """A former name of an instalment's file still leads to it: no other instalment may have it."""
    now = {told.slug: told for told in build.instalments}
    renamed: dict[str, str] = {}
    for told in build.instalments:
        for index, was in enumerate(told.head.formerly):
            where = told.head.where("formerly", index)
            if was == told.slug:
                problems.add(
                    where, "formerly", f'"{was}" is the name that the file has now. Take it out of "formerly".'
                )
            elif was in now:
                problems.add(where, "formerly", f"{now[was].file} has this name now. Give one of the two another.")
            elif renamed.get(was, told.file) != told.file:
                problems.add(
                    where, "formerly", f'{renamed[was]} says too that it was "{was}". Take it out of one of them.'
                )
            renamed.setdefault(was, told.file)


def _one_id_once(build: Build, problems: Problems) -> None:
    """Readings and verdicts stand in lists, where nothing else keeps an id from standing twice."""
    first: dict[str, Where] = {}
    for row in build.reading_entries:
        if row.id in first:
            problems.add(
                row.where("id"),
                row.id,
                f"this reading id stands already in {first[row.id]}. Give the newer row its own id: gudgeon renumber does it.",
            )
        first.setdefault(row.id, row.where("id"))
    first = {}
    for number, entry in enumerate(build.review_entries, start=1):
        if entry.id in first:
            problems.add(
                entry.where("id"), f"review {number}", f'the id "{entry.id}" stands already in {first[entry.id]}.'
            )
        if entry.id:
            first.setdefault(entry.id, entry.where("id"))
    first = {}
    for number, cut in enumerate(build.cut_entries, start=1):
        if cut.id in first:
            problems.add(
                cut.where("id"),
                f"cut {number}",
                f'the id "{cut.id}" stands already in {first[cut.id]}. gudgeon renumber gives it another.',
            )
        if cut.id:
            first.setdefault(cut.id, cut.where("id"))
    first = {}
    for number, run in enumerate(build.run_entries, start=1):
        if run.id in first:
            problems.add(run.where("id"), f"run {number}", f'the id "{run.id}" stands already in {first[run.id]}.')
        if run.id:
            first.setdefault(run.id, run.where("id"))
