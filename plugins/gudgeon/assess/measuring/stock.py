"""Stock: metal between the size now and what is wanted, by the metal side."""

from gudgeon_calc.at_the_lathe import metal_on

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

    What is to come off, and where it stops short: `gudgeon_calc.at_the_lathe.metal_on`.

    The same excess is rework on one side and scrap on the other: an external feature above its target can
    be cut, an internal one above it cannot.
    """
    metal = metal_on(side, size, thinnest, low, high)
    return Stock(
        side=side,
        target_low=low,
        target_mid=(low + high) / 2,
        target_high=high,
        on_diameter=metal.on_diameter,
        per_side=metal.on_diameter / 2,
        turn_to=metal.turn_to,
        stops_short=metal.stops_short,
        to_first_limit=metal.to_first,
        to_last_limit=metal.to_last,
        expanded=expanded,
        target_from=target_from,
        provisional=provisional,
    )


def thinnest(side: MetalSide, places: WorstPlaces) -> float:
    """The size where there is the least metal, mm: the smallest of an external, the largest of an internal feature."""
    return places.at("least" if side == "external" else "greatest").mm
