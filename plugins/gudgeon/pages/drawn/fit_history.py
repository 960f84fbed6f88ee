"""How a fit moved, on a true axis of days: a dot for each set of readings, and the band of what was wanted on each day.

What was wanted follows from the records of the fit: each range that was given up held until the day written with it, the next
one from then on. A range without a day has no place on the axis and is left to the words.
"""

import datetime as dt
from dataclasses import dataclass

from markupsafe import Markup

from gudgeon.assess.findings import FitFinding
from gudgeon.drawing.canvas import Canvas
from gudgeon.drawing.dimensions import LETTER
from gudgeon.drawing.scales import Broken, Days
from gudgeon.records.fit_kinds.kind import FitKind
from gudgeon.wording import UnitFormatter, number, slug, upper_first

LEFT, RIGHT, TOP, BOTTOM, HEIGHT = 46.0, 350.0, 20.0, 178.0, 220.0
FAR = 2.5  # heights of what lies together: what is further off than that is drawn beyond a break


@dataclass(frozen=True)
class Wanted:
    """A range, mm, with the days between which it was wanted; None where the records do not say or it still holds."""

    low: float
    high: float | None
    since: dt.date | None
    until: dt.date | None


def wanted_in_time(fit: FitFinding) -> list[Wanted]:
    """What was wanted, oldest first, the last of them now; without those that nobody dated."""
    if fit.want_low is None:
        return []
    dated = sorted(
        ((dt.date.fromisoformat(was.until), was) for was in fit.wanted_before if was.until), key=lambda pair: pair[0]
    )
    steps, since = [], None
    for until, was in dated:
        steps.append(Wanted(was.want_low, was.want_high, since, until))
        since = until
    return [*steps, Wanted(fit.want_low, fit.want_high, since, None)]


def wanted_words(fit: FitFinding, fmt: UnitFormatter) -> str:
    """The same in words."""
    words = []
    for step in wanted_in_time(fit):
        size = fmt.range_text(step.low, step.high)
        when = "".join(
            (
                f" from {step.since}" if step.since else "",
                f" until {step.until}" if step.until else " on" if step.since else "",
            )
        )
        words.append(f"{size}{when}")
    undated = [fmt.range_text(was.want_low, was.want_high) for was in fit.wanted_before if not was.until]
    if undated:
        words.append(f"on days that nobody wrote down {' and '.join(undated)}")
    return "; ".join(words)


def history(fit: FitFinding, kind: FitKind, fmt: UnitFormatter, today: str | None) -> Markup | None:
    """The drawing; None where nothing moved and nothing else was wanted. today: the newest day of the records."""
    steps = wanted_in_time(fit)
    if not fit.moves or not steps or kind.stated or len(fit.moves) + len(steps) < 3:
        return None
    scale, unit, places = fmt.factor()
    moves = [(dt.date.fromisoformat(move.date), move.clearance / scale) for move in fit.moves]
    days = [day for day, _ in moves] + [step.until for step in steps if step.until]
    ends = [*days, dt.date.fromisoformat(today)] if today else days
    along = Days(min(days), max(ends), LEFT + 16, RIGHT - 14)
    up = _axis(
        [value for _, value in moves],
        [(step.low / scale, None if step.high is None else step.high / scale) for step in steps],
    )
    canvas = Canvas(
        f"moves-{slug(fit.id)}",
        f"How {fit.name} moved",
        f"{upper_first(kind.called)} in {unit}: "
        + "; ".join(f"{day} {number(value, places)}" for day, value in moves)
        + f". Wanted: {wanted_words(fit, fmt)}.",
        HEIGHT,
    )
    for value, words in up.ticks():
        canvas.line(LEFT, up.at(value), RIGHT, up.at(value), "g-grid")
        canvas.text(LEFT - 4, up.at(value) + 4, words, anchor="end")
    labels = [_band(canvas, step, along, up, scale, fmt) for step in steps]
    if up.at(0.0) not in (TOP, BOTTOM):
        canvas.line(LEFT, up.at(0.0), RIGHT, up.at(0.0), "g-nought")
    _break(canvas, up)
    _dots(canvas, moves, along, up, places, [label.box for label in labels])
    for label in labels:
        canvas.text(label.x, label.y, label.words, "g-tick g-over")
    canvas.line(LEFT, BOTTOM + 4, RIGHT, BOTTOM + 4, "g-axis")
    for day, words in along.ticks(4):
        canvas.line(along.at(day), BOTTOM + 4, along.at(day), BOTTOM + 8, "g-axis")
        # A label at an end stays on the sheet.
        half = LETTER * len(words) / 2
        canvas.text(min(max(along.at(day), half + 2), 358 - half), BOTTOM + 20, words, anchor="middle")
    canvas.text(4, HEIGHT - 4, f"{unit} {kind.axis.measured}; the band is what was wanted on each day")
    return canvas.markup()


