"""The pair of a fit cut through, a small picture for each temperature: its clearance drawn two hundred times as large as the parts.

The pictures of one fit have one scale, so that they can be compared. A half of the clearance lies on each side where the two
sides share it; metal that would have to give way is drawn as overlap.
"""

import math
from dataclasses import dataclass

from markupsafe import Markup

from gudgeon.assess.findings import FitFinding, Note
from gudgeon.drawing import hatching
from gudgeon.drawing.canvas import Canvas, at_angle
from gudgeon.notes import in_words
from gudgeon.records.fits import Fit
from gudgeon.records.model import Build
from gudgeon.wording import UnitFormatter, slug

TIMES = 200  # how much larger than the parts a clearance is drawn
SIDE, WALL = 112.0, 10.0  # of a picture; the least that is seen of a wall
CENTRE, TOP, BOTTOM = SIDE / 2, 4.0, SIDE - 4
RADIUS, RING, HOUSING = 42.0, 9.0, 52.0  # of a bore drawn from its end, the wall of its ring, the outside
LARGEST_GAP = 300.0  # degrees: more of a ring than that cannot be gone
KEY_LEFT, KEY_RIGHT, KEY_TOP, KEY_BOTTOM, KEY_FALL = 10.0, 102.0, 50.0, 82.0, 8.0


@dataclass(frozen=True)
class Stand:
    """A fit at one temperature. temperatures: of the outer and the inner part, °C; clearance: mm, None where it is not known."""

    name: str
    says: str
    temperatures: tuple[float, float] | None
    clearance: float | None
    expanded: float | None = None
    wanted: tuple[float, float | None] | None = None
    fails: Note | None = None


@dataclass(frozen=True)
class Picture:
    """A stand with its drawing; None where it cannot be drawn, and then why."""

    stand: Stand
    drawing: Markup | None
    scale: float | None  # units of the drawing a mm of the parts
    lacks: str = ""


def stands(fit: FitFinding, record: Fit, build: Build) -> list[Stand]:
    """How a fit stands: as it is, once the unmade half is cut, and in each of its temperature cases."""
    wanted = None if fit.want_low is None else (fit.want_low, fit.want_high)
    planned = fit.at_target is not None and fit.target is not None
    made = [Stand("as it is now", "both parts at 20 °C", (20.0, 20.0), fit.clearance, fit.expanded, wanted)]
    if planned and fit.target:
        made.append(
            Stand("cut to its stop", "both parts at 20 °C", (20.0, 20.0), fit.at_target, fit.target.expanded, wanted)
        )
    worked_out = {case.case: case for case in fit.hot}
    for name in record.hot:
        words, says = name.replace("_", " "), build.sound_head.cases[name].says or ""
        case = worked_out.get(name)
        if case is None:
            made.append(Stand(words, says, None, None))
            continue
        least, most = case.at_least_wanted, case.at_most_wanted
        made.append(
            Stand(
                words,
                says,
                (case.hole_temp, case.shaft_temp),
                case.at_target if planned and case.at_target is not None else case.now,
                case.expanded,
                None if least is None else (least, None if fit.want_high is None else most),
                case.fails,
            )
        )
    return made


def pictures(fit: FitFinding, record: Fit, build: Build, fmt: UnitFormatter) -> list[Picture]:
    """A picture for each stand of a fit, all to one scale."""
    drawn = stands(fit, record, build)
    scale, inner = _scale(fit, record, build, drawn)
    return [_picture(fit, record, build, fmt, number, stand, scale, inner) for number, stand in enumerate(drawn)]


def scale_words(fit: FitFinding, record: Fit) -> str:
    """What the pictures of a fit are drawn to."""
    called = record.of_kind.called
    if record.pairing.id == "two tapers":
        return f"What the tapers part by is drawn {TIMES} times as large as their length; the taper itself is not to scale."
    if record.pairing.id == "read gap":
        return f"The {called} alone is to scale, the same in each picture: of the parts no size is drawn."
    return f"The {called} is drawn {TIMES} times as large as the parts."


