"""Operations: what can start, what waits for what, and how far the build is."""

import math
import re
from datetime import date, timedelta

import numpy as np
from gudgeon_calc.estimates import three_point

from gudgeon.assess.findings import (
    CutPlan,
    FitFinding,
    Note,
    OperationFinding,
    Progress,
    ProgressDay,
    WorkedWeek,
)
from gudgeon.assess.measuring.measured_build import MeasuredBuild
from gudgeon.assess.measuring.mistakes import broken_holdings, source
from gudgeon.assess.planning.cut_plan import cutting_minutes, plan_address
from gudgeon.assess.planning.set_ups import set_up_finding
from gudgeon.assess.steps import unnoted
from gudgeon.records.graphs import Among
from gudgeon.records.model import Build
from gudgeon.records.operations import Operation

MINUTES_A_DAY = 1440


def expected_minutes(op: Operation) -> float | None:
    """Mean of the three-point estimate in minutes, or None where none is written."""
    return three_point(*(float(point) for point in op.estimate))[0] if op.estimate else None


class _Overview:
    """What is asked of all operations for each of them, gone through once. minutes: expected, by operation."""

    def __init__(self, build: Build):
        self._by_part: dict[str, list[str]] = {}
        self._of_part: dict[str, dict[str, Operation]] = {}
        self.minutes = {op_id: expected_minutes(op) for op_id, op in unnoted(build.operations).items()}
        self._open = np.array(
            [0.0 if op.done else self.minutes[op_id] or 0.0 for op_id, op in unnoted(build.operations).items()]
        )
        self._in_use: dict[str, list[tuple[str, str]]] = {}
        for op_id, op in unnoted(build.operations).items():
            self._by_part.setdefault(op.part, []).append(op_id)

    def of_part(self, context: MeasuredBuild, part: str) -> dict[str, Operation]:
        """The operations of a part; they alone are noted as read."""
        operations = context.build.operations
        return context.steps.once(
            self._of_part,
            part,
            f"operations of/{part}",
            lambda: {op_id: operations[op_id] for op_id in self._by_part[part]},
        )

    def minutes_of(self, context: MeasuredBuild, some: Among) -> float:
        """The minutes of some operations that are not done; they are noted as read."""
        context.steps.note_each("operation", some)
        return math.fsum(self._open[some.chosen()].tolist())

    def in_use(self, part: str, of_part: dict[str, Operation], broken: dict[str, str]) -> list[tuple[str, str]]:
        """The operations of a part that are still to come in a holding that is begun and stands, each with its holding."""
        if part not in self._in_use:
            begun = {op.holding for op in of_part.values() if op.done and op.holding}
            self._in_use[part] = [
                (op_id, op.holding)
                for op_id, op in of_part.items()
                if op.holding and not op.done and op_id not in broken and op.holding in begun
            ]
        return self._in_use[part]


def operation_findings(
    context: MeasuredBuild, fits: dict[str, FitFinding], plans: list[CutPlan]
) -> dict[str, OperationFinding]:
    """How every operation stands. fits, plans: the build's fits and cuts, already assessed."""
    broken, behind = broken_holdings(context.build), context.order.behind()
    overview = _Overview(context.build)
    return context.steps.of_each(
        "operation",
        context.build.operations,
        lambda op_id, op: _operation(context, op_id, op, fits, plans, broken, behind[op_id], overview),
    )


def _operation(
    context: MeasuredBuild,
    op_id: str,
    op: Operation,
    fits: dict[str, FitFinding],
    plans: list[CutPlan],
    broken: dict[str, str],
    behind: Among,
    overview: "_Overview",
) -> OperationFinding:
    """How one operation stands. broken: holdings broken, of all operations; behind: what needs it, at any remove."""
    build = context.build
    of_part = overview.of_part(context, op.part)  # which the holdings of its part rest on
    waits = [need for need in op.needs if build.operations[need].done is None]
    rests = None if op.done or waits else _rests(context, op)
    state = "done" if op.done else "blocked" if waits else "waiting" if rests else "can start"
    frees = overview.minutes_of(context, behind)
    advice = []
    if op.done is None and op.holding and op_id in broken:
        advice.append(Note(code="holding-broken", names={"holding": (op.holding,), "by": (broken[op_id],)}))
    own_plans, expected = [plan for plan in plans if plan.operation == op_id], expected_minutes(op)
    context.steps.read(*(plan_address(plan) for plan in own_plans))
    # An operation takes at least as long as its tools are in the cut.
    in_cut = cutting_minutes(own_plans).get(op_id)
    if expected is not None and in_cut is not None and expected < in_cut:
        advice.append(Note(code="estimate-under-cutting", minutes={"estimate": expected, "cut": in_cut}))
    if op.done:
        why = Note(code="done", days={"on": op.done.isoformat()})
    elif waits:
        why = Note(code="waits-for", words={need: build.operations[need].does for need in waits})
    else:
        why = rests or Note(code="all-done-before")
    return OperationFinding(
        id=op_id,
        part=op.part,
        does=op.does,
        state=state,
        waits_for=tuple(waits),
        why=why,
        expected_minutes=expected,
        frees_minutes=frees,
        holding=op.holding,
        wait_days=float(op.wait) / MINUTES_A_DAY if op.wait else 0.0,
        makes_stale=tuple(_makes_stale(context, op_id) if op.done is None else []),
        breaks=_breaks(context, op_id, op, overview.in_use(op.part, of_part, broken)) if op.done is None else None,
        hold_point=tuple(_hold_point(context, op, fits) if op.done is None else []),
        advice=tuple(advice),
        set_up=set_up_finding(build, op_id, op, of_part, broken.get(op_id)),
        source=source(op.where()),
    )


