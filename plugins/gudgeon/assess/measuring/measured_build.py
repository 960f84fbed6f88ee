"""What the assessment of one build works from: its records, and the sizes of its features."""

from collections.abc import Iterable
from dataclasses import dataclass, field
from typing import Any, Literal

import pandas as pd

from gudgeon.assess.findings import Note, RowFinding
from gudgeon.assess.findings.base import RowStatus
from gudgeon.assess.measuring.materials import Materials
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
from gudgeon.assess.steps import Steps, picked, picked_rows
from gudgeon.records.build_file import Review
from gudgeon.records.model import Build, Knowledge
from gudgeon.records.readings import Row


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
    sizes: dict[str, dict[str, list[LocalSize]]] = field(default_factory=dict)  # feature -> status -> places
    generations: dict[str, dict[str | None, list[LocalSize]]] = field(
        default_factory=dict
    )  # feature -> operation -> places
    row_sizes: dict[str, float] = field(default_factory=dict)
    compared: dict[str, list[tuple[str | None, list[LocalSize], list[LocalSize]]]] = field(
        default_factory=dict
    )  # feature -> (operation, diameters, three-point readings)

    def rows_of(self, ref: str, *statuses: str) -> list[Row]:
        """The rows of a feature, in the order of the files; only those of some statuses where any are named."""
        self._read(ref)
        return [row for row in self._by_feature.get(ref, []) if not statuses or self.row_status(row.id) in statuses]

    def __post_init__(self):
        self._by_feature: dict[str, list[Row]] = {}
        for row in self.rows.values():
            self._by_feature.setdefault(row.of, []).append(row)

    def _read(self, ref: str) -> None:
        """Whoever asks now rests on the readings of a feature."""
        for row in self._by_feature.get(ref, ()):
            self.steps.read(f"reading/{row.id}")

    def history(self, ref: str) -> dict[str | None, list[LocalSize]]:
        """The places of a feature as read after each of its operations: operation -> places."""
        self._read(ref)
        return self.generations.get(ref, {})

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

    def status(self, ref: str) -> Literal["current", "frozen", "stale", "none"]:
        """What a feature's readings amount to."""
        self._read(ref)
        by_status = self.sizes.get(ref, {})
        for status in ("current", "frozen", "stale"):
            if by_status.get(status):
                return status
        return "none"

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
                suspect=self.scales.root(row.gauge) if self.scales.off(row.gauge, row.date) else None,
                source=source(row.where()),
            )
            for row in self.rows.values()
        }

    def row_status(self, row: str) -> RowStatus:
        """current, stale, frozen, superseded, withdrawn or held back."""
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
    table = sizes_at_reference(
        build,
        materials,
        scales,
        [row for row in build.rows if row.part_temp is not None and row.gauge_temp is not None],
        steps,
    )
    context.row_sizes = {row.id: row.size.nominal_value for row in _rows(table)}
    usable = table[~table["id"].isin(held)]
    usable = usable.assign(
        status=[context.row_states[row].status for row in usable["id"]],
        after=[context.rows[row].after or "" for row in usable["id"]],
    )
    standings: dict[tuple[str, str], list] = {}
    generations: dict[tuple[str, str], list] = {}
    for row in _rows(usable):
        standings.setdefault((row.of, row.status), []).append(row)
        if row.status not in ("superseded", "withdrawn"):
            generations.setdefault((row.of, row.after), []).append(row)
    for (ref, status), rows in sorted(standings.items(), key=lambda each: each[0]):
        context.sizes.setdefault(ref, {})[status] = local_sizes(rows)
    for (ref, after), rows in generations.items():
        context.generations.setdefault(ref, {})[after or None] = local_sizes(rows)
        context.compared.setdefault(ref, []).extend((after or None, *pair) for pair in comparisons(rows))
    return context


def _rows(table: pd.DataFrame) -> Iterable[Any]:
    """The rows of the table of sizes, with its columns as attributes."""
    return table.itertuples(index=False)
