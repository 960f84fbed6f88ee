"""How long the rest takes: estimates corrected by this builder's own history, hands and waits kept, by simulation."""

import math
import statistics
from dataclasses import dataclass, replace
from datetime import timedelta

from gudgeon_calc.estimates import history_factor, outlook, three_point
from gudgeon_calc.schedule import Hands, Job, Schedule, expected_minutes, tails
from gudgeon_calc.slack import days_to_spare

from gudgeon.assess.findings import Forecast, KindFactor, Note, OperationFinding, PlannedJob
from gudgeon.assess.measuring.measured_build import MeasuredBuild
from gudgeon.assess.planning.operations import MINUTES_A_DAY, resting, rests_until
from gudgeon.records.people import Evenings

TONIGHT = (30, 60, 90, 180)  # minutes


def build_forecast(
    context: MeasuredBuild, operations: dict[str, OperationFinding], cutting: dict[str, float]
) -> Forecast:
    """The forecast of a build. cutting: minutes in the cut by operation."""
    build = context.build
    points = {
        name: (float(op.estimate[0]), float(op.estimate[1]), float(op.estimate[2]))
        for name, op in build.operations.items()
        if op.estimate
    }
    means = {name: three_point(*estimate) for name, estimate in points.items()}
    history = _history(context, means)
    listed = [name for name, operation in operations.items() if operation.state != "done"]
    spread = history.spread([means[name] for name in listed if name in means])
    usual: list[Note] = []
    names, hands, evening = _hands(context, listed, usual)
    still, plan = _in_order(context, operations, listed, points, cutting, history, names, hands)
    absent = _absent(context)
    simulated = outlook(plan, hands, spread)
    to_go = {
        name: max(expected_minutes(job), 0.0 if job.spent else cutting.get(name, 0.0))
        for name, job in zip(still, plan, strict=True)
        if name in points
    }
    overrun = tuple(name for name, job in zip(still, plan, strict=True) if job.spent > job.most * job.factor > 0)
    open_means = [means[name] for name in still if name in means]
    reworked = [name for name, op in build.operations.items() if op.rework]
    return Forecast(
        factor=history.factor,
        factor_shrunk=history.shrunk,
        factor_spread=spread,
        history=history.jobs,
        kinds=history.kinds,
        mean_minutes=sum(expected for expected, _ in open_means),
        sd_minutes=math.sqrt(sum(sd**2 for _, sd in open_means)),
        corrected_minutes=sum(to_go.values()),
        minutes=simulated.minutes,
        evenings=(simulated.minutes[0] / evening, simulated.minutes[1] / evening) if len(hands) == 1 else None,
        days=simulated.days,
        days_between=simulated.days_between,
        hands=names if len(hands) > 1 else (),
        hands_decide=simulated.hands_decide,
        chain=tuple(still[place] for place in simulated.chain),
        least_days=simulated.least_days,
        path=tuple(still[place] for place in simulated.path),
        order=tuple(still),
        plan=_planned(still, plan, hands, names, simulated.plan, {*listed} - {*points} | {*overrun}),
        to_go=to_go,
        unestimated=tuple(name for name in listed if name not in points),
        overrun=overrun,
        usual=tuple(usual),
        absent=absent,
        resting=resting(build),
        fell=Note(code="rework", names={"operations": tuple(reworked)}) if reworked else None,
        tonight={
            minutes: tuple(
                name
                for name in still
                if operations[name].state == "can start"
                and build.operations[name].by not in absent
                and name not in overrun  # nothing is known of what is left of it
                and to_go.get(name, math.inf) <= minutes
                and cutting.get(name, 0.0) <= minutes
            )
            for minutes in TONIGHT
        },
    )


