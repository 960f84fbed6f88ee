"""Reads docs/knowledge/: what a club shares."""

from collections.abc import Collection
from pathlib import Path

from gudgeon_calc.units import NotAQuantity, read_quantity

from gudgeon.records.bibliography import read_bibliography
from gudgeon.records.circles import report_circle
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
from gudgeon.records.model import Knowledge
from gudgeon.records.problems import Problems, Where, nearest
from gudgeon.records.read_file import files, named_as_its_file, read_record, tell_not_read, told_apart
from gudgeon.records.refs import references_in
from gudgeon.records.shared_files import as_they_stand, digest_of
from gudgeon.records.validation import R


def load_knowledge(folder: Path, shown_as: str) -> Knowledge:
    """Read docs/knowledge/. Never raises for what a file says."""
    shelf, problems = Knowledge(), Problems()
    shelf.unread = _read_all(shelf.rules, Rule, "rule", folder, shown_as, problems)
    _read_all(shelf.cautions, Caution, "caution", folder, shown_as, problems)
    _read_all(shelf.materials, ClubMaterial, "material", folder, shown_as, problems)
    for path in files(folder / "families", "*/family.yaml"):
        name = path.parent.name
        record = read_record(path, f"{shown_as}/families/{name}/family.yaml", Family, problems)
        if record and record.family == name:
            shelf.families[name] = record
        elif record:
            problems.add(
                record.where("family"),
                "family",
                f'the family differs from its folder\'s name. Found "{record.family}". Write "{name}".',
            )
    path = folder / "habits.yaml"
    habits = read_record(path, f"{shown_as}/habits.yaml", Habits, problems) if path.exists() else None
    shelf.cutting = habits.cutting if habits else None
    path = folder / "judgement.yaml"
    judgement = read_record(path, f"{shown_as}/judgement.yaml", Judgement, problems) if path.exists() else None
    if judgement:
        shelf.judgement = judgement.thresholds()
    path = folder / "glossary" / "words.yaml"
    words = read_record(path, f"{shown_as}/glossary/words.yaml", Glossary, problems) if path.exists() else None
    shelf.words = sorted(words.words, key=lambda word: word.word.casefold()) if words else []
    shelf.sources = read_bibliography(
        folder / "sources" / "bibliography.json", f"{shown_as}/sources/bibliography.json", problems
    )
    path = folder / "sharing.yaml"
    shelf.sharing = read_record(path, f"{shown_as}/sharing.yaml", Sharing, problems) if path.exists() else None
    path = folder / "origins.yaml"
    origins = read_record(path, f"{shown_as}/origins.yaml", OriginsFile, problems) if path.exists() else None
    shelf.origins = origins.origins if origins else {}
    shelf.folder, shelf.path = folder, shown_as
    shelf.changed_here = {
        name
        for name, origin in shelf.origins.items()
        if digest_of(as_they_stand(folder, name, shelf.words)) != origin.as_brought
    }
    check_names(shelf, problems)
    shelf.problems = problems.in_order()
    return shelf


def _read_all(
    store: dict[str, R], model: type[R], kind: SharedKind, folder: Path, shown_as: str, problems: Problems
) -> set[str]:
    """Read the records of a kind that have a file each; gives the names of those that could not be read."""
    unread: set[str] = set()
    place = f"{shown_as}/{SHARED_KINDS[kind]}"
    tell_not_read(folder / SHARED_KINDS[kind], place, ".yaml", problems)
    for path in told_apart(files(folder / SHARED_KINDS[kind], "*.yaml"), place, problems):
        record = read_record(path, f"{place}/{path.name}", model, problems)
        if record:
            named_as_its_file(record, kind, path, problems)
            store[path.stem] = record
        else:
            unread.add(path.stem)
    return unread


def check_names(shelf: Knowledge, problems: Problems) -> None:
    """Every name that the shelf's records give leads somewhere."""
    # Kind of record -> its names, and what is said where none is the one that is meant.
    names: dict[str, tuple[Collection[str], str]] = {
        "source": (shelf.sources, 'the bibliography has no "{}".'),
        "club material": (shelf.materials, 'no material of the club "{}".'),
        "rule": ({*shelf.rules, *shelf.unread}, 'no rule "{}".'),
    }
    for store in (shelf.rules, shelf.cautions, shelf.materials, shelf.families, shelf.judgement):
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
