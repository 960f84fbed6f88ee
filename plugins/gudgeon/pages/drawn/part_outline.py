"""A part in outline: its surfaces by state, each with the number of its size below, dimensions, stations and the zero of the angle."""

import re
from collections.abc import Mapping
from dataclasses import dataclass

from markupsafe import Markup

from gudgeon.assess.findings import FeatureFinding
from gudgeon.drawing import legend
from gudgeon.drawing.canvas import Canvas, at_angle
from gudgeon.pages.drawn import outline_shapes
from gudgeon.pages.drawn.outline_sketch import LEFT, MIDDLE, RIGHT, Sketch
from gudgeon.records.parts import DIAMETERS, Feature, Part
from gudgeon.wording import UnitFormatter, number, slug

HEIGHT, WITHOUT_LENGTHS = 240.0, 208.0  # of the drawing; of one with no dimension along the part below it
ROUND = ("piston", "cylinder", "bush", "bearing", "pin")
END_VIEW = (312.0, 96.0, 24.0)  # x, y and radius of the view along the axis
ZERO_AT, ZERO_WIDE = 323.0, 72.0  # middle and width of the words on 0°: right of the dimension up the sheet


@dataclass(frozen=True)
class Outline:
    """The drawing; what in it no record says; what it does not show; what stations and angles are counted from."""

    drawing: Markup
    guessed: tuple[str, ...]
    left_out: tuple[str, ...]
    zero: str | None

    @property
    def scale(self) -> str:
        """How far it is to scale."""
        if outline_shapes.ALL in self.guessed:
            return "Not to scale: the records do not say the whole shape."
        if self.guessed:
            return f"To scale, but no record says {_joined(self.guessed)}: drawn as is usual."
        return "To scale; what a gauge tells apart is too small to see."


def outline(part: Part, findings: Mapping[str, FeatureFinding], fmt: UnitFormatter) -> Outline:
    """The outline of a part. findings: part.feature -> what is known of it."""
    known = {key: findings[f"{part.part}.{key}"] for key in part.features}
    measured = _measured(part)
    said = "; ".join(_said(known[key], spec, fmt) for key, spec in part.features.items())
    lengths = part.family not in ROUND or any(spec.kind == "length" for spec in part.features.values())
    height = HEIGHT if lengths else WITHOUT_LENGTHS
    canvas = Canvas(f"outline-{slug(part.part)}", f"{part.name} in outline", f"{said}.", height, links=True)
    sketch = Sketch(canvas, part.features, known, fmt)
    spec = part.features[measured] if measured else None
    angles = spec.plan.angles if spec and spec.plan and spec.kind in DIAMETERS else ()
    scale = outline_shapes.draw(sketch, part, 262.0 if angles else RIGHT - 30)
    zero = spec.plan.zero if spec and spec.plan else None
    if spec and spec.plan:
        if scale is not None:
            _stations(sketch, [float(station) for station in spec.plan.stations], scale, fmt)
        if angles and part.family in ROUND:
            _end_view(canvas, [float(angle) for angle in angles], zero)
    sketch.balloons()
    left_out = tuple(spec.name for key, spec in part.features.items() if key not in sketch.shown)
    return Outline(canvas.markup(), tuple(sketch.guessed), left_out, zero)


def zero_of_angle(zero: str | None) -> str | None:
    """What 0° is by the words of a plan: "stations from the crown; 0 deg = thrust" says thrust. None where they do not say."""
    told = re.search(r"(?<![\d.])0\s*(?:deg|°)?\s*(?:=|is)\s*(?:the |at )?([^;,.]{1,24})", zero or "")
    return told[1].strip() if told else None


def _measured(part: Part) -> str | None:
    """The feature whose stations and angles are drawn: the first that is planned at several."""
    planned = [key for key, spec in part.features.items() if spec.plan and (spec.plan.stations or spec.plan.angles)]
    return max(planned, key=lambda key: len(part.features[key].plan.stations or ()), default=None)  # pyright: ignore[reportOptionalMemberAccess]


def _said(finding: FeatureFinding, spec: Feature, fmt: UnitFormatter) -> str:
    size = f", {fmt.size_text(finding.size)} as read" if finding.size is not None else ""
    nominal = f", nominal {spec.nominal}" if spec.nominal and not size else ""
    return f"{finding.name}: {finding.state}{size}{nominal}"


def _stations(sketch: Sketch, stations: list[float], scale: float, fmt: UnitFormatter) -> None:
    """Ticks where it is measured, with their distances: within the part, or below one too slim for them."""
    canvas, last, low = sketch.canvas, -99.0, False
    slim = sketch.half < 32
    half, foot = sketch.half - (3 if slim else 14), MIDDLE + (sketch.edge + 24 if slim else sketch.half - 5)
    for station in sorted(stations):
        x = LEFT + station * scale
        low = x - last < 30 and not low
        canvas.line(x, MIDDLE - half, x, MIDDLE + half, "g-nought")
        canvas.text(x, foot - (12 if low else 0), fmt.station_text(station).split()[0], "g-tick g-over", "middle")
        last = x


def _end_view(canvas: Canvas, angles: list[float], zero: str | None) -> None:
    """The angles round it, seen along the axis from the end that stations are counted from."""
    x, y, radius = END_VIEW
    canvas.circle(x, y, radius, "g-outline")
    for angle in angles:
        for turn in (angle, angle + 180.0):
            canvas.line(*at_angle(x, y, radius - 7, turn), *at_angle(x, y, radius, turn), "g-whisker")
        to_x, to_y = at_angle(x, y, radius + 11, angle)
        canvas.text(to_x, to_y + 4, f"{number(angle, 0)}°", anchor="middle")
    word = zero_of_angle(zero)
    lines = legend.wrapped(f"0° = {word}" if word else "what 0° is, no record says", ZERO_WIDE, 4)
    for place, line in enumerate(lines):
        canvas.text(ZERO_AT, y + radius + 28 + 14 * place, line, anchor="middle")


def _joined(words: tuple[str, ...]) -> str:
    return words[0] if len(words) == 1 else f"{', '.join(words[:-1])} and {words[-1]}"
