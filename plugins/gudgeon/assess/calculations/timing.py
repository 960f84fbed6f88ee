"""Valve and spark settings as crank angles and as lengths along this rim: those of the build's records, and those in print."""

import re

from gudgeon_calc.engine import rim_mark
from gudgeon_calc.published import table
from gudgeon_calc.units import quantity

from gudgeon.assess.findings import TimingMark, TimingSetting
from gudgeon.assess.measuring.measured_build import MeasuredBuild
from gudgeon.records.parts import Feature

# Family and feature -> the event, and the dead centre and the side of it from which the sums over that feature count.
# Of a spark they count from the inner one, and the records alone say on which side of it.
EVENTS = {
    ("gears", "ex_opens"): ("exhaust opens", "outer", "before"),
    ("gears", "ex_shuts"): ("exhaust shuts", "inner", "after"),
    ("ignition", "start"): ("spark, starting", "inner", None),
    ("ignition", "run"): ("spark, running", "inner", None),
}
SIDES = {"before": r"\bbefore\b|\bb[tb]dc\b", "after": r"\bafter\b|\ba[tb]dc\b"}
CENTRES = {"inner": r"\binner\b|\btop\b|tdc\b", "outer": r"\bouter\b|\bbottom\b|bdc\b"}


def timing_marks(context: MeasuredBuild) -> list[TimingMark]:
    """Early printed valve settings as lengths along this rim, source by source; nothing where no rim is known."""
    outside = _rim_outside(context)
    if outside is None:
        return []
    speed = context.build.sound_head.engine.speed
    timings = []
    for row in table("valve-timing"):
        least, most = float(row["least_deg"]), float(row["most_deg"])
        timings.append(
            TimingMark(
                event=row["event"],
                centre=row["centre"],
                side=row["side"],
                least=least,
                most=most,
                mark_least=_along(outside, least),
                mark_most=_along(outside, most),
                in_range=None
                if speed is None
                else float(row["speed_least_rpm"]) <= float(speed) <= float(row["speed_most_rpm"]),
                source=row["source"],
                where_in_source=row["where"],
                basis=row["basis"],
            )
        )
    return timings


def timing_settings(context: MeasuredBuild) -> list[TimingSetting]:
    """What the build's own records say of its valves and its spark, in crank angles."""
    outside, made = _rim_outside(context), []
    for part_id, part in context.build.parts.items():
        for name, feature in part.features.items():
            if (part.family, name) not in EVENTS or feature.kind != "angle" or feature.size is None:
                continue
            event, centre, side = EVENTS[part.family, name]
            said = _place_said(feature, centre, side)
            made.append(
                TimingSetting(
                    feature=f"{part_id}.{name}",
                    event=event,
                    centre=said[0],
                    side=said[1],
                    angle=feature.size,
                    mark=None if outside is None else _along(outside, feature.size),
                )
            )
    return made


def _place_said(feature: Feature, centre: str, side: str | None) -> tuple[str | None, str | None]:
    """(dead centre, side of it) of a setting; None for both where the record's words leave it open, or say otherwise than the sums."""
    words = f"{feature.name} {feature.detail or ''}".lower()
    sides = [name for name, said in SIDES.items() if re.search(said, words)]
    centres = [name for name, said in CENTRES.items() if re.search(said, words)]
    if len(sides) > 1 or len(centres) > 1 or centres not in ([], [centre]):
        return None, None
    if side is None:
        return (centre, sides[0]) if sides else (None, None)
    return (centre, side) if sides in ([], [side]) else (None, None)


def _rim_outside(context: MeasuredBuild) -> float | None:
    """The outside of the flywheel's rim, mm: the largest place read, else as written."""
    rim = next(
        (
            f"{part}.rim_od"
            for part, part_record in context.build.parts.items()
            if part_record.family == "flywheel" and "rim_od" in part_record.features
        ),
        None,
    )
    if rim is None:
        return None
    places = context.local_sizes(rim)
    return context.worst(rim).at("greatest").mm if places else context.build.features[rim].size


def _along(outside: float, angle: float) -> float:
    return rim_mark(quantity(outside, "mm"), quantity(angle, "degree")).m
