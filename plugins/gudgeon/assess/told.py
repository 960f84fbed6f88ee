"""The numbers that the story ties to findings, beside what the records said on the day of their instalment, and say now."""

from collections.abc import Callable, Container, Iterable, Sequence
from dataclasses import dataclass, replace
from datetime import date, timedelta

from gudgeon_calc.units import GRAIN

from gudgeon.assess.findings import BuildFindings
from gudgeon.assess.findings.told import NumberTold, Unknown, Verdict
from gudgeon.assess.fitting.fits import fit_finding
from gudgeon.assess.measuring.form_limits import form_verdicts
from gudgeon.assess.measuring.forms import form_of
from gudgeon.assess.measuring.measured_build import MeasuredBuild, measured_build
from gudgeon.assess.measuring.mistakes import source
from gudgeon.assess.measuring.sizes import LocalSize, mean_reading
from gudgeon.assess.steps import Steps
from gudgeon.records.as_it_stood import as_it_stood
from gudgeon.records.model import Build, Knowledge
from gudgeon.records.ties import ReadTie, TiedTo, ties_of
from gudgeon.records.written_length import WrittenLength

GONE = ("withdrawn", "superseded")  # what no longer says anything, though it did once


@dataclass(frozen=True)
class _Said:
    """What the records say of something: mm, None where that is not known. rows: the readings behind it."""

    value: float | None
    rows: tuple[str, ...] = ()
    unknown: Unknown | None = None  # why it is not known, or counts no more though it was read

    @property
    def overtaken(self) -> bool:
        """Whether it was read, and counts no more."""
        return self.unknown == "moved" or (self.value is not None and self.unknown is not None)

    @property
    def counts(self) -> float | None:
        """The number, where it counts."""
        return None if self.overtaken else self.value


def numbers_told(
    build: Build, shelf: Knowledge, findings: BuildFindings, instalments: Container[str] | None = None
) -> tuple[NumberTold, ...]:
    """Every tied number of a build's story, in order. findings: of the whole build. instalments: only those of these files.

    Each day on which something is tied is worked out once, without plans, sums and rules; so is what they would say without
    a reason that may have moved one.
    """
    tied = [
        (told, ties)
        for told in build.instalments
        if (instalments is None or told.slug in instalments) and (ties := ties_of(build, told))
    ]
    if not tied:
        return ()
    days = _Days(build, shelf)
    return tuple(_number(days, findings, told.slug, told.head.date, tie) for told, ties in tied for tie in ties)


def _number(days: "_Days", findings: BuildFindings, instalment: str, on: date, tie: ReadTie) -> NumberTold:
    to, rows = tie.to, findings.rows
    day, today = days.at(on), days.today
    then, now = day.said(tie), today.said(tie)
    gone = tuple(row for row in then.rows if rows[row].status in GONE)
    has_moved = then.value is not None and not _same(then.value, now.counts)
    return NumberTold(
        instalment=instalment,
        day=on.isoformat(),
        says=tie.tie.words,
        target=tie.tie.target,
        of=to.kind,
        about=to.name,
        station=to.station,
        form=to.form,
        verdict=_verdict(findings, tie, then.value),
        then=then.value,
        unknown_then=then.unknown,
        read_on=_newest_day(day, then.rows),
        first_read_on=_first_day(today, findings, to),
        overtaken=then.overtaken,
        cut_withdrawn=(
            then.unknown == "moved"
            and any(entry.date > on for entry in days.build.cut_withdrawals)
            and not days.without_cuts_withdrawn(on).said(tie).overtaken
        ),
        now=now.counts,  # what counts no more says nothing now
        unknown_now=now.unknown,
        now_read_on=_day_of_move(days, tie, now) if has_moved else None,
        now_state=_state(findings, to),
        gone_since=gone,
        gone_moved_it=has_moved and bool(gone) and not _same(days.with_what_is_gone(on).said(tie).counts, now.counts),
        found_off_since=_found_off(days, findings, on, tie) if has_moved else (),
        source=source(tie.tie.where),
        column=tie.tie.where.column,
    )


def _same(one: float | None, other: float | None) -> bool:
    return one is other or (one is not None and other is not None and abs(one - other) <= GRAIN)


