"""Plausibility: probable slips of the pen, named with their likely cause. Nothing is put right silently."""

import re
from collections.abc import Mapping
from datetime import date

from gudgeon_calc.units import Measure

from gudgeon.assess.findings import Note, Source, SuspectedMistake
from gudgeon.assess.measuring.row_status import OperationGraph
from gudgeon.assess.measuring.sizes import Scales
from gudgeon.assess.steps import Steps
from gudgeon.records.build_file import NEVER
from gudgeon.records.judgement import Threshold
from gudgeon.records.mistyped import Mistyped
from gudgeon.records.model import Build
from gudgeon.records.number_doubts import NumberDoubt, number_doubts
from gudgeon.records.parts import Feature
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
) -> tuple[list[SuspectedMistake], dict[str, Note]]:
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
    return [*mistakes, *_overdue(build, scales, steps), *_never_checked(build, scales, steps)], held


def _overdue(build: Build, scales: Scales, steps: Steps) -> list[SuspectedMistake]:
    """One slip for each instrument that was past its check, with all that was read with it or through it since."""
    rows: dict[str, list[Row]] = {}
    for row in _entered_rightly(build):
        for name in dict.fromkeys((row.gauge, scales.root(row.gauge))):
            instrument = build.instruments[name]
            if instrument.is_overdue(row.date):
                rows.setdefault(name, []).append(row)
    mistakes = [
        SuspectedMistake(
            kind="instrument overdue",
            cause=_late(name, str(build.instruments[name].due), late),
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


def _late(name: str, due: str, late: list[Row]) -> Note:
    days = {"due": due, "last": max(row.date for row in late).isoformat()}
    if len(late) == 1:
        return Note(code="read-overdue", subject=name, days=days)
    return Note(code="rows-read-overdue", subject=name, days=days, counts={"rows": len(late)})


def _never_checked(build: Build, scales: Scales, steps: Steps) -> list[SuspectedMistake]:
    """One slip for each instrument that nobody ever checked, with all that was read with it or through it."""
    rows: dict[str, list[Row]] = {}
    for row in _entered_rightly(build):
        root = scales.root(row.gauge)
        if build.instruments[root].checked == NEVER:
            rows.setdefault(root, []).append(row)
    mistakes = []
    for name, read in sorted(rows.items()):
        mistake = SuspectedMistake(
            kind="instrument never checked",
            cause=Note(code="never-checked", subject=name),
            about=read[0].of,
            row=read[0].id,
            rows=tuple(row.id for row in read),
            source=source(read[0].where("reads")),
        )
        with steps.step(mistake_address(mistake)):
            steps.note("instrument", name)
            for row in read:
                steps.read(f"reading/{row.id}")
                scales.root(row.gauge)
        mistakes.append(mistake)
    return mistakes


def _of_row(build: Build, order: OperationGraph, scales: Scales, judgement: Mapping[str, Threshold], row: Row):
    """Yields (kind, cause, whether the number is spoilt). Of the mistakes that explain a wrong number only the first."""
    for doubt in number_doubts(build.features[row.of], build.instruments, row.gauge, row.reads):
        if doubt.mistyped:
            yield doubt.mistyped.kind, _number_slip(build, row, doubt.read, doubt.mistyped), True
        else:
            yield GAUGE_SLIPS[doubt.kind], _gauge_slip(row, doubt), doubt.spoils
    temps = {"part": row.part_temp, "instrument": row.gauge_temp}
    missing = tuple(of for of, temp in temps.items() if temp is None)
    if missing and build.instruments[row.gauge].vee is None:  # a movement has no temperature
        yield "no temperature", Note(code="temperature-missing", names={"of": missing}), True
    for of, temp in temps.items():
        if temp is not None and temp.unit in ("C", "°C") and float(temp) >= float(judgement["hot_shop"]):
            yield (
                "Fahrenheit as Celsius",
                Note(
                    code="hotter-than-a-hand-holds",
                    names={"of": (of,)},
                    temperatures={"read": float(temp), "meant": (float(temp) - 32) / 1.8},
                ),
                True,
            )
            break
    done = build.operations[row.after].done if row.after else None
    if row.after and done is None:
        yield "before the operation", Note(code="after-what-is-not-done", subject=row.after), False
    elif done and row.date < done:
        days = {"read": row.date.isoformat(), "done": done.isoformat()}
        yield "before the operation", Note(code="read-before-its-operation", subject=row.after, days=days), False
    elif row.after:
        passed = [
            op
            for op in order.since(row)
            if (build.operations[op].done or row.date) < row.date and row.after in order.before(op)
        ]
        if passed:
            final = build.operations[passed[-1]].done
            assert final, "what was done since is done"
            days = {"done": final.isoformat(), "read": row.date.isoformat()}
            names = {"after": (row.after,)}
            note = Note(code="after-an-earlier-operation", subject=passed[-1], names=names, days=days)
            yield "before the final operation", note, False


GAUGE_SLIPS = {
    "out of reach": "instrument out of its range",
    "just past its reach": "just past the range of the instrument",
    "fraction": "fraction from a fine instrument",
    "digits": "fewer digits than the instrument shows",
}


def _gauge_slip(row: Row, doubt: NumberDoubt) -> Note:
    """What speaks against a number having been read with its gauge."""
    words = {"gauge": doubt.gauge.name, "read": doubt.read.text}
    steps = words | {"step": str(doubt.gauge.resolution)}
    if doubt.kind == "fraction":
        return Note(code="fraction-read", subject=row.gauge, words=steps)
    if doubt.kind == "digits":
        return Note(code="digits-coarse", subject=row.gauge, words=steps)
    assert doubt.gauge.range, "what states no range reaches everything"
    least, most = (str(end) for end in doubt.gauge.range)
    spans = words | {"least": least, "most": most}
    if doubt.spoils:
        return Note(code="out-of-reach", subject=row.gauge, words=spans)
    return Note(code="just-past-reach", subject=row.gauge, words=spans)


def _number_slip(build: Build, row: Row, read: Measure, mistake: Mistyped) -> Note:
    """What a number is of what it should be, both as they are written."""
    words = {"read": read.text}
    times = {"times": round(max(mistake.factor, 1 / mistake.factor))}
    spec = _spec(build.features[row.of])
    if mistake.kind == "inch typed as millimetre":
        return Note(code="inch-as-mm", words=words, counts=times, because=spec)
    if mistake.kind == "millimetre typed as inch":
        return Note(code="mm-as-inch", words=words, counts=times, because=spec)
    if mistake.kind == "radius for diameter":
        return Note(code="radius-for-diameter", words=words, because=spec)
    if mistake.kind == "diameter doubled":
        return Note(code="diameter-doubled", words=words, because=spec)
    if mistake.factor > 1:
        return Note(code="a-nought-too-many", words=words, counts=times, because=spec)
    return Note(code="a-nought-too-few", words=words, counts=times, because=spec)


def _spec(feature: Feature) -> Note:
    """What is written of a size: its limits, its tolerance class, its nominal or where it can lie at all."""
    if feature.limits:
        least, most = feature.limits
        return Note(code="spec-limits", words={"least": str(least), "most": str(most)})
    if feature.tolerance:
        return Note(code="spec-tolerance", words={"class": feature.tolerance})
    if feature.nominal:
        return Note(code="spec-nominal", words={"nominal": feature.nominal})
    assert feature.plausible, "a number is mistyped only where something says what it should be"
    least, most = feature.plausible
    return Note(code="spec-plausible", words={"least": str(least), "most": str(most)})


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

    def add(kind: str, cause: Note, op_id: str, key: str) -> None:
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
                        Note(
                            code="relief-planned-after", subject=relief, words={"does": build.operations[relief].does}
                        ),
                        op_id,
                        "does",
                    )
            continue
        for need in op.needs:
            first = build.operations[need].done
            if first is None:
                add(
                    "done before what it needs",
                    Note(code="need-not-done", subject=need, days={"finished": op.done.isoformat()}),
                    op_id,
                    "done",
                )
            elif first > op.done:
                stale = [row for row in read_after.get(op_id, []) if need in order.since(row)]
                days = {"finished": op.done.isoformat(), "need": first.isoformat()}
                older = {"rows": tuple(row.id for row in stale), "of": tuple(dict.fromkeys(row.of for row in stale))}
                add(
                    "done before what it needs",
                    Note(code="need-done-later-than-readings", subject=need, days=days, names=older)
                    if stale
                    else Note(code="need-done-later", subject=need, days=days),
                    op_id,
                    "done",
                )
        for relief in _reliefs_after(build, order, op_id, op):
            add(
                "finished before stress relief",
                Note(code="relief-comes-after", subject=relief, words={"does": build.operations[relief].does}),
                op_id,
                "does",
            )
        if op_id in broken:
            assert op.holding, "what is broken is a holding"
            names = {"holding": (op.holding,)}
            add(
                "holding broken",
                Note(code="holding-broken-between", subject=broken[op_id], names=names),
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
    for op_id, op in sorted(
        build.operations.items(),
        key=lambda id_and_operation: (id_and_operation[1].done or date.max, listed[id_and_operation[0]]),
    ):
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
