"""The pair of a fit as it is now, large: what fits in what in outline, both sizes, the clearance two hundred times as large as the parts."""

from gudgeon.assess.findings import FitFinding
from gudgeon.drawing import dimensions, hatching
from gudgeon.drawing.canvas import WIDTH, Canvas
from gudgeon.drawing.dimensions import LETTER
from gudgeon.pages.drawn import fit_lead_gap
from gudgeon.pages.drawn.fit_section import TIMES, Picture, described, greatest, has_room
from gudgeon.records.fits import Fit
from gudgeon.records.model import Build
from gudgeon.wording import UnitFormatter, slug

PISTONS = ("skirt", "top_land")  # kinds whose inner half is drawn as a piston with its crown
GROOVES = ("ring_side",)  # kinds whose outer half is drawn as a groove with its floor
HEIGHT, WALL = 214.0, 44.0  # of the sheet; the least that is seen of a wall
DEEP = 30.0, 180.0  # between which the outer half is cut through
ACROSS, UPRIGHT = 352.0, 150.0  # room for the pair: side by side, or one above the other
STRIP = 12.0  # of the place where the face should stand


class _Frame:
    """Places of a pair by how far along its clearance and how deep: across the sheet, or up it for what lies along an axis."""

    def __init__(self, canvas: Canvas, axial: bool):
        self.canvas, self.axial = canvas, axial
        self.middle = (DEEP[0] + DEEP[1]) / 2 if axial else WIDTH / 2
        self.deep = (40.0, 300.0) if axial else DEEP
        self.edges = (DEEP[0], DEEP[1]) if axial else ((WIDTH - ACROSS) / 2, (WIDTH + ACROSS) / 2)

    def slab(self, u1: float, u2: float, v1: float, v2: float, css: str, fill: str | None = None) -> None:
        """A rectangle from u1 to u2 along the clearance and v1 to v2 deep."""
        u, wide, v, tall = min(u1, u2), abs(u2 - u1), min(v1, v2), abs(v2 - v1)
        if self.axial:
            self.canvas.rect(v, u, tall, wide, css, fill)
        else:
            self.canvas.rect(u, v, wide, tall, css, fill)

    def outline(self, points: list[tuple[float, float]], css: str, fill: str) -> None:
        """A closed outline of (u, v)."""
        self.canvas.polygon([(v, u) if self.axial else (u, v) for u, v in points], css, fill)


def picture(fit: FitFinding, record: Fit, build: Build, fmt: UnitFormatter, small: Picture) -> Picture:
    """The large picture of how a fit is now; the small one where a size is not known, or it cannot be drawn."""
    stand, kind = small.stand, record.of_kind
    if record.pairing.id != "two sizes":
        return fit_lead_gap.picture(fit, record, build, fmt, small)
    if stand.clearance is None or not fit.hole_at or not fit.shaft_at:
        return small
    inner = fit.shaft_at.size
    if not has_room("two sizes", stand.clearance, inner):
        return small
    axial = not kind.axis.per_side
    room = UPRIGHT - 24 if axial else ACROSS - 2 * WALL
    scale = room / (inner + TIMES * max(greatest(stand), 0.0))
    canvas = Canvas(
        f"pair-{slug(fit.id)}-now",
        f"{fit.name} in section",
        f"{described(fit, record, fmt, stand)} Outer half {fmt.size_text(fit.hole_at.size)}, inner half {fmt.size_text(inner)}, at 20 °C.",
        HEIGHT,
    )
    frame = _Frame(canvas, axial)
    half, side_of = inner * scale / 2, TIMES * scale / 2
    _draw(frame, small, kind.id, half, side_of)
    _sizes(frame, fit, record, fmt, half, half + side_of * stand.clearance)
    return Picture(stand, canvas.markup(), scale)


