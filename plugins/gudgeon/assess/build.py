"""Assesses a build: the one way from its records to its findings."""

from gudgeon.assess.calculations.dangers import dangers, pattern_sizes
from gudgeon.assess.calculations.run import sums
from gudgeon.assess.calculations.timing import timing_marks, timing_settings
from gudgeon.assess.cautions import applying_cautions
from gudgeon.assess.due import due_on
from gudgeon.assess.findings import (
    BuildFindings,
    GaugeFinding,
    MetalFinding,
)
from gudgeon.assess.fitting.fits import fit_finding
from gudgeon.assess.fitting.mistakes_between_features import fit_mistakes, tell_fits
from gudgeon.assess.fitting.rings import ring_findings
from gudgeon.assess.fitting.rules import rules_side_by_side
from gudgeon.assess.measuring.cross_readings import disagreements
from gudgeon.assess.measuring.cut_results import cut_findings, cut_mistakes
from gudgeon.assess.measuring.features import feature_finding
from gudgeon.assess.measuring.instrument_errors import recalls
from gudgeon.assess.measuring.measured_build import MeasuredBuild, measured_build
from gudgeon.assess.measuring.mistakes import operation_mistakes
from gudgeon.assess.outcomes import outcome_findings
from gudgeon.assess.planning.cut_plan import cut_plans, cutting_minutes
from gudgeon.assess.planning.forecast import build_forecast
from gudgeon.assess.planning.operations import operation_findings, progress
from gudgeon.assess.running import running
from gudgeon.assess.steps import Earlier, Input, Steps, picked, picked_rows, unnoted
from gudgeon.records.build_file import Instrument
from gudgeon.records.edits import WITHDRAWAL
from gudgeon.records.model import Build, Knowledge
from gudgeon.records.readings import Row


def assess(build: Build, shelf: Knowledge, earlier: Earlier | None = None) -> BuildFindings:
    """All findings of a build whose records are without problems. earlier: an assessment of it with some rules otherwise."""
    return _assess(build, shelf, Steps(earlier=earlier))


def assess_with_steps(build: Build, shelf: Knowledge) -> tuple[BuildFindings, Steps]:
    """The same, and its steps, which a later assessment with other rules may take results of."""
    steps = Steps(noting=True)
    return _assess(build, shelf, steps), steps


def assess_with_inputs(build: Build, shelf: Knowledge) -> tuple[BuildFindings, dict[str, frozenset[Input]]]:
    """The same, and what each of them rests on: the address of a step, such as "fit/A-F01", -> the records that it read.

    See gudgeon.assess.steps for what is promised of them.
    """
    findings, steps = assess_with_steps(build, shelf)
    return findings, {address: frozenset(noted) for address, noted in steps.inputs.items()}


def _assess(build: Build, shelf: Knowledge, steps: Steps) -> BuildFindings:
    build, shelf = steps.watched(build, shelf)
    with steps.step("measuring"):
        context = steps.again("measuring", lambda: measured_build(build, shelf, steps))
    if context.steps is not steps:
        context = context.under(build, shelf, steps)
    fits = steps.of_each("fit", build.fits, lambda fit_id, fit: fit_finding(context, fit_id, fit))
    features = steps.of_each("feature", build.features, lambda ref, _: feature_finding(context, ref, fits))
    cuts = cut_findings(context)
    with steps.step("mistake"):
        steps.read("measuring")
        mistakes = [*context.mistakes, *disagreements(context), *operation_mistakes(build, context.order, steps)]
        mistakes += [*fit_mistakes(context, fits), *cut_mistakes(context, cuts)]
    fits = tell_fits(context, fits, mistakes)
    with steps.step("calculation"):
        calculations, numbers = sums(context, fits)
    with steps.step("cut"):
        plans = cut_plans(context, features, cuts)
    operations = operation_findings(context, fits, plans)
    with steps.step("forecast"):
        steps.read("cut")
        forecast = build_forecast(context, operations, cutting_minutes(plans))
    with steps.step("next_jobs"):
        steps.read("forecast")
        jobs = [name for name in forecast.order if operations[name].state == "can start"]
    with steps.step("timing mark"):
        marks = timing_marks(context)
    with steps.step("timing setting"):
        settings = timing_settings(context)
    with steps.step("progress"):
        so_far = progress(build, operations)
    with steps.step("danger"):
        watched = dangers(context, calculations, numbers)
    with steps.step("cautions"):
        steps.read("danger")
        applying = applying_cautions(build, shelf, watched)
    with steps.step("running"):
        run_so_far = running(build)
    with steps.step("outcome"):
        outcomes = outcome_findings(context, fits)
    with steps.step("due date"):
        due = due_on(build, build.newest_date)
    with steps.step("build"):
        about = {
            "name": build.sound_head.name,
            "units": build.sound_head.units,
            "as_of": build.newest_date.isoformat() if build.newest_date else None,
        }
    return BuildFindings(
        build=build.id,
        **about,
        features=features,
        fits=fits,
        rows=context.row_findings(),
        mistakes=tuple(
            sorted(
                mistakes,
                key=lambda slip: (
                    slip.kind,
                    slip.about,
                    slip.row or "",
                    slip.operation or "",
                    slip.cause.code,
                    slip.cause.subject or "",
                ),
            )
        ),
        operations=operations,
        next_jobs=tuple(jobs),
        rules=tuple(rules_side_by_side(context)),
        rings=tuple(ring_findings(context)),
        gauges=steps.of_each("instrument", build.instruments, lambda name, gauge: _gauge(context, name, gauge)),
        recalls=tuple(recalls(context, features, fits)),
        metals=_metals(context),
        calculations=tuple(calculations),
        dangers=tuple(watched),
        cautions=applying,
        timing_marks=tuple(marks),
        timing_settings=tuple(settings),
        patterns=tuple(pattern_sizes(context)),
        progress=so_far,
        cuts=tuple(cuts),
        cut_plans=tuple(plans),
        forecast=forecast,
        running=run_so_far,
        due=tuple(due),
        outcomes=tuple(outcomes),
    )


def _gauge(context: MeasuredBuild, name: str, gauge: Instrument) -> GaugeFinding:
    today, root = context.build.newest_date, context.scales.root(name)
    rows = picked_rows(context.build.rows, lambda row: row.gauge == name)
    return GaugeFinding(
        scale_of=root,
        scale=context.scales.scale(name),
        rows=len([row for row in rows if not _is_withdrawn(context, row)]),
        overdue=any(
            today is not None and instrument.is_overdue(today)
            for instrument in (gauge, context.build.instruments[root])
        ),
    )


def _is_withdrawn(context: MeasuredBuild, row: Row) -> bool:
    withdrawal = context.build.withdrawn.get(row.id)
    if withdrawal is not None:
        context.steps.note(WITHDRAWAL, withdrawal.id)
    return withdrawal is not None


def _metals(context: MeasuredBuild) -> dict[str, MetalFinding]:
    own, parts = unnoted(context.build.materials), unnoted(context.build.parts)
    names = dict.fromkeys([*own, *(part.material for part in parts.values())])
    return {name: _metal(context, name) for name in names}


def _metal(context: MeasuredBuild, name: str) -> MetalFinding:
    with context.steps.step(f"material/{name}"):
        picked(context.build.parts, lambda part: part.material == name)  # it is shown because they are of it
        figures = context.materials.figures(name)
    return MetalFinding(
        cte=figures.cte,
        cte_within=figures.cte_within,
        valid=figures.valid,
        density=figures.density,
        governed_by=figures.governed_by,
    )
