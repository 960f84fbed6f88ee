"""Reads a club: builds/ and docs/knowledge/, into records, with all problems at once."""

import re
from pathlib import Path
from typing import cast

from gudgeon.records import build_file, instalment_head
from gudgeon.records.cuts import Cut, CutWithdrawal
from gudgeon.records.fields import INSTALMENT_NAME
from gudgeon.records.formats import newer_format
from gudgeon.records.model import Build, Instalment, Knowledge
from gudgeon.records.outcomes import Outcome, OutcomeWithdrawal
from gudgeon.records.parts import Part
from gudgeon.records.picture_checks import check_films, check_pictures
from gudgeon.records.problems import Problems, Where, nearest, seen, shown
from gudgeon.records.read_file import files, named_as_its_file, read_record, tell_folded, tell_not_read, told_apart
from gudgeon.records.readings import ReadingsFile, ReadingWithdrawal, Row, spread_every_row
from gudgeon.records.record_files import BUILD_FILES
from gudgeon.records.references import check_references
from gudgeon.records.running import Run, RunWithdrawal
from gudgeon.records.validation import validate
from gudgeon.records.yaml_text import read_text, read_yaml

FOLDER_NAME = re.compile(r"[a-z0-9][a-z0-9-]{0,39}")
FOLDERS = ("parts", "readings", "log", "photos")
ENDING_OF = {"parts": ".yaml", "readings": ".yaml", "log": ".md"}


def load_build(folder: Path, shown_as: str, shared: Knowledge) -> Build:
    """Read one build's folder. Its problems are in `problems`; with any, the build is not to be assessed."""
    build, problems = Build(seen(folder.name), folder, shown_as), Problems()
    if not FOLDER_NAME.fullmatch(folder.name):
        problems.add(
            Where(shown_as),
            "",
            f'a build\'s folder is named in small letters, digits and hyphens. Found "{shown(folder.name)}".',
        )
    links = [link for link in (folder, *(folder / name for name in FOLDERS)) if link.is_symlink()]
    for link in links:
        shown_link = f"{shown_as}/{link.name}" if link != folder else shown_as
        problems.add(Where(shown_link), "", "links are not followed. Put the folder itself here.")
    if links:
        build.problems = problems.in_order()
        return build
    if not (folder / "build.yaml").exists():
        problems.add(Where(shown_as), "", "this folder has no build.yaml. Add one, or move the folder out of builds/.")
        build.problems = problems.in_order()
        return build
    if newer := newer_format(folder / "build.yaml", f"{shown_as}/build.yaml"):
        build.unread.add("build.yaml")
        build.problems = [newer]
        return build
    build.head = read_record(folder / "build.yaml", f"{shown_as}/build.yaml", build_file.BuildFile, problems)
    if build.head is None:
        build.unread.add("build.yaml")
    single_files = {file.name: (file.model, file.store) for file in BUILD_FILES if file.store and file.is_single}
    for name, (model, store) in single_files.items():
        if not (folder / name).exists():
            continue
        record = read_record(folder / name, f"{shown_as}/{name}", model, problems)
        if record:
            setattr(build, store, getattr(record, store))
        else:
            build.unread.add(name)
    # Until here verdicts, cuts, runs and outcomes stand mixed with their withdrawals, as their files have them.
    entries = cast(tuple[build_file.Review | build_file.ReviewWithdrawal, ...], build.reviews)
    build.reviews = tuple(entry for entry in entries if isinstance(entry, build_file.Review))
    build.review_withdrawals = tuple(entry for entry in entries if isinstance(entry, build_file.ReviewWithdrawal))
    cuts = cast(tuple[Cut | CutWithdrawal, ...], build.cuts)
    build.cuts = tuple(entry for entry in cuts if isinstance(entry, Cut))
    build.cut_withdrawals = tuple(entry for entry in cuts if isinstance(entry, CutWithdrawal))
    runs = cast(tuple[Run | RunWithdrawal, ...], build.runs)
    build.runs = tuple(entry for entry in runs if isinstance(entry, Run))
    build.run_withdrawals = tuple(entry for entry in runs if isinstance(entry, RunWithdrawal))
    told = cast(tuple[Outcome | OutcomeWithdrawal, ...], build.outcomes)
    build.outcomes = tuple(entry for entry in told if isinstance(entry, Outcome))
    build.outcome_withdrawals = tuple(entry for entry in told if isinstance(entry, OutcomeWithdrawal))
    known = {*single_files, "build.yaml"}
    tell_folded(folder, shown_as, (*known, *FOLDERS), problems)
    for name, ending in ENDING_OF.items():
        tell_not_read(folder / name, f"{shown_as}/{name}", ending, problems)
    told_apart(files(folder / "photos", "*"), f"{shown_as}/photos", problems)
    for path in files(folder, "*.y*ml"):
        if path.name not in known and path.name.casefold() not in known:
            problems.add(
                Where(f"{shown_as}/{path.name}"), "", f"a build has no file of this name.{nearest(path.name, known)}"
            )
    for path in told_apart(files(folder / "parts", "*.yaml"), f"{shown_as}/parts", problems):
        part = read_record(path, f"{shown_as}/parts/{path.name}", Part, problems)
        if part:
            named_as_its_file(part, "part", path, problems)
            build.parts[path.stem] = part
        else:
            build.unread.add(path.stem)
    for path in told_apart(files(folder / "readings", "*.yaml"), f"{shown_as}/readings", problems):
        file = read_record(path, f"{shown_as}/readings/{path.name}", ReadingsFile, problems, prepare=spread_every_row)
        if file is None:
            build.unread.add("readings")
            continue
        build.rows += [row for row in file.rows if isinstance(row, Row)]
        build.reading_withdrawals += [row for row in file.rows if isinstance(row, ReadingWithdrawal)]
    # By day and id, whatever the files are called: a row moved to another file is the same row.
    build.rows.sort(key=lambda row: (row.date, row.id, row.where()))
    build.reading_withdrawals.sort(key=lambda row: (row.date, row.id, row.where()))
    for path in told_apart(files(folder / "log", "*.md"), f"{shown_as}/log", problems):
        instalment = _instalment(path, f"{shown_as}/log/{path.name}", problems)
        if instalment:
            build.instalments.append(instalment)
    build.instalments.sort(key=lambda instalment: (instalment.head.number, instalment.slug))
    check_references(build, shared, problems)
    check_pictures(build, problems)
    check_films(build, problems)
    build.problems = problems.in_order()
    return build


def _instalment(path: Path, file: str, problems: Problems) -> Instalment | None:
    if not re.fullmatch(INSTALMENT_NAME, path.stem):
        problems.add(
            Where(file),
            "",
            'an instalment\'s file is named by number and title in small letters, such as "07-first-cut.md".',
        )
        return None
    text = read_text(path, file, problems)
    if text is None:
        return None
    match = re.match(r"---[ \t]*\r?\n(.*?\r?\n)---[ \t]*(?:\r?\n|$)", text, re.DOTALL)
    if not match:
        problems.add(
            Where(file), "", 'an instalment begins with its head between two lines "---": number, title, date, by.'
        )
        return None
    document = read_yaml(match[1], file, problems, first_line=2)
    head = validate(instalment_head.Instalment, document, problems) if document else None
    if head is None:
        return None
    body = text[match.end() :]
    above = text[: len(text) - len(body.lstrip())]
    return Instalment(head, body.strip(), file, path.stem, first_line=above.count("\n") + 1)
