"""What is computed for the club as a whole: rules copied wrongly, and everything that is not yet verified."""

import importlib
import math
import pkgutil
from collections.abc import Mapping

import gudgeon_calc
from gudgeon_calc import published

from gudgeon.assess.calculations import REGISTRY
from gudgeon.assess.calculations.offered import offered
from gudgeon.assess.evidence import evidence_of_rules
from gudgeon.assess.findings import BuildFindings, ClubFindings, CopyMistake, Ground, Note
from gudgeon.records import mistyped, number_doubts
from gudgeon.records.knowledge import Rule
from gudgeon.records.mistyped import INCH_MM, slipped_by
from gudgeon.records.model import Club, Knowledge
from gudgeon.records.rule_forms import Form, PlainForm

VERIFIED = "published"
UNPRINTED = {
    "common practice, no source": "common practice",
    "from memory": "from memory",
}  # ground of a range -> basis
ABOUT_A_ROW = ("source", "where", "basis")  # columns of a table that say whence, not what


def check_knowledge(club: Club, worked_out: Mapping[str, BuildFindings] | None = None) -> ClubFindings:
    """Findings that belong to no one build. worked_out: what builds amount to, whose engines tell of rules too."""
    builds = [(build, worked_out[build.id]) for build in club.builds if worked_out and build.id in worked_out]
    return ClubFindings(
        copy_mistakes=tuple(copy_mistakes(club.knowledge)),
        sums=tuple(offered(club.knowledge.judgement, club.knowledge.families)),
        grounds=tuple(grounds(club)),
        evidence=evidence_of_rules(club.knowledge, builds),
    )


def copy_mistakes(knowledge: Knowledge) -> list[CopyMistake]:
    """Rules that are another rule of their kind with a nought or a unit slipped, and copies that differ from what they copy."""
    rules, odd = knowledge.rules, max(1.0, float(knowledge.judgement["odd_rule"]))
    mistakes: dict[str, CopyMistake] = {}
    for name, rule in rules.items():
        origin = rules.get(rule.copied_from) if rule.copied_from else None
        if origin and not _same(rule, origin):
            mistakes[name] = CopyMistake(rule=name, like=origin.rule, cause=_copied(rule, origin))
    for name, rule in rules.items():
        own = _least(rule)
        if name in mistakes or own is None:
            continue
        others = {
            other.rule: least
            for other in rules.values()
            if other.rule != name and other.kind == rule.kind and (least := _least(other)) is not None
        }
        far = {like: least for like, least in others.items() if abs(math.log(own / least)) >= math.log(odd)}
        if len(others) < 2 or 2 * len(far) <= len(others):
            continue  # of two that differ nobody knows which slipped, and what agrees with half of the others is not odd
        for like, least in far.items():
            slip = slipped_by(own / least, SLIPPED)
            if slip:
                told = Note(code="least-slipped", subject=like, ratios={"times": slip})
                mistakes[name] = CopyMistake(rule=name, like=like, cause=(told,))
                break
    return [mistakes[name] for name in sorted(mistakes)]


def _least(rule: Rule) -> float | None:
    """The least rate of a per-length rule."""
    return rule.gives.per_length[0] if rule.gives and rule.gives.per_length and rule.gives.per_length[0] > 0 else None


def _has_most(rule: Rule) -> bool:
    """Whether a per-length rule gives a most of its own beside its least."""
    rates = rule.gives.per_length if rule.gives else None
    return rates is not None and rates[1] > rates[0]


SLIPPED = (10.0, 100.0, INCH_MM)  # times too much or too little


def _same(rule: Rule, origin: Rule) -> bool:
    forms, of_origin = rule.forms, origin.forms
    return forms.keys() == of_origin.keys() and all(
        _numbers(form) == _numbers(of_origin[case]) for case, form in forms.items()
    )


def _numbers(form: PlainForm) -> tuple:
    """What a form says, lengths as lengths whatever their unit."""
    lengths = [form.plus, form.least, form.most]
    texts = tuple(expression.text for expression in form.expression) if form.expression else None
    more: tuple = ()
    if isinstance(form, Form):
        more = (form.of_rule, form.of_case, form.times or (1.0, 1.0) if form.of_rule else None)
        for step in form.steps or ():
            lengths += [step.under, step.up_to]
            more += (_numbers(step),)
    rounded = tuple(round(float(length), 9) if length is not None else None for length in lengths)
    return form.per_length, form.of, texts, rounded, more