def _planned(
    still: list[str],
    jobs: list[Job],
    hands: list[Hands],
    names: tuple[str, ...],
    by_mean: Schedule | None,
    not_known: set[str],
) -> tuple[PlannedJob, ...]:
    """The plan with mean times, first to last. not_known: operations of which nothing tells how long they still take."""
    if by_mean is None:
        return ()
    spare = days_to_spare(jobs, hands, by_mean)
    # What comes before something that takes nobody knows how long has nobody knows how little to spare.
    unsure = [name in not_known for name in still]
    ahead = [place for place, doubt in enumerate(unsure) if doubt]
    while ahead:
        for need in jobs[ahead.pop()].needs:
            if not unsure[need]:
                unsure[need] = True
                ahead.append(need)
    start, end = by_mean.start[0].tolist(), by_mean.end[0].tolist()
    free = [last + job.wait for last, job in zip(end, jobs, strict=True)]
    planned = [
        PlannedJob(
            operation=name,
            by=names[by_mean.by[0][place]] or None,
            ready=max(max((free[need] for need in job.needs), default=0.0) + job.wait_before, job.rests),
            start=start[place],
            end=end[place],
            free=free[place],
            spare=None if unsure[place] else spare[place],
        )
        for place, (name, job) in enumerate(zip(still, jobs, strict=True))
    ]
    return tuple(sorted(planned, key=lambda job: (job.start, job.end)))


@dataclass(frozen=True)
class _History:
    """What finished jobs teach: factors on three-point means. Each is took over the mean, so that it multiplies the like."""

    factor: float
    shrunk: float
    jobs: int
    logs: tuple[float, ...]
    kinds: tuple[KindFactor, ...]
    few: float
    imagined: float  # jobs done to estimate that are added to them

    def of_kind(self, kind: str | None) -> float:
        """The factor of one kind of work, where enough of it is done; else that of all."""
        return next((known.factor_shrunk for known in self.kinds if known.kind == kind), self.shrunk)

    def spread(self, open_means: list[tuple[float, float]]) -> float:
        """What is left open of the logarithm of the factor: the scatter of one job over the root of jobs and imagined jobs."""
        if len(self.logs) >= self.few:
            scatter = statistics.stdev(self.logs)
        elif open_means:
            scatter = math.sqrt(statistics.fmean((sd / mean) ** 2 for mean, sd in open_means))
        else:
            return 0.0
        return scatter / math.sqrt(len(self.logs) + self.imagined)


def _history(context: MeasuredBuild, means: dict[str, tuple[float, float]]) -> _History:
    operations, judgement = context.build.operations, context.shelf.judgement
    few, imagined = float(judgement["few_jobs"]), float(judgement["done_to_estimate"])
    took = {name: float(op.took) for name, op in operations.items() if op.done and op.took and name in means}
    factor, shrunk = history_factor(list(took.values()), [means[name][0] for name in took], imagined)
    kinds = []
    for kind in dict.fromkeys(operations[name].kind for name in took):
        alike = [name for name in took if operations[name].kind == kind]
        if kind is None or len(alike) < few:
            continue
        plain, of_kind = history_factor(
            [took[name] for name in alike], [means[name][0] for name in alike], imagined, toward=shrunk
        )
        kinds.append(KindFactor(kind=kind, jobs=len(alike), factor=plain, factor_shrunk=of_kind))
    logs = tuple(math.log(minutes / means[name][0]) for name, minutes in took.items())
    return _History(factor, shrunk, len(took), logs, tuple(kinds), few, imagined)


