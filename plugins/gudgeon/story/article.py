"""The one way from an instalment's untrusted Markdown to safe HTML, for site, feed and book."""

import re
import secrets

import nh3
from markdown_it.token import Token
from markupsafe import Markup

from gudgeon.records.instalment_text import (
    FILM,
    LONGEST,
    FilmShown,
    Shown,
    Tie,
    name_of_picture,
    rendered,
    tie_of,
    tokens,
)
from gudgeon.records.model import Instalment
from gudgeon.records.problems import Where
from gudgeon.story.medium import Medium

TAGS = {
    *("p", "em", "strong", "ul", "ol", "li", "blockquote", "code", "pre", "a", "h3", "h4", "br", "hr", "del"),
    *("table", "thead", "tbody", "tr", "th", "td", "section", "sup"),
}
LINKS = {"http", "https", "mailto"}


def clean(text: str) -> Markup:
    """Contributors' Markdown without pictures, films and tied numbers, as safe HTML: raw HTML in it is shown as text."""
    return _html(text, None)


def article(told: Instalment, medium: Medium) -> Markup:
    """The body of an instalment as safe HTML, with its pictures, films and tied numbers as the medium shows them."""
    return _html(told.body, medium, told.file)


def _html(text: str, medium: Medium | None, file: str = "") -> Markup:
    if len(text) > LONGEST:
        return Markup("<pre>{}</pre>").format(text[:LONGEST])
    # What the medium makes is put in after the cleaning, at marks that nobody can have written: they are drawn anew.
    mark, made = secrets.token_hex(16), list[Markup]()
    body = tokens(text)
    for block in body:
        if block.children:
            block.children = _with_marks(block.children, medium, file, mark, made)
    safe = nh3.clean(
        rendered(body), tags=TAGS, attributes={"a": {"href", "title"}}, url_schemes=LINKS, link_rel="noopener nofollow"
    )
    # A figure is no part of a paragraph.
    safe = re.sub(rf"<p>\s*({mark}-[0-9]+f-)\s*</p>", r"\1", safe)
    safe = re.sub(rf"{mark}-([0-9]+)f?-", lambda at: str(made[int(at[1])]), safe)
    # A blank line would end the island of HTML that this stands in.
    return Markup(re.sub(r"\n\s*\n", "\n", safe))


def _with_marks(children: list[Token], medium: Medium | None, file: str, mark: str, made: list[Markup]) -> list[Token]:
    """The tokens of a line with marks in place of pictures, films and tied numbers."""
    kept: list[Token] = []
    tied: tuple | None = None
    words: list[str] = []
    for token in children:
        address = token.attrGet("href") if token.type == "link_open" else None
        meant = tie_of(address) if isinstance(address, str) else None
        if tied is not None:
            if token.type == "link_close":
                written = " ".join("".join(words).split())
                shown = medium.tied(Tie(*tied, written, Where(file))) if medium else Markup.escape(written)
                kept.append(_mark(mark, made, shown))
                tied = None
            else:
                words.append(token.content or " ")
        elif meant:
            tied, words = meant, []
        elif token.type == "image":
            if medium:
                kept.append(_mark(mark, made, _shown(token, medium, file), figure=True))
        else:
            kept.append(token)
    return kept


def _shown(token: Token, medium: Medium, file: str) -> Markup:
    source = str(token.attrGet("src") or "")
    if source.startswith(FILM):
        return medium.film(FilmShown(source.removeprefix(FILM), token.content, Where(file)))
    caption = str(token.attrGet("title") or "")
    return medium.picture(Shown(name_of_picture(source), token.content, caption, Where(file)))


def _mark(mark: str, made: list[Markup], shown: Markup, figure: bool = False) -> Token:
    made.append(shown)
    return Token("text", "", 0, content=f"{mark}-{len(made) - 1}{'f' if figure else ''}-")
