"""gudgeon enter, import, export: readings by the line, from a CSV, and a build as open data."""

import re
import sys
from pathlib import Path

import click

from gudgeon.commands.options import build_argument, day_of, day_option, find_build, read_again, root_option
from gudgeon.commands.terminal import LACKS, TROUBLE, leave
from gudgeon.entry.columns import read_by_map
from gudgeon.entry.line import Entered, NotClear, read_line
from gudgeon.entry.starting import short
from gudgeon.project.safe_write import NotSound, keep_in_build, with_row
from gudgeon.records.column_map import ColumnMap
from gudgeon.records.model import Build, Knowledge
from gudgeon.records.problems import Problems
from gudgeon.records.read_file import read_record
from gudgeon.records.readings_csv import from_csv, is_readings_csv, to_yaml
from gudgeon.records.yaml_text import read_text
from gudgeon.records.yaml_writing import flow


@click.command(
    epilog="""\b
Examples:
  gudgeon enter harrow-pond piston skirt 3.5 0 4.2559 4.2560 4.2559 24c/16c om45 by odette
  gudgeon enter harrow-pond "piston land1 0.2 90 4.2389in 15c/15c om45 by odette # by the window"
  gudgeon enter harrow-pond --by odette        one line after the other; gauge and temperatures carry over

\b
A line is: part feature station angle readings part/gauge temperatures, gauge. - stands for no station or no angle.
A length may be 4.2559, 1 51/64, 107.998mm, 4 1/4 +5.9t (tenths of a thou) or +6 tenths from 4.2550; without a unit it
is in the unit of the build's drawings. Words behind: on 2025-04-06, by odette, after A-PIS-70, # a note.

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
    found, shelf = find_build(root, build)
    date = day_of(day)
    refused = False
    lines = iter([" ".join(line)]) if line else iter(_next_line, None)
    last: Entered | None = None
    for each in lines:
        if not each.strip():
            continue
        try:
            entered = read_line(found, each, date, by, last)
        except NotClear as problem:
            click.echo(f"Not written: {problem}", err=True)
            refused = True
            continue
        click.echo(entered.words)
        if not (yes or _confirmed()):
            click.echo("Not written.", err=True)
            refused = True
            continue
        click.echo(f"Written to {keep_row(found, shelf, entered)}.")
        last, found = entered, read_again(found.folder, shelf)
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


def keep_row(build: Build, shelf: Knowledge, entered: Entered) -> Path:
    """Write a row into the readings file of its day and feature; into the next one where that cannot be continued."""
    name = f"{entered.row['date']}-{short(entered.row['of'])}"
    problem = None
    for ending in ("", "-2", "-3"):
        try:
            files = with_row(build.folder, f"{name}{ending}", flow(entered.row))
            return keep_in_build(build.folder, f"builds/{build.id}", files, shelf)[0]
        except NotSound as not_sound:
            problem = not_sound
    leave(TROUBLE, f"Not written, because the records would have problems:\n{problem}")


@click.command(
    name="import",
    epilog="""\b
Examples:
  gudgeon import harrow-pond gauge.csv --columns gauge.columns.yaml
  gudgeon import harrow-pond readings.csv            a table that gudgeon export wrote

\b
A column map:
  columns: {Feature: of, Pos: station, Value 1: reads, Value 2: reads, Taken: date}
  ignore: [Operator comment]
  units: {station: mm, reads: mm}
  every_row: {by: odette, gauge: om45, part_temp: 15 °C, gauge_temp: 15 °C}
  names: {of: {SKIRT: piston.skirt}}
  dates: day.month.year
  decimal: ","
  delimiter: ";"
  first_id: c001

\b
Exit status: 0 written, 1 something is ambiguous or wrong and nothing was written, 2 the command's words are off, 3 there is no
such build or file.""",
)
@build_argument
@click.argument("table", type=click.Path(dir_okay=False, path_type=Path))
@click.option("--columns", type=click.Path(exists=True, dir_okay=False, path_type=Path), help="The map of its columns.")
@click.option("--name", help="Name of the readings file (default: the day of its first row and the name of the table).")
@click.option("--dry-run", is_flag=True, help="Show the rows, write nothing.")
@root_option
def import_(build, table, columns, name, dry_run, root):
    """Add the readings of TABLE, a CSV of a digital gauge or a spreadsheet, to BUILD."""
    (found, shelf), problems = find_build(root, build), Problems()
    if not table.exists():
        leave(LACKS, f"there is no file {table}.")
    text = read_text(table, table.name, problems)
    rows = []
    if text is not None and columns:
        record = read_record(columns, columns.name, ColumnMap, problems)
        rows = read_by_map(text, table.name, record, problems) if record else []
    elif text is not None and is_readings_csv(text):
        rows = from_csv(text, table.name, problems)
    elif text is not None:
        leave(
            TROUBLE,
            f"{table.name} has headings of its own: say what they are with --columns (see gudgeon import --help).",
        )
    if problems:
        leave(TROUBLE, "\n".join(str(each) for each in problems.in_order()))
    if not rows:
        leave(TROUBLE, f"{table.name} has no rows.")
    written = to_yaml(rows, f"From {table.name}")
    if dry_run:
        click.echo(written, nl=False)
        return
    file = _name(rows, table, name)
    try:
        (path,) = keep_in_build(found.folder, f"builds/{build}", {file: written}, shelf)
    except (NotSound, FileExistsError) as problem:
        leave(TROUBLE, f"Not written:\n{problem}")
    click.echo(f"{len(rows)} row{'' if len(rows) == 1 else 's'} written to {path}.")


def _name(rows: list[dict], table: Path, name: str | None) -> str:
    if name is None:
        return f"readings/{rows[0].get('date', 'undated')}-{short(table.stem)}.yaml"
    if not re.fullmatch(r"[a-z0-9][a-z0-9-]{0,79}", name):
        raise click.UsageError("a readings file is named in small letters, digits and hyphens.")
    return f"readings/{name}.yaml"


@click.command(
    epilog="""\b
Examples:
  gudgeon export harrow-pond --to harrow-data
Exit status: 0 written, 1 the build has problems, 2 the command's words are off, 3 there is no such build."""
)
@build_argument
@click.option("--to", required=True, type=click.Path(file_okay=False, path_type=Path), help="Folder to write into.")
@root_option
def export(build, to, root):
    """Write BUILD as open data: readings and findings as CSV with their description, everything as JSON."""
    # Read when it is needed: help and completion shall not wait for the libraries of the assessment.
    from gudgeon.assess.build import assess
    from gudgeon.export.package import files

    found, shelf = find_build(root, build)
    if found.problems:
        leave(TROUBLE, "\n".join(str(each) for each in found.problems))
    to.mkdir(parents=True, exist_ok=True)
    for name, content in files(found, assess(found, shelf)).items():
        (to / name).write_bytes(content)
        click.echo(to / name)
