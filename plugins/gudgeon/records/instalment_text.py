"""The one reader of an instalment's Markdown: its tokens, and the pictures, films and tied numbers in it with their places.

The text is untrusted. It is read in time that grows with its length (decision 0005); raw HTML in it is text.
"""

import functools
import itertools
import re
from collections.abc import Iterator
from dataclasses import dataclass
from typing import Literal, get_args
from urllib.parse import unquote

from markdown_it import MarkdownIt
from markdown_it.token import Token
from markdown_it.utils import OptionsDict
from mdit_py_plugins.footnote import footnote_plugin

from gudgeon.records.problems import Where

MOST_SOUGHT = 40  # addresses of one paragraph that are nowhere in it as they are read: coded otherwise
LONGEST = 60_000  # characters: a long chapter; what is over it stays plain text
TieKind = Literal["fit", "size", "form", "reading", "progress", "left"]  # what they may be: records/ties.py
TIES: tuple[TieKind, ...] = get_args(TieKind)
FILM = "film:"
# A full stop before a small letter or a figure is that of a short form, such as "No. 3".
_SENTENCE_ENDS = re.compile(r"""[.!?]["”’')\]]*\s+(?=["“‘'(\[]*[^\W\d_a-z])|\n""")


@dataclass(frozen=True)
class Shown:
    """A picture where it stands in the text. name: in photos/, or what was written where it is no such name."""

    name: str
    description: str
    caption: str
    where: Where


@dataclass(frozen=True)
class FilmShown:
    """A film where it stands in the text."""

    id: str
    words: str
    where: Where


@dataclass(frozen=True)
class Tie:
    """A number in the text that is tied to what the records say. target: id of the fit, or part.feature; words: as written."""

    kind: TieKind
    target: str
    words: str
    where: Where


@functools.cache
def _markdown() -> MarkdownIt:
    return (
        MarkdownIt("js-default", {"html": False, "maxNesting": 20, "linkify": False})
        .enable("table")
        .use(footnote_plugin, inline=False)
    )


@functools.lru_cache(maxsize=64)
def tokens(body: str) -> tuple[Token, ...]:
    """The tokens of a text; of one that is too long none (it is shown as it was written). They are kept: nobody may change them."""
    return tuple(_markdown().parse(body)) if len(body) <= LONGEST else ()


def options() -> OptionsDict:
    """How the text is read, for who writes it out."""
    return _markdown().options


def plain(body: str, whole: bool = False) -> str:
    """The words of a text on one line; unless they are wanted whole, without headings, pictures, tables and footnotes."""
    words = [word for word, _ in _words_of(body, whole)]
    return " ".join("".join(words).split()) if words else " ".join(body.split()) if len(body) > LONGEST else ""


@dataclass(frozen=True)
class Sentence:
    """A sentence on one line. ties: of the numbers in it, each what it is tied to and its words."""

    words: str
    ties: tuple[tuple[TieKind, str, str], ...]


def sentences(body: str) -> list[Sentence]:
    """The sentences of a text that `plain` gives on one line; the end of a paragraph ends one too."""
    pieces = list(_words_of(body))
    if not pieces:
        words = plain(body)
        return [Sentence(words, ())] if words else []
    text, at = "".join(word for word, _ in pieces), 0
    tied: list[tuple[int, int, tuple[TieKind, str, str]]] = []
    for word, tie in pieces:
        if tie:
            tied.append((at, at + len(word), tie))
        at += len(word)
    ends = [*(match.end() for match in _SENTENCE_ENDS.finditer(text)), len(text)]
    cut = [
        Sentence(
            " ".join(text[start:end].split()),
            tuple(dict.fromkeys(tie for first, last, tie in tied if first < end and last > start)),
        )
        for start, end in itertools.pairwise([0, *ends])
    ]
    return [sentence for sentence in cut if sentence.words]


