"""Who measured, when and with what: of some readings, in a line."""

from collections.abc import Iterable

from gudgeon.pages.view import View


def who_measured(view: View, rows: Iterable[str]) -> str:
    """People, days and instruments behind readings, each once in the order of the readings; empty where there is none."""
    read = [view.rows[row] for row in rows if row in view.rows]
    if not read:
        return ""
    people = _joined(view.person(row.by) for row in read)
    gauges = _joined(view.instrument_name(row.gauge) for row in read)
    days = sorted({row.date for row in read})
    when = f"{days[0]}" if len(days) == 1 else f"{days[0]} to {days[-1]}"
    return f"{people}, {when}, with {gauges}"


def _joined(names: Iterable[str]) -> str:
    several = list(dict.fromkeys(names))
    return several[0] if len(several) == 1 else f"{', '.join(several[:-1])} and {several[-1]}"
