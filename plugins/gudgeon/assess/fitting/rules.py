"""Rules of thumb worked out for this engine, side by side, never averaged."""

from gudgeon_calc.expressions import CannotWorkOut
from gudgeon_calc.thumb_rules import allowance
from gudgeon_calc.units import GRAIN, quantity

from gudgeon.assess.findings import Note, RuleFinding
from gudgeon.assess.fitting.by_pairing import pairing_of
from gudgeon.assess.fitting.hot import hot_of_clearance
from gudgeon.assess.measuring.measured_build import MeasuredBuild
from gudgeon.assess.steps import picked
from gudgeon.records.fit_kinds import FIT_KINDS
from gudgeon.records.fits import Fit
from gudgeon.records.knowledge import Form, Rule


def size_for(context: MeasuredBuild, fit: Fit) -> float | None:
    """The diameter in mm that a rule for this fit counts on, from the specs."""
    return context.build.features[fit.counted_on].size if fit.counted_on else None


def figures_of(context: MeasuredBuild, fit: Fit) -> dict[str, float]:
    """What a rule's expression may count on, for a fit of this engine: mm, rpm and 1/K."""
    engine = context.build.sound_head.engine
    outer, inner = fit.grows
    known = {
        "size": size_for(context, fit),
        "bore": float(engine.bore) if engine.bore else None,
        "stroke": float(engine.stroke) if engine.stroke else None,
        "rod": float(engine.rod_centres) if engine.rod_centres else None,
        "speed": float(engine.speed) if engine.speed else None,
        "expansion_hole": context.materials.figures(context.materials.of_part(outer)).cte if outer else None,
        "expansion_shaft": context.materials.figures(context.materials.of_part(inner)).cte if inner else None,
    }
    return {name: figure for name, figure in known.items() if figure is not None}


def gives(form: Form, size: float | None, figures: dict[str, float]) -> tuple[float, float | None] | None:
    """Least and most in mm that a form gives for a size in mm; a single figure is a least without a most.

    figures: what an expression may count on. None where the form cannot be worked out for them.
    """
    if form.expression is not None:
        try:
            low, high = sorted(expression.value(figures) for expression in form.expression)
        except CannotWorkOut:
            return None
    elif form.per_length is None:
        assert form.least is not None and form.most is not None, "a form gives a share, an expression or two lengths"
        return float(form.least), float(form.most)
    elif size is None:
        return None
    else:
        low, high = (
            allowance(
                quantity(size, "mm"), quantity(rate, ""), quantity(float(form.plus) if form.plus else 0.0, "mm")
            ).m
            for rate in form.per_length
        )
    if form.least is not None:
        low = max(low, float(form.least))
    if form.most is not None:
        high = min(high, float(form.most))
    return (low, high) if high - low > GRAIN else (low, None)


def form_of_fit(rule: Rule, fit: Fit) -> Form:
    """The form of a rule that a fit cites."""
    form = rule.cases[fit.rule_case] if rule.cases and fit.rule_case else rule.gives
    assert form, "a rule gives a form, or one for each of its cases"
    return form


def rules_side_by_side(context: MeasuredBuild) -> list[RuleFinding]:
    """Every rule of a kind that the build has a fit of, worked out for this engine; pairs alike in size and metal once."""
    by_rule = context.steps.of_each("rule", context.shelf.rules, lambda rule_id, rule: _of_rule(context, rule_id, rule))
    return [finding for findings in by_rule.values() for finding in findings]


def _of_rule(context: MeasuredBuild, rule_id: str, rule: Rule) -> list[RuleFinding]:
    """One rule for all pairs of its kind."""
    findings = []
    fits = picked(context.build.fits, lambda fit: fit.kind == rule.kind)
    for case, form in (rule.cases or {None: rule.gives}).items() if fits else ():
        alike: dict[tuple, list[str]] = {}
        for fit_id, fit in fits.items():
            if case is None or fit.rule != rule_id or fit.rule_case == case:
                pair = (size_for(context, fit) or 0.0, *_metals(context, fit))
                alike.setdefault(pair, []).append(fit_id)
        for _, of_pair in sorted(alike.items(), key=lambda pair_and_fits: tuple(str(one) for one in pair_and_fits[0])):
            assert form, "a rule gives a form, or one for each of its cases"
            findings.append(_finding(context, rule_id, case, form, of_pair))
    return findings


