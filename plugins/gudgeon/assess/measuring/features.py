"""Features: size, form, stock and state of each."""

from dataclasses import dataclass
from typing import Any

from gudgeon_calc.uncertainty import WORST_FIRST, Conformity, conformity
from gudgeon_calc.units import GRAIN, reaches

from gudgeon.assess.findings import Comparison, FeatureFinding, FitFinding, FormVerdict, Generation, Note, Stock
from gudgeon.assess.findings.base import State
from gudgeon.assess.fitting.fits import as_read, borrowed, conceded
from gudgeon.assess.measuring.coverage import doubt_of
from gudgeon.assess.measuring.cross_readings import cross_readings
from gudgeon.assess.measuring.form_limits import BY_FORM, form_note, form_verdicts
from gudgeon.assess.measuring.forms import form_of, ovality_of, section_mean
from gudgeon.assess.measuring.measured_build import MeasuredBuild
from gudgeon.assess.measuring.mistakes import source
from gudgeon.assess.measuring.planned_places import held_back_notes, stand_off_notes, unread_notes, unread_places
from gudgeon.assess.measuring.sizes import LocalSize, budget, expanded, spread
from gudgeon.assess.measuring.stock import stock, thinnest
from gudgeon.records.parts import Feature


def feature_finding(context: MeasuredBuild, ref: str, fits: dict[str, FitFinding]) -> FeatureFinding:
    """Assess one feature; fits: the build's fits, already assessed."""
    feature = context.build.features[ref]
    internal = feature.least_decides
    places = context.local_sizes(ref)
    decides = context.deciding(ref)
    size, doubt = (decides.mm, doubt_of(context, decides.size).expanded) if decides else (None, None)
    cells = [place.finding() for place in places]
    missing = unread_places(feature, places) if feature.is_length else []
    forms = form_verdicts(context, ref)
    on_it = _stock(context, ref, decides, doubt, fits)
    held = held_back_notes(context, [ref]) if places else []
    not_known = [*held, *unread_notes(missing, places)]
    state, why, below, above = _state(context, ref, _Measured(size, forms, on_it, not_known), fits)
    return FeatureFinding(
        ref=ref,
        name=feature.name,
        kind=feature.kind,
        state=state,
        why=why,
        size=size,
        expanded=doubt,
        budget=tuple(budget(decides.size) if decides else ()),
        cells=tuple(cells),
        missing_cells=tuple(missing),
        mapped=len({cell.station for cell in places}) > 1 and len({cell.angle for cell in places}) > 1,
        form=form_of(places, internal),
        forms=forms,
        lobing=lobing.finding() if (lobing := context.lobing(ref)) else None,
        stock=on_it,
        limits=feature.allowed,
        chance_below=below,
        chance_above=above,
        **_ground(feature),
        history=tuple(_history(context, ref, internal)),
        as_read=as_read(context, [decides.size], decides.mm, doubt, *(feature.allowed or (None, None)))
        if decides and doubt is not None
        else None,
        cross_readings=tuple(cross_readings(context, ref)),
        comparisons=tuple(_comparisons(context, ref)),
        advice=(
            *held,
            *_advice(context, ref),
            *(form_note(form) for form in forms if form.verdict != "in"),
            *stand_off_notes(context, ref),
            *unread_notes(missing, places),
        ),
        source=source(feature.where()),
    )


@dataclass(frozen=True)
class _Measured:
    """A feature as it was read: what decides its state."""

    size: float | None
    forms: tuple[FormVerdict, ...]
    stock: Stock | None
    not_known: list[
        Note
    ]  # a newer reading that is held back, planned places not read: nobody knows whether they are good


def _stock(
    context: MeasuredBuild, ref: str, decides: LocalSize | None, doubt: float | None, fits: dict[str, FitFinding]
) -> Stock | None:
    """Metal on a feature, by its own limits or by the fit that gives it a target. doubt: U of the size that decides, mm."""
    feature = context.build.features[ref]
    of_fits = (fits[fit_id] for fit_id in context.fits_of(ref))
    by_fits = next((fit.target for fit in of_fits if fit.target_of == ref), None)  # within its own limits too
    if by_fits or not (decides and doubt is not None and feature.allowed and feature.metal_side):
        return by_fits
    low, high = feature.allowed
    side = feature.metal_side
    return stock(side, decides.mm, thinnest(side, context.worst(ref)), doubt, low, high, "limits", False)


