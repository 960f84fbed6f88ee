"""Assesses a build: the one way from its records to its findings."""

from collections import Counter

from gudgeon.assess.context import Context, context_of
from gudgeon.assess.dangers import dangers, pattern_sizes, timing_marks
from gudgeon.assess.features import feature_finding
from gudgeon.assess.findings import (
    BuildFindings,
    FitFinding,
    GaugeFinding,
    MetalFinding,
    OperationFinding,
    Slip,
)
from gudgeon.assess.fits import borrowed, fit_finding
from gudgeon.assess.operations import next_jobs, operation_findings, progress
from gudgeon.assess.outlook import build_outlook
from gudgeon.assess.passes import cut_plans, cutting_minutes
from gudgeon.assess.recalls import recalls
from gudgeon.assess.rings import ring_findings
from gudgeon.assess.rules import rules_side_by_side
from gudgeon.assess.slips import operation_slips, source
from gudgeon.assess.sums import sums
from gudgeon.records.build_file import EACH_SESSION
from gudgeon.records.folder import Build
from gudgeon.records.shelf import Knowledge


def assess(build: Build, shelf: Knowledge) -> BuildFindings:
    """All findings of a build whose records are without problems."""
    context = context_of(build, shelf)
    fits = {fit_id: fit_finding(context, fit_id, fit) for fit_id, fit in build.fits.items()}
    features = {ref: feature_finding(context, ref, fits) for ref in build.features}
    slips = [*context.slips, *operation_slips(build, context.order), *fit_slips(context, fits)]
    _tell_fits(context, fits, slips)
    operations = operation_findings(context, fits)
    calculations = sums(context, fits)
    plans, jobs = cut_plans(context, features), next_jobs(operations)
    cutting = cutting_minutes(plans)
    _hold_to_cutting(operations, cutting)
    return BuildFindings(
        build=build.id,
        name=build.head.name,
        units=build.head.units,
        as_of=build.newest_date.isoformat() if build.newest_date else None,
        features=features,
        fits=fits,
        rows=context.row_findings(),
        slips=sorted(slips, key=lambda slip: (slip.kind, slip.about, slip.row or "", slip.operation or "", slip.cause)),
        operations=operations,
        next_jobs=jobs,
        rules=rules_side_by_side(context),
        rings=ring_findings(context),
        gauges=_gauges(context),
        recalls=recalls(context, features, fits),
        metals=_metals(context),
        calculations=calculations,
        dangers=dangers(context, calculations),
        timing_marks=timing_marks(context),
        patterns=pattern_sizes(context),
        progress=progress(operations),
        cut_plans=plans,
        outlook=build_outlook(context, operations, jobs, cutting),
    )


def _hold_to_cutting(operations: dict[str, OperationFinding], cutting: dict[str, float]) -> None:
    """An operation takes at least as long as its tools are in the cut; an estimate below that is flagged."""
    for name, minutes in cutting.items():
        each = operations[name]
        if each.expected_minutes is not None and each.expected_minutes < minutes:
            each.advice.append(
                f"its estimate of {each.expected_minutes:.0f} minutes is under the {minutes:.0f} that the tool is in the cut"
            )


def _gauges(context: Context) -> dict[str, GaugeFinding]:
    found, today = {}, context.build.newest_date
    rows = Counter(row.gauge for row in context.build.rows)
    for name, gauge in context.build.instruments.items():
        root = context.scales.root(name)
        late = any(
            each.due != EACH_SESSION and today is not None and today > each.due
            for each in (gauge, context.build.instruments[root])
        )
        found[name] = GaugeFinding(
            scale_of=root,
            scale=float(context.build.instruments[root].scale),
            rows=rows[name],
            overdue=late,
        )
    return found


def _metals(context: Context) -> dict[str, MetalFinding]:
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


def fit_slips(context: Context, fits: dict[str, FitFinding]) -> list[Slip]:
    """Slips that show only where two features meet."""
    return [*_borrowed(context), *_gaps(context, fits), *_swapped(context), *_tapers(context, fits)]


