"""Where to measure a feature: its stations along the axis and its angles round it, from the datum face. Not to scale."""

from collections.abc import Sequence

from markupsafe import Markup

from gudgeon.assess.findings import FeatureFinding
from gudgeon.pages.drawings import svg
from gudgeon.records.parts import DIAMETERS, Feature
from gudgeon.wording import UnitFormatter, number, slug

FIRST, LAST, TOP, BOTTOM = 24.0, 236.0, 22.0, 66.0  # of the outline, in units of the drawing
LABEL = 34.0  # room that the words of a station take
CENTRE, RADIUS = (310.0, 44.0), 22.0


def where_to_measure(
    spec: Feature,
    feature: FeatureFinding,
    stations: Sequence[float | None],
    angles: Sequence[float | None],
    fmt: UnitFormatter,
) -> Markup | None:
    """Side view with the datum face at the left and stations in proportion, end view with the angles; None of one place."""
    along = sorted(station for station in stations if station is not None)
    round_ = [angle for angle in angles if angle is not None] if spec.kind in DIAMETERS else []
    if not along and not round_:
        return None
    from_, to = (float(end) for end in spec.extent) if spec.extent else (min([0.0, *along]), max([*along, 0.0]) * 1.08)
    span = (to - from_) or 1.0
    marks, last = [], -LABEL
    for station in along:
        x = round(FIRST + (station - from_) / span * (LAST - FIRST), 1)
        low = x - last < LABEL and not (marks and marks[-1]["low"])
        marks.append({"x": x, "words": fmt.station_text(station).split()[0], "low": low})
        last = x
    unit = fmt.station_text(0.0).split()[1]
    zero = spec.plan.zero if spec.plan and spec.plan.zero else None
    said = (
        [f"stations {', '.join(fmt.station_text(station) for station in along)} from the datum face"] if along else []
    )
    said += [f"angles {', '.join(f'{number(angle, 0)}°' for angle in round_)}"] if round_ else []
    return svg(
        "where",
        id=f"where-{slug(feature.ref).replace('.', '-')}",
        title=f"Where to measure: {feature.name}",
        described=f"Not to scale: {'; '.join(said)}. "
        + (f"Counted from: {zero}." if zero else "The records do not say what they are counted from (plan, zero)."),
        marks=marks,
        unit=unit,
        inside=spec.kind == "bore",
        angles=[(_turned(angle), f"{number(angle, 0)}°") for angle in round_],
        zero=zero,
        first=FIRST,
        last=LAST,
        top=TOP,
        bottom=BOTTOM,
        centre=CENTRE,
        radius=RADIUS,
    )


def _turned(angle: float) -> float:
    """Degrees by which a line that stands upright is turned, clockwise."""
    return round(angle % 360.0, 1)
