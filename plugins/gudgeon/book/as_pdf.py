"""A book as PDF, by WeasyPrint: contents and index with page numbers, running heads. The same book gives the same bytes."""

import io
from pathlib import Path
from typing import Literal
from xml.etree import ElementTree
from xml.etree.ElementTree import Element

import weasyprint
from weasyprint.urls import URLFetcher, URLFetcherResponse

from gudgeon.book.binding import Bound, Term, bind, index_tree, parsed
from gudgeon.book.drawing_style import drawing_style
from gudgeon.book.manuscript import Book

Paper = Literal["a4", "letter"]
PAPERS: dict[Paper, str] = {"a4": "A4", "letter": "Letter"}
HERE = "https://book.invalid/"  # a name that leads nowhere (RFC 2606): only the book's own pictures have an address


class _OwnPictures(URLFetcher):
    """Hands out the book's own pictures and nothing else: no file, no address of the net."""

    def __init__(self, book: Book):
        super().__init__(allowed_protocols=("https",))
        self._pictures = {f"{HERE}pictures/{picture.name}": picture.content for picture in book.pictures}

    def fetch(self, url: str, headers=None) -> URLFetcherResponse:
        """A picture of the book. Raises ValueError for everything else."""
        if url not in self._pictures:
            raise ValueError("a book takes nothing from elsewhere")
        return URLFetcherResponse(url, io.BytesIO(self._pictures[url]), {"Content-Type": "image/jpeg"})


def as_pdf(book: Book, terms: list[Term], paper: Paper = "a4") -> bytes:
    """The book on paper of one of PAPERS."""
    document = weasyprint.HTML(string=_document(book, terms, paper), base_url=HERE, url_fetcher=_OwnPictures(book))
    written = document.write_pdf(pdf_identifier=book.identifier[:32].encode(), pdf_variant="pdf/ua-1")
    assert written is not None, "without a target the bytes are handed back"
    return written


def _document(book: Book, terms: list[Term], paper: Paper) -> str:
    bound = bind(book, terms)
    root = Element("html", {"lang": book.language})
    head = ElementTree.SubElement(root, "head")
    ElementTree.SubElement(head, "title").text = book.title
    for name, value in (("author", ", ".join(book.authors)), ("dcterms.created", book.day), ("generator", "Gudgeon")):
        if value:
            ElementTree.SubElement(head, "meta", {"name": name, "content": value})
    style = (Path(__file__).parent / "assets" / "book.css").read_text(encoding="utf-8")
    sheet = ElementTree.SubElement(head, "style")
    sheet.text = f"@page {{ size: {PAPERS[paper]}; }}\n{style}"
    body = ElementTree.SubElement(root, "body")
    running = ElementTree.SubElement(body, "p", {"class": "running-title"})
    running.text = book.title
    body.append(parsed(book.cover))
    body.append(_contents(bound))
    for chapter in bound:
        body.append(chapter.tree)
    body.append(index_tree(bound, terms))
    for drawing in [element for element in root.iter() if element.tag == "svg"]:
        look = Element("style")
        look.text = drawing_style()
        drawing.insert(0, look)
    return "<!DOCTYPE html>\n" + ElementTree.tostring(root, encoding="unicode", method="html")


def _contents(bound: list[Bound]) -> Element:
    tree = Element("nav", {"class": "contents", "id": "contents"})
    ElementTree.SubElement(tree, "h2", {"class": "reference"}).text = "Contents"
    entries = ElementTree.SubElement(tree, "ul")
    for place, title, is_story in [
        *((chapter.chapter.id, chapter.chapter.title, chapter.chapter.is_story) for chapter in bound),
        ("index", "Index", False),
    ]:
        entry = ElementTree.SubElement(entries, "li", {"class": "story" if is_story else "reference"})
        ElementTree.SubElement(entry, "a", {"href": f"#{place}"}).text = title
    return tree
