"""Works the calculations out for a build: finds their inputs, or says what is missing and where to write it."""

from collections.abc import Mapping
from dataclasses import replace
from typing import TypeVar

from gudgeon_calc.limits_and_fits import NotInTable
from gudgeon_calc.uncertainty import COVERAGE
from gudgeon_calc.units import QUANTITY_KINDS
from gudgeon_calc.validity import RESULT
from uncertainties import ufloat

from gudgeon.assess.calculations import REGISTRY
from gudgeon.assess.calculations.model import ENGINE, METAL, Calculation, Input
from gudgeon.assess.calculations.offered import valid
from gudgeon.assess.calculations.ranges import heated, not_tested, note_of_range, ranges_of
from gudgeon.assess.calculations.uncertain import Uncertain, exact, reading, within
from gudgeon.assess.calculations.unwatched import UNWATCHED
from gudgeon.assess.calculations.working import NO_RESULT, Found, in_formula, in_unit, returned, spread_by, worked_out
from gudgeon.assess.findings import Calculation as CalculationFinding
from gudgeon.assess.findings import FitFinding, Note, Term
from gudgeon.assess.measuring.agreement import UncertainLength
from gudgeon.assess.measuring.measured_build import MeasuredBuild
from gudgeon.assess.measuring.planned_places import unread_places
from gudgeon.assess.measuring.sizes import LocalSize
from gudgeon.assess.measuring.worst_places import End
from gudgeon.assess.steps import first, picked
from gudgeon.records.figures import FIGURES, figure_range, measured
from gudgeon.records.fit_kinds import FIT_KINDS
from gudgeon.records.parts import FEATURE_KINDS, Feature


class Missing(LookupError):
    """Inputs are not there; `lacks` says what to write where."""

    def __init__(self, *lacks: Note):
        super().__init__(*(note.code for note in lacks))
        self.lacks = lacks


class NotMeant(LookupError):
    """The sum is not for this part at all."""


T = TypeVar("T")


def _known(value: T | None) -> T:
    """What has to be there by the way that calculations are declared: one for the whole engine asks no part."""
    assert value is not None, "a calculation is declared wrongly"
    return value


def sums(
    context: MeasuredBuild, fits: dict[str, FitFinding]
) -> tuple[list[CalculationFinding], Mapping[str, Uncertain]]:
    """All calculations that belong to this build, worked out or with what they still need; and the results with their doubts."""
    all_of_build = _Sums(context, fits)
    return all_of_build.all(), all_of_build.numbers


def calculation_address(name: str, part: str | None) -> str:
    """The step that a calculation is; without a part it is of the whole engine."""
    return f"calculation/{name} {part or '-'}"


