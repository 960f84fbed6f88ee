"""All fits of a build on one axis, what needs a person first: the page that a reviewer opens."""

from collections import Counter

from gudgeon.assess.findings import FitFinding
from gudgeon.pages import reviewing
from gudgeon.pages.drawn.fit_strip import strip
from gudgeon.pages.page import Page
from gudgeon.pages.view import View

# What a reader sees first. A fit that needs a look comes before those that do not.
GROUPS = (
    "Out, or in need of a look",
    "To measure",
    "In, reads in or let stand; nothing to look at",
    "Metal still to come off",
)


def page(view: View, has: dict[str, str]) -> Page:
    """The list of fits. has: what each of them has, in words."""
    requests = reviewing.open_requests(view.build)
    groups: dict[str, list[FitFinding]] = {name: [] for name in GROUPS}
    for fit in worst_first(list(view.findings.fits.values())):
        groups[GROUPS[_group(fit)]].append(fit)
    return view.page(
        "fits/index.md",
        "fits.md.j2",
        "fits.yaml",
        groups={name: fits for name, fits in groups.items() if fits},
        strips={fit.id: strip(fit, view.build.fits[fit.id].of_kind, view.fmt) for fit in view.findings.fits.values()},
        counts=Counter(fit.state for fit in view.findings.fits.values()),
        requests=requests,
        has=has,
        asked={name for request in requests for name in request.about},
        said={fit.id: reviewing.said_of(view.build, fit) for fit in view.findings.fits.values()},
        reviewers=_reviewers(view),
        verdict=reviewing.verdict_line("FIT", "agreed"),
    )


def worst_first(fits: list[FitFinding]) -> list[FitFinding]:
    """Fits by how much they need a person: out before doubtful, and within that by the chance that the dangerous end is past."""
    return sorted(fits, key=lambda fit: (_group(fit), _rank(fit), -_danger(fit), -_short(fit)))


def _group(fit: FitFinding) -> int:
    if fit.state == "metal on":
        return 3
    if fit.state in ("no reading", "stale"):
        return 1
    return 0 if fit.look or fit.state in ("out", "reads out", "no limit") else 2


def _rank(fit: FitFinding) -> int:
    states = ("out", "reads out", "no limit", "reads in", "conceded", "in", "stale", "no reading")
    return states.index(fit.state) if fit.state in states else len(states)


def _danger(fit: FitFinding) -> float:
    return (fit.chance_tight if fit.dangerous == "tight" else fit.chance_loose) or 0.0


def _short(fit: FitFinding) -> float:
    """How far outside, in widths of what is wanted."""
    width = (fit.want_high - fit.want_low) if fit.want_low is not None and fit.want_high is not None else 0.0
    return (fit.short_by or 0.0) / width if width else (fit.short_by or 0.0)


def _reviewers(view: View) -> list[tuple[str, str, list[FitFinding], list[FitFinding]]]:
    """Who has given verdicts: name, day of the last, the fits that they agreed to and those with anything new since."""
    rows = []
    reviews = reviewing.in_time(view.build)
    for who in dict.fromkeys(review.who for review in reversed(reviews)):
        last = max(review.date for review in reviews if review.who == who)
        agreed, moved = [], []
        for fit in view.findings.fits.values():
            own = next((said for said in reviewing.said_of(view.build, fit) if said.review.who == who), None)
            if own and own.review.verdict == "agreed":
                agreed.append(fit)
            if own and own.news:
                moved.append(fit)
        rows.append((view.person(who), last.isoformat(), agreed, moved))
    return rows
