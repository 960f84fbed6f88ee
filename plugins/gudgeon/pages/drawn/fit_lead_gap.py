"""The pair of a fit that has no two sizes, large: a ring in its bore, a key in its keyway, two faces; with its numbers beside it."""

from gudgeon.assess.findings import FitFinding
from gudgeon.drawing import dimensions
from gudgeon.drawing.canvas import Canvas, Point, at_angle
from gudgeon.pages.drawn.fit_section import (
    CENTRE,
    KEY_BOTTOM,
    KEY_FALL,
    KEY_LEFT,
    KEY_RIGHT,
    KEY_TOP,
    RADIUS,
    RING,
    TIMES,
    Picture,
    described,
    draw_gap,
    face_at,
    opened,
    thin_end_bears,
)
from gudgeon.records.fits import Fit
from gudgeon.records.model import Build
from gudgeon.wording import UnitFormatter, slug

ZOOM, LEFT, TOP = 1.85, 2.0, 3.0  # how much larger than the small picture, and where its corner lies
HEIGHT, WORDS = 214.0, 226.0  # of the sheet; x of the words beside the pair
LINE = 16.0


def picture(fit: FitFinding, record: Fit, build: Build, fmt: UnitFormatter, small: Picture) -> Picture:
    """The large picture; the small one where nothing is known, or where it has no room."""
    stand = small.stand
    if stand.clearance is None or small.scale is None:
        return small
    canvas = Canvas(f"pair-{slug(fit.id)}-now", f"{fit.name} in section", described(fit, record, fmt, stand), HEIGHT)
    with canvas.within("g", css="g-zoomed", transform=f"translate({LEFT:g} {TOP:g}) scale({ZOOM:g})"):
        draw_gap(canvas, record, build, stand, small.scale)
    size = fmt.clearance_text(abs(stand.clearance))
    at = _gap_at(record, build, stand.clearance, small.scale)
    canvas.line(WORDS - 3, 16, *at, "g-dimension")
    canvas.circle(*at, 2, "g-dot")
    canvas.text(WORDS, 20, size, "g-value g-over")
    beside = [record.of_kind.called if stand.clearance >= 0 else "overlap"]
    beside += [f"± {fmt.clearance_text(stand.expanded)}"] if stand.expanded else []
    if stated := record.of_kind.stated:
        beside += ["should be", stated.wants]
    elif stand.wanted:
        beside += ["should have", fmt.range_text(*stand.wanted)]
    beside += _of_parts(canvas, fit, record, build, fmt)
    for line, said in enumerate(beside):
        canvas.text(WORDS, 20 + LINE * (line + 1), said)
    return Picture(stand, canvas.markup(), small.scale * ZOOM)


def _on_sheet(x: float, y: float) -> Point:
    return LEFT + ZOOM * x, TOP + ZOOM * y


def _gap_at(record: Fit, build: Build, clearance: float, scale: float) -> Point:
    """The middle of the clearance as it is drawn."""
    if record.pairing.id == "ring gap":
        # At its right end, so that the line to it crosses no metal of the ring.
        return _on_sheet(*at_angle(CENTRE, CENTRE, RADIUS - RING / 2, max(opened(clearance, scale), 0.0) / 2))
    part = TIMES * scale * clearance
    if record.pairing.id == "two tapers":
        thick = thin_end_bears(record, build)
        return (
            _on_sheet(KEY_LEFT + 2, KEY_TOP - part / 2)
            if thick
            else _on_sheet(KEY_RIGHT - 2, KEY_TOP + KEY_FALL - part / 2)
        )
    return _on_sheet(face_at(clearance, scale) + part / 2, CENTRE)


def _of_parts(canvas: Canvas, fit: FitFinding, record: Fit, build: Build, fmt: UnitFormatter) -> list[str]:
    """What of the parts is to be said: dimensions are drawn, the rest is given as lines of words."""
    if record.pairing.id == "ring gap" and fit.hole_at:
        x1, y = _on_sheet(CENTRE - RADIUS, CENTRE)
        x2, _ = _on_sheet(CENTRE + RADIUS, CENTRE)
        dimensions.across(canvas, x1, x2, y, f"bore {fmt.size_text(fit.hole_at.size)}")
    if record.pairing.id != "two tapers":
        return []
    x1, y = _on_sheet(KEY_LEFT, KEY_BOTTOM)
    x2, _ = _on_sheet(KEY_RIGHT, KEY_BOTTOM)
    canvas.text(x1, y + 15, "thick")
    canvas.text(x2, y + 15, "thin", anchor="end")
    length = build.features[record.named("bears_over")].nominal
    if length:
        dimensions.across(canvas, x1, x2, y + 36, f"bears over {length}")
    keyway, key = (build.features[record.named(half)].nominal for half in ("keyway", "key"))
    return [f"keyway {keyway or 'not written'}", f"key {key or 'not written'}"]
