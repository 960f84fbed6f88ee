"""The names that a build's records give of each other: which lead nowhere, and what is used where."""

from collections.abc import Collection, Iterable, Iterator
from dataclasses import dataclass

from gudgeon.records.base import Record
from gudgeon.records.model import Build, Knowledge
from gudgeon.records.problems import Problems
from gudgeon.records.refs import Reference, references_in

# Kind of record -> the file it stands in. Of a file that could not be read nothing can be said of what points into it:
# it has its own problem. Parts, each in a file of its own, are left alone by their names.
FILES = {
    "fit": "fits.yaml",
    "operation": "operations.yaml",
    "instrument": "instruments.yaml",
    "machine": "machines.yaml",
    "material": "materials.yaml",
    "reading": "readings",
    "cut": "cuts.yaml",
    "run": "running.yaml",
    "outcome": "outcomes.yaml",
    "person": "build.yaml",
    "temperature case": "build.yaml",
    "upkeep": "build.yaml",
    "thermometer": "build.yaml",
}


@dataclass(frozen=True, slots=True)
class Use:
    """A record that names another one: of which kind, its id, and how it names it."""

    kind: str
    id: str
    reference: Reference


@dataclass(frozen=True, slots=True)
class _Holder:
    """A record of a build. about: what a problem in it is said to be about."""

    kind: str
    id: str
    record: Record
    about: str
    without: tuple[str, ...] = ()


def check_names(build: Build, knowledge: Knowledge, problems: Problems) -> None:
    """Note a problem for every name in a build's records that leads nowhere. Pictures are checked where files are read."""
    names: dict[str, Collection[str]] = {
        **_own_names(build),
        "club material": knowledge.materials,
        "rule": knowledge.rules,
        "source": knowledge.sources,
    }
    for holder in _records_of(build):
        for reference in references_in(holder.record, holder.without):
            kinds = [kind for kind in reference.ref.kinds if kind in names]
            if not kinds or any(reference.name in names[kind] for kind in kinds):
                continue
            if not _into_what_was_not_read(reference, build, knowledge):
                about = str(reference.path[0]) if holder.kind == "instalment" else holder.about
                known = (name for kind in kinds for name in names[kind])
                problems.add(reference.where, about, _missing(reference, known, build, problems))


def uses(build: Build) -> dict[tuple[str, str], list[Use]]:
    """(kind, id) -> the records of the build that name it, in the order of the files.

    The kinds are those of `former_names`, and machine, material, temperature case, thermometer, rule, source, club material and photo.
    """
    own = _own_names(build)
    index: dict[tuple[str, str], list[Use]] = {}
    for holder in _records_of(build):
        for reference in references_in(holder.record, holder.without):
            kinds = reference.ref.kinds
            kind = next((kind for kind in kinds if reference.name in own.get(kind, ())), kinds[-1])
            index.setdefault((kind, reference.name), []).append(Use(holder.kind, holder.id, reference))
    return index


def used_by(build: Build, kind: str, name: str) -> list[Use]:
    """The records of the build that name one of its records, such as ("instrument", "om46")."""
    return uses(build).get((kind, name), [])


def _own_names(build: Build) -> dict[str, Collection[str]]:
    return {
        "fit": build.fits,
        "part": build.parts,
        "feature": build.features,
        "operation": build.operations,
        "instrument": build.instruments,
        "machine": build.machines,
        "material": build.materials,
        "person": build.head.people if build.head else (),
        "temperature case": build.head.cases if build.head else (),
        "thermometer": build.head.thermometers if build.head else (),
        "upkeep": build.head.upkeep if build.head else (),
        "reading": {row.id for row in build.reading_entries},
        "cut": {cut.id for cut in build.cuts if cut.id},
        "run": {name for run in build.runs for name in run.names},
        "outcome": {name for outcome in build.outcomes for name in outcome.names},
    }


def _records_of(build: Build) -> Iterator[_Holder]:
    if build.head:
        yield _Holder("build", "build.yaml", build.head, "build.yaml")
    for part_id, part in build.parts.items():
        yield _Holder("part", part_id, part, part_id, without=("features",))
        for feature_id, feature in part.features.items():
            yield _Holder("feature", f"{part_id}.{feature_id}", feature, feature_id)
    for kind, store in (
        ("fit", build.fits),
        ("operation", build.operations),
        ("instrument", build.instruments),
        ("machine", build.machines),
        ("material", build.materials),
        ("figure", build.figures),
        ("picture", build.photos),
        ("film", build.films),
    ):
        for name, record in store.items():
            yield _Holder(kind, name, record, name)
    for row in build.reading_entries:
        yield _Holder("reading", row.id, row, row.id)
    lists = (
        ("cut", build.cut_entries),
        ("review", build.review_entries),
        ("run", build.run_entries),
        ("outcome", build.outcome_entries),
    )
    for kind, records in lists:
        for number, record in enumerate(records, start=1):
            yield _Holder(kind, str(number), record, f"{kind} {number}")
    for instalment in build.instalments:
        yield _Holder("instalment", instalment.slug, instalment.head, "")


def _into_what_was_not_read(reference: Reference, build: Build, knowledge: Knowledge) -> bool:
    return (
        reference.name.partition(".")[0] in build.unread
        or any(FILES.get(kind) in build.unread for kind in reference.ref.kinds)
        or ("rule" in reference.ref.kinds and reference.name in knowledge.unread)
    )


def _missing(reference: Reference, known: Iterable[str], build: Build, problems: Problems) -> str:
    said = reference.ref.missing.format(reference.name)
    for kind in reference.ref.kinds:
        renamed = build.former_names.get(kind, {})
        if reference.name in renamed:
            return f'{said} It was renamed to "{renamed[reference.name]}".'
    return said + problems.nearest(reference.name, known)
