"""gudgeon done: an operation is finished; what that made stale, and what can start now."""

import datetime
import sys
from collections.abc import Mapping
from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from gudgeon.commands.answering import fits_told
from gudgeon.commands.options import build_argument, day_of, day_option, desk_of, find_build, open_project, root_option
from gudgeon.commands.terminal import TROUBLE, leave
from gudgeon.entry.marking import CannotMark, with_entry, with_keys, with_note
from gudgeon.entry.reading_ids import reading_id
from gudgeon.entry.starting import short
from gudgeon.project.safe_write import NotSound, write_if_sound
from gudgeon.records.load_build import load_build
from gudgeon.records.model import Build
from gudgeon.records.problems import nearest
from gudgeon.records.readings import Row, row_texts
from gudgeon.records.work_kinds import kinds_of_work
from gudgeon.records.yaml_writing import flow
from gudgeon.wording import as_read

if TYPE_CHECKING:
    from gudgeon.assess.findings import BuildFindings
    from gudgeon.project.project import Project

FILE = "operations.yaml"


@click.command(
    epilog="""\b
Examples:
  gudgeon done harrow-pond A-PIS-100 --took 95
  gudgeon done harrow-pond A-PIS-100 --took "1.5 h" --found "chatter at the crown end, none after the tool was honed"

\b
Exit status: 0 written; 1 it cannot be marked so, or was not confirmed, and nothing was written; 2 the command's words are off;
3 there is no such build."""
)
@build_argument
@click.argument("operation")
@click.option("--took", help="Time that it took in all: minutes, or with a unit, such as 1.5 h.")
@click.option("--found", help="What was found at it, in a line: goes into its note.")
@click.option("--by", help="Who did it, by the id in build.yaml.")
@click.option(
    "--nothing-since",
    is_flag=True,
    help="Nothing was cut since the readings of that day after its last cut: they are put down again as read after it.",
)
@day_option
@click.option("--yes", is_flag=True, help="Mark it without asking, even where something it needs is not done.")
@root_option
def done(build, operation, took, found, by, nothing_since, day, yes, root):
    """Mark OPERATION of BUILD finished, in its place in operations.yaml, and tell what that made stale and what can start now."""
    project, date = open_project(root), day_of(day)
    records = find_build(project, build)
    name = _named(records, operation)
    if date > day_of(None):
        leave(TROUBLE, f"Not written: {date} is still to come.")
    later = [made.date for made in records.standing_cuts if made.operation == name and made.date > date]
    if later:
        leave(
            TROUBLE, f"Not written: {name} was still cut on {max(later)}. Say --on with the day on which it was done."
        )
    before = _findings(project, records)
    waits = before.operations[name].waits_for if before else ()
    if waits:
        click.echo(f"{name} needs what is not done: {', '.join(waits)}.", err=True)
        if not yes and not (
            sys.stdin.isatty() and click.confirm("Mark it done all the same?", default=False, err=True)
        ):
            leave(TROUBLE, "Not written." if sys.stdin.isatty() else "Not written. Say --yes to mark it all the same.")
    rows = read_at_the_end(records, before, name, date) if before else []
    if rows and not nothing_since and not yes and sys.stdin.isatty():
        shown = ", ".join(f"{row.id} {row.of} {as_read(row.reads)}" for row in rows)
        question = (
            f"Read after its last cut: {shown}. Was nothing cut since, so that they are read after the operation?"
        )
        nothing_since = click.confirm(question, default=False, err=True)
    said = {"took": _time(took), "by": by, "done": date.isoformat()}
    path = _mark(project, build, name, said, found, [row.id for row in rows] if nothing_since else [])
    now = project.read_build(build)
    click.echo(f"{name} done on {date}: {now.operations[name].does}. Written to {path}.")
    if nothing_since and not rows:
        click.echo("No reading of that day stands after its last cut, so none was put down again.")
    if rows and nothing_since:
        click.echo(f"Put down again as read after it: {', '.join(row.id for row in rows)}.")
    after = _findings(project, now)
    if before is None or after is None:
        click.echo(
            "What it made stale and what can start now is not known: the build has problems. gudgeon check tells them."
        )
        return
    for line in [
        *not_read(now, name),
        *moved(now, before, after, name),
        *fits_told(now, after, now.touched_by(now.operations[name])),
    ]:
        click.echo(line)


def _came_to(state: str, before: Mapping[str, Any], after: Mapping[str, Any]) -> list[str]:
    """Of findings with a state, those that came to be in it."""
    return [name for name, finding in after.items() if finding.state == state and before[name].state != state]


def moved(build: Build, before: "BuildFindings", after: "BuildFindings", done: str) -> list[str]:
    """What an operation that is done now made stale, and what can start since, a sentence each."""
    stale = _came_to("stale", before.features, after.features)
    frozen = _came_to("frozen", before.features, after.features)
    start = _came_to("can start", before.operations, after.operations)
    waiting = _came_to("waiting", before.operations, after.operations)
    named = build.features
    lines = [
        f"Stale now, to be read again: {', '.join(f'{named[ref].name} ({ref})' for ref in stale)}." if stale else ""
    ]
    lines += [f"Never to be read again, and kept as they were: {', '.join(frozen)}." if frozen else ""]
    lines += ["" if stale or frozen else "No reading was made stale by it."]
    lines += [f"Can start now: {name}, {build.operations[name].does}." for name in start]
    lines += [f"Waits with nobody at work: {name}, {build.operations[name].does}." for name in waiting]
    lines += ["" if start or waiting else "Nothing more can start by it."]
    return [line for line in lines if line]


