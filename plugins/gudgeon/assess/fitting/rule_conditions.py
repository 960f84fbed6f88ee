"""Whether a rule of thumb holds for a fit: metals, size, speed, cooling and running, and what of it is not known here."""

from gudgeon_calc.units import GRAIN

from gudgeon.assess.findings import Note
from gudgeon.assess.fitting.rule_results import MOST_BEHIND, form_of_fit, size_for
from gudgeon.assess.measuring.measured_build import MeasuredBuild
from gudgeon.records.fit_kinds import FIT_KINDS
from gudgeon.records.fits import Fit
from gudgeon.records.knowledge import Rule
from gudgeon.records.rule_forms import Form


def within_range(
    context: MeasuredBuild, rule: Rule, fit: Fit, form: Form | None = None
) -> tuple[bool | None, Note | None]:
    """Whether a fit lies within what a rule is good for, and why not. form: the one that is asked about.

    (None, note) where it cannot be told, with what is not known; (None, None) where the rule says no condition.
    """
    if rule.kind != fit.kind:
        # A builder may carry a rule over to another fit of the same axis, but not unawares.
        kinds = {"meant": FIT_KINDS[rule.kind].words, "this": fit.of_kind.words}
        return False, Note(code="rule-for-other-kind", words=kinds)
    return _holds(context, rule, fit, form or form_of_fit(rule, fit))


def _holds(
    context: MeasuredBuild, rule: Rule, fit: Fit, form: Form, behind: tuple[str, ...] = ()
) -> tuple[bool | None, Note | None]:
    """The conditions of a rule, and of the rule whose result it takes. behind: rules that take its own result."""
    outside = _outside(context, rule, fit)
    if outside:
        return False, outside
    unknown, says = _not_known(context, rule, fit), _says_conditions(rule)
    other = context.shelf.rules.get(form.of_rule) if form.of_rule else None
    if other and other.rule not in behind and len(behind) < MOST_BEHIND:
        of_case = other.forms.get(form.of_case)
        within, why = _holds(context, other, fit, of_case, (*behind, other.rule)) if of_case else (None, None)
        if within is False:
            return False, Note(code="other-rule-outside", subject=other.rule, because=why)
        if why:
            unknown = (*unknown, *why.names["unknown"])
        says = says or within is not None or why is not None
    if unknown:
        return None, Note(code="rule-cannot-tell", names={"unknown": tuple(dict.fromkeys(unknown))})
    return (True, None) if says else (None, None)


def _says_conditions(rule: Rule) -> bool:
    metals = rule.hole_materials or rule.shaft_materials
    return bool(rule.sizes or rule.speed_least or rule.speed_most or rule.cooling or rule.running or metals)


def _outside(context: MeasuredBuild, rule: Rule, fit: Fit) -> Note | None:
    """The first condition that a fit is known not to keep."""
    engine, size = context.build.sound_head.engine, size_for(context, fit)
    outer, inner = _metals_on_the_shelf(context, fit)
    if rule.hole_materials and outer and outer not in rule.hole_materials:
        return Note(code="rule-for-other-outer", names={"meant": rule.hole_materials, "this": (outer,)})
    if rule.shaft_materials and inner and inner not in rule.shaft_materials:
        return Note(code="rule-for-other-inner", names={"meant": rule.shaft_materials, "this": (inner,)})
    if rule.sizes and size is not None and not float(rule.sizes[0]) - GRAIN <= size <= float(rule.sizes[1]) + GRAIN:
        least, most = (float(end) for end in rule.sizes)
        return Note(code="rule-for-other-sizes", lengths={"least": least, "most": most})
    if rule.speed_most and engine.speed and float(engine.speed) > float(rule.speed_most):
        return Note(code="rule-for-lower-speed", words={"most": str(rule.speed_most)})
    if rule.speed_least and engine.speed and float(engine.speed) < float(rule.speed_least):
        return Note(code="rule-for-higher-speed", words={"least": str(rule.speed_least)})
    if rule.cooling and engine.cooling and engine.cooling not in rule.cooling:
        return Note(code="rule-for-other-cooling", names={"cooling": rule.cooling})
    if rule.running and engine.running and engine.running not in rule.running:
        return Note(code="rule-for-other-running", names={"meant": rule.running, "this": (engine.running,)})
    return None


def _not_known(context: MeasuredBuild, rule: Rule, fit: Fit) -> tuple[str, ...]:
    """What a rule asks about and the records of this engine do not say."""
    engine = context.build.sound_head.engine
    outer, inner = _metals_on_the_shelf(context, fit)
    asked = {
        "the outer part's metal": rule.hole_materials and not outer,
        "the inner part's metal": rule.shaft_materials and not inner,
        "the size": rule.sizes and size_for(context, fit) is None,
        "the engine's speed": (rule.speed_most or rule.speed_least) and not engine.speed,
        "the engine's cooling": rule.cooling and not engine.cooling,
        "how the engine is run": rule.running and not engine.running,
    }
    return tuple(what for what, lacks in asked.items() if lacks)


def club_metals_of(context: MeasuredBuild, fit: Fit) -> tuple[str, str]:
    """The club's materials that the outer and the inner half are of."""
    outer, inner = (context.materials.figures(context.materials.of_part(ref)).club if ref else "" for ref in fit.grows)
    return outer, inner


def _metals_on_the_shelf(context: MeasuredBuild, fit: Fit) -> tuple[str, str]:
    """The same; empty where a build's own material is not said to be like one of the club's."""
    outer, inner = (metal if metal in context.shelf.materials else "" for metal in club_metals_of(context, fit))
    return outer, inner
