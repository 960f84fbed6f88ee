"""gudgeon import: readings from a CSV of a digital gauge or a spreadsheet."""

import re
from pathlib import Path

import click

from gudgeon.commands.options import build_argument, desk_of, find_build, open_project, root_option
from gudgeon.commands.terminal import LACKS, TROUBLE, leave
from gudgeon.entry.columns import read_by_map
from gudgeon.entry.doubts import RowDoubt, doubts_of_rows
from gudgeon.entry.reading_ids import give_ids
from gudgeon.entry.starting import short
from gudgeon.entry.table_file import read_table
from gudgeon.project.safe_write import NotSound, keep_in_build
from gudgeon.records.column_map import ColumnMap
from gudgeon.records.problems import Problems, seen
from gudgeon.records.read_file import read_record
from gudgeon.records.readings_csv import from_csv, is_readings_csv, to_yaml

MOST_TOLD = 20  # doubts of one table that are told one by one


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

\b
A map of a bore, stations down and angles across:
  columns: {Depth: station}
  grid: true
  units: {station: mm, reads: mm}
  every_row: {of: cyl.bore, by: odette, gauge: dbg, date: 2025-04-06, part_temp: 15 °C, gauge_temp: 15 °C}

\b
Besides: headings: [No, Value, Unit] for a table without a line of them, with Unit: unit under columns; fill_down: [Feature] for
merged cells; dates: serial; digits: 3 where noughts were dropped; skip_lines: 2; first_id: c001. Rows are held against what is
known as quick entry holds a line.

\b
Exit status: 0 written, 1 something is ambiguous or wrong and nothing was written, 2 the command's words are off, 3 there is no
such build or file.""",
)
@build_argument
@click.argument("table", type=click.Path(dir_okay=False, path_type=Path))
@click.option("--columns", type=click.Path(exists=True, dir_okay=False, path_type=Path), help="The map of its columns.")
@click.option("--name", help="Name of the readings file (default: the day of its first row and the name of the table).")
@click.option("--dry-run", is_flag=True, help="Show the rows and try all of it, write nothing.")
@click.option("--held-back-too", is_flag=True, help="Write rows too that the site will hold back as a slip of the pen.")
@click.option("--despite-doubts", is_flag=True, help="Write rows too that are asked about.")
@root_option
def import_(build, table, columns, name, dry_run, held_back_too, despite_doubts, root):
    """Add the readings of TABLE, a CSV of a digital gauge or a spreadsheet, to BUILD."""
    project, problems = open_project(root), Problems()
    build_records = find_build(project, build)
    if not table.exists():
        leave(LACKS, f"there is no file {seen(str(table))}.")
    record = read_record(columns, columns.name, ColumnMap, problems) if columns else None
    read = read_table(table, problems, record.encoding if record else None)
    rows = []
    if read is not None and record:
        rows = read_by_map(read.text, table.name, record, problems, read.above, read.delimiter)
    elif read is not None and is_readings_csv(read.text):
        rows = from_csv(read.text, table.name, problems)
    elif read is not None and not columns:
        leave(
            TROUBLE,
            f"{seen(table.name)} has headings of its own: say what they are with --columns (see gudgeon import --help).",
        )
    if problems:
        leave(TROUBLE, "\n".join(str(problem) for problem in problems.in_order()))
    if not rows:
        leave(TROUBLE, f"{seen(table.name)} has no rows.")
    if read is not None and read.encoding not in ("utf-8", "utf-8-sig"):
        click.echo(f"{seen(table.name)} was read as {read.encoding}.", err=True)
    give_ids(build_records, rows)
    written = to_yaml(rows, f"From {seen(table.name)}")
    if dry_run:
        click.echo(written, nl=False)
    file = _name(rows, table, name)
    doubts = doubts_of_rows(build_records, rows, float(project.knowledge.judgement["hot_shop"]))
    _refuse(doubts, len(rows), held_back_too, despite_doubts)
    try:
        with desk_of(project) as desk:
            paths = keep_in_build(desk, build_records.path, {file: written}, project.knowledge, only_try=dry_run)
    except (NotSound, FileExistsError) as problem:
        leave(TROUBLE, f"Not written:\n{problem}")
    for doubt in doubts:
        click.echo(f"Doubtful: {doubt}", err=True)
    count = f"{len(rows)} row{'' if len(rows) == 1 else 's'}"
    click.echo(f"{count} would be written to {file}." if dry_run else f"{count} written to {paths[0]}.", err=dry_run)


def _refuse(doubts: list[RowDoubt], rows: int, held_back_too: bool, despite_doubts: bool) -> None:
    """End the command where rows are doubtful that nobody said to write all the same."""
    ways = (("held back", held_back_too, "--held-back-too"), ("asked", despite_doubts, "--despite-doubts"))
    for weight, written, option in ways:
        told = [doubt for doubt in doubts if doubt.weight == weight]
        if told and not written:
            twice = len({doubt.row for doubt in told if doubt.code == "same"})
            lines = [str(doubt) for doubt in told]
            if twice == rows and rows > 1:
                lines = [f"all {rows} rows stand in the build already: this table was brought before."]
            elif len(lines) > MOST_TOLD:
                lines = [*lines[:MOST_TOLD], f"and {len(lines) - MOST_TOLD} more."]
            leave(TROUBLE, "\n".join(["Not written:", *lines, f"What was read so is written with {option}."]))


def _name(rows: list[dict], table: Path, name: str | None) -> str:
    if name is None:
        return f"readings/{rows[0].get('date', 'undated')}-{short(table.stem)}.yaml"
    if not re.fullmatch(r"[a-z0-9][a-z0-9-]{0,79}", name):
        raise click.UsageError("a readings file is named in small letters, digits and hyphens.")
    return f"readings/{name}.yaml"
