"""Limits for a fit that is still planned, from what it wants, with the nearest standard classes."""

from gudgeon_calc.from_want import NoTolerance, limits_from_want, limits_of_other, nearest_classes

from gudgeon.assess.findings import NearClass, PlannedLimits
from gudgeon.assess.fitting.target_range import TargetRange
from gudgeon.assess.measuring.measured_build import MeasuredBuild
from gudgeon.records.fits import Fit


def planned_limits(context: MeasuredBuild, fit: Fit, want: TargetRange) -> PlannedLimits | None:
    """Limits of both halves; None where nothing says both ends, or the fit is no hole and shaft of known size.

    A half that has limits of its own in the specs keeps them, the hole before the shaft; without any the hole's least
    is the nominal size and both halves have half of the tolerance.
    """
    low, high = want.low, want.high
    if low is None or high is None or high <= low or not fit.pairing.takes_class or not fit.hole or not fit.shaft:
        return None
    hole, shaft = context.build.features[fit.hole], context.build.features[fit.shaft]
    if hole.size is None:
        return None
    made = "hole" if hole.allowed else "shaft" if shaft.allowed else None
    given = hole.allowed or shaft.allowed
    try:
        if made and given:
            limits = limits_of_other(float(given[0]), float(given[1]), low, high, made)
        else:
            limits = limits_from_want(hole.size, low, high)
    except NoTolerance as lack:
        limits, cannot = None, str(lack)
    else:
        cannot = None
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
        for system, nearest in zip(("ISO 286", "ANSI B4.1"), nearest_classes(hole.size, low, high), strict=True)
        for near in nearest
    ]
    return PlannedLimits(
        kept=made,
        hole=limits.hole if limits else None,
        shaft=limits.shaft if limits else None,
        cannot=cannot,
        classes=tuple(classes),
    )
