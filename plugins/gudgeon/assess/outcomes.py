"""What became of each fit that ran: what people said of it, and where nobody did, how long it has run by the log.

A pair runs with the sizes it has from one piece of work on its halves to the next. An outcome is of the sizes that it ran
with, never of those that the metal was given later.
"""

from bisect import bisect_right
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from datetime import date

from gudgeon_calc.units import reaches

from gudgeon.assess.findings import FitFinding, Note, OutcomeFinding
from gudgeon.assess.fitting.by_pairing import pairing_of
from gudgeon.assess.measuring.measured_build import MeasuredBuild
from gudgeon.assess.measuring.metal_states import cuts_of
from gudgeon.assess.measuring.mistakes import source
from gudgeon.assess.running import runs_that_count
from gudgeon.assess.steps import picked, picked_rows
from gudgeon.records.fits import Fit
from gudgeon.records.outcomes import NO_VERDICT, RAN_FREE, Outcome
from gudgeon.records.running import Run
from gudgeon.records.work_kinds import kinds_of_work


def outcome_findings(context: MeasuredBuild, fits: Mapping[str, FitFinding]) -> list[OutcomeFinding]:
    """What became of every fit that ran, and of parts of which somebody said it; the oldest first."""
    runs = sorted(runs_that_count(context.build, lambda run: float(run.hours) > 0), key=lambda run: run.date)
    said = _said(context)
    if not runs and not said:
        return []
    told: list[OutcomeFinding] = []
    for fit_id in picked(context.build.fits, lambda fit: True):
        told += _of_fit(context, fits[fit_id], context.build.fits[fit_id], runs, said)
    told += [_of_part(context, outcome, runs) for outcome in said if outcome.about not in context.build.fits]
    return sorted(told, key=lambda finding: (finding.last, finding.about, finding.outcome or ""))


def _said(context: MeasuredBuild) -> list[Outcome]:
    """What people said, and nobody withdrew, by day."""
    outcomes = picked_rows(context.build.outcomes, lambda outcome: True)
    withdrawn = {entry.withdraws for entry in picked_rows(context.build.outcome_withdrawals, lambda entry: True)}
    return sorted((one for one in outcomes if withdrawn.isdisjoint(one.names)), key=lambda one: one.date)


@dataclass(frozen=True)
class _Trial:
    """A stretch of days in which nobody worked on the halves of a fit. since: the day of the work before it; until: after it."""

    since: date | None
    until: date | None

    def holds(self, day: date) -> bool:
        """Whether something of a day came in it: of the day of the work itself what ran is taken as run after it."""
        return (self.since is None or day >= self.since) and (self.until is None or day < self.until)


def _of_fit(
    context: MeasuredBuild, finding: FitFinding, fit: Fit, runs: list[Run], said: list[Outcome]
) -> Iterator[OutcomeFinding]:
    days = sorted({day for ref in _halves(fit) for day, _ in _worked_on(context, ref)})
    trials = [_Trial(*between) for between in zip([None, *days], [*days, None], strict=True)]
    of_fit: list[list[Outcome]] = [[] for _ in trials]
    for outcome in said:
        if outcome.about == finding.id:
            of_fit[_trial_of(outcome, days, runs)].append(outcome)
    for trial, outcomes in zip(trials, of_fit, strict=True):
        ran = [run for run in runs if trial.holds(run.date)]
        if not ran and not outcomes:
            continue
        tells = _tells(outcomes)
        for outcome in outcomes:
            yield _by_people(context, finding, fit, trial, ran, outcome, outcome is tells)
        if not outcomes:
            yield from _by_log(context, finding, fit, trial, ran, said)


def _halves(fit: Fit) -> list[str]:
    """The features whose sizes make the clearance."""
    return [getattr(fit, name) for name in pairing_of(fit).moving]


UNRECORDED = ""  # the name of a cut that nobody wrote down: the reading of its day that tells of it came after it


