"""gudgeon review: what moved in numbers between two revisions."""

import json
from pathlib import Path

import click

from gudgeon.commands.options import cache_option, nearest_root, open_project, root_option
from gudgeon.commands.terminal import LACKS, TROUBLE, leave, painter, progress
from gudgeon.project.git import GitLacks
from gudgeon.project.writing import write_output
from gudgeon.records.validation import first_fault
from gudgeon.review.as_markdown import slip_markdown
from gudgeon.review.as_sarif import slip_sarif
from gudgeon.review.as_text import details_text, slip_text
from gudgeon.review.slip import ReviewSlip

BIGGEST_SLIP = 20_000_000  # bytes; a rule that moves every fit of a hundred builds takes a tenth of it
FORMS = ("text", "markdown", "json", "sarif")


@click.command(
    epilog="""\b
Examples:
  gudgeon review                         what merging the work here into the main branch moves
  gudgeon review --details               with every fit, caution and reading
  gudgeon review --base v1.2 --head HEAD two revisions, whatever lies in the work tree
  gudgeon review --form markdown         for a pull request
  gudgeon review --again slip.json --form sarif

\b
Exit status: 0 nothing to put right, 1 records or readings have to be put right, 2 the command's words are off,
3 git lacks something (no repository, history cut off). Fits that moved do not change it: no verdict is computed."""
)
@click.option("--base", metavar="REVISION", help="Compare with exactly this revision.")
@click.option(
    "--main",
    metavar="REVISION",
    help="What the work would be merged into (default: the main branch, as fetched or as here, the one further on).",
)
@click.option("--head", metavar="REVISION", help="Look at this revision instead of the work tree.")
@click.option("--form", type=click.Choice(FORMS), default="text", show_default=True, help="How it is written.")
@click.option("--details", is_flag=True, help="Add the full detail to the text.")
@click.option("--links", metavar="ADDRESS", help="Where the files stand in a forge, for links in Markdown.")
@click.option(
    "--again",
    type=click.Path(exists=True, dir_okay=False, path_type=Path),
    help="Write a slip anew that was kept as JSON.",
)
@click.option(
    "--to", type=click.Path(dir_okay=False, path_type=Path), help="Write into this file instead of the screen."
)
@cache_option
@root_option
def review(base, main, head, form, details, links, again, to, root, fresh):
    """Show what moved in numbers between two revisions.

    Compares the main branch with what merging the work into it gives; what cannot be merged is told first. Reads all of it from git,
    without touching the work tree, and works out only the builds that the edit can reach.
    """
    # Read when it is needed: help and completion shall not wait for the libraries of the assessment.
    from gudgeon.project.two_revisions import compare_revisions
    from gudgeon.review.compare import slip_of

    if base and main:
        raise click.UsageError(
            "--base and --main exclude each other: one names the revision, the other a branch that was left."
        )
    if again:
        slip = _kept(again)
    else:
        try:
            with (
                progress("Working out builds") as tell,
                compare_revisions(open_project(root, fresh=fresh), base, main, head) as comparison,
            ):
                slip = slip_of(comparison, tell)
        except GitLacks as lack:
            leave(LACKS, str(lack))
    text = written(slip, form, details, links, painter() if to is None else None)
    if to:
        write_output(to.parent, {to.name: text.encode("utf-8")}, nearest_root())
    else:
        click.echo(text, nl=False)
    if slip.blockers:
        raise click.exceptions.Exit(TROUBLE)


def _kept(path: Path) -> ReviewSlip:
    """A slip from a file, which may come from a stranger: only what the model allows gets in."""
    try:
        if path.stat().st_size > BIGGEST_SLIP:
            raise ValueError
        return ReviewSlip.model_validate_json(path.read_bytes())
    except (ValueError, RecursionError) as error:
        leave(TROUBLE, f"{path}: this is no review slip: {first_fault(error)}.")


def written(slip: ReviewSlip, form: str, details: bool, links: str | None, paint) -> str:
    """The slip in a form. paint: colours a text for a terminal; None for a file."""
    if form == "json":
        return slip.model_dump_json(indent=1) + "\n"
    if form == "sarif":
        return json.dumps(slip_sarif(slip), indent=1, ensure_ascii=False) + "\n"
    if form == "markdown":
        return slip_markdown(slip, links)
    paints = [paint] if paint else []
    return slip_text(slip, *paints) + ("\n" + details_text(slip, *paints) if details else "")
