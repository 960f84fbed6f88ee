"""gudgeon check, gudgeon schemas: the records and their JSON Schemas."""

from pathlib import Path

import click

from gudgeon.commands.terminal import TROUBLE, painter
from gudgeon.records.load_build import load_club
from gudgeon.schemas import SCHEMAS, write_schemas


@click.command(
    epilog="""\b
Example:
  gudgeon check
Exit status: 0 no problem, 1 problems in the records."""
)
@click.argument("root", type=click.Path(exists=True, file_okay=False, path_type=Path), default=".")
def check(root):
    """Read all records below ROOT (default: here) and show every problem, in file order."""
    paint = painter()
    club = load_club(root)
    for problem in club.problems:
        where, _, rest = str(problem).partition(": ")
        click.echo(f"{paint(where, 'bad')}: {rest}")
    count = len(club.problems)
    click.echo(f"{len(club.builds)} builds, {count} problem{'' if count == 1 else 's'}.", err=True)
    if count:
        raise click.exceptions.Exit(TROUBLE)


@click.command(
    help=f"Write {len(SCHEMAS)} JSON Schemas, made from the models that read the records, into FOLDER (default: docs/schemas).",
    epilog="""\b
Example:
  gudgeon schemas docs/schemas""",
)
@click.argument("folder", type=click.Path(file_okay=False, path_type=Path), default="docs/schemas")
def schemas(folder):
    for path in write_schemas(folder):
        click.echo(path)
