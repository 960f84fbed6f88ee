"""gudgeon check: everything that is wrong with the records, or cannot be worked out or shown."""

from pathlib import Path

import click

from gudgeon.commands.options import cache_option, open_project
from gudgeon.commands.terminal import LACKS, TROUBLE, leave, painter
from gudgeon.records.problems import seen


@click.command(
    epilog="""\b
Examples:
  gudgeon check
  gudgeon check --to-publish             before a site is published: one broken build holds no other back
Exit status: 0 builds were found and nothing is wrong, 1 problems in the records or a build that cannot be worked out,
3 there is no project here, or no build in it. With --to-publish: 0 also with problems, as long as one build could be worked
out, and where the folder of the builds holds none yet; 1 none of them could be."""
)
@click.option(
    "--to-publish",
    is_flag=True,
    help="Ask only whether there is a site to publish: builds with problems have pages that say so, and the others stand.",
)
@click.argument("root", type=click.Path(exists=True, file_okay=False, path_type=Path), default=".")
@cache_option
def check(root, fresh, to_publish):
    """Read all records of the project that ROOT lies in (default: here), work everything out, and show every problem.

    What is over a safety limit, or may be, is told too, and a number of the story that is not what counted in the records
    on its day, and what was withdrawn where it was brought from; these are no problems of the records and leave the exit status.
    """
    # Read when it is needed: help and completion shall not wait for the libraries of the assessment.
    from gudgeon.site import make_site, no_builds

    paint = painter()
    project = open_project(root, fresh=fresh)
    if not project.build_names():
        if to_publish and (project.root / project.settings.builds).is_dir():
            for problem in make_site(project).problems:
                click.echo(str(problem))
            click.echo("No build yet: the site is published without one.", err=True)
            return
        leave(LACKS, str(no_builds(project)))
    problems = make_site(project).problems
    for problem in problems:
        where, _, rest = str(problem).partition(": ")
        click.echo(f"{paint(where, 'bad')}: {rest}")
    warned = unknown = other_than_told = 0
    for name in project.build_names():
        told, lacking = _dangers(project, name)
        for line in told:
            click.echo(f"{paint(project.path_of(name), 'bad')}: {line}")
        warned, unknown = warned + len(told), unknown + lacking
        numbers = _numbers(project, name)
        for where, line in numbers:
            click.echo(f"{paint(where, 'bad')}: {line}")
        other_than_told += len(numbers)
    withdrawn = _withdrawn_elsewhere(project)
    for where, line in withdrawn:
        click.echo(f"{paint(where, 'look')}: {line}")
    builds, count = len(project.build_names()), len(problems)
    summary = f"{builds} build{'' if builds == 1 else 's'}"
    if not count:
        summary += " read, worked out and shown"  # said only where it was done
    summary += f", {count} problem{'' if count == 1 else 's'}"
    if warned:  # so that nobody who reads the last line alone takes it for an all-clear
        summary += f" in the records; {warned} figure{' is' if warned == 1 else 's are'} over a safety limit, or may be"
    if unknown:
        summary += f"; {unknown} safety limit{'' if unknown == 1 else 's'} not worked out"
    if other_than_told:
        one = other_than_told == 1
        summary += (
            f"; {other_than_told} number{'' if one else 's'} of the story {'is' if one else 'are'} not what counted in the records "
            f"on {'its' if one else 'their'} day"
        )
    if withdrawn:
        summary += f"; {len(withdrawn)} notice{'' if len(withdrawn) == 1 else 's'} of withdrawal elsewhere"
    click.echo(f"{summary}.", err=True)
    if to_publish:
        _leave_unless_worked_out(project)
        return
    if count:
        _tell_earlier_formats(project)
        raise click.exceptions.Exit(TROUBLE)


def _leave_unless_worked_out(project) -> None:
    """Say what stands in public all the same, and end where nothing does: a site without one number is not put over a good one."""
    from gudgeon.assess.findings import BuildFindings

    names = project.build_names()
    left = [name for name in names if not isinstance(project.outcome(name), BuildFindings)]
    if len(left) == len(names):
        leave(
            TROUBLE, "None of the builds could be worked out: the site is not published, and what stands there stays."
        )
    if left:
        click.echo(
            f"Published with a page that says what is wrong: {', '.join(seen(name) for name in left)}.", err=True
        )


def _tell_earlier_formats(project) -> None:
    """That a command puts right what is written as an earlier version of the tool read it."""
    from gudgeon.migrations.migrating import LosesSomething, migration_of
    from gudgeon.records.text_manner import plain_text

    def text(name: str) -> str | None:
        try:
            return plain_text((project.root / name).read_bytes())
        except (OSError, UnicodeDecodeError):  # told among the problems
            return None

    try:
        files = len(migration_of(project.settings, project.build_names(), text).rewrites)
    except LosesSomething:  # told by the command itself
        return
    if files:
        click.echo(
            f"{files} file{' is' if files == 1 else 's are'} written as an earlier version of the tool read "
            f"{'it' if files == 1 else 'them'}: gudgeon migrate --show shows how that is written now, and gudgeon migrate writes it.",
            err=True,
        )


def _withdrawn_elsewhere(project) -> list[tuple[str, str]]:
    """What was withdrawn where it was brought from: where it counts, and what was said."""
    from gudgeon.records.problems import seen
    from gudgeon.records.withdrawn_there import in_use, withdrawn_on

    told: list[tuple[str, str]] = []
    counted_on: set[str] = set()
    for name in project.build_names():
        for one in in_use(project.build(name), project.knowledge):
            counted_on.add(one.withdrawn.says)
            told.append((project.path_of(name), f"{seen(one.withdrawn.says)} ({', '.join([*one.fits, *one.parts])})."))
    origins = f"{project.settings.knowledge}/origins.yaml"
    told += [(origins, f"{seen(one.says)}.") for one in withdrawn_on(project.knowledge) if one.says not in counted_on]
    return told


def _numbers(project, name: str) -> list[tuple[str, str]]:
    """The tied numbers of a build's story that are not right for their day: where each stands, and what is wrong.

    What of them could not be worked out is among the problems.
    """
    from gudgeon.boundary import Failure
    from gudgeon.story.numbers import NumbersOfStory

    numbers = project.numbers_told(name)
    if isinstance(numbers, Failure) or not numbers:
        return []
    words = NumbersOfStory(numbers, project.build(name).sound_head.units)
    return [
        (f"{number.source.file}:{number.source.line}:{number.column}", warning)
        for number in numbers
        if (warning := words.in_words(number).warning)
    ]


def _dangers(project, name: str) -> tuple[list[str], int]:
    """What is over a safety limit in a build, or may be, and how many limits were not worked out; nothing where the build
    itself could not be, which is told."""
    from gudgeon.assess.findings import BuildFindings
    from gudgeon.danger_words import danger_line, leading
    from gudgeon.wording import UnitFormatter

    build, findings = project.build(name), project.outcome(name)
    if not isinstance(findings, BuildFindings):
        return [], 0
    fmt = UnitFormatter(build.sound_head.units)
    told = [
        " ".join(danger_line(danger, fmt, [build.parts[danger.part].name] if danger.part else []))
        for danger in leading(findings.dangers)
    ]
    return told, sum(1 for danger in findings.dangers if danger.state == "not worked out")
