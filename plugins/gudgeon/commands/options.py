"""What commands are told alike: the project's folder, one build of it by name, and the day of what is written down."""

import datetime
from pathlib import Path

import click

from gudgeon.commands.terminal import LACKS, leave
from gudgeon.entry.line import NotClear, read_day
from gudgeon.records.load_build import FOLDER_NAME, load_build
from gudgeon.records.load_knowledge import load_knowledge
from gudgeon.records.model import Build, Knowledge
from gudgeon.records.problems import nearest

BUILDS, SHELF = "builds", "docs/knowledge"


def build_names(root: Path) -> set[str]:
    """Names of the folders in builds/."""
    folder = root / BUILDS
    return (
        {each.name for each in folder.iterdir() if each.is_dir() and not each.name.startswith(".")}
        if folder.is_dir()
        else set()
    )


def _complete(context, parameter, incomplete):
    """Names of builds that begin so, for a shell."""
    names = build_names(Path(context.params.get("root") or "."))
    return sorted(each for each in names if each.startswith(incomplete))


build_argument = click.argument("build", shell_complete=_complete)
root_option = click.option(
    "--root",
    type=click.Path(exists=True, file_okay=False, path_type=Path),
    default=".",
    help="The project's folder (default: here).",
)


day_option = click.option(
    "--on", "day", metavar="DAY", help="The day of it, such as 2025-04-06 (default: today, by this computer's clock)."
)


def day_of(text: str | None) -> datetime.date:
    """The day that is said, or today by the clock: what is written down now is of today, and is read back."""
    try:
        return datetime.date.today() if text is None else read_day(text)
    except NotClear as problem:
        raise click.UsageError(str(problem)) from None


def find_build(root: Path, name: str) -> tuple[Build, Knowledge]:
    """A build by its folder's name, with the shelf; ends the command where there is none, or where it cannot be read
    far enough."""
    folder = root / BUILDS / name
    if not FOLDER_NAME.fullmatch(name) or not (folder / "build.yaml").exists():
        leave(LACKS, f'there is no build "{name[:60]}" in {BUILDS}/.{nearest(name, build_names(root))}')
    shelf = load_knowledge(root / SHELF, SHELF)
    build = read_again(folder, shelf)
    if build.head is None:
        leave(LACKS, "\n".join(str(each) for each in build.problems))
    return build, shelf


def read_again(folder: Path, shelf: Knowledge) -> Build:
    """A build as its folder has it now."""
    return load_build(folder, f"{BUILDS}/{folder.name}", shelf)
