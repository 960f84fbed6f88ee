"""gudgeon upgrade: what moves with another version of the tool, and the change of the pin."""

from pathlib import Path

import click

from gudgeon.commands.options import cache_option, desk_of, nearest_root, open_project, root_option
from gudgeon.commands.terminal import LACKS, TROUBLE, leave, painter, progress

FORMS = ("text", "markdown", "json")


@click.command(
    epilog="""\b
Examples:
  gudgeon upgrade --show --to ~/Downloads/gudgeon-0.3.0-py3-none-any.whl
  gudgeon upgrade --to ~/Downloads/gudgeon-0.3.0-py3-none-any.whl --slip moved.md
  gudgeon upgrade --show --to requirements.txt --form markdown    the wheel that a request pins
  gudgeon upgrade --show --to ../gudgeon                          a work tree of the tool

\b
The other version runs in a process of its own; of a wheel that was tested with other libraries, in an environment of its own in your cache
folder, for which these are fetched. Run only a version that you trust: it is a program.

\b
Exit status: 0 nothing to put right, 1 the other version has a problem with a record, or the pin cannot be changed, 2 the command's words
are off, 3 the other version is not here or cannot be compared. Values that moved do not change it: no verdict is computed."""
)
@click.option(
    "--to",
    type=click.Path(exists=True, path_type=Path),
    help="The other version (default: the wheel in tool/ that is not pinned): its wheel, a requirements.txt that pins one, its work tree, an environment or a Python.",
)
@click.option("--show", is_flag=True, help="Show what moves, and leave the pin as it is.")
@click.option("--form", type=click.Choice(FORMS), default="text", show_default=True, help="How it is written.")
@click.option("--details", is_flag=True, help="Add the full detail to the text.")
@click.option(
    "--slip", type=click.Path(dir_okay=False, path_type=Path), help="Write the slip as Markdown into this file too."
)
@cache_option
@root_option
def upgrade(to, show, form, details, slip, root, fresh):
    """Show what moves in all builds with another version of the tool, and pin that version.

    Both versions work out every build; what moved is told as gudgeon review tells it. "No number moves" stands there only where both worked out
    all of them and every value is the same. Without --show the wheel is put into tool/ and requirements.txt names it.
    """
    # Read when it is needed: help and completion shall not wait for the libraries of the assessment.
    from gudgeon.commands.review import written
    from gudgeon.review.as_markdown import slip_markdown
    from gudgeon.upgrade.other_tool import CannotCompare, other_tool
    from gudgeon.upgrade.pin import CannotPin, new_pin, unpinned_wheel
    from gudgeon.upgrade.upgrading import slip_between

    project = open_project(root, fresh=fresh)
    if to is None:
        to = unpinned_wheel(project.root)
    if to is None:
        raise click.UsageError(
            "say --to: the wheel of the version that you want; or put it into tool/, alone beside the pinned one."
        )
    if not show and to.suffix != ".whl":
        raise click.UsageError("a pin is of a wheel. Name one with --to, or say --show.")
    try:
        pin = None if show else new_pin(project.root, to)
        other = other_tool(to, project.root, lambda text: click.echo(text, err=True))
        with progress("Trying records of the shelf") as tell:
            moved = slip_between(project, other, tell)
    except CannotCompare as lack:
        leave(LACKS, f"{lack} Nothing is known of what would move.")
    except CannotPin as lack:
        leave(TROUBLE, str(lack))
    click.echo(written(moved, form, details, None, painter()), nl=False)
    if slip:
        write_slip(slip, slip_markdown(moved))
    if pin is not None:
        with desk_of(project) as desk:
            pin.write(desk)
        click.echo(
            f"requirements.txt pins {pin.new.name} now. Commit it with {pin.new.path}; start.py sets it up at its next run.",
            err=True,
        )
    if moved.blockers:
        raise click.exceptions.Exit(TROUBLE)


def write_slip(to: Path, text: str) -> None:
    """The slip in a file."""
    from gudgeon.project.writing import write_output

    write_output(to.parent, {to.name: text.encode("utf-8")}, nearest_root())
