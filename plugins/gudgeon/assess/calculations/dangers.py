"""Computed figures that cautions watch, printed valve settings on this rim, and pattern sizes."""

from gudgeon_calc.casting import contractions, pattern_size
from gudgeon_calc.engine import rim_mark
from gudgeon_calc.published import table
from gudgeon_calc.units import quantity, read_quantity

from gudgeon.assess.findings import Calculation, DangerFinding, PatternSize, TimingMark
from gudgeon.assess.measuring.measured_build import MeasuredBuild
from gudgeon.records.figures import WATCHED

# The club's material -> the metal in the table of contractions.
POURED = {
    "grey-iron": "cast iron",
    "cast-aluminium": "aluminium",
    "brass": "brass",
    "phosphor-bronze": "bronze",
}


def dangers(context: MeasuredBuild, calculations: list[Calculation]) -> list[DangerFinding]:
    """Every figure that a caution watches, part by part, with its margin; passed or not."""
    found = []
    for caution in context.shelf.cautions.values():
        for danger in caution.dangers:
            limit = float(read_quantity(danger.limit, WATCHED[danger.figure]))
            over = danger.over is not None
            for each in calculations:
                if each.id != danger.figure or each.value is None:
                    continue
                value = each.value
                found.append(
                    DangerFinding(
                        caution=caution.caution,
                        calculation=each.id,
                        part=each.part,
                        gives=each.gives,
                        kind=each.kind,
                        value=value,
                        limit=limit,
                        over=over,
                        margin=(limit / value if over else value / limit) if value and limit else 0.0,
                        hit=value > limit if over else value < limit,
                        source=danger.source,
                        where_in_source=danger.where_in_source,
                        basis=danger.basis,
                    )
                )
    return found


def timing_marks(context: MeasuredBuild) -> list[TimingMark]:
    """Early printed valve settings as lengths along this rim, source by source; nothing where no rim is known."""
    rim = next(
        (
            f"{part}.rim_od"
            for part, each in context.build.parts.items()
            if each.family == "flywheel" and "rim_od" in each.features
        ),
        None,
    )
    if rim is None:
        return []
    places = context.local_sizes(rim)
    outside = max(each.mm for each in places) if places else context.build.features[rim].size
    if outside is None:
        return []
    speed = context.build.sound_head.engine.speed
    found = []
    for row in table("valve-timing"):
        least, most = float(row["least_deg"]), float(row["most_deg"])
        marks = [rim_mark(quantity(outside, "mm"), quantity(angle, "degree")).m for angle in (least, most)]
        found.append(
            TimingMark(
                event=row["event"],
                centre=row["centre"],
                side=row["side"],
                least=least,
                most=most,
                mark_least=marks[0],
                mark_most=marks[1],
                in_range=None
                if speed is None
                else float(row["speed_least_rpm"]) <= float(speed) <= float(row["speed_most_rpm"]),
                source=row["source"],
                where_in_source=row["where"],
                basis=row["basis"],
            )
        )
    return found


def pattern_sizes(context: MeasuredBuild) -> list[PatternSize]:
    """Sizes of patterns for the lengths of cast parts, by every source's contraction, never averaged."""
    found = []
    for ref, feature in context.build.features.items():
        part = context.build.parts[ref.partition(".")[0]]
        metal = POURED.get(context.materials.figures(part.material).club)
        if not part.cast or metal is None or feature.kind != "length" or feature.size is None:
            continue
        for contraction, source, where, basis in contractions(metal):
            found.append(
                PatternSize(
                    of=ref,
                    size=feature.size,
                    pattern=pattern_size(quantity(feature.size, "mm"), quantity(contraction, "")).m,
                    contraction=contraction,
                    source=source,
                    where_in_source=where,
                    basis=basis,
                )
            )
    return found
