"""Limits for what of a fit is not read yet, from what it wants, with the nearest standard classes."""

from dataclasses import dataclass
from typing import Literal

from gudgeon_calc.from_want import NoTolerance, limits_from_want, limits_of_other, nearest_classes

from gudgeon.assess.findings import NearClass, PlannedLimits
from gudgeon.assess.fitting.pairings import in_sweep
from gudgeon.assess.fitting.target_range import TargetRange
from gudgeon.assess.measuring.coverage import doubt_of
from gudgeon.assess.measuring.lobing import working
from gudgeon.assess.measuring.measured_build import MeasuredBuild
from gudgeon.assess.measuring.planned_places import doubts_of_halves
from gudgeon.records.fits import Fit

Half = Literal["hole", "shaft"]
HALVES: tuple[Half, ...] = ("hole", "shaft")


@dataclass(frozen=True)
class _Made:
    """The half that is there, or that has limits: its ends, mm. expanded: U at the least and at the greatest, where it was read."""

    half: Half
    ref: str
    ends: tuple[float, float]
    expanded: tuple[float, float] | None = None

    @property
    def surely(self) -> tuple[float, float]:
        """Between what the half surely lies, mm."""
        below, above = self.expanded or (0.0, 0.0)
        return self.ends[0] - below, self.ends[1] + above


def planned_limits(context: MeasuredBuild, fit: Fit, want: TargetRange) -> PlannedLimits | None:
    """Limits of both halves; None where no clearance is wanted, or the fit is no hole and shaft of known size.

    A half that was read and is not to be cut again is what it is, with its uncertainty; else one that has limits in the specs
    keeps them, the hole before the shaft. Without either the hole's least is the nominal size and both halves have half of
    the tolerance. A want without a most leaves the loose ends open, and no class is near it.
    """
    low, high = want.low, want.high
    if (
        low is None
        or (high is not None and high <= low)
        or not fit.pairing.takes_class
        or not fit.hole
        or not fit.shaft
    ):
        return None
    size = context.build.features[fit.hole].size or context.build.features[fit.shaft].size
    if size is None:
        return None
    made, limits, cannot = _read(context, fit) or _by_specs(context, fit), None, None
    try:
        limits = limits_of_other(*made.surely, low, high, made.half) if made else limits_from_want(size, low, high)
    except NoTolerance as lack:
        cannot = str(lack)
    classes = [
        NearClass(
            system=system,
            name=near.name,
            low=near.clearance[0],
            high=near.clearance[1],
            off_low=near.off_low,
            off_high=near.off_high,
            basis=tuple(dict.fromkeys((near.hole.basis, near.shaft.basis))),
        )
        for system, nearest in (
            zip(("ISO 286", "ANSI B4.1"), nearest_classes(size, low, high), strict=True) if high is not None else ()
        )
        for near in nearest
    ]
    read = made is not None and made.expanded is not None
    return PlannedLimits(
        kept=made.half if made else None,
        read=made.ends if made and read else None,
        expanded=made.expanded if made else None,
        hole=limits.hole if limits else None,
        shaft=limits.shaft if limits else None,
        cannot=cannot,
        doubts=tuple(doubts_of_halves(context, [made.ref])) if made and read else (),
        classes=tuple(classes),
    )


def _read(context: MeasuredBuild, fit: Fit) -> _Made | None:
    """The half that was read and is finished; the hole before the shaft."""
    for half in HALVES:
        ref = fit.named(half)
        places = context.local_sizes(ref)
        if half == "hole":
            places = in_sweep(context, ref, places)
        if not places or context.order.open_cuts(ref):
            continue
        worst = context.worst(ref)
        least, most = (
            working(worst.at(end, places), context.lobing(ref), context.build.features[ref].least_decides)
            for end in ("least", "greatest")
        )
        doubts = doubt_of(context, least.size).expanded, doubt_of(context, most.size).expanded
        return _Made(half, ref, (least.mm, most.mm), doubts)
    return None


def _by_specs(context: MeasuredBuild, fit: Fit) -> _Made | None:
    for half in HALVES:
        allowed = context.build.features[fit.named(half)].allowed
        if allowed:
            return _Made(half, fit.named(half), (float(allowed[0]), float(allowed[1])))
    return None
