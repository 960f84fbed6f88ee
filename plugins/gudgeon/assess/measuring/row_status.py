"""Which rows still say what the metal is: a size dies when something later moves the part."""

from dataclasses import dataclass
from datetime import date
from graphlib import TopologicalSorter

from gudgeon.assess.findings.base import Note, RowStatus
from gudgeon.assess.steps import Steps, unnoted
from gudgeon.records.cuts import Cut
from gudgeon.records.edits import WITHDRAWAL
from gudgeon.records.graphs import Among, reached
from gudgeon.records.model import Build
from gudgeon.records.operations import Operation
from gudgeon.records.readings import Row


@dataclass(frozen=True)
class RowState:
    """What became of a row: current, past, stale, frozen, superseded or withdrawn, and why."""

    status: RowStatus
    why: Note | None = None


class OperationGraph:
    """The order of a build's operations, and what each of them changes."""

    def __init__(self, build: Build, steps: Steps):
        self._build, self._steps = build, steps
        self._listed = {op_id: index for index, op_id in enumerate(build.operations)}
        self._names = list(build.operations)
        self._ancestors: dict[str, Among] = {}
        self._changers: dict[str, list[str]] = {}
        self._squeezed_through: dict[
            tuple[str, str], str
        ] = {}  # (operation, bore) -> the outside that it is pressed by
        for op_id, op in build.operations.items():
            self._squeezed_through |= {(op_id, bore): outside for bore, outside in build.squeezed_by(op).items()}
            for ref in self.changed(op):
                self._changers.setdefault(ref, []).append(op_id)
        self._moved_by: dict[str, list[str]] = {}

    def changed(self, op: Operation) -> list[str]:
        """The features that an operation changes, presses or squeezes, with part.* spelled out."""
        return self._build.touched_by(op)

    def cut_by(self, ref: str) -> list[str]:
        """Operations that change the feature itself."""
        changers = self._changers.get(ref, [])
        for op_id in changers:
            self._steps.note("operation", op_id)
            self._steps.note("feature", self._squeezed_through.get((op_id, ref)))
        return changers

    def moved_by(self, ref: str) -> list[str]:
        """Operations that change the feature or anything that it depends on, at any remove."""
        return self._steps.once(self._moved_by, ref, f"moved by/{ref}", lambda: self._movers(ref))

    def _movers(self, ref: str) -> list[str]:
        ops: dict[str, None] = {}
        for feature in reached([ref], lambda feature: self._build.features[feature].depends_on):
            ops |= dict.fromkeys(self.cut_by(feature))
        return list(ops)

    def before(self, op_id: str) -> Among:
        """Everything that an operation needs, at any remove."""
        return self._steps.once(self._ancestors, op_id, f"before/{op_id}", lambda: self._needed(op_id))

    def _needed(self, op_id: str) -> Among:
        operations, bits = self._build.operations, 0
        # What is furthest up first: each then takes what those that it needs have, and no chain is too long to walk.
        for name in reversed(reached([op_id], lambda need: [] if need in self._ancestors else operations[need].needs)):
            if name != op_id:
                self.before(name)
        for need in operations[op_id].needs:
            bits |= self.before(need).bits | 1 << self._listed[need]
        return Among(self._names, self._listed, bits)

    def behind(self) -> dict[str, Among]:
        """Of every operation everything that needs it, at any remove."""
        operations, bits = unnoted(self._build.operations), dict.fromkeys(self._names, 0)
        in_order = TopologicalSorter({name: op.needs for name, op in operations.items()}).static_order()
        for op_id in reversed(list(in_order)):
            for need in operations[op_id].needs:
                bits[need] |= bits[op_id] | 1 << self._listed[op_id]
        return {name: Among(self._names, self._listed, mask) for name, mask in bits.items()}

    def open_cuts(self, ref: str) -> list[str]:
        """Operations not yet done that will change the feature."""
        return [op_id for op_id in self.cut_by(ref) if self._build.operations[op_id].done is None]

    def may_be_cut_between(self, earlier: Row, later: Row) -> bool:
        """Whether an operation may have taken metal off a feature between two readings of it.

        Other hands or another gauge may simply disagree: then the operation has to be one that could have begun. Where no
        operation is written that cuts the feature, the same hand and gauge do not differ by more than they leave open.
        """
        cutting = [
            op_id
            for op_id in self.cut_by(earlier.of)
            if earlier.of in self._build.spelled_out(self._build.operations[op_id].changes)
        ]
        at_work = [op_id for op_id in cutting if not self._was_done_before(op_id, earlier)]
        if (earlier.gauge, earlier.by) == (later.gauge, later.by):
            return bool(at_work) or not cutting
        return any(self._could_begin(op_id, later.date) for op_id in at_work)

    def _was_done_before(self, op_id: str, row: Row) -> bool:
        done = self._build.operations[op_id].done
        return done is not None and (done < row.date or (done == row.date and self._is_after(row, op_id)))

    def _is_after(self, row: Row, op_id: str) -> bool:
        return row.after is not None and (row.after == op_id or op_id in self.before(row.after))

    def _could_begin(self, op_id: str, day: date) -> bool:
        operations = self._build.operations
        return all((done := operations[need].done) is not None and done <= day for need in operations[op_id].needs)

    def is_told(self, cut: Cut, row: Row) -> bool:
        """Whether the operations tell that a cut of the day of a reading came before it."""
        cutting = [cut.operation] if cut.operation else self.cut_by(cut.of)
        return any(self._is_after(row, op_id) for op_id in cutting)

    def since(self, row: Row) -> list[str]:
        """Operations done since a row was read that moved its feature, first to last."""
        later = [op_id for op_id in self.moved_by(row.of) if op_id != row.after and self._is_later(op_id, row)]
        return sorted(later, key=lambda op_id: (self._build.operations[op_id].done, self._listed[op_id]))

    def _is_later(self, op_id: str, row: Row) -> bool:
        done = self._build.operations[op_id].done
        if done is None:
            return False
        if done != row.date or row.after is None:
            return done > row.date or (done <= row.date and row.after is not None and row.after in self.before(op_id))
        # The same day: the order of the operations tells, by need or by the list.
        if op_id in self.before(row.after):
            return False
        return row.after in self.before(op_id) or self._listed[op_id] > self._listed[row.after]


