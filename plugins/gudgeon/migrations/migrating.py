"""Brings a club's records to the format of this version: what each step changes, tried before anything is written."""

import re
from collections import Counter
from collections.abc import Callable, Mapping
from contextlib import ExitStack
from dataclasses import dataclass, field
from pathlib import Path

from gudgeon.migrations import codes_of_cautions, day_under_date, outcomes_out_of_rules, surface_of_set_up
from gudgeon.migrations.texts import OF_A_BUILD, OF_THE_SHELF, Replaced, Step, Texts, files_of, lost
from gudgeon.project.settings import Settings
from gudgeon.project.writing import lay_over, trial_copy
from gudgeon.records.formats import FORMAT, KEY, format_in, newer_format
from gudgeon.records.load_build import load_build
from gudgeon.records.load_knowledge import PACKAGE, load_knowledge
from gudgeon.records.problems import Problem
from gudgeon.records.yaml_text import Document

STEPS = (day_under_date.STEP, surface_of_set_up.STEP, codes_of_cautions.STEP, outcomes_out_of_rules.STEP)


@dataclass
class Migration:
    """What is to be written so that all records are of this version's format.

    before, after: the texts of the files that change. by_step: the files that each step changed. formats: build -> the format that
    it had. replaced: what no longer stands as it stood. problems: builds of a newer format, which are left as they are. gone: files that are
    copies of the tool's own, to be removed.
    """

    before: dict[str, str] = field(default_factory=dict)
    after: dict[str, str] = field(default_factory=dict)
    by_step: list[tuple[Step, list[str]]] = field(default_factory=list)
    formats: dict[str, int] = field(default_factory=dict)
    replaced: list[Replaced] = field(default_factory=list)
    problems: list[Problem] = field(default_factory=list)
    gone: list[str] = field(default_factory=list)

    @property
    def rewrites(self) -> set[str]:
        """Files in which something is written in an earlier way, beside the number of the format."""
        return {name for _, names in self.by_step for name in names}


class LosesSomething(Exception):
    """A step would lose something that it does not name: a fault of the tool, and nothing is written."""


def migration_of(
    settings: Settings, build_names: list[str], read: Callable[[str], str | None], steps: tuple[Step, ...] | None = None
) -> Migration:
    """What brings the records of a project to this version's format. read: gives the text of a file, named from the root."""
    migration = Migration()
    texts = Texts({}, (), settings.knowledge)
    shelf = _texts(settings.root, settings.knowledge, OF_THE_SHELF, read)
    texts.texts |= shelf
    for build in build_names:
        path = f"{settings.builds}/{build}"
        if problem := newer_format(settings.root / path / "build.yaml", f"{path}/build.yaml"):
            migration.problems.append(problem)
            continue
        of_build = _texts(settings.root, path, OF_A_BUILD, read)
        if f"{path}/build.yaml" not in of_build:
            continue  # told by gudgeon check
        texts.texts |= of_build
        head = texts.document(f"{path}/build.yaml")
        # What cannot be read, or says no format that there is, is left alone.
        migration.formats[path] = (format_in(head) if head else None) or FORMAT
    before = dict(texts.texts)
    formats = dict(migration.formats)
    for number in range(2, FORMAT + 1):
        texts.builds = tuple(path for path, of in sorted(formats.items()) if of == number - 1)
        for step in STEPS if steps is None else steps:
            if step.since == number:
                rewritten = step.rewrite(texts)
                texts.texts |= rewritten.texts
                migration.replaced += rewritten.replaced
                if rewritten.texts:
                    migration.by_step.append((step, sorted(rewritten.texts)))
        for path in texts.builds:
            name = f"{path}/build.yaml"
            head = texts.document(name)
            assert head is not None, "a head that could be read before its format was raised can be read now"
            texts.texts[name] = _with_format(texts.texts[name], head, number)
            formats[path] = number
    changed = [name for name, text in texts.texts.items() if before.get(name) != text]
    migration.before = {name: before[name] for name in changed if name in before}
    migration.after = {name: texts.texts[name] for name in changed}
    gone = lost(migration.before, migration.after) - Counter(one.what for one in migration.replaced)
    # The number of the format itself is what is meant to change.
    gone -= Counter(str(number) for number in migration.formats.values())
    if gone:
        raise LosesSomething(f"these would be lost, and nothing is written: {', '.join(sorted(gone)[:5])}")
    return migration


