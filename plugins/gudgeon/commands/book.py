"""gudgeon book: a build as a book to print, to read, or to cite."""

from pathlib import Path

import click

from gudgeon.commands.options import build_argument, cache_option, find_build, open_project, root_option
from gudgeon.commands.terminal import LACKS, TROUBLE, leave

HOW_TO_GET = (
    'A book is set by WeasyPrint, which is not installed here. Install it with: pip install "gudgeon[book]"; on Debian it '
    "needs libpango-1.0-0, libpangoft2-1.0-0 and libharfbuzz-subset0 besides."
)


@click.command(
    epilog="""\b
Examples:
  gudgeon book harrow-pond --to harrow-pond.pdf --paper letter
  gudgeon book harrow-pond --to harrow-pond.epub
  gudgeon book harrow-pond --to CITATION.cff
The same records give the same bytes on one machine. PDF needs WeasyPrint: pip install "gudgeon[book]".
\b
Exit status: 0 written, 1 the build has problems, 2 the command's words are off, 3 there is no such build, or WeasyPrint
is missing."""
)
@build_argument
@click.option(
    "--to",
    required=True,
    type=click.Path(dir_okay=False, path_type=Path),
    help="File to write: its ending says what, .pdf, .epub or .cff (how to cite the build).",
)
@click.option(
    "--paper", type=click.Choice(["a4", "letter"]), default="a4", show_default=True, help="Sheet that a PDF is set for."
)
@cache_option
@root_option
def book(build, to, paper, root, fresh):
    """Write BUILD as a book: story, drawings, sizes, fits as they stand, rules with their grounds, index."""
    # Read when it is needed: help and completion shall not wait for the libraries of the assessment.
    from gudgeon.boundary import Failure
    from gudgeon.project.project import NotWorkedOut
    from gudgeon.project.writing import write_output
    from gudgeon.story.citation import citation_file

    form = to.suffix.lower()
    if form not in (".pdf", ".epub", ".cff"):
        raise click.UsageError(f'"{to.name}" should end in .pdf, .epub or .cff. Nothing was written.')
    project = open_project(root, fresh=fresh)
    records = find_build(project, build)
    try:
        findings = project.findings(build)
    except NotWorkedOut as lack:
        leave(TROUBLE, str(lack))
    if form == ".cff":
        content = citation_file(records, findings).encode()
    else:
        try:
            from gudgeon.book.make import make_book
        except (ImportError, OSError):  # OSError: the libraries of the system that it needs
            leave(LACKS, HOW_TO_GET)
        told = project.numbers_told(records.folder.name)
        numbers = () if isinstance(told, Failure) else told
        content = make_book(
            records,
            findings,
            project.knowledge,
            numbers,
            "pdf" if form == ".pdf" else "epub",
            paper,
            project.checks().evidence,
        )
    write_output(to.parent, {to.name: content}, project.root)
    click.echo(to)
