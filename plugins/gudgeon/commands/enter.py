"""gudgeon enter: readings by the line."""

import sys
from collections.abc import Callable
from pathlib import Path
from typing import TYPE_CHECKING

import click

from gudgeon.commands.options import (
    build_argument,
    day_of,
    day_option,
    desk_of,
    find_build,
    open_project,
    root_option,
)
from gudgeon.commands.terminal import TROUBLE, leave
from gudgeon.entry.line import Entered, NotClear, read_line
from gudgeon.entry.starting import short
from gudgeon.project.safe_write import NotSound, keep_in_build, with_row
from gudgeon.records.model import Build, Knowledge
from gudgeon.records.yaml_writing import flow

if TYPE_CHECKING:
    from gudgeon.project.project import Project
    from gudgeon.project.writing import Desk


@click.command(
    epilog="""\b
Examples:
  gudgeon enter harrow-pond piston skirt 3.5 0 4.2559 4.2560 4.2559 24c/16c om45 by odette
  gudgeon enter harrow-pond "piston land1 0.2 90 4.2389in 15c/15c om45 by odette # by the window"
  gudgeon enter harrow-pond --by odette        one line after the other; gauge and temperatures carry over

\b
A line is: part feature station angle readings part/gauge temperatures, gauge. - stands for no station or no angle.
A length may be 4.2559, 1 51/64, 107.998mm, 4 1/4 +5.9t (tenths of a thou) or +6 tenths from 4.2550; without a unit it
is in the unit of the build's drawings. Words behind: on 2025-04-06, at 19:40, by odette, after A-PIS-70 (or after a
cut by its id), thermometer tin, lobes 3 (over a vee block, with its full movement for the reading), and last
held cap at working torque (how the part was held, to the end of the line), # a note.

\b
Exit status: 0 written, or nothing was to be written; 1 a line was refused or not confirmed; 2 the command's words are off;
3 there is no such build."""
)
@build_argument
@click.argument("line", nargs=-1)
@click.option("--by", help="Who read it, by the id in build.yaml.")
@day_option
@click.option("--yes", is_flag=True, help="Write without asking, once it is clear.")
@root_option
def enter(build, line, by, day, yes, root):
    """Add readings to BUILD, a LINE each: each is read back in words before it is written."""
    project = open_project(root)
    build_records = find_build(project, build)
    date = day_of(day)
    refused = False
    lines = iter([" ".join(line)]) if line else iter(_next_line, None)
    last: Entered | None = None
    for typed in lines:
        if not typed.strip():
            continue
        try:
            entered = read_line(build_records, typed, date, by, last)
        except NotClear as problem:
            click.echo(f"Not written: {problem}", err=True)
            refused = True
            continue
        click.echo(entered.words)
        if not (yes or _confirmed()):
            click.echo("Not written.", err=True)
            refused = True
            continue
        try:
            path, last, build_records = keep_line(
                project, build, entered, lambda now, typed=typed, before=last: read_line(now, typed, date, by, before)
            )
        except NotClear as problem:
            click.echo(f"Not written: {problem}", err=True)
            refused = True
            continue
        click.echo(f"Written to {path}.")
    if refused:
        raise click.exceptions.Exit(TROUBLE)


def _next_line() -> str | None:
    if sys.stdin.isatty():
        click.echo("> ", nl=False, err=True)
    return sys.stdin.readline() or None


def _confirmed() -> bool:
    """Asked of a person; where nobody can answer, the answer is no."""
    if not sys.stdin.isatty():
        click.echo("Say --yes to write it where nobody can be asked.", err=True)
        return False
    return click.confirm("Write it?", err=True)


def keep_line(
    project: "Project", name: str, entered: Entered, read_again: Callable[[Build], Entered]
) -> tuple[Path, Entered, Build]:
    """Write what a line says, as it reads in the build as it stands now: somebody else may have written meanwhile.

    Gives the file, what was written, and the build with it. Raises NotClear where the line no longer reads as it was told.
    """
    with desk_of(project) as desk:
        build = project.read_build(name)
        now = read_again(build)
        if {**now.row, "id": ""} != {**entered.row, "id": ""}:
            raise NotClear(f"the records were changed meanwhile, and the line now reads:\n{now.words}\nEnter it again.")
        if now.row["id"] != entered.row["id"]:
            click.echo(f"Row {entered.row['id']} was taken meanwhile; this one is {now.row['id']}.", err=True)
        return _keep_row(desk, build, project.knowledge, now), now, project.read_build(name)


def _keep_row(desk: "Desk", build: Build, shelf: Knowledge, entered: Entered) -> Path:
    """Write a row into the readings file of its day and feature; into the next one where that cannot be continued."""
    name = f"{entered.row['date']}-{short(entered.text('of'))}"
    problem = None
    for ending in ("", "-2", "-3"):
        try:
            files = with_row(desk, build.path, f"{name}{ending}", flow(entered.row))
            return keep_in_build(desk, build.path, files, shelf)[0]
        except NotSound as not_sound:
            problem = not_sound
    leave(TROUBLE, f"Not written, because the records would have problems:\n{problem}")
