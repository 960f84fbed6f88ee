"""Instruments found off after they were used: which results move with them, and which cancel."""

from gudgeon.assess.findings import FeatureFinding, FitFinding, Recall
from gudgeon.assess.fitting.fits import moved
from gudgeon.assess.measuring.measured_build import MeasuredBuild
from gudgeon.records.build_file import FoundOff


def recalls(context: MeasuredBuild, features: dict[str, FeatureFinding], fits: dict[str, FitFinding]) -> list[Recall]:
    """One entry for each instrument of the build that was found off."""
    by_instrument = context.steps.of_each(
        "found off",
        context.build.instruments,
        lambda name, instrument: _recall(context, name, instrument.found_off, features, fits),
        only=lambda instrument: instrument.found_off is not None,
    )
    return list(by_instrument.values())


def _recall(
    context: MeasuredBuild,
    name: str,
    found_off: FoundOff,
    features: dict[str, FeatureFinding],
    fits: dict[str, FitFinding],
) -> Recall:
    rows = [
        row.id
        for row in context.build.rows
        if context.scales.root(row.gauge) == name and context.scales.off(row.gauge, row.date)
    ]
    touched = {fit_id: fit for fit_id, fit in fits.items() if fit.as_read and name in fit.as_read.instruments}
    return Recall(
        instrument=name,
        reads_high=float(found_off.reads_high),
        found=found_off.found.isoformat(),
        rows=tuple(rows),
        stale_rows=tuple(
            row for row in rows if context.row_status(row) in ("past", "stale", "superseded", "withdrawn", "held back")
        ),
        features=tuple(
            ref
            for ref, feature in features.items()
            if feature.as_read and moved(feature.as_read) and name in feature.as_read.instruments
        ),
        moves=tuple(fit_id for fit_id, fit in touched.items() if moved(fit.as_read)),
        cancels=tuple(fit_id for fit_id, fit in touched.items() if not moved(fit.as_read)),
    )
