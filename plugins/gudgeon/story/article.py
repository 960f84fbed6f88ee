"""The one way from an instalment's untrusted Markdown to safe HTML, for site, feed and book."""

import re
import secrets
from collections.abc import Iterator, Sequence
from html import escape
from typing import Any

import nh3
from markdown_it.renderer import RendererHTML
from markdown_it.token import Token
from markupsafe import Markup

from gudgeon.records.instalment_text import LONGEST, is_film, options, tie_of, tokens
from gudgeon.records.model import Instalment
from gudgeon.story.glossary import Glossed
from gudgeon.story.medium import Medium

TAGS = {
    *("p", "em", "strong", "ul", "ol", "li", "blockquote", "code", "pre", "a", "br", "hr", "del", "div", "section"),
    *("h2", "h3", "h4", "h5", "h6", "table", "thead", "tbody", "tr", "th", "td"),
}
# Of these none but the address and title of a link is in the text's hands: raw HTML in it is text.
ATTRIBUTES = {
    "a": {"href", "title"},
    "div": {"class", "role", "aria-label", "tabindex"},
    "li": {"id"},
    "ol": {"start"},
    "pre": {"class", "tabindex"},
    "section": {"class", "aria-label"},
    "table": {"class"},
    "td": {"class"},
    "th": {"class", "scope"},
}
LINKS = {"http", "https", "mailto"}
DEEPEST = 6


def article(told: Instalment, medium: Medium) -> Markup:
    """The body of an instalment as safe HTML, with its pictures, films and tied numbers as the medium shows them, and what it cost."""
    if len(told.body) > LONGEST:
        return unbroken(Markup("<pre>{}</pre>").format(told.body[:LONGEST]))
    writer = _Writer(told, medium)
    safe = nh3.clean(
        writer.written(), tags=TAGS, attributes=ATTRIBUTES, url_schemes=LINKS, link_rel="noopener nofollow"
    )
    return unbroken(Markup(writer.with_made(safe))) + cost(told, medium)


def cost(told: Instalment, medium: Medium) -> Markup:
    """What an instalment cost, as a note; empty where its head does not say."""
    lost = told.head.cost
    lines = [(name, words) for name in ("time", "scrap", "rework") if lost and (words := getattr(lost, name))]
    if not lines:
        return Markup("")
    rows = Markup("").join(Markup("<dt>{}</dt><dd>{}</dd>").format(name.capitalize(), words) for name, words in lines)
    heading = Markup(f"<h{medium.heading}>What it cost</h{medium.heading}>")
    return Markup('<div class="g-cost">{}<dl>{}</dl></div>').format(heading, rows)


def unbroken(text: Markup) -> Markup:
    """Markup without blank lines, which would end the island of HTML that it stands in; in code they stay, with a space on them."""

    def closed(block: re.Match[str]) -> str:
        if block["code"]:
            return re.sub(r"\n(?=[ \t]*\n)", "\n&nbsp;", block["code"])
        return re.sub(r"\n\s*\n", "\n", block[0])

    return Markup(re.sub(r"(?P<code><pre[^>]*>.*?</pre>)|(?:(?!<pre)[\s\S])+", closed, text, flags=re.DOTALL))


