"""What is due on a day: by the calendar, and by the hours of the running log."""

import datetime
from collections.abc import Iterator

from gudgeon_calc.units import reaches

from gudgeon.assess.findings import DueFinding, Note
from gudgeon.assess.measuring.mistakes import source
from gudgeon.assess.planning.operations import rests_until
from gudgeon.assess.running import concession_is_open, minutes_run, runs_that_count
from gudgeon.records.model import Build
from gudgeon.records.running import Run, Upkeep

STATES = ("overdue", "due", "coming", "not yet")  # as they are told


def due_on(build: Build, today: datetime.date | None) -> list[DueFinding]:
    """What of a build is due, was or will be, seen from a day; what is worst first. None: no day is known, and none is past."""
    listed = [*_gauges(build, today), *_concessions(build, today), *_waits(build, today), *_upkeep(build)]
    far = datetime.date.max.isoformat()
    return sorted(
        listed, key=lambda due: (STATES.index(due.state), due.day or far, due.at or 0.0, due.kind, due.subject)
    )


def _by_day(day: datetime.date, today: datetime.date | None) -> str:
    if today is None or day > today:
        return "coming"
    return "due" if day == today else "overdue"


def _gauges(build: Build, today: datetime.date | None) -> Iterator[DueFinding]:
    for name, gauge in build.instruments.items():
        if isinstance(gauge.due, datetime.date):
            checked = f"on {gauge.checked}" if isinstance(gauge.checked, datetime.date) else str(gauge.checked)
            yield DueFinding(
                kind="gauge check",
                subject=name,
                says=Note(code="due-gauge", subject=name, words={"name": gauge.name, "checked": checked}),
                state=_by_day(gauge.due, today),  # type: ignore[arg-type]
                day=gauge.due.isoformat(),
                at=None,
                run=None,
                source=source(gauge.where("due")),
            )


def _concessions(build: Build, today: datetime.date | None) -> Iterator[DueFinding]:
    for review in build.standing_reviews:
        if review.verdict != "concession":
            continue
        by_hours = review.recheck_after is not None
        run = minutes_run(build, review.date) if by_hours else None
        # It holds for all of its last day: what ends on that day is over the day after.
        state = "overdue" if not concession_is_open(build, review, today) else "coming"
        if state == "coming" and review.recheck is not None and review.recheck == today:
            state = "due"
        days, words = {"given": review.date.isoformat()}, {"who": build.sound_head.people[review.who].name}
        yield DueFinding(
            kind="concession",
            subject=review.id or review.day_and_person,
            says=Note(code="due-concession", names={"about": review.about}, days=days, words=words),
            state=state,  # type: ignore[arg-type]
            day=review.recheck.isoformat() if review.recheck else None,
            at=float(review.recheck_after) if review.recheck_after is not None else None,
            run=run,
            source=source(review.where()),
        )


def _waits(build: Build, today: datetime.date | None) -> Iterator[DueFinding]:
    for name, operation in build.operations.items():
        if operation.done or any(build.operations[need].done is None for need in operation.needs):
            continue
        until = rests_until(build, operation)
        if until is None:
            continue
        day, need = until
        before = build.operations[need].does
        state = "coming" if today is None or day > today else "due"
        yield DueFinding(
            kind="wait",
            subject=name,
            says=Note(code="due-wait", subject=name, words={"does": operation.does, "before": before}),
            state=state,
            day=day.isoformat(),
            at=None,
            run=None,
            source=source(operation.where()),
        )


def _upkeep(build: Build) -> Iterator[DueFinding]:
    for name, upkeep in build.sound_head.upkeep.items():
        begun = build.operations[upkeep.since].done if upkeep.since else None
        counts = upkeep.since is None or begun is not None
        runs = sorted(runs_that_count(build), key=lambda run: run.date)
        run, at = _hours_of(upkeep, name, [run for run in runs if begun is None or run.date >= begun] if counts else [])
        if at is None:
            continue
        state = "not yet" if not counts else "overdue" if reaches(run, at) else "coming"
        yield DueFinding(
            kind="upkeep",
            subject=name,
            says=Note(code="due-upkeep", subject=name, words={"does": upkeep.does}),
            state=state,
            day=None,
            at=at,
            run=run,
            counts_from=upkeep.since if not counts else None,
            source=source(upkeep.where()),
        )


def _hours_of(upkeep: Upkeep, name: str, runs: list[Run]) -> tuple[float, float | None]:
    """Minutes run, and those at which it is due next; None where it will not be due again."""
    total, done = 0.0, None
    for run in runs:
        total += float(run.hours)
        if name in run.did:
            done = total
    ahead = [float(point) for point in upkeep.after if done is None or not reaches(done, float(point))]
    if ahead:
        return total, ahead[0]
    if upkeep.every is None:
        return total, None
    return total, max(done or 0.0, float(upkeep.after[-1]) if upkeep.after else 0.0) + float(upkeep.every)
