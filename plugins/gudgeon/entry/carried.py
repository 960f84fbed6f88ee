"""What a line leaves out at its ends, taken from the row that was entered before it on the same evening."""

import datetime
from collections.abc import Callable
from dataclasses import replace

from gudgeon.entry.line import Entered
from gudgeon.entry.sizes import NotClear
from gudgeon.records.model import Build
from gudgeon.records.readings import Row

HOLDS = 180  # minutes; a shop warms in an evening: older temperatures are asked for anew, as on a phone. Common practice, no source


def carried_over(build: Build, day: datetime.date, by: str | None, clock: str | None) -> tuple[Entered, Row] | None:
    """The gauge of the row before it of that day and hand, and its temperatures while they hold. by: whose rows; of all where
    nobody is named. clock: the time now; None: it is of a day, and its time is not known."""
    rows = [
        row
        for row in build.rows
        if row.date == day
        and row.id not in build.withdrawn
        and (by is None or row.by.lower() == by.lower())
        and row.gauge in build.instruments
        and build.instruments[row.gauge].vee is None
    ]
    if not rows:
        return None
    newest = max(rows, key=lambda row: (row.time or "", row.where()))
    said: dict[str, str | int | list[str]] = {"of": newest.of, "gauge": newest.gauge}
    if newest.part_temp and newest.gauge_temp and _holds(newest.time, clock):
        said |= {"part_temp": newest.part_temp.text, "gauge_temp": newest.gauge_temp.text}
        said |= {"thermometer": newest.thermometer} if newest.thermometer else {}
    return Entered(said, ""), newest


def _holds(then: str | None, now: str | None) -> bool:
    """Whether temperatures of a time still stand; of a day entered from a notebook no times need be known."""
    if now is None:
        return True
    return then is not None and 0 <= _minutes(now) - _minutes(then) <= HOLDS


def _minutes(time: str) -> int:
    hours, _, minutes = time.partition(":")
    return 60 * int(hours) + int(minutes)


def read_after(read: Callable[[Entered | None], Entered], before: tuple[Entered, Row] | None) -> Entered:
    """A line that names no gauge, with what it leaves out taken from the row before it, which is read back. A line that names its
    gauge is read as it stands: its temperatures may not have been noted. read(last): reads it with such an end."""
    if before is None:
        return read(None)
    last, row = before
    try:
        return read(None)
    except NotClear as unclear:
        try:
            entered = read(last)
        except NotClear:
            raise unclear from None  # what is wrong is not what was left out
    taken = "gauge and temperatures, where they are not said," if "part_temp" in last.row else "the gauge"
    return replace(entered, words=f"{entered.words}\n  {taken} as in row {row.id}")
