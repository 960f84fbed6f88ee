"""Plausibility: probable slips of the pen, named with their likely cause. Nothing is put right silently."""

import re
from collections.abc import Mapping
from datetime import date

from gudgeon.assess.findings import Source, SuspectedMistake
from gudgeon.assess.measuring.row_status import OperationGraph
from gudgeon.assess.measuring.sizes import Scales, mean_reading
from gudgeon.assess.steps import Steps
from gudgeon.records.build_file import EACH_SESSION
from gudgeon.records.judgement import Threshold
from gudgeon.records.mistyped import mistyped
from gudgeon.records.model import Build
from gudgeon.records.problems import Where
from gudgeon.records.readings import Row


def source(where: Where) -> Source:
    """A place in a file as a finding."""
    return Source(file=where.file, line=where.line)


def _entered_rightly(build: Build) -> list[Row]:
    """The rows that were not withdrawn: of those that were it is known already that they are a mistake."""
    return [row for row in build.rows if row.id not in build.withdrawn]


def mistake_address(mistake: SuspectedMistake) -> str:
    """The step that a suspected mistake is the result of."""
    names = (mistake.kind, mistake.about, mistake.row or "-", mistake.operation or "-")
    return f"mistake/{' '.join(names)}"


def row_mistakes(
    build: Build, order: OperationGraph, scales: Scales, judgement: Mapping[str, Threshold], steps: Steps
) -> tuple[list[SuspectedMistake], dict[str, str]]:
    """Slips in rows, and why each row that they spoil is held back.

    A row is held back where its number cannot be trusted; it stays in the log and on the pages.
    """
    mistakes, held = [], {}
    for row in _entered_rightly(build):
        with steps.step(f"reading/{row.id}", row):
            told = list(_of_row(build, order, scales, judgement, row))
        for kind, cause, spoils in told:
            mistakes.append(
                SuspectedMistake(
                    kind=kind,
                    cause=cause,
                    about=row.of,
                    row=row.id,
                    source=source(row.where("reads")),
                )
            )
            with steps.step(mistake_address(mistakes[-1])):
                steps.read(f"reading/{row.id}")
            if spoils:
                held.setdefault(row.id, cause)
    return [*mistakes, *_overdue(build, scales, steps)], held


def _overdue(build: Build, scales: Scales, steps: Steps) -> list[SuspectedMistake]:
    """One slip for each instrument that was past its check, with all that was read with it or through it since."""
    rows: dict[str, list[Row]] = {}
    for row in _entered_rightly(build):
        for name in dict.fromkeys((row.gauge, scales.root(row.gauge))):
            each = build.instruments[name]
            if each.due != EACH_SESSION and row.date > each.due:
                rows.setdefault(name, []).append(row)
    mistakes = [
        SuspectedMistake(
            kind="instrument overdue",
            cause=f"{name} was due for a check on {build.instruments[name].due}; "
            + (
                f"this was read on {late[0].date}"
                if len(late) == 1
                else f"{len(late)} rows were read with it after that, the last on {max(row.date for row in late)}"
            ),
            about=late[0].of,
            row=late[0].id,
            rows=tuple(row.id for row in late),
            source=source(late[0].where("reads")),
        )
        for name, late in sorted(rows.items())
    ]
    for mistake, (name, late) in zip(mistakes, sorted(rows.items()), strict=True):
        with steps.step(mistake_address(mistake)):
            steps.note("instrument", name)
            for row in late:
                steps.read(f"reading/{row.id}")
                scales.root(row.gauge)
    return mistakes


def _of_row(build: Build, order: OperationGraph, scales: Scales, judgement: Mapping[str, Threshold], row: Row):
    """Yields (kind, cause, whether the number is spoilt). Of the mistakes that explain a wrong number only the first."""
    number = _number_slip(build, row)
    if number:
        yield (*number, True)
    gauge = build.instruments[row.gauge]
    if not number and gauge.range and not gauge.can_reach(mean_reading(row)):
        yield (
            "instrument out of its range",
            f"{gauge.name} reaches from {gauge.range[0]} to {gauge.range[1]} and cannot reach {row.reads[0]}: the row names the wrong instrument",
            True,
        )
    missing = [words for words, temp in (("part", row.part_temp), ("instrument", row.gauge_temp)) if temp is None]
    if missing:
        yield (
            "no temperature",
            f"no temperature of the {' or the '.join(missing)}: the size at 20 °C cannot be worked out",
            True,
        )
    for words, temp in (("part", row.part_temp), ("instrument", row.gauge_temp)):
        if temp is not None and temp.unit in ("C", "°C") and float(temp) >= float(judgement["hot_shop"]):
            yield (
                "Fahrenheit as Celsius",
                f"the {words} at {temp} is hotter than a hand can hold; {float(temp):g} °F would be {(float(temp) - 32) / 1.8:.0f} °C",
                True,
            )
            break
    done = build.operations[row.after].done if row.after else None
    if row.after and done is None:
        yield ("before the operation", f"it says after {row.after}, which is not done", False)
    elif done and row.date < done:
        yield ("before the operation", f"read on {row.date}, but {row.after} was done on {done}", False)
    elif row.after:
        passed = [
            op
            for op in order.since(row)
            if (build.operations[op].done or row.date) < row.date and row.after in order.before(op)
        ]
        if passed:
            yield (
                "before the final operation",
                f"it says after {row.after}, but {passed[-1]} was done on {build.operations[passed[-1]].done}, before this was read on {row.date}",
                False,
            )