def _finding(context: MeasuredBuild, rule_id: str, case: str | None, form: Form, fit_ids: list[str]) -> RuleFinding:
    """One rule for the fits of one size and pair of metals."""
    rule, fits = context.shelf.rules[rule_id], [context.build.fits[fit_id] for fit_id in fit_ids]
    fit = fits[0]
    size, figures = size_for(context, fit), figures_of(context, fit)
    given = gives(form, size, figures)
    implied = (None, None)
    material = _shared_material(context, fit)
    if form.per_length and material:
        implied = tuple(pairing_of(fit).implied(rate, material.cte) for rate in form.per_length)
    within, why = within_range(context, rule, fit)
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
        cannot=None if given else _why_not(form, figures),
        implied_low=implied[0],
        implied_high=implied[1],
        hot_least=hot[worst] if worst else None,
        hot_case=worst,
        within=within,
        why_outside=why,
        cited_by=tuple(
            fit_id
            for fit_id, alike_fit in zip(fit_ids, fits, strict=True)
            if alike_fit.rule == rule_id and alike_fit.rule_case == case
        ),
    )


def _why_not(form: Form, figures: dict[str, float]) -> Note:
    for end in form.expression or ():
        unknown = tuple(sorted(end.names - figures.keys()))
        if unknown:
            return Note(code="figures-unknown", names={"figures": unknown})
        try:
            end.value(figures)
        except CannotWorkOut as error:
            return Note(code="expression-fails", words={"why": str(error)})
    return Note(code="nothing-to-count-on")


def _metals(context: MeasuredBuild, fit: Fit) -> tuple[str, str]:
    """The club's materials that the outer and the inner half are of."""
    outer, inner = (context.materials.figures(context.materials.of_part(ref)).club if ref else "" for ref in fit.grows)
    return outer, inner


def _shared_material(context, fit):
    """The outer part's figures where both halves expand alike: only then does a rule stand for one temperature difference."""
    metals = [context.materials.figures(context.materials.of_part(ref)) for ref in fit.grows if ref]
    if len(metals) < 2:
        return None
    outer, inner = metals
    return outer if abs(outer.cte - inner.cte) <= float(context.shelf.judgement["alike_share"]) * outer.cte else None


def within_range(context: MeasuredBuild, rule: Rule, fit: Fit) -> tuple[bool | None, Note | None]:
    """Whether a fit lies within what a rule is good for: metals, size, speed, cooling. (None, None) where it does not say, or where this engine does not."""
    engine, size = context.build.sound_head.engine, size_for(context, fit)
    if rule.kind != fit.kind:
        # A builder may carry a rule over to another fit of the same axis, but not unawares.
        kinds = {"meant": FIT_KINDS[rule.kind].words, "this": fit.of_kind.words}
        return False, Note(code="rule-for-other-kind", words=kinds)
    outer, inner = _metals(context, fit)
    if rule.hole_materials and outer and outer not in rule.hole_materials:
        return False, Note(code="rule-for-other-outer", names={"meant": rule.hole_materials, "this": (outer,)})
    if rule.shaft_materials and inner and inner not in rule.shaft_materials:
        return False, Note(code="rule-for-other-inner", names={"meant": rule.shaft_materials, "this": (inner,)})
    # Whether all that the rule asks about is known of this engine.
    known = bool(outer or not rule.hole_materials) and bool(inner or not rule.shaft_materials)
    if rule.sizes and size is not None and not float(rule.sizes[0]) - GRAIN <= size <= float(rule.sizes[1]) + GRAIN:
        least, most = (float(end) for end in rule.sizes)
        return False, Note(code="rule-for-other-sizes", lengths={"least": least, "most": most})
    if rule.speed_most and engine.speed and float(engine.speed) > float(rule.speed_most):
        return False, Note(code="rule-for-lower-speed", words={"most": str(rule.speed_most)})
    if rule.cooling and engine.cooling and engine.cooling not in rule.cooling:
        return False, Note(code="rule-for-other-cooling", names={"cooling": rule.cooling})
    known = known and not (rule.sizes and size is None)
    known = known and not (rule.speed_most and not engine.speed or rule.cooling and not engine.cooling)
    says = rule.sizes or rule.speed_most or rule.cooling or rule.hole_materials or rule.shaft_materials
    return (True, None) if says and known else (None, None)
