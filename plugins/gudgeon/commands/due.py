"""gudgeon due: checks of gauges, concessions that end, waits that are over, upkeep after hours of running."""

import click

from gudgeon.commands.options import day_of, find_build, open_project, root_option
from gudgeon.commands.terminal import LACKS, TROUBLE, leave
from gudgeon.records.problems import seen


@click.command(
    epilog="""\b
Examples:
  gudgeon due                                     all builds, as of today
  gudgeon due my-engine --on 2026-01-31
  gudgeon due --form ics > due.ics

\b
Exit status: 0 nothing is overdue, 1 something is, or a build could not be read, 2 the command's words are off,
3 there is no project here, or no such build."""
)
@click.argument("build", required=False)
@click.option(
    "--on",
    "day",
    metavar="DAY",
    help="Seen from this day, such as 2026-01-31 (default: today, by this computer's clock).",
)
@click.option(
    "--form", type=click.Choice(["text", "ics"]), default="text", show_default=True, help="Lines, or an iCalendar file."
)
@root_option
def due(build, day, form, root):
    """Tell what of BUILD, or of all builds, is due, and what is coming.

    Checks of gauges, concessions that end by a day or by hours of running, waits that are over, and upkeep that the running log
    makes due. The site tells the same as of the newest day in the records, not of today.
    """
    from gudgeon.assess.due import due_on
    from gudgeon.assess.findings import BuildFindings
    from gudgeon.due_words import line
    from gudgeon.export.icalendar import calendar
    from gudgeon.wording import UnitFormatter

    today = day_of(day)
    project = open_project(root)
    if build is not None:
        find_build(project, build)
    names = [build] if build is not None else project.build_names()
    if not names:
        leave(LACKS, "There is no build here.")
    trouble, told = False, []
    for name in names:
        record, findings = project.build(name), project.outcome(name) if not project.build(name).problems else None
        if not isinstance(findings, BuildFindings):
            click.echo(f"{seen(name)}: not worked out, its records have problems: see gudgeon check", err=True)
            trouble = True
            continue
        listed = due_on(record, today)
        trouble = trouble or any(item.state == "overdue" for item in listed)
        told.append((findings, listed))
        if form == "text":
            fmt = UnitFormatter(findings.units)
            click.echo(f"{findings.name}, as of {today}:")
            for item in listed:
                click.echo(f"  {line(item, fmt)}")
            if not listed:
                click.echo("  the records name nothing that becomes due")
    if form == "ics":
        click.echo(calendar(told), nl=False)
    if trouble:
        raise click.exceptions.Exit(TROUBLE)