def row_states(build: Build, order: OperationGraph, steps: Steps) -> dict[str, RowState]:
    """What became of every row of a build, by the row's id (mistakes not counted)."""
    withdrawn = build.withdrawn
    # A row that was itself entered by mistake puts nothing right.
    put_right: dict[str, list[str]] = {}
    for row in build.rows:
        if row.supersedes:
            put_right.setdefault(row.supersedes, []).append(row.id)
    result = {}
    for row in build.rows:
        with steps.step(f"reading/{row.id}", row):
            steps.note("reading", row.id)
            for other in put_right.get(row.id, ()):
                steps.note("reading", other)
            for name in (row.id, *put_right.get(row.id, ())):
                if name in withdrawn:
                    steps.note(WITHDRAWAL, withdrawn[name].id)
            standing = [other for other in put_right.get(row.id, ()) if other not in withdrawn]
            if row.id in withdrawn:
                withdrawal = withdrawn[row.id]
                why = Note(
                    code="withdrawn",
                    subject=withdrawal.id,
                    words={"reason": withdrawal.because},
                    days={"on": withdrawal.date.isoformat()},
                )
                result[row.id] = RowState("withdrawn", why)
            elif standing:
                result[row.id] = RowState("superseded", Note(code="put-right", subject=standing[-1]))
            else:
                result[row.id] = _row_state(build, order, row)
    return result


def _row_state(build: Build, order: OperationGraph, row: Row) -> RowState:
    since = order.since(row)
    if not since:
        return RowState("current")
    if row.of in build.operations[since[0]].presses:
        does = {"does": build.operations[since[0]].does}
        return RowState("frozen", Note(code="read-before-a-press", subject=since[0], words=does))
    op = build.operations[since[-1]]
    assert op.done, "what came since is done"
    does, days = {"does": op.does}, {"done": op.done.isoformat()}
    if row.of in order.changed(op):
        return RowState("stale", Note(code="changed-since", subject=since[-1], words=does, days=days))
    return RowState("stale", Note(code="moved-since", subject=since[-1], words=does, days=days))
