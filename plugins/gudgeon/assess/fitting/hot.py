"""Fits at working temperatures: both parts, each at its own temperature with its own material."""

from itertools import product

from gudgeon_calc.expansion import clearance_at
from gudgeon_calc.rings import gap_at
from gudgeon_calc.uncertainty import chance_outside
from gudgeon_calc.units import quantity
from uncertainties import nominal_value

from gudgeon.assess.findings import FitFinding, HotCase
from gudgeon.assess.measuring.measured_build import MeasuredBuild
from gudgeon.assess.measuring.sizes import expanded
from gudgeon.records.fits import RUNNING, Fit

LIKELY = 0.05  # chance of closing up from which a case is called failed (common practice, no source)


def hot_cases(context: MeasuredBuild, fit: Fit, finding: FitFinding, hole, inner) -> list[HotCase]:
    """The fit in each temperature case that it names.

    hole: size of the outer feature at 20 °C; inner: size of the inner feature, or of a ring's closed gap (mm, numbers
    with uncertainty).
    """
    return [_hot_case(context, fit, finding, name, hole, inner) for name in fit.hot]


def hot_of_clearance(context: MeasuredBuild, fit: Fit, clearance: float) -> dict[str, float]:
    """Case -> clearance hot of a pair with a clearance in mm cold, at the hole's nominal size."""
    size = context.build.features[fit.hole].size
    if size is None or fit.gap:
        return {}
    return {name: nominal_value(_heated(context, fit, name)(size, size - clearance)) for name in fit.hot}


def _heated(context: MeasuredBuild, fit: Fit, name: str, ctes: tuple | None = None):
    """A function that gives the clearance or gap hot of two sizes at 20 °C, mm; ctes: other coefficients, /K."""
    case = context.build.head.cases[name]
    materials = [context.materials.of_part(ref) for ref in (fit.hole, fit.gap or fit.shaft)]
    outer_cte, inner_cte = ctes or [context.materials.cte(each) for each in materials]
    heat = (
        quantity(float(case.hole), "degC"),
        quantity(float(case.shaft), "degC"),
        quantity(outer_cte, "1/kelvin"),
        quantity(inner_cte, "1/kelvin"),
    )
    if fit.gap:
        return lambda outer, gap: gap_at(quantity(gap, "mm"), quantity(outer, "mm"), *heat).m
    return lambda outer, inside: clearance_at(quantity(outer, "mm"), quantity(inside, "mm"), *heat).m


def _hot_case(context: MeasuredBuild, fit: Fit, finding: FitFinding, name: str, hole, inner) -> HotCase:
    case, hot = context.build.head.cases[name], _heated(context, fit, name)
    outer_material, inner_material = (context.materials.of_part(ref) for ref in (fit.hole, fit.gap or fit.shaft))

    def hot_if_cold(clearance: float | None) -> float | None:
        """The same if the pair had this clearance or gap cold."""
        return None if clearance is None else nominal_value(hot(hole, clearance if fit.gap else hole - clearance))

    now, at_target = hot(hole, inner), None
    if finding.target:
        mid = finding.target.target_mid
        at_target = nominal_value(hot(hole, mid) if finding.target_of == fit.shaft else hot(mid, inner))
    most = finding.want_low if finding.want_high is None else finding.want_high
    found = HotCase(
        case=name,
        hole_temp=float(case.hole),
        shaft_temp=float(case.shaft),
        now=nominal_value(now),
        change=nominal_value(now) - finding.clearance,
        at_target=at_target,
        at_least_wanted=hot_if_cold(finding.want_low),
        at_most_wanted=hot_if_cold(most),
        expanded=expanded(now),
        over_sources=_over_sources(context, fit, name, nominal_value(hole), nominal_value(inner)),
        outside_range=_outside(context, (outer_material, float(case.hole)), (inner_material, float(case.shaft))),
    )
    if fit.kind in RUNNING:
        found.chance_closed = chance_outside(found.now, found.expanded, 0.0, None)[0]
    # A half that is still to be cut has not failed yet: what it comes to at its target counts.
    at = found.now if at_target is None else at_target
    found.fails = _fails(fit, finding, at, found.expanded)
    return found


def _over_sources(context: MeasuredBuild, fit: Fit, name: str, hole: float, inner: float) -> tuple[float, float] | None:
    """Least and most of the hot clearance over all coefficients that the sources print for these materials, mm."""
    printed = [context.materials.printed(context.materials.of_part(ref)) for ref in (fit.hole, fit.gap or fit.shaft)]
    if all(len(each) < 2 for each in printed):
        return None
    found = [_heated(context, fit, name, pair)(hole, inner) for pair in product(*printed)]
    return min(found), max(found)


def _fails(fit: Fit, finding: FitFinding, hot: float, doubt: float) -> str | None:
    """How a pair fails hot, in words: a running fit closes up, a held one lets go."""
    if fit.kind in RUNNING:
        if hot <= 0:
            return "it closes up: metal on metal"
        if chance_outside(hot, doubt, 0.0, None)[0] > LIKELY:
            return "the uncertainty reaches to metal on metal"
        return None
    return (
        "it lets go: no interference is left"
        if finding.want_high is not None and finding.want_high <= 0 <= hot
        else None
    )


def _outside(context: MeasuredBuild, *used: tuple[str, float]) -> list[str]:
    """Materials used beyond the temperatures that their coefficient holds for, in words."""
    found = []
    for material, temp in used:
        figures = context.materials.figures(material)
        if figures.valid and not figures.valid[0] <= temp <= figures.valid[1]:
            low, high = figures.valid
            found.append(f"{figures.name} at {temp:g} °C (its coefficient holds from {low:g} to {high:g} °C)")
    return list(dict.fromkeys(found))
