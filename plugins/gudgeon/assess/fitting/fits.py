"""Fits: clearance at the worst place, what is wanted, where it stands, and what it becomes hot."""

import math
from typing import Any

from gudgeon_calc.expansion import size_at_reference
from gudgeon_calc.uncertainty import chance_outside, conformity, coverage_factor, effective_degrees
from gudgeon_calc.units import GRAIN, reaches

from gudgeon.assess.findings import AsRead, Component, FitFinding, FitMove, Formula, HotCase, Note, Stock
from gudgeon.assess.findings.base import Conformity
from gudgeon.assess.fitting.by_pairing import pairing_of
from gudgeon.assess.fitting.direct import direct_reading, disagrees
from gudgeon.assess.fitting.holding import doubts_of_holding
from gudgeon.assess.fitting.hot import hot_cases, hot_of_clearance
from gudgeon.assess.fitting.pairings import Pair, in_sweep
from gudgeon.assess.fitting.target_range import (
    TargetRange,
    copied_otherwise,
    out_of_range,
    target_range,
    wanted_before,
)
from gudgeon.assess.measuring.measured_build import MeasuredBuild
from gudgeon.assess.measuring.mistakes import source
from gudgeon.assess.measuring.sizes import budget, expanded
from gudgeon.records.fits import Fit


def fit_finding(context: MeasuredBuild, fit_id: str, fit: Fit) -> FitFinding:
    """Assess one fit."""
    want = target_range(context, fit)
    lacks = pairing_of(fit).missing(context, fit)
    told: dict[str, Any] = _nothing_read(lacks) if lacks else _worked_out(context, fit_id, fit, want)
    told["causes"] = (*_borrowed_note(context, fit), *told["causes"])
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
    numbers = _numbers(context, fit, pair, low, high)
    held_otherwise, advice = doubts_of_holding(context, fit, pair)
    causes = [*pair.causes, *held_otherwise, *pair.notes]
    if low is None:
        return numbers | {"state": "no limit", "causes": [*causes, Note(code="rule-unread", subject=fit.rule)]}
    clearance, doubt = numbers["clearance"], numbers["expanded"]
    stands = conformity(clearance, doubt, low, high)
    chances = _chances(clearance, doubt, low, high)
    target, target_of = pairing_of(fit).target(context, fit, fit_id, pair, doubt, low, high)
    hot, cold_only = hot_cases(context, fit, pair, want, target, target_of)
    state = _state(context, fit_id, clearance, low, stands, target)
    coarse = context.shelf.judgement["coarse_share"]
    if high is not None and doubt > float(coarse) * (high - low) + GRAIN:
        advice.append(Note(code="coarse-for-want", words={"share": coarse.words}))
    advice += [note for note in (copied_otherwise(fit, want), _opens(hot, high)) if note]
    outside = out_of_range(context, fit)
    danger = chances["chance_tight"] if fit.dangerous == "tight" else chances["chance_loose"]
    fails = [Note(code="fails-in-case", subject=case.case, because=case.fails) for case in hot if case.fails]
    off = numbers["as_read"] if moved(numbers["as_read"]) else None
    direct = direct_reading(context, fit, pair.clearance)
    clash = disagrees(direct)
    causes += [*clash, *([outside] if outside else [])]
    causes += [*fails, *cold_only, *([Note(code="error-stays", names={"instruments": off.instruments})] if off else [])]
    look = (
        state in ("out", "reads out")
        or (state == "reads in" and danger > float(context.shelf.judgement["look_at_chance"]))
        or bool(pair.causes or held_otherwise or fails or cold_only or outside or off or clash)
    )
    return (
        numbers
        | chances
        | {"state": state, "conformity": stands, "target": target, "target_of": target_of, "hot": hot}
        | {"causes": causes, "advice": advice, "look": look, "direct": direct}
    )


def _numbers(context: MeasuredBuild, fit: Fit, pair: Pair, low: float | None, high: float | None) -> dict[str, Any]:
    """The clearance with its uncertainty, and what they rest on."""
    clearance, doubt = pair.clearance.nominal_value, expanded(pair.clearance)
    shared = None
    if pairing_of(fit).shares_scale and pair.hole and pair.shaft:
        shared = context.scales.shared_error(pair.hole.size, pair.shaft.size)
    shared_scale, scale_error = shared or (None, None)
    lines = budget(pair.clearance)
    degrees, coverage = _degrees(context, lines)
    return {
        "clearance": clearance,
        "expanded": doubt,
        "tightest": pair.tightest,
        "loosest": pair.loosest,
        "hole_at": pair.hole.finding() if pair.hole else None,
        "shaft_at": pair.shaft.finding() if pair.shaft else None,
        "gap_read": pair.gap_read,
        "gap_moved_by": pair.gap_moved_by,
        "budget": lines,
        "degrees": degrees,
        "coverage": coverage,
        "shared_scale": shared_scale,
        # Had they shared none, the scale error of one half would have stayed in.
        "expanded_unshared": math.hypot(doubt, expanded(scale_error) if scale_error is not None else 0.0),
        "as_read": as_read(context, pair.parts, clearance, doubt, low, high),
    }


def _opens(hot: list[HotCase], high: float | None) -> Note | None:
    """A note where a pair opens hot beyond what is wanted of it cold."""
    if high is None:
        return None
    wide = tuple(case.case for case in hot if case.now > high + case.expanded and case.change > 0)
    return Note(code="opens-hot", names={"cases": wide}) if wide else None


