"""Rules of thumb worked out for this engine, side by side, never averaged."""

from gudgeon_calc.expansion import implied_difference, implied_difference_of_gap
from gudgeon_calc.thumb_rules import allowance
from gudgeon_calc.units import GRAIN, Quantity

from gudgeon.assess.context import Context
from gudgeon.assess.findings import RuleFinding
from gudgeon.records.fits import BY_THE_HOLE, Fit
from gudgeon.records.knowledge import Form, Rule

ALIKE = 0.1  # coefficients within a tenth of each other count as one material's (common practice, no source)


def size_for(context: Context, fit: Fit) -> float | None:
    """The diameter in mm that a rule for this fit counts on, from the specs."""
    ref = fit.hole if fit.kind in BY_THE_HOLE else fit.shaft
    return context.build.features[ref].size if ref else None


def gives(form: Form, size: float | None) -> tuple[float, float | None] | None:
    """Least and most in mm that a form gives for a size in mm; a single figure is a least without a most."""
    if form.per_length is None:
        return float(form.least), float(form.most)
    if size is None:
        return None
    low, high = (
        allowance(Quantity(size, "mm"), Quantity(rate, ""), Quantity(float(form.plus) if form.plus else 0.0, "mm")).m
        for rate in form.per_length
    )
    if form.least is not None:
        low = max(low, float(form.least))
    if form.most is not None:
        high = min(high, float(form.most))
    return (low, high) if high - low > GRAIN else (low, None)


def form_of_fit(rule: Rule, fit: Fit) -> Form:
    """The form of a rule that a fit cites."""
    return rule.cases[fit.rule_case] if rule.cases else rule.gives


def rules_side_by_side(context: Context) -> list[RuleFinding]:
    """Every rule of a kind that the build has a fit of, worked out for this engine."""
    findings = []
    for rule_id, rule in context.shelf.rules.items():
        fits = {fit_id: fit for fit_id, fit in context.build.fits.items() if fit.kind == rule.kind}
        if not fits:
            continue
        for case, form in (rule.cases or {None: rule.gives}).items():
            of_case = {
                fit_id: fit
                for fit_id, fit in fits.items()
                if case is None or fit.rule != rule_id or fit.rule_case == case
            }
            sizes: dict[float | None, list[str]] = {}
            for fit_id, fit in of_case.items():
                sizes.setdefault(size_for(context, fit), []).append(fit_id)
            for size, of_size in sorted(sizes.items(), key=lambda each: each[0] or 0.0):
                findings.append(
                    _finding(
                        context,
                        rule_id,
                        rule,
                        case,
                        form,
                        size,
                        [each for each in of_size if fits[each].rule == rule_id and fits[each].rule_case == case],
                        fits[of_size[0]],
                    )
                )
    return findings


def _finding(context, rule_id, rule, case, form, size, cited_by, fit) -> RuleFinding:
    low, high = gives(form, size) or (0.0, None)
    implied = (None, None)
    material = _shared_material(context, fit)
    if form.per_length and material:
        difference = implied_difference_of_gap if rule.kind == "ring_gap" else implied_difference
        implied = tuple(
            difference(Quantity(rate, ""), Quantity(material.cte, "1/kelvin")).m for rate in form.per_length
        )
    within, why = _within(context, rule, size)
    return RuleFinding(
        rule=rule_id,
        case=case,
        says=rule.says,
        kind=rule.kind,
        size=size,
        low=low,
        high=low if high is None else high,
        implied_low=implied[0],
        implied_high=implied[1],
        within=within,
        why_outside=why,
        cited_by=cited_by,
    )


def _shared_material(context, fit):
    """The outer part's figures where both halves expand alike: only then does a rule stand for one temperature difference."""
    if not fit.hole:
        return None
    outer, inner = (
        context.materials.figures(context.materials.of_part(ref)) for ref in (fit.hole, fit.gap or fit.shaft)
    )
    return outer if abs(outer.cte - inner.cte) <= ALIKE * outer.cte else None


def _within(context, rule: Rule, size: float | None) -> tuple[bool | None, str | None]:
    if rule.sizes is None and rule.speed_most is None:
        return None, None
    if rule.sizes and size is not None and not float(rule.sizes[0]) - GRAIN <= size <= float(rule.sizes[1]) + GRAIN:
        return False, f"it is good for {rule.sizes[0]} to {rule.sizes[1]}"
    if rule.speed_most and float(context.build.head.engine.speed) > float(rule.speed_most):
        return False, f"it is good up to {rule.speed_most}"
    return True, None
