"""What stands in the head of a page for programs: where it can be followed, and what a shared link to it shows (Open Graph)."""

import datetime as dt
from collections.abc import Iterable
from dataclasses import dataclass
from html import escape

from gudgeon.feeds import atom, json_feed
from gudgeon.feeds.feed import Feed, allowed


@dataclass(frozen=True)
class SharedPage:
    """A page as a shared link shows it. address, image: whole; size: of the image in pixels; told: the day of an instalment."""

    title: str
    description: str
    address: str
    image: str
    size: tuple[int, int]
    alt: str
    told: dt.date | None = None


@dataclass(frozen=True)
class Head:
    """What a page's head tells programs. description: quoted for an attribute, empty where it has none of its own; lines: as they
    stand there."""

    description: str = ""
    lines: str = ""

    def with_lines(self, lines: str) -> "Head":
        """The same with more lines."""
        return Head(self.description, "\n".join(filter(None, (self.lines, lines))))


def shared(page: SharedPage) -> Head:
    """The head of a page that is shared (https://ogp.me/)."""
    said = [
        ("og:type", "article" if page.told else "website"),
        ("og:title", page.title),
        ("og:description", page.description),
        ("og:url", page.address),
        ("og:image", page.image),
        ("og:image:type", "image/png"),
        ("og:image:width", str(page.size[0])),
        ("og:image:height", str(page.size[1])),
        ("og:image:alt", page.alt),
        *([("article:published_time", page.told.isoformat())] if page.told else []),
    ]
    lines = "\n".join(f'<meta property="{name}" content="{_quoted(words)}">' for name, words in said)
    return Head(_quoted(page.description), lines)


def followed(feeds: Iterable[tuple[str, Feed]]) -> str:
    """The lines by which a reader's program sees what can be followed from a page, each feed by a name."""
    # Two words: beside the address of a link that is "alternate" and nothing else, the theme's script asks for a sitemap.
    return "\n".join(
        f'<link rel="alternate feed" type="{kind}" title="{_quoted(name)}" href="{_quoted(address)}">'
        for name, feed in feeds
        for kind, address in ((atom.TYPE, feed.atom), (json_feed.TYPE, feed.json))
    )


def _quoted(words: str) -> str:
    return escape(" ".join(allowed(words).split()))
