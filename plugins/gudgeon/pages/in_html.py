"""A page's Markdown as HTML with its headings. Our pages hold headings, paragraphs, lists and finished HTML; a reader of CommonMark
takes a tenth of the time of the generator's own, which reads all HTML once more."""

import html
import json
import re
from dataclasses import dataclass

from markdown.extensions.toc import slugify, unique
from markdown_it import MarkdownIt
from markdown_it.renderer import RendererHTML
from markdown_it.token import Token

_FRONT_MATTER = re.compile(r"---\n(?:title: (?P<title>.*)\n)?---\n")
_TAG = re.compile(r"<[^>]*>")
_READER = MarkdownIt("commonmark", {"html": True}).enable("table")
_WRITER = RendererHTML()


@dataclass(frozen=True)
class Heading:
    """A heading on a page. text: as HTML without tags."""

    level: int
    id: str
    text: str


@dataclass(frozen=True)
class InHtml:
    """A page before it goes into the theme."""

    title: str
    content: str
    headings: tuple[Heading, ...]


def in_html(text: str) -> InHtml:
    """A page of ours, front matter and all. The ids of headings are those that generators with Python-Markdown give them."""
    front = _FRONT_MATTER.match(text)
    tokens = _READER.parse(text[front.end() :] if front else text)
    headings: list[Heading] = []
    taken: set[str] = set()
    for opening, inside in zip(tokens, tokens[1:], strict=False):
        if opening.type == "heading_open":
            words = " ".join(_TAG.sub("", _inline(inside)).split())
            own = unique(slugify(html.unescape(words), "-"), taken)
            opening.attrSet("id", own)
            headings.append(Heading(int(opening.tag[1:]), own, words))
    content = _WRITER.render(tokens, _READER.options, {})
    title = json.loads(front["title"]) if front and front["title"] else ""
    return InHtml(title, content, tuple(headings))


def _inline(token: Token) -> str:
    return _WRITER.renderInline(token.children or [], _READER.options, {})
