"""The outline of a part by its family. What no record says is guessed and told; the names of features are those of the starters."""

from gudgeon.drawing import dimensions, hatching
from gudgeon.pages.drawn.outline_sketch import BOTTOM, LEFT, MIDDLE, RIGHT, TOP, Sketch
from gudgeon.records.parts import DIAMETERS, Part

ALL = "the whole outline"
NOTHING = "any of its outline"  # guessed where no diameter and no length is known


def draw(sketch: Sketch, part: Part, right: float) -> float | None:
    """Draw it up to the x `right`; gives how many units a mm along the axis is, from the x LEFT on, or None where it has no such scale."""
    if part.family == "flywheel":
        return _flywheel(sketch, part)
    return SHAPES.get(part.family, _block)(sketch, right)


def _length(sketch: Sketch, key: str | None, round_key: str | None, guess: float) -> float:
    """How long a round part is, mm: as a record says, else as far as it is measured and a little more."""
    length = sketch.mm(key)
    if length is not None:
        return length
    spec = sketch.specs[round_key] if round_key else None
    if spec and spec.extent:
        return float(spec.extent[1])
    sketch.guess("its length")
    stations = [float(station) for station in spec.plan.stations] if spec and spec.plan else []
    return max([guess, *(1.08 * station for station in stations)])


def _piston(sketch: Sketch, right: float) -> float:
    canvas, skirt = sketch.canvas, sketch.first("skirt", "od") or sketch.first("", "od")
    across = sketch.known(skirt, 100.0, "its diameter")
    length_key = sketch.first("length", "length")
    length = _length(sketch, length_key, skirt, 1.2 * across)
    scale = min((right - LEFT) / length, (BOTTOM - TOP) / across)
    half, end = across * scale / 2, LEFT + length * scale
    sketch.half = sketch.edge = half
    canvas.rect(LEFT, MIDDLE - half, end - LEFT, 2 * half, "g-metal")
    grooves = sketch.all(r"groove\d+_w", "slot")
    root = sketch.first("groove_root", "od")
    deep = max((across - (sketch.mm(root) or across * 0.91)) * scale / 2, 4.0)
    if grooves:
        sketch.guess("where the grooves lie")
    first = end
    for place, key in enumerate(grooves):
        x = LEFT + (0.06 + 0.24 * place / max(len(grooves), 1)) * (end - LEFT)
        wide = max((sketch.mm(key) or 0.0) * scale, 5.0)
        for side in (-1, 1):
            canvas.rect(x, MIDDLE + side * half - (deep if side > 0 else 0), wide, deep, "g-hollow")
        sketch.face(key, (x, MIDDLE - half, x + wide, MIDDLE - half), (x, MIDDLE + half, x + wide, MIDDLE + half))
        if place == 0:
            sketch.face(root, (x, MIDDLE - half + deep, x + wide, MIDDLE - half + deep))
        first = x if place == 0 else first
        last = x + wide
    top = MIDDLE - half
    land = sketch.first("land1", "od")
    begin = last if grooves else LEFT + (0.1 * (end - LEFT) if land else 0.0)
    stop = first if grooves else begin
    sketch.face(land, (LEFT, top, stop, top), (LEFT, MIDDLE + half, stop, MIDDLE + half))
    sketch.face(skirt, (begin, top, end, top), (begin, MIDDLE + half, end, MIDDLE + half))
    height, pin = sketch.first("comp_h", "length"), sketch.first("pin_bore", "bore")
    if pin:
        far = sketch.known(height, 0.55 * length, "where the pin lies")
        sketch.hole(pin, LEFT + far * scale, MIDDLE, max((sketch.mm(pin) or across * 0.2) * scale / 2, 5.0))
        sketch.across(height, LEFT, LEFT + far * scale, BOTTOM + 22)
    sketch.across(length_key, LEFT, end, BOTTOM + 42)
    dimensions.centre_line(canvas, LEFT - 10, MIDDLE, end + 8, MIDDLE)
    if skirt:
        sketch.upright(skirt, end + 7, MIDDLE - half, MIDDLE + half)
    return scale


