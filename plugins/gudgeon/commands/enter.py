"""gudgeon enter: readings by the line."""

import datetime
import functools
import re
import sys
from collections.abc import Callable, Mapping
from pathlib import Path
from types import MappingProxyType
from typing import TYPE_CHECKING

import click

from gudgeon.commands.answering import Answers, reading_event
from gudgeon.commands.options import (
    build_argument,
    day_of,
    day_option,
    desk_of,
    find_build,
    open_project,
    refusal,
    root_option,
)
from gudgeon.commands.terminal import TROUBLE, leave
from gudgeon.commands.undo import Written
from gudgeon.entry.carried import carried_over, read_after
from gudgeon.entry.line import Entered, read_line
from gudgeon.entry.marking import keys_for_every_row
from gudgeon.entry.sizes import NotClear
from gudgeon.entry.starting import short
from gudgeon.project.safe_write import NotSound, keep_and_read, with_row
from gudgeon.records.model import Build, Knowledge
from gudgeon.records.problems import seen_lines
from gudgeon.records.yaml_writing import flow

if TYPE_CHECKING:
    from gudgeon.project.project import Project
    from gudgeon.project.writing import Desk

OTHER_DAY = re.compile(r"(?i)(?:^|\s)on\s")  # a line that says its own day
ENDS, UNDO = ("q", "quit", "end"), "undo"


class TakesOffsets(click.Command):
    """A command whose words may begin with a minus and a figure, as -1t does, and are no options."""

    def parse_args(self, ctx, args):
        return super().parse_args(ctx, [re.sub(r"^-(?=[0-9.])", "−", word) for word in args])


@click.command(
    cls=TakesOffsets,
    epilog="""\b
Examples:
  gudgeon enter harrow-pond piston skirt 3.5 0 4.2559 4.2560 4.2559 24c/16c om45 by odette
  gudgeon enter harrow-pond "piston land1 0.2 90 4.2389in 15c/15c om45 by odette # by the window"
  gudgeon enter harrow-pond "piston skirt 3.5 0 4.2559 24c/16c om45" "piston skirt 3.5 90 4.2557" --by odette
  gudgeon enter harrow-pond --by odette        one line after the other; gauge and temperatures carry over

\b
A line is: part feature station angle readings part/gauge temperatures, gauge. - stands for no station or no angle.
A length may be 4.2559, 1 51/64, 3-1/2, 3.5", 107.998mm, 4 1/4 +5.9t (tenths of a thou) or +6 tenths from 4.2550; without a
unit it is in the unit of the build's drawings, and the unit behind a list with commas is for all of it. A line may be said in
words: skirt at three quarters ninety degrees four point two four five six. Words behind: on 2025-04-06, at 19:40, at 10.5 (a
station), by odette, after A-PIS-70 (or after a cut by its id), thermometer tin, lobes 3 (over a vee block, with its full movement
for the reading), and last held cap at working torque (how the part was held, to the end of the line), # a note.

\b
What a line leaves out of gauge and temperatures is as in the line before it. A first line that names no gauge takes both from
the newest row of that day and hand; temperatures of more than three hours ago are not taken over.

\b
One line after the other: undo takes back the last one that was written, q or an empty end of input ends.
Each line is held against what is known of its place: what was read there last, what may have come off since, the plan, the
gauge, the day. What does not fit is asked, and No is the answer unless you say otherwise.

\b
Exit status: 0 written, or nothing was to be written; 1 a line was refused or not confirmed; 2 the command's words are off;
3 there is no such build.""",
)
@build_argument
@click.argument("line", nargs=-1)
@click.option("--by", help="Who read it, by the id in build.yaml.")
@day_option
@click.option("--yes", is_flag=True, help="Write without asking, once it is clear and nothing is doubtful.")
@click.option("--despite-doubts", is_flag=True, help="With --yes: write what is asked about too.")
@root_option
def enter(build, line, by, day, yes, despite_doubts, root):
    """Add readings to BUILD, a LINE each: each is read back in words before it is written, and answered: its size at 20 °C, what
    is to go, what the dial must say and what the gauge will show."""
    project = open_project(root)
    build_records = find_build(project, build)
    date, today = day_of(day), day_of(None)
    hot = float(project.knowledge.judgement["hot_shop"])
    refused = False
    lines = iter(_lines_of(line)) if line else iter(next_line, None)
    if not line and sys.stdin.isatty():
        click.echo("A line each; undo takes the last one back, q ends.", err=True)
    last: Entered | None = None
    run, answers = Written(), Answers(project, build, build_records)
    for typed in lines:
        word = typed.strip().lower()
        if not word:
            continue
        if not line and word in ENDS:
            break
        try:
            if not line and word == UNDO:
                last, told = run.undo(project)
                click.echo(told)
                build_records = project.read_build(build)
                answers.now_stands(build_records)
                continue

            clock = datetime.datetime.now().strftime("%H:%M") if day is None else None

            def read(now: Build, typed=typed, before=last, clock=clock) -> Entered:
                read_with = functools.partial(read_line, now, typed, date, by, today=today, hot=hot, clock=clock)
                if before or OTHER_DAY.search(typed):
                    return read_with(before)
                return read_after(read_with, carried_over(now, date, by, clock))

            entered = read(build_records)
            click.echo(entered.words)
            if not confirmed(entered, yes, despite_doubts):
                click.echo("Not written.", err=True)
                refused = True
                # The next line may say the place or the size anew; temperatures that may be why it was not wanted are said again.
                last = Entered({"of": entered.row["of"], "gauge": entered.row["gauge"]}, "")
                continue
            path, kept, build_records = keep_line(project, build, entered, read, run)
        except NotClear as problem:
            click.echo(seen_lines(f"Not written: {refusal(problem, build_records)}"), err=True)
            refused = True
            continue
        last = kept
        click.echo(f"Written to {path}.")
        answers.tell(build_records, [reading_event(build_records, kept)])
    if refused:
        raise click.exceptions.Exit(TROUBLE)


