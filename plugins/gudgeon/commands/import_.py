"""gudgeon import: readings from a CSV of a digital gauge or a spreadsheet."""

import re
from pathlib import Path

import click

from gudgeon.commands.options import build_argument, desk_of, find_build, open_project, root_option
from gudgeon.commands.terminal import LACKS, TROUBLE, leave
from gudgeon.entry.columns import read_by_map
from gudgeon.entry.doubts import doubts_of_rows
from gudgeon.entry.starting import short
from gudgeon.project.safe_write import NotSound, keep_in_build
from gudgeon.records.column_map import ColumnMap
from gudgeon.records.problems import Problems
from gudgeon.records.read_file import read_record
from gudgeon.records.readings_csv import from_csv, is_readings_csv, to_yaml
from gudgeon.records.yaml_text import read_text


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
@click.option("--held-back-too", is_flag=True, help="Write rows too that the site will hold back as a slip of the pen.")
@root_option
def import_(build, table, columns, name, dry_run, held_back_too, root):
    """Add the readings of TABLE, a CSV of a digital gauge or a spreadsheet, to BUILD."""
    project, problems = open_project(root), Problems()
    build_records = find_build(project, build)
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
        leave(TROUBLE, "\n".join(str(problem) for problem in problems.in_order()))
    if not rows:
        leave(TROUBLE, f"{table.name} has no rows.")
    written = to_yaml(rows, f"From {table.name}")
    if dry_run:
        click.echo(written, nl=False)
        return
    file = _name(rows, table, name)
    doubts = doubts_of_rows(build_records, rows)
    spoilt = [words for spoils, words in doubts if spoils]
    if spoilt and not held_back_too:
        told = "\n".join(spoilt)
        leave(TROUBLE, f"Not written:\n{told}\nWhat was read so is written with --held-back-too.")
    try:
        with desk_of(project) as desk:
            (path,) = keep_in_build(desk, build_records.path, {file: written}, project.knowledge)
    except (NotSound, FileExistsError) as problem:
        leave(TROUBLE, f"Not written:\n{problem}")
    for _, words in doubts:
        click.echo(f"Doubtful: {words}", err=True)
    click.echo(f"{len(rows)} row{'' if len(rows) == 1 else 's'} written to {path}.")


def _name(rows: list[dict], table: Path, name: str | None) -> str:
    if name is None:
        return f"readings/{rows[0].get('date', 'undated')}-{short(table.stem)}.yaml"
    if not re.fullmatch(r"[a-z0-9][a-z0-9-]{0,79}", name):
        raise click.UsageError("a readings file is named in small letters, digits and hyphens.")
    return f"readings/{name}.yaml"
