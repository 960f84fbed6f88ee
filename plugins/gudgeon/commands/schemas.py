"""gudgeon schemas: the JSON Schemas of the records, for editors."""

from pathlib import Path

import click

from gudgeon.commands.options import nearest_root
from gudgeon.project.writing import write_output
from gudgeon.records.shelf_layers import package_path
from gudgeon.schemas import SCHEMAS, schema_files


@click.command(
    help=f"""Write {len(SCHEMAS)} JSON Schemas, made from the models that read the records, for editors: into FOLDER, or where a club's
    editor settings look for them. In the tool's own repository they are written where they ship from.""",
    epilog="""\b
Examples:
  gudgeon schemas
  gudgeon schemas --to .gudgeon/schemas""",
)
@click.argument("folder", type=click.Path(file_okay=False, path_type=Path), required=False)
@click.option("--to", "to", type=click.Path(file_okay=False, path_type=Path), help="The same as FOLDER.")
def schemas(folder, to):
    root = nearest_root()
    folder = to or folder or _usual(root)
    write_output(folder, schema_files(), root)
    for name in schema_files():
        click.echo(folder / name)


def _usual(root: Path | None) -> Path:
    """Beside the shelf that ships with the tool, where the project holds that; else where a club's editor looks."""
    here = root or Path()
    shelf = package_path(here)
    return here / shelf.replace("knowledge", "json_schemas") if shelf else here / ".gudgeon" / "schemas"