def _lines_of(words: tuple[str, ...]) -> list[str]:
    """The lines that stand on the command line: one in so many words, or several of them, each in quotes."""
    return list(words) if len(words) > 1 and all(" " in line.strip() for line in words) else [" ".join(words)]


def next_line() -> str | None:
    """The next line that is typed, with its end; None at the end of input."""
    if sys.stdin.isatty():
        click.echo("> ", nl=False, err=True)
    return sys.stdin.readline() or None


def confirmed(entered: Entered, yes: bool = False, despite_doubts: bool = False) -> bool:
    """Whether a line is to be written: asked of a person, with No for an answer where a doubt stands; where nobody can answer,
    the answer is no."""
    if yes and (despite_doubts or not entered.doubts):
        return True
    if yes or not sys.stdin.isatty():
        for doubt in entered.doubts:
            click.echo(f"Doubtful: {doubt.sentence}", err=True)
        way = "--yes and --despite-doubts" if entered.doubts else "--yes"
        click.echo(f"Say {way} to write it where nobody can be asked.", err=True)
        return False
    return asked(entered)


def asked(entered: Entered) -> bool:
    """Ask whether a line is to be written; No is the answer to an empty one where a doubt stands."""
    return click.confirm(
        "Write it all the same?" if entered.doubts else "Write it?", default=not entered.doubts, err=True
    )


def keep_line(
    project: "Project", name: str, entered: Entered, read_again: Callable[[Build], Entered], run: Written | None = None
) -> tuple[Path, Entered, Build]:
    """Write what a line says, as it reads in the build as it stands now: somebody else may have written meanwhile.

    Gives the file, what was written, and the build with it. Raises NotClear where the line no longer reads as it was told, or
    where something new speaks against it. run: what this run wrote, so that it can be taken back.
    """
    with desk_of(project) as desk:
        build = project.as_it_stands(name)
        now = read_again(build)
        if set(now.doubts) - set(entered.doubts):
            raise NotClear(
                f"the records were changed meanwhile, and the line is now asked about:\n{now.words}\nEnter it again."
            )
        if {**now.row, "id": ""} != {**entered.row, "id": ""}:
            raise NotClear(f"the records were changed meanwhile, and the line now reads:\n{now.words}\nEnter it again.")
        if now.row["id"] != entered.row["id"]:
            click.echo(f"Row {entered.row['id']} was taken meanwhile; this one is {now.row['id']}.", err=True)
        path, with_it = keep_row(desk, build, project.knowledge, now, run)
        return path, now, with_it


def keep_row(
    desk: "Desk",
    build: Build,
    shelf: Knowledge,
    entered: Entered,
    run: Written | None = None,
    beside: Mapping[str, str] = MappingProxyType({}),
) -> tuple[Path, Build]:
    """Write a row into the readings file of its day and feature; into the next one where that cannot be continued.

    build: as it stands now. beside: other files that are edited with it, all or nothing: name below the build's folder -> text.
    Gives the file and the build with it.
    """
    name = f"{entered.row['date']}-{short(entered.text('of'))}"
    problem = None
    for ending in ("", "-2", "-3", "-4"):
        if keys_for_every_row(desk.text(f"{build.path}/readings/{name}{ending}.yaml")) - set(entered.row):
            continue  # there it would be given what nobody said of it
        try:
            files = with_row(desk, build.path, f"{name}{ending}", flow(entered.row))
            before = {f"{build.path}/{file}": desk.text(f"{build.path}/{file}") for file in files}
            paths, with_it = keep_and_read(desk, build, {**files, **beside}, shelf, edited=frozenset(beside))
            if run is not None:
                run.note(desk, before, entered)
            return paths[0], with_it
        except NotSound as not_sound:
            problem = not_sound
    why = (
        f"the records would have problems:\n{problem}"
        if problem
        else f"every {name} gives its rows what this one does not say"
    )
    leave(TROUBLE, f"Not written, because {why}")
