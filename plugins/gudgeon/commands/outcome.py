"""gudgeon new outcome: what became of a fit or a part, in a line, and of which rule of thumb it is evidence."""

import re

import click

from gudgeon.commands.options import build_argument, day_of, day_option, desk_of, find_build, open_project, root_option
from gudgeon.commands.terminal import TROUBLE, leave
from gudgeon.entry.marking import CannotMark, with_entry
from gudgeon.entry.outcome_line import read_outcome
from gudgeon.entry.sizes import NotClear
from gudgeon.entry.who_and_when import person
from gudgeon.project.safe_write import NotSound, keep_and_read
from gudgeon.records.model import Build
from gudgeon.records.problems import nearest, shown
from gudgeon.records.yaml_writing import flow
from gudgeon.wording import UnitFormatter, hours_run

FILE = "outcomes.yaml"


def add_to(group: click.Group) -> None:
    """Put the command into the group `new`."""

    @group.command(
        epilog="""\b
Examples:
  gudgeon new outcome my-engine skirt ran free 40 h by ann
  gudgeon new outcome my-engine skirt "nipped after 20 min at 0.003 in, at full load on a hot day"

\b
Results: ran free, running, tight, nipped, stuck, seized, knocked, scuffed, worn out, came loose, leaked. Hours that are not said
are those of the running log since the last work on the fit, a clearance that is not said is that of the readings it ran with.

\b
Exit status: 0 written; 1 the line is not clear and nothing was written; 2 the command's words are off; 3 there is no such build."""
    )
    @build_argument
    @click.argument("about")
    @click.argument("line", nargs=-1, required=True)
    @click.option("--rule", help="The rule of thumb that it is an outcome of (default: the one that the fit follows).")
    @click.option("--load", help="What it drove, and how hard.")
    @click.option("--by", help="Who says it, by the id in build.yaml.")
    @day_option
    @root_option
    def outcome(build, about, line, rule, load, by, day, root):
        """Write down what became of ABOUT, a fit or a part of BUILD, after it ran: LINE says the result, how long, and more."""
        project, date = open_project(root), day_of(day)
        records = find_build(project, build)
        if date > day_of(None):
            leave(TROUBLE, f"Not written: {date} is still to come.")
        try:
            text, spoken = _who_says(" ".join(line))
            said, named, by = read_outcome(text), _named(records, about), by or spoken
            entry = {
                "date": date.isoformat(),
                "about": named,
                "result": said.result,
                "hours": said.hours,
                "clearance": said.clearance,
                "rule": rule,
                "load": load,
                "by": person(records, by),
                "note": said.note,
            }
            written = flow({key: value for key, value in entry.items() if value is not None})
            with desk_of(project) as desk:
                now = project.as_it_stands(build)
                text = with_entry(desk.text(f"{now.path}/{FILE}"), "outcomes", written)
                paths, now = keep_and_read(desk, now, {FILE: text}, project.knowledge, edited=[FILE])
        except (NotClear, CannotMark, NotSound) as problem:
            leave(TROUBLE, f"Not written: {problem}")
        click.echo(f"Written: {paths[0]}")
        for told in _told(project, now, named, date.isoformat()):
            click.echo(told)


def _named(build: Build, about: str) -> str:
    """A fit, a feature or a part by its id, in small or capital letters. Raises NotClear."""
    known = {name.lower(): name for store in (build.parts, build.features, build.fits) for name in store}
    if about.lower() not in known:
        near = nearest(about.lower(), known)
        raise NotClear(f'no fit, feature or part "{shown(about)}" in this build.{near}')
    return known[about.lower()]


def _told(project, build: Build, about: str, day: str) -> list[str]:
    """What the records make of it: hours, clearance, and whether it is evidence of a rule."""
    from gudgeon.boundary import Failure
    from gudgeon.notes import in_words
    from gudgeon.project.project import work_out

    findings = None if build.problems else work_out(build, project.knowledge)
    if findings is None or isinstance(findings, Failure):
        return ["What it tells is not known: the build has problems. gudgeon check tells them."]
    fmt = UnitFormatter(findings.units)
    told = [one for one in findings.outcomes if one.about == about and one.outcome is not None and one.last == day]
    if not told:
        return []
    last = told[-1]
    ran = "hours not known" if last.minutes is None else f"after {hours_run(last.minutes)}"
    with_what = "clearance not known" if last.clearance is None else f"with {fmt.clearance_text(last.clearance)}"
    line = f"{about}: {last.result.replace('_', ' ')}, {ran}, {with_what}."
    if last.rule is None:
        return [line, "It is evidence of no rule: none is named."]
    if last.why_not is not None:
        return [line, f"It does not count for rule {last.rule}: {in_words(last.why_not, fmt)}."]
    return [line, f"It counts for rule {last.rule}."]


def _who_says(line: str) -> tuple[str, str | None]:
    """A line without "by ann" at the end of what comes before its note, and who that is."""
    said, comma, note = line.partition(", ")
    who = re.fullmatch(r"(.+) by (\S+)", said.strip())
    return (who[1] + comma + note, who[2]) if who else (line, None)
