"""What a review slip says, line by line, for text and Markdown alike: two units, what needs a look first."""

from collections.abc import Callable
from dataclasses import dataclass

from gudgeon.assess.findings import Source
from gudgeon.review.slip import Caution, FitChange, ReviewSlip, Standing, Trouble, WorkChange
from gudgeon.wording import UnitFormatter, minutes, number, probability

NAMED_AS_CAUSE = 4
NAMED_IN_SUMMARY = 3  # of a list; the rest is counted, and stands in the detail


@dataclass(frozen=True)
class FitLine:
    """One fit in words."""

    fit: FitChange
    moved: str
    wanted: str
    place: str
    chance: str
    at: list[tuple[str, Source | None]]
    hot: str
    cause: str


def headline(slip: ReviewSlip) -> str:
    """What moved, counted."""
    if slip.empty:
        return "No number moves." + (
            f" {count(slip.files, 'file')} of records differ." if slip.files else " The records are the same."
        )
    looks = sum(1 for each in slip.fits if each.now and each.now.look)
    words = [f"{count(len(slip.fits), 'fit')} moved" if slip.fits else "No fit moved"]
    words += [f"{looks} to look at"] if looks else []
    words += [f"{count(len(slip.readings), 'new reading')}"] if slip.readings else []
    return ", ".join(words) + "."


def in_order(slip: ReviewSlip) -> list[FitChange]:
    """Fits by how much they ask for a look: the likeliest to be out on the side that hurts first."""

    def rank(each: FitChange) -> tuple:
        now = each.now
        return (not (now and now.look), -((now.chance_dangerous or 0.0) if now else 0.0), each.build, each.id)

    return sorted(slip.fits, key=rank)


def fit_line(each: FitChange, full: bool = True) -> FitLine:
    """One fit's change in words. full: with every cause; otherwise a long list of them is counted."""
    fmt, was, now = UnitFormatter(each.units), each.was, each.now
    one = now or was
    return FitLine(
        fit=each,
        moved=_moved(fmt, was, now),
        wanted=_arrow(*(_wanted(fmt, side) for side in (was, now) if side)) + _rule(fmt, was, now),
        place=_arrow(*(_place(side) for side in (was, now) if side)),
        chance=_arrow(*(probability(side.chance_out) for side in (was, now) if side)),
        at=[
            (f"{at.of} {fmt.place_text(at.station, at.angle)}".strip() + f" ({', '.join(at.rows)})", at.source)
            for at in one.at
        ]
        or [("no reading", None)],
        hot=_arrow(*(_hot(fmt, side) for side in (was, now) if side)),
        cause=_causes(each.causes, len(each.causes) if full else NAMED_AS_CAUSE) or "no single record: see the detail",
    )


def _causes(causes: list[str], most: int) -> str:
    """Causes in words, new readings in one list; of each kind at most so many, the rest counted."""
    mark = "new reading "
    new = [each.removeprefix(mark) for each in causes if each.startswith(mark)]
    others = [each for each in causes if not each.startswith(mark)]
    more = f" and {len(new) - most} more" if len(new) > most else ""
    told = [f"new reading{'s' if len(new) > 1 else ''} {', '.join(new[:most])}{more}"] if new else []
    return _some(told + others, most + len(told))


def _moved(fmt: UnitFormatter, was: Standing | None, now: Standing | None) -> str:
    if was is None:
        return f"new: {_gap(fmt, now)}"
    return _arrow(_gap(fmt, was), _gap(fmt, now)) if now else f"gone; was {_gap(fmt, was)}"


def _both(fmt: UnitFormatter, said: Callable[[UnitFormatter], str]) -> str:
    """What said(fmt) gives in the build's unit, with the other beside it."""
    return f"{said(fmt)} ({said(_other(fmt))})"


def _other(fmt: UnitFormatter) -> UnitFormatter:
    return UnitFormatter("mm" if fmt.inch else "in")


def _arrow(was: str, now: str | None = None) -> str:
    return was if now is None or was == now else f"{was} → {now}"