def _copied(rule: Rule, origin: Rule) -> tuple[Note, ...]:
    told = []
    own, of_other = _least(rule), _least(origin)
    if own and of_other:
        ratios = {"own": own, "other": of_other}
        slip = slipped_by(own / of_other, SLIPPED)
        told.append(
            Note(code="copied-with-slip", subject=origin.rule, ratios=ratios | {"times": slip})
            if slip
            else Note(code="copied-least-otherwise", subject=origin.rule, ratios=ratios)
        )
    else:
        told.append(Note(code="copied-otherwise", subject=origin.rule))
    if own and of_other and not _has_most(rule) and _has_most(origin):
        told.append(Note(code="copied-without-most"))
    return tuple(told)


def grounds(club: Club) -> list[Ground]:
    """Every value and formula that is not published as cited: from memory, common practice, or seen at second hand."""
    shelf, unverified = club.knowledge, []

    def note(
        what: str, kind: str, basis: str | None, source: str | None, where: str | None = None, of: str | None = None
    ) -> None:
        if basis != VERIFIED:
            unverified.append(
                Ground(what=what, kind=kind, basis=basis or "none stated", source=source, where_in_source=where, of=of)
            )

    for rule in shelf.rules.values():
        of = f"rule {rule.rule}"
        note(f"{of}: {rule.says}", "rule of thumb", rule.basis, rule.source, rule.where_in_source, of)
    for name, threshold in shelf.judgement.items():
        note(
            f"{threshold.means}: {threshold.value}",
            "threshold of judgement",
            threshold.basis,
            threshold.source,
            threshold.where_in_source,
            f"threshold {name}",
        )
    for number, means in (*mistyped.JUDGED, *number_doubts.JUDGED):
        note(f"{means}: {number:g}", "threshold of the records", "common practice", None)
    ranges = {one: None for calculation in REGISTRY for one in (*calculation.formula.ranges, *calculation.ranges)}
    for one in ranges:
        if one.ground in UNPRINTED and not one.judged:
            note(f"{one.what}, {one.said}: {one.why}", "range of a formula", UNPRINTED[one.ground], None)
    gives = {calculation.id: calculation.gives[:1].lower() + calculation.gives[1:] for calculation in REGISTRY}
    for caution in shelf.cautions.values():
        for danger in caution.dangers:
            sign = "over" if danger.over else "under"
            note(
                f"{caution.hazard}: {gives.get(danger.figure, danger.figure)} {sign} {danger.limit}",
                "limit of a caution",
                danger.basis,
                danger.source,
                danger.where_in_source,
                f"caution {caution.caution}",
            )
    for material in shelf.materials.values():
        of = f"material {material.material}"
        note(f"{material.name}: expansion", "material", material.basis, material.source, material.where_in_source, of)
        for what, source, where in (
            ("density", material.density_source, material.density_where),
            ("stiffness", material.stiffness_source, material.stiffness_where),
        ):
            if source:
                note(f"{material.name}: {what}", "material", _basis_of(club, source), source, where, of)
    for name, title in published.titles().items():
        counts: dict[tuple[str, str], int] = {}
        for row in published.table(name):
            if row["basis"] == "from memory":  # each by itself: somebody has to look it up
                words = [f"{key.replace('_', ' ')} {value}" for key, value in row.items() if key not in ABOUT_A_ROW]
                note(f"{title}: {', '.join(words)}", "table row", row["basis"], row["source"], row.get("where") or None)
                continue
            counts[row["source"], row["basis"]] = counts.get((row["source"], row["basis"]), 0) + 1
        for (source, basis), count in counts.items():
            note(f"{title}: {count} {'row' if count == 1 else 'rows'}", "table", basis, source)
    for module in sorted(module_info.name for module_info in pkgutil.iter_modules(gudgeon_calc.__path__)):
        for name, function in vars(importlib.import_module(f"gudgeon_calc.{module}")).items():
            source = getattr(function, "source", None)
            if source in ("common practice", "from memory") and function.__module__.endswith(f".{module}"):
                note(f"{module.replace('_', ' ')}: {name.replace('_', ' ')}", "formula", source, None)
            elif source in shelf.sources and function.__module__.endswith(f".{module}"):
                note(
                    f"{module.replace('_', ' ')}: {name.replace('_', ' ')}", "formula", _basis_of(club, source), source
                )
    return unverified


def _basis_of(club: Club, source: str) -> str:
    return club.knowledge.sources[source].get("custom", {}).get("basis", VERIFIED)
