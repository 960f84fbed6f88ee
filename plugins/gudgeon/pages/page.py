"""A page and a file of the site, before any site generator sees them."""

import html
import json
import os
import posixpath
import re
import sys
from dataclasses import dataclass
from pathlib import Path

from jinja2 import Environment, FileSystemBytecodeCache, PackageLoader, StrictUndefined

from gudgeon.pages import markup, quantities


def _compiled_templates() -> FileSystemBytecodeCache | None:
    """Keeps compiled templates inside the Python environment, as Python keeps its own; None where that is read-only.

    Compiling them costs as much as assessing a build. A template that changed is known by its text and compiled anew.
    """
    folder = Path(sys.prefix) / "gudgeon-templates"
    try:
        folder.mkdir(exist_ok=True)
        return FileSystemBytecodeCache(str(folder)) if os.access(folder, os.W_OK) else None
    except OSError:
        return None


ENVIRONMENT = Environment(
    loader=PackageLoader("gudgeon.pages", "templates"),
    autoescape=True,
    undefined=StrictUndefined,
    trim_blocks=True,
    lstrip_blocks=True,
    auto_reload=False,
    bytecode_cache=_compiled_templates(),
)
ENVIRONMENT.filters.update(markup.FILTERS | quantities.FILTERS)


@dataclass(frozen=True)
class Page:
    """A page: where it goes (src_uri, ends in .md), its Markdown, and the file that people edit to change it."""

    uri: str
    text: str
    edit: str | None = None


@dataclass(frozen=True)
class Asset:
    """A file beside the pages."""

    uri: str
    content: bytes


def compile_templates() -> None:
    """Compile all templates ahead of the first build."""
    for name in ENVIRONMENT.list_templates():
        ENVIRONMENT.get_template(name)


def page(uri: str, template: str, edit: str | None = None, **values) -> Page:
    """Render a template to a page. Links written as LINK:path and SOURCES#key are made relative to the page."""
    text = ENVIRONMENT.get_template(template).render(uri=uri, **values)
    folder = posixpath.dirname(uri)
    text = text.replace('"SOURCES#', f'"{_to_html(posixpath.relpath("sources.md", folder or "."), uri)}#')
    text = re.sub(
        r'"LINK:([^"#]*)', lambda match: f'"{_to_html(posixpath.relpath(match[1], folder or "."), uri)}', text
    )
    return Page(uri, _with_title(_label_cells(text)) + "\n", edit)


def _with_title(text: str) -> str:
    """Say the title in the page's front matter, escaped: themes put it into the head and the navigation as it stands."""
    heading = re.match(r"\s*# (.*)", text)
    title = html.escape(html.unescape(heading[1])) if heading else ""
    return f"---\ntitle: {json.dumps(title)}\n---\n{text}"


def _label_cells(text: str) -> str:
    """Give every cell the heading of its column, so that a phone can show a row as a card."""

    def table(found: re.Match) -> str:
        headings = [re.sub(r"<[^>]*>", "", each) for each in re.findall(r"<th scope=\"col\"[^>]*>(.*?)</th>", found[0])]
        if not headings:
            return found[0]
        head, body, rest = found[0].partition("<tbody>")

        def row(cells: re.Match) -> str:
            names = iter(headings)
            return re.sub(
                r"<(td|th scope=\"row\")", lambda cell: f'<{cell[1]} data-heading="{next(names, "")}"', cells[0]
            )

        return head + body + re.sub(r"<tr.*?</tr>", row, rest, flags=re.DOTALL)

    return re.sub(r"<table class=\"g-table\">.*?</table>", table, text, flags=re.DOTALL)


def _to_html(target: str, uri: str) -> str:
    """A relative link between Markdown files as a link between the folders they become."""
    path, _, anchor = target.partition("#")
    if not path.endswith(".md"):
        # A plain file stands beside the page's source; the page itself is one folder deeper, but for an index.
        return path if posixpath.basename(uri) == "index.md" else f"../{path}"
    path = path.removesuffix("index.md") if posixpath.basename(path) == "index.md" else path.removesuffix(".md") + "/"
    return (path or "./") if posixpath.basename(uri) == "index.md" else f"../{path}"


def asset_text(name: str) -> str:
    """The text of a file in assets/."""
    return (Path(__file__).parent / "assets" / name).read_text(encoding="utf-8")
