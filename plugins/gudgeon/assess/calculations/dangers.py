"""Computed figures that cautions watch, and pattern sizes."""

import re
from collections.abc import Mapping

from gudgeon_calc.casting import contractions, pattern_size
from gudgeon_calc.units import quantity, read_quantity

from gudgeon.assess.calculations.ranges import outside_of
from gudgeon.assess.calculations.run import calculation_address
from gudgeon.assess.calculations.uncertain import Uncertain, chance_past
from gudgeon.assess.findings import Calculation, DangerFinding, DangerState, PatternSize
from gudgeon.assess.measuring.measured_build import MeasuredBuild
from gudgeon.records.figures import WATCHED
from gudgeon.records.knowledge import Caution
from gudgeon.records.parts import Feature

# The club's material -> the metal in the table of contractions.
POURED = {
    "grey-iron": "cast iron",
    "cast-aluminium": "aluminium",
    "brass": "brass",
    "phosphor-bronze": "bronze",
}


def dangers(
    context: MeasuredBuild, calculations: list[Calculation], numbers: Mapping[str, Uncertain]
) -> list[DangerFinding]:
    """Every figure that a caution watches, part by part: past its limit, perhaps past it, not past it, or not worked out.

    numbers: the step that a calculation is -> its result with its doubts.
    """
    by_caution = context.steps.of_each(
        "danger", context.shelf.cautions, lambda _, caution: _dangers_of(context, caution, calculations, numbers)
    )
    return [danger for dangers_of_caution in by_caution.values() for danger in dangers_of_caution]


def _dangers_of(
    context: MeasuredBuild, caution: Caution, calculations: list[Calculation], numbers: Mapping[str, Uncertain]
) -> list[DangerFinding]:
    findings = []
    for danger in caution.dangers:
        limit = float(read_quantity(danger.limit, WATCHED[danger.figure]))
        over = danger.over is not None
        for calculation in calculations:
            if calculation.id != danger.figure:
                continue
            address = calculation_address(calculation.id, calculation.part)
            context.steps.read(address)
            value = calculation.value
            outside = any(note.code != "range-not-tested" for note in calculation.outside)
            known = value is not None and not calculation.not_read and not outside
            chance = chance_past(numbers[address], limit, over) if known else None
            state = _state(calculation, limit, over)
            if outside and state == "not past":
                state = "may be past"
            findings.append(
                DangerFinding(
                    caution=caution.caution,
                    calculation=calculation.id,
                    part=calculation.part,
                    gives=calculation.gives,
                    kind=calculation.kind,
                    value=value,
                    low=calculation.low,
                    high=calculation.high,
                    limit=limit,
                    limit_figures=len(re.sub(r"^\D*0*\.?0*", "", re.sub(r"\s.*", "", danger.limit)).replace(".", ""))
                    or 1,
                    over=over,
                    state=state,
                    chance=chance,
                    margin=None
                    if value is None
                    else (limit / value if over else value / limit)
                    if value and limit
                    else 0.0,
                    hit=state == "past",
                    not_read=calculation.not_read,
                    outside=outside,
                    missing=calculation.missing,
                    source=danger.source,
                    where_in_source=danger.where_in_source,
                    basis=danger.basis,
                )
            )
    return findings


def _state(calculation: Calculation, limit: float, over: bool) -> DangerState:
    """Where a result stands to a limit; one whose range reaches over it is never said to be not past it."""
    if calculation.value is None:
        return "not worked out"
    if calculation.value > limit if over else calculation.value < limit:
        return "past"
    far_end = calculation.high if over else calculation.low
    if far_end is not None and (far_end > limit if over else far_end < limit):
        return "may be past"
    return "not past"


def pattern_sizes(context: MeasuredBuild) -> list[PatternSize]:
    """Sizes of patterns for the lengths of cast parts, by every source's contraction, never averaged."""
    by_feature = context.steps.of_each(
        "pattern", context.build.features, lambda ref, feature: _patterns_of(context, ref, feature)
    )
    return [pattern for patterns in by_feature.values() for pattern in patterns]


def _patterns_of(context: MeasuredBuild, ref: str, feature: Feature) -> list[PatternSize]:
    part = context.build.parts[ref.partition(".")[0]]
    metal = POURED.get(context.materials.figures(part.material).club)
    if not part.cast or metal is None or feature.kind != "length" or feature.size is None:
        return []
    return [
        PatternSize(
            of=ref,
            size=feature.size,
            pattern=pattern_size(quantity(feature.size, "mm"), quantity(contraction, "")).m,
            contraction=contraction,
            outside=tuple(outside_of(pattern_size, size=feature.size)),
            source=source,
            where_in_source=where,
            basis=basis,
        )
        for contraction, source, where, basis in contractions(metal)
    ]
