"""Where to measure a feature: its stations along the axis and its angles round it, from the datum face. Not to scale."""

from collections.abc import Sequence

from markupsafe import Markup

from gudgeon.assess.findings import FeatureFinding
from gudgeon.drawing.canvas import Canvas, at_angle
from gudgeon.drawing.dimensions import centre_line
from gudgeon.records.parts import DIAMETERS, Feature
from gudgeon.wording import UnitFormatter, number, slug

FIRST, LAST, TOP, BOTTOM = 24.0, 236.0, 22.0, 66.0  # of the outline, in units of the drawing
LABEL = 34.0  # room that the words of a station take
CENTRE, RADIUS = (310.0, 44.0), 22.0
HEIGHT = 96.0


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
    marks, last = list[tuple[float, str, bool]](), -LABEL
    for station in along:
        x = round(FIRST + (station - from_) / span * (LAST - FIRST), 1)
        low = x - last < LABEL and not (marks and marks[-1][2])
        marks.append((x, fmt.station_text(station).split()[0], low))
        last = x
    unit = fmt.station_text(0.0).split()[1]
    zero = spec.plan.zero if spec.plan and spec.plan.zero else None
    said = (
        [f"stations {', '.join(fmt.station_text(station) for station in along)} from the datum face"] if along else []
    )
    said += [f"angles {', '.join(f'{number(angle, 0)}°' for angle in round_)}"] if round_ else []
    described = f"Not to scale: {'; '.join(said)}. " + (
        f"Counted from: {zero}." if zero else "The records do not say what they are counted from (plan, zero)."
    )
    canvas = Canvas(
        f"where-{slug(feature.ref).replace('.', '-')}", f"Where to measure: {feature.name}", described, HEIGHT
    )
    inside = spec.kind == "bore"
    canvas.rect(FIRST, TOP, LAST - FIRST, BOTTOM - TOP, "g-track" if inside else "g-gone")
    if inside:
        for wall in (TOP, BOTTOM):
            canvas.line(FIRST, wall, LAST, wall, "g-whisker")
    centre_line(canvas, FIRST - 12, CENTRE[1], LAST + 10, CENTRE[1])
    if marks:
        canvas.line(FIRST, TOP - 8, FIRST, BOTTOM + 8, "g-whisker")
        canvas.text(FIRST - 4, 12, "datum face")
        for x, words, low in marks:
            canvas.line(x, TOP, x, BOTTOM + 4, "g-axis")
            canvas.text(x, BOTTOM + (24 if low else 12), words, anchor="middle")
        canvas.text(LAST + 8, BOTTOM + 12, unit)
    if round_:
        canvas.circle(*CENTRE, RADIUS, "g-gone")
        for angle in round_:
            canvas.line(*at_angle(*CENTRE, RADIUS + 4, angle), *at_angle(*CENTRE, RADIUS + 4, angle + 180), "g-line")
            x, y = at_angle(*CENTRE, RADIUS + 13, angle)
            canvas.text(x, y + 4, f"{number(angle, 0)}°", anchor="middle")
    return canvas.markup()
