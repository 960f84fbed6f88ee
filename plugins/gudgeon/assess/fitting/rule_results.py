"""What a rule of thumb gives for a fit of this engine, or why it cannot be told."""

from dataclasses import dataclass

from gudgeon_calc.expressions import CannotWorkOut
from gudgeon_calc.thumb_rules import allowance
from gudgeon_calc.units import GRAIN

from gudgeon.assess.findings import Note
from gudgeon.assess.measuring.measured_build import MeasuredBuild
from gudgeon.records.fits import Fit
from gudgeon.records.knowledge import Rule
from gudgeon.records.rule_forms import Form, PlainForm, Step

MOST_BEHIND = 20  # rules that take one another's results


@dataclass(frozen=True)
class RuleResult:
    """Least and most, mm; a single figure is a least without a most. rate: the per-length part of the fit's own size that gave it.

    cannot: why nothing follows; then low and high are None.
    """

    low: float | None = None
    high: float | None = None
    rate: tuple[float, float] | None = None
    cannot: Note | None = None

    @property
    def range(self) -> tuple[float, float | None] | None:
        """The two ends, or None where nothing follows."""
        return None if self.low is None else (self.low, self.high)


def size_for(context: MeasuredBuild, fit: Fit) -> float | None:
    """The diameter in mm that a rule for this fit counts on, from the specs."""
    return context.build.features[fit.counted_on].size if fit.counted_on else None


def _sizes_of_engine(context: MeasuredBuild) -> dict[str, float | None]:
    """The leading sizes that rules go by (`SIZES_OF_ENGINE`), in mm; None where the build does not say one."""
    engine = context.build.sound_head.engine
    lengths = {"bore": engine.bore, "stroke": engine.stroke, "rod": engine.rod_centres}
    return {name: float(length) if length else None for name, length in lengths.items()}


def figures_of(context: MeasuredBuild, fit: Fit) -> dict[str, float]:
    """What a rule's expression may count on, for a fit of this engine: mm, rpm and 1/K."""
    engine = context.build.sound_head.engine
    outer, inner = fit.grows
    known = {
        "size": size_for(context, fit),
        **_sizes_of_engine(context),
        "speed": float(engine.speed) if engine.speed else None,
        "expansion_hole": context.materials.figures(context.materials.of_part(outer)).cte if outer else None,
        "expansion_shaft": context.materials.figures(context.materials.of_part(inner)).cte if inner else None,
    }
    return {name: figure for name, figure in known.items() if figure is not None}


def form_of_fit(rule: Rule, fit: Fit) -> Form:
    """The form of a rule that a fit cites."""
    form = rule.forms.get(fit.rule_case) or rule.gives
    assert form, "a rule gives a form, or one for each of its cases"
    return form


def result_of(context: MeasuredBuild, form: Form, fit: Fit, behind: tuple[str, ...] = ()) -> RuleResult:
    """What a form gives for a fit, in this engine. behind: rules that take its result, so that a circle ends."""
    if form.of_rule:
        return _of_other(context, form, form.of_rule, fit, behind)
    size = counted_size(context, form, fit)
    if form.steps is None:
        return _plain(context, form, fit, size)
    if size is None:
        return RuleResult(cannot=_no_size(form, fit))
    step = step_for(form.steps, size)
    if step is None:
        return RuleResult(cannot=Note(code="no-step-for-size", lengths={"size": size}))
    result = _plain(context, step, fit, size)
    if result.low is None:
        return result
    return _within(form, result.low, result.high, result.rate if form.of is None else None)


def step_for(steps: tuple[Step, ...], size: float) -> Step | None:
    """The step that a size in mm falls in: "under" leaves the end itself to the next one, "up_to" keeps it."""
    for step in steps:
        if step.end is None:
            return step
        end = float(step.end)
        if size <= end + GRAIN if step.up_to is not None else size < end - GRAIN:
            return step
    return None


