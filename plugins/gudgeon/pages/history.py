"""How each fit's number moved, and what moved it: readings, operations, ranges given up, instruments, what people said."""

from dataclasses import dataclass
from datetime import date

from gudgeon.assess.findings import FitFinding, FitMove, Recall
from gudgeon.pages.drawn import fit_history
from gudgeon.pages.page import Page
from gudgeon.pages.view import View
from gudgeon.story.not_kept import moving_halves, not_kept
from gudgeon.wording import slug


@dataclass(frozen=True)
class Event:
    """One day on which a fit's number, or what it is held to, moved. move, before: where a reading moved it."""

    date: str
    says: str
    move: FitMove | None = None
    before: FitMove | None = None


def pages(view: View) -> list[Page]:
    """A page a fit."""
    return [
        view.guarded(f"fits/{slug(fit.id)}/history.md", _history_page, view, fit) for fit in view.findings.fits.values()
    ]


def _history_page(view: View, fit: FitFinding) -> Page:
    return view.page(
        f"fits/{slug(fit.id)}/history.md",
        "history.md.j2",
        "fits.yaml",
        fit=fit,
        events=events(view, fit),
        drawing=fit_history.history(fit, view.build.fits[fit.id].of_kind, view.fmt, view.findings.as_of),
        wanted=fit_history.wanted_words(fit, view.fmt),
    )


def events(view: View, fit: FitFinding) -> list[Event]:
    """Everything that moved a fit, oldest first; of one day the readings first."""
    happened = []
    for before, move in zip([None, *fit.moves], fit.moves, strict=False):
        done = view.build.operations.get(move.after or "")
        says = f"read after {move.after}: {done.does}" if done else "read"
        happened.append(Event(move.date, says, move, before))
    for was in view.build.fits[fit.id].wanted_before:
        if was.until:
            given_up = view.fmt.range_text(*(float(limit) for limit in was.want))
            happened.append(Event(was.until.isoformat(), f"wanted {given_up} until then: {was.because}"))
    for recall in view.findings.recalls:
        if fit.id in (*recall.moves, *recall.cancels):
            name = view.build.instruments[recall.instrument].name
            how = "it cancels here" if fit.id in recall.cancels else "this fit moves with it"
            off = view.fmt.clearance_text(abs(recall.reads_high))
            way = "high" if recall.reads_high > 0 else "low"
            happened.append(Event(recall.found, f"{name} found reading {off} {way}: {how}"))
    for review in view.build.reviews:
        if fit.id in review.about:
            happened.append(
                Event(review.date.isoformat(), f"{review.verdict}, {view.person(review.who)}: {review.says}")
            )
            withdrawal = view.build.withdrawal_of(review)
            if withdrawal:
                says = f"{view.person(withdrawal.who)} withdraws what was said on {review.date}: {withdrawal.because}"
                happened.append(Event(withdrawal.date.isoformat(), says))
    return sorted(happened, key=lambda event: event.date)


@dataclass(frozen=True)
class Since:
    """A fit whose number moved since a day. was: as it was known then, mm; None where nothing was read, or it is not kept.

    found_off: the instruments found off since that moved it; read: whether a reading moved it.
    """

    fit: FitFinding
    was: float | None
    not_kept: bool
    now: FitMove
    found_off: tuple[Recall, ...]
    read: bool


def since(view: View, day: date) -> list[Since]:
    """The fits whose clearance, as it was known, moved after a day."""
    moved = []
    for fit in view.findings.fits.values():
        if not fit.moves:
            continue
        on, now = day.isoformat(), fit.moves[-1]
        before = [move for move in fit.moves if move.date <= on]
        kept = [(date.fromisoformat(move.date), move.rows) for move in fit.moves]
        lost = not_kept(view.build, view.findings, moving_halves(view.build, fit), kept, day, fit=True)
        was, later = None, ()
        if before and not lost:
            last = before[-1]
            recalls = [
                recall for recall in view.findings.recalls if fit.id in recall.moves and recall.found > last.date
            ]
            later = tuple(recall for recall in recalls if recall.found > on)
            was = last.clearance if last.known_then is None or not later else last.known_then
            if last.known_then is not None and 0 < len(later) < len(recalls):
                was, lost = (
                    None,
                    True,
                )  # one of them was known to be off on that day: no number of the history is its own
        read = now.date > on
        if not (read or later):
            continue
        if was is None or view.fmt.clearance_text(was) != view.fmt.clearance_text(now.clearance):
            moved.append(Since(fit, was, lost, now, later, read))
    return moved