def _axis(values: list[float], bands: list[tuple[float, float | None]]) -> Broken:
    """The axis up the page: large for the bands and what lies near them, the rest short beyond a break."""
    near = [end for band in bands for end in band if end is not None] + [values[-1]]
    low, high = min(near), max(near)
    height = (high - low) or abs(high) or 1.0
    close = [value for value in values if low - FAR * height <= value <= high + FAR * height]
    low, high = min([low, *close]), max([high, *close])
    margin = 0.12 * ((high - low) or abs(high) or 1.0)
    below, above = min(values) < low, max(values) > high
    if below and (not above or low - min(values) >= max(values) - high):
        top = max(values) + margin if above else high + margin
        return Broken(top, min(values), low - margin, TOP, BOTTOM, share=0.85)
    if above:
        return Broken((min(values) if below else low) - margin, max(values), high + margin, BOTTOM, TOP, share=0.85)
    return Broken(high + margin, low - margin, low - margin, TOP, BOTTOM)


@dataclass(frozen=True)
class Label:
    """Words that begin at (x, y)."""

    x: float
    y: float
    words: str

    @property
    def box(self) -> tuple[float, float, float]:
        """Left, right and foot."""
        return self.x, self.x + LETTER * len(self.words), self.y


def _band(canvas: Canvas, step: Wanted, along: Days, up: Broken, scale: float, fmt: UnitFormatter) -> Label:
    """The band of what was wanted; gives its words: of what was given up below it, of what holds now above it."""
    first = along.at(step.since) if step.since else LEFT
    last = along.at(step.until) if step.until else RIGHT
    low = up.at(step.low / scale)
    high = TOP if step.high is None else up.at(step.high / scale)
    canvas.rect(first, high, last - first, max(low - high, 1.5), "g-wanted")
    words = fmt.range_text(step.low, step.high)
    x = min(first + 3, RIGHT - LETTER * len(words)) if step.until else RIGHT - LETTER * len(words)
    return Label(x, low + 13 if step.until or high - 4 < TOP else high - 4, words)


def _break(canvas: Canvas, up: Broken) -> None:
    """Where the axis is broken: a zigzag over the whole width."""
    y = up.break_at()
    if y is not None:
        points = [(LEFT + 8 * step, y + (3 if step % 2 else -3)) for step in range(int((RIGHT - LEFT) / 8) + 1)]
        canvas.polyline(points, "g-axis")


def _dots(
    canvas: Canvas,
    moves: list[tuple[dt.date, float]],
    along: Days,
    up: Broken,
    places: int,
    taken: list[tuple[float, float, float]],
) -> None:
    """The clearances, joined by a thin line, each with its number where there is room. taken: by other words."""
    dots = [(along.at(day), up.at(value), number(value, places)) for day, value in moves]
    canvas.polyline([(x, y) for x, y, _ in dots], "g-line", dash="2 3")
    for x, y, words in reversed(dots):
        canvas.circle(x, y, 4, "g-dot")
        wide = (LETTER + 1.5) * len(words)
        left = min(max(x - wide / 2, LEFT), RIGHT + 6 - wide)
        for foot in (y - 7, y + 16):
            free = all(left > right or left + wide < begin or abs(foot - other) > 13 for begin, right, other in taken)
            if free and TOP - 6 < foot < BOTTOM + 4:
                canvas.text(left, foot, words, "g-value g-over")
                taken.append((left, left + wide, foot))
                break
