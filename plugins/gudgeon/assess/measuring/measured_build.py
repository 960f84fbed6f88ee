"""What the assessment of one build works from: its records, and the sizes of its features."""

from collections.abc import Sequence
from dataclasses import dataclass, field, replace
from typing import Any, Literal

from gudgeon.assess.findings import Note, RowFinding
from gudgeon.assess.findings.base import RowStatus
from gudgeon.assess.measuring.forms import ovality_of
from gudgeon.assess.measuring.lobing import Lobing, lobing_of
from gudgeon.assess.measuring.materials import Materials
from gudgeon.assess.measuring.metal_states import MetalStates, SizedRow, in_order, metal_states, past_by_cut
from gudgeon.assess.measuring.mistakes import SuspectedMistake, row_mistakes, source
from gudgeon.assess.measuring.row_status import OperationGraph, RowState, row_states
from gudgeon.assess.measuring.sizes import (
    LocalSize,
    Scales,
    comparisons,
    local_sizes,
    mean_reading,
    sizes_at_reference,
    spread,
)
from gudgeon.assess.measuring.worst_places import WorstPlaces
from gudgeon.assess.steps import Steps, picked, picked_rows
from gudgeon.records.build_file import Review
from gudgeon.records.model import Build, Knowledge
from gudgeon.records.parts import DIAMETERS
from gudgeon.records.readings import Row


@dataclass(frozen=True)
class ReadState:
    """A feature as it was read in one state of its metal: after an operation, and after a cut where one was recorded."""

    after: str | None
    cut: str | None
    places: tuple[LocalSize, ...]

    @property
    def rows(self) -> tuple[str, ...]:
        """The readings of it, place by place."""
        return tuple(row for place in self.places for row in place.rows)


