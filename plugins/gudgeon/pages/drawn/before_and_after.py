"""Numbers before and after a time, each on a scale of its own: a slope from what it was to what it is, over the band that is wanted."""

import datetime as dt
from collections.abc import Sequence
from dataclasses import dataclass

from markupsafe import Markup

from gudgeon.drawing import legend
from gudgeon.drawing.canvas import Canvas
from gudgeon.drawing.scales import Axis
from gudgeon.wording import day_in_words

LEFT, RIGHT = 100.0, 262.0  # of the slopes; beside them stand the numbers
TOP, ROW, HIGH = 48.0, 62.0, 24.0
MOST_LABELLED = 2  # numbers between that have room for their words
LEAST_BAND = 2.5  # so high a band is drawn at the least, to be seen


@dataclass(frozen=True)
class Change:
    """A number that moved, mm, with its words. was: None where there was none; between: what it was meanwhile; low, high: what is
    wanted, None where open."""

    name: str
    was: float | None
    between: tuple[float, ...]
    now: float
    was_words: str
    between_words: tuple[str, ...]
    now_words: str
    low: float | None
    high: float | None
    wanted: str


def before_and_after(changes: Sequence[Change], id: str, after: dt.date | None, until: dt.date) -> Markup | None:
    """The drawing; None where nothing moved."""
    if not changes:
        return None
    before = f"on {day_in_words(after)}" if after else "before"
    said = "; ".join(
        f"{change.name}: {change.was_words} before, "
        + "".join(f"then {words}, " for words in change.between_words)
        + f"{change.now_words} after"
        + (f", should be {change.wanted}" if change.wanted else "")
        for change in changes
    )
    banded = any(change.low is not None or change.high is not None for change in changes)
    bottom = TOP + ROW * len(changes)
    canvas = Canvas(id, "Numbers before and after", f"{said}.", bottom + (20 if banded else 4))
    canvas.text(LEFT, 14, before, anchor="middle")
    canvas.text(RIGHT, 14, f"on {day_in_words(until)}", anchor="middle")
    canvas.line(LEFT, 20, LEFT, bottom - 8, "g-grid")
    canvas.line(RIGHT, 20, RIGHT, bottom - 8, "g-grid")
    for place, change in enumerate(changes):
        _row(canvas, change, TOP + ROW * place)
    if banded:
        legend.legend(canvas, [("g-wanted", None, "should lie in it")], LEFT, bottom + 4)
    return canvas.markup()


def _row(canvas: Canvas, change: Change, y: float) -> None:
    """One number: its name above, the slope below it."""
    values = [
        value for value in (change.was, *change.between, change.now, change.low, change.high) if value is not None
    ]
    up = Axis(min(values), max(values), y + HIGH, y)
    if change.low is not None or change.high is not None:
        foot = y + HIGH if change.low is None else up.at(change.low)
        head = y if change.high is None else up.at(change.high)
        middle, half = (foot + head) / 2, max(foot - head, LEAST_BAND) / 2
        canvas.rect(LEFT, middle - half, RIGHT - LEFT, 2 * half, "g-wanted")
    canvas.text(4, y - 12, legend.wrapped(change.name, 352, 1)[0], "g-tick g-over")
    now = up.at(change.now)
    # What was read between is spread evenly: the drawing tells the order, not the days.
    step = (RIGHT - LEFT) / (len(change.between) + 1)
    way = [(LEFT + step * place, up.at(value)) for place, value in enumerate(change.between, start=1)]
    known = [(LEFT, up.at(change.was))] if change.was is not None else []
    canvas.polyline([*known, *way, (RIGHT, now)], "g-line")
    for x, at in [*known, *way]:
        canvas.circle(x, at, 3.5, "g-hollow")
    if len(way) <= MOST_LABELLED:
        for (x, at), words in zip(way, change.between_words, strict=True):
            canvas.text(x, at + 16, words, "g-tick g-over", "middle")
    at = known[0][1] if known else y + HIGH / 2
    canvas.text(LEFT - 8, at + 4, change.was_words, "g-tick", "end")
    canvas.circle(RIGHT, now, 4, "g-dot")
    canvas.text(RIGHT + 8, now + 4, change.now_words, "g-value")
