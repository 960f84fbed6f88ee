"""gudgeon preview: the site as it would be after a merge, for people to look at before."""

import subprocess
import sys
from pathlib import Path

import click

from gudgeon.commands.options import open_project, root_option
from gudgeon.commands.terminal import LACKS, TROUBLE, leave
from gudgeon.project.git import GitLacks
from gudgeon.project.safe_git import aside
from gudgeon.records.problems import seen


@click.command(
    epilog="""\b
Examples:
  gudgeon preview topland-measured --to preview
  gudgeon preview refs/remotes/pull/head --main HEAD --to preview
\b
Exit status: 0 written, 1 the revision cannot be merged as it is or the site cannot be built, 2 the command's words are off,
3 git lacks something, or the project has no mkdocs.yml."""
)
@click.argument("revision")
@click.option("--main", metavar="REVISION", help="What it would be merged into (default: the main branch).")
@click.option(
    "--to",
    required=True,
    type=click.Path(file_okay=False, path_type=Path),
    help="Folder to write the site into; it must be empty or not there yet.",
)
@root_option
def preview(revision, main, to, root):
    """Build the site as it would be after REVISION, such as a branch, is merged.

    Builds, shelf, pages and pictures are those of the merge. Settings, theme, hooks, scripts and the tool stay those of the main
    branch: nothing that REVISION brings is run. The work tree is not touched.
    """
    # Read when it is needed: help and completion shall not wait for the libraries of the assessment.
    from gudgeon.project.preview import lay_out_preview
    from gudgeon.project.revisions import what_is_compared

    if to.exists() and any(to.iterdir()):
        leave(TROUBLE, f"{to} holds something already. Name an empty folder.")
    project = open_project(root)
    if project.settings.file is None:
        leave(LACKS, "There is no mkdocs.yml here that names the plugin, so there is no site to build.")
    try:
        with aside() as folder:
            revisions = what_is_compared(project.repository, None, main, revision, folder)
            if revisions.conflicts:
                lines = [f"{conflict.path}: {conflict.what}." for conflict in revisions.conflicts]
                leave(TROUBLE, "\n".join(["It cannot be merged as it is, so there is nothing to look at:", *lines]))
            for note in revisions.notes:
                click.echo(f"Note: {note}", err=True)
            lay_out_preview(project, revisions, folder / "site")
            settings = folder / "site" / project.settings.file.name
            if not settings.is_file():
                leave(LACKS, f"{revisions.base_name} has no {settings.name}, so there is no site to build.")
            words = ["-m", "mkdocs", "build", "--quiet", "--config-file", settings, "--site-dir", to.resolve()]
            done = subprocess.run([sys.executable, *(str(word) for word in words)], cwd=folder / "site", check=False)
            if done.returncode:
                leave(TROUBLE, "The site could not be built; what stands above says why.")
            merged = f"after {seen(revision)[:80]} is merged into {revisions.base_name}"
            told = merged if revisions.parted and not revisions.notes else f"of {revisions.head_name}"
            click.echo(f"The site {told} is in {to}: open index.html there. It is not published.")
    except GitLacks as lack:
        leave(LACKS, str(lack))
