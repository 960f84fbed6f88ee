"""Fits: clearance at the worst places, what is wanted, where both ends stand, and what it becomes hot."""

from datetime import date
from typing import Any

from gudgeon_calc.expansion import size_at_reference
from gudgeon_calc.uncertainty import conformity
from gudgeon_calc.units import GRAIN, reaches
from uncertainties import nominal_value, ufloat
from uncertainties.core import Variable

from gudgeon.assess.findings import AsRead, FitFinding, FitMove, Formula, HotCase, Note, Stock
from gudgeon.assess.findings.base import State
from gudgeon.assess.fitting.by_pairing import pairing_of
from gudgeon.assess.fitting.cases_named import cases_not_named
from gudgeon.assess.fitting.direct import direct_reading, disagrees
from gudgeon.assess.fitting.ends import Ends, ends_of, worse
from gudgeon.assess.fitting.holding import doubts_of_holding
from gudgeon.assess.fitting.hot import hot_cases, hot_of_clearance, sizes_at_stop
from gudgeon.assess.fitting.pairings import Pair, in_sweep
from gudgeon.assess.fitting.planned_limits import planned_limits
from gudgeon.assess.fitting.target_range import (
    TargetRange,
    copied_otherwise,
    doubts_of_rule,
    out_of_range,
    target_range,
    wanted_before,
)
from gudgeon.assess.fitting.targets import target_for
from gudgeon.assess.measuring.coverage import doubt_of
from gudgeon.assess.measuring.form_limits import untested_forms
from gudgeon.assess.measuring.lobing import works_by
from gudgeon.assess.measuring.measured_build import MeasuredBuild
from gudgeon.assess.measuring.metal_states import in_order
from gudgeon.assess.measuring.mistakes import source
from gudgeon.assess.measuring.planned_places import doubts_of_halves, held_back_notes
from gudgeon.assess.measuring.sizes import LocalSize, budget
from gudgeon.assess.running import concession_is_open
from gudgeon.assess.steps import first
from gudgeon.records.fits import Fit


def fit_finding(context: MeasuredBuild, fit_id: str, fit: Fit) -> FitFinding:
    """Assess one fit."""
    want = target_range(context, fit)
    lacks = pairing_of(fit).missing(context, fit)
    told: dict[str, Any] = _nothing_read(lacks) if lacks else _worked_out(context, fit_id, fit, want)
    outside, copied = out_of_range(context, fit), copied_otherwise(fit, want)
    read = [ref for ref in dict.fromkeys(fit.halves) if ref in context.build.features and context.local_sizes(ref)]
    held = held_back_notes(context, read)
    doubts = doubts_of_rule(context, fit, want)
    # A rule that alone says what is wanted decides the fit: whether it holds here has to be known.
    by_rule = [] if fit.want or fit.fit_class else [note for note in doubts if note.code == "rule-perhaps-outside"]
    told["causes"] = (*_borrowed_note(context, fit), *([outside] if outside else []), *by_rule, *held, *told["causes"])
    advice = [note for note in doubts if note not in by_rule]
    told["advice"] = (*([copied] if copied else []), *advice, *told.get("advice", ()))
    if want.low is not None:
        limits = pairing_of(fit).limits_told(context, fit, want.low, want.high)
        told["advice"] = (*told["advice"], *cases_not_named(context, fit), *limits)
    told["planned"] = planned_limits(context, fit, want) if lacks else None
    told["look"] = told["look"] or outside is not None or bool(held or by_rule)
    return FitFinding(
        id=fit_id,
        name=fit.name,
        kind=fit.kind,
        hole=fit.outer,
        shaft=fit.inner,
        **want.fields(),
        by_limits=pairing_of(fit).by_limits(context, fit),
        dangerous=fit.dangerous,
        formulas=tuple(_formulas(fit)),
        moves=tuple(_moves(context, fit)),
        wanted_before=tuple(wanted_before(context, fit)),
        source=source(fit.where()),
        **told,
    )


def _nothing_read(lacks: list[Note]) -> dict[str, Any]:
    """Fields of a fit of which a size is missing."""
    stale = any(note.code == "readings-stale" for note in lacks)
    return {"state": "stale" if stale else "no reading", "causes": lacks, "look": stale}


