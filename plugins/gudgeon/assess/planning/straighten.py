"""A taper to take out: by hand station by station, and between centres with the tailstock."""

from dataclasses import dataclass

from gudgeon_calc.form import line_fit
from gudgeon_calc.tapers import tailstock_move
from gudgeon_calc.units import Measure, quantity

from gudgeon.assess.findings import TakeAt
from gudgeon.assess.measuring.forms import section_mean, sections
from gudgeon.assess.measuring.measured_build import MeasuredBuild


@dataclass(frozen=True)
class Straight:
    """How a taper is taken out."""

    by_hand: tuple[TakeAt, ...] = ()
    left: float | None = None
    tailstock: float | None = None


def straighten(context: MeasuredBuild, ref: str, side: str, centres: Measure | None) -> Straight:
    """A taper to take out: by hand station by station, and between centres with the tailstock."""
    along = [
        (station, section_mean(section).nominal_value)
        for station, section in sections(context.local_sizes(ref)).items()
        if station is not None
    ]
    if len(along) < 2:
        return Straight()
    line = line_fit([station for station, _ in along], [mean for _, mean in along])
    length = along[-1][0] - along[0][0]
    taper = line.slope * length
    if abs(taper) < float(context.shelf.judgement["least_taper"]):
        return Straight()
    fitted = [(station, line.intercept + line.slope * station) for station, _ in along]
    goal = (min if side == "external" else max)(size for _, size in fitted)
    by_hand = tuple(TakeAt(station=station, take=abs(size - goal)) for station, size in fitted)
    left = max(abs(mean - size) for (_, mean), (_, size) in zip(along, fitted, strict=True))
    tailstock = None
    if centres is not None:
        tailstock = tailstock_move(quantity(taper, "mm"), quantity(float(centres), "mm"), quantity(length, "mm")).m
    return Straight(by_hand, left, tailstock)
