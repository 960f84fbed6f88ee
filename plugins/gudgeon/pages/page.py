"""A page and a file of the site, before any site generator sees them."""

import html
import json
import os
import posixpath
import re
import sys
import zlib
from dataclasses import dataclass, field
from functools import cache
from pathlib import Path

from jinja2 import Environment, FileSystemBytecodeCache, PackageLoader, StrictUndefined
from markupsafe import Markup

from gudgeon.notes import all_in_words, in_words
from gudgeon.pages import markup, quantities, table_cells
from gudgeon.pages.citations import Bibliography
from gudgeon.pages.part_states import worst_first
from gudgeon.pages.whose import differs, in_place, mark


class Page:
    """A page: where it goes (src_uri, ends in .md), its Markdown, and the file that people edit to change it.

    Its text is kept packed: a club has ten thousand pages, and all stand in memory at once.
    """

    __slots__ = ("edit", "packed", "uri")

    def __init__(self, uri: str, text: str, edit: str | None = None):
        self.uri, self.edit = uri, edit
        self.packed = zlib.compress(text.encode("utf-8", "surrogatepass"), 1)

    @property
    def text(self) -> str:
        """Its Markdown."""
        return zlib.decompress(self.packed).decode("utf-8", "surrogatepass")

    def __eq__(self, other: object) -> bool:
        return isinstance(other, Page) and (self.uri, self.edit, self.packed) == (other.uri, other.edit, other.packed)

    def __hash__(self) -> int:
        return hash((self.uri, self.edit, self.packed))

    def __repr__(self) -> str:
        return f"Page({self.uri!r}, edit={self.edit!r})"


@dataclass(frozen=True)
class Asset:
    """A file beside the pages."""

    uri: str
    content: bytes


def _relative(path: str, folder: str) -> str:
    """posixpath.relpath of plain paths in a site, which asks the system for the working folder at each link: a big build has many."""
    to, here = ([] if plain in ("", ".") else plain.split("/") for plain in (path, folder))
    same = 0
    while same < min(len(to), len(here)) and to[same] == here[same]:
        same += 1
    return "/".join([".."] * (len(here) - same) + to[same:]) or "."


def to_file(uri: str, target: str) -> str:
    """How the page at `uri` leads to a file of the site, as they lie in the folder. target: path, with #anchor or without."""
    path, hash_sign, anchor = target.partition("#")
    return _relative(posixpath.normpath(path), posixpath.dirname(uri)) + hash_sign + anchor


def to_folder(uri: str, target: str) -> str:
    """The same where every page becomes a folder with an index.html in it."""
    path, hash_sign, anchor = to_file(uri, target).partition("#")
    if path.endswith(".md"):
        path = path.removesuffix("index.md") if posixpath.basename(path) == "index.md" else path[:-3] + "/"
    # The page itself is one folder deeper than its source, but for an index.
    up = "" if posixpath.basename(uri) == "index.md" else "../"
    return (up + path or "./") + hash_sign + anchor


def to_html(uri: str, target: str) -> str:
    """The same where every page becomes a file of its own beside its source."""
    path, hash_sign, anchor = to_file(uri, target).partition("#")
    return (path[:-3] + ".html" if path.endswith(".md") else path) + hash_sign + anchor


HOMES = ("index.md", "README.md")  # what generators take for the home of a site
LINKS = {"files": to_file, "folders": to_folder, "html": to_html}


@dataclass(frozen=True)
class Renderer:
    """Makes the pages of one site. bibliography: what they cite; links: a key of LINKS, how they lead to one another."""

    bibliography: Bibliography = field(default_factory=lambda: Bibliography({}))
    links: str = "folders"

    def address(self, uri: str, target: str) -> str:
        """How the page at uri leads to another page or file of the site."""
        return LINKS[self.links](uri, target)

    def page(self, uri: str, template: str, edit: str | None = None, **values) -> Page:
        """A template as a page."""
        return Page(uri, _with_title(self.text(uri, template, **values)) + "\n", edit)

    def text(self, uri: str, template: str, **values) -> str:
        """A template as text on the page at uri. It has link(target) for the address of another page or file, and
        cite(key, where, basis)."""

        def link(target: str) -> str:
            return self.address(uri, target)

        def cite(key: str | None, where: str | None = None, basis: str | None = None) -> Markup:
            return self.bibliography.cite(link, key, where, basis)

        made = environment().get_template(template).render(uri=uri, link=link, cite=cite, **values)
        return without_blank_lines_inside(without_fences(made))


