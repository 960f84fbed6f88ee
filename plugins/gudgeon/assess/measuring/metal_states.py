"""States of the metal: which readings of a feature were taken before a cut, and which after the last one.

A recorded cut ends a state. Where nobody recorded one, physics tells: metal comes off and does not grow, so a later
reading at the same place that lies further off than the uncertainty of the difference, on the side where metal comes
off, was taken after a cut that nobody wrote down. On the other side one of the two readings is wrong.
"""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from datetime import date
from typing import Any

from gudgeon_calc.uncertainty import COVERAGE, limit_of_error
from gudgeon_calc.units import GRAIN

from gudgeon.assess.findings import Note
from gudgeon.assess.measuring.row_status import OperationGraph, RowState
from gudgeon.assess.steps import Steps, picked_rows
from gudgeon.records.cuts import Cut
from gudgeon.records.graphs import reached
from gudgeon.records.model import Build
from gudgeon.records.readings import Row

Place = tuple[bool, float | None, float | None]  # read at three points?; station, mm; angle, degrees
# (day, file) -> readings of one feature that say after which cut: (line, column), how many of the cuts that are; first to last.
ToldInFiles = dict[tuple[date, str], list[tuple[tuple[int, int], int]]]


@dataclass(frozen=True)
class SizedRow:
    """A row with its size at 20 °C, mm, as a number with uncertainty."""

    row: Row
    size: Any
    place: Place


@dataclass
class MetalStates:
    """The states of the metal of one feature, as its readings and the recorded cuts tell them.

    number: row -> its state, from 0, first to last. cut: state -> the recorded cut that it began with, by its label.
    past: rows read before a later state of the metal, each with the reason. unrecorded: (the readings taken as read before
    a cut, the reading that tells so). order_assumed: (reading, cut) of one day of which nothing says which came first.
    disagree: (earlier, later) readings of one place that cannot both be right: metal would have grown between them, or
    would have gone without a cut. cuts: the cuts of the feature, first to last.
    """

    number: dict[str, int] = field(default_factory=dict)
    cut: dict[int, str] = field(default_factory=dict)
    past: dict[str, Note] = field(default_factory=dict)
    unrecorded: list[tuple[tuple[str, ...], str]] = field(default_factory=list)
    order_assumed: list[tuple[str, str]] = field(default_factory=list)
    disagree: list[tuple[str, str]] = field(default_factory=list)
    cuts: list[Cut] = field(default_factory=list)
    days: dict[str, date] = field(default_factory=dict)  # row that tells of an unrecorded cut -> its day
    cuts_before: dict[str, int] = field(default_factory=dict)  # row -> how many of the cuts came before it


def metal_states(
    build: Build,
    order: OperationGraph,
    rows: Iterable[SizedRow],
    row_states: Mapping[str, RowState],
    steps: Steps,
) -> dict[str, MetalStates]:
    """The states of every feature that was read. rows: those that count, with their sizes."""
    by_feature: dict[str, list[SizedRow]] = {}
    for sized in rows:
        by_feature.setdefault(sized.row.of, []).append(sized)
    result = {}
    for ref, sized_rows in by_feature.items():
        with steps.step(f"metal/{ref}"):
            for sized in sized_rows:
                steps.read(f"reading/{sized.row.id}")
            result[ref] = _of_feature(build, order, ref, in_order(sized_rows), row_states)
        for sized in sized_rows:  # what became of each depends on what the others read
            with steps.step(f"reading/{sized.row.id}"):
                steps.read(f"metal/{ref}")
    return result


def in_order(rows: Iterable[SizedRow]) -> list[SizedRow]:
    """Rows as they were read: by day, by time, and where no time says so as they stand in their file.

    Files follow each other by the first id of the day in them, whatever they are called.
    """
    in_files = sorted(((sized.row.date, sized.row.where(), sized) for sized in rows), key=lambda entry: entry[:2])
    times: dict[tuple[date, str], str] = {}  # a row without a time follows the one above it
    first: dict[tuple[date, str], str] = {}
    for day, where, sized in in_files:
        first[day, where.file] = min(first.get((day, where.file), sized.row.id), sized.row.id)
    keys = []
    for day, where, sized in in_files:
        time = times[day, where.file] = sized.row.time or times.get((day, where.file), "")
        keys.append((day, time, first[day, where.file], where.line, where.column, sized.row.id, sized))
    return [key[-1] for key in sorted(keys, key=lambda key: key[:-1])]


