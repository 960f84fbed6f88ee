"""Numbers that were written in the wrong unit, with a slipped point, as a radius or doubled: one answer for all who read them."""

from collections.abc import Iterable
from dataclasses import dataclass
from typing import Literal

from gudgeon_calc.units import INCH, Measure

from gudgeon.records.parts import DIAMETERS, Feature

INCH_MM = float(INCH)
# How near a number must come to the right one, once its mistake is undone, to be taken for it. What is copied comes near,
# and a rough casting is within it of its size. A part in work has metal on, so of a real size more is allowed. But a gap or
# a play is free to be several times its nominal, and a blank may be nearly twice its part: there the narrower one holds, or
# an honest reading would be held back.
# They are the same for every club, unlike judgement.yaml: a reading that one holds back must not count with another.
COPIED, IN_WORK = 0.03, 0.2
LARGE = 5.0  # mm
JUDGED = (  # common practice, no source; listed on the page "To be verified"
    (
        COPIED,
        "share by which a number may be off the right one, a mistake undone, and be taken for it: a figure copied, a gap or a play",
    ),
    (IN_WORK, "the same of a size that may have metal on"),
    (LARGE, "millimetres from which on a reading is of a size, and below which of a gap or a play"),
)

Kind = Literal[
    "inch typed as millimetre",
    "millimetre typed as inch",
    "a nought slipped",
    "radius for diameter",
    "diameter doubled",
]


@dataclass(frozen=True)
class Mistyped:
    """What is wrong with a number. factor: the number written over the number meant, as a rule gives it: 25.4, 10, 1/2."""

    kind: Kind
    factor: float


def slipped_by(ratio: float, factors: Iterable[float], near: float = COPIED) -> float | None:
    """The first of some factors by which a number was slipped, up or down; None where none explains it.

    ratio: the number written over the number meant. Gives the factor itself, or one over it.
    """
    for factor in factors:
        for slip in (factor, 1 / factor):
            if within(ratio / slip, near):
                return slip
    return None


def within(ratio: float, near: float) -> bool:
    """Whether a ratio is 1, as near as that."""
    return abs(ratio - 1) <= near


def expected(feature: Feature) -> float | None:
    """The size in mm that a reading of a feature lies near: the middle of its limits, else its nominal."""
    if feature.allowed and feature.flat_most is None:
        return sum(feature.allowed) / 2
    return feature.size


def room(size: float) -> float:
    """How far from its expected size, as a share of it, a reading may lie and still be one of it."""
    return IN_WORK if size >= LARGE else COPIED


def mistyped(feature: Feature, read: float, in_inches: bool) -> Mistyped | None:
    """What is wrong with a reading of a feature in mm, or None where nothing is known to be. in_inches: as it was written."""
    size = expected(feature)
    if size is None and feature.plausible:
        return _implausible(feature.plausible, read, in_inches)
    if not size or not read:
        return None
    ratio, near = read / size, room(size)
    if not in_inches and (within(ratio * INCH_MM, near) or _only_inside(feature, read, INCH_MM)):
        return Mistyped("inch typed as millimetre", 1 / INCH_MM)
    if in_inches and (within(ratio / INCH_MM, near) or _only_inside(feature, read, 1 / INCH_MM)):
        return Mistyped("millimetre typed as inch", INCH_MM)
    slip = slipped_by(ratio, (10.0, 100.0), near)
    if slip is not None:
        return Mistyped("a nought slipped", slip)
    slip = slipped_by(ratio, (2.0,)) if feature.kind in DIAMETERS else None
    if slip is not None:
        return Mistyped("radius for diameter" if slip < 1 else "diameter doubled", slip)
    return None


def _implausible(between: tuple[Measure, Measure], read: float, in_inches: bool) -> Mistyped | None:
    """What brings a reading that can lie nowhere else between the two it can lie between; a radius is too near to tell."""
    least, most = (float(end) for end in between)
    if least <= read <= most:
        return None
    unit = INCH_MM if in_inches else 1 / INCH_MM
    kind: Kind = "millimetre typed as inch" if in_inches else "inch typed as millimetre"
    if least <= read / unit <= most:
        return Mistyped(kind, unit)
    for slip in (10.0, 0.1, 100.0, 0.01):
        if least <= read / slip <= most:
            return Mistyped("a nought slipped", slip)
    return None


def _only_inside(feature: Feature, read: float, factor: float) -> bool:
    """Whether a play's reading lies inside its limits only after a change of unit; a play spreads too wide for a ratio to tell."""
    if feature.kind != "play" or not feature.allowed:
        return False
    low, high = feature.allowed
    return low <= read * factor <= high and not low / 2 <= read <= high * 2