def _scale(fit: FitFinding, record: Fit, build: Build, drawn: list[Stand]) -> tuple[float | None, float | None]:
    """Units of the drawing a mm of the parts, and the size of the inner part, mm; None where they are not known."""
    most = max((greatest(stand) for stand in drawn if stand.clearance is not None), default=0.0)
    pairing = record.pairing.id
    if pairing == "ring gap":
        bore = fit.hole_at.size if fit.hole_at else None
        return (2 * RADIUS / bore if bore else None), bore
    if pairing == "read gap":
        least = max((-(stand.clearance or 0.0) for stand in drawn), default=0.0)
        room = SIDE - 2 * WALL
        return (room / (TIMES * max(most, least)) if max(most, least) > 0 else 1.0), None
    if pairing == "two tapers":
        length = build.features[record.named("bears_over")].size
        return ((KEY_RIGHT - KEY_LEFT) / length if length else None), length
    inner = fit.shaft_at.size if fit.shaft_at else None
    return ((SIDE - 2 * WALL) / (inner + TIMES * max(most, 0.0)) if inner else None), inner


def greatest(stand: Stand) -> float:
    """The most that has to find room in a picture, mm."""
    ends = [stand.clearance or 0.0, (stand.clearance or 0.0) + (stand.expanded or 0.0)]
    return max(ends + [limit for limit in stand.wanted or () if limit is not None])


def _picture(fit, record, build, fmt, number: int, stand: Stand, scale: float | None, inner: float | None) -> Picture:
    kind, clearance = record.of_kind, stand.clearance
    if clearance is not None and scale is not None and not has_room(record.pairing.id, clearance, inner):
        return Picture(stand, None, None, f"too much to draw {TIMES} times as large")
    canvas = Canvas(
        f"pair-{slug(fit.id)}-{number}",
        f"{fit.name}, {stand.name}, in section",
        described(fit, record, fmt, stand),
        SIDE,
        SIDE,
    )
    if clearance is None or scale is None:
        _unknown(canvas, record.pairing.id)
        lacks = "not measured yet" if fit.clearance is None else "not worked out"
        return Picture(stand, canvas.markup(), None, lacks)
    if record.pairing.id == "two sizes":
        assert inner is not None, "a pair of two sizes that has a clearance has both"
        with canvas.group(turned=None if kind.axis.per_side else 90, at=(CENTRE, CENTRE)):
            _walls(canvas, stand, clearance, inner, scale)
    else:
        draw_gap(canvas, record, build, stand, scale)
    if record.pairing.id == "two tapers":
        canvas.text(KEY_LEFT, KEY_BOTTOM + 16, "thick")
        canvas.text(KEY_RIGHT, KEY_BOTTOM + 16, "thin", anchor="end")
    return Picture(stand, canvas.markup(), scale)


def draw_gap(canvas: Canvas, record: Fit, build: Build, stand: Stand, scale: float) -> None:
    """A pair that has no two sizes: a ring in its bore, a key in its keyway, two faces. Its clearance is known."""
    assert stand.clearance is not None
    if record.pairing.id == "ring gap":
        _ring(canvas, stand, stand.clearance, scale)
    elif record.pairing.id == "two tapers":
        _key(canvas, stand.clearance, scale, thin_end_bears(record, build))
    else:
        _faces(canvas, stand, stand.clearance, scale)


def described(fit: FitFinding, record: Fit, fmt: UnitFormatter, stand: Stand) -> str:
    """What a picture says, in words."""
    called = record.of_kind.called
    if stand.clearance is None:
        return f"{stand.name}: not known."
    size = fmt.clearance_text(abs(stand.clearance))
    words = f"{stand.name}: {size} {called if stand.clearance >= 0 else 'interference, drawn as overlap'}"
    if stand.expanded:
        words += f", uncertain by {fmt.clearance_text(stand.expanded)} either way"
    if stand.wanted:
        words += f"; should be {fmt.range_text(*stand.wanted)}"
    if stand.fails:
        words += f"; {in_words(stand.fails, fmt)}"
    return f"{words}. {scale_words(fit, record)}"


def has_room(pairing: str, clearance: float, inner: float | None) -> bool:
    """Whether so much can be drawn so large at all."""
    if pairing == "ring gap":
        return inner is not None and math.degrees(TIMES * abs(clearance) / (inner / 2)) <= LARGEST_GAP
    if pairing == "two sizes":
        return inner is not None and TIMES * -clearance < inner * 0.9
    return pairing == "read gap" or (inner is not None and TIMES * clearance < inner * 0.4)


