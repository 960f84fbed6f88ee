"""Reads what is shared: the shelf that comes with the tool, and docs/knowledge/ of a club over it."""

from collections.abc import Collection
from pathlib import Path
from typing import Any

from gudgeon_calc.units import NotAQuantity, read_quantity

from gudgeon.records.base import Record
from gudgeon.records.bibliography import BIBLIOGRAPHY, read_bibliography
from gudgeon.records.circles import report_circle
from gudgeon.records.clubs import ClubsFile
from gudgeon.records.figures import WATCHED
from gudgeon.records.judgement import Judgement
from gudgeon.records.knowledge import (
    SHARED_KINDS,
    Caution,
    ClubMaterial,
    Family,
    Glossary,
    Habits,
    OriginsFile,
    Rule,
    SharedKind,
    Sharing,
)
from gudgeon.records.model import Knowledge, Shelf
from gudgeon.records.outcomes import ClubOutcomes
from gudgeon.records.outcomes_in_rules import outcomes_in_rules
from gudgeon.records.problems import Problems, Where, nearest
from gudgeon.records.read_file import files, named_as_its_file, read_record, tell_not_read, told_apart
from gudgeon.records.refs import references_in
from gudgeon.records.shared_files import as_they_stand, digest_of
from gudgeon.records.shelf_layers import PACKAGE, Layer, laid_over
from gudgeon.records.validation import R


def load_knowledge(folder: Path, shown_as: str, package: Shelf | None = PACKAGE) -> Knowledge:
    """Read what is shared: docs/knowledge/ of a club, over the shelf that comes with the tool. Never raises for what a file
    says. package: the lower shelf where it is another than the installed one; None for none."""
    problems = Problems()
    lower = _read_layer(package, problems) if package else Layer(Knowledge(), {}, {})
    lower.knowledge.package = package
    shelf = laid_over(lower, _read_layer(Shelf(folder, shown_as), problems), problems)
    shelf.outcomes |= outcomes_in_rules(shelf.rules, shelf.sharing, shelf.origins)
    shelf.folder, shelf.path = folder, shown_as
    shelf.changed_here = {
        name
        for name, origin in shelf.origins.items()
        if digest_of(as_they_stand(folder, name, shelf.words)) != origin.as_brought
    }
    shelf.moved_below = {
        name
        for name, origin in shelf.origins.items()
        if package and origin.is_of_tool and name in shelf.replaced
        if digest_of(as_they_stand(package.folder, name, lower.knowledge.words)) != origin.digest
    }
    check_names(shelf, problems)
    shelf.problems = problems.in_order()
    return shelf


def _read_layer(place: Shelf, problems: Problems) -> Layer:
    """One shelf by itself."""
    shelf, folder, shown_as = Knowledge(), place.folder, place.shown_as
    unread: dict[str, str] = {}

    def of_many(name: str, model: type[R]) -> R | None:
        """A file that holds many things; None where there is none, or where it cannot be read."""
        path, file = folder / name, f"{shown_as}/{name}"
        record = read_record(path, file, model, problems) if path.exists() else None
        if record is None and path.exists():
            unread[name] = file
        return record

    with_a_file_each: tuple[tuple[SharedKind, dict[str, Any], type[Record]], ...] = (
        ("rule", shelf.rules, Rule),
        ("caution", shelf.cautions, Caution),
        ("material", shelf.materials, ClubMaterial),
        ("outcomes", shelf.outcomes, ClubOutcomes),
    )
    for kind, store, model in with_a_file_each:
        for name, file in _read_all(store, model, kind, place, problems).items():
            unread[f"{kind} {name}"] = file
            if kind == "rule":
                shelf.unread.add(name)
    for path in files(folder / "families", "*/family.yaml"):
        name = path.parent.name
        file = f"{shown_as}/families/{name}/family.yaml"
        record = read_record(path, file, Family, problems)
        if record and record.family == name:
            shelf.families[name] = record
            continue
        unread[f"family {name}"] = file
        if record:
            problems.add(
                record.where("family"),
                "family",
                f'the family differs from its folder\'s name. Found "{record.family}". Write "{name}".',
            )
    habits = of_many("habits.yaml", Habits)
    shelf.cutting = habits.cutting if habits else None
    judgement = of_many("judgement.yaml", Judgement)
    words = of_many("glossary/words.yaml", Glossary)
    shelf.words = list(words.words) if words else []
    works = read_bibliography(folder / BIBLIOGRAPHY, f"{shown_as}/{BIBLIOGRAPHY}", problems)
    shelf.sources = works or {}
    if works is None:
        unread[BIBLIOGRAPHY] = f"{shown_as}/{BIBLIOGRAPHY}"
    shelf.sharing = of_many("sharing.yaml", Sharing)
    clubs = of_many("clubs.yaml", ClubsFile)
    shelf.clubs = clubs.clubs if clubs else ()
    origins = of_many("origins.yaml", OriginsFile)
    shelf.origins = origins.origins if origins else {}
    return Layer(shelf, unread, judgement.said() if judgement else {})


