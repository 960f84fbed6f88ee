"""gudgeon schemas: the JSON Schemas of the records, for editors."""

from pathlib import Path

import click

from gudgeon.schemas import SCHEMAS, write_schemas


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
