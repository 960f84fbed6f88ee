"""Fits at working temperatures: both parts, each at its own temperature with its own material."""

from itertools import product
from typing import Any

from uncertainties import nominal_value

from gudgeon.assess.findings import HotCase, Note, Stock
from gudgeon.assess.fitting.by_pairing import pairing_of
from gudgeon.assess.fitting.pairings import Hot, Pair, case_spread, metals_of
from gudgeon.assess.measuring.coverage import Doubt, doubt_of
from gudgeon.assess.measuring.measured_build import MeasuredBuild
from gudgeon.records.fits import Fit


def hot_cases(
    context: MeasuredBuild, fit: Fit, pair: Pair, want, target: Stock | None, target_of: str | None
) -> tuple[list[HotCase], list[Note]]:
    """The fit in each temperature case that it names, and which cases could not be worked out.

    want: the range that is wanted, mm. target, target_of: what the unmade half is to come to, and which half that is.
    """
    cases, not_worked_out = [], []
    for name in fit.hot:
        case = _hot_case(context, fit, name, pair, want, target, target_of)
        if case is not None:
            cases.append(case)
        else:
            lacks = tuple(
                ref
                for ref in fit.grows
                if ref and not context.local_sizes(ref) and context.build.features[ref].size is None
            )
            not_worked_out.append(Note(code="case-not-worked-out", subject=name, names={"lacks": lacks}))
    return cases, not_worked_out


def hot_of_clearance(context: MeasuredBuild, fit: Fit, clearance: float) -> dict[str, float]:
    """Case -> clearance hot of a pair with a clearance in mm cold, at the outer half's nominal size."""
    pairing, size = pairing_of(fit), context.build.features[fit.outer].size if fit.outer else None
    if fit.outer and size is None:
        return {}
    hot = {name: _expected(context, fit, name) for name in fit.hot}
    inner = pairing.inner_for(size, clearance)
    return {name: heated(size, inner) for name, heated in hot.items() if heated is not None}


def _expected(context: MeasuredBuild, fit: Fit, case: str) -> Hot | None:
    """How a pair goes in a case at the figures themselves: a hot size that is asked for without its uncertainty costs a tenth."""
    ctes = [nominal_value(context.materials.cte(metal)) for metal in metals_of(context, fit)]
    return pairing_of(fit).hot(context, fit, case, (ctes[0], ctes[1]) if ctes else None)


def sizes_at_stop(fit: Fit, pair: Pair, target: Stock, target_of: str | None) -> tuple[Any, Any]:
    """The outer and the inner size, mm, at the end that hurts, once the unmade half is cut to its stop."""
    assert pair.hole and pair.shaft, "a pair with a target has both sizes"
    off = target.on_diameter if target.side == "external" else -target.on_diameter
    if target_of == fit.inner:
        return pair.hole.size, pair.shaft.mm - off
    return pair.hole.mm - off, pair.shaft.size


def _hot_case(
    context: MeasuredBuild, fit: Fit, name: str, pair: Pair, want, target: Stock | None, target_of: str | None
) -> HotCase | None:
    pairing = pairing_of(fit)
    case, hot = context.build.sound_head.cases[name], pairing.hot(context, fit, name)
    if hot is None:
        return None
    expected = _expected(context, fit, name)
    assert expected is not None, "a pair that goes hot with its uncertainty goes hot without it"
    hole, inner = pair.hole.size if pair.hole else None, pairing.inner_size(pair)
    outer = nominal_value(hole) if pair.hole else None

    def hot_if_cold(clearance: float) -> float:
        """The same if the pair had this clearance cold."""
        return nominal_value(expected(outer, pairing.inner_for(outer, clearance)))

    now, at_target = hot(hole, inner), None
    if target:
        at_target = nominal_value(expected(*map(nominal_value, sizes_at_stop(fit, pair, target, target_of))))
    doubt, usual = doubt_of(context, now), float(context.shelf.judgement["case_share"])
    # A half that is still to be cut has not failed yet: what it comes to at its target counts.
    at = nominal_value(now) if at_target is None else at_target
    return HotCase(
        case=name,
        hole_temp=float(case.hole),
        shaft_temp=float(case.shaft),
        now=nominal_value(now),
        change=nominal_value(now) - pair.clearance.nominal_value,
        at_target=at_target,
        at_least_wanted=hot_if_cold(want.low),
        at_most_wanted=hot_if_cold(want.low if want.high is None else want.high),
        chance_closed=doubt.chance_outside(nominal_value(now), 0.0, None)[0] if fit.of_kind.runs else None,
        fails=_fails(context, fit, want.high, at, doubt),
        expanded=doubt.expanded,
        hole_within=case_spread(case, case.hole, usual),
        shaft_within=case_spread(case, case.shaft, usual),
        usual_spread=case.within is None and None in (case.hole.within, case.shaft.within),
        over_sources=_over_sources(context, fit, name, outer, nominal_value(inner)),
        outside_range=tuple(_outside(context, fit, float(case.hole), float(case.shaft))),
    )


def _over_sources(context: MeasuredBuild, fit: Fit, name: str, hole, inner: float) -> tuple[float, float] | None:
    """Least and most of the hot clearance over all coefficients that the sources print for these materials, mm."""
    printed = [context.materials.printed(material) for material in metals_of(context, fit)]
    if all(len(figures) < 2 for figures in printed):
        return None
    outer, inner_printed = printed
    hots = [pairing_of(fit).hot(context, fit, name, ctes) for ctes in product(outer, inner_printed)]
    clearances = [nominal_value(hot(hole, inner)) for hot in hots if hot is not None]
    return min(clearances), max(clearances)


def _fails(context: MeasuredBuild, fit: Fit, most: float | None, hot: float, doubt: Doubt) -> Note | None:
    """How a pair fails hot: a running fit closes up, a held one lets go. Its kind has the words."""
    if fit.of_kind.runs:
        if hot > 0:
            most_closing = context.shelf.judgement["closing_chance"]
            if doubt.chance_outside(hot, 0.0, None)[0] <= float(most_closing):
                return None
            words = {"ground": most_closing.ground}
            return Note(code="may-close-hot", chances={"most": float(most_closing)}, words=words)
    elif most is None or not most <= 0 <= hot:
        return None
    return Note(code="fails-hot", words={"how": fit.of_kind.fails})


def _outside(context: MeasuredBuild, fit: Fit, outer_temp: float, inner_temp: float) -> list[Note]:
    """Materials used beyond the temperatures that their coefficient holds for; the same at the same temperature once."""
    outer, inner = metals_of(context, fit)
    used = {(inner, inner_temp): fit.grows[1], (outer, outer_temp): fit.grows[0]}
    beyond = []
    for (material, temp), ref in reversed(used.items()):
        figures = context.materials.figures(material)
        if figures.valid and not figures.valid[0] <= temp <= figures.valid[1]:
            low, high = figures.valid
            temperatures = {"at": temp, "low": low, "high": high}
            words = {"material": figures.name}
            beyond.append(Note(code="beyond-coefficient", subject=ref, words=words, temperatures=temperatures))
    return beyond
