"""An engine cut along its cylinder, each of its parts in its state and a link to its page."""

import math
from collections import Counter
from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass

from markupsafe import Markup

from gudgeon.drawing import legend, scales
from gudgeon.drawing.canvas import Canvas, Point
from gudgeon.pages.drawn.engine_layout import Layout, layout_of
from gudgeon.pages.drawn.engine_shapes import Shapes
from gudgeon.pages.drawn.states import States
from gudgeon.pages.part_states import WORST_FIRST
from gudgeon.records.model import Build
from gudgeon.wording import MARKS, state_count

WIDTH, MARGIN = 360.0, 5.0
FLAT, TALL, BESIDE = (
    190.0,
    270.0,
    196.0,
)  # height of a flat and of a tall engine; how wide a tall one may be beside its key
KEY_TOP, LINE, BALLOON, APART = (
    13.0,
    16.0,
    7.2,
    16.5,
)  # of the key; radius of a balloon; middles of two balloons at least
# From the farthest to the nearest.
DRAWN = ("flywheel", "base", "cylinder", "liner", "head", "valve", "piston", "ring", "crank", "main", "rod", "bearing", "bush", "pin")  # fmt: skip
ALWAYS = ("cylinder", "head", "piston", "crank", "rod", "pin", "base")


@dataclass(frozen=True)
class Engine:
    """The drawing of an engine, or why there is none. shown: the parts that it shows, numbered from 1; others: those that it
    does not. upright: the key stands in the drawing. guessed: some of it no record says. how_it_stands: whether
    the records say that. patterns: what they mean, with counts."""

    drawing: Markup | None
    lacks: str | None
    shown: list[str]
    others: list[str]
    upright: bool = False
    guessed: bool = False
    patterns: Markup | None = None
    how_it_stands: bool = True


def engine(
    build: Build, states: Mapping[str, str], id: str, link: Callable[[str], str] | None, small: bool = False
) -> Engine:
    """The engine of a build. states: of its parts; id: of the drawing; link(part): its page, None for a picture without links.
    small: without numbers, key and patterns."""
    layout = layout_of(build)
    if isinstance(layout, str):
        return Engine(None, layout, [], list(build.parts))
    shown = layout.shown()
    others = [part for part in build.parts if part not in shown]
    drawing = _drawn(build, layout, states, id, link, small)
    patterns = None if small else _legend(build, states, id)
    return Engine(drawing, None, shown, others, layout.upright, bool(layout.guessed), patterns, layout.how_it_stands)


def described(build: Build, layout: Layout, states: Mapping[str, str]) -> str:
    """What the picture says, in words."""
    head = build.sound_head.engine
    words = [f"{head.layout}. Cut along the cylinder, {layout.past_top:g} degrees past top dead centre."]
    for name, size in (("Bore", head.bore), ("stroke", head.stroke), ("rod between centres", head.rod_centres)):
        words += [f"{name} {size}."] if size else []
    words += [f"{build.parts[part].name}: {states[part]}." for part in layout.shown()]
    words += ["What is dashed is drawn in usual proportion, its size is not in the records."] if layout.guessed else []
    return " ".join(words)