def _borrowed(context: Context) -> list[Slip]:
    by_feature: dict[str, list[str]] = {}
    for fit_id, fit in context.build.fits.items():
        if borrowed(context, fit):
            by_feature.setdefault(fit.shaft, []).append(fit_id)
    slips = []
    for ref, fit_ids in by_feature.items():
        rows = context.rows_of(ref, "current")
        own = [mate for fit_id in fit_ids for mate in context.build.features[context.build.fits[fit_id].hole].mates]
        unread = [mate for mate in own if not context.places(mate)]
        said = f"; {' and '.join(unread)} {'is' if len(unread) == 1 else 'are'} not measured" if unread else ""
        where = rows[0].where() if rows else context.build.fits[fit_ids[0]].where("shaft")
        slips.append(
            Slip(
                kind="borrowed reading",
                cause=f"fits {' and '.join(fit_ids)} borrow the reading of {ref}{said}",
                about=ref,
                row=rows[0].id if rows else None,
                fits=fit_ids,
                source=source(where),
            )
        )
    return slips


def _gaps(context: Context, fits: dict[str, FitFinding]) -> list[Slip]:
    slips = []
    for finding in fits.values():
        if finding.gap_moved_by is None or finding.clearance is None:
            continue
        row = context.rows[finding.shaft_at.rows[0]]
        if finding.gap_read - finding.clearance > finding.shaft_at.expanded:
            slips.append(
                Slip(
                    kind="gap not at the smallest bore",
                    cause=f"the ring lay at station {row.station}, where the bore is larger than at its smallest in ring travel: "
                    "the gap reads too wide by π times the difference",
                    about=finding.shaft,
                    row=row.id,
                    fits=[finding.id],
                    source=source(row.where()),
                )
            )
    return slips


def _swapped(context: Context) -> list[Slip]:
    """Bore and shaft swapped: each reads as the other should."""
    slips = []
    for fit_id, fit in context.build.fits.items():
        if not fit.shaft or fit.kind == "key_taper":
            continue
        hole, shaft = context.build.features[fit.hole], context.build.features[fit.shaft]
        outer, inner = context.places(fit.hole), context.places(fit.shaft)
        if (
            not outer
            or not inner
            or hole.size is None
            or shaft.size is None
            or abs(hole.size - shaft.size) < 4 * outer[0].size.std_dev
        ):
            continue
        apart = abs(hole.size - shaft.size)
        if all(abs(each.mm - shaft.size) < apart / 4 for each in outer) and all(
            abs(each.mm - hole.size) < apart / 4 for each in inner
        ):
            row = context.rows[outer[0].rows[0]]
            slips.append(
                Slip(
                    kind="bore and shaft swapped",
                    cause=f"{fit.hole} reads as {fit.shaft} should, and the other way round: the two were written down the wrong way round",
                    about=fit.hole,
                    row=row.id,
                    fits=[fit_id],
                    source=source(row.where()),
                )
            )
    return slips


def _tapers(context: Context, fits: dict[str, FitFinding]) -> list[Slip]:
    slips = []
    for finding in fits.values():
        if finding.kind == "key_taper" and finding.state == "out":
            fit = context.build.fits[finding.id]
            key, keyway = context.build.features[fit.key].nominal, context.build.features[fit.keyway].nominal
            slips.append(
                Slip(
                    kind="two tapers",
                    cause=f"key {key} in a {keyway} keyway: the tapers do not match and the key bears at one end",
                    about=fit.key,
                    fits=[finding.id],
                    source=source(fit.where()),
                )
            )
    return slips


def _tell_fits(context: Context, fits: dict[str, FitFinding], slips: list[Slip]) -> None:
    """A fit says which slips touch it, and asks to be looked at."""
    for slip in slips:
        for fit_id in slip.fits:
            finding = fits[fit_id]
            finding.look = True
            if slip.kind != "borrowed reading":
                finding.causes.append(slip.cause)
