"""A calendar of the work to go: a row a job, its bar on the days of the plan, waits hatched, and lines to what waits for it."""

import datetime as dt
import math
from collections.abc import Callable
from dataclasses import dataclass

from markupsafe import Markup

from gudgeon.assess.findings import BuildFindings, PlannedJob
from gudgeon.drawing import hatching
from gudgeon.drawing.canvas import Canvas
from gudgeon.drawing.dimensions import LETTER
from gudgeon.drawing.legend import legend, wrapped
from gudgeon.drawing.scales import Axis, Days
from gudgeon.wording import MARKS, can_wait, decides, minutes, number, upper_first

LINE, BAR = 14.0, 13.0  # height of a line of words, and of a bar
TOP = 24.0  # room for the days above the first row
MOST = 40  # jobs that are drawn; the rest stand in the list


@dataclass(frozen=True)
class _Sheet:
    """How wide a calendar is. title: width of the words of a job; beside: whether they stand left of the bars and not above."""

    name: str
    width: float
    title: float
    beside: bool


# So narrow that letters are 11 px high on a phone of 320.
NARROW = _Sheet("narrow", 300.0, 286.0, beside=False)
BROAD = _Sheet("broad", 680.0, 226.0, beside=True)


def calendar(findings: BuildFindings, link: Callable[[str], str]) -> Markup | None:
    """The plan as a calendar, for a phone and for a desk; None where nothing is left. link: an operation -> its sheet."""
    if not findings.forecast.plan:
        return None
    return Markup('<div class="g-narrow">{}</div><div class="g-broad">{}</div>').format(
        _drawn(findings, link, NARROW), _drawn(findings, link, BROAD)
    )


def job_words(findings: BuildFindings, job: PlannedJob) -> str:
    """How long a job takes, what it can wait, and what rests after it."""
    forecast, name = findings.forecast, job.operation
    if name in forecast.overrun:
        words = ["longer than estimated, the rest not known"]
    elif name in forecast.to_go:
        words = [minutes(forecast.to_go[name])]
    else:
        words = ["no estimate"]
    words += [can_wait(job.spare)]
    operation = findings.operations[name]
    words += [f"then rests {number(operation.wait_days, 0)} d"] if operation.wait_days >= 0.5 else []
    words += [f"holding {operation.holding}"] if operation.holding else []
    return ", ".join(words)