def _walls(canvas: Canvas, stand: Stand, clearance: float, inner: float, scale: float) -> None:
    """A hole or space and what stands in it, half of the clearance on each side."""
    metal = hatching.hatch(canvas, "outer", 45, css="g-cut")
    core = hatching.hatch(canvas, "inner", -45, gap=4.5, css="g-cut")
    half, side_of = inner * scale / 2, TIMES * scale / 2
    canvas.rect(CENTRE - half, TOP + 12, 2 * half, BOTTOM - TOP - 12, "g-section", core)
    crossed = hatching.crossed(canvas, "overlap", gap=4) if clearance < 0 else None
    for side in (-1, 1):
        face, edge = CENTRE + side * half, CENTRE + side * CENTRE
        wall = face + side * side_of * clearance
        _slab(canvas, wall, edge, TOP, BOTTOM, "g-section", metal)
        _targets(canvas, stand, lambda value, face=face, side=side: face + side * side_of * value, edge)
        if crossed:
            _slab(canvas, wall, face, TOP + 12, BOTTOM, "g-overlap", crossed)
        elif clearance > 0:
            _slab(canvas, face, wall, TOP + 12, BOTTOM, "g-gap")
        if stand.expanded:
            _slab(canvas, wall - side_of * stand.expanded, wall + side_of * stand.expanded, TOP, BOTTOM, "g-doubt")
    canvas.line(CENTRE, 0, CENTRE, SIDE, "g-centre")


def _targets(canvas: Canvas, stand: Stand, at, edge: float) -> None:
    """Where the wall should stand: a strip that leads out of the metal at the top; open to the edge where no most is wanted."""
    if stand.wanted:
        low, high = stand.wanted
        _slab(canvas, at(low), edge if high is None else at(high), TOP, TOP + 10, "g-wanted")


def _slab(canvas: Canvas, x1: float, x2: float, top: float, bottom: float, css: str, fill: str | None = None) -> None:
    canvas.rect(min(x1, x2), top, abs(x2 - x1), bottom - top, css, fill)


def face_at(least: float, scale: float) -> float:
    """Where the inner face stands, so that there is room for the least of the clearances."""
    return WALL - min(least, 0.0) * TIMES * scale


def _faces(canvas: Canvas, stand: Stand, clearance: float, scale: float) -> None:
    """A gap that is read as one, between two faces of which no size is known."""
    outer = hatching.hatch(canvas, "outer", 45, css="g-cut")
    inner = hatching.hatch(canvas, "inner", -45, gap=4.5, css="g-cut")
    face = face_at(clearance, scale)
    other = face + TIMES * scale * clearance
    _slab(canvas, 0, face, TOP + 12, BOTTOM, "g-section", inner)
    _slab(canvas, other, SIDE, TOP + 12, BOTTOM, "g-section", outer)
    _targets(canvas, stand, lambda value: face + TIMES * scale * value, SIDE)
    if clearance < 0:
        _slab(canvas, other, face, TOP + 12, BOTTOM, "g-overlap", hatching.crossed(canvas, "overlap", gap=4))
    elif clearance > 0:
        _slab(canvas, face, other, TOP + 12, BOTTOM, "g-gap")
    if stand.expanded:
        doubt = TIMES * scale * stand.expanded
        _slab(canvas, other - doubt, other + doubt, TOP, BOTTOM, "g-doubt")


def opened(length: float, scale: float) -> float:
    """Half of what an opened length takes of the circle of a ring, in degrees."""
    return math.degrees(TIMES * scale * length / RADIUS) / 2


