"""What was done between one instalment and the next, which numbers moved meanwhile, and what was put right since.

The numbers are today's findings of that time: a reading that was withdrawn since no longer counts, and the known error of an
instrument that was found off is taken out. What was put right is told beside them.
"""

import datetime as dt
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, replace
from typing import Literal

from gudgeon.assess.findings import BuildFindings, FeatureFinding, FitFinding
from gudgeon.records.build_file import Review
from gudgeon.records.cuts import Cut
from gudgeon.records.model import Build, Instalment
from gudgeon.records.operations import Operation
from gudgeon.records.readings import Row
from gudgeon.records.running import Run
from gudgeon.story.not_kept import moving_halves, not_kept
from gudgeon.wording import UnitFormatter


@dataclass(frozen=True)
class Stretch:
    """The days that an instalment covers. after: the day of the one before it, which told of that day; None for the first."""

    after: dt.date | None
    until: dt.date

    @property
    def first(self) -> dt.date | None:
        """Its first day; None where it has none."""
        return self.after + dt.timedelta(days=1) if self.after else None

    def __contains__(self, day: dt.date) -> bool:
        return day <= self.until and (self.after is None or day > self.after)


Step = tuple[
    dt.date, float, tuple[str, ...]
]  # the day of a number, the number in mm, and the readings that it came with


@dataclass(frozen=True)
class Moved:
    """A fit or a size whose number moved, mm. was: None where there was none before, or it is not kept; between: what it was meanwhile; low, high:
    what was wanted at the end."""

    kind: Literal["fit", "size"]
    id: str
    was: float | None
    between: tuple[float, ...]
    now: float
    low: float | None
    high: float | None
    rows: tuple[str, ...]
    day: dt.date
    not_kept: bool = False  # it was read before, but the number of then is not kept; was is None
    known_then: float | None = None  # as it was known on that day, where an instrument found off later was in it

    def said(self, mm: float, fmt: UnitFormatter) -> str:
        """One of its numbers as text."""
        return fmt.clearance_text(mm) if self.kind == "fit" else fmt.size_text(mm)


@dataclass(frozen=True)
class Correction:
    """Something that was put right. rows: the readings that it touches; fit: whose range it was."""

    day: dt.date
    kind: Literal["reading withdrawn", "reading put right", "instrument found off", "range given up"]
    name: str  # of the reading, the instrument or the fit
    because: str
    rows: tuple[str, ...] = ()
    by: str | None = None


@dataclass(frozen=True)
class Done:
    """What the records have of a stretch of days, in their order."""

    stretch: Stretch
    operations: dict[str, Operation]
    rows: tuple[Row, ...]
    cuts: tuple[Cut, ...]
    runs: tuple[Run, ...]
    verdicts: tuple[Review, ...]
    moved: tuple[Moved, ...]  # those that had a number before first
    corrections: tuple[Correction, ...]  # made in these days, of what stood before
    put_right_since: tuple[Correction, ...]  # made later, of what was read or told in these days

    @property
    def any(self) -> bool:
        """Whether there is anything to tell."""
        told = (self.operations, self.rows, self.cuts, self.runs, self.verdicts, self.corrections)
        return any(told)


def stretch_of(told: Instalment, all_of_them: Sequence[Instalment]) -> Stretch:
    """From the newest instalment before it to its own day. Of several of one day the first has what was done up to it."""
    before = all_of_them[: all_of_them.index(told)]
    return Stretch(max((earlier.head.date for earlier in before), default=None), told.head.date)


def what_was_done(build: Build, findings: BuildFindings, told: Instalment) -> Done:
    """What the records have of the time that an instalment covers."""
    stretch = stretch_of(told, build.instalments)
    rows = tuple(row for row in build.rows if row.date in stretch)
    moved = tuple(_moved(build, findings, stretch))
    about = {*told.head.about, *(change.id for change in moved if change.kind == "fit")}
    read = {row.id for row in rows}
    every = sorted(_corrections(build, findings), key=lambda correction: (correction.day, correction.name))
    return Done(
        stretch,
        {
            op_id: operation
            for op_id, operation in sorted(build.operations.items(), key=lambda pair: pair[1].done or dt.date.max)
            if operation.done and operation.done in stretch
        },
        tuple(row for row in rows if row.id not in build.withdrawn),
        tuple(cut for cut in build.standing_cuts if cut.date in stretch),
        tuple(run for run in build.standing_runs if run.date in stretch),
        tuple(review for review in build.standing_reviews if review.date in stretch),
        tuple(sorted(moved, key=lambda change: (change.was is None and not change.between, change.id not in about))),
        tuple(correction for correction in every if correction.day in stretch),
        tuple(
            replace(correction, rows=tuple(row for row in correction.rows if row in read))
            for correction in every
            if correction.day > stretch.until
            and (read & set(correction.rows) if correction.rows else correction.name in about)
        ),
    )