def _number_slip(build: Build, row: Row) -> tuple[str, str] | None:
    feature, first = build.features[row.of], row.reads[0].text
    mistake = mistyped(feature, mean_reading(row), row.reads[0].inches)
    if mistake is None:
        return None
    times = round(max(mistake.factor, 1 / mistake.factor))
    of_it = f"{times} times the {_words(feature)}" if mistake.factor > 1 else f"1/{times} of the {_words(feature)}"
    return mistake.kind, {
        "inch typed as millimetre": f"the unit says mm, and {first} is {of_it}: inches typed as millimetres",
        "millimetre typed as inch": f"the unit says inch, and {first} is {of_it}: millimetres typed as inches",
        "a nought slipped": f"{first} is {of_it}: a nought slipped, or tenths written as thou",
        "radius for diameter": f"{first} is half of the {_words(feature)}: a radius written where a diameter belongs",
        "diameter doubled": f"{first} is twice the {_words(feature)}: a diameter doubled",
    }[mistake.kind]


def _words(feature) -> str:
    if feature.limits:
        return f"limits {feature.limits[0]} to {feature.limits[1]}"
    return f"limits of {feature.tolerance}" if feature.tolerance else f"nominal {feature.nominal}"


def operation_mistakes(build: Build, order: OperationGraph, steps: Steps) -> list[SuspectedMistake]:
    """Operations dated before what they need, and holdings that were broken."""
    with steps.step("mistakes in operations"):
        mistakes = _operation_mistakes(build, order)
    for mistake in mistakes:
        with steps.step(mistake_address(mistake)):
            steps.read("mistakes in operations")
    return mistakes


def _operation_mistakes(build: Build, order: OperationGraph) -> list[SuspectedMistake]:
    mistakes = []

    def add(kind, cause, op_id, key):
        mistakes.append(
            SuspectedMistake(
                kind=kind,
                cause=cause,
                about=op_id,
                operation=op_id,
                source=source(build.operations[op_id].where(key)),
            )
        )

    broken = broken_holdings(build)
    read_after: dict[str | None, list[Row]] = {}
    for row in _entered_rightly(build):
        read_after.setdefault(row.after, []).append(row)
    for op_id, op in build.operations.items():
        if op.done is None:
            for relief in _reliefs_after(build, order, op_id, op):
                if op_id in order.before(relief):
                    add(
                        "finish planned before stress relief",
                        f"{relief} ({build.operations[relief].does}) is planned after it and will move what it finishes",
                        op_id,
                        "does",
                    )
            continue
        for need in op.needs:
            first = build.operations[need].done
            if first is None:
                add(
                    "done before what it needs",
                    f"finished on {op.done}, but {need}, which it needs, is not done",
                    op_id,
                    "done",
                )
            elif first > op.done:
                stale = [row for row in read_after.get(op_id, []) if need in order.since(row)]
                also = "".join(f"; its reading {row.id} of {row.of} is older than that change" for row in stale)
                add(
                    "done before what it needs",
                    f"finished on {op.done}, before {need}, which it needs and which was done on {first}{also}",
                    op_id,
                    "done",
                )
        for relief in _reliefs_after(build, order, op_id, op):
            add(
                "finished before stress relief",
                f"{relief} ({build.operations[relief].does}) comes after it and will move what it finished",
                op_id,
                "does",
            )
        if op_id in broken:
            add(
                "holding broken",
                f"holding {op.holding} was broken by {broken[op_id]} in between: the work was taken out and is no longer true to the earlier cuts",
                op_id,
                "holding",
            )
    return mistakes


FINISHES = re.compile(r"\b(finish|hone|ream|lap|grind|polish)", re.IGNORECASE)
RELIEVES = re.compile(r"\b(stress[- ]relie|relieve|anneal|weather)", re.IGNORECASE)


def _reliefs_after(build: Build, order: OperationGraph, op_id: str, op) -> list[str]:
    """Stress relief that is still to come, or that needs it, after an operation that finishes the same surfaces."""
    if not FINISHES.search(op.does):
        return []
    cut = set(order.changed(op))
    return [
        other_id
        for other_id, other in build.operations.items()
        if RELIEVES.search(other.does)
        and cut & set(order.changed(other))
        and (op_id in order.before(other_id) or other.done is None or (op.done and other.done > op.done))
    ]


def broken_holdings(build: Build) -> dict[str, str]:
    """Operations whose holding was broken, each with the first operation that came between.

    For a finished operation: between it and the one before it in its holding. For an open one: since the last cut in
    its holding.
    """
    listed = {op_id: index for index, op_id in enumerate(build.operations)}
    done: dict[str, list[str]] = {}
    for op_id, op in sorted(build.operations.items(), key=lambda each: (each[1].done or date.max, listed[each[0]])):
        if op.done:
            done.setdefault(op.part, []).append(op_id)
    broken: dict[str, str] = {}
    last: dict[tuple[str, str | None], int] = {}  # (part, holding) -> where it was last in use
    for part, in_order in done.items():
        for index, op_id in enumerate(in_order):
            place = (part, build.operations[op_id].holding)
            if place[1] and index - last.get(place, index - 1) > 1:
                broken[op_id] = in_order[last[place] + 1]
            last[place] = index
    for op_id, op in build.operations.items():
        place = (op.part, op.holding)
        if op.done is None and op.holding and place in last and last[place] + 1 < len(done[op.part]):
            broken[op_id] = done[op.part][last[place] + 1]
    return broken