def _worked_out(context: MeasuredBuild, fit_id: str, fit: Fit, want: TargetRange) -> dict[str, Any]:
    """Fields of a fit whose sizes are there."""
    low, high = want.low, want.high
    pair = pairing_of(fit).pair(context, fit)
    ends = ends_of(context, pair, low, high)
    numbers = _numbers(context, fit, pair, ends)
    held_otherwise, advice = doubts_of_holding(context, fit, pair)
    causes = [*pair.causes, *held_otherwise, *pair.notes]
    if low is None:
        return numbers | {
            "state": "no limit",
            "causes": [*causes, _nothing_wanted(fit, want)],
            "look": True,  # it names a rule that says nothing here: somebody has to say what is wanted
        }
    chances = ends.chances()
    target = target_for(context, fit, pair)
    hot, cold_only = hot_cases(context, fit, pair, want, target.stock, target.of)
    at_target = None
    if target.stock:
        outer, inner = sizes_at_stop(fit, pair, target.stock, target.of)
        at_target = nominal_value(outer - inner)
    state = _state(context, fit_id, ends, target.stock)
    judgement = context.shelf.judgement
    advice += target.advice
    coarse = judgement["coarse_share"]
    if high is not None and any(end.doubt.expanded > float(coarse) * (high - low) + GRAIN for end in ends.both):
        advice.append(Note(code="coarse-for-want", words={"share": coarse.words, "ground": coarse.ground}))
    opens = _opens(hot, high)
    advice += [opens] if opens else []
    fails = [Note(code="fails-in-case", subject=case.case, because=case.fails) for case in hot if case.fails]
    off = numbers["as_read"] if moved(numbers["as_read"]) else None
    direct = direct_reading(context, fit, pair.clearance)
    clash = disagrees(direct)
    halves = [ref for ref in dict.fromkeys(fit.halves) if ref in context.build.features]
    not_known = doubts_of_halves(context, halves)
    if state == "in" and any(note.code == "half-unread" for note in not_known):
        state = "reads in"  # as a feature: of the other places nobody knows
    causes += [*clash, *not_known, *(note for ref in halves for note in untested_forms(context, ref))]
    perhaps_oval = any(context.roundness_unknown(ref) for ref in halves)
    causes += [*fails, *cold_only, *([Note(code="error-stays", names={"instruments": off.instruments})] if off else [])]
    # Metal that is still on is why the tight end is not there yet: the state says so.
    told = () if fit.of_kind.stated else ends.not_in
    causes += [end.note() for end in told if state != "metal on" or end.name != "tight"]
    doubtful = max(chances["chance_tight"], chances["chance_loose"]) > float(judgement["look_at_chance"])
    look = (
        state in ("out", "reads out")
        or (state == "reads in" and doubtful)
        or bool(pair.causes or held_otherwise or fails or cold_only or off or clash or not_known or perhaps_oval)
    )
    return (
        numbers
        | chances
        | {
            "state": state,
            "conformity": ends.stands,
            "target": target.stock,
            "target_of": target.of,
            "at_target": at_target,
            "hot": hot,
        }
        | {"causes": causes, "advice": advice, "look": look, "direct": direct}
    )


def _nothing_wanted(fit: Fit, want: TargetRange) -> Note:
    """Why nothing says what is wanted."""
    if want.rule_cannot:
        return Note(code="rule-gives-nothing", subject=fit.rule, because=want.rule_cannot)
    return Note(code="rule-unread", subject=fit.rule)


def _numbers(context: MeasuredBuild, fit: Fit, pair: Pair, ends: Ends) -> dict[str, Any]:
    """The clearance with its uncertainty, and what they rest on."""
    deciding = ends.deciding
    tightest, loosest = pair.readings or (ends.tight.clearance, ends.loose.clearance)
    shared = None
    if pairing_of(fit).shares_scale and pair.hole and pair.shaft:
        shared = context.scales.shared_error(pair.hole.size, pair.shaft.size)
    shared_scale, scale_error = shared or (None, None)
    return {
        "clearance": deciding.clearance,
        "expanded": deciding.doubt.expanded,
        "tightest": tightest,
        "loosest": loosest,
        "ends": tuple(end.finding() for end in ends.both),
        "hole_at": pair.hole.finding() if pair.hole else None,
        "shaft_at": pair.shaft.finding() if pair.shaft else None,
        "gap_read": pair.gap_read,
        "gap_moved_by": pair.gap_moved_by,
        "budget": budget(pair.clearance),
        "degrees": deciding.doubt.degrees,
        "coverage": None if deciding.doubt.degrees is None else deciding.doubt.coverage,
        "shared_scale": shared_scale,
        "expanded_unshared": _unshared(context, pair, scale_error),
        "as_read": _as_read(context, ends),
    }