def _worked_on(context: MeasuredBuild, ref: str) -> list[tuple[date, str]]:
    """The days on which a feature was given another size, each with the operation or the cut that did it."""
    build = context.build
    done = picked(build.operations, lambda operation: operation.done is not None)
    worked = [
        (operation.done, name)
        for name, operation in done.items()
        if operation.done is not None and ref in build.touched_by(operation)
    ]
    worked += [(cut.date, cut.label) for cut in cuts_of(build, ref)]
    worked += [(day, UNRECORDED) for day in context.metal(ref).days.values()]
    return sorted(worked)


def _trial_of(outcome: Outcome, days: list[date], runs: list[Run]) -> int:
    """Which trial an outcome is of. Said on the day of work on the halves it is of what ran before, unless it ran that day."""
    place = bisect_right(days, outcome.date)
    if place and days[place - 1] == outcome.date and not any(run.date == outcome.date for run in runs):
        place -= 1
    return place


def _tells(outcomes: list[Outcome]) -> Outcome | None:
    """The one of a trial that counts: the first that did not hold, else the last."""
    failed = [outcome for outcome in outcomes if outcome.result not in (RAN_FREE, NO_VERDICT)]
    return next(iter(failed), outcomes[-1] if outcomes else None)


def _by_people(
    context: MeasuredBuild,
    finding: FitFinding,
    fit: Fit,
    trial: _Trial,
    ran: list[Run],
    outcome: Outcome,
    tells: bool,
) -> OutcomeFinding:
    before = [run for run in ran if run.date <= outcome.date]
    written = None if outcome.clearance is None else float(outcome.clearance)
    clearance = _ran_with(context, finding, fit, trial, outcome.date) if written is None else written
    rule, why_not = outcome.rule, None
    if rule is None:
        rule, why_not = _rule_followed(finding, fit, outcome.date, clearance)
    if rule is not None and why_not is None and not tells:
        why_not = Note(code="outcome-of-same-run")
    return OutcomeFinding(
        about=finding.id,
        outcome=outcome.id or outcome.date.isoformat(),
        result=outcome.result,
        since=_day(trial.since),
        first=min((run.date for run in before), default=outcome.date).isoformat(),
        last=outcome.date.isoformat(),
        ended=_day(trial.until),
        minutes=_minutes(outcome, before),
        clearance=clearance,
        rule=rule,
        counts=rule is not None and why_not is None,
        why_not=why_not,
        load=outcome.load,
        said_by=_name(context, outcome.by),
        note=outcome.note,
        source=source(outcome.where()),
    )


def _by_log(
    context: MeasuredBuild, finding: FitFinding, fit: Fit, trial: _Trial, ran: list[Run], said: list[Outcome]
) -> Iterator[OutcomeFinding]:
    """How long a pair has run of which nobody said anything. Nothing is told where it followed no rule, or where nothing tells the
    clearance with which it ran: it may have been other metal then."""
    last = ran[-1].date
    clearance = _ran_with(context, finding, fit, trial, last)
    rule, why_not = _rule_followed(finding, fit, last, clearance)
    if rule is None or clearance is None:
        return
    parts = {name for ref in fit.halves for name in (ref, ref.partition(".")[0])}
    of_parts = [one for one in said if one.about in parts and one.result not in (RAN_FREE, NO_VERDICT)]
    failed = [one for one in of_parts if trial.holds(one.date) or one.date == trial.until]
    if failed:
        why_not = Note(
            code="outcome-of-its-part", words={"about": failed[0].about, "result": result_words(failed[0].result)}
        )
    yield OutcomeFinding(
        about=finding.id,
        outcome=None,
        result=NO_VERDICT,
        since=_day(trial.since),
        first=ran[0].date.isoformat(),
        last=last.isoformat(),
        ended=_day(trial.until),
        minutes=sum(float(run.hours) for run in ran),
        clearance=clearance,
        rule=rule,
        counts=why_not is None,
        why_not=why_not,
        load=ran[-1].load,
        said_by=None,
        note=None,
        source=source(ran[-1].where()),
    )


