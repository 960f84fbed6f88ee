"""A feed and its entries as plain data, before either form of file is written."""

import datetime as dt
import re
import uuid
from dataclasses import dataclass, field

MOST_ENTRIES = 50  # the newest; what is older stays on the site
# Ids are made from this and from words of the records, so that they never hang on an address (decision 0057).
NAMESPACE = uuid.UUID("5f24cd7e-8676-580b-a855-1dbf9e3eead8")
# What XML 1.0 lets stand in a document (its production 2); all else is left out.
_NOT_IN_XML = re.compile("[^\t\n\r\u0020-\ud7ff\ue000-\ufffd\U00010000-\U0010ffff]")


@dataclass(frozen=True)
class Entry:
    """One instalment. content: safe HTML with whole addresses; about: (id, name) of what it tells of; licence: by SPDX;
    updated: the day of its newest correction,
    or on which a picture of it was withdrawn; source: the feed of its build, where it stands in another."""

    id: str
    address: str
    title: str
    published: dt.date
    updated: dt.date
    author: str
    summary: str
    content: str
    about: tuple[tuple[str, str], ...] = ()
    licence: str | None = None
    image: str | None = None
    source: "Feed | None" = None


@dataclass(frozen=True)
class Feed:
    """A feed. home: the page that it follows; atom, json: where its two files stand; all whole addresses. entries: oldest first."""

    id: str
    title: str
    about: str
    home: str
    atom: str
    json: str
    entries: tuple[Entry, ...] = field(default=())

    @property
    def newest(self) -> tuple[Entry, ...]:
        """The entries that are written, newest first."""
        newest_first = sorted(reversed(self.entries), key=lambda entry: entry.published.toordinal() * -1)
        return tuple(newest_first[:MOST_ENTRIES])

    @property
    def updated(self) -> dt.date:
        """The newest day of any entry; a feed is only written where it has one."""
        return max(entry.updated for entry in self.entries)


def permanent_id(*words: str) -> str:
    """An id that is always the same for the same words, and unlike any other."""
    return f"urn:uuid:{uuid.uuid5(NAMESPACE, chr(0).join(words))}"


def moment(day: dt.date) -> str:
    """A day as the standards want it. Records hold days: noon in UTC is that day nearly everywhere on Earth."""
    return f"{day.isoformat()}T12:00:00Z"


def allowed(words: str) -> str:
    """Words without what XML cannot hold."""
    return _NOT_IN_XML.sub("", words)
