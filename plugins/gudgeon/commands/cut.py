"""gudgeon cut: a pass and what was read after it, in one line, and the answer."""

import datetime
import re
import sys
from dataclasses import replace
from pathlib import Path
from typing import TYPE_CHECKING

import click

from gudgeon.commands.answering import Answers, reading_event
from gudgeon.commands.enter import ENDS, TakesOffsets, confirmed, keep_row, next_line
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
from gudgeon.commands.terminal import TROUBLE
from gudgeon.entry.cut_line import EnteredCut, HowCut, NotSaidHow, order_unknown, read_cut
from gudgeon.entry.marking import CannotMark, with_entry, with_keys
from gudgeon.entry.sizes import NotClear
from gudgeon.records.model import Build
from gudgeon.records.problems import seen_lines
from gudgeon.records.yaml_writing import flow

if TYPE_CHECKING:
    from gudgeon.project.project import Project

FILE, OPERATIONS = "cuts.yaml", "operations.yaml"
QUESTIONS = {"tool": "Which tool, in words", "feed": "Feed per revolution, such as 0.004 in"}


@click.command(
    cls=TakesOffsets,
    epilog="""\b
Examples:
  gudgeon cut harrow-pond piston skirt dial 6 reads 4.2520 24c/16c om45 by odette
  gudgeon cut harrow-pond piston skirt dial 0 reads 3.5 0 4.2513 4.2514 24c/16c om45 by odette
  gudgeon cut harrow-pond --by odette           one pass after the other, q ends: a line then takes a third of the time
  gudgeon cut harrow-pond "skirt asked 0.0040in reads 4.2480 24c/16c" --by odette --tool "HSS shear, honed" --feed "0.004 in"

\b
dial says how far the dial was moved, in its divisions (0: a pass without infeed); asked says the same as a length on diameter.
Behind reads stands a line as gudgeon enter takes it, without its feature: station angle readings temperatures gauge. One size
alone is of the place that was read last; the gauge carries over, the temperatures only from the same day. What is not said of
the cut (lathe, tool, feed) is taken from the next open operation that cuts the feature, else from the cut before it, and
is read back. An operation that does not say how it is cut gets it written by its first cut, so that the cuts teach the dial.

\b
Exit status: 0 written; 1 a line was refused or not confirmed; 2 the command's words are off; 3 there is no such build.""",
)
@build_argument
@click.argument("line", nargs=-1)
@click.option("--by", help="Who cut and read it, by the id in build.yaml.")
@click.option(
    "--operation", help="The operation that it is a cut of (default: the next open one that cuts the feature)."
)
@click.option("--machine", help="The lathe, by its id in machines.yaml.")
@click.option("--tool", help="The tool in words; cuts with the same words teach the dial.")
@click.option("--feed", help="Feed per revolution, such as 0.004 in.")
@day_option
@click.option("--yes", is_flag=True, help="Write without asking, once it is clear and nothing is doubtful.")
@click.option("--despite-doubts", is_flag=True, help="With --yes: write what is asked about too.")
@root_option
def cut(build, line, by, operation, machine, tool, feed, day, yes, despite_doubts, root):
    """Write down a pass on a feature of BUILD and what was read after it, in a LINE, and answer: the size at 20 °C, what is to go, what the
    dial must say next and what the gauge will show."""
    project = open_project(root)
    build_records = find_build(project, build)
    bench = _Bench(project, build, build_records, by, day, HowCut(operation, machine, tool, feed), yes, despite_doubts)
    if line:
        bench.take(" ".join(line))
    elif sys.stdin.isatty():
        click.echo("A line each; q ends. A line may begin with dial: then it is of the feature before it.", err=True)
    for typed in iter(next_line, None) if not line else ():
        if typed.strip().lower() in ENDS:
            break
        if typed.strip():
            bench.take(typed.strip())
    if bench.refused:
        raise click.exceptions.Exit(TROUBLE)


