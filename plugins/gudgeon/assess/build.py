"""Assesses a build: the one way from its records to its findings."""

from collections import Counter

from gudgeon.assess.calculations.dangers import dangers, pattern_sizes, timing_marks
from gudgeon.assess.calculations.run import sums
from gudgeon.assess.cautions import applying_cautions
from gudgeon.assess.findings import (
    BuildFindings,
    GaugeFinding,
    MetalFinding,
    OperationFinding,
)
from gudgeon.assess.fitting.fits import fit_finding
from gudgeon.assess.fitting.mistakes_between_features import fit_mistakes, tell_fits
from gudgeon.assess.fitting.rings import ring_findings
from gudgeon.assess.fitting.rules import rules_side_by_side
from gudgeon.assess.measuring.features import feature_finding
from gudgeon.assess.measuring.instrument_errors import recalls
from gudgeon.assess.measuring.measured_build import MeasuredBuild, measured_build
from gudgeon.assess.measuring.mistakes import operation_mistakes
from gudgeon.assess.planning.cut_plan import cut_plans, cutting_minutes
from gudgeon.assess.planning.forecast import build_forecast
from gudgeon.assess.planning.operations import next_jobs, operation_findings, progress
from gudgeon.records.build_file import EACH_SESSION
from gudgeon.records.model import Build, Knowledge


def assess(build: Build, shelf: Knowledge) -> BuildFindings:
    """All findings of a build whose records are without problems."""
    context = measured_build(build, shelf)
    fits = {fit_id: fit_finding(context, fit_id, fit) for fit_id, fit in build.fits.items()}
    features = {ref: feature_finding(context, ref, fits) for ref in build.features}
    mistakes = [*context.mistakes, *operation_mistakes(build, context.order), *fit_mistakes(context, fits)]
    tell_fits(context, fits, mistakes)
    operations = operation_findings(context, fits)
    calculations = sums(context, fits)
    watched = dangers(context, calculations)
    plans, jobs = cut_plans(context, features), next_jobs(operations)
    cutting = cutting_minutes(plans)
    _hold_to_cutting(operations, cutting)
    return BuildFindings(
        build=build.id,
        name=build.sound_head.name,
        units=build.sound_head.units,
        as_of=build.newest_date.isoformat() if build.newest_date else None,
        features=features,
        fits=fits,
        rows=context.row_findings(),
        mistakes=sorted(
            mistakes, key=lambda slip: (slip.kind, slip.about, slip.row or "", slip.operation or "", slip.cause)
        ),
        operations=operations,
        next_jobs=jobs,
        rules=rules_side_by_side(context),
        rings=ring_findings(context),
        gauges=_gauges(context),
        recalls=recalls(context, features, fits),
        metals=_metals(context),
        calculations=calculations,
        dangers=watched,
        cautions=applying_cautions(build, shelf, watched),
        timing_marks=timing_marks(context),
        patterns=pattern_sizes(context),
        progress=progress(operations),
        cut_plans=plans,
        forecast=build_forecast(context, operations, jobs, cutting),
    )


def _hold_to_cutting(operations: dict[str, OperationFinding], cutting: dict[str, float]) -> None:
    """An operation takes at least as long as its tools are in the cut; an estimate below that is flagged."""
    for name, minutes in cutting.items():
        each = operations[name]
        if each.expected_minutes is not None and each.expected_minutes < minutes:
            each.advice.append(
                f"its estimate of {each.expected_minutes:.0f} minutes is under the {minutes:.0f} that the tool is in the cut"
            )


def _gauges(context: MeasuredBuild) -> dict[str, GaugeFinding]:
    found, today = {}, context.build.newest_date
    rows = Counter(row.gauge for row in context.build.rows if row.id not in context.build.withdrawn)
    for name, gauge in context.build.instruments.items():
        root = context.scales.root(name)
        late = any(
            each.due != EACH_SESSION and today is not None and today > each.due
            for each in (gauge, context.build.instruments[root])
        )
        found[name] = GaugeFinding(
            scale_of=root,
            scale=context.scales.scale(name),
            rows=rows[name],
            overdue=late,
        )
    return found


def _metals(context: MeasuredBuild) -> dict[str, MetalFinding]:
    used = {**context.build.materials, **{part.material: None for part in context.build.parts.values()}}
    figures = {name: context.materials.figures(name) for name in used}
    return {
        name: MetalFinding(
            cte=each.cte,
            cte_within=each.cte_within,
            valid=each.valid,
            density=each.density,
            governed_by=each.governed_by,
        )
        for name, each in figures.items()
    }
