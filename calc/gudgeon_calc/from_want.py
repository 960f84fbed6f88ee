"""Limits for a hole and a shaft from the clearance that is wanted, and the standard classes that come nearest to it."""

from contextlib import suppress
from dataclasses import dataclass

from gudgeon_calc.limits_and_fits import Limits, NotInTable, read_fit_class, read_tolerance
from gudgeon_calc.published import table
from gudgeon_calc.units import GRAIN

# ISO fits that are looked through, as pairs of a hole and a shaft: what shops use of the system (from memory).
HOLE_BASIS = tuple(
    (f"H{grade}", f"{letter}{other}")
    for grade in (6, 7, 8, 9, 11)
    for letter in ("c", "d", "e", "f", "g", "h", "k", "n", "p", "r", "s", "u")
    for other in (grade - 1, grade)
)
SHAFT_BASIS = tuple(
    (f"{letter}{grade}", f"h{other}")
    for grade in (6, 7, 8, 9, 11)
    for letter in ("C", "D", "E", "F", "G", "H", "K", "N", "P", "S")
    for other in (grade - 1, grade)
)


class NoTolerance(ValueError):
    """The half that is there uses up what is wanted, or the want is turned round."""


@dataclass(frozen=True)
class LimitsFromWant:
    """Limits of size, mm: (least, most); None where the want leaves an end open. The tolerances add up to that of the want."""

    hole: tuple[float | None, float | None]
    shaft: tuple[float | None, float | None]

    @property
    def hole_tolerance(self) -> float | None:
        """What is left for the hole, mm."""
        return _apart(*self.hole)

    @property
    def shaft_tolerance(self) -> float | None:
        """What is left for the shaft, mm."""
        return _apart(*self.shaft)

    @property
    def clearance(self) -> tuple[float | None, float | None]:
        """Least and most clearance that parts within these limits can have, mm."""
        return _apart(self.shaft[1], self.hole[0]), _apart(self.shaft[0], self.hole[1])


def _apart(least: float | None, most: float | None) -> float | None:
    return None if least is None or most is None else most - least


@dataclass(frozen=True)
class NearestClass:
    """A standard class beside a want. off_low, off_high: its least and most clearance less the wanted ones, mm."""

    name: str
    hole: Limits
    shaft: Limits
    off_low: float
    off_high: float

    @property
    def off(self) -> float:
        """How far it is off at its worse end, mm."""
        return max(abs(self.off_low), abs(self.off_high))

    @property
    def inside(self) -> bool:
        """Whether all of it lies within what is wanted."""
        return self.off_low >= -GRAIN and self.off_high <= GRAIN

    @property
    def clearance(self) -> tuple[float, float]:
        """Least and most clearance, mm."""
        return self.hole.low - self.shaft.high, self.hole.high - self.shaft.low


def limits_from_want(
    basic: float, low: float | None, high: float | None, basis: str = "hole", hole_share: float = 0.5
) -> LimitsFromWant:
    """Limits of both halves, neither of which is made. basic, low, high: mm. basis: "hole" or "shaft".

    The least hole is the basic size on a hole basis, the most shaft is it on a shaft basis. hole_share: how much of the
    tolerance the hole takes, the shaft has the rest. A want without a most leaves the most hole and the least shaft open.
    Raises NoTolerance. Source: derived here: the least clearance is the least hole less the most shaft, the most clearance
    the most hole less the least shaft.
    """
    if not 0 < hole_share < 1:
        raise NoTolerance(f"the hole's share of the tolerance lies between 0 and 1, not at {hole_share:g}")
    _in_order(low, high)
    if basic <= 0 or basis not in ("hole", "shaft"):
        raise NoTolerance('the size must be over 0, and the basis "hole" or "shaft"')
    if low is None:
        raise NoTolerance("a most alone limits a half only where the other is made")
    hole_least = basic if basis == "hole" else basic + low
    shaft_most = hole_least - low
    if high is None:
        return LimitsFromWant((hole_least, None), (None, shaft_most))
    hole_most = hole_least + hole_share * (high - low)
    return LimitsFromWant((hole_least, hole_most), (hole_most - high, shaft_most))


def limits_of_other(least: float, most: float, low: float | None, high: float | None, made: str) -> LimitsFromWant:
    """Limits of the half that is still to be made, from those of the other. made: "hole" or "shaft"; all mm.

    least, most: the limits of the half that is made first, or its size as read less and plus its uncertainty. An end that
    the want leaves open leaves one of the other half open. Raises NoTolerance where they use up all that is wanted.
    Source: derived here.
    """
    _in_order(low, high)
    if most < least:
        raise NoTolerance("the limits of the half that is made are turned round")
    if low is not None and high is not None and most - least >= high - low - GRAIN:
        raise NoTolerance("the half that is made first uses up all the tolerance: none is left for the other")
    if made == "hole":
        return LimitsFromWant((least, most), (_apart(high, most), _apart(low, least)))
    return LimitsFromWant((None if low is None else most + low, None if high is None else least + high), (least, most))


def _in_order(low: float | None, high: float | None) -> None:
    if low is None and high is None:
        raise NoTolerance("a want needs a least or a most")
    if low is not None and high is not None and high <= low:
        raise NoTolerance("a wanted range needs a most above its least")


def nearest_classes(
    basic: float, low: float, high: float, basis: str = "hole", how_many: int = 3
) -> tuple[list[NearestClass], list[NearestClass]]:
    """The ISO 286 fits of a basis and the ANSI B4.1 classes that come nearest to a want, nearest first. All mm.

    Valid: what the tables hold at this size; a class that they do not hold is passed over.
    """
    pairs = HOLE_BASIS if basis == "hole" else SHAFT_BASIS
    limits: dict[str, Limits] = {}
    for name in {name for pair in pairs for name in pair}:
        with suppress(NotInTable):
            limits[name] = read_tolerance(f"{basic:.6f} {name}")
    iso = {f"{hole}/{shaft}": (limits[hole], limits[shaft]) for hole, shaft in pairs if {hole, shaft} <= limits.keys()}
    inch: dict[str, tuple[Limits, Limits]] = {}
    for name in sorted({row["class"] for row in table("b41-fits")}):
        with suppress(NotInTable):
            fit_class = read_fit_class(name, basic)
            inch[name] = fit_class.hole, fit_class.shaft
    return _nearest(iso, low, high)[:how_many], _nearest(inch, low, high)[:how_many]


def _nearest(classes: dict[str, tuple[Limits, Limits]], low: float, high: float) -> list[NearestClass]:
    near = [
        NearestClass(name, hole, shaft, hole.low - shaft.high - low, hole.high - shaft.low - high)
        for name, (hole, shaft) in classes.items()
    ]
    return sorted(near, key=lambda one: (round(one.off, 9), one.name))