def _moved(build: Build, findings: BuildFindings, stretch: Stretch) -> Iterator[Moved]:
    fmt = UnitFormatter(findings.units)
    for fit in findings.fits.values():
        steps = [(dt.date.fromisoformat(move.date), move.clearance, move.rows) for move in fit.moves]
        lost = _lost_before(build, findings, stretch, moving_halves(build, fit), steps, fit=True)
        for change in _change("fit", fit.id, steps, wanted_on(fit, stretch.until), stretch, fmt, lost):
            last = next(move for move in reversed(fit.moves) if dt.date.fromisoformat(move.date) in stretch)
            yield replace(change, known_then=last.known_then)
    for feature in findings.features.values():
        steps = [(dt.date.fromisoformat(step.date), step.decides, step.rows) for step in feature.history]
        # An angle or a count is no length: it has no size to draw.
        if build.features[feature.ref].is_length:
            lost = _lost_before(build, findings, stretch, [feature.ref], steps, fit=False)
            yield from _change("size", feature.ref, steps, _wanted_size(feature), stretch, fmt, lost)


def _lost_before(
    build: Build, findings: BuildFindings, stretch: Stretch, refs: list[str], steps: list[Step], *, fit: bool
) -> bool:
    """Whether the number at the end of the day before the stretch is not kept."""
    if stretch.after is None or not any(day in stretch for day, _, _ in steps):
        return False
    return not_kept(build, findings, refs, [(day, rows) for day, _, rows in steps], stretch.after, fit)


def _change(
    kind: Literal["fit", "size"],
    name: str,
    steps: Iterable[Step],
    wanted: tuple[float | None, float | None],
    stretch: Stretch,
    fmt: UnitFormatter,
    lost: bool,
) -> Iterator[Moved]:
    """lost: what it was before is not kept."""
    was, within = None, []
    for day, value, rows in steps:
        if day in stretch:
            within.append((day, value, rows))
        elif day <= stretch.until:
            was = value
    if lost:
        was = None
    if within:
        day, now, rows = within[-1]
        change = Moved(kind, name, was, tuple(value for _, value, _ in within[:-1]), now, *wanted, rows, day, lost)
        if was is None or any(change.said(value, fmt) != change.said(was, fmt) for _, value, _ in within):
            yield change


def wanted_on(fit: FitFinding, day: dt.date) -> tuple[float | None, float | None]:
    """What was wanted of a fit on a day, mm; a range that was given up without a day is not taken into account."""
    given_up = sorted(
        (dt.date.fromisoformat(was.until), was.want_low, was.want_high) for was in fit.wanted_before if was.until
    )
    return next(((low, high) for until, low, high in given_up if until > day), (fit.want_low, fit.want_high))


def _wanted_size(feature: FeatureFinding) -> tuple[float | None, float | None]:
    if feature.stock:
        return feature.stock.target_low, feature.stock.target_high
    return feature.limits or (None, None)


def _corrections(build: Build, findings: BuildFindings) -> Iterator[Correction]:
    for row_id, withdrawal in build.withdrawn.items():
        yield Correction(withdrawal.date, "reading withdrawn", row_id, withdrawal.because, (row_id,), withdrawal.by)
    for row in build.rows:
        if row.supersedes and row.id not in build.withdrawn:
            yield Correction(row.date, "reading put right", row.supersedes, row.note or "", (row.supersedes,), row.by)
    for recall in findings.recalls:
        found_off = build.instruments[recall.instrument].found_off
        if found_off:
            yield Correction(found_off.found, "instrument found off", recall.instrument, found_off.how, recall.rows)
    for fit_id, fit in build.fits.items():
        for was in fit.wanted_before:
            if was.until:
                yield Correction(was.until, "range given up", fit_id, was.because)