def _hollow(sketch: Sketch, right: float) -> float:
    """A cylinder, liner, bush or bearing, cut along its axis."""
    canvas, bore = sketch.canvas, sketch.first("(?:.*_)?bore", "bore") or sketch.first("", "bore")
    outside, wall_key = sketch.first("od|.*outside", "od"), sketch.first("wall", "length", "thickness")
    inner = sketch.known(bore, 80.0, "its bore")
    wall = sketch.mm(wall_key)
    if wall is None and (outer := sketch.mm(outside)) and outer > inner:
        wall = (outer - inner) / 2
    if wall is None:
        sketch.guess("its wall")
        wall = inner * 0.14
    length_key = sketch.first("length", "length")
    length = _length(sketch, length_key, bore, 1.3 * inner)
    scale = min((right - LEFT) / length, (BOTTOM - TOP) / (inner + 2 * wall))
    half, thick, end = inner * scale / 2, max(wall * scale, 4.0), LEFT + length * scale
    metal = hatching.hatch(canvas, "metal", 45, css="g-cut")
    for y in (MIDDLE - half - thick, MIDDLE + half):
        canvas.rect(LEFT, y, end - LEFT, thick, "g-section", metal)
    sketch.face(bore, (LEFT, MIDDLE - half, end, MIDDLE - half), (LEFT, MIDDLE + half, end, MIDDLE + half))
    edge = half + thick
    sketch.half, sketch.edge = half, edge
    quarter = LEFT + (end - LEFT) * 0.75
    if outside:
        sketch.face(outside, (LEFT, MIDDLE - edge, end, MIDDLE - edge), (LEFT, MIDDLE + edge, end, MIDDLE + edge))
        sketch.anchors[outside] = (quarter, MIDDLE - edge)
    if wall_key:
        sketch.face(wall_key, (LEFT, MIDDLE - edge, LEFT, MIDDLE - half))
    dimensions.centre_line(canvas, LEFT - 10, MIDDLE, end + 8, MIDDLE)
    if bore:
        sketch.upright(bore, end + 7, MIDDLE - half, MIDDLE + half)
    sketch.across(length_key, LEFT, end, BOTTOM + 42)
    return scale


def _pin(sketch: Sketch, right: float) -> float:
    key = sketch.first("", "od")
    across, length_key = sketch.known(key, 20.0, "its diameter"), sketch.first("length|len", "length")
    length = _length(sketch, length_key, key, 3.2 * across)
    scale = min((right - LEFT) / length, (BOTTOM - TOP) / across)
    half, end = across * scale / 2, LEFT + length * scale
    sketch.half = sketch.edge = half
    sketch.canvas.rect(LEFT, MIDDLE - half, end - LEFT, 2 * half, "g-metal")
    sketch.face(key, (LEFT, MIDDLE - half, end, MIDDLE - half), (LEFT, MIDDLE + half, end, MIDDLE + half))
    dimensions.centre_line(sketch.canvas, LEFT - 10, MIDDLE, end + 8, MIDDLE)
    if key:
        sketch.upright(key, end + 7, MIDDLE - half, MIDDLE + half)
    sketch.across(length_key, LEFT, end, BOTTOM + 42)
    return scale


def _crankshaft(sketch: Sketch, right: float) -> None:
    """Journals and seats in the order of the records, the pin between two webs; nothing to scale."""
    sketch.guess(ALL)
    canvas, pin = sketch.canvas, sketch.first("crankpin$|pin", "od")
    mains, seats = sketch.all("main", "od"), sketch.all("(?!main|crankpin|pin)", "od")
    row = [*seats[:1], *mains[:1]], [*mains[1:], *seats[1:]]
    low, high, thick = MIDDLE + 26, MIDDLE - 26, 13.0
    webs = LEFT + 100, LEFT + 190
    for keys, begin, end in ((row[0], LEFT, webs[0]), (row[1], webs[1] + 18, LEFT + 300)):
        step = (end - begin) / max(len(keys), 1)
        for place, key in enumerate(keys or [None]):
            x, deep = begin + place * step, thick - (2 if key in seats else 0)
            canvas.rect(x, low - deep, step, 2 * deep, "g-metal")
            sketch.face(key, (x, low - deep, x + step, low - deep), (x, low + deep, x + step, low + deep))
    for x in webs:
        canvas.rect(x, high - 22, 18, low - high + 44, "g-metal")
    begin, end = webs[0] + 18, webs[1]
    canvas.rect(begin, high - thick, end - begin, 2 * thick, "g-metal")
    sketch.face(pin, (begin, high - thick, end, high - thick), (begin, high + thick, end, high + thick))
    dimensions.centre_line(canvas, LEFT - 10, low, LEFT + 312, low)
    dimensions.centre_line(canvas, begin - 24, high, end + 24, high)
    throw = sketch.first("throw", "radius")
    if throw:
        dimensions.upright(canvas, end - 12, high, low, "")
        canvas.text((begin + end) / 2, BOTTOM + 18, sketch.words(throw), "g-tick g-over", "middle")
        sketch.shown.add(throw)
    sketch.across(sketch.first("crankpin_length", "length"), begin, end, BOTTOM + 36)