def not_read(build: Build, operation: str) -> list[str]:
    """Of an operation that is to measure: that nothing of its part was read, or not since what it needs was done."""
    op = build.operations[operation]
    if kinds_of_work(op) != ("measuring",) or op.done is None:
        return []
    begun = max((build.operations[need].done or op.done for need in op.needs), default=None)
    own = [row for row in build.rows if row.of.startswith(f"{op.part}.") and row.id not in build.withdrawn]
    if any(row.after == operation or (row.date <= op.done and (begun is None or row.date >= begun)) for row in own):
        return []
    since = f" since {begun}" if begun is not None and own else ""
    return [f"Nothing of {build.parts[op.part].name} was read{since}: its places stay as they were before."]


def read_at_the_end(build: Build, findings: "BuildFindings", operation: str, day: datetime.date) -> list[Row]:
    """The readings of a day in the state of the metal that the last cut of an operation left: they are of its end, where nothing
    was cut since."""
    own = {cut.label: cut for cut in build.standing_cuts if cut.operation == operation}
    ends = {
        ref
        for ref, feature in findings.features.items()
        if feature.history and feature.history[-1].cut in own and own[feature.history[-1].cut].of == ref
    }
    return [
        row
        for row in build.rows
        if row.of in ends and row.date == day and findings.rows[row.id].status == "current" and row.after != operation
    ]


def _again_after(build: Build, rows: list[Row], operation: str) -> dict[str, list[str]]:
    """Rows put down again as read after an operation, each in place of the one before it: name of the file -> lines."""
    taken = {entry.id for entry in build.reading_entries} | set(build.former_names["reading"])
    lines: dict[str, list[str]] = {}
    for number, row in enumerate(rows, 1):
        again = {key: said for key, said in row_texts(row).items() if key not in ("id", "after")}
        again = {"id": "", **again, "after": operation, "supersedes": row.id}
        again["note"] = "; ".join(
            filter(None, [row.note and row.note.strip(), f"nothing was cut between it and the end of {operation}"])
        )
        own = [entry for entry in build.reading_entries if (entry.by, entry.date) == (row.by, row.date)]
        again["id"] = reading_id(again, build.sound_head.people, len(own) + number, taken)
        taken.add(again["id"])
        lines.setdefault(f"{row.date}-{short(row.of)}", []).append(flow(again))
    return lines


def _named(build: Build, operation: str) -> str:
    known = {name.lower(): name for name in build.operations}
    if operation.lower() not in known:
        leave(TROUBLE, f'no operation "{operation[:60]}" in this build.{nearest(operation, build.operations)}')
    name = known[operation.lower()]
    if build.operations[name].done:
        leave(TROUBLE, f"{name} is done already, on {build.operations[name].done}. Nothing was written.")
    return name


def _time(took: str | None) -> str | None:
    """Minutes where no unit is said."""
    if took is None:
        return None
    return f"{took} min" if took.replace(".", "", 1).isdecimal() else took


def _findings(project: "Project", build: Build) -> "BuildFindings | None":
    """What a build amounts to; None where its records have problems, or the tool failed on it."""
    from gudgeon.boundary import Failure
    from gudgeon.project.project import work_out

    if build.problems:
        return None
    outcome = work_out(build, project.knowledge)
    return None if isinstance(outcome, Failure) else outcome


def _mark(
    project: "Project", name: str, operation: str, said: dict[str, str | None], found: str | None, again: list[str]
) -> Path:
    """Write it, with the readings that are put down again, all or nothing."""
    path = project.path_of(name)
    try:
        with desk_of(project) as desk:
            build = project.read_build(name)
            _named(build, operation)  # somebody may have been faster
            text = desk.text(f"{path}/{FILE}") or ""
            values = {key: value for key, value in said.items() if value is not None}
            before = {str(problem) for problem in build.problems}
            text = with_keys(text, operation, values)
            files = {FILE: with_note(text, operation, " ".join(found.split())) if found and found.strip() else text}
            rows = [row for row in build.rows if row.id in again]
            for file, lines in _again_after(build, rows, operation).items():
                files |= {f"readings/{file}.yaml": _continued(desk.text(f"{path}/readings/{file}.yaml"), lines)}
            return write_if_sound(
                desk,
                path,
                files,
                lambda place: load_build(place, path, project.knowledge).problems,
                before,
                hollow="photos",
            )[0]
    except (CannotMark, NotSound) as problem:
        leave(TROUBLE, f"Not written: {problem}")


def _continued(text: str | None, lines: list[str]) -> str:
    for line in lines:
        text = with_entry(text, "rows", line)
    return text or ""