def moved(found: AsRead | None) -> bool:
    """Whether an instrument found off moves a result; where its error cancels it does not."""
    return found is not None and abs(found.by) > GRAIN


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


def _degrees(context: MeasuredBuild, lines: list[Component]) -> tuple[float | None, float | None]:
    """Effective degrees of freedom and the coverage factor that goes with them; None where no instrument says."""
    names = [line.name.removeprefix("use of ") for line in lines if line.name.startswith("use of ")]
    readings = {name: context.build.instruments[name].use_readings for name in names}
    known = {f"use of {name}": float(number - 1) for name, number in readings.items() if number}
    if not known:
        return None, None
    degrees = effective_degrees([(line.standard, known.get(line.name, math.inf)) for line in lines])
    return degrees, coverage_factor(degrees, 0.9545)


def _chances(clearance: float, doubt: float, low: float, high: float | None) -> dict[str, float]:
    """The chances of standing outside and inside, and how far it reads outside."""
    tight, loose = chance_outside(clearance, doubt, low, high)
    over = [low - clearance] + ([clearance - high] if high is not None else [])
    return {
        "chance_tight": tight,
        "chance_loose": loose,
        "chance_inside": max(0.0, 1 - tight - loose),
        "short_by": max(0.0, *over) if not reaches(0.0, max(over)) else 0.0,
    }


def _formulas(fit: Fit) -> list[Formula]:
    """The sums behind a fit, with their sources."""
    if fit.of_kind.stated:
        return pairing_of(fit).formulas()
    return [
        Formula(what="sizes at 20 °C", source=size_at_reference.source),
        *pairing_of(fit).formulas(),
        Formula(what="in, reads in, reads out, out", source="iso-14253-1"),
        Formula(what="standard uncertainties and coverage k = 2", source="nist-tn-1297"),
        Formula(what="combining them, effective degrees of freedom", source="jcgm-100"),
        Formula(what="use or resolution, the larger of the two", source="iso-14253-2"),
        Formula(what="chance of being out", source="jcgm-106"),
        *(pairing_of(fit).hot_formulas() if fit.hot else ()),
    ]


def _state(
    context: MeasuredBuild, fit_id: str, clearance: float, low: float, stands: Conformity, target: Stock | None
) -> str:
    if stands in ("out", "reads out") and conceded(context, fit_id, clearance):
        return "conceded"
    # A pair that cannot go together as wanted is unfinished, not wrong: nothing has been decided by cutting yet.
    cannot_go_together = clearance < 0 or low < 0
    if target and stands == "out" and target.to_first_limit > 0 and cannot_go_together:
        return "metal on"
    return stands


def conceded(context: MeasuredBuild, name: str, value: float) -> bool:
    """Whether a person has let a value in mm stand for a fit or feature, up to the build's newest day."""
    today = context.build.newest_date
    for review in context.reviews_of(name):
        # How long an engine has run is not in the records: a concession by hours stands until somebody writes the next review.
        open_still = review.verdict == "concession" and (
            today is None or review.recheck is None or today <= review.recheck
        )
        if open_still:
            assert review.allow, "a concession says what it allows"
            low, high = (float(limit) for limit in review.allow)
            if reaches(value, low) and reaches(high, value):
                return True
    return False


def _moves(context: MeasuredBuild, fit: Fit) -> list[FitMove]:
    """The clearance after each operation that gave one half a new size."""
    halves = [getattr(fit, name) for name in pairing_of(fit).moving]
    events = []
    for ref in halves:
        for state in context.history(ref):
            after, places = state.after, in_sweep(context, ref, list(state.places))
            if not places:
                continue
            rows = [row for place in places for row in place.rows]
            events.append((max(context.rows[row].date for row in rows), after, ref, places, state.places, rows))
    events.sort(key=lambda event: (event[0], event[1] or ""))
    latest, moves = {}, []
    for date, after, ref, places, state_places, rows in events:
        worst = context.worst(ref, state_places)
        latest[ref] = [worst.at("least", places).mm, worst.at("greatest", places).mm]
        if len(latest) == len(halves):
            clearance = pairing_of(fit).clearance_of(fit, [latest[half] for half in halves])
            hot = hot_of_clearance(context, fit, clearance)
            worst = min(hot, key=hot.__getitem__) if hot else None
            moves.append(
                FitMove(
                    date=date.isoformat(),
                    after=after,
                    rows=rows,
                    clearance=clearance,
                    hot_least=hot[worst] if worst else None,
                    hot_case=worst,
                )
            )
    return moves


def borrowed(context: MeasuredBuild, fit: Fit) -> str | None:
    """The feature whose size this fit takes although it mates with another; None where it takes its own."""
    if pairing_of(fit).moving != ("hole", "shaft"):
        return None
    shaft, mates = fit.named("shaft"), context.build.features[fit.named("hole")].mates
    part = shaft.partition(".")[0]
    return None if not mates or shaft in mates or part in mates else shaft


def _borrowed_note(context: MeasuredBuild, fit: Fit) -> list[Note]:
    taken = borrowed(context, fit)
    if not taken:
        return []
    hole = fit.named("hole")
    own = tuple(context.build.features[hole].mates)
    return [Note(code="borrows-a-size", subject=taken, names={"hole": (hole,), "own": own})]
