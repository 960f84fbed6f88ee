"""The pair of a fit with walls that a slider moves between its temperatures; what a script reads of it is put out here."""

import json
from dataclasses import dataclass

from markupsafe import Markup

from gudgeon.assess.findings import FitFinding
from gudgeon.drawing import hatching
from gudgeon.drawing.canvas import Canvas
from gudgeon.pages.drawn.fit_section import BOTTOM, CENTRE, SIDE, TIMES, TOP, Picture
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
    if record.pairing.id != "two sizes" or len(stands) < 2 or not fit.shaft_at or not stands[0].scale:
        return None
    gaps = [picture.stand.clearance for picture in stands]
    scale, half = stands[0].scale, fit.shaft_at.size * stands[0].scale / 2
    side = TIMES * scale / 2
    canvas = Canvas(
        f"slide-{slug(fit.id)}",
        f"{fit.name} from cold to hot",
        "The same pair as beside it, with walls that move as the slider is moved. "
        + "; ".join(_said(fmt, picture) for picture in stands),
        SIDE,
        SIDE,
    )
    outer = hatching.hatch(canvas, "outer", 45, css="g-cut")
    inner = hatching.hatch(canvas, "inner", -45, gap=4.5, css="g-cut")
    crossed = hatching.crossed(canvas, "overlap", gap=4)
    with canvas.group(turned=None if record.of_kind.axis.per_side else 90, at=(CENTRE, CENTRE)):
        canvas.rect(CENTRE - half, TOP + 12, 2 * half, BOTTOM - TOP - 12, "g-section", inner)
        for way in (-1, 1):
            face = CENTRE + way * half
            wall = face + way * side * (gaps[0] or 0.0)
            with canvas.within("g", data_wall=str(way)):
                canvas.rect(wall if way > 0 else wall - SIDE, TOP, SIDE, BOTTOM - TOP, "g-section", outer)
            over = max(-(gaps[0] or 0.0) * side, 0.0)
            canvas.add(
                "rect",
                x=face if way < 0 else face - over,
                y=TOP + 12,
                width=over,
                height=BOTTOM - TOP - 12,
                css="g-overlap",
                fill=crossed,
                data_overlap=str(way),
                data_face=f"{face:.2f}",
            )
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


def _said(fmt: UnitFormatter, picture: Picture) -> str:
    """A stop in words."""
    stand = picture.stand
    degrees = " / ".join(number(one, 0) for one in dict.fromkeys(stand.temperatures or (20.0,)))
    words = f"{upper_first(stand.name)}: {fmt.clearance_text(stand.clearance or 0.0)}; {degrees} °C"
    return words + ("; ✕ see above" if stand.fails else "")