def _ring(sketch: Sketch, right: float) -> None:
    """A ring seen along its axis, and its section."""
    sketch.guess(ALL)
    canvas, x, radius = sketch.canvas, LEFT + 70, 60.0
    canvas.arc(x, MIDDLE, radius, 6, 354, "g-outline")
    canvas.arc(x, MIDDLE, radius - 12, 7, 353, "g-outline")
    free = sketch.first("free_gap", "gap")
    gap = sketch.first("gap", "gap")
    sketch.face(gap, (x - 6, MIDDLE - radius + 6, x + 6, MIDDLE - radius + 6))
    left, wide, tall = LEFT + 200, 70.0, 54.0
    canvas.rect(left, MIDDLE - tall / 2, wide, tall, "g-section", hatching.hatch(canvas, "metal", 45, css="g-cut"))
    width, wall = sketch.first("width", "thickness"), sketch.first("wall", "thickness")
    if wall:
        sketch.face(wall, (left, MIDDLE - tall / 2, left + wide, MIDDLE - tall / 2))
        canvas.text(left + wide / 2, MIDDLE + tall / 2 + 18, sketch.words(wall), "g-tick g-over", "middle")
    if width:
        sketch.face(width, (left + wide, MIDDLE - tall / 2, left + wide, MIDDLE + tall / 2))
        canvas.text(left + wide / 2, MIDDLE + tall / 2 + 34, sketch.words(width), "g-tick g-over", "middle")
    lines = [key for key in (gap, free) if key]
    for place, key in enumerate(lines):
        canvas.text(x, BOTTOM + 18 + 16 * place, f"{sketch.words(key)}", "g-tick g-over", "middle")
        sketch.shown.add(key)


def _rod(sketch: Sketch, right: float) -> None:
    sketch.guess(ALL)
    canvas, small, big = sketch.canvas, (LEFT + 40, 24.0), (LEFT + 250, 42.0)
    canvas.polygon(
        [(small[0], MIDDLE - 12), (big[0], MIDDLE - 18), (big[0], MIDDLE + 18), (small[0], MIDDLE + 12)], "g-metal"
    )
    for (x, radius), pattern, kinds in ((small, "small_eye", ("bore",)), (big, "(?!small)", ("bore", "od"))):
        canvas.circle(x, MIDDLE, radius, "g-metal")
        canvas.circle(x, MIDDLE, radius * 0.62, "g-hollow")
        key = sketch.first(pattern, *kinds)
        sketch.hole(key, x, MIDDLE, radius * 0.62 if key and sketch.specs[key].kind == "bore" else radius)
        dimensions.centre_line(canvas, x, MIDDLE - radius - 8, x, MIDDLE + radius + 8)
    dimensions.centre_line(canvas, LEFT - 4, MIDDLE, RIGHT - 10, MIDDLE)
    sketch.across(sketch.first("centres", "length"), small[0], big[0], BOTTOM + 20)


def _valve(sketch: Sketch, right: float) -> None:
    sketch.guess(ALL)
    canvas, head = sketch.canvas, LEFT + 250
    canvas.polygon(
        [(head, MIDDLE - 9), (head + 26, MIDDLE - 48), (head + 26, MIDDLE + 48), (head, MIDDLE + 9)], "g-metal"
    )
    canvas.rect(head + 26, MIDDLE - 48, 8, 96, "g-metal")
    canvas.rect(LEFT, MIDDLE - 9, head - LEFT, 18, "g-metal")
    stem = sketch.first("stem", "od") or sketch.first("", "od")
    sketch.face(stem, (LEFT, MIDDLE - 9, head, MIDDLE - 9), (LEFT, MIDDLE + 9, head, MIDDLE + 9))
    if stem:
        canvas.text((LEFT + head) / 2, MIDDLE + 32, sketch.words(stem), "g-tick g-over", "middle")
    dimensions.centre_line(canvas, LEFT - 10, MIDDLE, head + 46, MIDDLE)