def _drawn(findings: BuildFindings, link: Callable[[str], str], sheet: _Sheet) -> Markup:
    jobs = findings.forecast.plan[:MOST]
    left = 14.0 if not sheet.beside else 14.0 + sheet.title + 10.0
    last = max(1.0, math.ceil(max(job.free for job in jobs)))
    at, ticks = _axis(findings.as_of, last, left, sheet.width - 14.0)
    rows = _rows(findings, jobs, sheet)
    bottom = rows[-1][0] + (BAR + 12.0 if not sheet.beside else rows[-1][2])
    described = "; ".join(
        f"{findings.operations[job.operation].does}: {job_words(findings, job)}, {_from_to(findings.as_of, job)}"
        for job in jobs
    )
    canvas = Canvas(
        f"calendar-{sheet.name}",
        "Calendar of the work to go",
        described + ".",
        bottom + (40.0 if sheet.beside else 56.0),
        sheet.width,
        links=True,
    )
    waits = hatching.hatch(canvas, "waits", css="g-cut")
    held = hatching.dotted(canvas, "held")
    for x, words in ticks:
        canvas.line(x, TOP - 8, x, bottom, "g-grid")
        canvas.text(min(max(x, left + 8), sheet.width - 30), 12, words, anchor="middle")
    if not _dated(findings.as_of, last):
        canvas.text(sheet.width - 14, bottom + 12, "days from the start", anchor="end")
    bars = {job.operation: (at(job.free), top) for job, (top, _, _) in zip(jobs, rows, strict=True)}
    for job, (top, _, _) in zip(jobs, rows, strict=True):
        for need in findings.operations[job.operation].waits_for:
            if need in bars:
                x, y = bars[need]
                below = top + BAR / 2
                canvas.polyline([(x, y + BAR), (x, below), (max(at(job.start), x), below)], "g-wait-line")
    for job, (top, title, _) in zip(jobs, rows, strict=True):
        operation = findings.operations[job.operation]
        rests_from = max((bars[need][0] for need in operation.waits_for if need in bars), default=at(0.0))
        if at(job.ready) - rests_from > 1.0:
            canvas.rect(rests_from, top + 3, at(job.ready) - rests_from, BAR - 6, "g-rest", waits)
        first, end, free = at(job.start), at(job.end), at(job.free)
        if free - end > 1.0:
            canvas.rect(end, top + 3, free - end, BAR - 6, "g-rest", waits)
        unknown = job.operation not in findings.forecast.to_go or job.operation in findings.forecast.overrun
        if unknown:
            canvas.rect(first, top, 12, BAR, "g-guess")
            canvas.text(first + 3.5, top + BAR - 2.5, "?")
        else:
            canvas.rect(first, top, max(end - first, 3.0), BAR, "g-chain" if decides(job.spare) else "g-node")
            if operation.holding:
                canvas.rect(first, top, max(end - first, 3.0), BAR, "g-held", held)
        with canvas.link(link(job.operation), f"{upper_first(operation.does)}: its sheet"):
            y = top - LINE * len(title) + 10 - 4 if not sheet.beside else top + 10
            for line in title:
                canvas.text(14, y, f"{line} ", "g-tick g-over")  # the blank parts the words for who hears them
                y += LINE
        said = job_words(findings, job)
        wide, shown = LETTER * len(said), max(end, first + 12.0, free)
        if shown + 6 + wide < sheet.width:
            canvas.text(shown + 6, top + BAR - 2.5, said, "g-tick g-over")
        elif first - 6 - wide > left and not operation.waits_for:
            canvas.text(first - 6, top + BAR - 2.5, said, "g-tick g-over", "end")
        else:  # below the bar, clear of the lines that lead to it
            canvas.text(sheet.width - 10, top + BAR + LINE - 2, said, "g-tick g-over", "end")
    holdings = any(findings.operations[job.operation].holding for job in jobs)
    legend(
        canvas,
        [
            ("g-chain", None, "cannot wait"),
            ("g-node", None, "can wait"),
            *([("g-rest", waits, "rests, nobody at work")] if any(_rests(findings, job) for job in jobs) else []),
            *([("g-held", held, "one holding")] if holdings else []),
        ],
        14,
        bottom + 18,
        sheet.width - 4,
    )
    return canvas.markup()


def _rests(findings: BuildFindings, job: PlannedJob) -> bool:
    """Whether time passes after a job, or before it, with nobody at work."""
    free = {other.operation: other.free for other in findings.forecast.plan}
    needed = [free[need] for need in findings.operations[job.operation].waits_for if need in free]
    return job.free > job.end or job.ready > max(needed, default=0.0)


def _rows(findings: BuildFindings, jobs: tuple[PlannedJob, ...], sheet: _Sheet) -> list[tuple[float, list[str], float]]:
    """Of each job where its bar stands, its words in lines, and how much the row takes from there."""
    rows, top = [], TOP
    for job in jobs:
        operation = findings.operations[job.operation]
        title = wrapped(f"{MARKS[operation.state]} {upper_first(operation.does)}", sheet.title, 3)
        if sheet.beside:
            tall = max(LINE * len(title), BAR + LINE) + 8
            rows.append((top, title, tall))
            top += tall
        else:
            top += LINE * len(title)
            rows.append((top, title, BAR + 20))
            top += BAR + 20
    return rows


def _axis(as_of: str | None, last: float, left: float, right: float) -> tuple[Callable[[float], float], list]:
    """(where so many days from the newest record stand, the ticks with their words)."""
    if not _dated(as_of, last):
        plain = Axis(0.0, last, left, right, margin=0.0)
        return plain.at, [(plain.at(value), words) for value, words in plain.ticks()]
    first = dt.date.fromisoformat(as_of or "")
    days = Days(first, first + dt.timedelta(days=last), left, right)
    return lambda day: days.at(first, day), [(days.at(stop), words) for stop, words in days.ticks()]


def _dated(as_of: str | None, last: float) -> bool:
    """Whether days have dates: the records have a newest day, and so many days after it is not beyond all calendars."""
    return as_of is not None and last < (dt.date.max - dt.date.fromisoformat(as_of)).days


def _from_to(as_of: str | None, job: PlannedJob) -> str:
    if not _dated(as_of, job.end):
        return f"from day {number(job.start, 0)} to day {number(job.end, 0)}"
    first, end = (
        dt.date.fromisoformat(as_of or "") + dt.timedelta(days=math.floor(day)) for day in (job.start, job.end)
    )
    return f"from {first} to {end}"
