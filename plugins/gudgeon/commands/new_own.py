"""gudgeon new own: something of the shelf that comes with the tool, on the club's own shelf to be changed."""

import click

from gudgeon.commands.options import day_of, day_option, desk_of, open_project, root_option
from gudgeon.commands.terminal import TROUBLE, leave
from gudgeon.records.knowledge import HAS_A_FILE


def add_to(new: click.Group) -> None:
    """Add the command to `gudgeon new`."""
    new.add_command(own)


@click.command(
    epilog="""\b
Examples:
  gudgeon new own rule P-R1       a copy in docs/knowledge/rules/, to be changed
  gudgeon new own family piston   with its starter
  gudgeon new own                 lists what is the club's own, and what stands in place of what

\b
Exit status: 0 written or listed, 1 there is no such thing or it is the club's own already and nothing was written, 2 the command's
words are off."""
)
@click.argument("kind", type=click.Choice(list(HAS_A_FILE)), required=False)
@click.argument("name", required=False)
@day_option
@root_option
def own(kind, name, day, root):
    """Put a copy of what comes with Gudgeon onto the club's shelf, where it stands in place of that and is the club's to change.

    KIND is rule, caution, material or family, NAME its id. The others stay as they come, and change with the tool. Thresholds,
    habits, words and works need no copy: an entry of the same name in the club's own file stands in place of that one alone.
    """
    from gudgeon.share.own import NotTaken, take_own

    project = open_project(root, new=True)
    if kind is None:
        _list(project.knowledge)
        return
    if name is None:
        raise click.UsageError(f"say which {kind}: gudgeon new own {kind} NAME")
    try:
        with desk_of(project) as desk:
            paths = take_own(desk, project.settings.knowledge, project.knowledge, kind, name, day_of(day))
    except NotTaken as problem:
        leave(TROUBLE, f"Not written: {problem}")
    click.echo(f"The {kind} {name} is the club's own now, word for word as it came with Gudgeon. Change it there:")
    for path in paths:
        click.echo(f"  written: {path}")


def _list(shelf) -> None:
    from gudgeon.pages.whose import changes

    own = sorted(key for key, whose in shelf.whose.items() if whose == "club")
    click.echo(f"{len(own)} of the club's own, {len(shelf.in_place_of)} of them in place of what comes with Gudgeon.")
    for key in own:
        if key not in shelf.in_place_of:
            click.echo(f"  {key}")
            continue
        differs = "; ".join(changes(shelf, key)) or "says the same"
        click.echo(f"  {key}, in place of Gudgeon's: {differs}")
        if key in shelf.moved_below:
            click.echo("    Gudgeon's has changed since this was copied: compare them.")