def _words_of(body: str, whole: bool = False) -> Iterator[tuple[str, tuple[TieKind, str, str] | None]]:
    """The words of a text, each with the tie that it stands in; between blocks stands the end of a line."""
    heading, aside = False, 0
    for block in tokens(body):
        heading = block.type == "heading_open" or heading and block.type != "heading_close"
        aside += {"footnote_block_open": 1, "table_open": 1, "footnote_block_close": -1, "table_close": -1}.get(
            block.type, 0
        )
        if block.type != "inline" or not (whole or not heading and not aside):
            continue
        tie = None
        for index, token in enumerate(block.children or ()):
            address = token.attrGet("href") if token.type == "link_open" else None
            if isinstance(address, str) and (meant := tie_of(address)):
                tie = (*meant, _words(block.children or [], index))
            elif token.type == "link_close":
                tie = None
            if whole or token.type != "image":
                yield (" " if token.type in ("softbreak", "hardbreak") else token.content), tie
        yield "\n", None


def is_film(image: Token) -> bool:
    """Whether a picture in the text stands for a film."""
    return str(image.attrGet("src") or "").startswith(FILM)


def name_of_picture(source: str) -> str:
    """The name in photos/ that a picture's address means: "../photos/a.webp" and "a.webp" are one."""
    return source.removeprefix("../photos/")


def tie_of(address: str) -> tuple[TieKind, str] | None:
    """What a link's address ties its words to; None where it is an ordinary link."""
    kind, colon, target = address.partition(":")
    for known in TIES:
        if colon and kind == known:
            return known, target
    return None


def pictures(body: str, file: str, first_line: int) -> list[Shown]:
    """The pictures in a text, as they come. first_line: of the text in its file, from 1."""
    return [
        Shown(name_of_picture(placed.address), placed.words, str(placed.token.attrGet("title") or ""), placed.where)
        for placed in _placed(body, file, first_line, "image", "src")
        if not is_film(placed.token)
    ]


def films(body: str, file: str, first_line: int) -> list[FilmShown]:
    """The films in a text, as they come."""
    return [
        FilmShown(placed.address.removeprefix(FILM), placed.words, placed.where)
        for placed in _placed(body, file, first_line, "image", "src")
        if is_film(placed.token)
    ]


def ties(body: str, file: str, first_line: int) -> list[Tie]:
    """The numbers of a text that are tied to findings, as they come."""
    return [
        Tie(*meant, placed.words, placed.where)
        for placed in _placed(body, file, first_line, "link_open", "href")
        if (meant := tie_of(placed.address))
    ]


@dataclass(frozen=True)
class Placed:
    """A token with its address, its words and where the address stands."""

    token: Token
    address: str
    words: str
    where: Where


def _placed(body: str, file: str, first_line: int, kind: str, attribute: str) -> Iterator[Placed]:
    """The tokens of a kind inside the lines of a text, each with its address and where that stands in the file."""
    lines = body.split("\n")
    for block in tokens(body):
        if block.type != "inline" or not block.map:
            continue
        top, end = block.map
        at = (top, 0)
        nowhere: set[str] = set()  # looked for once: a text of nothing else would be read as often as it has addresses
        for index, token in enumerate(block.children or ()):
            address = token.attrGet(attribute) if token.type == kind else None
            if not isinstance(address, str):
                continue
            if address not in nowhere and len(nowhere) < MOST_SOUGHT:
                place = _next_place(lines, address, at, end)
                nowhere |= {address} if place is None else set()
                at = place or at
            words = _words(block.children or [], index) if kind == "link_open" else token.content
            yield Placed(token, address, words, Where(file, first_line + at[0], at[1] + 1))
            at = (at[0], at[1] + 1)


def _next_place(lines: list[str], address: str, at: tuple[int, int], end: int) -> tuple[int, int] | None:
    """Where an address stands next in the lines of its block: (line, column), from 0. Letters beyond ASCII stand coded in it."""
    written = unquote(address)
    for line in range(at[0], min(end, len(lines))):
        begin = at[1] if line == at[0] else 0
        column = lines[line].find(address, begin)
        column = lines[line].find(written, begin) if column < 0 else column
        if column >= 0:
            return line, column
    return None


def _words(children: list[Token], opened: int) -> str:
    """The words between the opening of a link and its end."""
    words: list[str] = []
    for token in children[opened + 1 :]:
        if token.type == "link_close":
            break
        words.append(" " if token.type in ("softbreak", "hardbreak") else token.content)
    return re.sub(r"\s+", " ", "".join(words)).strip()