def counted_size(context: MeasuredBuild, form: Form, fit: Fit) -> float | None:
    """The size in mm that a form multiplies or goes by, from the specs; None where it is not known."""
    if form.of is None:
        return size_for(context, fit)
    of_engine = _sizes_of_engine(context)
    if form.of in of_engine:
        return of_engine[form.of]
    ref = {"hole": fit.hole, "shaft": fit.shaft}.get(form.of, form.of)
    feature = context.build.features.get(ref) if ref else None
    return feature.size if feature else None


def _no_size(form: Form, fit: Fit) -> Note:
    """What would have to be known."""
    what = form.of or fit.counted_on
    return Note(code="no-size-to-count-on", names={"size": (what,)}) if what else Note(code="nothing-to-count-on")


def _plain(context: MeasuredBuild, form: PlainForm, fit: Fit, size: float | None) -> RuleResult:
    if form.expression is not None:
        figures = figures_of(context, fit)
        try:
            low, high = sorted(expression.value(figures) for expression in form.expression)
        except CannotWorkOut:
            return RuleResult(cannot=_why_not(form, figures))
        return _within(form, low, high, None)
    if form.per_length is None:
        assert form.least is not None and form.most is not None, "a form gives a share, an expression or two lengths"
        return _within(form, float(form.least), float(form.most), None)
    if size is None:
        assert isinstance(form, Form), "a step is taken by a size that is known"
        return RuleResult(cannot=_no_size(form, fit))
    plus = float(form.plus) if form.plus else 0.0
    low, high = (allowance.on_numbers(size, rate, plus) for rate in form.per_length)
    return _within(form, low, high, form.per_length if form.of is None else None)


def _of_other(context: MeasuredBuild, form: Form, name: str, fit: Fit, behind: tuple[str, ...]) -> RuleResult:
    """So many times what another rule gives."""
    if name in behind or len(behind) == MOST_BEHIND:
        return RuleResult(cannot=Note(code="rules-in-a-circle", names={"rules": behind}))
    other = context.shelf.rules.get(name)
    if other is None:
        return RuleResult(cannot=Note(code="other-rule-unread", subject=name))
    if other.grade == "withdrawn":
        return RuleResult(cannot=Note(code="other-rule-withdrawn", subject=name))
    of_case = other.forms.get(form.of_case)
    if of_case is None:
        return RuleResult(cannot=Note(code="other-rule-has-no-such-case", subject=name))
    result = result_of(context, of_case, fit, (*behind, name))
    if result.low is None:
        return RuleResult(cannot=Note(code="other-rule-gives-nothing", subject=name, because=result.cannot))
    first, last = form.times or (1.0, 1.0)
    plus = float(form.plus) if form.plus else 0.0
    high = result.low if result.high is None else result.high
    # Of an interference the larger number of times gives the least clearance.
    ends = sorted(times * end + plus for times in (first, last) for end in (result.low, high))
    return _within(form, ends[0], ends[-1], None)


def _within(form: PlainForm, low: float, high: float | None, rate: tuple[float, float] | None) -> RuleResult:
    """Never under the least and never over the most of a form; where these decide no rate does."""
    least = float(form.least) if form.least is not None else None
    most = float(form.most) if form.most is not None else None
    kept = [low, low if high is None else high]
    if least is not None:
        kept = [max(end, least) for end in kept]
    if most is not None:
        kept = [min(end, most) for end in kept]
    moved = kept != [low, low if high is None else high]
    return RuleResult(kept[0], kept[1] if kept[1] - kept[0] > GRAIN else None, None if moved else rate)


def _why_not(form: PlainForm, figures: dict[str, float]) -> Note:
    for end in form.expression or ():
        unknown = tuple(sorted(end.names - figures.keys()))
        if unknown:
            return Note(code="figures-unknown", names={"figures": unknown})
        try:
            end.value(figures)
        except CannotWorkOut as error:
            return Note(code="expression-fails", words={"why": str(error)})
    return Note(code="nothing-to-count-on")