def _of_part(context: MeasuredBuild, outcome: Outcome, runs: list[Run]) -> OutcomeFinding:
    """What somebody said of a feature or a part as such: it is evidence of a rule only where it names one."""
    before = [run for run in runs if run.date <= outcome.date]
    return OutcomeFinding(
        about=outcome.about,
        outcome=outcome.id or outcome.date.isoformat(),
        result=outcome.result,
        since=None,
        first=min((run.date for run in before), default=outcome.date).isoformat(),
        last=outcome.date.isoformat(),
        ended=None,
        minutes=_minutes(outcome, before),
        clearance=None if outcome.clearance is None else float(outcome.clearance),
        rule=outcome.rule,
        counts=outcome.rule is not None,
        why_not=None,
        load=outcome.load,
        said_by=_name(context, outcome.by),
        note=outcome.note,
        source=source(outcome.where()),
    )


def _minutes(outcome: Outcome, ran: list[Run]) -> float | None:
    """As it was said, else by the log; None where neither tells."""
    if outcome.hours is not None:
        return float(outcome.hours)
    return sum(float(run.hours) for run in ran) if ran else None


def _ran_with(context: MeasuredBuild, finding: FitFinding, fit: Fit, trial: _Trial, last: date) -> float | None:
    """The clearance with which a pair ran: as it was read last before the end of its running, else as it was found after it,
    where nothing but measuring was done to its parts in between: else it may be of parts that were made since."""
    moves = [
        move
        for move in finding.moves
        if (trial.until is None or move.date < trial.until.isoformat())
        and all(_is_of_trial(context, ref, trial, move.date) for ref in _halves(fit))
    ]
    before = [move.clearance for move in moves if move.date <= last.isoformat()]
    if before or not moves:
        return before[-1] if before else None
    parts = {ref.partition(".")[0] for ref in fit.halves}
    made = picked(
        context.build.operations,
        lambda operation: (
            operation.done is not None and operation.part in parts and kinds_of_work(operation) != ("measuring",)
        ),
    )
    read_on = date.fromisoformat(moves[0].date)
    since = any(operation.done and last <= operation.done <= read_on for operation in made.values())
    return None if since else moves[0].clearance


def _is_of_trial(context: MeasuredBuild, ref: str, trial: _Trial, day: str) -> bool:
    """Whether what was known of a half on a day had been read since the last work on it before the trial ended."""
    worked = [entry for entry in _worked_on(context, ref) if trial.until is None or entry[0] < trial.until]
    if not worked:
        return True
    worked_on, work = worked[-1]
    read = [
        (max(context.rows[row].date for place in state.places for row in place.rows), state)
        for state in context.history(ref)
        if state.places
    ]
    known = [entry for entry in read if entry[0].isoformat() <= day]
    if not known:
        return False
    read_on, state = known[-1]
    return read_on > worked_on or (read_on == worked_on and work in (UNRECORDED, state.after, state.cut))


def _rule_followed(finding: FitFinding, fit: Fit, day: date, clearance: float | None) -> tuple[str | None, Note | None]:
    """The rule that a fit followed on a day, and why what it ran with is no evidence of it."""
    rule, low, high = fit.rule, finding.want_low, finding.want_high
    given_up = [was for was in fit.wanted_before if was.until is not None and day < was.until]
    if given_up:
        was = min(given_up, key=lambda was: (was.until, was.where()))
        rule, (low, high) = was.rule, (float(limit) for limit in was.want)
    if rule is None:
        return None, None
    if clearance is None:
        return rule, Note(code="outcome-clearance-not-known")
    if low is None and high is None:
        return rule, Note(code="outcome-range-not-known")
    if (low is not None and not reaches(clearance, low)) or (high is not None and not reaches(high, clearance)):
        return rule, Note(code="outcome-outside-range", lengths={"clearance": clearance})
    return rule, None


def result_words(result: str) -> str:
    """A result as one says it."""
    return result.replace("_", " ")


def _name(context: MeasuredBuild, person: str) -> str:
    return context.build.sound_head.people[person].name


def _day(day: date | None) -> str | None:
    return day.isoformat() if day else None