class _Bench:
    """The passes of one run, one after the other; what was read and worked out for one serves the next."""

    def __init__(
        self,
        project: "Project",
        name: str,
        build: Build,
        by: str | None,
        day: str | None,
        how: HowCut,
        yes: bool,
        despite_doubts: bool,
    ):
        self._project, self._name, self._build = project, name, build
        self._by, self._day, self._how = by, day, how
        self._sure = yes, despite_doubts
        self._hot = float(project.knowledge.judgement["hot_shop"])
        self._answers = Answers(project, name, build)
        self._ref = ""
        self.refused = False

    def take(self, line: str) -> None:
        """Read a line back, write it where that is wanted, and answer; what is refused is told, and nothing is written of it."""
        if self._ref and re.match(r"(?i)(dial|asked)\s", line):
            line = f"{self._ref} {line}"
        try:
            entered = self._told(line)
            if not confirmed(entered.reading, *self._sure):
                raise NotClear("")
            path, entered, after = _keep(self._project, self._name, entered, lambda now: self._read(now, line))
        except NotClear as problem:
            why = f": {refusal(problem, self._build)}" if str(problem) else "."
            click.echo(seen_lines(f"Not written{why}"), err=True)
            self.refused = True
            return
        click.echo(f"Written to {path} and {after.path}/{FILE}.")
        self._build, self._ref = after, entered.cut["of"]
        of = {"of": entered.cut["of"], "cut": entered.asked, "machine": entered.cut["machine"]}
        self._answers.tell(after, [of, reading_event(after, entered.reading)])

    def _read(self, build: Build, line: str) -> EnteredCut:
        time = datetime.datetime.now().strftime("%H:%M") if self._day is None else None
        return read_cut(build, line, day_of(self._day), time, self._by, self._how, day_of(None), self._hot)

    def _told(self, line: str) -> EnteredCut:
        """The line as it reads, read back; asks for tool and feed where nobody said them. Raises NotClear."""
        try:
            entered = self._read(self._build, line)
        except NotSaidHow as unsaid:
            if not sys.stdin.isatty():
                raise
            self._how = replace(self._how, **{key: click.prompt(QUESTIONS[key], err=True) for key in unsaid.lacks})
            entered = self._read(self._build, line)
        click.echo(entered.words)
        unordered = order_unknown(self._build, entered.cut["of"], entered.cut)
        if unordered:
            click.echo(
                f"Nothing says whether {', '.join(unordered)} of the same day came before this cut: the pages take them "
                "as read after it.",
                err=True,
            )
        return entered


def _keep(project: "Project", name: str, entered: EnteredCut, read_again) -> tuple[Path, EnteredCut, Build]:
    """Write the cut and its reading, as they read in the build as it stands now. Raises NotClear where that is otherwise."""
    with desk_of(project) as desk:
        build = project.as_it_stands(name)
        now = read_again(build)
        if now != entered and (set(now.reading.doubts) - set(entered.reading.doubts) or not _same(now, entered)):
            raise NotClear(f"the records were changed meanwhile, and the line now reads:\n{now.words}\nEnter it again.")
        try:
            files = {FILE: with_entry(desk.text(f"{build.path}/{FILE}"), "cuts", flow(now.cut))}
            if now.remembered:
                text = desk.text(f"{build.path}/{OPERATIONS}") or ""
                files[OPERATIONS] = with_keys(text, now.cut["operation"], now.remembered)
        except CannotMark as problem:
            raise NotClear(f"{build.path}: {problem}") from None
        path, with_it = keep_row(desk, build, project.knowledge, now.reading, beside=files)
        return path, now, with_it


def _same(one: EnteredCut, other: EnteredCut) -> bool:
    """Whether two say the same, but for their ids."""
    return all(
        {key: said for key, said in first.items() if key not in ("id", "after_cut")}
        == {key: said for key, said in second.items() if key not in ("id", "after_cut")}
        for first, second in ((one.cut, other.cut), (one.reading.row, other.reading.row))
    )