def _draw(frame: _Frame, small: Picture, kind: str, half: float, side_of: float) -> None:
    """Both halves, what lies between them, where the faces should stand and by how much they may be off."""
    canvas, stand, clearance = frame.canvas, small.stand, small.stand.clearance or 0.0
    outer = hatching.hatch(canvas, "outer", 45, css="g-cut")
    inner = hatching.hatch(canvas, "inner", -45, gap=4.5, css="g-cut")
    crossed = hatching.crossed(canvas, "overlap", gap=4) if clearance < 0 else None
    top, bottom = frame.deep
    # What fits in a bore ends inside it; a pin, a shaft or a stem goes through.
    begins, ends = (
        (top + 16, bottom) if kind in PISTONS else (top + 20, bottom - 40) if frame.axial else (top - 10, bottom + 10)
    )
    meets = (max(begins, top), min(ends, bottom))
    if kind in GROOVES:
        frame.slab(*frame.edges, top - 30, top, "g-section", outer)
    if kind in PISTONS:
        _piston(frame, half, begins, ends, inner)
    else:
        frame.slab(frame.middle - half, frame.middle + half, begins, ends, "g-section", inner)
    for side, edge in zip((-1, 1), frame.edges, strict=True):
        face = frame.middle + side * half
        wall = face + side * side_of * clearance
        frame.slab(wall, edge, top, bottom, "g-section", outer)
        if stand.wanted:
            low, high = stand.wanted
            frame.slab(
                face + side * side_of * low,
                edge if high is None else face + side * side_of * high,
                top,
                top + STRIP,
                "g-wanted",
            )
        if crossed:
            frame.slab(wall, face, *meets, "g-overlap", crossed)
        elif clearance > 0:
            frame.slab(face, wall, *meets, "g-gap")
        if stand.expanded:
            frame.slab(wall - side_of * stand.expanded, wall + side_of * stand.expanded, top, bottom, "g-doubt")
    if frame.axial:
        dimensions.centre_line(canvas, top - 34, frame.middle, bottom + 6, frame.middle)
    else:
        dimensions.centre_line(canvas, frame.middle, top - 12, frame.middle, bottom + 6)


def _piston(frame: _Frame, half: float, crown: float, foot: float, fill: str) -> None:
    """A piston from its crown down: three grooves and the pin's hole; of these no size is to scale."""
    deep, tall = min(half * 0.18, 9.0), 6.0
    right = [(half, crown)]
    for number in range(3):
        begins = crown + 9 + 12 * number
        right += [(half, begins), (half - deep, begins), (half - deep, begins + tall), (half, begins + tall)]
    right.append((half, foot))
    points = [(frame.middle + u, v) for u, v in right] + [(frame.middle - u, v) for u, v in reversed(right)]
    frame.outline(points, "g-section", fill)
    frame.canvas.circle(frame.middle, crown + (foot - crown) * 0.62, min(half * 0.3, 16.0), "g-hollow")


def _sizes(frame: _Frame, fit: FitFinding, record: Fit, fmt: UnitFormatter, half: float, wall: float) -> None:
    """The two sizes as dimensions, and the clearance with its number at the place."""
    canvas, clearance = frame.canvas, fit.clearance or 0.0
    assert fit.hole_at and fit.shaft_at, "a pair with two sizes"
    hole, shaft = fmt.size_text(fit.hole_at.size), fmt.size_text(fit.shaft_at.size)
    each = " a side" if record.of_kind.axis.per_side else " in all"
    amount = abs(clearance) / 2 if record.of_kind.axis.per_side else abs(clearance)
    gap = ("" if clearance >= 0 else "overlap ") + fmt.clearance_text(amount) + each
    at = frame.middle + (half + wall) / 2
    if frame.axial:
        dimensions.upright(canvas, 288, frame.middle - wall, frame.middle + wall, hole)
        dimensions.upright(canvas, 130, frame.middle - half, frame.middle + half, shaft)
        _pointed(canvas, gap, 200, at)
        return
    dimensions.across(canvas, frame.middle - wall, frame.middle + wall, 16, hole)
    dimensions.across(canvas, frame.middle - half, frame.middle + half, DEEP[1] - 12, shaft)
    _pointed(canvas, gap, at, DEEP[1] - 26)


def _pointed(canvas: Canvas, words: str, x: float, y: float) -> None:
    """Words at the foot with a line up to what they name."""
    wide = LETTER * 1.3 * len(words)
    begins = min(max(x - wide / 2, 2.0), WIDTH - wide - 2)
    canvas.line(x, HEIGHT - 16, x, y, "g-dimension")
    canvas.circle(x, y, 2, "g-dot")
    canvas.text(begins, HEIGHT - 4, words, "g-value g-over")
