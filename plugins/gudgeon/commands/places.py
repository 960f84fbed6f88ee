"""Where a project's folders are, and one build of it by name."""

from pathlib import Path

import click

from gudgeon.commands.output import LACKS, leave
from gudgeon.records.folder import FOLDER_NAME, Build, load_build
from gudgeon.records.problems import nearest
from gudgeon.records.shelf import load_knowledge

BUILDS, SHELF = "builds", "docs/knowledge"


def _complete(context, parameter, incomplete):
    """Names of builds that begin so, for a shell."""
    root = Path(context.params.get("root") or ".") / BUILDS
    return (
        sorted(each.name for each in root.iterdir() if each.is_dir() and each.name.startswith(incomplete))
        if root.is_dir()
        else []
    )


build_argument = click.argument("build", shell_complete=_complete)
root_option = click.option(
    "--root",
    type=click.Path(exists=True, file_okay=False, path_type=Path),
    default=".",
    help="The project's folder (default: here).",
)


def find_build(root: Path, name: str) -> Build:
    """A build by its folder's name; ends the command where there is none, or where it cannot be read far enough."""
    folder = root / BUILDS / name
    if not FOLDER_NAME.fullmatch(name) or not (folder / "build.yaml").exists():
        there = [each.name for each in (root / BUILDS).iterdir() if each.is_dir()] if (root / BUILDS).is_dir() else []
        leave(LACKS, f'there is no build "{name[:60]}" in {BUILDS}/.{nearest(name, there)}')
    build = load_build(folder, f"{BUILDS}/{name}", load_knowledge(root / SHELF, SHELF))
    if build.head is None:
        leave(LACKS, "\n".join(str(each) for each in build.problems))
    return build
