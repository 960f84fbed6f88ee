"""From a build's records and findings to the bytes of its book."""

from collections.abc import Mapping
from typing import Literal

from gudgeon.assess.findings import BuildFindings, RuleEvidence
from gudgeon.assess.findings.told import NumberTold
from gudgeon.book.as_epub import as_epub
from gudgeon.book.as_pdf import Paper, as_pdf
from gudgeon.book.binding import terms_of
from gudgeon.book.links import BookRenderer
from gudgeon.book.manuscript import manuscript
from gudgeon.pages.citations import Bibliography
from gudgeon.pages.view import View
from gudgeon.records.model import Build, Knowledge


def make_book(
    build: Build,
    findings: BuildFindings,
    shelf: Knowledge,
    numbers: tuple[NumberTold, ...],
    form: Literal["pdf", "epub"],
    paper: Paper = "a4",
    evidence: Mapping[str, RuleEvidence] | None = None,
) -> bytes:
    """The book of a build as PDF or EPUB. numbers: tied ones of its story, worked out; paper: for PDF alone;
    evidence: rule -> what engines tell of it; of what is not there nothing is said."""
    view = View(
        build, findings, shelf, BookRenderer(Bibliography(shelf.sources)), numbers=numbers, evidence=evidence or {}
    )
    book = manuscript(view)
    terms = terms_of(
        ((part_id, part.name) for part_id, part in build.parts.items()),
        ((fit.id, fit.name) for fit in findings.fits.values()),
        shelf.words,
    )
    return as_pdf(book, terms, paper) if form == "pdf" else as_epub(book, terms)