def _drawn(build: Build, layout: Layout, states, id: str, link, small: bool) -> Markup:
    u1, u2, v1, v2 = _extent(layout)
    wide, high = (v2 - v1, u2 - u1) if layout.upright else (u2 - u1, v2 - v1)
    room = (WIDTH if small or not layout.upright else BESIDE) - 2 * MARGIN
    scale = min(room / wide, (TALL if layout.upright else FLAT) / high)
    tall = high * scale
    shown = layout.shown()
    numbers = {part: number for number, part in enumerate(shown, 1)}
    keyed = layout.upright and not small
    height = tall + 2 * MARGIN
    if keyed:
        height = max(height, KEY_TOP + len(shown) * LINE)
    left = (WIDTH - wide * scale) / 2 if small or not layout.upright else MARGIN
    middle = (left - v1 * scale, MARGIN + u2 * scale) if layout.upright else (left - u1 * scale, MARGIN + v2 * scale)
    canvas = Canvas(
        id, f"{build.sound_head.name} in section", described(build, layout, states), height, links=link is not None
    )
    looks = States(canvas)
    fills = {state: looks.fill(state) for state in _worst(states[part] for part in shown)}
    shapes = Shapes(canvas, layout, middle, scale)
    balloons = {} if small else _balloons(shapes, numbers)
    _centre_lines(canvas, shapes)
    for role in DRAWN:
        parts = layout.roles[role]
        if not parts and (role in ALWAYS or role == "flywheel" and layout["flywheel"]):
            with canvas.group("g-not-there"):
                shapes.draw(role, 0, 1, "none")
        for number, part in enumerate(parts):
            if link is None:
                shapes.draw(role, number, len(parts), fills[states[part]])
                continue
            name = build.parts[part].name
            # What it is called begins as what is seen of it: the number, and beside a tall engine the name.
            with canvas.link(link(part), f"{numbers[part]} {name}: {states[part]}", "g-of-engine"):
                shapes.draw(role, number, len(parts), fills[states[part]])
                if part in balloons:
                    _numbered(canvas, balloons[part], numbers[part])
                if keyed:
                    _name_in_key(canvas, numbers[part], name)
            if keyed:
                _mark_in_key(canvas, numbers[part], states[part])
    return canvas.markup()


def _worst(states: Iterable[str]) -> list[str]:
    there = set(states)
    return [state for state in WORST_FIRST if state in there]


def _legend(build: Build, states: Mapping[str, str], id: str) -> Markup | None:
    """What the patterns mean, and how many parts stand so."""
    counts = Counter(states[part] for part in build.parts)
    said = [state_count(state, counts[state]) for state in _worst(counts)]
    if not said:
        return None
    canvas = Canvas(f"{id}-states", "Parts by state", ", ".join(said), _legend_height(counts))
    looks = States(canvas)
    legend.legend(
        canvas,
        [("g-part", looks.fill(state), words) for state, words in zip(_worst(counts), said, strict=True)],
        MARGIN,
        4,
    )
    return canvas.markup()


def _legend_height(counts: Mapping[str, int]) -> float:
    """As `legend.legend` lays it out."""
    at, lines = MARGIN, 1
    for state in _worst(counts):
        wide = legend.BOX + 5 + legend.LETTER * len(state_count(state, counts[state])) + 12
        if at > MARGIN and at + wide > WIDTH - 4:
            at, lines = MARGIN, lines + 1
        at += wide
    return 10 + lines * (legend.LINE + 2)


def _extent(layout: Layout) -> tuple[float, float, float, float]:
    """Least and most u, least and most v of all that is drawn."""
    across = max(layout.radius, layout.outside + 0.3 * layout.bore)
    hopper = layout.outside + 1.2 * layout.bore if layout.cooling == "hopper" and not layout.upright else 0.0
    return -layout.radius, layout.top, -across, max(across, hopper)


def _centre_lines(canvas: Canvas, shapes: Shapes) -> None:
    layout = shapes.layout
    canvas.line(*shapes.at(-layout["journal"], 0), *shapes.at(layout.top, 0), "g-centre")
    canvas.line(*shapes.at(0, -layout.throw * 1.2), *shapes.at(0, layout.throw * 1.2), "g-centre")