def rests_until(build: Build, op: Operation) -> tuple[date, str] | None:
    """The first day on which what is done of its needs lets it start, waits after that and before this counted; and which."""
    pause = float(op.wait_before or 0.0)
    until = None
    for need in op.needs:
        before = build.operations[need]
        wait = float(before.wait or 0.0) + pause
        if before.done and wait:
            day = _rested(before.done, wait)
            until = max(until, (day, need)) if until else (day, need)
    return until


def resting(build: Build) -> tuple[Note, ...]:
    """What is done and still rests on the build's newest day, though no operation that is still to do waits for it."""
    needed = {need for op in build.operations.values() if not op.done for need in op.needs}
    notes = list[Note]()
    for op_id, op in build.operations.items():
        if op_id in needed or not op.done or not op.wait or not build.newest_date:
            continue
        day = _rested(op.done, float(op.wait))
        if day > build.newest_date:
            words = {"does": op.does, "wait": str(op.wait)}
            notes.append(Note(code="rests-until", subject=op_id, words=words, days={"until": day.isoformat()}))
    return tuple(notes)


def _rested(done: date, wait: float) -> date:
    """The day on which a wait of so many minutes is over; the hour is not known, so half a day and more counts as one."""
    return done + timedelta(days=int(wait / MINUTES_A_DAY + 0.5))


def _rests(context: MeasuredBuild, op: Operation) -> Note | None:
    """What it needs and that has still to cure, cool or come, counted to the build's newest day."""
    today, until = context.build.newest_date, rests_until(context.build, op)
    if not until or not today or today >= until[0]:
        return None
    day, need = until
    before, days = context.build.operations[need], {"until": day.isoformat()}
    if op.wait_before:
        words = {"does": before.does, "wait": str(op.wait_before)}
        return Note(code="waits-after", subject=need, words=words, days=days)
    words = {"does": before.does, "wait": str(before.wait)}
    return Note(code="waits-until", subject=need, words=words, days=days)


def _makes_stale(context: MeasuredBuild, op_id: str) -> list[str]:
    """Features with fresh readings that it changes, or that depend on what it changes, at any remove."""
    with context.steps.aside():
        moved = [ref for ref in unnoted(context.build.features) if op_id in context.order.moved_by(ref)]
    for ref in moved:
        context.order.moved_by(ref)  # noted of these alone
    return [ref for ref in moved if context.status(ref) == "current"]


def _breaks(context: MeasuredBuild, op_id: str, op: Operation, in_use: list[tuple[str, str]]) -> str | None:
    """The holding that is in use on the part, begun and not finished, and that this operation does not belong to."""
    for other_id, holding in in_use:
        if holding != op.holding and op_id not in context.order.before(other_id):
            return holding
    return None


def _hold_point(context: MeasuredBuild, op: Operation, fits: dict[str, FitFinding]) -> list[Note]:
    """What is not settled before an operation that somebody competent has to look at first."""
    if not op.hold_point and not re.search(r"\bfirst start\b", op.does, re.IGNORECASE):
        return []
    unsettled = [
        Note(code="fit-without-fresh-reading", subject=fit.id, words={"name": fit.name})
        if fit.state in ("no reading", "stale")
        else Note(code="fit-not-settled", subject=fit.id, words={"name": fit.name}, names={"state": (fit.state,)})
        for fit in fits.values()
        if fit.state in ("no reading", "stale", "out", "reads out", "metal on")
    ]
    agreed = {
        ref
        for review in context.build.standing_reviews
        if review.verdict in ("agreed", "concession")
        for ref in review.about
    }
    unseen = [fit.id for fit in fits.values() if fit.id not in agreed]
    if unseen:
        unsettled.append(Note(code="fits-not-agreed-to", counts={"unseen": len(unseen), "all": len(fits)}))
    return unsettled


def progress(build: Build, operations: dict[str, OperationFinding]) -> Progress:
    """Expected minutes done over all expected minutes: never a count of ticked boxes."""
    done = [operation for operation in operations.values() if operation.state == "done"]
    still = [operation for operation in operations.values() if operation.state != "done"]
    minutes_done, minutes_open = (
        sum(operation.expected_minutes or 0.0 for operation in some) for some in (done, still)
    )
    total = minutes_done + minutes_open
    finished: dict[date, list[str]] = {}
    for operation in done:
        finished.setdefault(build.operations[operation.id].done, []).append(operation.id)  # type: ignore[arg-type]
    days, weeks, so_far = list[ProgressDay](), dict[date, list[str]](), 0.0
    for day, names in sorted(finished.items()):
        so_far += sum(operations[name].expected_minutes or 0.0 for name in names)
        days.append(ProgressDay(day=day.isoformat(), finished=len(names), expected_done=so_far))
        weeks.setdefault(day - timedelta(days=day.weekday()), []).extend(names)
    return Progress(
        done=len(done),
        open=len(still),
        expected_done=minutes_done,
        expected_open=minutes_open,
        share=minutes_done / total if total else None,
        days=tuple(days),
        weeks=tuple(_worked(build, monday, names) for monday, names in weeks.items()),
        under_way=sum(float(build.operations[operation.id].took or 0.0) for operation in still),
    )


def _worked(build: Build, monday: date, names: list[str]) -> WorkedWeek:
    """What operations that were finished in a week took."""
    times = [float(took) for name in names if (took := build.operations[name].took) is not None]
    return WorkedWeek(
        monday=monday.isoformat(), worked=sum(times), finished=len(names), untimed=len(names) - len(times)
    )
