"""gudgeon schemas: the JSON Schemas of the records, for editors."""

from pathlib import Path

import click

from gudgeon.commands.options import nearest_root
from gudgeon.project.writing import write_output
from gudgeon.schemas import SCHEMAS, schema_files


@click.command(
    help=f"Write {len(SCHEMAS)} JSON Schemas, made from the models that read the records, into FOLDER (default: docs/schemas).",
    epilog="""\b
Example:
  gudgeon schemas docs/schemas""",
)
@click.argument("folder", type=click.Path(file_okay=False, path_type=Path), default="docs/schemas")
def schemas(folder):
    write_output(folder, schema_files(), nearest_root())
    for name in schema_files():
        click.echo(folder / name)