def _ring(canvas: Canvas, stand: Stand, clearance: float, scale: float) -> None:
    """A ring in its bore, seen along the axis, with its gap at the top."""
    outer = hatching.hatch(canvas, "outer", 45, css="g-cut")
    inner = hatching.hatch(canvas, "inner", -45, gap=4.5, css="g-cut")

    def degrees(length: float) -> float:
        return opened(length, scale)

    canvas.circle(CENTRE, CENTRE, HOUSING, "g-section", outer)
    canvas.circle(CENTRE, CENTRE, RADIUS, "g-hollow")
    half = degrees(clearance)
    if clearance > 0:
        sector(canvas, half, 360 - half, "g-section", inner)
        sector(canvas, -half, half, "g-gap")
    else:
        canvas.circle(CENTRE, CENTRE, RADIUS, "g-section", inner)
        canvas.circle(CENTRE, CENTRE, RADIUS - RING, "g-hollow")
        if clearance < 0:
            sector(canvas, half, -half, "g-overlap", hatching.crossed(canvas, "overlap", gap=4))
    for side in (-1, 1):
        if stand.wanted:
            low, high = stand.wanted
            ends = side * degrees(low), side * (min(degrees(high), 170.0) if high is not None else 170.0)
            sector(canvas, min(ends), max(ends), "g-wanted", outside=RADIUS - RING - 2, wide=6.0)
        if stand.expanded:
            doubt = degrees(stand.expanded)
            sector(canvas, side * half - doubt, side * half + doubt, "g-doubt")


def sector(
    canvas: Canvas,
    first: float,
    last: float,
    css: str,
    fill: str | None = None,
    outside: float = RADIUS,
    wide: float = RING,
    **more: str,
) -> None:
    """A piece of a ring from one angle to another, clockwise from the top. more: attributes that a script reads."""
    far, inside = int(last - first > 180), outside - wide
    corners = [
        at_angle(CENTRE, CENTRE, radius, angle)
        for radius, angle in ((outside, first), (outside, last), (inside, last), (inside, first))
    ]
    (x1, y1), (x2, y2), (x3, y3), (x4, y4) = [(round(x, 2), round(y, 2)) for x, y in corners]
    canvas.add(
        "path",
        d=f"M {x1} {y1} A {outside:g} {outside:g} 0 {far} 1 {x2} {y2} "
        f"L {x3} {y3} A {inside:g} {inside:g} 0 {far} 0 {x4} {y4} Z",
        css=css,
        fill=fill,
        **more,
    )


def thin_end_bears(record: Fit, build: Build) -> bool:
    """Whether a key bears at its thin end: where the keyway closes faster than the key."""
    keyway, key = (build.features[record.named(half)].size or 0.0 for half in ("keyway", "key"))
    return keyway > key


def _key(canvas: Canvas, mismatch: float, scale: float, thin_end_bears: bool) -> None:
    """A taper key in its keyway, along its length, the thick end at the left; the keyway's roof parts from it at one end."""
    outer = hatching.hatch(canvas, "outer", 45, css="g-cut")
    inner = hatching.hatch(canvas, "inner", -45, gap=4.5, css="g-cut")
    part = TIMES * scale * mismatch
    left, right = (part, 0.0) if thin_end_bears else (0.0, part)
    roof = [(KEY_LEFT, KEY_TOP - left), (KEY_RIGHT, KEY_TOP + KEY_FALL - right)]
    key = [(KEY_LEFT, KEY_TOP), (KEY_RIGHT, KEY_TOP + KEY_FALL)]
    canvas.polygon([(KEY_LEFT, TOP), *roof, (KEY_RIGHT, TOP)], "g-section", outer)
    canvas.polygon([*key, (KEY_RIGHT, KEY_BOTTOM), (KEY_LEFT, KEY_BOTTOM)], "g-section", inner)
    if part:
        canvas.polygon([*key, *reversed(roof)], "g-gap")


def _unknown(canvas: Canvas, pairing: str) -> None:
    """The pair without a clearance: outlines alone, and a question mark."""
    if pairing == "ring gap":
        canvas.circle(CENTRE, CENTRE, HOUSING, "g-guess")
        canvas.circle(CENTRE, CENTRE, RADIUS, "g-guess")
    else:
        canvas.rect(2, TOP, 16, BOTTOM - TOP, "g-guess")
        canvas.rect(SIDE - 18, TOP, 16, BOTTOM - TOP, "g-guess")
        canvas.rect(30, TOP + 12, SIDE - 60, BOTTOM - TOP - 12, "g-guess")
    canvas.text(CENTRE, CENTRE + 8, "?", "g-lead-number", "middle")