def _found_off(days: "_Days", findings: BuildFindings, on: date, tie: ReadTie) -> tuple[str, ...]:
    """The instruments found off after a day that moved a number: without them it would be another one."""
    rows = {*days.at(on).said(tie).rows, *days.today.said(tie).rows}
    recalls = [
        recall for recall in findings.recalls if recall.found > on.isoformat() and not rows.isdisjoint(recall.rows)
    ]
    now = days.today.said(tie).counts
    return tuple(
        recall.instrument
        for recall in recalls
        if not _same(days.without_error_of(recall.instrument).said(tie).counts, now)
    )


def _day_of_move(days: "_Days", tie: ReadTie, now: _Said) -> str | None:
    """The day of the newest reading of a number, where the records say this number since that day."""
    newest = _newest_day(days.today, now.rows) if now.counts is not None else None
    if newest is None or tie.to.kind == "reading":
        return newest
    on = date.fromisoformat(newest)
    before, of_the_day = days.at(on - timedelta(days=1)).said(tie), days.at(on).said(tie)
    return newest if _same(of_the_day.counts, now.counts) and not _same(before.value, now.counts) else None


def _first_day(today: "_Day", findings: BuildFindings, to: TiedTo) -> str | None:
    """The first day on which a number was known, of what counts or once did; None where that is not worked out."""
    if to.kind == "fit":
        moves = findings.fits[to.name].moves
        return moves[0].date if moves else None
    if to.kind == "reading":
        return _newest_day(today, [to.name])
    if to.form:
        return None
    places = [place for state in today.context.history(to.name) for place in state.places]
    rows = _rows(_at(places, to.station))
    return min((today.context.rows[row].date.isoformat() for row in rows), default=None)


def _verdict(findings: BuildFindings, tie: ReadTie, then: float | None) -> Verdict:
    if then is None:
        return "nothing read"
    written = tie.written
    tight = written.tight
    if tight is None and tie.to.kind == "fit" and not written.minus:
        # Where nothing but an interference is wanted, a number without a sign or a word is one.
        low, high = findings.fits[tie.to.name].want_low, findings.fits[tie.to.name].want_high
        tight = low is not None and high is not None and low < -GRAIN and high <= GRAIN
    if tight is False and then < 0 and not written.nought:
        return "disagrees"
    return "agrees" if (written.holds_as_interference if tight else written.holds)(then) else "disagrees"


def _newest_day(day: "_Day", rows: Iterable[str]) -> str | None:
    return max((day.context.rows[row].date.isoformat() for row in rows), default=None)


def _state(findings: BuildFindings, to: TiedTo) -> str:
    if to.kind == "fit":
        return findings.fits[to.name].state
    return findings.rows[to.name].status if to.kind == "reading" else findings.features[to.name].state


class _Days:
    """What the records say of each day that is asked for, and would say without something; each is worked out once."""

    def __init__(self, build: Build, shelf: Knowledge):
        self.build, self._shelf = build, shelf
        self._days: dict[tuple[str, date | str | None], _Day] = {}

    @property
    def today(self) -> "_Day":
        """As they are now."""
        return self._once(("now", None), lambda: self.build)

    def at(self, day: date) -> "_Day":
        """As they stood at the end of a day."""
        return self._once(("at", day), lambda: as_it_stood(self.build, day))

    def without_cuts_withdrawn(self, day: date) -> "_Day":
        """As they stood then, without the cuts that were withdrawn by now as not made."""
        return self._once(
            ("without cuts", day),
            lambda: replace(as_it_stood(self.build, day), cut_withdrawals=self.build.cut_withdrawals),
        )

    def with_what_is_gone(self, day: date) -> "_Day":
        """As they are now, had no reading of a day or before been withdrawn or put right after it."""
        return self._once(("with gone", day), lambda: self._with_what_is_gone(day))

    def _with_what_is_gone(self, day: date) -> Build:
        build = self.build
        read = {row.id for row in build.rows if row.date <= day}
        return replace(
            build,
            rows=[row for row in build.rows if not (row.date > day and row.supersedes in read)],
            reading_withdrawals=[
                entry for entry in build.reading_withdrawals if not (entry.date > day and entry.withdraws in read)
            ],
        )

    def without_error_of(self, instrument: str) -> "_Day":
        """As they are now, had an instrument not been found off."""
        build = self.build
        right = build.instruments[instrument].model_copy(update={"found_off": None})
        return self._once(
            ("without error", instrument), lambda: replace(build, instruments={**build.instruments, instrument: right})
        )

    def _once(self, key: tuple[str, date | str | None], made: Callable[[], Build]) -> "_Day":
        if key not in self._days:
            self._days[key] = _Day(measured_build(made(), self._shelf, Steps()))
        return self._days[key]


