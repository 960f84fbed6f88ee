"""Citations from the club's bibliography (CSL-JSON), set by citeproc."""

import re
import warnings
from collections.abc import Callable
from typing import Any

import nh3
from citeproc import Citation, CitationItem, CitationStylesBibliography, CitationStylesStyle, formatter
from citeproc.source.json import CiteProcJSON
from markupsafe import Markup

LIST_OF_SOURCES = "sources.md"
BASES = ("published", "seen in a secondary print", "common practice", "from memory")


class Bibliography:
    """The club's sources as citations and as a list."""

    def __init__(self, sources: dict[str, dict]):
        self.sources = sources
        self._texts = _set(sources) if sources else {}

    def entry(self, key: str) -> Markup:
        """The whole entry."""
        return self._texts.get(key, ("", Markup("")))[1]

    def cite(
        self, link: Callable[[str], str], key: str | None, where: str | None = None, basis: str | None = None
    ) -> Markup:
        """A citation with its place and basis: a link into the list of sources, or the honest words where there is none.

        link: gives the address of a target as seen from the page that cites.
        """
        if key is None or key not in self.sources:
            return Markup("<cite>{}</cite>").format(
                {None: "no source", "derived": "derived here", "common practice": "common practice, no source"}.get(
                    basis or key, basis or key
                )
            )
        shown = basis or self.basis(key)
        words = "" if shown == "published" else f" ({shown})"
        return Markup('<cite><a href="{}">{}</a>{}{}</cite>').format(
            link(f"{LIST_OF_SOURCES}#{key}"), self._texts[key][0], f", {where}" if where else "", words
        )

    def basis(self, key: str) -> str:
        """On what ground a source stands here."""
        return self.sources[key].get("custom", {}).get("basis", "published")


def _set(sources: dict[str, dict]) -> dict[str, tuple[Markup, Markup]]:
    """Key -> (short citation, whole entry)."""
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")  # "custom" is ours and CSL's own escape hatch; citeproc-py warns of it
        plain = [
            {key: value for key, value in entry.items() if key not in ("custom", "note")} for entry in sources.values()
        ]
        bibliography = CitationStylesBibliography(
            CitationStylesStyle("harvard-cite-them-right", validate=False), CiteProcJSON(plain), formatter.html
        )
        for key in sources:
            bibliography.register(Citation([CitationItem(key)]))
        entries = dict(
            zip(
                bibliography.keys,
                (nh3.clean(str(entry), tags={"i"}) for entry in bibliography.bibliography()),
                strict=True,
            )
        )
    return {key: (_short(sources[key], entry), Markup(entry)) for key, entry in entries.items()}


def _short(source: dict[str, Any], entry: str) -> Markup:
    """A standard by its number; any other work by author and year, with which its entry begins."""
    if source.get("type") == "standard" and source.get("number"):
        return Markup("{}").format(str(source["number"]))
    author_and_year = re.match(r".*?\((?:\d{4}|no date)\)", entry)
    return Markup(re.sub(r"<[^>]*>", "", author_and_year[0] if author_and_year else entry.partition("\n")[0]))