def _unshared(context: MeasuredBuild, pair: Pair, scale_error: Variable | None) -> float:
    """U in mm had each half been read with a scale of its own, both as good as the one that they share."""
    if scale_error is None or not pair.hole or not pair.shaft:
        return doubt_of(context, pair.clearance).expanded
    apart = pair.clearance - pair.clearance.derivatives.get(scale_error, 0.0) * scale_error
    for place in (pair.hole, pair.shaft):
        apart += place.size.derivatives[scale_error] * ufloat(0, scale_error.std_dev, tag=scale_error.tag)
    return doubt_of(context, apart).expanded


def _as_read(context: MeasuredBuild, ends: Ends) -> AsRead | None:
    """The clearance with the known errors of instruments found off put back, and where both ends would stand so."""
    deciding = ends.deciding
    read = as_read(context, deciding.end.parts, deciding.clearance, deciding.doubt.expanded, None, None)
    if read is None:
        return None
    back = {end: sum(context.scales.known_error(end.end.clearance).values()) for end in ends.both}
    return read.model_copy(update={"conformity": worse(end.stands_at(end.clearance + by) for end, by in back.items())})


def _opens(hot: list[HotCase], high: float | None) -> Note | None:
    """A note where a pair opens hot beyond what is wanted of it cold."""
    if high is None:
        return None
    wide = tuple(case.case for case in hot if case.now > high + case.expanded and case.change > 0)
    return Note(code="opens-hot", names={"cases": wide}) if wide else None


def moved(result_as_read: AsRead | None) -> bool:
    """Whether an instrument found off moves a result; where its error cancels it does not."""
    return result_as_read is not None and abs(result_as_read.by) > GRAIN


def as_read(context: MeasuredBuild, parts, value: float, expanded: float, low, high) -> AsRead | None:
    """A result with the known errors of instruments found off put back, or None where none of them was used.

    parts: the sizes that it was made from, of which the first is the result itself.
    """
    used = {root for size in parts for root in context.scales.known_error(size)}
    if not used:
        return None
    by = sum(context.scales.known_error(parts[0]).values())
    if abs(by) <= GRAIN:
        by = 0.0
    return AsRead(
        instruments=tuple(sorted(used)),
        by=by,
        value=value + by,
        conformity=conformity(value + by, expanded, low, high) if low is not None or high is not None else None,
    )


def _formulas(fit: Fit) -> list[Formula]:
    """The sums behind a fit, with their sources."""
    if fit.of_kind.stated:
        return pairing_of(fit).formulas()
    return [
        Formula(what="sizes at 20 °C", source=size_at_reference.source),
        *pairing_of(fit).formulas(),
        Formula(what="in, reads in, reads out, out", source="iso-14253-1"),
        Formula(what="standard uncertainties and their coverage", source="nist-tn-1297"),
        Formula(what="combining them, effective degrees of freedom", source="jcgm-100"),
        Formula(what="use or resolution, the larger of the two", source="iso-14253-2"),
        Formula(what="chance of being out", source="jcgm-106"),
        *(pairing_of(fit).hot_formulas() if fit.hot else ()),
    ]


def _state(context: MeasuredBuild, fit_id: str, ends: Ends, target: Stock | None) -> State:
    """Where a fit stands, unless a person lets it stand or metal that is still on would put it right."""
    stands = ends.stands
    assert stands, "a fit that wants a least stands somewhere"
    outside = [end for end in ends.both if end.stands in ("out", "reads out")]
    if outside and all(conceded(context, fit_id, end.clearance) for end in outside):
        return "conceded"
    # A half that an operation is still to cut is unfinished, not wrong, as long as cutting brings it inside.
    if stands == "out" and target and target.to_first_limit > GRAIN and target.to_last_limit > GRAIN:
        return "metal on" if ends.loose.stands != "out" else stands
    return stands