class _Writer(RendererHTML):
    """Writes the tokens of one instalment. What the medium makes is put in after the cleaning, at marks that nobody can have
    written: they are drawn anew each time."""

    def __init__(self, told: Instalment, medium: Medium):
        super().__init__()
        self._told, self._medium = told, medium
        self._mark, self._made = secrets.token_hex(16), list[Markup]()
        self._glossed = Glossed(medium.words)
        self._plain = 0  # how many links and headings are open: no word is explained in them
        self._pictures, self._films, self._ties = (iter(told.pictures), iter(told.films), iter(told.ties))
        self._tables = 0
        self._first_level = min(
            (int(token.tag[1:]) for token in tokens(told.body) if token.type == "heading_open"), default=1
        )

    def written(self) -> str:
        """The HTML, still to be cleaned, with marks."""
        return self.render(list(self._prepared(tokens(self._told.body))), options(), {})

    def with_made(self, safe: str) -> str:
        """Cleaned HTML with what the medium made in the place of each mark."""
        return re.sub(rf"{self._mark}-([0-9]+)-", lambda at: str(self._made[int(at[1])]), safe)

    def _put(self, made: Markup) -> Token:
        self._made.append(made)
        return Token("made", "", 0, content=f"{self._mark}-{len(self._made) - 1}-")

    def _prepared(self, every: Sequence[Token]) -> Iterator[Token]:
        """The tokens with marks in place of what the medium shows; a picture stands after the lines in which it is named, and
        in a cell within it. The tokens given are shared, and stay as they are."""
        opened: list[Token] = []  # the opening of a block whose line may hold nothing but pictures
        waiting: list[Token] = []  # pictures of the line
        dropped = False
        for token in every:
            if token.type in ("paragraph_open", "heading_open"):
                opened = [token]
                continue
            if token.type == "inline":
                children, figures = self._line(token.children or [])
                in_cell = not opened
                dropped = bool(figures) and not _says(children) and not in_cell
                if not dropped:
                    yield from opened
                    yield token.copy(children=[*children, *figures] if in_cell else children)
                opened, waiting = [], [] if in_cell else figures
                continue
            if token.type in ("paragraph_close", "heading_close"):
                if not dropped:
                    yield token
                yield from waiting
                waiting, dropped = [], False
                continue
            yield token

    def _line(self, children: Sequence[Token]) -> tuple[list[Token], list[Token]]:
        """The tokens of a line, and the figures that were named in it."""
        kept: list[Token] = []
        figures: list[Token] = []
        tied = False
        for token in children:
            address = token.attrGet("href") if token.type == "link_open" else None
            if isinstance(address, str) and tie_of(address):
                tied = True
                kept.append(self._put(self._medium.tied(next(self._ties))))
            elif token.type == "image":
                figures.append(
                    self._put(
                        self._medium.film(next(self._films))
                        if is_film(token)
                        else self._medium.picture(next(self._pictures))
                    )
                )
            elif tied:
                tied = token.type != "link_close"
            else:
                kept.append(token)
        return [token for at, token in enumerate(kept) if not _is_empty_link(kept, at)], figures

    # What markdown-it calls by the names of its tokens.

    def made(self, every: Sequence[Token], at: int, *_: Any) -> str:
        return every[at].content

    def text(self, every: Sequence[Token], at: int, *_: Any) -> str:
        words = every[at].content
        if self._plain:
            return escape(words)
        return "".join(
            piece if isinstance(piece, str) else self._put(self._medium.word(*piece)).content
            for piece in self._glossed.pieces(words, escape)
        )

    def link_open(self, every: Sequence[Token], at: int, given: Any, env: Any) -> str:
        self._plain += 1
        return self.renderToken(every, at, given, env)

    def link_close(self, every: Sequence[Token], at: int, given: Any, env: Any) -> str:
        self._plain -= 1
        return self.renderToken(every, at, given, env)

    def heading_open(self, every: Sequence[Token], at: int, *_: Any) -> str:
        self._plain += 1
        return f"<h{self._level(every[at])}>"

    def heading_close(self, every: Sequence[Token], at: int, *_: Any) -> str:
        self._plain -= 1
        return f"</h{self._level(every[at])}>\n"

    def _level(self, token: Token) -> int:
        # Whatever signs a writer begins with, they are the first level below the title; there are two.
        return min(self._medium.heading + (int(token.tag[1:]) > self._first_level), DEEPEST)

    def table_open(self, *_: Any) -> str:
        self._tables += 1
        return (
            f'<div class="g-scroll" role="region" tabindex="0" aria-label="Table {self._tables}">'
            '<table class="g-table g-wide">\n'
        )

    def table_close(self, *_: Any) -> str:
        return "</table></div>\n"

    def th_open(self, every: Sequence[Token], at: int, *_: Any) -> str:
        # A heading without words would be read out as one.
        return f'<th scope="col"{_figures(every[at])}>' if _heads(every, at) else "<td>"

    def th_close(self, every: Sequence[Token], at: int, *_: Any) -> str:
        return "</th>" if _heads(every, at - 2) else "</td>"

    def td_open(self, every: Sequence[Token], at: int, *_: Any) -> str:
        return f"<td{_figures(every[at])}>"

    def fence(self, every: Sequence[Token], at: int, *_: Any) -> str:
        return f'<pre class="g-wrap"><code>{escape(every[at].content)}</code></pre>\n'

    def code_block(self, every: Sequence[Token], at: int, *_: Any) -> str:
        return self.fence(every, at)

    def footnote_ref(self, every: Sequence[Token], at: int, *_: Any) -> str:
        note = every[at].meta
        number, again = int(note["id"]) + 1, int(note["subId"])
        back = f' id="{self._note(number)}-{again}"'
        link = Markup(f'<sup><a href="#{self._note(number)}"{back} aria-label="Footnote {number}">[{number}]</a></sup>')
        return self._put(link).content

    def footnote_block_open(self, *_: Any) -> str:
        return '<section class="g-notes" aria-label="Footnotes">\n<ol>\n'

    def footnote_block_close(self, *_: Any) -> str:
        return "</ol>\n</section>\n"

    def footnote_open(self, every: Sequence[Token], at: int, *_: Any) -> str:
        return f'<li id="{self._note(int(every[at].meta["id"]) + 1)}">'

    def footnote_close(self, *_: Any) -> str:
        return "</li>\n"

    def footnote_anchor(self, every: Sequence[Token], at: int, *_: Any) -> str:
        number, again = int(every[at].meta["id"]) + 1, int(every[at].meta["subId"])
        words = "Back to the text" + (f", place {again + 1}" if again else "")
        return self._put(Markup(f' <a href="#{self._note(number)}-{again}" aria-label="{words}">↩</a>')).content

    def _note(self, number: int) -> str:
        """The id of a footnote: of each instalment its own, since several may stand on one page."""
        return f"note-{self._told.slug}.{number}"  # no slug has a dot


def _says(children: Sequence[Token]) -> bool:
    """Whether a line has anything to read beside its pictures."""
    return any(token.content.strip() for token in children if token.type != "softbreak")


def _is_empty_link(line: Sequence[Token], at: int) -> bool:
    """Whether a token is an end of a link round nothing but a picture."""
    pair = [token.type for token in line[at : at + 2]], [token.type for token in line[max(at - 1, 0) : at + 1]]
    return ["link_open", "link_close"] in pair


def _heads(every: Sequence[Token], at: int) -> bool:
    return at + 1 < len(every) and bool(every[at + 1].content.strip())


def _figures(token: Token) -> str:
    return ' class="g-num"' if "right" in str(token.attrGet("style") or "") else ""
