"""gudgeon history: how the numbers of a build moved from commit to commit."""

import click

from gudgeon.commands.options import build_argument, cache_option, open_project, root_option
from gudgeon.commands.terminal import LACKS, TROUBLE, leave, painter, progress
from gudgeon.project.git import GitLacks
from gudgeon.review.phrases import fit_line


@click.command(
    epilog="""\b
Examples:
  gudgeon history harrow-pond                 every fit of the build
  gudgeon history harrow-pond A-F01           one fit
  gudgeon history sundlia B-F01 --most 500

\b
Exit status: 0 found, 1 no such build or fit in these commits, 2 the command's words are off, 3 git lacks something."""
)
@build_argument
@click.argument("fit", required=False)
@click.option("--head", default="HEAD", show_default=True, metavar="REVISION", help="The newest commit to look at.")
@click.option(
    "--most", default=200, show_default=True, type=click.IntRange(1, 10_000), help="How many commits to look at."
)
@cache_option
@root_option
def history(build, fit, head, most, root, fresh):
    """Show the commits that moved the fits of BUILD, oldest first, with what was and what caused it."""
    # Read when it is needed: help and completion shall not wait for the libraries of the assessment.
    from gudgeon.project.two_revisions import steps
    from gudgeon.review.compare import slip_of

    paint = painter()
    seen = False
    try:
        with progress("Working out commits") as tell:
            for commit, day, subject, comparison in steps(open_project(root, fresh=fresh), build, head, most, tell):
                slip = slip_of(comparison)
                moved = [fit_change for fit_change in slip.fits if fit in (None, fit_change.id)]
                if not moved:
                    continue
                seen = True
                click.echo(paint(f"{day} {commit[:9]} {subject}", "good"))
                for fit_change in moved:
                    line = fit_line(fit_change)
                    click.echo(
                        f"  {fit_change.id} {fit_change.name}: {line.moved}; should have {line.wanted}; {line.place}"
                    )
                    if fit_change.was is not None:
                        click.echo(f"    cause: {line.cause}")
    except GitLacks as lack:
        leave(LACKS, str(lack))
    if not seen:
        leave(
            TROUBLE,
            f"no commit here moved {fit or 'a fit'} of a build {build}. Look at the names in builds/ and fits.yaml.",
        )