def _gap(fmt: UnitFormatter, side: Standing) -> str:
    if side.clearance is None:
        return "no reading"
    return f"{fmt.plus_minus(side.clearance, side.expanded)} ({_other(fmt).clearance_text(side.clearance)})"


def _wanted(fmt: UnitFormatter, side: Standing) -> str:
    if side.want_low is None:
        return "not said"
    return _both(fmt, lambda each: each.range_text(side.want_low, side.want_high))


def _rule(fmt: UnitFormatter, was: Standing | None, now: Standing | None) -> str:
    """What the cited rule gives, where that moved."""
    if was is None or now is None:
        return ""
    gives = [fmt.range_text(side.rule_low, side.rule_high) for side in (was, now)]
    return f"; the rule gives {_arrow(*gives)}" if gives[0] != gives[1] else ""


def _place(side: Standing) -> str:
    return side.state if side.conformity in (None, side.state) else f"{side.state} ({side.conformity})"


def _hot(fmt: UnitFormatter, side: Standing) -> str:
    if side.hot_least is None:
        return "none"
    return f"{_both(fmt, lambda each: each.clearance_text(side.hot_least))}, {side.hot_case.replace('_', ' ')}"


def trouble(each: Trouble) -> str:
    """A trouble with its place."""
    return f"{each.file}:{each.line}:{each.column}: {each.says}"


def caution(each: Caution, several: bool) -> str:
    """A caution in words."""
    return f"{each.build + ' ' if several else ''}{each.kind}, {each.about}: {each.says}"


def work(each: WorkChange) -> str:
    """Work to go of a build, was and now."""
    if each.was is None:
        return f"{minutes(each.now)} to go in a new build"
    by = each.now - each.was
    if abs(by) < 0.5:
        return f"{minutes(each.now)} to go, as before"
    return f"{minutes(each.was)} → {minutes(each.now)} to go ({number(by, 0, sign=True)} min)"


def lines(slip: ReviewSlip) -> list[tuple[str, str]]:
    """What stands below the fits: (what, words), one line each, only what there is."""
    several = len(slip.assessed) > 1

    def named(each, word: str) -> str:
        return f"{each.build} {word}" if several else word

    found = []
    if slip.troubles:
        found.append((f"{len(slip.troubles)} to put right before merging", trouble(slip.troubles[0])))
    for each in slip.notes[:1]:
        more = f" (and {len(slip.notes) - 1} more)" if len(slip.notes) > 1 else ""
        found.append(("Note", each + more))
    for what, cautions in (("New cautions", slip.cautions_new), ("Cleared cautions", slip.cautions_cleared)):
        if cautions:
            found.append((f"{what} ({len(cautions)})", _some([caution(each, several) for each in cautions])))
    if slip.stale:
        found.append(
            (
                f"Readings that count no more ({len(slip.stale)})",
                _some([f"{named(each, each.row)} ({each.status})" for each in slip.stale], 8),
            )
        )
    if slip.work:
        found.append(("Work to go", _some([named(each, work(each)) for each in slip.work])))
    ready = [named(each, op) for each in slip.work for op in each.ready]
    lost = [named(each, op) for each in slip.work for op in each.no_longer_ready]
    if ready:
        found.append(("Ready now", _some(ready, 6)))
    if lost:
        found.append(("No longer ready", _some(lost, 6)))
    if slip.reviews:
        found.append(
            (
                "Said by people",
                _some(
                    [
                        named(
                            each,
                            f"{each.verdict} by {each.who}, {each.date}{', on ' + ' '.join(each.about) if each.about else ''}",
                        )
                        for each in slip.reviews
                    ]
                ),
            )
        )
    return found


def _some(words: list[str], most: int = NAMED_IN_SUMMARY) -> str:
    more = len(words) - most
    return "; ".join(words[:most]) + (f"; and {more} more" if more > 0 else "")


def count(number_of: int, what: str) -> str:
    """A count with its word."""
    return f"{number_of} {what}{'' if number_of == 1 else 's'}"