def _flywheel(sketch: Sketch, part: Part) -> None:
    """Seen along the shaft, its diameters to scale where they are known."""
    canvas, x, radius = sketch.canvas, 150.0, (BOTTOM - TOP) / 2
    rim, bore, hub, depth = (
        sketch.first(pattern, *kinds)
        for pattern, kinds in (
            ("rim_od", ("od",)),
            ("bore", ("bore",)),
            ("hub_od", ("od",)),
            ("rim_depth", ("length",)),
        )
    )
    across = sketch.known(rim, 600.0, "its diameter")
    scale = 2 * radius / across
    canvas.circle(x, MIDDLE, radius, "g-metal")
    inside = radius - max(sketch.known(depth, 0.1 * across, "the depth of its rim") * scale, 3.0)
    hub_radius = max(sketch.known(hub, 0.2 * across, "its hub") * scale / 2, 6.0)
    if part.spokes:
        canvas.circle(x, MIDDLE, inside, "g-hollow")
        for spoke in range(part.spokes):
            with canvas.group(turned=360.0 * spoke / part.spokes, at=(x, MIDDLE)):
                canvas.rect(x - 4, MIDDLE - inside, 8, inside, "g-metal")
    elif part.spokes is None:
        sketch.guess("its spokes")
        canvas.circle(x, MIDDLE, inside, "g-guess")
    canvas.circle(x, MIDDLE, hub_radius, "g-metal")
    hole = max(sketch.known(bore, 0.08 * across, "its bore") * scale / 2, 3.0)
    canvas.circle(x, MIDDLE, hole, "g-hollow")
    keyway = sketch.first("key", "taper", "slot")
    sketch.face(keyway, (x - 2, MIDDLE - hole, x + 2, MIDDLE - hole))
    sketch.hole(bore, x, MIDDLE, hole)
    sketch.hole(hub, x, MIDDLE, hub_radius)
    sketch.hole(rim, x, MIDDLE, radius)
    if depth:
        sketch.face(depth, (x + inside, MIDDLE, x + radius, MIDDLE))
    for place, key in enumerate(key for key in (rim, bore, depth) if key):
        canvas.text(x + radius + 12, MIDDLE - 10 + 18 * place, sketch.words(key))


def _key(sketch: Sketch, right: float) -> None:
    sketch.guess(ALL)
    canvas, end = sketch.canvas, LEFT + 290
    canvas.polygon(
        [
            (LEFT, MIDDLE - 44),
            (LEFT + 34, MIDDLE - 44),
            (LEFT + 34, MIDDLE - 20),
            (end, MIDDLE - 4),
            (end, MIDDLE + 24),
            (LEFT, MIDDLE + 24),
        ],
        "g-metal",
    )
    taper = sketch.first("", "taper")
    sketch.face(taper, (LEFT + 34, MIDDLE - 20, end, MIDDLE - 4))
    width = sketch.first("width", "thickness")
    sketch.face(width, (end, MIDDLE - 4, end, MIDDLE + 24))
    for place, key in enumerate(key for key in (taper, width) if key):
        canvas.text(LEFT + 60, MIDDLE + 10 + 16 * place, sketch.words(key))
    sketch.across(sketch.first("len", "length"), LEFT + 34, end, BOTTOM)


def _head(sketch: Sketch, right: float) -> None:
    sketch.guess(ALL)
    canvas = sketch.canvas
    canvas.rect(LEFT, MIDDLE - 40, RIGHT - LEFT, 80, "g-section", hatching.hatch(canvas, "metal", 45, css="g-cut"))
    bores = sketch.all("", "bore")
    for place, key in enumerate(bores):
        x = LEFT + (RIGHT - LEFT) * (place + 1) / (len(bores) + 1)
        canvas.rect(x - 8, MIDDLE - 48, 16, 88, "g-hollow")
        sketch.face(key, (x - 8, MIDDLE - 48, x - 8, MIDDLE + 40), (x + 8, MIDDLE - 48, x + 8, MIDDLE + 40))
        sketch.anchors[key] = (x - 8, MIDDLE - 20)
        canvas.text(x, MIDDLE + 60 + 16 * (place % 2), sketch.words(key), "g-tick g-over", "middle")
    sketch.face(sketch.first("", "flat"), (LEFT, MIDDLE + 40, RIGHT, MIDDLE + 40))


def _block(sketch: Sketch, right: float) -> None:
    """A family without an outline of its own: round where a diameter is known, else a plain block that says so."""
    if sketch.first("", *DIAMETERS):
        shape = _hollow if sketch.first("", "bore") else _pin
        shape(sketch, right)
        return
    sketch.guess(ALL)
    sketch.guess(NOTHING)
    sketch.canvas.rect(LEFT, MIDDLE - 40, RIGHT - LEFT, 80, "g-guess")
    sketch.canvas.text((LEFT + RIGHT) / 2, MIDDLE + 4, "no outline: no diameter or length is known", anchor="middle")


SHAPES = {
    "piston": _piston,
    "cylinder": _hollow,
    "bush": _hollow,
    "bearing": _hollow,
    "pin": _pin,
    "crankshaft": _crankshaft,
    "ring": _ring,
    "rod": _rod,
    "valve": _valve,
    "key": _key,
    "head": _head,
}