FENCE = re.compile(r"^([> \t]*)(`{3,}|~{3,})", re.MULTILINE)


def without_fences(text: str) -> str:
    """A page without fences of code: our templates write none, and a generator takes one in a record's text for the beginning of
    code before it looks at the HTML round it. It is written as entities, which show as they were written."""
    return FENCE.sub(lambda fence: fence[1] + "".join(f"&#{ord(mark)};" for mark in fence[2]), text)


# A tag, with whether it closes and whether it stands alone; or a blank line.
_TAG_OR_BLANK = re.compile(r"<(/?)([A-Za-z][\w:-]*)[^>]*?(/?)>|\n(?=[ \t]*\n)")
_BLANK = re.compile(r"\n(?=[ \t]*\n)")
_ALONE = frozenset(
    ("area", "base", "br", "col", "embed", "hr", "img", "input", "link", "meta", "source", "track", "wbr")
)


def without_blank_lines_inside(text: str) -> str:
    """A page without blank lines inside its HTML: for CommonMark one ends the HTML, and what a record's text has behind it would be
    read as Markdown. It is written as an entity, which shows as what it is. Tags are our own: those of texts are escaped."""
    depth = 0

    def instead(met: re.Match[str]) -> str:
        nonlocal depth
        if met[2] is None:
            return "&#10;" if depth else met[0]
        if met[1]:
            depth = max(0, depth - 1)
        elif not met[3] and met[2].lower() not in _ALONE:
            depth += 1
        return _BLANK.sub("&#10;", met[0]) if "\n" in met[0] else met[0]

    return _TAG_OR_BLANK.sub(instead, text)


@cache
def environment() -> Environment:
    """What the templates are read with."""
    made = Environment(
        loader=PackageLoader("gudgeon.pages", "templates"),
        autoescape=True,
        undefined=StrictUndefined,
        trim_blocks=True,
        lstrip_blocks=True,
        auto_reload=False,
        bytecode_cache=_compiled_templates(),
    )
    made.filters.update(
        markup.FILTERS
        | quantities.FILTERS
        | table_cells.FILTERS
        | {
            "in_words": in_words,
            "all_in_words": all_in_words,
            "worst_first": worst_first,
            "whose": mark,
            "differs": differs,
            "in_place": in_place,
        }
    )
    made.filters["name_of"] = lambda ref, view: view.name_of(ref)
    made.filters["upkeep"] = lambda name, build: build.sound_head.upkeep[name].does
    made.filters["jaw_words"] = lambda move, fmt: (
        f"jaw {move.jaw} ({move.angle:g}°) in by {fmt.clearance_text(move.move)}"
    )
    made.filters["instrument"] = lambda gauge, view: view.instrument_name(gauge)
    return made


def compile_templates() -> None:
    """Compile all templates ahead of the first build."""
    for name in environment().list_templates():
        environment().get_template(name)


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


def _with_title(text: str) -> str:
    """Say the title in the page's front matter, escaped: themes put it into the head and the navigation as it stands."""
    heading = re.match(r"\s*# (.*)", text)
    title = html.escape(html.unescape(heading[1])) if heading else ""
    return f"---\ntitle: {json.dumps(title)}\n---\n{text}"


def with_lead(text: str, lead: str) -> str:
    """A page that people wrote, with something put below its title; on top where it begins with none."""
    begins = re.match(r"(?:---\n(?s:.*?)\n---\n)?\s*(?:# .*(?:\n|$))?", text)
    at = begins.end() if begins else 0
    return f"{text[:at].rstrip()}\n\n{lead.strip()}\n\n{text[at:].lstrip()}".lstrip()


def asset_text(name: str) -> str:
    """The text of a file in assets/."""
    return (Path(__file__).parent / "assets" / name).read_text(encoding="utf-8")
