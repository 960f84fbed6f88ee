"""gudgeon withdraw: a reading, a cut, a run or an outcome that was entered by mistake no longer counts; it stays, with the reason."""

import sys
from collections.abc import Mapping
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

import click

from gudgeon.commands.options import build_argument, day_of, day_option, desk_of, find_build, open_project, root_option
from gudgeon.commands.terminal import TROUBLE, leave
from gudgeon.entry.marking import CannotMark, with_entry
from gudgeon.entry.reading_ids import new_id
from gudgeon.entry.sizes import NotClear
from gudgeon.entry.starting import short
from gudgeon.entry.who_and_when import person
from gudgeon.project.safe_write import NotSound, keep_and_read
from gudgeon.records.cuts import Cut
from gudgeon.records.model import Build
from gudgeon.records.outcomes import Outcome
from gudgeon.records.problems import nearest, seen_lines, shown
from gudgeon.records.readings import Row
from gudgeon.records.running import Run
from gudgeon.records.yaml_writing import flow
from gudgeon.wording import UnitFormatter, as_read

if TYPE_CHECKING:
    from gudgeon.assess.findings import BuildFindings
    from gudgeon.project.project import Project


@dataclass(frozen=True)
class Meant:
    """What is to be withdrawn. name: by what its withdrawal names it. file: where the withdrawal goes, below the build's folder."""

    record: Row | Cut | Run | Outcome
    name: str
    words: str
    file: str


@click.command(
    epilog="""\b
Examples:
  gudgeon withdraw harrow-pond od03-k7mp --because "read on the wrong land" --by odette
  gudgeon withdraw harrow-pond cut-od03-k7mp --because "entered twice" --by odette
  gudgeon withdraw sundlia 2025-04-13 --because "was of another engine" --by ilse

\b
A reading and a cut are named by their ids, a run and an outcome by their id or day. Nothing is deleted: an entry with the reason is added. Where
another value was meant, enter it again; a row that puts another one right says so with supersedes.

\b
Exit status: 0 written; 1 it cannot be withdrawn, or was not confirmed, and nothing was written; 2 the command's words are off;
3 there is no such build."""
)
@build_argument
@click.argument("record")
@click.option("--because", required=True, help="Why it is withdrawn, in a line.")
@click.option("--by", help="Who withdraws it, by the id in build.yaml.")
@day_option
@click.option("--yes", is_flag=True, help="Write without asking.")
@root_option
def withdraw(build, record, because, by, day, yes, root):
    """Withdraw RECORD of BUILD, a reading, a cut, a run or an outcome that was entered by mistake, and tell what moves by it."""
    project, date = open_project(root), day_of(day)
    records = find_build(project, build)
    if date > day_of(None):
        leave(TROUBLE, f"Not written: {date} is still to come.")
    if not because.strip():
        leave(TROUBLE, "Not written: nothing says why. Say it with --because.")
    try:
        meant = _meant(records, record)
        entry = {"withdraws": meant.name, "because": " ".join(because.split()), "date": date.isoformat()}
        entry["by"] = person(records, by)
        click.echo(seen_lines(meant.words))
        if not yes and not (
            sys.stdin.isatty()
            and click.confirm("Withdraw it? It stays, and no longer counts.", default=False, err=True)
        ):
            leave(TROUBLE, "Not written." if sys.stdin.isatty() else "Not written. Say --yes to withdraw it.")
        before = _findings(project, records)
        path, now = _write(project, build, record, entry)
    except (NotClear, CannotMark, NotSound) as problem:
        leave(TROUBLE, f"Not written: {problem}")
    click.echo(f"Withdrawn: {meant.name}. Written to {path}.")
    after = _findings(project, now)
    if before is None or after is None:
        click.echo("What moves by it is not known: the build has problems. gudgeon check tells them.")
        return
    for line in _moved(now, before, after):
        click.echo(line)


