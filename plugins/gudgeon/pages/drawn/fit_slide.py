"""The pair of a fit with walls that a slider moves between its temperatures; what a script reads of it is put out here."""

import json
from dataclasses import dataclass
from typing import Any

from markupsafe import Markup

from gudgeon.assess.findings import FitFinding
from gudgeon.drawing import hatching
from gudgeon.drawing.canvas import Canvas
from gudgeon.pages.drawn.fit_section import (
    BOTTOM,
    CENTRE,
    HOUSING,
    RADIUS,
    RING,
    SIDE,
    TIMES,
    TOP,
    Picture,
    face_at,
    opened,
    sector,
)
from gudgeon.records.fits import Fit
from gudgeon.wording import UnitFormatter, number, slug, upper_first


@dataclass(frozen=True)
class Slide:
    """The drawing at its first stop, and the attributes of what holds it: the stops, and what a mm is in units and in the sheet."""

    drawing: Markup
    stops: str  # JSON: name, gap (mm), outer and inner (°C), said
    last: int  # the slider's value at the last stop; a hundred from one to the next
    side: str  # units of the sheet that a wall moves for each mm
    per: str  # mm of the shown unit
    unit: str
    places: int


def slide(fit: FitFinding, record: Fit, fmt: UnitFormatter, pictures: list[Picture]) -> Slide | None:
    """None where there are not two temperatures that were worked out, or no walls to move. pictures: all of a fit, the first as it is."""
    planned = [picture for picture in pictures if picture.stand.name == "cut to its stop"]
    stands = [picture for picture in pictures if picture.drawing and picture.scale]
    if planned:  # what is to be cut goes hot as it will be, not as it is
        stands = [picture for picture in stands if picture.stand is not pictures[0].stand]
    if record.pairing.id == "two tapers" or len(stands) < 2 or not stands[0].scale:
        return None
    gaps = [picture.stand.clearance or 0.0 for picture in stands]
    scale = stands[0].scale
    side = TIMES * scale / (2 if record.pairing.id == "two sizes" else 1)
    canvas = Canvas(
        f"slide-{slug(fit.id)}",
        f"{fit.name} from cold to hot",
        "The same pair as beside it, with walls that move as the slider is moved. "
        + "; ".join(_said(fmt, picture) for picture in stands),
        SIDE,
        SIDE,
    )
    if record.pairing.id == "ring gap":
        _ring(canvas, gaps[0], scale)
    elif record.pairing.id == "read gap":
        face = face_at(min(gaps), scale)
        _block(canvas, 0.0, face)
        _wall(canvas, 1, face, gaps[0], side)
    else:
        assert fit.shaft_at, "a pair of two sizes that has a clearance has both"
        half = fit.shaft_at.size * scale / 2
        with canvas.group(turned=None if record.of_kind.axis.per_side else 90, at=(CENTRE, CENTRE)):
            _block(canvas, CENTRE - half, 2 * half)
            for way in (-1, 1):
                _wall(canvas, way, CENTRE + way * half, gaps[0], side)
            canvas.line(CENTRE, 0, CENTRE, SIDE, "g-centre")
    per, unit, places = fmt.factor()
    stops = [
        {
            "name": picture.stand.name,
            "gap": picture.stand.clearance,
            "outer": (picture.stand.temperatures or (20.0, 20.0))[0],
            "inner": (picture.stand.temperatures or (20.0, 20.0))[1],
            "said": _said(fmt, picture),
        }
        for picture in stands
    ]
    return Slide(
        canvas.markup(),
        json.dumps(stops, ensure_ascii=False),
        100 * (len(stops) - 1),
        f"{side:.4f}",
        f"{per:g}",
        unit,
        places,
    )


def _block(canvas: Canvas, x: float, wide: float) -> None:
    """The half that stands still."""
    inner = hatching.hatch(canvas, "inner", -45, gap=4.5, css="g-cut")
    canvas.rect(x, TOP + 12, wide, BOTTOM - TOP - 12, "g-section", inner)


def _wall(canvas: Canvas, way: int, face: float, gap: float, side: float) -> None:
    """The half that moves, right (1) or left (-1) of a face, and the overlap there."""
    outer = hatching.hatch(canvas, f"outer{way}", 45, css="g-cut")
    wall, over = face + way * side * gap, max(-gap * side, 0.0)
    with canvas.within("g", data_wall=str(way)):
        canvas.rect(wall if way > 0 else wall - SIDE, TOP, SIDE, BOTTOM - TOP, "g-section", outer)
    canvas.add(
        "rect",
        x=face if way < 0 else face - over,
        y=TOP + 12,
        width=over,
        height=BOTTOM - TOP - 12,
        css="g-overlap",
        fill=hatching.crossed(canvas, f"overlap{way}", gap=4),
        data_overlap=str(way),
        data_face=f"{face:.2f}",
    )


def _ring(canvas: Canvas, gap: float, scale: float) -> None:
    """A ring in its bore: a script opens and closes it, by the angle that its gap takes on each side of the top."""
    canvas.circle(CENTRE, CENTRE, HOUSING, "g-section", hatching.hatch(canvas, "outer", 45, css="g-cut"))
    canvas.circle(CENTRE, CENTRE, RADIUS, "g-hollow")
    half, per = opened(gap, scale), f"{opened(1.0, scale):.4f}"
    inner = hatching.hatch(canvas, "inner", -45, gap=4.5, css="g-cut")
    open_by, lapped = max(half, 0.01), max(-half, 0.0)
    lies: dict[str, Any] = {
        "data_middle": f"{CENTRE:g}",
        "data_outside": f"{RADIUS:g}",
        "data_inside": f"{RADIUS - RING:g}",
    }
    sector(canvas, open_by, 360 - open_by, "g-section", inner, data_ring=per, **lies)
    crossed, seen = hatching.crossed(canvas, "overlap", gap=4), "visible" if lapped else "hidden"
    sector(canvas, -lapped, lapped, "g-overlap", crossed, data_lapped=per, visibility=seen, **lies)


def _said(fmt: UnitFormatter, picture: Picture) -> str:
    """A stop in words."""
    stand = picture.stand
    degrees = " / ".join(number(one, 0) for one in dict.fromkeys(stand.temperatures or (20.0,)))
    words = f"{upper_first(stand.name)}: {fmt.clearance_text(stand.clearance or 0.0)}; {degrees} °C"
    return words + ("; ✕ see above" if stand.fails else "")
