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
    WITH_ANY,
    blocker_lines,
    fit_line,
    folded,
    in_order,
    lines,
    subject_line,
    told_alone,
)
from gudgeon.review.slip import FitChange, ReviewSlip, SubjectChange

MARK = "<!-- gudgeon review slip -->"  # by this a forge's job finds its own comment again
LONGEST = 60_000  # characters; forges refuse comments of more than about 65,000
COLUMNS, ROWS = 45, 30  # what one screen of a phone holds of a summary
LONGEST_LINE, BRIEF_LINE = 180, 120  # characters of one bullet of the summary; the whole stands in the detail
FIRST_BELOW = 3  # of what stands below the numbers, how much comes before changes that ask for no look


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
    """The headline, then bullets in order of weight as far as one screen goes; what does not fit is counted.

    Where not all fit, each says less, so that more of them do; none is left out for one that weighs less.
    """
    head = [f"**{_safe(headline(slip))}**", "", f"{_safe(slip.head)} against {_safe(slip.base)}.", ""]
    room = ROWS - sum(rows_on_a_phone(line) for line in head) - 1  # one line counts what is left
    whole, brief = _bullets(slip, links, brief=False), _bullets(slip, links, brief=True)
    shown = max((_as_far_as(whole, room), _as_far_as(brief, room)), key=len)
    left = len(whole) - len(shown)
    return [*head, *shown, *([f"- {left} more in the detail below"] if left else [])]


def _as_far_as(bullets: list[str], room: int) -> list[str]:
    """The first bullets that so many lines of a phone hold, and one at least."""
    shown: list[str] = []
    for bullet in bullets:
        room -= rows_on_a_phone(bullet)
        if room < 0 and shown:
            break
        shown.append(bullet)
    return shown


def _bullets(slip: ReviewSlip, links: str | None, brief: bool) -> list[str]:
    """Everything that a summary may tell, what weighs most first."""

    def said(rows: list[tuple[str, str]]) -> list[str]:
        return [f"- **{_safe(what)}**: {_safe(_short(words))}" for what, words in rows]

    fits, subjects, with_any = in_order(slip), told_alone(slip), folded(slip)
    below = said(lines(slip))
    return [
        *said(blocker_lines(slip)),
        *(_fit_bullet(fit, links, brief) for fit in fits if fit.alarm),
        *(_subject_bullet(change, links, brief) for change in subjects if change.alarm),
        *(_fit_bullet(fit, links, brief) for fit in fits if not fit.alarm and fit.now and fit.now.look),
        *below[:FIRST_BELOW],
        *(_fit_bullet(fit, links, brief) for fit in fits if not fit.alarm and not (fit.now and fit.now.look)),
        *(_subject_bullet(change, links, brief) for change in subjects if not change.alarm),
        *(said([(WITH_ANY, with_any)]) if with_any else []),
        *below[FIRST_BELOW:],
    ]


def _subject_bullet(change: SubjectChange, links: str | None, brief: bool) -> str:
    """Something other than a fit in one bullet, its cause second."""
    line = _short(subject_line(change, 1 if brief else 3), BRIEF_LINE if brief else LONGEST_LINE)
    cause = "" if brief else f". Cause: {_safe(_short(subject_causes(change, 2), 90))}"
    return f"- {_link(_safe(line), change.source, links)}{cause}"


def _fit_bullet(fit: FitChange, links: str | None, brief: bool) -> str:
    """A fit in one bullet, its cause second."""
    line = fit_line(fit, full=False)
    name = _link(_safe(f"{fit.id} {fit.name}"), fit.source, links)
    alarm = f" {_safe(fit.alarm.upper())};" if fit.alarm else ""
    moved = re.sub(r" \([^)]*\)", "", line.moved)  # one unit is enough here; the detail has both
    cause = _safe(_short(line.cause, 60 if brief else 110))
    return f"- **{name}** ({_safe(fit.build)}):{alarm} {_safe(moved)}; {_safe(line.place)}. Cause: {cause}"


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
                f"  - should have {_safe(line.wanted)}; {_safe(line.place)}; chance out {_safe(line.probability)}",
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
