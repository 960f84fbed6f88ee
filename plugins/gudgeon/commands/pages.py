"""gudgeon pages: the site's pages as a plain folder of Markdown, for any generator."""

from pathlib import Path

import click

from gudgeon.commands.options import cache_option, open_project, root_option
from gudgeon.commands.terminal import TROUBLE, leave
from gudgeon.pages.page import HOMES, LINKS, Asset, Page, with_lead

MARK = "written-by-gudgeon.txt"
NOT_PAGES = ("knowledge", "decisions", "demonstration")


@click.command(
    epilog="""\b
Example:
  gudgeon pages --to plain-pages
Links lead to the Markdown files as they lie in the folder; --links folders makes them lead to the folders
(fits/a-f01/) in which generators with tidy addresses place the pages.
\b
Exit status: 0 written, 1 records have problems (their builds' pages say so), 2 the command's words are off."""
)
@click.option(
    "--to",
    required=True,
    type=click.Path(file_okay=False, path_type=Path),
    help="Folder to write into; what an earlier run wrote there is replaced.",
)
@click.option(
    "--links",
    type=click.Choice(list(LINKS)),
    default="files",
    show_default=True,
    help="What links between pages lead to.",
)
@click.option("--address", help="Where the site will stand, ending in /: for the codes on printed sheets.")
@cache_option
@root_option
def pages(to, links, address, root, fresh):
    """Write the site's pages as Markdown with the files beside them, for another site generator."""
    # Read when it is needed: help and completion shall not wait for the libraries of the assessment.
    from gudgeon.commands.guides import manual_pages
    from gudgeon.project.writing import write_output
    from gudgeon.site import make_site

    if to.exists() and any(to.iterdir()) and not (to / MARK).exists():
        leave(TROUBLE, f"{to} holds something else. Name an empty folder, or one that this command wrote.")
    project = open_project(root, fresh=fresh)
    by_hand = _by_hand(project.root, project.settings.docs)
    more_pages, more_files = manual_pages(links, {file.uri for file in by_hand})
    written_by_hand = [Page(file.uri, file.content.decode("utf-8")) for file in by_hand if file.uri.endswith(".md")]
    site = make_site(project, address, more_pages, links, by_hand=written_by_hand)
    written = [
        *(Asset(page.uri, page.text.encode("utf-8")) for page in site.pages),
        *site.assets,
        *more_files,
        *(_with_lead(file, site.home_lead) for file in by_hand),
        Asset(MARK, b"This folder is replaced by every run of: gudgeon pages\n"),
    ]
    contents = {asset.uri: asset.content for asset in written}
    old = {path.relative_to(to).as_posix() for path in to.rglob("*") if path.is_file() and not path.is_symlink()}
    write_output(to, contents, project.root, gone=sorted(old - contents.keys()))
    click.echo(f"{len(site.pages)} pages and {len(written) - len(site.pages)} files beside them written to {to}.")
    if site.problems:
        leave(TROUBLE, "\n".join(str(problem) for problem in site.problems))


def _with_lead(file: Asset, lead: str) -> Asset:
    """A file written by hand; the home page with what heads it."""
    return Asset(file.uri, with_lead(file.content.decode("utf-8"), lead).encode("utf-8")) if file.uri in HOMES else file


def _by_hand(root: Path, docs_folder: str) -> list[Asset]:
    """The pages written by hand in docs/, with what they take from other files put in, and the files beside them."""
    from gudgeon.commands.guides import with_parts

    files = []
    docs = root / docs_folder
    for path in sorted(docs.rglob("*")):
        name = path.relative_to(docs)
        if not path.is_file() or path.is_symlink() or name.parts[0] in NOT_PAGES:
            continue
        content = path.read_bytes()
        if path.suffix == ".md":
            content = with_parts(content.decode("utf-8"), root).encode("utf-8")
        files.append(Asset(name.as_posix(), content))
    return files