@dataclass
class MeasuredBuild:
    """Records and sizes of one build, worked out once and used by fits, features, rings and rules.

    Who asks for the sizes of a feature, or what became of them, rests on all its readings and what those rest on.
    """

    steps: Steps
    build: Build
    shelf: Knowledge
    order: OperationGraph
    materials: Materials
    scales: Scales
    rows: dict[str, Row]
    row_states: dict[str, RowState]
    held: dict[str, Note]
    mistakes: list[SuspectedMistake]
    sized: dict[str, SizedRow] = field(default_factory=dict)  # row -> its size, of the rows that count
    states: dict[str, MetalStates] = field(default_factory=dict)  # feature -> the states of its metal
    sizes: dict[str, dict[str, list[LocalSize]]] = field(default_factory=dict)  # feature -> status -> places
    generations: dict[str, list[ReadState]] = field(
        default_factory=dict
    )  # feature -> its states as read, first to last
    row_sizes: dict[str, float] = field(default_factory=dict)
    compared: dict[str, list[tuple[str | None, list[LocalSize], list[LocalSize]]]] = field(
        default_factory=dict
    )  # feature -> (operation, diameters, three-point readings)

    def under(self, build: Build, shelf: Knowledge, steps: Steps) -> "MeasuredBuild":
        """The same sizes under another knowledge that says nothing else of them."""
        other = replace(self, build=build, shelf=shelf, steps=steps)
        other._worst, other._lobings = self._worst, self._lobings
        return other

    def rows_of(self, ref: str, *statuses: str) -> list[Row]:
        """The rows that read sizes of a feature, in the order of the files; only those of some statuses where any are named."""
        return [row for row in self._all_rows_of(ref, *statuses) if not self._is_vee(row)]

    def _all_rows_of(self, ref: str, *statuses: str) -> list[Row]:
        self._read(ref)
        return [row for row in self._by_feature.get(ref, []) if not statuses or self.row_status(row.id) in statuses]

    def newest_held_back(self, ref: str) -> list[Row]:
        """The rows that are the newest reading of their place and held back: what counts there is older than they are.

        A reading of the whole feature, without station and angle, stands for every place.
        """
        rows = [
            SizedRow(
                row,
                None,
                (
                    self._is_vee(row),
                    None if row.station is None else float(row.station),
                    None if row.angle is None else float(row.angle),
                ),
            )
            for row in self._all_rows_of(ref)
            if self.row_states[row.id].status in ("current", "frozen")
        ]
        newest: list[Row] = []
        read_since: set[tuple[Any, ...]] = set()
        ways_since: set[Any] = set()  # over a vee block, or across
        for sized in reversed(in_order(rows)):
            whole = (sized.place[0], None, None)
            answered = sized.place in read_since or whole in read_since
            answered |= sized.place == whole and whole[0] in ways_since
            if sized.row.id not in self.held:
                read_since.add(sized.place)
                ways_since.add(sized.place[0])
            elif not answered:
                newest.append(sized.row)
        return [
            row for row in reversed(newest) if past_by_cut(self.build, self.order, self._cuts_only(ref), row) is None
        ]

    def _cuts_only(self, ref: str) -> MetalStates:
        states = self.metal(ref)
        return MetalStates(unrecorded=states.unrecorded, days=states.days)

    def _is_vee(self, row: Row) -> bool:
        return self.build.instruments[row.gauge].vee is not None

    def vee_rows_of(self, ref: str) -> list[Row]:
        """The rows that read lobes of a feature over a vee block, in the state of the metal that counts."""
        return [row for row in self._all_rows_of(ref, "current", "frozen") if self._is_vee(row)]

    def lobing(self, ref: str) -> Lobing | None:
        """The lobes of a feature in the state of the metal that counts; None where no vee block showed them."""
        return self.steps.once(
            self._lobings, ref, f"lobing/{ref}", lambda: lobing_of(self.build, self.scales, self.vee_rows_of(ref))
        )

    def jaws_left_lobes(self, ref: str) -> str | None:
        """The last operation that cut a feature, where it was held in three jaws and nobody looked for lobes since."""
        if self.build.features[ref].kind not in DIAMETERS or not self.local_sizes(ref) or self.lobing(ref):
            return None
        operations = self.build.operations
        done = [
            (operations[op_id].done, op_id)
            for op_id in self.order.cut_by(ref)
            if ref in self.build.spelled_out(operations[op_id].changes)
        ]
        by_record = [(cut.date, cut.operation) for cut in self.metal(ref).cuts if cut.operation]
        made = [(day, op_id) for day, op_id in reversed((*done, *by_record)) if day]
        # Of one day the later in the list: max() takes the first, so the list is turned round.
        last = max(made, key=lambda entry: entry[0])[1] if made else None
        return last if last and operations[last].jaws == 3 else None

    def __post_init__(self):
        self._by_feature: dict[str, list[Row]] = {}
        self._lobings: dict[str, Lobing | None] = {}
        self._worst: dict[tuple[str, ...], WorstPlaces] = {}
        for row in self.rows.values():
            self._by_feature.setdefault(row.of, []).append(row)

    def _read(self, ref: str) -> None:
        """Whoever asks now rests on the readings of a feature."""
        for row in self._by_feature.get(ref, ()):
            self.steps.read(f"reading/{row.id}")
        self.steps.read(f"metal/{ref}")

    def history(self, ref: str) -> list[ReadState]:
        """A feature as read in each state of its metal, first to last: the way down to size."""
        self._read(ref)
        return self.generations.get(ref, [])

    def metal(self, ref: str) -> MetalStates:
        """The states of the metal of a feature."""
        self._read(ref)
        return self.states.get(ref) or MetalStates()

    def compared_sections(self, ref: str) -> list[tuple[str | None, list[LocalSize], list[LocalSize]]]:
        """Sections of a feature read in two ways: (operation, diameters, three-point readings)."""
        self._read(ref)
        return self.compared.get(ref, [])

    def fits_of(self, ref: str) -> list[str]:
        """The fits that a feature is a half of."""
        return list(picked(self.build.fits, lambda fit: ref in fit.halves))

    def reviews_of(self, name: str) -> list[Review]:
        """What people said of a fit or feature, and did not take back."""
        standing = []
        for review in picked_rows(self.build.reviews, lambda review: name in review.about):
            taken_back = self.build.withdrawal_of(review)
            if picked_rows(self.build.review_withdrawals, lambda entry, by=taken_back: entry is by) == []:
                standing.append(review)
        return standing

    def local_sizes(self, ref: str) -> list[LocalSize]:
        """The places of a feature that still say what the metal is, or its frozen ones."""
        self._read(ref)
        sizes = self.sizes.get(ref, {})
        return sizes.get("current") or sizes.get("frozen") or []

    def worst(self, ref: str, places: Sequence[LocalSize] | None = None) -> WorstPlaces:
        """The least and the greatest of a feature that was read. places: those of another state of its metal."""
        here = tuple(self.local_sizes(ref) if places is None else places)
        key = tuple(row for place in here for row in place.rows)
        return self.steps.once(self._worst, key, f"worst/{ref} {' '.join(key)}", lambda: self._worst_of(ref, here))

    def _worst_of(self, ref: str, places: tuple[LocalSize, ...]) -> WorstPlaces:
        few = int(float(self.shelf.judgement["few_places"]))
        return WorstPlaces(places, few, self.unseen_ovality(ref, places))

    def three_points_alone(self, ref: str) -> bool:
        """Whether every size of a feature that counts was read at three points, which see no ovality."""
        rows = [row for place in self.local_sizes(ref) for row in place.rows]
        return bool(rows) and all(self.build.instruments[self.rows[row].gauge].contacts == 3 for row in rows)

    def roundness_unknown(self, ref: str) -> bool:
        """Whether nothing that anybody read could have shown an ovality of a feature: no two points, no vee block."""
        seen = any(ovality_of(diameters) is not None for _, diameters, _ in self.compared_sections(ref))
        return self.three_points_alone(ref) and not seen and self.lobing(ref) is None

    def unseen_ovality(self, ref: str, places: Sequence[LocalSize]) -> float:
        """What ovality a feature may have, mm, that its readings do not see: as diameters once showed it, else as allowed."""
        feature = self.build.features[ref]
        if feature.kind not in DIAMETERS:
            return 0.0
        seen = [oval for _, diameters, _ in self.compared_sections(ref) if (oval := ovality_of(diameters)) is not None]
        if seen:
            return max(seen)
        return float(feature.oval_most) if feature.oval_most is not None else 0.0

    def deciding(self, ref: str) -> LocalSize | None:
        """The size of a feature that decides: the least of what cutting makes larger, the greatest of what it makes smaller."""
        if not self.local_sizes(ref):
            return None
        return self.worst(ref).at("least" if self.build.features[ref].least_decides else "greatest")

    def status(self, ref: str) -> Literal["current", "frozen", "stale", "none"]:
        """What a feature's readings amount to."""
        self._read(ref)
        by_status = self.sizes.get(ref, {})
        for status in ("current", "frozen"):
            if by_status.get(status):
                return status
        # What was read before the last cut no longer says what the metal is, whoever recorded the cut.
        return "stale" if by_status.get("past") or by_status.get("stale") else "none"

    def row_findings(self) -> dict[str, RowFinding]:
        """What became of every row."""
        return {
            row.id: RowFinding(
                id=row.id,
                of=row.of,
                status=self.row_status(row.id),
                why=self.held.get(row.id) or self.row_states[row.id].why,
                mean=mean_reading(row),
                spread=spread(row),
                size=self.row_sizes.get(row.id),
                error=self.scales.reads_high(row.gauge, row.date) or None,
                suspect=self.scales.root(row.gauge) if self.scales.off(row.gauge, row.date) else None,
                source=source(row.where()),
            )
            for row in self.rows.values()
        }

    def row_status(self, row: str) -> RowStatus:
        """current, past, stale, frozen, superseded, withdrawn or held back."""
        return "held back" if row in self.held else self.row_states[row].status