def _meant(build: Build, name: str) -> Meant:
    """The one record that a name means. Raises NotClear where it means none, or one that does not count already."""
    low = name.lower()
    for row in build.rows:
        if row.id.lower() == low:
            return _reading(build, row)
    for cut in build.cuts:
        if cut.id is not None and cut.id.lower() == low:
            if cut not in build.standing_cuts:
                raise NotClear(f"the cut {cut.id} is withdrawn already.")
            after = [row.id for row in build.rows if row.after_cut == cut.id and row.id not in build.withdrawn]
            words = f"The cut {cut.id} of {cut.of}, {cut.date}: {cut.asked} asked, {cut.tool}, on {cut.machine}."
            words += f"\nRead after it, and still to count: {', '.join(after)}." if after else ""
            return Meant(cut, cut.id, words, "cuts.yaml")
    runs = [run for run in build.runs if name in run.names]
    outcomes = [outcome for outcome in build.outcomes if name in outcome.names]
    if runs and outcomes:
        raise NotClear(
            f"a run and an outcome are of {shown(name)}. Give the one that is meant an id in its file, and name that."
        )
    if len(runs) > 1:
        raise NotClear(
            f"{len(runs)} runs are of {shown(name)}. Give the one that is meant an id in running.yaml, and name that."
        )
    if runs:
        if build.withdrawal_of_run(runs[0]) is not None:
            raise NotClear(f"the run of {runs[0].date} is withdrawn already.")
        return Meant(runs[0], name, f"The run of {runs[0].date}, {runs[0].hours}.", "running.yaml")
    if len(outcomes) > 1:
        raise NotClear(
            f"{len(outcomes)} outcomes are of {shown(name)}. Give the one that is meant an id in outcomes.yaml, and name that."
        )
    if outcomes:
        (outcome,) = outcomes
        if build.withdrawal_of_outcome(outcome) is not None:
            raise NotClear(f"the outcome of {outcome.date} is withdrawn already.")
        words = (
            f"The outcome of {outcome.date}: {outcome.about} {outcome.result.replace('_', ' ')}, said by {outcome.by}."
        )
        return Meant(outcome, name, words, "outcomes.yaml")
    known = [*(row.id for row in build.rows), *(cut.id for cut in build.cuts if cut.id)]
    known += [one for entry in (*build.runs, *build.outcomes) for one in entry.names]
    raise NotClear(f'no reading, cut, run or outcome "{shown(name)}" in this build.{nearest(name, known)}')


def _reading(build: Build, row: Row) -> Meant:
    if row.id in build.withdrawn:
        raise NotClear(f'{row.id} is withdrawn already: "{shown(build.withdrawn[row.id].because)}"')
    right = next(
        (other.id for other in build.rows if other.supersedes == row.id and other.id not in build.withdrawn), None
    )
    if right is not None:
        raise NotClear(f"row {right} has put {row.id} right, so it does not count already.")
    place = UnitFormatter(build.sound_head.units).place_text(
        float(row.station) if row.station else None, float(row.angle) if row.angle else None
    )
    words = f"Row {row.id} of {row.of}{', ' + place if place else ''}: {as_read(row.reads)}, {row.gauge}, {row.date}, by {row.by}."
    if row.supersedes:
        words += f"\nIt puts {row.supersedes} right, which counts again without it."
    return Meant(row, row.id, words, f"readings/{row.date}-{short(row.of)}.yaml")


def _write(project: "Project", name: str, record: str, entry: dict[str, str]) -> tuple[str, Build]:
    """Write the entry, of the build as it stands now; into a file of its own where the reading's file cannot be continued."""
    with desk_of(project) as desk:
        build = project.as_it_stands(name)
        meant = _meant(build, record)
        if isinstance(meant.record, Row):
            entry = {"id": new_id(build, {**entry, "of": f"withdraws {meant.name}"})} | entry
            stem = f"readings/{entry['date']}-{short(meant.record.of)}"
            files = [f"{stem}.yaml", *(f"{stem}-withdrawn{end}.yaml" for end in ("", "-2", "-3"))]
        else:
            files = [meant.file]
        key = {"cuts.yaml": "cuts", "running.yaml": "runs", "outcomes.yaml": "outcomes"}.get(meant.file, "rows")
        problem: Exception | None = None
        for file in files:
            try:
                text = with_entry(desk.text(f"{build.path}/{file}"), key, flow(entry))
                _, now = keep_and_read(desk, build, {file: text}, project.knowledge, edited=[file])
                return f"{build.path}/{file}", now
            except (CannotMark, NotSound) as why:
                problem = why
        assert problem is not None, "a file was tried"
        raise problem


def _findings(project: "Project", build: Build) -> "BuildFindings | None":
    """What a build amounts to; None where its records have problems, or the tool failed on it."""
    from gudgeon.boundary import Failure
    from gudgeon.project.project import work_out

    outcome = None if build.problems else work_out(build, project.knowledge)
    return None if isinstance(outcome, Failure) else outcome


def _moved(build: Build, before: "BuildFindings", after: "BuildFindings") -> list[str]:
    """The sizes, fits and hours that differ, a sentence each."""
    fmt = UnitFormatter(build.sound_head.units)
    lines = _differ(
        before.features, after.features, "size", lambda name: f"{build.features[name].name} ({name})", fmt.size_text
    )
    lines += _differ(
        before.fits, after.fits, "clearance", lambda name: f"{after.fits[name].name} ({name})", fmt.clearance_text
    )
    if before.running.minutes != after.running.minutes:
        lines.append(f"The engine ran {before.running.minutes:g} min by the log, now {after.running.minutes:g} min.")
    return lines or ["No size that decides, no fit and no hours of running move by it."]


def _differ(before: Mapping[str, Any], after: Mapping[str, Any], value: str, called, text) -> list[str]:
    lines = []
    for name, now in after.items():
        was = before[name]
        sides = [
            f"{'no ' + value if getattr(side, value) is None else text(getattr(side, value))}, {side.state}"
            for side in (was, now)
        ]
        if sides[0] != sides[1]:
            lines.append(f"{called(name)}: was {sides[0]}; now {sides[1]}.")
    return lines
