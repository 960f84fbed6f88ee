"""What a fit wants: its own range, a class of fit or a rule of thumb, each with the ground it stands on."""

from dataclasses import dataclass
from decimal import Decimal

from gudgeon_calc.limits_and_fits import FitClass, read_fit_class
from gudgeon_calc.units import GRAIN, Measure

from gudgeon.assess.findings import EarlierWant, Note
from gudgeon.assess.fitting.hot import hot_of_clearance
from gudgeon.assess.fitting.rule_conditions import within_range
from gudgeon.assess.fitting.rule_results import form_of_fit, result_of
from gudgeon.assess.measuring.measured_build import MeasuredBuild
from gudgeon.records.fits import Fit

OWN_WORDS = "the builder's own words"


@dataclass(frozen=True)
class TargetRange:
    """The range that a fit is held against, mm, with where it comes from and on what ground it stands."""

    low: float | None
    high: float | None
    told_by: tuple[Note, ...]
    sources: list[str]
    basis: str | None
    rule: tuple[float, float | None] | None
    rule_cannot: Note | None  # why the cited rule gives nothing here
    fit_class: FitClass | None

    @property
    def middle(self) -> float | None:
        """What a half that is still to be made is made for."""
        return self.low if self.low is None or self.high is None else (self.low + self.high) / 2

    def fields(self) -> dict:
        """The same as fields of a fit's finding."""
        fit_class = self.fit_class
        return {
            "want_low": self.low,
            "want_high": self.high,
            "want_middle": self.middle,
            "want_from": self.told_by,
            "want_sources": self.sources,
            "want_basis": self.basis,
            "rule_low": self.rule[0] if self.rule else None,
            "rule_high": self.rule[1] if self.rule else None,
            "fit_class": fit_class and fit_class.name,
            "class_basic": fit_class and fit_class.basic,
            "class_low": fit_class and fit_class.clearance.low,
            "class_high": fit_class and fit_class.clearance.high,
            "class_sources": list(fit_class.clearance.sources) if fit_class else [],
            "class_basis": fit_class and fit_class.clearance.basis,
        }


def target_range(context: MeasuredBuild, fit: Fit) -> TargetRange:
    """What a fit wants; the fit's own range comes before the class's, the class's before the rule's."""
    rule = context.shelf.rules.get(fit.rule) if fit.rule else None
    result = result_of(context, form_of_fit(rule, fit), fit) if rule else None
    ruled = result.range if result else None
    hole = context.build.features[fit.hole] if fit.hole else None
    fit_class = read_fit_class(fit.fit_class, hole.size if hole else None) if fit.fit_class else None
    told_by = [Note(code="want-of-class", words={"class": fit.fit_class or ""})] if fit_class else []
    if fit.rule:
        told_by.append(
            Note(code="want-of-rule", subject=fit.rule) if rule else Note(code="want-of-lost-rule", subject=fit.rule)
        )
    told_by += [Note(code="want-in-words", words={"said": fit.because})] if fit.because else []
    if fit.want:
        low, high = (float(limit) for limit in fit.want)
    elif fit_class:
        low, high = fit_class.clearance.low, fit_class.clearance.high
    else:
        low, high = ruled or (None, None)
    stated = fit.of_kind.stated
    if stated:  # what is stated is to agree, and may part by so much at most
        low, high = 0.0, high or low or 0.0
    if fit_class and (not fit.want or not rule):
        sources, basis = list(fit_class.clearance.sources), fit_class.clearance.basis
    elif rule:
        sources, basis = [rule.source] if rule.source else [], rule.basis
    else:
        sources, basis = [], None
    if fit.want and fit.because:
        basis = f"{basis}; {OWN_WORDS}" if basis else OWN_WORDS
    ground = "derived" if stated and not fit.because else OWN_WORDS
    if not told_by:
        told_by = [Note(code="want-in-words", words={"said": stated.wants}) if stated else Note(code="want-in-figures")]
    return TargetRange(
        low, high, tuple(told_by), sources, basis or ground, ruled, result.cannot if result else None, fit_class
    )


def wanted_before(context: MeasuredBuild, fit: Fit) -> list[EarlierWant]:
    """Ranges that were given up, each with what it would have come to hot and whether its rule was for such a pair."""
    earlier = []
    for given_up in fit.wanted_before:
        low, high = (float(one) for one in given_up.want)
        least, most = hot_of_clearance(context, fit, low), hot_of_clearance(context, fit, high)
        earlier.append(
            EarlierWant(
                want_low=low,
                want_high=high,
                rule=given_up.rule,
                why_outside=_why_outside(context, fit, given_up.rule),
                until=given_up.until.isoformat() if given_up.until else None,
                because=given_up.because,
                hot={name: (least[name], most[name]) for name in least},
            )
        )
    return earlier


def _why_outside(context: MeasuredBuild, fit: Fit, name: str | None) -> Note | None:
    rule = context.shelf.rules.get(name) if name else None
    within, why = within_range(context, rule, fit) if rule else (None, None)
    return why if within is False else None


def out_of_range(context: MeasuredBuild, fit: Fit) -> Note | None:
    """A note where the rule that a fit cites is not good for it."""
    why = _why_outside(context, fit, fit.rule)
    return Note(code="rule-outside-its-range", subject=fit.rule, because=why) if why else None


def doubts_of_rule(context: MeasuredBuild, fit: Fit, wanted: TargetRange) -> list[Note]:
    """What is not known of the rule that a fit cites: whether it holds here, what it gives, whether it is still followed."""
    rule = context.shelf.rules.get(fit.rule) if fit.rule else None
    if rule is None:
        return []
    doubts = []
    within, why = within_range(context, rule, fit)
    if within is None and why:
        doubts.append(Note(code="rule-perhaps-outside", subject=fit.rule, because=why))
    if wanted.rule_cannot and wanted.low is not None:
        doubts.append(Note(code="rule-not-compared", subject=fit.rule, because=wanted.rule_cannot))
    if rule.superseded_by:
        doubts.append(Note(code="rule-superseded", subject=fit.rule, names={"by": (rule.superseded_by,)}))
    return doubts


def copied_otherwise(fit: Fit, wanted: TargetRange) -> Note | None:
    """A note where the range as written is neither what the class or rule gives nor explained.

    A figure rounded to the digits that were written is a faithful copy.
    """
    if not fit.want or fit.because:
        return None
    given = (wanted.fit_class.clearance.low, wanted.fit_class.clearance.high) if wanted.fit_class else wanted.rule
    if given is None:
        return None
    # A rule with one figure gives a least and no most: a most of the builder's own is not told, unless it is under that.
    ends = [
        (end, written, mm)
        for end, written, mm in zip(("least", "most"), fit.want, given, strict=True)
        if mm is not None
    ]
    wrong = [end for end in ends if abs(float(end[1]) - end[2]) > _half_digit(end[1]) + GRAIN]
    if not wrong:
        return None
    written, lengths = {end: str(measure) for end, measure, _ in wrong}, {end: mm for end, _, mm in wrong}
    if wanted.fit_class:
        return Note(code="want-not-of-class", subject=fit.fit_class, words=written, lengths=lengths)
    return Note(code="want-not-of-rule", subject=fit.rule, words=written, lengths=lengths)


def _half_digit(measure: Measure) -> float:
    """Half of the last digit that was written, mm."""
    number = measure.text.removesuffix(measure.unit).strip().lstrip("+-−")
    places = len(number.partition(".")[2]) if "/" not in number else 3
    factor = float(measure.value) / float(Decimal(number)) if "/" not in number and Decimal(number) else 1.0
    return abs(factor) * 10.0**-places / 2