class _Day:
    """What the records of one day say."""

    def __init__(self, context: MeasuredBuild):
        self.context = context
        self._said: dict[TiedTo, _Said] = {}

    def said(self, tie: ReadTie) -> _Said:
        """What they say of what a number is tied to."""
        to = tie.to
        if to.kind == "reading":
            return self._reading(to.name, tie.written)
        if to not in self._said:
            if to.kind == "fit":
                self._said[to] = self._fit(to.name)
            else:
                self._said[to] = self._form(to.name, to.form) if to.form else self._size(to.name, to.station)
        return self._said[to]

    def _fit(self, fit_id: str) -> _Said:
        fit = self.context.build.fits[fit_id]
        now = fit_finding(self.context, fit_id, fit)
        last = now.moves[-1].clearance if now.moves else None
        refs = [ref for ref in dict.fromkeys(fit.halves) if ref in self.context.build.features]
        value = last if now.clearance is None else now.clearance
        rows = tuple(dict.fromkeys(row for ref in refs for row in _rows(self._places(ref)[0])))
        if now.clearance is None:
            return _Said(last, rows, "moved") if last is not None else _Said(None, (), self._why_unknown(refs))
        return _Said(value, rows)

    def _places(self, ref: str) -> tuple[list[LocalSize], bool]:
        """The places of a feature as it was read last, and whether something has moved it since."""
        here, history = self.context.local_sizes(ref), self.context.history(ref)
        return (here, False) if here or not history else (list(history[-1].places), True)

    def _size(self, ref: str, station: float | None) -> _Said:
        read, overtaken = self._places(ref)
        feature = self.context.build.features[ref]
        # As read at a station; the surface through all places says what decides, and no place by itself.
        places = _at(read, station)
        if not places:
            return _Said(None, (), "in part" if read else self._why_unknown([ref]))
        unknown = "moved" if overtaken else None
        if station is not None:
            return _Said(feature.deciding(places, lambda place: place.mm).mm, _rows(places), unknown)
        deciding = self.context.worst(ref, places).at("least" if feature.least_decides else "greatest")
        return _Said(deciding.mm, _rows(places), unknown)

    def _form(self, ref: str, form: str) -> _Said:
        """Ovality as against its limit where it has one, else the greatest of the sections; taper without its direction."""
        places, overtaken = self._places(ref)
        if not places:
            return _Said(None, (), self._why_unknown([ref]))
        value = self._form_of(ref, form, places, overtaken)
        if value is None:
            return _Said(None, _rows(places), "in part")
        # What its limit would have been held to is not worked out of metal that is gone: no number is given.
        return _Said(None, _rows(places), "moved") if overtaken else _Said(value, _rows(places))

    def _form_of(self, ref: str, form: str, places: list[LocalSize], overtaken: bool) -> float | None:
        for verdict in () if overtaken else form_verdicts(self.context, ref):
            if verdict.what == form:
                return None if verdict.value is None else abs(verdict.value)
        shape = form_of(places, self.context.build.features[ref].least_decides)
        values = [] if shape is None else [section.ovality for section in shape.sections]
        if form == "taper" and shape is not None:
            values = [shape.taper_fit]
        return max((abs(value) for value in values if value is not None), default=None)

    def _why_unknown(self, refs: Iterable[str]) -> Unknown:
        """Why nothing is known of what was not read, or of which no reading counts."""
        lacking = {ref for ref in refs if not self._places(ref)[0]}
        if not lacking:
            return "in part"
        return "no reading counts" if any(row.of in lacking for row in self.context.rows.values()) else "not read"

    def _reading(self, row_id: str, written: WrittenLength) -> _Said:
        """A reading as it was written down: any one of the row, or their mean."""
        row = self.context.rows.get(row_id)
        if row is None:
            return _Said(None, (), "not read")
        as_read = [*(float(reading) for reading in row.reads), mean_reading(row)]
        agreeing = (value for value in as_read if written.holds(value))
        status = self.context.row_status(row_id)
        unknown = status if status in ("withdrawn", "superseded", "held back") else None
        return _Said(next(agreeing, as_read[-1]), (row_id,), unknown)


def _rows(places: Iterable[LocalSize]) -> tuple[str, ...]:
    return tuple(dict.fromkeys(row for place in places for row in place.rows))


def _at(places: Sequence[LocalSize], station: float | None) -> list[LocalSize]:
    """Those at a station; all of them where none is asked for."""
    return [
        place
        for place in places
        if station is None or (place.station is not None and abs(place.station - station) <= GRAIN)
    ]
