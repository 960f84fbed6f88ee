"""Operations: what can start, what waits for what, and how far the build is."""

from gudgeon.assess.context import Context
from gudgeon.assess.findings import OperationFinding, Progress
from gudgeon.assess.slips import broken_holdings, source
from gudgeon.records.operations import Operation


def expected_minutes(op: Operation) -> float | None:
    """Expected minutes from a three-point estimate: (least + 4·likely + most)/6 (common practice, no source)."""
    if op.estimate is None:
        return None
    least, likely, most = (float(each) for each in op.estimate)
    return (least + 4 * likely + most) / 6


def operation_findings(context: Context) -> dict[str, OperationFinding]:
    """How every operation stands."""
    build, found, broken = context.build, {}, broken_holdings(context.build)
    behind: dict[str, set[str]] = {op_id: set() for op_id in build.operations}
    for op_id in build.operations:
        for need in context.order.before(op_id):
            behind[need].add(op_id)
    for op_id, op in build.operations.items():
        waits = [need for need in op.needs if build.operations[need].done is None]
        state = "done" if op.done else "blocked" if waits else "can start"
        frees = sum(
            expected_minutes(build.operations[each]) or 0.0
            for each in sorted(behind[op_id])
            if build.operations[each].done is None
        )
        advice = []
        if op.done is None and op_id in broken:
            advice.append(f"holding {op.holding} was broken by {broken[op_id]}: re-true the work before cutting")
        why = (
            f"done on {op.done}"
            if op.done
            else "all that it needs is done"
            if not waits
            else "waits for " + ", ".join(f"{each} ({build.operations[each].does})" for each in waits)
        )
        found[op_id] = OperationFinding(
            id=op_id,
            part=op.part,
            does=op.does,
            state=state,
            waits_for=waits,
            why=why,
            expected_minutes=expected_minutes(op),
            frees_minutes=frees,
            advice=advice,
            source=source(op.where()),
        )
    return found


def next_jobs(operations: dict[str, OperationFinding]) -> list[str]:
    """Operations that can start, the one that frees most work first; equals in the order of the file."""
    ready = [each for each in operations.values() if each.state == "can start"]
    return [each.id for each in sorted(ready, key=lambda each: -each.frees_minutes)]


def progress(operations: dict[str, OperationFinding]) -> Progress:
    """Expected minutes done over all expected minutes: never a count of ticked boxes."""
    done = [each for each in operations.values() if each.state == "done"]
    still = [each for each in operations.values() if each.state != "done"]
    minutes_done, minutes_open = (sum(each.expected_minutes or 0.0 for each in some) for some in (done, still))
    total = minutes_done + minutes_open
    return Progress(
        done=len(done),
        open=len(still),
        expected_done=minutes_done,
        expected_open=minutes_open,
        share=minutes_done / total if total else None,
    )
