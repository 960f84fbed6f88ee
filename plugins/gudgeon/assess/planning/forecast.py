"""How long the rest takes: estimates corrected by this builder's own history, waits kept, by simulation."""

import math
from graphlib import TopologicalSorter

from gudgeon_calc.estimates import Job, history_factor, outlook, three_point

from gudgeon.assess.findings import Forecast, Note, OperationFinding
from gudgeon.assess.measuring.measured_build import MeasuredBuild

TONIGHT = (30, 60, 90, 180)  # minutes


def build_forecast(
    context: MeasuredBuild, operations: dict[str, OperationFinding], jobs: list[str], cutting: dict[str, float]
) -> Forecast:
    """The outlook of a build; jobs: operations that can start, best first; cutting: minutes in the cut by operation."""
    build = context.build
    points = {
        name: (float(op.estimate[0]), float(op.estimate[1]), float(op.estimate[2]))
        for name, op in build.operations.items()
        if op.estimate
    }
    took = {name: float(op.took) for name, op in build.operations.items() if op.done and op.took and name in points}
    means = {name: three_point(*estimate) for name, estimate in points.items()}
    factor, shrunk = history_factor(list(took.values()), [points[name][1] for name in took])
    still = _in_order(context, operations)
    place = {name: index for index, name in enumerate(still)}
    listed = []
    for name in still:
        least, likely, most = points.get(name, (0.0, 0.0, 0.0))
        floor = cutting.get(name, 0.0) / shrunk  # a job is never shorter than its cutting
        listed.append(
            Job(
                max(least, floor),
                max(likely, floor),
                max(most, floor),
                operations[name].wait_days,
                tuple(place[need] for need in build.operations[name].needs if need in place),
            )
        )
    usual = []
    evenings = build.sound_head.evenings
    if evenings:
        evening, a_week = float(evenings.length), evenings.a_week
    else:
        evening, a_week = (float(context.shelf.judgement[name]) for name in ("evening", "evenings_a_week"))
        usual.append(Note(code="usual-evenings", minutes={"evening": evening}, counts={"a_week": int(a_week)}))
    simulated = outlook(listed, shrunk, 7 / (a_week * evening))
    open_means = [means[name] for name in still if name in means]
    mean = sum(expected for expected, _ in open_means)
    reworked = [name for name, op in build.operations.items() if op.rework]
    return Forecast(
        factor=factor,
        factor_shrunk=shrunk,
        history=len(took),
        mean_minutes=mean,
        sd_minutes=math.sqrt(sum(sd**2 for _, sd in open_means)),
        corrected_minutes=mean * shrunk,
        minutes=simulated.minutes,
        evenings=(simulated.minutes[0] / evening, simulated.minutes[1] / evening),
        days=simulated.days,
        chain=tuple(still[index] for index in simulated.chain),
        unestimated=tuple(name for name in still if name not in points),
        usual=tuple(usual),
        fell=Note(code="rework", names={"operations": tuple(reworked)}) if reworked else None,
        tonight={
            minutes: tuple(
                name
                for name in jobs
                if (operations[name].expected_minutes or math.inf) * shrunk <= minutes
                and cutting.get(name, 0.0) <= minutes
            )
            for minutes in TONIGHT
        },
    )


def _in_order(context: MeasuredBuild, operations: dict[str, OperationFinding]) -> list[str]:
    """Open operations, needs first; of those that could be next the one that starts a wait, then the one that frees most."""
    build = context.build
    still = {name for name, operation in operations.items() if operation.state != "done"}
    listed = {name: index for index, name in enumerate(build.operations)}

    def rank(name: str) -> tuple:
        return (build.operations[name].wait is None, -operations[name].frees_minutes, listed[name])

    sorter = TopologicalSorter(
        {name: [need for need in build.operations[name].needs if need in still] for name in still}
    )
    sorter.prepare()
    ready, in_order = sorted(sorter.get_ready(), key=rank), []
    while ready:
        name = ready.pop(0)
        in_order.append(name)
        sorter.done(name)
        ready = sorted([*ready, *sorter.get_ready()], key=rank)
    return in_order
