"""Chapters as trees of XHTML: links that lead nowhere in the book are taken out, and the index finds its places."""

import re
from collections.abc import Iterable, Iterator
from dataclasses import dataclass, field
from xml.etree import ElementTree
from xml.etree.ElementTree import Element

import tinyhtml5

from gudgeon.book.links import NOWHERE, anchor
from gudgeon.book.manuscript import Book, Chapter
from gudgeon.wording import slug

SVG = "http://www.w3.org/2000/svg"
NAMED_IN = ("p", "li", "td", "th", "figcaption", "dd")  # a place of the index begins at one of these
CONTROL = re.compile("[\x00-\x08\x0b\x0c\x0e-\x1f\ufffe\uffff]")  # XML has no way to write these


@dataclass(frozen=True)
class Term:
    """What the index lists. says: as it stands there; names: by which the text calls it; place: of its own, if it has one."""

    says: str
    names: tuple[str, ...]
    place: str | None = None


@dataclass
class Bound:
    """A chapter bound: its tree (a section), and the places in it by term of the index."""

    chapter: Chapter
    tree: Element
    places: dict[str, str] = field(default_factory=dict)


def bind(book: Book, terms: Iterable[Term]) -> list[Bound]:
    """The chapters in order, with their places for the index."""
    patterns = [(term, _pattern(term.names)) for term in terms]
    chapters = [_bound(chapter, patterns) for chapter in book.chapters]
    known = {element.get("id") for bound in chapters for element in bound.tree.iter()}
    for bound in chapters:
        _without_lost_links(bound.tree, known)
    return chapters


def parsed(html: str) -> Element:
    """Safe HTML as a tree: a div without namespaces; drawings keep theirs as an attribute, and have no links."""
    document = tinyhtml5.parse(CONTROL.sub("", f"<!DOCTYPE html><div>{html}</div>"), namespace_html_elements=False)
    assert isinstance(document, Element), "a document has a root"
    tree = document.find("body/div")
    assert tree is not None, "what was written as a div is one"
    for drawing in [element for element in tree.iter() if element.tag == f"{{{SVG}}}svg"]:
        _unwrap(drawing, lambda element: element.tag == f"{{{SVG}}}a")
        for element in drawing.iter():
            element.tag = str(element.tag).removeprefix(f"{{{SVG}}}")
        drawing.set("xmlns", SVG)
        drawing.set("role", "img")
    return tree


def _bound(chapter: Chapter, patterns: list[tuple[Term, re.Pattern]]) -> Bound:
    inside = parsed(chapter.html)
    tree = Element("section", {"id": chapter.id, "class": "chapter"})
    title = ElementTree.SubElement(tree, "h2", {"class": "story" if chapter.is_story else "reference"})
    title.text = chapter.title
    tree.extend(inside)
    for region in tree.iter():
        for plain in ("tabindex", "aria-label", "data-heading", "role"):
            if region.tag == "div" or plain == "data-heading":
                region.attrib.pop(plain, None)
    bound = Bound(chapter, tree)
    for number, element in enumerate(element for element in tree.iter() if element.tag in NAMED_IN):
        words = " ".join("".join(element.itertext()).split())
        for term, pattern in patterns:
            if term.says not in bound.places and pattern.search(words):
                place = element.get("id") or f"{chapter.id}-{number}"
                element.set("id", place)
                bound.places[term.says] = place
    return bound


def _pattern(names: Iterable[str]) -> re.Pattern:
    return re.compile("|".join(rf"(?<![\w-]){re.escape(name)}(?:s|es)?(?![\w-])" for name in names), re.IGNORECASE)


def _without_lost_links(tree: Element, known: set[str | None]) -> None:
    """Take out the links to what the book does not have; their words stay."""

    def lost(element: Element) -> bool:
        href = element.get("href", "")
        return element.tag == "a" and (href == NOWHERE or not href or (href[0] == "#" and href[1:] not in known))

    _unwrap(tree, lost)


def _unwrap(tree: Element, is_lost) -> None:
    for parent in list(tree.iter()):
        if any(is_lost(child) for child in parent):
            children = list(parent)
            for child in children:
                parent.remove(child)
            _put_in(parent, children, is_lost)


def _put_in(parent: Element, children: list[Element], is_lost) -> None:
    """Put children in, those that are lost as what is in them; each once, from the first to the last."""
    waiting: list[Element | str] = list(reversed(children))
    while waiting:
        child = waiting.pop()
        if isinstance(child, str):
            _add_text(parent, child)
        elif is_lost(child):
            waiting += [child.tail or "", *reversed(child), child.text or ""]
        else:
            parent.append(child)


def _add_text(parent: Element, text: str) -> None:
    if len(parent):
        parent[-1].tail = (parent[-1].tail or "") + text
    else:
        parent.text = (parent.text or "") + text


def index_of(bound: list[Bound], terms: Iterable[Term]) -> Iterator[tuple[str, list[tuple[str, str, bool]]]]:
    """(term, [(place, title of its chapter, whether it is the main place)]) of every term that the book has, by the alphabet."""
    for term in sorted(terms, key=lambda term: (term.says.casefold(), term.says)):
        places: list[tuple[str, str, bool]] = []
        for chapter in bound:
            own = any(element.get("id") == term.place for element in chapter.tree.iter()) if term.place else False
            if own and term.place:
                places.append((term.place, chapter.chapter.title, True))
            elif chapter.chapter.is_story and term.says in chapter.places:
                places.append((chapter.places[term.says], chapter.chapter.title, False))
        if places:
            yield term.says, places


def index_tree(bound: list[Bound], terms: Iterable[Term]) -> Element:
    """The index as a chapter."""
    tree = Element("section", {"id": "index", "class": "chapter"})
    ElementTree.SubElement(tree, "h2", {"class": "reference"}).text = "Index"
    entries = ElementTree.SubElement(tree, "ul", {"class": "index"})
    for says, places in index_of(bound, terms):
        entry = ElementTree.SubElement(entries, "li")
        entry.text = f"{says} "
        for number, (place, title, main) in enumerate(places):
            to = ElementTree.SubElement(entry, "a", {"href": f"#{place}", "class": "main" if main else "other"})
            ElementTree.SubElement(to, "span", {"class": "where"}).text = title
            to.tail = ", " if number + 1 < len(places) else None
    return tree


def terms_of(parts: Iterable[tuple[str, str]], fits: Iterable[tuple[str, str]], words) -> list[Term]:
    """What the index lists: parts and fits by (id, name), and words of the trade; what has one name is one entry."""
    terms = [Term(name, (name,), f"part-{slug(part)}") for part, name in parts]
    terms += [Term(name, (name, fit), f"fit-{slug(fit)}") for fit, name in fits]
    terms += [
        Term(word.word, tuple(name for name in (word.word, word.us, word.uk) if name), f"word-{anchor(word.word)}")
        for word in words
    ]
    return list({term.says.casefold(): term for term in reversed(terms)}.values())
