"""How what stands in the book leads to other places in it: a page of the site is a place in the book, or nothing."""

import re
from dataclasses import dataclass
from posixpath import basename

from jinja2 import ChoiceLoader, Environment, PackageLoader
from markupsafe import Markup

from gudgeon.pages.page import Renderer, environment

NOWHERE = "#nowhere"  # links to it are taken out again when the book is bound


@dataclass(frozen=True)
class BookRenderer(Renderer):
    """Renders the book's templates; every address is a place in the book."""

    def address(self, uri: str, target: str) -> str:
        """The place in the book that shows what a page of the site shows; NOWHERE where the book has none."""
        path, _, anchor = target.partition("#")
        folder, name = path.rpartition("/")[0], basename(path).removesuffix(".md")
        if path == "sources.md" and anchor:
            return f"#source-{anchor}"
        if path == "rules.md" and anchor:
            return f"#rule-{anchor}"
        for kind, of in (("/parts", "part"), ("/fits", "fit"), ("/story", "told")):
            if folder.endswith(kind) and name != "index":
                return f"#{of}-{name}"
        return NOWHERE

    def text(self, uri: str, template: str, **values) -> str:
        """A template of the book as HTML."""

        def link(target: str) -> str:
            return self.address(uri, target)

        def cite(key: str | None, where: str | None = None, basis: str | None = None) -> Markup:
            return self.bibliography.cite(link, key, where, basis)

        return _environment().get_template(template).render(uri=uri, link=link, cite=cite, **values)


def _environment() -> Environment:
    """The pages' own filters and pieces, with the book's templates before them."""
    pages = environment()
    loader = pages.loader
    assert loader is not None, "the pages have templates"
    book = pages.overlay(loader=ChoiceLoader([PackageLoader("gudgeon.book", "templates"), loader]))
    book.filters = {**pages.filters, "anchor": anchor}
    return book


def anchor(words: str) -> str:
    """Words as an id: letters, digits and hyphens."""
    return re.sub(r"[^a-z0-9]+", "-", words.lower()).strip("-")