def _balloons(shapes: Shapes, numbers: Mapping[str, int]) -> dict[str, tuple[Point, Point]]:
    """Where the number of each part stands, and the place of the part that it is of: beside what it is of, clear of one another."""
    layout = shapes.layout
    (along, across), pin, scale = layout.crankpin, layout.pin, shapes.scale
    beside = (layout.outside + 0.34 * layout.bore) * scale + BALLOON + 4
    crown = pin + layout["pin to crown"]
    turned = math.hypot(along, across)
    ux, vx = along / turned, across / turned
    out = layout["big end"] / 2 * scale + BALLOON + 4
    # (u, v) of the part, and where its number stands: under the cylinder, over it, beside its end, off the crank, on the part.
    anchors: dict[str, tuple[float, float, str]] = {}
    for role, parts in layout.roles.items():
        for number, part in enumerate(parts):
            turn = math.radians(125 + 40 * number)
            rim = layout["flywheel"] / 2 - layout.sizes.get("rim", 0.0) / 2
            anchors[part] = {
                "head": (layout.face + layout["head"] / 2, -layout.outside * 0.9, "under"),
                "valve": (layout.top - layout["stem"] / 3, shapes.valve_at(number, len(parts)), "end"),
                "cylinder": (layout.face - layout["barrel"] * 0.95, -layout.outside + layout["wall"] / 2, "under"),
                "liner": (layout.face - layout["barrel"] * 0.85, layout.bore / 2 + layout["liner"] / 2, "over"),
                "ring": (shapes.ring_at(number), layout.bore / 2, "over"),
                "piston": (crown - layout["piston"] * 0.9, layout.bore / 2 * 0.9, "over"),
                "pin": (pin, 0.0, "under"),
                "bush": (pin - (layout["pin"] + layout["bush"]) / 4, 0.0, "under"),
                "rod": (along + (pin - along) * 0.45, across * 0.55, "on"),
                "bearing": (along + ux * layout["crankpin"] * 0.56, across + vx * layout["crankpin"] * 0.56, "off"),
                "crank": (-ux * layout["journal"] * 0.7, -vx * layout["journal"] * 0.7, "off"),
                "main": (-layout["main"] * 0.4, (number + 0.5 - len(parts) / 2) * layout["main"] * 0.4, "crank"),
                "flywheel": (rim * math.cos(turn), rim * math.sin(turn), "on"),
                "base": (layout.throw * 1.5, -layout.outside - 0.16 * layout.bore, "on"),
            }[role]
    placed: dict[str, tuple[Point, Point]] = {}
    for rail in ("under", "over", "end", "crank", "off", "on"):
        there = [part for part in numbers if anchors[part][2] == rail]
        moved = scales.apart([anchors[part][0] * scale for part in there], APART)
        for place, part in enumerate(there):
            u, v, _ = anchors[part]
            at = (u, v)
            if rail in ("under", "over"):
                at = (moved[place] / scale, (beside if rail == "over" else -beside) / scale)
            elif rail == "end":
                at = (u, v + (1 if v >= 0 else -1) * (BALLOON + 7) / scale)
            elif rail == "crank":
                at = (u - (BALLOON + 20) / scale, v + (place - (len(there) - 1) / 2) * APART / scale)
            elif rail == "off":
                way = 1 if part in layout.roles["bearing"] else -1
                reach = out if way > 0 else layout["main"] / 2 * scale + BALLOON + 12
                middle = (along, across) if way > 0 else (0.0, 0.0)
                at = (middle[0] + way * ux * reach / scale, middle[1] + way * vx * reach / scale)
            placed[part] = (shapes.at(*at), shapes.at(u, v))
    return placed


def _numbered(canvas: Canvas, balloon: tuple[Point, Point], number: int) -> None:
    (x, y), (to_x, to_y) = balloon
    if (x, y) != (to_x, to_y):
        canvas.line(x, y, to_x, to_y, "g-leader")
        canvas.circle(to_x, to_y, 1.6, "g-dot")
    canvas.circle(x, y, BALLOON, "g-balloon")
    canvas.text(x, y + 4, str(number), "g-tick g-plain", "middle")


def _name_in_key(canvas: Canvas, number: int, name: str) -> None:
    """The name of a part in the key beside a tall engine."""
    x, y = BESIDE + 4, KEY_TOP + (number - 1) * LINE
    wide = WIDTH - MARGIN - x - 32
    canvas.rect(x - 2, y - 11, wide + 34, LINE, "g-target")
    canvas.text(x + 32, y, " " + legend.wrapped(name, wide, 1)[0], "g-tick")


def _mark_in_key(canvas: Canvas, number: int, state: str) -> None:
    """The number of a part in the key, and the mark of its state."""
    x, y = BESIDE + 4, KEY_TOP + (number - 1) * LINE
    canvas.text(x + 28, y, f"{number} {MARKS[state]}", f"g-tick g-plain g-mark g-{state.replace(' ', '-')}", "end")