class _Sums:
    def __init__(self, context: MeasuredBuild, fits: dict[str, FitFinding]):
        self._context, self._fits = context, fits
        self._by_id: dict[str, list[Calculation]] = {}
        for calculation in REGISTRY:
            self._by_id.setdefault(calculation.id, []).append(calculation)
        self._interferences: dict[str, UncertainLength] = {}
        self._done: dict[str, CalculationFinding | None] = {}
        self.numbers: dict[str, Uncertain] = {}  # the step that a calculation is -> its result with its doubts

    def all(self) -> list[CalculationFinding]:
        findings = [self._of(calculation, part) for calculation in REGISTRY for part in self._owners(calculation)]
        return [finding for finding in findings if finding is not None]

    def _owners(self, calculation: Calculation) -> list[str | None]:
        """The parts that a calculation is worked out for: those of its family that have something of what it takes."""
        if calculation.drawn not in (None, self._context.build.sound_head.units):
            return []
        if calculation.family == "engine":
            return [None]
        parts = self._of_family(calculation.family)
        if calculation.only:
            parts = [part for part in parts if calculation.only(self._context.build.parts[part])]
        own = {
            wanted.name for wanted in calculation.takes.values() if wanted.where == "feature" and wanted.family is None
        }
        having = [part for part in parts if own & set(self._context.build.parts[part].features)]
        # Where no part has any of it, one of them asks for it: the one that bears the family's name, else the first.
        return [*(having or sorted(parts, key=lambda part: part != calculation.family)[:1])]

    def _of_family(self, family: str) -> list[str]:
        return list(picked(self._context.build.parts, lambda part: part.family == family))

    def _of(self, calculation: Calculation, part: str | None) -> CalculationFinding | None:
        address = calculation_address(calculation.id, part)
        return self._context.steps.once(self._done, address, address, lambda: self._once(address, calculation, part))

    def _once(self, address: str, calculation: Calculation, part: str | None) -> CalculationFinding | None:
        finding, number = self._context.steps.again(address, lambda: self._work_out(calculation, part))
        if number is not None:
            self.numbers[address] = number
        return finding

    def _work_out(
        self, calculation: Calculation, part: str | None
    ) -> tuple[CalculationFinding | None, Uncertain | None]:
        values: dict[str, Found] = {}
        missing: list[Note] = []
        self._owners(calculation)
        for name, wanted in calculation.takes.items():
            try:
                values[name] = self._input(wanted, part)
            except Missing as lack:
                missing += lack.lacks
            except NotMeant:
                return None, None
        number, spread = None, None
        lacks = list({(note.code, note.subject): note for note in missing}.values())
        if not missing:
            try:
                number = worked_out(calculation, values)
                spread = number.ends
            except NO_RESULT as error:
                in_no_table = isinstance(error, NotInTable)
                lacks = [
                    Note(code="not-in-table", words={"why": str(error)}) if in_no_table else Note(code="no-result")
                ]
        outside = [] if missing else self._outside(calculation, part, values, number)
        finding = CalculationFinding(
            id=calculation.id,
            family=calculation.family,
            part=part,
            gives=calculation.gives,
            kind=calculation.kind,
            value=number.value if number else None,
            low=spread[0] if spread else None,
            high=spread[1] if spread else None,
            spread_by=spread_by(number) if spread else (),
            not_read=tuple(dict.fromkeys(name for one in values.values() for name in one.not_read)),
            formula=calculation.shown,
            symbols={name: wanted.symbol for name, wanted in calculation.takes.items()},
            terms=tuple(
                Term(
                    argument=name,
                    symbol=calculation.takes[name].symbol,
                    name=input_value.name,
                    value=input_value.value,
                    kind=input_value.kind,
                    comes_from=input_value.comes_from,
                    low=range_[0] if range_ else None,
                    high=range_[1] if range_ else None,
                )
                for name, input_value in values.items()
                for range_ in [input_value.number.ends]
            ),
            missing=tuple(lacks),
            outside=tuple(outside),
            source=calculation.formula.source,
            valid=valid(calculation, self._context.shelf.judgement),
            unwatched=UNWATCHED.get(calculation.id),
        )
        return finding, number

    def _outside(
        self, calculation: Calculation, part: str | None, values: dict[str, Found], result: Uncertain | None
    ) -> list[Note]:
        """What is to be told of where a sum holds: ranges that its numbers lie outside of, or may lie, or that were not tested."""
        rests_on = {one.outside: one.name for one in values.values() if one.outside}
        notes = [
            Note(code="rests-outside-range", subject=name, words={"gives": gives}) for name, gives in rests_on.items()
        ]
        numbers = {name: in_formula(calculation, name, one) for name, one in values.items()}
        if result is not None:
            numbers[RESULT] = in_unit(result, QUANTITY_KINDS[calculation.kind].unit, returned(calculation))
        lacking: dict[str, tuple[Note, ...]] = {}
        for name, wanted in calculation.tested_by.items():
            try:
                numbers[name] = self._input(wanted, part).number
            except Missing as lack:
                lacking[name] = lack.lacks
            except NotMeant:
                continue
        for one in ranges_of(calculation, self._context.shelf.judgement):
            if lacks := next((lacking[name] for name in one.takes if name in lacking), None):
                notes.append(not_tested(one, lacks))
            elif set(one.takes) <= set(numbers) and (note := note_of_range(one, numbers)):
                notes.append(note)
        if calculation.heats and result is not None:
            hottest = (result.ends or (result.value,))[-1]
            metal = self._context.materials.figures(self._material(calculation.takes[calculation.heats], part))
            notes += [note for note in [heated(metal, hottest)] if note]
        return notes

    def _input(self, wanted: Input, part: str | None) -> Found:
        return getattr(self, f"_from_{wanted.where}")(wanted, part)

    def _from_fixed(self, wanted: Input, part: str | None) -> Found:
        assert isinstance(wanted.usual, tuple) and wanted.kind, "a fixed number comes with its ground and its kind"
        value, why = wanted.usual
        return Found(exact(value), wanted.kind, why, why)

    def _from_engine(self, wanted: Input, part: str | None) -> Found:
        kind, name = ENGINE[wanted.name]
        value = getattr(self._context.build.sound_head.engine, wanted.name)
        if value is None:
            raise Missing(Note(code="no-figure-of-engine", subject=wanted.name))
        return Found(exact(float(value)), kind, name, "spec")

    def _from_figure(self, wanted: Input, part: str | None) -> Found:
        kind, name = FIGURES[wanted.name]
        figure = self._context.build.figures.get(wanted.name)
        if figure is not None:
            value, between = float(measured(wanted.name, figure)), figure_range(wanted.name, figure)
            number = within(f"figure {wanted.name}", value, *between) if between else exact(value)
            return Found(number, kind, name, figure.said)
        if isinstance(wanted.usual, str):
            return self._from_sum(replace(wanted, name=wanted.usual), part)
        if wanted.usual:
            value, why = wanted.usual
            return Found(exact(value), kind, name, f"no figure here; the usual one, {why}")
        raise Missing(Note(code="no-figure", subject=wanted.name, words={"is": name}))

    def _from_part(self, wanted: Input, part: str | None) -> Found:
        owner = _known(part)
        value = getattr(self._context.build.parts[owner], wanted.name)
        if value is None:
            names = {"part": (owner,), "line": (wanted.name,)}
            raise Missing(Note(code="no-line-of-part", subject=f"{owner}.{wanted.name}", names=names))
        return Found(exact(float(value)), "number", wanted.name, "spec")

    def _from_sum(self, wanted: Input, part: str | None) -> Found:
        candidates = self._by_id[wanted.name]
        own = next(
            (calculation for calculation in candidates if part and self._family(part) == calculation.family),
            candidates[0],
        )
        owners = self._owners(own)
        if part in owners:
            owners = [part]
        findings = [finding for owner in owners if (finding := self._of(own, owner)) is not None]
        done = next((finding for finding in findings if finding.value is not None), None)
        if done is not None:
            number = self.numbers[calculation_address(done.id, done.part)]
            past = any(note.code != "range-not-tested" for note in done.outside)
            return Found(number, done.kind, done.gives, "the sum above", done.not_read, done.id if past else None)
        if findings and findings[0].missing:
            raise Missing(*findings[0].missing, *findings[0].outside)
        if not owners:
            raise Missing(Note(code="no-part-of-family", subject=own.family))
        raise NotMeant

    def _from_metal(self, wanted: Input, part: str | None) -> Found:
        kind, name = METAL[wanted.name]
        material = self._material(wanted, part)
        figures = self._context.materials.figures(material)
        value = getattr(figures, wanted.name)
        if value is None:
            names = {"property": (wanted.name,), "material": (material,)}
            raise Missing(Note(code="no-property", subject=f"{material} {wanted.name}", names=names))
        number, called = exact(value), f"{name} of {figures.name}"
        if wanted.name == "stiffness" and figures.stiffness_within:
            number = within(called, value, value - figures.stiffness_within, value + figures.stiffness_within)
        elif wanted.name == "cte":
            expansion = self._context.materials.cte(material)
            number = exact(value) if isinstance(expansion, float) else reading(called, expansion)
        return Found(number, kind, called, "metal rack")

    def _material(self, wanted: Input, part: str | None) -> str:
        return self._context.build.parts[self._owner(wanted, part)].material

    def _from_fit(self, wanted: Input, part: str | None) -> Found:
        fit_id, half = self._fit(wanted.name, part)
        finding = self._fits[fit_id]
        if finding.clearance is None:
            raise Missing(Note(code="fit-not-read", subject=fit_id))
        if finding.want_high is not None and finding.want_high > 0:
            raise NotMeant  # a push fit holds by its key, not by interference
        if finding.clearance >= 0:
            raise Missing(Note(code="fit-without-interference", subject=fit_id))
        expanded = _known(finding.expanded)
        size = ufloat(-finding.clearance, expanded / COVERAGE, tag=f"fit {fit_id}")
        number = reading(f"fit {fit_id}", self._interferences.setdefault(fit_id, size))
        return Found(number, "length", f"interference of fit {fit_id}", "readings")

    def _from_feature(self, wanted: Input, part: str | None) -> Found:
        owner = self._owner(wanted, part)
        ref = f"{owner}.{wanted.name}"
        feature = self._context.build.features.get(ref)
        if feature is None:
            names = {"part": (owner,), "feature": (wanted.name,)}
            raise Missing(Note(code="no-feature", subject=ref, names=names))
        name = f"{self._context.build.parts[owner].name}: {feature.name}"
        kind = FEATURE_KINDS[feature.kind] or "number"
        if kind == "length" and feature.kind in ("bore", "od"):
            kind = "size"
        places = self._context.local_sizes(ref)
        if wanted.governs == "nominal":
            if feature.size is None:
                raise Missing(Note(code="no-nominal", subject=ref))
            return Found(exact(feature.size), kind, name, "spec, as the table goes by it")
        if places:
            worst = self._context.worst(ref)
            end: End = "least" if wanted.governs == "least" else "greatest"
            number = reading(f"{end} of {ref}", worst.at(end).size)
            said, unread = self._as_read(feature, end, places)
            return Found(number, kind, name, said, (name,) if unread else ())
        if feature.size is None:
            raise Missing(Note(code="no-reading-or-nominal", subject=ref))
        between = feature.allowed if feature.is_length else None
        number = within(f"size of {ref}", feature.size, *between) if between else exact(feature.size)
        return Found(number, kind, name, "spec, not read", not_read=(name,))

    def _as_read(self, feature: Feature, end: End, places: list[LocalSize]) -> tuple[str, bool]:
        """Where a size that was read comes from, with what of its plan was left out, and whether any was."""
        unread = len(unread_places(feature, places)) if feature.is_length else 0
        which = f"{end} of {len(places)} places read" if len(places) > 1 else "reading"
        return (f"{which}, {unread} planned places not read" if unread else which), bool(unread)

    def _owner(self, wanted: Input, part: str | None) -> str:
        """The part that an input is looked for in."""
        if wanted.family == "host":
            fit_id, _ = self._fit("press", part)
            return _known(self._context.build.fits[fit_id].hole).partition(".")[0]
        if wanted.family is None:
            return _known(part)
        parts = self._of_family(wanted.family)
        if not parts:
            raise Missing(Note(code="no-part-of-family", subject=wanted.family))
        has = [
            candidate
            for candidate in parts
            if wanted.where != "feature" or wanted.name in self._context.build.parts[candidate].features
        ]
        return (has or parts)[0]

    def _fit(self, kind: str, part: str | None) -> tuple[str, str]:
        half = _known(FIT_KINDS[kind].held_half)
        fit_id = first(
            self._context.build.fits, lambda fit: fit.kind == kind and getattr(fit, half).partition(".")[0] == part
        )
        if fit_id is None:
            raise NotMeant
        return fit_id, half

    def _family(self, part: str) -> str:
        return self._context.build.parts[part].family