def measured_build(build: Build, shelf: Knowledge, steps: Steps) -> MeasuredBuild:
    """Work out what became of every row, and the sizes of all features."""
    order, materials, scales = OperationGraph(build, steps), Materials(build, shelf, steps), Scales(build.instruments)
    states = row_states(build, order, steps)
    mistakes, held = row_mistakes(build, order, scales, shelf.judgement, steps)
    context = MeasuredBuild(
        steps,
        build,
        shelf,
        order,
        materials,
        scales,
        {row.id: row for row in build.rows},
        states,
        held,
        mistakes,
    )
    readings = sizes_at_reference(
        build,
        materials,
        scales,
        shelf.judgement,
        [
            row
            for row in build.rows
            if row.part_temp is not None and row.gauge_temp is not None and build.instruments[row.gauge].vee is None
        ],
        steps,
    )
    context.row_sizes = {row.id: row.size.nominal_value for row in readings}
    counting = [
        row for row in readings if row.id not in held and states[row.id].status not in ("superseded", "withdrawn")
    ]
    context.sized = {
        row.id: SizedRow(context.rows[row.id], row.size, (row.section, row.station, row.angle)) for row in counting
    }
    context.states = metal_states(build, order, context.sized.values(), states, steps)
    for row in build.rows:
        if build.instruments[row.gauge].vee is not None and states[row.id].status in ("current", "frozen"):
            with steps.step(f"reading/{row.id}", row):
                steps.read(f"metal/{row.of}")
                why = past_by_cut(build, order, context.states.setdefault(row.of, MetalStates()), row)
            if why:
                states[row.id] = RowState("past", why)
    against: dict[str, list] = {}
    for of_feature in context.states.values():
        states.update({row: RowState("past", why) for row, why in of_feature.past.items()})
        for earlier, later in of_feature.disagree:
            against.setdefault(later, []).append(context.sized[earlier].size)
    standings: dict[tuple[str, str], list] = {}
    generations: dict[tuple[str, int, str], list] = {}
    for row in counting:
        standings.setdefault((row.of, states[row.id].status), []).append(row)
        number = context.states[row.of].number[row.id]
        generations.setdefault((row.of, number, context.rows[row.id].after or ""), []).append(row)
    for (ref, status), rows in sorted(standings.items(), key=lambda entry: entry[0]):
        context.sizes.setdefault(ref, {})[status] = (
            local_sizes(rows, against) if status != "past" else local_sizes(rows)
        )
    for (ref, number, after), rows in sorted(generations.items()):
        read = ReadState(after or None, context.states[ref].cut.get(number), tuple(local_sizes(rows, against)))
        context.generations.setdefault(ref, []).append(read)
        context.compared.setdefault(ref, []).extend((after or None, *pair) for pair in comparisons(rows))
    return context
