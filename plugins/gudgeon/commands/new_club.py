"""gudgeon new club: a repository of a club's own, complete and small."""

import os
import tempfile
from pathlib import Path

import click

from gudgeon.club.repository import FORGES, LATER, LICENCES, Club, files
from gudgeon.club.tool import NoWheel, of_installed, of_wheel
from gudgeon.commands.options import asked_option
from gudgeon.commands.terminal import TROUBLE, leave
from gudgeon.project.settings import NoProject, find_settings
from gudgeon.project.writing import write_output
from gudgeon.records.licences import spdx
from gudgeon.records.load_knowledge import load_knowledge
from gudgeon.records.validation import holds_unseen

EXIT = (
    "\b\nExit status: 0 written, 1 something given does not do and nothing was written, 2 the command's words are off."
)
_LICENCE = "Under which licence may others use what the club writes?\n" + "".join(
    f"  {name}: {means}\n" for name, means in LICENCES.items()
)
_FORGE = "Where will the repository lie: on " + ", ".join(list(FORGES)[:-1]) + f", or {LATER}"


def add_to(group: click.Group) -> None:
    """Put the command into the group `new`."""

    @group.command(
        epilog="""\b
Example:
  gudgeon new club our-club --name "Our engine club" --licence CC-BY-4.0 --units in --forge github
"""
        + EXIT
    )
    @click.argument("folder", type=click.Path(file_okay=False, path_type=Path))
    @asked_option("--name", prompt="What is the club called", help="The club's name.")
    @asked_option(
        "--licence",
        prompt=_LICENCE + "Licence",
        default=LATER,
        show_default=True,
        help="Licence of what the club writes, as an SPDX expression, or later.",
    )
    @asked_option(
        "--units",
        prompt="Unit of most drawings, in or mm",
        type=click.Choice(["in", "mm"]),
        help="Unit of most drawings.",
    )
    @asked_option(
        "--forge",
        prompt=_FORGE,
        type=click.Choice(list(FORGES)),
        show_choices=False,
        default=LATER,
        show_default=True,
        help="Where the repository will lie: its workflows are written.",
    )
    @click.option(
        "--address", default="", help="Address of the repository, such as https://example.org/our-club/records."
    )
    @click.option("--site", default="", help="Address at which the site will stand, such as https://example.org/.")
    @click.option(
        "--tool",
        "wheel",
        type=click.Path(exists=True, dir_okay=False, path_type=Path),
        help="Wheel of the tool to pin (default: the one that runs now).",
    )
    def club(folder, name, licence, units, forge, address, site, wheel):
        """Write a club's own repository into FOLDER: site, shelf, start.py, workflows, and the tool pinned by its hash.

        What is there already is never written over. Which tool the site is built with stands in requirements.txt, and its
        wheel in tool/, so that every member and every later day builds the same.
        """
        begun = Club(name.strip(), licence.strip(), units, forge, _web(address, "--address"), _web(site, "--site"))
        if not begun.name or holds_unseen({"name": begun.name}):
            leave(TROUBLE, "the club's name is one line of text that can be seen. Nothing was written.")
        if begun.licence != LATER and spdx(begun.licence) is None:
            leave(
                TROUBLE,
                f'--licence: an SPDX expression such as CC-BY-4.0, or {LATER}, is expected. Found "{begun.licence[:80]}". Nothing was '
                "written.",
            )
        _refuse_inside_another(folder)
        try:
            tool = of_wheel(wheel) if wheel else of_installed()
        except NoWheel as lack:
            leave(TROUBLE, f"Nothing was written: {lack}")
        contents = files(begun, tool)
        _refuse_unsound(contents)
        there = [path for path in contents if os.path.lexists(folder / path)]
        if there:
            leave(
                TROUBLE,
                f"{', '.join(sorted(there)[:5])}{' and more' if len(there) > 5 else ''} in {folder} already exists, and is not "
                "written over. Nothing was written. Give a new folder, or move it away first.",
            )
        write_output(folder, contents)
        click.echo(f"Written: {len(contents)} files in {folder}/, with {tool.name} pinned by its hash.")
        click.echo(f"Next: cd {folder}\n      python3 start.py site")


def _web(address: str, option: str) -> str:
    """An address as a person gives it; ends the command where it is none."""
    said = address.strip()
    if said and (not said.startswith(("https://", "http://")) or any(sign.isspace() for sign in said)):
        leave(
            TROUBLE,
            f'{option}: an address such as https://example.org/ is expected. Found "{said[:80]}". Nothing was written.',
        )
    return said


def _refuse_inside_another(folder: Path) -> None:
    """A club's repository within another project would be taken for a part of it."""
    start = next(above for above in (folder.absolute(), *folder.absolute().parents) if above.is_dir())
    try:
        settings = find_settings(start)
    except NoProject:
        return
    if settings.file is not None:
        leave(
            TROUBLE,
            f"{folder} lies inside the project {settings.root}, and would be taken for a part of it. Nothing was written. Give a "
            "folder outside of it.",
        )


def _refuse_unsound(contents: dict[str, bytes]) -> None:
    """The shelf is read before it is written: what the club was told to be called, and its licence, may not be readable."""
    with tempfile.TemporaryDirectory(prefix="gudgeon-") as place:
        shelf = {path: text for path, text in contents.items() if path.startswith("docs/knowledge/")}
        write_output(Path(place), shelf)
        problems = load_knowledge(Path(place) / "docs" / "knowledge", "docs/knowledge").problems
    if problems:
        leave(TROUBLE, "Nothing was written:\n" + "\n".join(str(problem) for problem in problems))
