"""Stock: metal between the size now and what is wanted, by the metal side."""

from gudgeon.assess.findings import Stock
from gudgeon.assess.measuring.worst_places import WorstPlaces
from gudgeon.records.parts import MetalSide


def stock(
    side: MetalSide,
    size: float,
    thinnest: float,
    expanded: float,
    low: float,
    high: float,
    target_from: str,
    provisional: bool,
) -> Stock:
    """Stock of a feature. All in mm; size: the largest of an external, the smallest of an internal feature.

    thinnest: the size at the place with the least metal, the smallest of an external and the largest of an internal feature.
    A tool takes the same off everywhere, so that place is the first to be scrap.

    What is to come off brings the place with the most metal to the middle of the target. Where that would make scrap of the
    place with the least, because a taper stays on, it stops halfway between the first place inside and scrap.

    The same excess is rework on one side and scrap on the other: an external feature above its target can
    be cut, an internal one above it cannot.
    """
    mid = (low + high) / 2
    sign = 1 if side == "external" else -1
    first, last = (high, low) if side == "external" else (low, high)
    to_first, to_last = sign * (size - first), sign * (thinnest - last)
    on_diameter = sign * (size - mid)
    stops_short = to_first < to_last < on_diameter
    if stops_short:
        on_diameter = (to_first + to_last) / 2
    return Stock(
        side=side,
        target_low=low,
        target_mid=mid,
        target_high=high,
        on_diameter=on_diameter,
        per_side=on_diameter / 2,
        turn_to=size - sign * on_diameter,
        stops_short=stops_short,
        to_first_limit=to_first,
        to_last_limit=to_last,
        expanded=expanded,
        target_from=target_from,
        provisional=provisional,
    )


def thinnest(side: MetalSide, places: WorstPlaces) -> float:
    """The size where there is the least metal, mm: the smallest of an external, the largest of an internal feature."""
    return places.at("least" if side == "external" else "greatest").mm
