"""A book as EPUB 3: a zip of XHTML that any reader of books opens. The same book gives the same bytes."""

import io
import zipfile
from pathlib import Path
from xml.etree import ElementTree
from xml.etree.ElementTree import Element

from gudgeon.book.binding import Term, bind, index_tree, parsed
from gudgeon.book.drawing_style import drawing_style
from gudgeon.book.manuscript import Book

XHTML = "http://www.w3.org/1999/xhtml"
OPS = "http://www.idpf.org/2007/ops"
FIRST_DAY = (1980, 1, 1, 0, 0, 0)  # the oldest that a zip can say: the same for all


def as_epub(book: Book, terms: list[Term]) -> bytes:
    """The book as a file for readers of books."""
    bound = bind(book, terms)
    trees = {"cover": (book.title, parsed(book.cover))}
    trees |= {chapter.chapter.id: (chapter.chapter.title, chapter.tree) for chapter in bound}
    trees["index"] = ("Index", index_tree(bound, terms))
    files = {f"file-{number:03}.xhtml": tree for number, tree in enumerate(trees.values())}
    place_of = {
        element.get("id"): name for name, (_, tree) in files.items() for element in tree.iter() if element.get("id")
    }
    for _, tree in files.values():
        _link_across(tree, place_of)
    chapters = dict(zip(files, trees.values(), strict=True))
    written = {
        "META-INF/container.xml": _container(),
        "OEBPS/book.opf": _package(book, chapters),
        "OEBPS/contents.xhtml": _contents(book, chapters),
        "OEBPS/book.css": _style(),
        **{f"OEBPS/{name}": _page(book, title, tree) for name, (title, tree) in chapters.items()},
        **{f"OEBPS/pictures/{picture.name}": picture.content for picture in book.pictures},
    }
    out = io.BytesIO()
    with zipfile.ZipFile(out, "w") as zipped:
        zipped.writestr(zipfile.ZipInfo("mimetype", FIRST_DAY), b"application/epub+zip", zipfile.ZIP_STORED)
        for name, content in written.items():
            zipped.writestr(zipfile.ZipInfo(name, FIRST_DAY), content, zipfile.ZIP_DEFLATED)
    return out.getvalue()


def _link_across(tree: Element, place_of: dict) -> None:
    """A place in another file is named with its file."""
    for element in tree.iter("a"):
        href = element.get("href", "")
        if href.startswith("#"):
            element.set("href", f"{place_of[href[1:]]}{href}")


def _page(book: Book, title: str, tree: Element) -> bytes:
    root = Element("html", {"xmlns": XHTML, "lang": book.language, "xml:lang": book.language})
    head = ElementTree.SubElement(root, "head")
    ElementTree.SubElement(head, "title").text = title
    ElementTree.SubElement(head, "link", {"rel": "stylesheet", "type": "text/css", "href": "book.css"})
    ElementTree.SubElement(root, "body").append(tree)
    return _xml(root)


def _contents(book: Book, chapters: dict[str, tuple[str, Element]]) -> bytes:
    root = Element("html", {"xmlns": XHTML, "xmlns:epub": OPS, "lang": book.language, "xml:lang": book.language})
    ElementTree.SubElement(ElementTree.SubElement(root, "head"), "title").text = book.title
    nav = ElementTree.SubElement(ElementTree.SubElement(root, "body"), "nav", {"epub:type": "toc", "id": "toc"})
    ElementTree.SubElement(nav, "h2").text = "Contents"
    entries = ElementTree.SubElement(nav, "ol")
    for name, (title, _) in chapters.items():
        ElementTree.SubElement(ElementTree.SubElement(entries, "li"), "a", {"href": name}).text = title
    return _xml(root)


def _package(book: Book, chapters: dict[str, tuple[str, Element]]) -> bytes:
    root = Element(
        "package",
        {
            "xmlns": "http://www.idpf.org/2007/opf",
            "version": "3.0",
            "unique-identifier": "id",
            "xml:lang": book.language,
        },
    )
    told = ElementTree.SubElement(root, "metadata", {"xmlns:dc": "http://purl.org/dc/elements/1.1/"})
    ElementTree.SubElement(told, "dc:identifier", {"id": "id"}).text = f"urn:sha256:{book.identifier}"
    ElementTree.SubElement(told, "dc:title").text = book.title
    ElementTree.SubElement(told, "dc:language").text = book.language
    for author in book.authors:
        ElementTree.SubElement(told, "dc:creator").text = author
    ElementTree.SubElement(told, "dc:publisher").text = book.club
    if book.day:
        ElementTree.SubElement(told, "dc:date").text = book.day
    if book.licence:
        ElementTree.SubElement(told, "dc:rights").text = book.licence
    metas = [("dcterms:modified", f"{book.day or '1980-01-01'}T00:00:00Z")]
    metas += [("schema:accessMode", mode) for mode in ("textual", "visual")]
    metas += [("schema:accessibilityFeature", what) for what in ("alternativeText", "index", "tableOfContents")]
    metas += [("schema:accessibilityHazard", "none"), ("schema:accessModeSufficient", "textual,visual")]
    metas += [("schema:accessibilitySummary", "Every picture and drawing is described; nothing moves.")]
    for name, value in metas:
        ElementTree.SubElement(told, "meta", {"property": name}).text = value
    manifest = ElementTree.SubElement(root, "manifest")

    def item(id: str, href: str, kind: str, properties: str = "") -> None:
        more = {"properties": properties} if properties else {}
        ElementTree.SubElement(manifest, "item", {"id": id, "href": href, "media-type": kind, **more})

    item("contents", "contents.xhtml", "application/xhtml+xml", "nav")
    item("style", "book.css", "text/css")
    for name, (_, tree) in chapters.items():
        item(name.partition(".")[0], name, "application/xhtml+xml", "svg" if tree.find(".//svg") is not None else "")
    for number, picture in enumerate(book.pictures):
        item(f"picture-{number}", f"pictures/{picture.name}", "image/jpeg")
    spine = ElementTree.SubElement(root, "spine")
    for name in chapters:
        ElementTree.SubElement(spine, "itemref", {"idref": name.partition(".")[0]})
        if name == "file-000.xhtml":
            ElementTree.SubElement(spine, "itemref", {"idref": "contents"})
    return _xml(root)


def _container() -> bytes:
    root = Element("container", {"version": "1.0", "xmlns": "urn:oasis:names:tc:opendocument:xmlns:container"})
    files = ElementTree.SubElement(root, "rootfiles")
    ElementTree.SubElement(
        files, "rootfile", {"full-path": "OEBPS/book.opf", "media-type": "application/oebps-package+xml"}
    )
    return _xml(root)


def _style() -> bytes:
    style = (Path(__file__).parent / "assets" / "screen.css").read_text(encoding="utf-8")
    return f"{style}\n{drawing_style()}\n".encode()


def _xml(root: Element) -> bytes:
    return b'<?xml version="1.0" encoding="utf-8"?>\n' + ElementTree.tostring(root, encoding="utf-8")
