"""Part cards: a page for each part, and the list of them."""

from collections import Counter
from dataclasses import dataclass

from markupsafe import Markup

from gudgeon.assess.findings import CutFinding, FeatureFinding, OperationFinding
from gudgeon.notes import in_words
from gudgeon.pages.drawn import part_outline, way_down
from gudgeon.pages.page import Page
from gudgeon.pages.part_states import worst_first
from gudgeon.pages.rests_on import rests_on
from gudgeon.pages.view import View
from gudgeon.pages.who_measured import who_measured
from gudgeon.records.cuts import Cut
from gudgeon.records.parts import DIAMETERS
from gudgeon.wording import slug, state_count


def pages(view: View) -> list[Page]:
    """A page a part, and their index."""
    index = [
        view.page(
            "parts/index.md",
            "parts.md.j2",
            "build.yaml",
            parts=[
                (part_id, part, Counter(feature.state for feature in view.features_of_part[part_id].values()))
                for part_id, part in view.build.parts.items()
            ],
        )
    ]
    return [
        *index,
        *(view.guarded(f"parts/{slug(part_id)}.md", _part_page, view, part_id) for part_id in view.build.parts),
    ]


def _part_page(view: View, part_id: str) -> Page:
    part = view.build.parts[part_id]
    features = view.features_of_part[part_id]
    calculations = [calculation for calculation in view.findings.calculations if calculation.part == part_id]
    bars = [
        (feature, feature.stock, _way(view, feature))
        for feature in features.values()
        if feature.state == "metal on" and feature.stock
    ]
    return view.page(
        f"parts/{slug(part_id)}.md",
        "part_page.md.j2",
        f"parts/{part_id}.yaml",
        part_id=part_id,
        part=part,
        diameters=DIAMETERS,
        features=features,
        outline=part_outline.outline(part, features, view.fmt),
        rests={ref: rests_on(view, "feature", ref) for ref in features},
        bars=bars,
        ways=[
            (feature, _way(view, feature))
            for feature in features.values()
            if len(feature.history) > 1 and not (feature.state == "metal on" and feature.stock)
        ],
        operations=[operation for operation in view.findings.operations.values() if operation.part == part_id],
        rows=view.rows_of_part.get(part_id, []),
        cuts=_cuts(view, part_id),
        fits=[
            fit
            for fit in view.findings.fits.values()
            if any(ref and ref.partition(".")[0] == part_id for ref in (fit.hole, fit.shaft))
        ],
        rings=[
            ring
            for ring in view.findings.rings
            if ring.ring == part_id or (ring.groove or "").partition(".")[0] == part_id
        ],
        forms={ref: _form_words(view, feature) for ref, feature in features.items()},
        mistakes=view.mistakes_of(part_id),
        cautions=view.cautions(view.findings.cautions.parts[part_id]),
        leading=[danger for danger in view.leading if danger.part in (None, part_id)],
        dangers=[danger for danger in view.findings.dangers if danger.part in (None, part_id)],
        crossed=[(feature, cross) for feature in features.values() for cross in feature.cross_readings],
        comparisons=[(feature, comparison) for feature in features.values() for comparison in feature.comparisons],
        sums=[calculation for calculation in calculations if calculation.value is not None],
        unsummed=len([calculation for calculation in calculations if calculation.value is None]),
        reviews=_reviews(view, part_id),
        states=[
            state_count(state, count)
            for state, count in worst_first(Counter(feature.state for feature in features.values()))
        ],
        next_jobs=_next_jobs(view, part_id),
        measured={
            ref: who_measured(view, feature.history[-1].rows) for ref, feature in features.items() if feature.history
        },
        who=lambda rows: who_measured(view, rows),
        mapped=[ref for ref in view.mapped if ref in features],
    )


@dataclass(frozen=True)
class WayDown:
    """The drawing of a feature's way to its size, and what it is drawn to."""

    drawing: Markup | None
    scale: str


def _way(view: View, feature: FeatureFinding) -> WayDown:
    spec = view.build.features[feature.ref]
    passes = (
        [cut for plan in view.findings.cut_plans if plan.feature == feature.ref for cut in plan.passes]
        if feature.state == "metal on"
        else []
    )
    said = {name: operation.does for name, operation in view.findings.operations.items()}
    axis = way_down.axis_of(feature, spec, passes, view.fmt)
    return WayDown(
        way_down.way_down(feature, spec, passes, said, view.fmt), way_down.scale_words(axis, view.fmt) if axis else ""
    )


def _next_jobs(view: View, part_id: str) -> list[OperationFinding]:
    """The operations of a part that can start, else those that wait; what is done is none."""
    of_part = [operation for operation in view.findings.operations.values() if operation.part == part_id]
    ready = [operation for operation in of_part if operation.state == "can start"]
    return ready or [operation for operation in of_part if operation.state != "done"]


def _reviews(view: View, part_id: str) -> list:
    """What people said of the part, a feature or an operation of it."""
    operations = {op_id for op_id, op in view.build.operations.items() if op.part == part_id}
    return [
        review
        for review in view.build.reviews
        if any(about.partition(".")[0] == part_id or about in operations for about in review.about)
    ]


def _cuts(view: View, part_id: str) -> list[tuple[Cut, CutFinding | None]]:
    """The cuts on a part as they were entered, each with what it took off; a withdrawn one without."""
    made = {(cut.source.file, cut.source.line): cut for cut in view.findings.cuts}
    of_part = [cut for cut in view.build.cuts if cut.of.partition(".")[0] == part_id]
    return [(cut, made.get((cut.where().file, cut.where().line))) for cut in of_part]


def _form_words(view: View, feature: FeatureFinding) -> str:
    """Taper, shape and ovality of a feature in a line."""
    if feature.form is None:
        return ""
    words, form = [], feature.form
    for verdict in feature.forms:
        allowed = f"{view.fmt.clearance_text(verdict.most)} allowed"
        if verdict.value is None or verdict.expanded is None:
            words.append(f"{verdict.what} {verdict.verdict} against {allowed}")
        else:
            size = f"{view.fmt.clearance_text(abs(verdict.value))} ± {view.fmt.clearance_text(verdict.expanded)}"
            words.append(f"{verdict.what} by all places {size}: {verdict.verdict}, {allowed}")
    if form.taper_ends is not None and form.taper_fit is not None:
        words.append(
            f"taper {view.fmt.clearance_text(form.taper_ends, True)} end to end, {view.fmt.clearance_text(form.taper_fit, True)} fitted"
        )
    words += [in_words(note, view.fmt) for note in form.shape]
    ovals = [section.ovality for section in form.sections if section.ovality is not None]
    if ovals:
        words.append(f"oval by up to {view.fmt.clearance_text(max(ovals))}")
    if feature.lobing:
        size = f"{view.fmt.clearance_text(feature.lobing.out_of_round)} ± {view.fmt.clearance_text(feature.lobing.expanded)}"
        words.append(f"{feature.lobing.lobes} lobes, out of round by {size} over a vee of {feature.lobing.vee:g}°")
    return "; ".join(words)