def _state(
    context: MeasuredBuild, ref: str, read: _Measured, fits: dict[str, FitFinding]
) -> tuple[State, Note, float | None, float | None]:
    """State of a feature, why, and the chances that it is below the least and above the most wanted."""
    status = context.status(ref)
    if status == "none":
        held = tuple(row.id for row in context.rows_of(ref, "held back"))
        if held:
            return "no reading", Note(code="held-back", names={"rows": held}, because=context.held[held[0]]), None, None
        return "no reading", Note(code="nothing-read"), None, None
    if status in ("stale", "frozen"):
        rows = context.rows_of(ref, "frozen") if status == "frozen" else context.rows_of(ref, "stale", "past")
        why = context.row_states[rows[-1].id].why
        assert why, "a row that is not in use says why"
        return status, why, None, None
    feature, stock_now = context.build.features[ref], read.stock
    low, high = feature.allowed or ((stock_now.target_low, stock_now.target_high) if stock_now else (None, None))
    if low is None:
        by_fits, why = _state_from_fits(context, ref, fits)
        if by_fits == "in" and read.not_known:
            return "reads in", read.not_known[0], None, None
        return by_fits, why, None, None
    ends = [context.worst(ref).at(end) for end in ("least", "greatest")]
    stands: list[Conformity] = [conformity(end.mm, doubt_of(context, end.size).expanded, low, high) for end in ends]
    if len(context.local_sizes(ref)) == 1:  # few repeats behind one reading: Student's law
        below, above = doubt_of(context, ends[0].size).chance_outside(ends[0].mm, low, high)
    else:
        below, above = context.worst(ref).chances(low, high)
    state: State = min(stands, key=WORST_FIRST.index)
    if feature.allowed or not stock_now:
        why = Note(code="against-limits")
    else:
        why = Note(code="against-target", subject=stock_now.target_from)
    still_open = context.order.open_cuts(ref)
    if (
        state == "out"
        and stock_now
        and stock_now.to_first_limit > GRAIN
        and stock_now.to_last_limit > GRAIN
        and still_open
    ):
        state, why = "metal on", Note(code="still-to-be-cut", subject=still_open[0])
    for form in read.forms:
        if state in WORST_FIRST and form.verdict != "in":
            stands_by_form = BY_FORM[form.verdict]
            if WORST_FIRST.index(stands_by_form) < WORST_FIRST.index(state):
                state, why = stands_by_form, form_note(form)
    if state == "in" and read.not_known:
        state, why = "reads in", read.not_known[0]
    if state in ("out", "reads out") and read.size is not None and conceded(context, ref, read.size):
        state, why = "conceded", Note(code="let-stand")
    return state, why, below, above


def _state_from_fits(context: MeasuredBuild, ref: str, fits: dict[str, FitFinding]) -> tuple[State, Note]:
    judged: list[tuple[Conformity, str]] = [
        (fit.conformity, fit.id)
        for fit in (fits[fit_id] for fit_id in context.fits_of(ref))
        if ref in (fit.hole, fit.shaft) and fit.conformity and borrowed(context, context.build.fits[fit.id]) != ref
    ]
    if judged:
        state, worst = min(judged, key=lambda state_and_fit: WORST_FIRST.index(state_and_fit[0]))
        return state, Note(code="as-its-fit", subject=worst)
    return "no limit", Note(code="nothing-wanted")


def _ground(feature: Feature) -> dict[str, Any]:
    """Where the limits of a feature come from, and on what ground they stand."""
    table_limits = None if feature.limits else feature.table_limits
    if table_limits:
        return {
            "limits_from": Note(code="limits-of-tolerance", words={"tolerance": feature.tolerance or ""}),
            "limits_sources": list(table_limits.sources),
            "limits_basis": table_limits.basis,
        }
    if not feature.allowed:
        return {}
    return {"limits_from": Note(code="limits-of-spec"), "limits_basis": "the builder's spec"}