def drop_copies(settings: Settings, migration: Migration) -> None:
    """Add to a migration that files of the club's shelf go which the tool's shelf has to the last byte: such a copy would hide what a
    later version has in its place."""
    folder, tool = settings.root / settings.knowledge, PACKAGE.folder
    for path in sorted(tool.rglob("*")):
        name = path.relative_to(tool).as_posix()
        own = folder / name
        if path.is_file() and own.is_file() and not own.is_symlink() and own.read_bytes() == path.read_bytes():
            file = f"{settings.knowledge}/{name}"
            migration.gone.append(file)
            migration.before.pop(file, None)
            migration.after.pop(file, None)


def new_problems(settings: Settings, migration: Migration) -> list[Problem]:
    """The problems that the records would have after it and have not now, tried on a copy."""
    root, shelf_path = settings.root, settings.knowledge

    def below(path: str) -> dict[str, str]:
        inside = f"{path}/"
        return {name.removeprefix(inside): text for name, text in migration.after.items() if name.startswith(inside)}

    shelf = load_knowledge(root / shelf_path, shelf_path)
    fresh: list[Problem] = []
    with ExitStack() as stack:
        shelf_after = shelf
        gone = [name.removeprefix(f"{shelf_path}/") for name in migration.gone]
        if (texts := below(shelf_path)) or gone:
            trial = stack.enter_context(trial_copy(root / shelf_path))
            lay_over(trial, texts, gone)
            shelf_after = load_knowledge(trial, shelf_path)
        fresh += _beyond(shelf.problems, shelf_after.problems)
        for path in migration.formats:
            texts = below(path)
            if not texts and shelf_after is shelf:
                continue
            trial = stack.enter_context(trial_copy(root / path, hollow="photos"))
            lay_over(trial, texts, ())
            before = load_build(root / path, path, shelf).problems
            fresh += _beyond(before, load_build(trial, path, shelf_after).problems)
    return fresh


def _beyond(before: list[Problem], after: list[Problem]) -> list[Problem]:
    """Problems that are not there before; a line may have moved, so that the place is told apart by its file alone."""
    known = Counter((problem.where.file, problem.about, problem.text) for problem in before)
    hollow = re.compile(r"photos/")  # pictures are copied empty
    return [
        problem
        for problem in after
        if not known[problem.where.file, problem.about, problem.text] and not hollow.search(problem.where.file)
    ]


def _texts(root: Path, folder: str, patterns: tuple[str, ...], read: Callable[[str], str | None]) -> Mapping[str, str]:
    names = [f"{folder}/{name}" for name in files_of(root / folder, patterns)]
    return {name: text for name in names if (text := read(name)) is not None}


def _with_format(text: str, head: Document, number: int) -> str:
    """A build.yaml that says its format: in its place where it says one, else above its first key."""
    lines = text.split("\n")
    if (KEY,) in head.values and (KEY,) in head.keys:
        line, column = (at - 1 for at in head.keys[(KEY,)])
        lines[line] = lines[line][:column] + re.sub(r"\d+", str(number), lines[line][column:], count=1)
    else:
        first = min((where for path, where in head.keys.items() if len(path) == 1), default=(1, 1))
        line, column = first[0] - 1, first[1] - 1
        if column == 0:
            lines.insert(line, f"{KEY}: {number}")
        else:  # all between braces
            lines[line] = lines[line][:column] + f"{KEY}: {number}, " + lines[line][column:]
    return "\n".join(lines)
