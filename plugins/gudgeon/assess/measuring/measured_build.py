"""What the assessment of one build works from: its records, and the sizes of its features."""

from collections.abc import Iterable
from dataclasses import dataclass, field
from typing import Any, Literal

import pandas as pd

from gudgeon.assess.findings import RowFinding
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
from gudgeon.records.model import Build, Knowledge
from gudgeon.records.readings import Row


@dataclass
class MeasuredBuild:
    """Records and sizes of one build, worked out once and used by fits, features, rings and rules."""

    build: Build
    shelf: Knowledge
    order: OperationGraph
    materials: Materials
    scales: Scales
    rows: dict[str, Row]
    row_states: dict[str, RowState]
    held: dict[str, str]
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
        return [row for row in self._by_feature.get(ref, []) if not statuses or self.row_status(row.id) in statuses]

    def __post_init__(self):
        self._by_feature: dict[str, list[Row]] = {}
        for row in self.rows.values():
            self._by_feature.setdefault(row.of, []).append(row)

    def local_sizes(self, ref: str) -> list[LocalSize]:
        """The places of a feature that still say what the metal is, or its frozen ones."""
        found = self.sizes.get(ref, {})
        return found.get("current") or found.get("frozen") or []

    def status(self, ref: str) -> Literal["current", "frozen", "stale", "none"]:
        """What a feature's readings amount to."""
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


def measured_build(build: Build, shelf: Knowledge) -> MeasuredBuild:
    """Work out what became of every row, and the sizes of all features."""
    order, materials, scales = OperationGraph(build), Materials(build, shelf), Scales(build.instruments)
    mistakes, held = row_mistakes(build, order, scales)
    context = MeasuredBuild(
        build,
        shelf,
        order,
        materials,
        scales,
        {row.id: row for row in build.rows},
        row_states(build, order),
        held,
        mistakes,
    )
    table = sizes_at_reference(
        build,
        materials,
        scales,
        [row for row in build.rows if row.part_temp is not None and row.gauge_temp is not None],
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
