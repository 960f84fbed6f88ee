"""The timing circle: when valves stand open and the spark comes, in degrees of the crank, with lengths along the rim."""

from collections.abc import Sequence
from dataclasses import dataclass

from markupsafe import Markup

from gudgeon.assess.findings import BuildFindings, TimingMark, TimingSetting
from gudgeon.drawing.canvas import Canvas, at_angle
from gudgeon.drawing.legend import wrapped
from gudgeon.drawing.scales import apart
from gudgeon.quantities import text
from gudgeon.wording import UnitFormatter, number, upper_first

X, Y, RADIUS = 84.0, 96.0, 62.0
BASE = {"inner": 0.0, "outer": 180.0}  # degrees from the top of the circle
SPANS = {"exhaust": (RADIUS - 12, "g-exhaust-open"), "inlet": (RADIUS - 25, "g-inlet-open")}  # valve -> its arc
NEAREST = 14.0  # degrees between the numbers round the circle
LIST, LINE = 174.0, 13.5  # where the words begin, and from one line of them to the next


@dataclass(frozen=True)
class _Event:
    """An event to draw. least, most: degrees clockwise from inner dead centre; None where the records leave its place open."""

    words: str
    place: str
    least: float | None
    most: float | None


def circles(findings: BuildFindings, fmt: UnitFormatter) -> list[tuple[TimingMark | None, Markup]]:
    """The build's own settings drawn, then each printed source's, each with one of its marks, which names it; None for the build's own."""
    drawn: list[tuple[TimingMark | None, Markup]] = []
    if findings.timing_settings:
        events = [_setting(setting, fmt) for setting in findings.timing_settings]
        drawn.append((None, _circle("own", "Timing of this engine by its records", events)))
    by_source: dict[str, list[TimingMark]] = {}
    for mark in findings.timing_marks:
        by_source.setdefault(mark.source, []).append(mark)
    for count, marks in enumerate(by_source.values(), 1):
        title = f"Printed valve settings, {count} of {len(by_source)}"
        drawn.append((marks[0], _circle(f"printed-{count}", title, [_printed(mark, fmt) for mark in marks])))
    return drawn


def _setting(setting: TimingSetting, fmt: UnitFormatter) -> _Event:
    along = "" if setting.mark is None else f", {text(fmt, setting.mark, 'length')} along the rim"
    if setting.centre is None or setting.side is None:
        return _Event(
            setting.event, f"{number(setting.angle, 0)}°{along}; on which side of dead centre is not clear", None, None
        )
    at = _turned(setting.centre, setting.side, setting.angle)
    place = f"{number(setting.angle, 0)}° {setting.side} {setting.centre} dead centre{along}"
    return _Event(setting.event, place, at, at)


def _printed(mark: TimingMark, fmt: UnitFormatter) -> _Event:
    least, most = (number(angle, 0) for angle in (mark.least, mark.most))
    angle = least if least == most else f"{least} to {most}"
    along, far = (text(fmt, length, "length") for length in (mark.mark_least, mark.mark_most))
    rim = along if least == most else f"{along.rpartition(' ')[0]} to {far}"
    ends = sorted(_turned(mark.centre, mark.side, angle) for angle in (mark.least, mark.most))
    return _Event(mark.event, f"{angle}° {mark.side} {mark.centre} dead centre, {rim} along the rim", *ends)


def _turned(centre: str, side: str, angle: float) -> float:
    """Degrees clockwise from inner dead centre; less than nought before it."""
    return BASE[centre] + (angle if side == "after" else -angle)


def _circle(name: str, title: str, events: Sequence[_Event]) -> Markup:
    lines = [
        wrapped(f"{count}  {upper_first(event.words)}: {event.place}", 346 - LIST)
        for count, event in enumerate(events, 1)
    ]
    tall = 16 + sum(LINE * len(said) + 5 for said in lines) + len(SPANS) * (LINE + 2)
    described = "; ".join(f"{event.words} {event.place}" for event in events)
    canvas = Canvas(f"timing-{name}", title, f"{described}. Drawn turning clockwise.", max(tall, 2 * Y + 4))
    canvas.circle(X, Y, RADIUS, "g-outline")
    canvas.line(X, Y - RADIUS - 6, X, Y + RADIUS + 6, "g-centre")
    canvas.line(X - RADIUS - 6, Y, X + RADIUS + 6, Y, "g-centre")
    canvas.text(X, 11, "inner dead centre", anchor="middle")
    canvas.text(X, 2 * Y - 1, "outer dead centre", anchor="middle")
    spans = [valve for valve, (radius, css) in SPANS.items() if _open(canvas, valve, radius, css, events)]
    placed = [event for event in events if event.least is not None]
    middles = [((event.least or 0.0) + (event.most or 0.0)) / 2 % 360.0 for event in placed]
    for event, middle, shown in zip(placed, middles, apart(middles, NEAREST), strict=True):
        if event.least != event.most:
            canvas.arc(X, Y, RADIUS, event.least or 0.0, event.most or 0.0, "g-range")
        canvas.circle(*at_angle(X, Y, RADIUS, middle), 3, "g-dot")
        canvas.line(*at_angle(X, Y, RADIUS, middle), *at_angle(X, Y, RADIUS + 7, shown), "g-dimension")
        x, y = at_angle(X, Y, RADIUS + 12, shown)
        canvas.text(x, y + 4, str(events.index(event) + 1), "g-value g-over", "middle")
    y = 16.0
    for said in lines:
        for line in said:
            canvas.text(LIST, y, line)
            y += LINE
        y += 5
    for valve in spans:
        canvas.line(LIST, y - 4, LIST + 24, y - 4, SPANS[valve][1])
        canvas.text(LIST + 30, y, f"{valve} open")
        y += LINE + 2
    return canvas.markup()


def _open(canvas: Canvas, valve: str, radius: float, css: str, events: Sequence[_Event]) -> bool:
    """Draw the arc over which a valve stands open, from where it opens at the latest to where it shuts at the earliest, and thin as
    far as it may be open. False, and nothing, where one of its ends is not known."""
    ends = {event.words: event for event in events if event.least is not None}
    opens, shuts = ends.get(f"{valve} opens"), ends.get(f"{valve} shuts")
    if opens is None or shuts is None:
        return False
    turn = 360.0 if (shuts.least or 0.0) < (opens.most or 0.0) else 0.0
    canvas.arc(X, Y, radius, opens.least or 0.0, (shuts.most or 0.0) + turn, "g-guess")
    canvas.arc(X, Y, radius, opens.most or 0.0, (shuts.least or 0.0) + turn, css)
    return True