def cuts_of(build: Build, ref: str) -> list[Cut]:
    """The cuts that count and that moved a feature or what it depends on, first to last."""
    moving = set(reached([ref], lambda feature: build.features[feature].depends_on))
    cuts = standing(build, picked_rows(build.cuts, lambda cut: cut.of in moving))
    return sorted(cuts, key=lambda cut: (cut.date, cut.time or "", cut.where()))


def standing(build: Build, cuts: list[Cut]) -> list[Cut]:
    """Those of some cuts that nobody has withdrawn."""
    names = {cut.id for cut in cuts if cut.id}
    withdrawn = {
        entry.withdraws for entry in picked_rows(build.cut_withdrawals, lambda entry: entry.withdraws in names)
    }
    return [cut for cut in cuts if cut.id is None or cut.id not in withdrawn]


def _of_feature(
    build: Build, order: OperationGraph, ref: str, rows: list[SizedRow], row_states: Mapping[str, RowState]
) -> MetalStates:
    states = MetalStates(cuts=cuts_of(build, ref))
    if (
        not states.cuts
        and len({sized.place for sized in rows}) == len(rows)
        and len({_operations(order, sized.row) for sized in rows}) == 1
    ):
        states.number = {sized.row.id: 0 for sized in rows}
        return states
    groups: dict[tuple, list[SizedRow]] = {}  # operations since, cuts before -> rows
    told = _told_in_files(build, ref, states.cuts)
    for sized in rows:
        before = _cuts_before(order, states.cuts, sized.row, states, told)
        states.cuts_before[sized.row.id] = before
        groups.setdefault((_operations(order, sized.row), before), []).append(sized)
    internal = build.features[ref].least_decides
    number = behind = 0
    last: dict[Place, SizedRow] = {}
    interval = None
    for (operations, before), group in sorted(groups.items(), key=lambda entry: (-len(entry[0][0]), entry[0][1])):
        if operations != interval:
            last, interval = {}, operations
        if before > behind:
            states.cut[number] = states.cuts[before - 1].label
        behind = before
        splits = _split(order, states, group, internal, last)
        for index, part in enumerate(splits):
            for sized in part:
                states.number[sized.row.id] = number + index
        number += len(splits)
        _tell_past(states, splits, row_states)
    _tell_past_cuts(states, rows, row_states)
    return states


def past_by_cut(build: Build, order: OperationGraph, states: MetalStates, row: Row) -> Note | None:
    """Why a row that reads no size, such as one over a vee, was read before a cut; None where it was not."""
    cuts = cuts_of(build, row.of)
    before = _cuts_before(order, cuts, row, states, _told_in_files(build, row.of, cuts))
    if before < len(cuts):
        return Note(code="read-before-cut", subject=cuts[before].label)
    for _, later in states.unrecorded:
        if row.date < states.days[later]:
            return Note(code="taken-before-cut", subject=later)
    return None


def _operations(order: OperationGraph, row: Row) -> tuple[str, ...]:
    return tuple(order.since(row))


def _told_in_files(build: Build, ref: str, cuts: list[Cut]) -> ToldInFiles:
    """The readings of a feature that say after which of its cuts they were taken, with how many of the cuts that are."""
    numbers = {cut.id: number for number, cut in enumerate(cuts, 1) if cut.id is not None}
    told: ToldInFiles = {}
    # One that was put right or withdrawn tells of the order all the same.
    for row in picked_rows(build.rows, lambda row: row.of == ref and row.after_cut in numbers) if numbers else ():
        assert row.after_cut is not None, "picked so"
        where = row.where()
        told.setdefault((row.date, where.file), []).append(((where.line, where.column), numbers[row.after_cut]))
    return {place: sorted(rows) for place, rows in told.items()}


def _cuts_before(order: OperationGraph, cuts: list[Cut], row: Row, states: MetalStates, told: ToldInFiles) -> int:
    """How many of the cuts of a feature, first to last, were made before a reading."""
    names = [cut.id for cut in cuts]
    if row.after_cut is not None and row.after_cut in names:
        return names.index(row.after_cut) + 1
    at_most = _at_most_before(row, told, len(cuts))
    return sum(_was_before(order, cut, row, states, number <= at_most) for number, cut in enumerate(cuts, 1))


