"""gudgeon values: every value that this version of the tool works out, for another version to compare."""

from pathlib import Path

import click

from gudgeon.commands.options import cache_option, nearest_root, open_project, root_option


@click.command(
    epilog="""\b
Example:
  gudgeon values --to /tmp/values.jsonl

\b
Exit status: 0 written, also of builds that could not be worked out, which is told in the file; 2 the command's words are off;
3 there is no project here."""
)
@click.option(
    "--to",
    required=True,
    type=click.Path(dir_okay=False, path_type=Path),
    help="The file to write: a line of JSON with the version, then a line for each build.",
)
@cache_option
@root_option
def values(to, root, fresh):
    """Write every value of all builds by its address, as this version works them out.

    Another version of the tool asks for it in a process of its own: see gudgeon upgrade.
    """
    # Read when it is needed: help and completion shall not wait for the libraries of the assessment.
    from gudgeon.project.writing import write_output
    from gudgeon.upgrade.values import values_of

    lines = [*values_of(open_project(root, fresh=fresh)), ""]
    write_output(to.parent, {to.name: "\n".join(lines).encode("utf-8")}, nearest_root())
