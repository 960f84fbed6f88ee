"""Progress and hours over time, from the days on which operations were finished."""

import datetime as dt

from markupsafe import Markup

from gudgeon.assess.findings import BuildFindings, WorkedWeek
from gudgeon.drawing.canvas import Canvas
from gudgeon.drawing.scales import Axis, Days
from gudgeon.wording import about_hours, minutes, number

LEFT, RIGHT = 40.0, 346.0
LEFT_OF_BAR = 14.0
TOP, DOWN = 26.0, 150.0  # of the curve of what is done
BARS_TOP, BARS_DOWN = 196.0, 262.0  # of the bars of the weeks
WEEK = dt.timedelta(days=7)


def bar(share: float) -> Markup:
    """Expected minutes done over all expected minutes."""
    canvas = Canvas("progress", "Progress", f"{number(share * 100, 0)} percent of the expected minutes are done", 20)
    canvas.rect(LEFT_OF_BAR, 4, RIGHT - LEFT_OF_BAR, 12, "g-track")
    canvas.rect(LEFT_OF_BAR, 4, share * (RIGHT - LEFT_OF_BAR), 12, "g-stock")
    return canvas.markup()


def over_time(findings: BuildFindings) -> Markup | None:
    """Estimated hours done and left by day, and hours worked by week; None where nothing with a day was finished."""
    progress = findings.progress
    total = progress.expected_done + progress.expected_open
    if not progress.days or not findings.as_of:
        return None
    first = dt.date.fromisoformat(progress.weeks[0].monday)
    last = max(dt.date.fromisoformat(findings.as_of), dt.date.fromisoformat(progress.weeks[-1].monday) + WEEK)
    days = Days(first, last, LEFT, RIGHT)
    done, still = about_hours(progress.expected_done), about_hours(progress.expected_open)
    by_week = "; ".join(f"from {week.monday} {worked_words(week)}" for week in progress.weeks)
    canvas = Canvas(
        "over-time",
        "Progress and hours over time",
        f"On {findings.as_of} {done} of the work as estimated is done and {still} is left. Worked at what was finished in a week: {by_week}.",
        BARS_DOWN + 24,
    )
    for stop, words in days.ticks(5):
        x = days.at(stop)
        canvas.line(x, TOP, x, DOWN, "g-grid")
        canvas.line(x, BARS_TOP, x, BARS_DOWN, "g-grid")
        canvas.text(min(x, RIGHT - 22), BARS_DOWN + 15, words, anchor="middle" if x > LEFT + 20 else None)
    canvas.text(14, 13, "Hours as estimated: done, and left above it", "g-label")
    if total:
        _done_so_far(canvas, findings, days, total)
    else:
        canvas.text(LEFT, (TOP + DOWN) / 2, "No job has an estimate: not worked out.")
    canvas.text(14, BARS_TOP - 14, "Hours worked, by the week of finishing", "g-label")
    most = max(week.worked for week in progress.weeks)
    if not most:
        canvas.text(LEFT, (BARS_TOP + BARS_DOWN) / 2, "Nobody wrote what the jobs took.")
        return canvas.markup()
    hours = Axis(0.0, most / 60, BARS_DOWN, BARS_TOP, ticks=3, margin=0.0)
    _scale(canvas, hours)
    for week in progress.weeks:
        monday = dt.date.fromisoformat(week.monday)
        begin, end, top = days.at(monday), days.at(monday + WEEK), hours.at(week.worked / 60)
        canvas.rect(begin + 1, top, max(end - begin - 2, 1.5), BARS_DOWN - top, "g-stock")
        if week.untimed:
            canvas.text((begin + end) / 2, top - 3, "?", "g-tick g-over", "middle")
    canvas.line(LEFT, BARS_DOWN, RIGHT, BARS_DOWN, "g-axis")
    return canvas.markup()


def worked_words(week: WorkedWeek) -> str:
    """What was worked at the jobs finished in a week, with how many of them nobody timed."""
    untimed = f", {week.untimed} job{'' if week.untimed == 1 else 's'} of unknown time" if week.untimed else ""
    return minutes(week.worked) + untimed


def _done_so_far(canvas: Canvas, findings: BuildFindings, days: Days, total: float) -> None:
    """The curve of what is done under the line of all that is estimated."""
    progress = findings.progress
    hours = Axis(0.0, total / 60, DOWN, TOP, ticks=4, margin=0.0)
    _scale(canvas, hours)
    now = days.at(dt.date.fromisoformat(findings.as_of or ""), 1.0)
    steps, height = [(LEFT, DOWN)], DOWN
    for day in progress.days:
        x = days.at(dt.date.fromisoformat(day.day), 1.0)
        steps += [(x, height), (x, height := hours.at(day.expected_done / 60))]
    steps += [(now, height)]
    canvas.polygon([*steps, (now, DOWN)], "g-done-area")
    canvas.polyline(steps, "g-line")
    canvas.line(LEFT, hours.at(total / 60), RIGHT, hours.at(total / 60), "g-nought")
    canvas.text(
        min(now, RIGHT) - 6,
        max(height - 6, TOP + 10),
        f"{about_hours(progress.expected_done)} done",
        "g-value g-over",
        "end",
    )
    if progress.expected_open:
        canvas.text(LEFT + 8, TOP + 14, f"{about_hours(progress.expected_open)} of estimates left", "g-value g-over")


def _scale(canvas: Canvas, hours: Axis) -> None:
    for value, words in hours.ticks():
        canvas.line(LEFT, hours.at(value), RIGHT, hours.at(value), "g-grid")
        canvas.text(LEFT - 4, hours.at(value) + 4, words, anchor="end")
