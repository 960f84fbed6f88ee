"""The review slip as Markdown for a pull request: a table, and the full detail folded. Contributors' text is escaped."""

import re
from urllib.parse import quote

from gudgeon.assess.findings import Source
from gudgeon.review.as_text import MOST, other_sections
from gudgeon.review.phrases import FitLine, fit_line, headline, in_order, lines
from gudgeon.review.slip import ReviewSlip

MARK = "<!-- gudgeon review slip -->"  # by this a forge's job finds its own comment again
LONGEST = 60_000  # characters; forges refuse comments of more than about 65,000
_HEADINGS = ("Fit", "Was → now", "Wanted", "Place", "Chance out", "At", "Hot least", "Cause")


def slip_markdown(slip: ReviewSlip, links: str | None = None) -> str:
    """Markdown of the slip: at most 15 lines, then the full detail folded.

    links: address of the files in a forge, such as https://forge.example/club/builds/blob/0123abc/; every fit then links
    to its line.
    """
    below = lines(slip)
    fits = in_order(slip)
    head = [f"**{_safe(headline(slip))}** {_safe(slip.head)} against {_safe(slip.base)}.", ""]
    room = MOST - len(head) - 2 - (1 if below else 0) - len(below) - 1  # the table's head, and blank lines
    shown = len(fits) if len(fits) <= room else max(room - 1, 0)
    table = _table([fit_line(each, full=False) for each in fits[:shown]], links) if fits else []
    if shown < len(fits):
        table.append(f"| {len(fits) - shown} more below |{' |' * (len(_HEADINGS) - 1)}")
    summary = [
        *head,
        *table,
        *([""] if table and below else []),
        *(f"- **{_safe(what)}**: {_safe(words)}" for what, words in below),
    ]
    text = "\n".join([*summary, ""])
    detail = _detail(slip, fits, links)
    if len(text) + len(detail) > LONGEST:
        detail = "\nThe full detail is too long for a comment: run `gudgeon review --details`.\n"
    return f"{text}{detail}\n{MARK}\n"


def _detail(slip: ReviewSlip, fits, links) -> str:
    out = ["", "<details><summary>Full detail</summary>", ""]
    if fits:
        out += [*_table([fit_line(each) for each in fits], links), ""]
    for title, items in other_sections(slip):
        if items:
            out += [f"**{title}**", "", *(f"- {_safe(item)}" for item in items), ""]
    return "\n".join(
        [*out, "No verdict is computed: a person writes it into the build's reviews.yaml.", "", "</details>", ""]
    )


def _table(fits: list[FitLine], links: str | None) -> list[str]:
    rows = [f"| {' | '.join(_HEADINGS)} |", f"|{' --- |' * len(_HEADINGS)}"]
    for line in fits:
        name = _safe(f"{line.fit.build} {line.fit.id} {line.fit.name}")
        at = "; ".join(_link(_safe(words), source, links) for words, source in line.at)
        moved, wanted, place, chance, hot, cause = (
            _safe(each) for each in (line.moved, line.wanted, line.place, line.chance, line.hot, line.cause)
        )
        name = _link(name, line.fit.source, links)
        rows.append(f"| {name} | {moved} | {wanted} | {place} | {chance} | {at} | {hot} | {cause} |")
    return rows


def _link(words: str, source: Source | None, links: str | None) -> str:
    return f"[{words}]({links}{quote(source.file)}#L{source.line})" if links and source else words


def _safe(text: str) -> str:
    """Text in which no markup works, no address becomes a link, and an @ calls nobody (a word joiner stands behind it)."""
    flat = re.sub(r"[\\`*_{}\[\]<>&|~#^$]", lambda found: f"&#{ord(found[0])};", " ".join(text.split()))
    return flat.replace("@", "@&#8288;").replace("://", ":&#8288;//").replace("www.", "www.&#8288;")
