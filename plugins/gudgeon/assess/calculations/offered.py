"""The sums that are held, with what they take, in words."""

import functools
import inspect
import re
from collections.abc import Callable, Mapping

from gudgeon.assess.calculations import REGISTRY
from gudgeon.assess.calculations.model import ENGINE, METAL, Calculation, Input
from gudgeon.assess.calculations.ranges import ranges_of
from gudgeon.assess.findings import SumOffered
from gudgeon.records.figures import FIGURES
from gudgeon.records.judgement import Threshold
from gudgeon.records.knowledge import Family


def offered(judgement: Mapping[str, Threshold], families: Mapping[str, Family]) -> list[SumOffered]:
    """All sums that are held, with what they take. judgement: the club's thresholds; families: its words for features."""
    return [
        SumOffered(
            id=calculation.id,
            family=calculation.family,
            gives=calculation.gives,
            formula=calculation.shown.format_map({name: one.symbol for name, one in calculation.takes.items()}),
            takes=tuple(
                list(
                    dict.fromkeys(
                        f"{one.symbol}: {_said(one, calculation.family, families)}"
                        for one in calculation.takes.values()
                    )
                )
            ),
            source=calculation.formula.source,
            valid=valid(calculation, judgement),
        )
        for calculation in REGISTRY
    ]


def _said(wanted: Input, family: str, families: Mapping[str, Family]) -> str:
    """What an input is, in words. family: that of the part for which the sum is worked out."""
    if wanted.where == "feature":
        of = families.get(wanted.family or family)
        words = of.features.get(wanted.name) if of else None
        name = words.uk if words else wanted.name.replace("_", " ")
        return f"{name} of the {of.uk.partition(',')[0] if of else wanted.family}" if wanted.family else name
    if wanted.where == "figure":
        return FIGURES[wanted.name][1]
    if wanted.where == "engine":
        return ENGINE[wanted.name][1]
    if wanted.where == "metal":
        return METAL[wanted.name][1]
    if wanted.where == "sum":
        return next(calculation.gives for calculation in REGISTRY if calculation.id == wanted.name)
    return {"fit": "interference of the fit", "part": wanted.name}.get(wanted.where, wanted.name)


def valid(calculation: Calculation, judgement: Mapping[str, Threshold]) -> str:
    """Where a calculation holds: in words from its formula's own documentation, then the ranges that are tested."""
    ranges = [f"{one.what} {one.said}" for one in ranges_of(calculation, judgement)]
    heated = ["temperatures that the metal's coefficient holds for"] if calculation.heats else []
    return f"{'; '.join([_valid(calculation.formula), *ranges, *heated])}."


@functools.cache
def _valid(formula: Callable) -> str:
    """What a formula's documentation says of where it holds."""
    match = re.search(r"Valid:\s*(.*)", inspect.getdoc(formula) or "", re.DOTALL)
    return " ".join(match[1].split()).rstrip(".") if match else ""