def _read_all(
    store: dict[str, Any], model: type[Record], kind: SharedKind, shelf: Shelf, problems: Problems
) -> dict[str, str]:
    """Read the records of a kind that have a file each; gives the names of those that could not be read, with their files."""
    unread: dict[str, str] = {}
    folder, place = shelf.folder / SHARED_KINDS[kind], f"{shelf.shown_as}/{SHARED_KINDS[kind]}"
    tell_not_read(folder, place, ".yaml", problems)
    for path in told_apart(files(folder, "*.yaml"), place, problems):
        record = read_record(path, f"{place}/{path.name}", model, problems)
        if record:
            named_as_its_file(record, kind, path, problems)
            store[path.stem] = record
        else:
            unread[path.stem] = f"{place}/{path.name}"
    return unread


def check_names(shelf: Knowledge, problems: Problems) -> None:
    """Every name that the shelf's records give leads somewhere."""
    # Kind of record -> its names, and what is said where none is the one that is meant.
    names: dict[str, tuple[Collection[str], str]] = {
        "source": (shelf.sources, 'the bibliography has no "{}".'),
        "club material": (shelf.materials, 'no material of the club "{}".'),
        "rule": ({*shelf.rules, *shelf.unread}, 'no rule "{}".'),
    }
    for store in (shelf.rules, shelf.cautions, shelf.materials, shelf.families, shelf.judgement, shelf.outcomes):
        for record_id, record in store.items():
            for reference in references_in(record):
                known, missing = names.get(reference.ref.kinds[0], ({reference.name}, ""))
                if reference.name not in known:
                    text = missing.format(reference.name) + nearest(reference.name, known)
                    problems.add(reference.where, record_id, text)
    _check_rules(shelf, problems)
    for caution_id, caution in shelf.cautions.items():
        for danger in caution.dangers:
            if danger.figure not in WATCHED:
                text = (
                    f'no computed figure that a caution can watch "{danger.figure}".{nearest(danger.figure, WATCHED)}'
                )
                problems.add(danger.where("figure"), danger.figure, text)
                continue
            try:
                read_quantity(danger.limit, WATCHED[danger.figure])
            except NotAQuantity as error:
                problems.add(danger.where("over" if danger.over else "under"), caution_id, str(error))


def _check_rules(shelf: Knowledge, problems: Problems) -> None:
    """Rules that take another rule's result: which case of it, and none in a circle; nor superseded in one."""
    rules = shelf.rules
    for name, rule in rules.items():
        for case, form in rule.forms.items():
            other = rules.get(form.of_rule) if form.of_rule else None
            if other is None or form.of_case in other.forms:
                continue
            way = ("cases", case) if case else ("gives",)
            cases = " or ".join(key for key in other.forms if key)
            text = f'rule {other.rule} has several cases. Write "of_case: {cases}".'
            if not other.cases:
                text = f"rule {other.rule} has no cases. Remove the line."
            problems.add(rule.where(*way, "of_case" if form.of_case else "of_rule"), name, text)
    report_circle(
        {name: rule.rests_on & set(rules) for name, rule in rules.items()},
        "rules take their results from each other in a circle",
        "rests on",
        lambda name: _place_of_rule_taken(rules[name]),
        problems,
    )
    report_circle(
        {name: set(rules) & {rule.superseded_by} for name, rule in rules.items()},
        "rules supersede each other in a circle",
        "is superseded by",
        lambda name: rules[name].where("superseded_by"),
        problems,
    )


def _place_of_rule_taken(rule: Rule) -> Where:
    case = next(case for case, form in rule.forms.items() if form.of_rule)
    return rule.where(*(("cases", case) if case else ("gives",)), "of_rule")
