"""Whether the number of a day is kept: a state of the metal that was read again has the number of its newest reading alone."""

import datetime as dt
from collections.abc import Container, Sequence

from gudgeon.assess.findings import BuildFindings, FitFinding
from gudgeon.records.model import Build
from gudgeon.records.readings import Row

NOT_KEPT = "read, number not kept"
WHY_NOT_KEPT = (
    "its readings have changed since (read again, put right or withdrawn), and what it was on that day is not kept"
)

Kept = tuple[dt.date, Sequence[str]]  # a number of the history: its day, and the readings that it came with


def moving_halves(build: Build, fit: FitFinding) -> list[str]:
    """The features whose readings move a fit; none where it has no history."""
    record = build.fits[fit.id]
    return [ref for ref in (record.outer, record.inner) if ref] if fit.moves else []


def not_kept(
    build: Build, findings: BuildFindings, refs: Sequence[str], history: Sequence[Kept], day: dt.date, fit: bool
) -> bool:
    """Whether all of these features were read by the end of a day, and no number of the history is that day's."""
    by_then = {ref: [row for row in build.rows if row.of == ref and row.date <= day] for ref in refs}
    if not refs or not all(by_then.values()):
        return False
    kept = [one for one in history if one[0] <= day]
    if not kept:
        return True  # a reading that was withdrawn since was read nevertheless
    newest = max(kept_day for kept_day, _ in kept)
    later = {row for one_day, rows in history if one_day > day for row in rows}
    return any(
        _could_move(build, findings, row, day, fit) and (row.date > newest or row.id in later)
        for rows in by_then.values()
        for row in rows
    )


def _could_move(build: Build, findings: BuildFindings, row: Row, day: dt.date, fit: bool) -> bool:
    """Whether a reading counted at the end of the day; for a fit only where the mate travels."""
    if findings.rows[row.id].status in ("withdrawn", "held back") or row.id in _put_right(build, day):
        return False
    swept = build.features[row.of].swept if fit else None
    return swept is None or row.station is None or float(swept[0]) <= float(row.station) <= float(swept[1])


def _put_right(build: Build, day: dt.date) -> Container[str]:
    return {row.supersedes for row in build.rows if row.supersedes and row.date <= day}