def conceded(context: MeasuredBuild, name: str, value: float) -> bool:
    """Whether a person has let a value in mm stand for a fit or feature, up to the build's newest day."""
    today = context.build.newest_date
    for review in context.reviews_of(name):
        if review.verdict == "concession" and concession_is_open(context.build, review, today):
            assert review.allow, "a concession says what it allows"
            low, high = (float(limit) for limit in review.allow)
            if reaches(value, low) and reaches(high, value):
                return True
    return False


def _moves(context: MeasuredBuild, fit: Fit) -> list[FitMove]:
    """The clearance after each operation that gave one half a new size."""
    halves = [getattr(fit, name) for name in pairing_of(fit).moving]
    read = in_order(context.sized[row] for ref in halves for state in context.history(ref) for row in state.rows)
    place_in_order = {sized.row.id: number for number, sized in enumerate(read)}
    events = []
    for ref in halves:
        for state in context.history(ref):
            after, places = state.after, in_sweep(context, ref, list(state.places))
            if not places:
                continue
            rows = [row for place in places for row in place.rows]
            last = max(place_in_order[row] for row in rows)
            day = max(context.rows[row].date for row in rows)
            events.append((last, day, after, ref, places, state.places, rows))
    events.sort(key=lambda event: event[0])
    latest, moves = {}, []
    for _, day, after, ref, places, state_places, rows in events:
        worst = context.worst(ref, state_places)
        # Lobes are known of the state of the metal that counts, and of no other.
        counts = context.row_status(rows[0]) in ("current", "frozen")
        by = nominal_value(works_by(context.lobing(ref), context.build.features[ref].least_decides)) if counts else 0.0
        latest[ref] = [(worst.at(end, places), by) for end in ("least", "greatest")]
        if len(latest) == len(halves):
            sizes = [[place.mm + by for place, by in latest[half]] for half in halves]
            clearance = pairing_of(fit).clearance_of(fit, sizes)
            known = [
                [place.mm + by + _not_known_yet(context, place, day) for place, by in latest[half]] for half in halves
            ]
            known_then = pairing_of(fit).clearance_of(fit, known)
            hot = hot_of_clearance(context, fit, clearance)
            worst = min(hot, key=hot.__getitem__) if hot else None
            moves.append(
                FitMove(
                    date=day.isoformat(),
                    after=after,
                    rows=rows,
                    clearance=clearance,
                    known_then=known_then if abs(known_then - clearance) > GRAIN else None,
                    hot_least=hot[worst] if worst else None,
                    hot_case=worst,
                )
            )
    return moves


def _not_known_yet(context: MeasuredBuild, place: LocalSize, day: date) -> float:
    """What the errors of instruments that were found off after a day add to a size, mm."""
    errors = context.scales.known_error(place.size)
    instruments = context.build.instruments
    return sum(by for root, by in errors.items() if (off := instruments[root].found_off) and off.found > day)


def borrowed(context: MeasuredBuild, fit: Fit) -> str | None:
    """The feature whose size this fit takes although it mates with another; None where it takes its own."""
    if pairing_of(fit).moving != ("hole", "shaft"):
        return None
    shaft, mates = fit.named("shaft"), context.build.features[fit.named("hole")].mates
    part = shaft.partition(".")[0]
    if not mates and fit.kind == "ring_side":
        # A ring lies in one groove: a second fit that names it takes it from the first.
        owner = first(context.build.fits, lambda other: other.kind == "ring_side" and other.shaft == shaft)
        return shaft if owner and context.build.fits[owner].hole != fit.hole else None
    return None if not mates or shaft in mates or part in mates else shaft


def _borrowed_note(context: MeasuredBuild, fit: Fit) -> list[Note]:
    taken = borrowed(context, fit)
    if not taken:
        return []
    hole = fit.named("hole")
    own = tuple(context.build.features[hole].mates)
    return [Note(code="borrows-a-size", subject=taken, names={"hole": (hole,), "own": own})]
