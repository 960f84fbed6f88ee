"""A round feature seen along its axis, a small picture for each station: its form enlarged, each reading with its doubt.

A reading across gives a diameter: half of it is drawn on each side of the middle, which no such reading tells. A curve is drawn
only where the findings hold an oval fitted through four angles; between other readings nothing is drawn.
"""

import math
from collections.abc import Sequence
from dataclasses import dataclass

from markupsafe import Markup

from gudgeon.assess.findings import Cell, FeatureFinding, SectionForm
from gudgeon.drawing.canvas import Canvas, at_angle
from gudgeon.pages.drawn.part_outline import zero_of_angle
from gudgeon.wording import UnitFormatter, number, slug

SIDE, HEIGHT = 172.0, 206.0
CENTRE_X, CENTRE_Y = SIDE / 2, 98.0
RADIUS, ROOM = 50.0, 18.0  # of the circle of the smallest size read; for the form, to either side of it
HALF_BAND = 9.0  # degrees of a band of doubt to each side of its reading
STEPS = 72  # of a curve


@dataclass(frozen=True)
class Scale:
    """How the form of a feature is drawn, the same at all stations. base: the smallest size read, mm; times: how much larger than
    the circle the differences from it are drawn."""

    base: float
    times: float

    def radius(self, size: float) -> float:
        """Where a size is drawn, in units from the middle."""
        return RADIUS + self.times * RADIUS * (size - self.base) / self.base


@dataclass(frozen=True)
class Picture:
    """One station with its drawing."""

    station: float | None
    drawing: Markup


def scale_of(feature: FeatureFinding) -> Scale | None:
    """The scale at which the form of a feature has room; None where nothing was read."""
    if not feature.cells:
        return None
    base = min(cell.size for cell in feature.cells)
    ends = [end for cell in feature.cells for end in (cell.size - cell.expanded, cell.size + cell.expanded)]
    most = max(abs(end - base) for end in ends)
    if base <= 0 or most <= 0:
        return Scale(base, 1.0) if base > 0 else None
    whole = ROOM / RADIUS * base / most
    power = 10.0 ** math.floor(math.log10(whole))
    return Scale(base, max(next(power * factor for factor in (5, 2, 1) if power * factor <= whole * (1 + 1e-9)), 1.0))


def pictures(
    feature: FeatureFinding, stations: Sequence[float | None], zero: str | None, fmt: UnitFormatter
) -> list[Picture]:
    """A picture for each station, read or planned, in their order. zero: what angles are counted from, in the plan's words."""
    scale = scale_of(feature)
    if scale is None:
        return []
    sections = {section.station: section for section in feature.form.sections} if feature.form else {}
    return [
        Picture(station, _picture(feature, place, station, sections.get(station), scale, zero, fmt))
        for place, station in enumerate(stations)
    ]


def scale_words(feature: FeatureFinding, fmt: UnitFormatter) -> str:
    """What the pictures are drawn to."""
    scale = scale_of(feature)
    if scale is None:
        return ""
    shown = [end for end in feature.limits or () if _has_room(scale, end)]
    limits = (
        ""
        if not feature.limits
        else (" Dotted: what is allowed." if len(shown) == 2 else " Not all that is allowed has room in the picture.")
    )
    return f"The form is drawn {number(scale.times, 0)} times as large as the round; dashed: {fmt.size_text(scale.base)}, the smallest read.{limits}"


def fitted(section: SectionForm, angle: float) -> float | None:
    """The diameter at an angle by the oval through four angles, mm; None where none was fitted."""
    if section.direction is None or section.ovality is None:
        return None
    return section.mean + section.ovality / 2 * math.cos(math.radians(2 * (angle - section.direction)))


def _has_room(scale: Scale, size: float) -> bool:
    return abs(scale.radius(size) - RADIUS) <= ROOM + 4


