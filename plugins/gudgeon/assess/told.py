"""The numbers that the story ties to findings, beside what the records said on the day of their instalment, and say now."""

from collections.abc import Container, Iterable
from dataclasses import dataclass
from datetime import date

from gudgeon_calc.units import GRAIN

from gudgeon.assess.findings import BuildFindings
from gudgeon.assess.findings.told import NumberTold, Verdict
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
    overtaken: bool = False  # read, and moved since by something done


def numbers_told(
    build: Build, shelf: Knowledge, findings: BuildFindings, instalments: Container[str] | None = None
) -> tuple[NumberTold, ...]:
    """Every tied number of a build's story, in order. findings: of the whole build. instalments: only those of these files.

    Each day on which something is tied is worked out once, without plans, sums and rules: a tenth of what a build takes.
    """
    tied = [
        (told, ties)
        for told in build.instalments
        if (instalments is None or told.slug in instalments) and (ties := ties_of(build, told))
    ]
    days: dict[date, _Day] = {}
    now = _Day(measured_build(build, shelf, Steps())) if tied else None
    numbers: list[NumberTold] = []
    for told, ties in tied:
        assert now is not None, "it is worked out where anything is tied"
        on = told.head.date
        if on not in days:
            days[on] = _Day(measured_build(as_it_stood(build, on), shelf, Steps()))
        numbers += [_number(days[on], now, findings, told.slug, on, tie) for tie in ties]
    return tuple(numbers)


def _number(day: "_Day", today: "_Day", findings: BuildFindings, instalment: str, on: date, tie: ReadTie) -> NumberTold:
    to = tie.to
    then, now = day.said(tie), today.said(tie)
    rows = findings.rows
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
        read_on=_newest_day(day, then.rows),
        overtaken=then.overtaken,
        now=None if now.overtaken else now.value,  # what counts no more says nothing now
        now_read_on=None if now.overtaken or now.value is None else _newest_day(today, now.rows),
        now_state=_state(findings, to),
        gone_since=tuple(row for row in then.rows if rows[row].status in GONE),
        found_off_since=tuple(
            recall.instrument
            for recall in findings.recalls
            if recall.found > on.isoformat() and any(row in recall.rows for row in then.rows)
        ),
        source=source(tie.tie.where),
        column=tie.tie.where.column,
    )


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
        return _Said(value, rows if value is not None else (), now.clearance is None and last is not None)

    def _places(self, ref: str) -> tuple[list[LocalSize], bool]:
        """The places of a feature as it was read last, and whether something has moved it since."""
        here, history = self.context.local_sizes(ref), self.context.history(ref)
        return (here, False) if here or not history else (list(history[-1].places), True)

    def _size(self, ref: str, station: float | None) -> _Said:
        places, overtaken = self._places(ref)
        feature = self.context.build.features[ref]
        if (
            station is not None
        ):  # as read there; the surface through all places says what decides, and no place by itself
            places = [place for place in places if place.station is not None and abs(place.station - station) <= GRAIN]
        if not places:
            return _Said(None)
        if station is not None:
            return _Said(feature.deciding(places, lambda place: place.mm).mm, _rows(places), overtaken)
        deciding = self.context.worst(ref, places).at("least" if feature.least_decides else "greatest")
        return _Said(deciding.mm, _rows(places), overtaken)

    def _form(self, ref: str, form: str) -> _Said:
        """Ovality as against its limit where it has one, else the greatest of the sections; taper without its direction."""
        places, overtaken = self._places(ref)
        if overtaken or not places:
            return _Said(None, (), overtaken)
        for verdict in form_verdicts(self.context, ref):
            if verdict.what == form:
                return _Said(None if verdict.value is None else abs(verdict.value), _rows(places))
        shape = form_of(places, self.context.build.features[ref].least_decides)
        values = [] if shape is None else [section.ovality for section in shape.sections]
        if form == "taper" and shape is not None:
            values = [shape.taper_fit]
        return _Said(max((abs(value) for value in values if value is not None), default=None), _rows(places))

    def _reading(self, row_id: str, written: WrittenLength) -> _Said:
        """A reading as it was written down: any one of the row, or their mean."""
        row = self.context.rows.get(row_id)
        if row is None:
            return _Said(None)
        as_read = [*(float(reading) for reading in row.reads), mean_reading(row)]
        agreeing = (value for value in as_read if written.holds(value))
        gone = self.context.row_status(row_id) in (*GONE, "held back")
        return _Said(next(agreeing, as_read[-1]), (row_id,), gone)


def _rows(places: Iterable[LocalSize]) -> tuple[str, ...]:
    return tuple(dict.fromkeys(row for place in places for row in place.rows))
