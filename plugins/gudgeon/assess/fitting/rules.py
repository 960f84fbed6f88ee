"""Rules of thumb worked out for this engine, side by side, never averaged."""

from gudgeon_calc.units import GRAIN

from gudgeon.assess.findings import RuleFinding
from gudgeon.assess.fitting.by_pairing import pairing_of
from gudgeon.assess.fitting.hot import hot_of_clearance
from gudgeon.assess.fitting.rule_conditions import club_metals_of, within_range
from gudgeon.assess.fitting.rule_results import RuleResult, counted_size, result_of, size_for
from gudgeon.assess.measuring.measured_build import MeasuredBuild
from gudgeon.assess.steps import picked
from gudgeon.records.fits import Fit
from gudgeon.records.knowledge import Rule
from gudgeon.records.rule_forms import Form


def rules_side_by_side(context: MeasuredBuild) -> list[RuleFinding]:
    """Every rule of a kind that the build has a fit of, worked out for this engine; pairs alike in size and metal once."""
    by_rule = context.steps.of_each("rule", context.shelf.rules, lambda rule_id, rule: _of_rule(context, rule_id, rule))
    return [finding for findings in by_rule.values() for finding in findings]


def _of_rule(context: MeasuredBuild, rule_id: str, rule: Rule) -> list[RuleFinding]:
    """One rule for all pairs of its kind."""
    findings = []
    fits = picked(context.build.fits, lambda fit: fit.kind == rule.kind)
    for case, form in rule.forms.items() if fits else ():
        alike: dict[tuple, list[str]] = {}
        for fit_id, fit in fits.items():
            if case is None or fit.rule != rule_id or fit.rule_case == case:
                pair = (size_for(context, fit) or 0.0, *club_metals_of(context, fit))
                alike.setdefault(pair, []).append(fit_id)
        for _, of_pair in sorted(alike.items(), key=lambda pair_and_fits: tuple(str(one) for one in pair_and_fits[0])):
            findings.append(_finding(context, rule_id, case, form, of_pair))
    return findings


def _finding(context: MeasuredBuild, rule_id: str, case: str | None, form: Form, fit_ids: list[str]) -> RuleFinding:
    """One rule for the fits of one size and pair of metals."""
    rule, fits = context.shelf.rules[rule_id], [context.build.fits[fit_id] for fit_id in fit_ids]
    fit = fits[0]
    result = result_of(context, form, fit)
    given = result.range
    size = counted_size(context, form, fit)
    implied = _implied(context, fit, result)
    within, why = within_range(context, rule, fit, form)
    hot = {
        f"{name} ({fit_id})": left
        for fit_id, alike_fit in zip(fit_ids, fits, strict=True)
        for name, left in (hot_of_clearance(context, alike_fit, given[0]) if given else {}).items()
    }
    worst = min(hot, key=hot.__getitem__) if hot else None
    return RuleFinding(
        rule=rule_id,
        case=case,
        says=rule.says,
        kind=rule.kind,
        grade=rule.grade,
        fits=tuple(fit_ids),
        size=size,
        low=given[0] if given else None,
        high=(given[0] if given[1] is None else given[1]) if given else None,
        cannot=result.cannot,
        implied_low=implied[0],
        implied_high=implied[1],
        hot_least=hot[worst] if worst else None,
        hot_case=worst,
        within=within,
        why_outside=why,
        superseded_by=rule.superseded_by,
        cited_by=tuple(
            fit_id
            for fit_id, alike_fit in zip(fit_ids, fits, strict=True)
            if alike_fit.rule == rule_id and alike_fit.rule_case == case
        ),
    )


def _implied(context: MeasuredBuild, fit: Fit, result: RuleResult) -> tuple[float | None, float | None]:
    """The temperature differences that a result stands for: by its per-length part, else as a share of the size."""
    material, size = _shared_material(context, fit), size_for(context, fit)
    rate = result.rate
    if rate is None and result.low is not None and result.low > GRAIN and size:
        rate = result.low / size, (result.low if result.high is None else result.high) / size
    if rate is None or material is None or not material.cte:  # what does not expand stands for none
        return None, None
    low, high = (pairing_of(fit).implied(end, material.cte) for end in rate)
    return low, high


def _shared_material(context, fit):
    """The outer part's figures where both halves expand alike: only then does a rule stand for one temperature difference."""
    metals = [context.materials.figures(context.materials.of_part(ref)) for ref in fit.grows if ref]
    if len(metals) < 2:
        return None
    outer, inner = metals
    return outer if abs(outer.cte - inner.cte) <= float(context.shelf.judgement["alike_share"]) * outer.cte else None