def _hands(context: MeasuredBuild, still: list[str], usual: list[Note]) -> tuple[tuple[str, ...], list[Hands], float]:
    """Whose hands there are, how fast days go for them, and the minutes of one evening of the first.

    Those of "people" with evenings of their own share what names nobody. Where none has, one pair of hands does that: the
    first of "people" that an operation names, who has the build's evenings like all others that are named.
    """
    build = context.build
    people = {name: person.evenings for name, person in build.sound_head.people.items()}
    named = {by for name in still if (by := build.operations[name].by)}
    shared = [name for name in people if people[name]]
    if not shared:
        shared = [name for name in people if name in named][:1]
        if shared and (len(named) > 1 or any(build.operations[name].by is None for name in still)):
            usual.append(Note(code="hands-taken", names={"by": tuple(shared)}))
    whose = [*shared, *(name for name in people if name in named and name not in shared)]
    worth = build.sound_head.evenings
    if worth is None and any(people.get(name) is None for name in whose or [""]):
        usually = [context.shelf.judgement[name] for name in ("evening", "evenings_a_week")]
        evening, a_week = (float(threshold) for threshold in usually)
        ground = {"ground": " and ".join(dict.fromkeys(threshold.ground for threshold in usually))}
        counts = {"a_week": int(a_week)}
        usual.append(Note(code="usual-evenings", minutes={"evening": evening}, counts=counts, words=ground))
    else:
        evening, a_week = (float(worth.length), worth.a_week) if worth else (0.0, 0.0)

    def hours(own: Evenings | None) -> tuple[float, float]:
        return (float(own.length), own.a_week) if own else (evening, a_week)

    every = [(name, hours(people[name]), name in shared) for name in whose] or [("", (evening, a_week), True)]
    away = {name: _away(context, name) for name in people}
    for name, days in away.items():
        if days:
            counts = {"days": int(sum(back - gone for gone, back in days))}
            counted = Note(code="away-counted", subject=name, counts=counts)
            usual.append(counted if name in whose else Note(code="away-not-counted", subject=name))
    hands = [Hands(7 / (times * length), helps, away.get(name, ())) for name, (length, times), helps in every]
    return tuple(name for name, _, _ in every), hands, every[0][1][0]


def _absent(context: MeasuredBuild) -> dict[str, str]:
    """Who is away on the newest day, and the last day of it."""
    today = context.build.newest_date
    return {
        name: (today + timedelta(days=back - 1)).isoformat()
        for name in context.build.sound_head.people
        for gone, back in _away(context, name)
        if today and gone <= 0
    }


def _away(context: MeasuredBuild, name: str) -> tuple[tuple[float, float], ...]:
    """From when to when somebody is away, in days from the newest record: what is past, and undated builds, count nothing."""
    today, spans = context.build.newest_date, list[tuple[float, float]]()
    for first, last in sorted(context.build.sound_head.people[name].away):
        gone, back = (float((day - today).days) if today else 0.0 for day in (first, last + timedelta(days=1)))
        if back <= 0:
            continue
        if spans and gone <= spans[-1][1]:
            spans[-1] = (spans[-1][0], max(back, spans[-1][1]))
        else:
            spans.append((max(gone, 0.0), back))
    return tuple(spans)


def _in_order(
    context: MeasuredBuild,
    operations: dict[str, OperationFinding],
    listed: list[str],
    points: dict[str, tuple[float, float, float]],
    cutting: dict[str, float],
    history: _History,
    names: tuple[str, ...],
    hands: list[Hands],
) -> tuple[list[str], list[Job]]:
    """Open operations with their jobs, first the one with the most days of work and waits behind it; what breaks a holding last."""
    build, today = context.build, context.build.newest_date
    place = {name: index for index, name in enumerate(listed)}
    plan = []
    for name in listed:
        op = build.operations[name]
        factor = history.of_kind(op.kind)
        floor = cutting.get(name, 0.0) / factor  # a job is never shorter than its cutting
        least, likely, most = (max(point, floor) for point in points.get(name, (0.0, 0.0, 0.0)))
        needs = tuple(place[need] for need in op.needs if need in place)
        until = rests_until(build, op)
        plan.append(
            Job(
                least,
                likely,
                most,
                wait=operations[name].wait_days,
                needs=needs,
                wait_before=float(op.wait_before) / MINUTES_A_DAY if op.wait_before and needs else 0.0,
                rests=max(0.0, float((until[0] - today).days)) if until and today else 0.0,
                hand=names.index(op.by) if op.by in names else None,
                factor=factor,
                spent=float(op.took) if op.took else 0.0,
            )
        )
    behind = tails(plan, hands)
    order = sorted(
        range(len(plan)), key=lambda index: (operations[listed[index]].breaks is not None, -behind[index], index)
    )
    moved = {index: rank for rank, index in enumerate(order)}
    return (
        [listed[index] for index in order],
        [replace(plan[index], needs=tuple(moved[need] for need in plan[index].needs)) for index in order],
    )
