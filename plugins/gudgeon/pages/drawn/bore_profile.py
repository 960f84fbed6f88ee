"""A bore or shaft along its axis, a strip for each angle on one scale: its size above the smallest, with how far off it may be."""

from markupsafe import Markup

from gudgeon.assess.findings import Cell, FeatureFinding
from gudgeon.drawing.canvas import Canvas
from gudgeon.drawing.scales import Axis
from gudgeon.wording import UnitFormatter, number, slug

LEFT, RIGHT, TOP, STRIP, GAP = 60.0, 346.0, 24.0, 52.0, 12.0


def profile(feature: FeatureFinding, fmt: UnitFormatter) -> Markup | None:
    """The strips; None where fewer than two stations were read."""
    cells = [cell for cell in feature.cells if cell.station is not None]
    stations = sorted({cell.station for cell in cells if cell.station is not None})
    if len(stations) < 2:
        return None
    angles = sorted({cell.angle for cell in cells}, key=lambda angle: (angle is None, angle or 0.0))
    scale, unit, places = fmt.factor()
    base = min(cell.size for cell in cells)
    low = min(cell.size - cell.expanded - base for cell in cells) / scale
    high = max(cell.size + cell.expanded - base for cell in cells) / scale
    along = Axis(stations[0], stations[-1], left=LEFT, right=RIGHT)
    bottom = TOP + (STRIP + GAP) * len(angles)
    said = "; ".join(f"{_angle(angle)}: {_sizes(cells, angle, fmt)}" for angle in angles)
    canvas = Canvas(
        f"profile-{slug(feature.ref).replace('.', '-')}", f"{feature.name} along its axis", f"{said}.", bottom + 38
    )
    canvas.text(4, 13, f"{unit} above the smallest, {fmt.size_text(base)}", "g-label")
    for place, angle in enumerate(angles):
        top = TOP + (STRIP + GAP) * place
        up = Axis(low, high, left=top + STRIP, right=top, margin=0.02)
        canvas.line(LEFT, up.at(0.0), RIGHT, up.at(0.0), "g-axis")
        canvas.text(4, top + STRIP / 2 + 4, _angle(angle), "g-value")
        canvas.text(LEFT - 4, up.at(0.0) + 4, number(0.0, places), anchor="end")
        most = max((cell.size - base) / scale for cell in cells)
        if up.at(0.0) - up.at(most) > 11:
            canvas.text(LEFT - 4, up.at(most) + 4, number(most, places), anchor="end")
        for limit in feature.limits or ():
            above = (limit - base) / scale
            if low <= above <= high:
                canvas.line(LEFT, up.at(above), RIGHT, up.at(above), "g-limit")
        _strip(canvas, sorted((cell for cell in cells if cell.angle == angle), key=_station), along, up, base, scale)
    for station in stations:
        canvas.line(along.at(station), TOP, along.at(station), bottom - GAP + 4, "g-grid")
        canvas.text(along.at(station), bottom + 6, fmt.station_text(station).split()[0], anchor="middle")
    canvas.text(4, bottom + 24, f"station, {fmt.station_text(0.0).split()[1]} · ▒ how far off it may be")
    return canvas.markup()


def _strip(canvas: Canvas, cells: list[Cell], along: Axis, up: Axis, base: float, scale: float) -> None:
    """The readings of one angle with the band of their doubt."""
    tops = [(along.at(_station(cell)), up.at((cell.size + cell.expanded - base) / scale)) for cell in cells]
    feet = [(along.at(_station(cell)), up.at((cell.size - cell.expanded - base) / scale)) for cell in cells]
    if len(cells) > 1:
        canvas.polygon([*tops, *reversed(feet)], "g-band")
        canvas.polyline([(along.at(_station(cell)), up.at((cell.size - base) / scale)) for cell in cells], "g-line")
    for cell, (x, top), (_, foot) in zip(cells, tops, feet, strict=True):
        canvas.line(x, top, x, foot, "g-axis")
        canvas.circle(x, up.at((cell.size - base) / scale), 3, "g-dot")


def _station(cell: Cell) -> float:
    return cell.station or 0.0


def _angle(angle: float | None) -> str:
    return f"{angle:g}°" if angle is not None else "?°"


def _sizes(cells: list[Cell], angle: float | None, fmt: UnitFormatter) -> str:
    return ", ".join(
        f"{fmt.size_text(cell.size)} ± {fmt.clearance_text(cell.expanded)} at {fmt.station_text(cell.station)}"
        for cell in sorted(cells, key=_station)
        if cell.angle == angle
    )