def _comparisons(context: MeasuredBuild, ref: str) -> list[Comparison]:
    """What a three-point head said beside diameters at the same section, and what it could not see."""
    compared = []
    for after, diameters, three_point in context.compared_sections(ref):
        mean, other = section_mean(diameters), section_mean(three_point)
        apart = mean - other
        known = context.scales.known_error(apart)
        sizes = [place.mm for place in three_point]
        compared.append(
            Comparison(
                station=diameters[0].station,
                after=after,
                diameters=tuple(row for place in diameters for row in place.rows),
                three_point=tuple(row for place in three_point for row in place.rows),
                mean_of_diameters=mean.nominal_value,
                mean_of_three_point=other.nominal_value,
                difference=apart.nominal_value,
                expanded=expanded(apart),
                agree=reaches(expanded(apart), abs(apart.nominal_value)),
                difference_as_read=apart.nominal_value + sum(known.values()) if known else None,
                ovality=ovality_of(diameters),
                spread_three_point=max(sizes) - min(sizes),
            )
        )
    return compared


def _history(context: MeasuredBuild, ref: str, internal: bool) -> list[Generation]:
    generations = []
    for number, read in enumerate(context.history(ref), start=1):
        rows = [row for local in read.places for row in local.rows]
        sizes = [local.mm for local in read.places]
        decides = context.worst(ref, read.places).at("least" if internal else "greatest")
        generations.append(
            Generation(
                state=number,
                after=read.after,
                cut=read.cut,
                date=max(context.rows[row].date for row in rows).isoformat(),
                mean=sum(sizes) / len(sizes),
                least=min(sizes),
                greatest=max(sizes),
                decides=decides.mm,
                expanded=doubt_of(context, decides.size).expanded,
                rows=tuple(rows),
            )
        )
    return generations


def _advice(context: MeasuredBuild, ref: str) -> list[Note]:
    advice, judgement = [], context.shelf.judgement
    in_three_jaws = context.jaws_left_lobes(ref)
    if in_three_jaws:
        advice.append(Note(code="vee-wanted", subject=in_three_jaws))
    unsaid = tuple(row.id for row in context.vee_rows_of(ref) if row.lobes is None)
    if unsaid:
        advice.append(Note(code="lobes-unsaid", names={"rows": unsaid}))
    lobing = context.lobing(ref)
    if lobing:
        advice.append(lobing.note(ref, context.build.features[ref].least_decides))
    rows = context.rows_of(ref, "current", "frozen")
    temperatures = [
        (float(row.part_temp), float(row.gauge_temp))
        for row in rows
        if row.part_temp is not None and row.gauge_temp is not None
    ]
    off, gap = judgement["soak_part"], judgement["soak_gap"]
    warm = [
        abs(part - gauge)
        for part, gauge in temperatures
        if abs(part - 20) > float(off) or abs(part - gauge) > float(gap)
    ]
    if warm:
        kelvins = {"apart": max(warm), "gap": float(gap), "part": float(off)}
        soak_ground = " and ".join(dict.fromkeys((gap.ground, off.ground)))
        advice.append(Note(code="not-soaked", kelvins=kelvins, words={"ground": soak_ground}))
    states = context.metal(ref)
    for past, tells in states.unrecorded:
        if tells in {row.id for row in rows} or set(past) & set(states.past):
            advice.append(Note(code="cut-not-recorded", subject=tells, names={"past": past}))
    assumed: dict[str, list[str]] = {}
    for row, cut in states.order_assumed:
        if row not in states.past and context.row_status(row) in ("current", "frozen"):
            assumed.setdefault(cut, []).append(row)
    for cut, after in assumed.items():
        advice.append(Note(code="order-assumed", subject=cut, names={"rows": tuple(after)}))
    for row in rows:
        use = float(context.build.instruments[row.gauge].use)
        usual = judgement["spread_of_use"]
        if spread(row) > float(usual) * use + GRAIN:
            words = {"ground": usual.ground}
            advice.append(Note(code="wide-spread", subject=row.id, ratios={"times": float(usual)}, words=words))
    compared = {row for _, _, read in context.compared_sections(ref) for place in read for row in place.rows}
    three_point = sorted(
        {row.gauge for row in rows if context.build.instruments[row.gauge].contacts == 3 and row.id not in compared}
    )
    if three_point:
        advice.append(Note(code="no-ovality-seen", names={"instruments": tuple(three_point)}))
    feature = context.build.features[ref]
    if feature.allowed and rows:
        band = feature.allowed[1] - feature.allowed[0]
        worst = max((expanded(place.size) for place in context.local_sizes(ref)), default=0.0)
        coarse = judgement["coarse_share"]
        if worst > float(coarse) * band + GRAIN:
            advice.append(Note(code="coarse-for-limits", words={"share": coarse.words, "ground": coarse.ground}))
    return advice
