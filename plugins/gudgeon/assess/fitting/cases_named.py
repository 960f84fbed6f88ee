"""Whether a fit of the cylinder names the temperature cases that it lives through: warming up, and a hopper at the boil."""

from gudgeon_calc.supplies import boiling_point
from gudgeon_calc.units import quantity

from gudgeon.assess.findings import Note
from gudgeon.assess.measuring.measured_build import MeasuredBuild
from gudgeon.records.figures import measured
from gudgeon.records.fits import Fit

IN_THE_CYLINDER = ("skirt", "top_land", "ring_gap")


def cases_not_named(context: MeasuredBuild, fit: Fit) -> list[Note]:
    """What is missing among the cases of a fit that runs hot inside and is cooled outside."""
    if fit.kind not in IN_THE_CYLINDER:
        return []
    if not fit.hot:
        return [Note(code="no-case-named")]
    cases = {name: context.build.sound_head.cases[name] for name in fit.hot}
    notes = []
    # Warming up, or with cold water filled in, the inner part leads the outer by more than in the hottest case.
    hottest = max(cases, key=lambda name: float(cases[name].shaft))
    ahead = {name: float(case.shaft) - float(case.hole) for name, case in cases.items()}
    if max(ahead.values()) <= ahead[hottest]:
        notes.append(Note(code="no-warm-up-named", names={"cases": (hottest,)}))
    boils = _boils_at(context)
    warmest = max(float(case.hole) for case in cases.values())
    if boils is not None and warmest < boils:
        notes.append(Note(code="hopper-colder-than-boiling", temperatures={"at": warmest, "boils": boils}))
    return notes


def _boils_at(context: MeasuredBuild) -> float | None:
    """Where the water of a hopper boils, °C, at the height of the shop or at the sea; None for another cooling."""
    if "hopper" not in (context.build.sound_head.engine.cooling or "").lower():
        return None
    figure = context.build.figures.get("altitude")
    height = 0.0 if figure is None else float(measured("altitude", figure))
    return float(boiling_point(quantity(height, "mm")).m)
