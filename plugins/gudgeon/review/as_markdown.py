"""The review slip as Markdown for a pull request: bullets that fit a phone, and the full detail folded. Contributors' text is
escaped."""

import html
import re
import textwrap
from urllib.parse import quote

from gudgeon.assess.findings import Source
from gudgeon.review.as_text import other_sections, subject_causes
from gudgeon.review.headline import headline
from gudgeon.review.phrases import (
    blocker_lines,
    fit_line,
    in_order,
    lines,
    subject_line,
    subjects_in_order,
)
from gudgeon.review.slip import FitChange, ReviewSlip

MARK = "<!-- gudgeon review slip -->"  # by this a forge's job finds its own comment again
LONGEST = 60_000  # characters; forges refuse comments of more than about 65,000
COLUMNS, ROWS = 45, 30  # what one screen of a phone holds of a summary
LONGEST_LINE = 180  # characters of one bullet of the summary; the whole stands in the detail


def slip_markdown(slip: ReviewSlip, links: str | None = None) -> str:
    """Markdown of the slip: a summary of one screen of a phone, then the full detail folded.

    links: address of the files in a forge, such as https://forge.example/club/builds/blob/0123abc/; every fit then links
    to its line.
    """
    summary = _summary(slip, links)
    text = "\n".join([*summary, ""])
    detail = _detail(slip, links)
    if len(text) + len(detail) > LONGEST:
        detail = "\nThe full detail is too long for a comment: run `gudgeon review --details`.\n"
    return f"{text}{detail}\n{MARK}\n"


def rows_on_a_phone(text: str) -> int:
    """How many lines a text takes, wrapped at the width of a phone, as it is read: without links' addresses and entities."""
    shown = html.unescape(re.sub(r"\]\([^)]*\)", "]", text)).replace("**", "")
    return sum(max(1, len(textwrap.wrap(line, COLUMNS))) for line in shown.split("\n"))


def _summary(slip: ReviewSlip, links: str | None) -> list[str]:
    """The headline, then bullets in order of weight as far as one screen goes; what does not fit is counted."""
    head = [f"**{_safe(headline(slip))}**", "", f"{_safe(slip.head)} against {_safe(slip.base)}.", ""]
    fits = [(not fit.alarm, 0, _fit_bullet(fit, links)) for fit in in_order(slip)]
    subjects = [
        (
            not change.alarm,
            1,
            f"- {_link(_safe(_short(subject_line(change))), change.source, links)}. Cause: {_safe(_short(subject_causes(change, 2), 90))}",
        )
        for change in subjects_in_order(slip)
    ]
    bullets = [f"- **{_safe(what)}**: {_safe(_short(words))}" for what, words in blocker_lines(slip)]
    changes = sorted([*fits, *subjects], key=lambda entry: entry[:2])
    alarms = [text for calm, _, text in changes if not calm]
    calm = [text for calm, _, text in changes if calm]
    below = [f"- **{_safe(what)}**: {_safe(_short(words))}" for what, words in lines(slip)]
    # Alarms come first; then as many of the calm changes as leave room for what stands below.
    out, left = list(head), 0
    room = ROWS - sum(rows_on_a_phone(line) for line in head) - 1
    kept = 0
    for kind, texts in (
        ("bullet", bullets),
        ("alarm", alarms),
        ("below", below[:3]),
        ("calm", calm),
        ("below", below[3:]),
    ):
        for text in texts:
            cost = rows_on_a_phone(text)
            if cost > room and (kept or kind != "bullet"):
                left += 1
                continue
            out.append(text)
            room -= cost
            kept += 1
    if left:
        out.append(f"- {left} more in the detail below")
    return out


def _fit_bullet(fit: FitChange, links: str | None) -> str:
    """A fit in one bullet, its cause second."""
    line = fit_line(fit, full=False)
    name = _link(_safe(f"{fit.id} {fit.name}"), fit.source, links)
    alarm = f" {_safe(fit.alarm.upper())};" if fit.alarm else ""
    moved = re.sub(r" \([^)]*\)", "", line.moved)  # one unit is enough here; the detail has both
    return f"- **{name}** ({_safe(fit.build)}):{alarm} {_safe(moved)}; {_safe(line.place)}. Cause: {_safe(_short(line.cause, 110))}"


def _short(text: str, most: int = LONGEST_LINE) -> str:
    return text if len(text) <= most else text[: most - 1].rstrip() + "…"


def _detail(slip: ReviewSlip, links: str | None) -> str:
    out = ["", "<details><summary>Full detail</summary>", ""]
    if slip.fits:
        out += ["**Fits**", ""]
        for fit in in_order(slip):
            line = fit_line(fit)
            at = "; ".join(_link(_safe(words), source, links) for words, source in line.at)
            out += [
                f"- {_link(_safe(f'{fit.build} {fit.id} {fit.name}'), fit.source, links)}: {_safe(line.moved)}",
                f"  - wants {_safe(line.wanted)}; {_safe(line.place)}; chance out {_safe(line.probability)}",
                f"  - at {at}{'; ' + _safe(line.hot) if line.hot else ''}",
                f"  - cause: {_safe(line.cause)}",
            ]
        out.append("")
    for title, items in other_sections(slip):
        if items:
            out += [f"**{title}**", "", *(f"- {_safe(item)}" for item in items), ""]
    return "\n".join(
        [*out, "No verdict is computed: a person writes it into the build's reviews.yaml.", "", "</details>", ""]
    )


def _link(words: str, source: Source | None, links: str | None) -> str:
    return f"[{words}]({links}{quote(source.file)}#L{source.line})" if links and source else words


def _safe(text: str) -> str:
    """Text in which no markup works, no address becomes a link, and an @ calls nobody (a word joiner stands behind it)."""
    flat = re.sub(r"[\\`*_{}\[\]<>&|~#^$]", lambda match: f"&#{ord(match[0])};", " ".join(text.split()))
    return flat.replace("@", "@&#8288;").replace("://", ":&#8288;//").replace("www.", "www.&#8288;")
