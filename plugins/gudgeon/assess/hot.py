"""Fits at working temperatures: both parts, each at its own temperature with its own material."""

from gudgeon_calc.expansion import clearance_at
from gudgeon_calc.rings import gap_at
from gudgeon_calc.units import Quantity
from uncertainties import nominal_value

from gudgeon.assess.context import Context
from gudgeon.assess.findings import FitFinding, HotCase
from gudgeon.assess.sizes import expanded
from gudgeon.records.fits import Fit


def hot_cases(context: Context, fit: Fit, finding: FitFinding, hole, inner) -> list[HotCase]:
    """The fit in each temperature case that it names.

    hole: size of the outer feature at 20 °C; inner: size of the inner feature, or of a ring's closed gap (mm, numbers
    with uncertainty).
    """
    return [_hot_case(context, fit, finding, name, hole, inner) for name in fit.hot]


def _hot_case(context: Context, fit: Fit, finding: FitFinding, name: str, hole, inner) -> HotCase:
    case = context.build.head.cases[name]
    outer_material, inner_material = (context.materials.of_part(ref) for ref in (fit.hole, fit.gap or fit.shaft))
    heat = (
        Quantity(float(case.hole), "degC"),
        Quantity(float(case.shaft), "degC"),
        Quantity(context.materials.cte(outer_material), "1/kelvin"),
        Quantity(context.materials.cte(inner_material), "1/kelvin"),
    )

    def hot(outer, inside):
        """Clearance or gap hot of two sizes at 20 °C."""
        if fit.gap:
            return gap_at(Quantity(inside, "mm"), Quantity(outer, "mm"), *heat).m
        return clearance_at(Quantity(outer, "mm"), Quantity(inside, "mm"), *heat).m

    def hot_if_cold(clearance: float) -> float:
        """The same if the pair had this clearance or gap cold."""
        return nominal_value(hot(hole, clearance if fit.gap else hole - clearance))

    now, at_target = hot(hole, inner), None
    if finding.target:
        mid = finding.target.target_mid
        at_target = nominal_value(hot(hole, mid) if finding.target_of == fit.shaft else hot(mid, inner))
    most = finding.want_low if finding.want_high is None else finding.want_high
    return HotCase(
        case=name,
        hole_temp=float(case.hole),
        shaft_temp=float(case.shaft),
        now=nominal_value(now),
        at_target=at_target,
        at_least_wanted=hot_if_cold(finding.want_low),
        at_most_wanted=hot_if_cold(most),
        expanded=expanded(now),
        outside_range=_outside(context, (outer_material, float(case.hole)), (inner_material, float(case.shaft))),
    )


def _outside(context: Context, *used: tuple[str, float]) -> list[str]:
    """Materials used beyond the temperatures that their coefficient holds for, in words."""
    found = []
    for material, temp in used:
        figures = context.materials.figures(material)
        if figures.valid and not figures.valid[0] <= temp <= figures.valid[1]:
            low, high = figures.valid
            found.append(f"{figures.name} at {temp:g} °C (its coefficient holds from {low:g} to {high:g} °C)")
    return list(dict.fromkeys(found))