def _picture(
    feature: FeatureFinding,
    place: int,
    station: float | None,
    section: SectionForm | None,
    scale: Scale,
    zero: str | None,
    fmt: UnitFormatter,
) -> Markup:
    cells = [cell for cell in feature.cells if cell.station == station]
    missing = [angle for at, angle in feature.missing_cells if at == station and angle is not None]
    canvas = Canvas(
        f"round-{slug(feature.ref).replace('.', '-')}-{place}",
        f"{feature.name}, {fmt.place_text(station, None) or 'no station'}, seen along its axis",
        _described(cells, missing, section, scale, fmt),
        HEIGHT,
        SIDE,
    )
    canvas.text(4, 13, fmt.station_text(station), "g-value")
    canvas.circle(CENTRE_X, CENTRE_Y, RADIUS, "g-guess")
    for end in feature.limits or ():
        if _has_room(scale, end):
            canvas.circle(CENTRE_X, CENTRE_Y, scale.radius(end), "g-limit")
    canvas.line(CENTRE_X, CENTRE_Y - RADIUS - ROOM - 8, CENTRE_X, CENTRE_Y + RADIUS + ROOM + 8, "g-centre")
    word = zero_of_angle(zero)
    canvas.text(CENTRE_X + 4, CENTRE_Y - RADIUS - ROOM - 2, f"0° {word}" if word else "0°", "g-tick g-over")
    for cell in cells:
        if cell.angle is not None:
            _reading(canvas, cell, scale)
    if section and section.direction is not None and section.ovality is not None:
        points = []
        for step in range(STEPS):
            turn = 360.0 * step / STEPS
            points.append(at_angle(CENTRE_X, CENTRE_Y, scale.radius(fitted(section, turn) or 0.0), turn))
        canvas.polygon(points, "g-outline")
    for angle in missing:
        for turn in (angle, angle + 180.0):
            x, y = at_angle(CENTRE_X, CENTRE_Y, RADIUS, turn)
            canvas.circle(x, y, 6, "g-hollow")
            canvas.text(x, y + 4, "?", anchor="middle")
    canvas.text(CENTRE_X, HEIGHT - 20, _oval(section, fmt), anchor="middle")
    canvas.text(CENTRE_X, HEIGHT - 5, _counted(cells, missing), anchor="middle")
    return canvas.markup()


def _reading(canvas: Canvas, cell: Cell, scale: Scale) -> None:
    """Both ends of a diameter that was read, each with its band of doubt."""
    inner, outer = scale.radius(cell.size - cell.expanded), scale.radius(cell.size + cell.expanded)
    for turn in ((cell.angle or 0.0), (cell.angle or 0.0) + 180.0):
        turns = [turn - HALF_BAND, turn - HALF_BAND / 2, turn, turn + HALF_BAND / 2, turn + HALF_BAND]
        band = [at_angle(CENTRE_X, CENTRE_Y, outer, at) for at in turns]
        band += [at_angle(CENTRE_X, CENTRE_Y, inner, at) for at in reversed(turns)]
        canvas.polygon(band, "g-doubt")
        canvas.circle(*at_angle(CENTRE_X, CENTRE_Y, scale.radius(cell.size), turn), 3, "g-dot")


def _oval(section: SectionForm | None, fmt: UnitFormatter) -> str:
    if section is None:
        return "not read"
    if section.ovality is None:
        return "oval: not known"
    largest = f", most at {number(section.direction, 0)}°" if section.direction is not None else " by two angles"
    return f"oval {fmt.clearance_text(section.ovality)}{largest}"


def _counted(cells: Sequence[Cell], missing: Sequence[float]) -> str:
    """How much of it was read."""
    without = sum(cell.angle is None for cell in cells)
    words = [f"{len(cells)} read"] if cells else []
    words += [f"{without} without an angle"] if without else []
    words += [f"{len(missing)} not read"] if missing else []
    return ", ".join(words)


def _described(
    cells: Sequence[Cell], missing: Sequence[float], section: SectionForm | None, scale: Scale, fmt: UnitFormatter
) -> str:
    said = [
        f"{f'{cell.angle:g}°' if cell.angle is not None else 'no angle'} {fmt.size_text(cell.size)} ± {fmt.clearance_text(cell.expanded)}"
        for cell in cells
    ]
    said += [f"{angle:g}° not read" for angle in missing]
    return f"{'; '.join(said)}. {_oval(section, fmt)}. Form drawn {number(scale.times, 0)} times as large."
