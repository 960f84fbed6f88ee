"""A feed as Atom (RFC 4287), written by the standard library, which escapes all words."""

from xml.etree import ElementTree
from xml.etree.ElementTree import Element, SubElement

from gudgeon.feeds.feed import Entry, Feed, allowed, moment

TYPE = "application/atom+xml"
LICENCES = "https://spdx.org/licenses/"
_NAMESPACE = "http://www.w3.org/2005/Atom"


def atom(feed: Feed) -> bytes:
    """The file."""
    root = Element("feed", {"xmlns": _NAMESPACE})
    _head(root, feed)
    _words(root, "subtitle", feed.about)
    SubElement(root, "link", {"rel": "alternate", "type": "text/html", "href": feed.home})
    SubElement(root, "generator").text = "Gudgeon"
    for entry in feed.newest:
        _entry(root, entry)
    ElementTree.indent(root, " ")
    return ElementTree.tostring(root, encoding="utf-8", xml_declaration=True) + b"\n"


def _head(within: Element, feed: Feed) -> None:
    """What tells a feed from all others: its id, its name, its day, its own address."""
    _words(within, "id", feed.id)
    _words(within, "title", feed.title)
    _words(within, "updated", moment(feed.updated))
    SubElement(within, "link", {"rel": "self", "type": TYPE, "href": feed.atom})


def _entry(root: Element, entry: Entry) -> None:
    element = SubElement(root, "entry")
    _words(element, "id", entry.id)
    _words(element, "title", entry.title)
    _words(element, "published", moment(entry.published))
    _words(element, "updated", moment(entry.updated))
    _words(SubElement(element, "author"), "name", entry.author)
    SubElement(element, "link", {"rel": "alternate", "type": "text/html", "href": entry.address})
    for id, name in entry.about:
        SubElement(element, "category", {"term": allowed(id), "label": allowed(name)})
    if entry.licence:
        _words(element, "rights", entry.licence)
    _words(element, "summary", entry.summary)
    _words(element, "content", entry.content, type="html")
    if entry.source:
        _head(SubElement(element, "source"), entry.source)


def _words(within: Element, tag: str, words: str, **attributes: str) -> None:
    SubElement(within, tag, attributes).text = allowed(words)
