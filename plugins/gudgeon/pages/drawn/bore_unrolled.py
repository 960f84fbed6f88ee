"""A bore unrolled: stations down, angles across, each place with its size and a shade; what was not read is hatched and says so."""

from collections.abc import Mapping, Sequence

from markupsafe import Markup

from gudgeon.assess.findings import Cell, FeatureFinding
from gudgeon.drawing import hatching
from gudgeon.drawing.canvas import Canvas
from gudgeon.drawing.dimensions import LETTER
from gudgeon.wording import UnitFormatter, slug

LEFT, RIGHT, TOP, ROW = 52.0, 356.0, 34.0, 28.0
Place = tuple[float | None, float | None]


def unrolled(
    feature: FeatureFinding,
    cells: Mapping[Place, Cell],
    stations: Sequence[float | None],
    angles: Sequence[float | None],
    shade: Mapping[Place, int],
    fmt: UnitFormatter,
) -> Markup:
    """The map. cells: by station and angle; shade: of each of them, from 0 for the smallest on."""
    wide = (RIGHT - LEFT) / max(len(angles), 1)
    base = min((cell.size for cell in cells.values()), default=0.0)
    whole = all(LETTER * (len(fmt.size_text(cell.size).split()[0]) + 1) + 8 <= wide for cell in cells.values())
    unit = fmt.size_text(base).split()[1] if whole else fmt.clearance_text(0.0).split()[1]
    smallest, largest = (feature.form.least, feature.form.greatest) if feature.form else (None, None)
    said = "; ".join(
        f"{fmt.place_text(*place) or 'no place'} {fmt.size_text(cells[place].size) if place in cells else 'not read'}"
        for place in ((station, angle) for station in stations for angle in angles)
    )
    canvas = Canvas(
        f"unrolled-{slug(feature.ref).replace('.', '-')}",
        f"{feature.name} unrolled",
        f"{said}.",
        TOP + ROW * len(stations) + 22,
    )
    unread = hatching.hatch(canvas, "unread", css="g-cut")
    for column, angle in enumerate(angles):
        canvas.text(
            LEFT + wide * (column + 0.5), TOP - 6, f"{angle:g}°" if angle is not None else "no angle", anchor="middle"
        )
    canvas.text(4, 13, f"{unit}{'' if whole else ' above the smallest'}, by station and angle", "g-label")
    for line, station in enumerate(stations):
        y = TOP + ROW * line
        canvas.text(
            LEFT - 5, y + 18, fmt.station_text(station).split()[0] if station is not None else "?", anchor="end"
        )
        for column, angle in enumerate(angles):
            x, cell = LEFT + wide * column, cells.get((station, angle))
            if cell is None:
                canvas.rect(x, y, wide, ROW, "g-place", unread)
                canvas.text(x + wide / 2, y + 18, "not read" if wide > 56 else "?", "g-tick g-over", "middle")
                continue
            canvas.rect(x, y, wide, ROW, f"g-place g-tint-{shade[(station, angle)]}")
            mark = " ▼" if cell == smallest else " ▲" if cell == largest else ""
            words = fmt.size_text(cell.size) if whole else fmt.clearance_text(cell.size - base)
            canvas.text(x + wide / 2, y + 18, words.split()[0] + mark, anchor="middle")
    canvas.text(4, TOP + ROW * len(stations) + 16, "▼ smallest · ▲ largest · a stronger tint is larger")
    return canvas.markup()
