"""What the assessment of one build works from: its records, and the sizes of its features."""

from dataclasses import dataclass, field

from gudgeon.assess.findings import RowFinding
from gudgeon.assess.materials import Materials
from gudgeon.assess.sizes import Place, Scales, comparisons, mean_reading, places, sizes_at_reference, spread
from gudgeon.assess.slips import Slip, row_slips, source
from gudgeon.assess.staleness import Order, Standing, standing
from gudgeon.records.folder import Build
from gudgeon.records.readings import Row
from gudgeon.records.shelf import Knowledge


@dataclass
class Context:
    """Records and sizes of one build, worked out once and used by fits, features, rings and rules."""

    build: Build
    shelf: Knowledge
    order: Order
    materials: Materials
    scales: Scales
    rows: dict[str, Row]
    standing: dict[str, Standing]
    held: dict[str, str]
    slips: list[Slip]
    sizes: dict[str, dict[str, list[Place]]] = field(default_factory=dict)  # feature -> status -> places
    generations: dict[str, dict[str | None, list[Place]]] = field(
        default_factory=dict
    )  # feature -> operation -> places
    row_sizes: dict[str, float] = field(default_factory=dict)
    compared: dict[str, list[tuple[str | None, list[Place], list[Place]]]] = field(
        default_factory=dict
    )  # feature -> (operation, diameters, three-point readings)

    def rows_of(self, ref: str, *statuses: str) -> list[Row]:
        """The rows of a feature, in the order of the files; only those of some statuses where any are named."""
        return [row for row in self._by_feature.get(ref, []) if not statuses or self.row_status(row.id) in statuses]

    def __post_init__(self):
        self._by_feature: dict[str, list[Row]] = {}
        for row in self.rows.values():
            self._by_feature.setdefault(row.of, []).append(row)

    def places(self, ref: str) -> list[Place]:
        """The places of a feature that still say what the metal is, or its frozen ones."""
        found = self.sizes.get(ref, {})
        return found.get("current") or found.get("frozen") or []

    def status(self, ref: str) -> str:
        """current, frozen, stale or none: what a feature's readings amount to."""
        found = self.sizes.get(ref, {})
        return next((status for status in ("current", "frozen", "stale") if found.get(status)), "none")

    def row_findings(self) -> dict[str, RowFinding]:
        """What became of every row."""
        return {
            row.id: RowFinding(
                id=row.id,
                of=row.of,
                status=self.row_status(row.id),
                why=self.held.get(row.id) or self.standing[row.id].why,
                mean=mean_reading(row),
                spread=spread(row),
                size=self.row_sizes.get(row.id),
                suspect=self.scales.root(row.gauge) if self.scales.off(row.gauge, row.date) else None,
                source=source(row.where()),
            )
            for row in self.rows.values()
        }

    def row_status(self, row: str) -> str:
        """current, stale, frozen, superseded or held back."""
        return "held back" if row in self.held else self.standing[row].status


def context_of(build: Build, shelf: Knowledge) -> Context:
    """Work out what became of every row, and the sizes of all features."""
    order, materials, scales = Order(build), Materials(build, shelf), Scales(build.instruments)
    slips, held = row_slips(build, order, scales)
    context = Context(
        build, shelf, order, materials, scales, {row.id: row for row in build.rows}, standing(build, order), held, slips
    )
    table = sizes_at_reference(
        build,
        materials,
        scales,
        [row for row in build.rows if row.part_temp is not None and row.gauge_temp is not None],
    )
    context.row_sizes = {row.id: row.size.nominal_value for row in table.itertuples(index=False)}
    usable = table[~table["id"].isin(held)]
    usable = usable.assign(
        status=[context.standing[row].status for row in usable["id"]],
        after=[context.rows[row].after or "" for row in usable["id"]],
    )
    standings: dict[tuple[str, str], list] = {}
    generations: dict[tuple[str, str], list] = {}
    for row in usable.itertuples(index=False):
        standings.setdefault((row.of, row.status), []).append(row)
        if row.status != "superseded":
            generations.setdefault((row.of, row.after), []).append(row)
    for (ref, status), rows in sorted(standings.items(), key=lambda each: each[0]):
        context.sizes.setdefault(ref, {})[status] = places(rows)
    for (ref, after), rows in generations.items():
        context.generations.setdefault(ref, {})[after or None] = places(rows)
        context.compared.setdefault(ref, []).extend((after or None, *pair) for pair in comparisons(rows))
    return context