def _at_most_before(row: Row, told: ToldInFiles, cuts: int) -> int:
    """How many cuts can have come before a reading by its place in its file, which is only added to: one that stands above the
    first reading taken after a cut was taken before that cut."""
    where = row.where()
    here = (where.line, where.column)
    of_day = told.get((row.date, where.file), [])
    above = max((number for place, number in of_day if place < here), default=0)
    below = next((number for place, number in of_day if place > here), 0)
    return below - 1 if below > above else cuts


def _was_before(order: OperationGraph, cut: Cut, row: Row, states: MetalStates, by_file: bool) -> bool:
    """Whether a cut was made before a reading. Of one day, where neither times nor operations nor the file tell, the reading
    counts as read after the cut. by_file: whether the place of the reading in its file leaves that open."""
    if cut.date != row.date:
        return cut.date < row.date
    if cut.time and row.time and cut.time != row.time:
        return cut.time < row.time
    if row.after is not None and order.is_told(cut, row):
        return True
    if not by_file:
        return False
    if not (cut.time and row.time):
        states.order_assumed.append((row.id, cut.label))
    return True


def _split(
    order: OperationGraph,
    states: MetalStates,
    rows: list[SizedRow],
    internal: bool,
    last: dict[Place, SizedRow],
) -> list[list[SizedRow]]:
    """Rows between two recorded cuts, parted where they show a cut that nobody recorded. last: the newest at each place."""
    parts: list[list[SizedRow]] = [[]]
    here: dict[Place, SizedRow] = {}  # the newest reading of this state at each place
    for together in _rounds(rows):
        tells = None
        # Where many places are read again, chance has more of them to play with.
        limit = limit_of_error(max(1, sum(sized.place in here for sized in together)))
        of_all = limit_of_error(max(1, sum(sized.place in last for sized in together)))
        for sized in together:
            earlier = here.get(sized.place)
            if (
                earlier is not None
                and _came_off(earlier, sized, internal, limit)
                and order.may_be_cut_between(earlier.row, sized.row)
            ):
                tells = sized
                break
        if tells is not None:
            states.unrecorded.append((tuple(sized.row.id for sized in parts[-1]), tells.row.id))
            states.days[tells.row.id] = tells.row.date
            parts.append([])
            here = {}
        for sized in together:
            before = last.get(sized.place)
            has_gone = sized.place in here and _came_off(here[sized.place], sized, internal, limit)
            if before is not None and (_came_off(sized, before, internal, of_all) or has_gone):
                states.disagree.append((before.row.id, sized.row.id))
            here[sized.place] = last[sized.place] = sized
        parts[-1] += together
    return parts


def _rounds(rows: list[SizedRow]) -> Iterable[list[SizedRow]]:
    """Rows that were read one after the other on one day, no place twice: one walk over the part."""
    together: dict[Place, SizedRow] = {}
    day = None
    for sized in rows:
        if together and (sized.row.date != day or sized.place in together):
            yield list(together.values())
            together = {}
        together[sized.place], day = sized, sized.row.date
    if together:
        yield list(together.values())


def _came_off(earlier: SizedRow, later: SizedRow, internal: bool, limit: float) -> bool:
    """Whether a later reading lies beyond the uncertainty of the difference on the side where metal comes off.

    limit: so many times that uncertainty.
    """
    taken = later.size - earlier.size if internal else earlier.size - later.size
    return taken.nominal_value > limit * COVERAGE * taken.std_dev + GRAIN


def _tell_past(states: MetalStates, parts: list[list[SizedRow]], row_states: Mapping[str, RowState]) -> None:
    """The rows of all parts but the last are past."""
    told = {row: later for rows, later in states.unrecorded for row in rows}
    for part in parts[:-1]:
        for sized in part:
            if row_states[sized.row.id].status in ("current", "frozen"):
                states.past[sized.row.id] = Note(code="taken-before-cut", subject=told[sized.row.id])


def _tell_past_cuts(states: MetalStates, rows: list[SizedRow], row_states: Mapping[str, RowState]) -> None:
    """The rows before a recorded cut are past, even where nothing was read since."""
    for sized in rows:
        before = states.cuts_before[sized.row.id]
        if before < len(states.cuts) and row_states[sized.row.id].status in ("current", "frozen"):
            states.past[sized.row.id] = Note(code="read-before-cut", subject=states.cuts[before].label)
