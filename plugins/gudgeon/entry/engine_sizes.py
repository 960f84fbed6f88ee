"""Sizes and stations of a new part that follow the engine's bore, stroke and rod centres, each with its ground."""

import re

from gudgeon_calc.units import INCH, Measure

from gudgeon.records.knowledge import Family, OfEngine, PlausibleOfEngine, StationsOfEngine
from gudgeon.records.model import Build
from gudgeon.records.yaml_writing import scalar


def with_engine_sizes(build: Build, family: Family, text: str) -> str:
    """A starter's part file with the sizes and stations that its family takes from the engine.

    Where build.yaml does not state the engine's size, a comment says what is lacking: without a size no reading of the
    feature can be told from a slip of the pen.
    """
    for name, feature in family.features.items():
        if feature.nominal:
            text = _behind_kind(text, name, _nominal(build, feature.nominal))
        if feature.plausible:
            text = _behind_kind(text, name, _plausible(build, feature.plausible))
        if feature.stations:
            text = _in_plan(text, name, _stations(build, feature.stations))
    return text


def _nominal(build: Build, rule: OfEngine) -> str:
    size = _size(build, rule.of)
    if size is None:
        return f"# nominal: build.yaml states no {rule.of} of the engine to take it from; write the size yourself"
    if rule.times == 1:
        return f"nominal: {size.text}   # {rule.because}"
    note = f"The nominal size is {rule.in_words}: put your own."
    return f"nominal: {_written(build, float(size) * rule.times)}\n    note: {scalar(note)}"


def _plausible(build: Build, rule: PlausibleOfEngine) -> str:
    size = _size(build, rule.of)
    if size is None:
        return (
            f"# plausible: build.yaml states no {rule.of} of the engine to take it from; a slip of the pen is not told"
        )
    least, most = (_written(build, float(size) * share) for share in rule.times)
    return f"plausible: [{least}, {most}]   # {rule.in_words}: put your own"


def _stations(build: Build, rule: StationsOfEngine) -> str:
    size = _size(build, rule.of)
    if size is None:
        return f"# stations: build.yaml states no {rule.of} of the engine to take them from; write your own"
    at = ", ".join(_written(build, float(size) * share, coarse=True) for share in rule.at)
    return f"stations: [{at}]   # {rule.because}: put your own"


def _size(build: Build, name: str) -> Measure | None:
    return getattr(build.sound_head.engine, name)


def _written(build: Build, mm: float, coarse: bool = False) -> str:
    """A length in the unit of the build's drawings; coarse: to a twentieth of an inch or a millimetre."""
    if build.sound_head.units == "in":
        inches = mm / float(INCH)
        return f"{round(inches * 20) / 20:.2f} in" if coarse else f"{inches:.3f} in"
    return f"{mm:.0f} mm" if coarse else f"{mm:.2f} mm"


def _behind_kind(text: str, feature: str, line: str) -> str:
    return re.sub(
        rf"(^  {re.escape(feature)}:\n(?:    .*\n)*?    kind: .*\n)",
        lambda m: f"{m[1]}    {line}\n",
        text,
        flags=re.MULTILINE,
    )


def _in_plan(text: str, feature: str, line: str) -> str:
    return re.sub(
        rf"(^  {re.escape(feature)}:\n(?:    .*\n)*?    plan:\n)",
        lambda m: f"{m[1]}      {line}\n",
        text,
        flags=re.MULTILINE,
    )
