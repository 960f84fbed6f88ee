"""The review slip for a terminal."""

from collections.abc import Callable

from gudgeon.review.phrases import FitLine, caution, count, fit_line, headline, in_order, lines, trouble, work
from gudgeon.review.slip import ReviewSlip

MOST = 15  # lines of a slip: what one screen of a phone holds


def plain(text: str, role: str) -> str:
    """No colour."""
    return text


def slip_text(slip: ReviewSlip, paint: Callable[[str, str], str] = plain) -> str:
    """The slip in at most 15 lines. paint(text, role): colours a text; role is bad, look, good or quiet."""
    below = lines(slip)
    fits = in_order(slip)
    head = [
        f"{slip.head} against {slip.base}",
        paint(headline(slip), "look" if any(each.now and each.now.look for each in slip.fits) else "good"),
    ]
    room = MOST - len(head) - len(below)
    shown = len(fits) if 2 * len(fits) <= room else max((room - 1) // 2, 0)
    middle = [line for each in fits[:shown] for line in _two_lines(fit_line(each, full=False), paint)]
    if shown < len(fits):
        middle.append(f"{count(len(fits) - shown, 'more fit')}: --details shows them all")
    return (
        "\n".join(
            [
                *head,
                *middle,
                *(f"{paint(what, 'bad' if 'put right' in what else 'quiet')}: {words}" for what, words in below),
            ]
        )
        + "\n"
    )


def details_text(slip: ReviewSlip, paint: Callable[[str, str], str] = plain) -> str:
    """Everything, a line each."""
    out = []
    for title, items in sections(slip):
        if items:
            out += ["", paint(title, "quiet"), *(f"  {item}" for item in items)]
    return "\n".join(out).lstrip("\n") + ("\n" if out else "")


def sections(slip: ReviewSlip) -> list[tuple[str, list[str]]]:
    """(title, lines) of the full detail, but for the fits' table in Markdown."""
    fits = [line for each in in_order(slip) for line in _all(fit_line(each))]
    return [("Fits", fits), *other_sections(slip)]


def other_sections(slip: ReviewSlip) -> list[tuple[str, list[str]]]:
    """(title, lines) of the full detail without the fits."""
    return [
        ("To put right before merging", [trouble(each) for each in slip.troubles]),
        ("Notes", slip.notes),
        (
            "New readings",
            [
                f"{each.build} {each.row}: {each.of}{f', puts {each.supersedes} right' if each.supersedes else ''}{_at(each)}"
                for each in slip.readings
            ],
        ),
        ("New cautions", [caution(each, True) + _at(each) for each in slip.cautions_new]),
        ("Cleared cautions", [caution(each, True) + _at(each) for each in slip.cautions_cleared]),
        (
            "Readings that count no more",
            [f"{each.build} {each.row}: {each.of}, {each.status}: {each.why}{_at(each)}" for each in slip.stale],
        ),
        (
            "Work to go",
            [
                f"{each.build}: {work(each)}{'; ready now: ' + ', '.join(each.ready) if each.ready else ''}{'; no longer ready: ' + ', '.join(each.no_longer_ready) if each.no_longer_ready else ''}"
                for each in slip.work
            ],
        ),
        (
            "Said by people",
            [
                f"{each.build}, {each.date}, {each.who}: {each.verdict}, on {' '.join(each.about) or 'the build'}. {each.says}"
                for each in slip.reviews
            ],
        ),
        ("Builds worked out for this", [", ".join(slip.assessed)] if slip.assessed else []),
    ]


def _at(each) -> str:
    return f" ({each.source.file}:{each.source.line})" if each.source else ""


def _places(line: FitLine) -> str:
    return "; ".join(words for words, _ in line.at)


def _two_lines(line: FitLine, paint) -> list[str]:
    fit = line.fit
    name = f"{fit.build} {fit.id} {fit.name}"
    role = "look" if fit.now and fit.now.look else "good"
    return [
        f"{paint(name, role)}: {line.moved}; wants {line.wanted}; {line.place}; chance out {line.chance}",
        f"    at {_places(line)}; hot least {line.hot}; cause: {line.cause}",
    ]


def _all(line: FitLine) -> list[str]:
    fit = line.fit
    return [
        f"{fit.build} {fit.id} {fit.name}{_at(fit)}",
        f"  clearance {line.moved}",
        f"  wants {line.wanted}; {line.place}; chance out {line.chance}",
        f"  at {_places(line)}",
        f"  hot least {line.hot}",
        f"  cause: {line.cause}",
    ]
