"""Citations from the club's bibliography (CSL-JSON), set by citeproc."""

import warnings

import nh3
from markupsafe import Markup

BASES = ("published", "seen in a secondary print", "common practice", "from memory")


class Bibliography:
    """The club's sources as citations and as a list."""

    def __init__(self, sources: dict[str, dict]):
        self.sources = sources
        self._texts = _set(sources) if sources else {}

    def entry(self, key: str) -> Markup:
        """The whole entry."""
        return self._texts.get(key, ("", Markup("")))[1]

    def cite(self, key: str | None, where: str | None = None, basis: str | None = None) -> Markup:
        """A citation with its place and basis: a link into the list of sources, or the honest words where there is none."""
        if key is None or key not in self.sources:
            return Markup("<cite>{}</cite>").format({None: "no source", "derived": "derived here", "common practice": "common practice, no source"}.get(basis or key, basis or key))
        shown = basis or self.basis(key)
        words = "" if shown == "published" else f" ({shown})"
        return Markup('<cite><a href="{}">{}</a>{}{}</cite>').format(f"SOURCES#{key}", self._texts[key][0], f", {where}" if where else "", words)

    def basis(self, key: str) -> str:
        """On what ground a source stands here."""
        return self.sources[key].get("custom", {}).get("basis", "published")


def _set(sources: dict[str, dict]) -> dict[str, tuple[str, Markup]]:
    # citeproc is slow to import; a run without sources does without it.
    from citeproc import Citation, CitationItem, CitationStylesBibliography, CitationStylesStyle, formatter
    from citeproc.source.json import CiteProcJSON

    with warnings.catch_warnings():
        warnings.simplefilter("ignore")  # "custom" is ours and CSL's own escape hatch; citeproc-py warns of it
        plain = [{key: value for key, value in entry.items() if key not in ("custom", "note")} for entry in sources.values()]
        bibliography = CitationStylesBibliography(CitationStylesStyle("harvard-cite-them-right", validate=False), CiteProcJSON(plain), formatter.html)
        cites = {key: Citation([CitationItem(key)]) for key in sources}
        for cite in cites.values():
            bibliography.register(cite)
        entries = dict(zip(bibliography.keys, (str(entry) for entry in bibliography.bibliography()), strict=True))
        return {key: (nh3.clean(str(bibliography.cite(cite, lambda item: None)), tags=set()).strip("()"),
                      Markup(nh3.clean(entries[key].replace("..", "."), tags={"i"}))) for key, cite in cites.items()}
