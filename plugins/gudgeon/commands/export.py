"""gudgeon export: a build as open data."""

from pathlib import Path

import click

from gudgeon.commands.options import build_argument, cache_option, find_build, open_project, root_option
from gudgeon.commands.terminal import TROUBLE, leave


@click.command(
    epilog="""\b
Examples:
  gudgeon export harrow-pond --to harrow-data
Exit status: 0 written, 1 the build has problems, 2 the command's words are off, 3 there is no such build."""
)
@build_argument
@click.option("--to", required=True, type=click.Path(file_okay=False, path_type=Path), help="Folder to write into.")
@cache_option
@root_option
def export(build, to, root, fresh):
    """Write BUILD as open data: readings and findings as CSV with their description, everything as JSON."""
    # Read when it is needed: help and completion shall not wait for the libraries of the assessment.
    from gudgeon.export.package import files
    from gudgeon.project.project import NotWorkedOut
    from gudgeon.project.writing import write_output

    project = open_project(root, fresh=fresh)
    build_records = find_build(project, build)
    try:
        findings = project.findings(build)
    except NotWorkedOut as lack:
        leave(TROUBLE, str(lack))
    written = files(build_records, findings, project.knowledge.materials)
    write_output(to, written, project.root)
    for name in written:
        click.echo(to / name)
