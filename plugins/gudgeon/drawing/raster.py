"""A drawing of `canvas` as pixels, for what takes no SVG: outlines and grounds in shades of one ink, by the names of its styles.

Words in it are left out; what a picture has to say in words, its maker writes beside it.
"""

import math
import re
from collections.abc import Callable, Iterator
from xml.etree import ElementTree
from xml.etree.ElementTree import Element

from PIL import Image, ImageDraw

from gudgeon.drawing.canvas import Point

FINER = 2  # pixels drawn for one that is kept, each way
PAPER, INK, LINE = 255, 25, 120
# Of a style: shade of its outline, how wide that is in units of the drawing, lengths of its dashes and gaps.
_OUTLINES: dict[str, tuple[int, float, tuple[float, float] | None]] = {
    "g-guessed": (INK, 0.9, (3.0, 2.2)),
    "g-behind": (INK, 0.7, None),
    "g-part": (INK, 1.1, None),
    "g-boss": (LINE, 0.7, None),
    "g-known": (INK, 1.4, None),
    "g-guess": (INK, 0.9, (3.0, 2.2)),
    "g-spoke": (170, 2.2, None),
    "g-spring": (LINE, 0.8, None),
    "g-water": (LINE, 0.9, (7.0, 3.0)),
    "g-centre": (170, 0.9, (10.0, 3.0)),
}
_COMMAND = re.compile(r"([A-Za-z])([^A-Za-z]*)")


def shaded(drawing: str, width: int, height: int, ground: Callable[[str], int]) -> Image.Image:
    """A drawing as large as fits, in the middle of so many pixels, each of FINER times FINER dots: see `soft`.
    ground(link): the shade to fill with what leads to a link, empty where it leads nowhere."""
    root = ElementTree.fromstring(drawing)
    _, _, wide, high = (float(number) for number in root.attrib["viewBox"].split())
    scale = min(width / wide, height / high) * FINER
    picture = Image.new("L", (width * FINER, height * FINER), PAPER)
    left, top = (width * FINER - wide * scale) / 2, (height * FINER - high * scale) / 2
    painter = _Painter(picture, scale, (left, top), ground)
    for element, link, not_there in _elements(root, "", False):
        painter.paint(element, link, not_there)
    return picture


def soft(picture: Image.Image) -> Image.Image:
    """The dots of `shaded` as pixels, so that slanting edges are smooth."""
    return picture.reduce(FINER)


def _elements(within: Element, link: str, not_there: bool) -> Iterator[tuple[Element, str, bool]]:
    """All shapes in their order, where each leads to, and whether it is drawn as not there."""
    for element in within:
        if element.tag in ("g", "a"):
            led = element.get("href", link)
            yield from _elements(element, led, not_there or "g-not-there" in element.get("class", ""))
        elif element.tag not in ("title", "desc", "defs", "pattern", "text"):
            yield element, link, not_there


class _Painter:
    def __init__(self, picture: Image.Image, scale: float, origin: Point, ground: Callable[[str], int]):
        self._picture, self._draw = picture, ImageDraw.Draw(picture)
        self._scale, self._origin, self._ground = scale, origin, ground

    def paint(self, element: Element, link: str, not_there: bool) -> None:
        """One shape: its ground, then its outline."""
        styles = element.get("class", "").split()
        outlines = [self._on_picture(points) for points in _outlines(element)]
        shade = self._shade(element.get("fill"), styles, link)
        if shade is not None:
            self._fill(outlines, shade)
        style = next((_OUTLINES[name] for name in _OUTLINES if name in styles), None)
        if style is None:
            return
        tone, wide, dashes = style
        for points in outlines:
            self._line(points, LINE if not_there else tone, max(1, round(wide * self._scale)), dashes)

    def _shade(self, fill: str | None, styles: list[str], link: str) -> int | None:
        if "g-void" in styles:
            return PAPER
        return None if fill in (None, "none") else self._ground(link)

    def _on_picture(self, points: list[Point]) -> list[Point]:
        x, y = self._origin
        return [(x + u * self._scale, y + v * self._scale) for u, v in points]

    def _fill(self, outlines: list[list[Point]], shade: int) -> None:
        """What lies in one outline and not in another in it is filled: a ring keeps its hole."""
        outlines = [points for points in outlines if len(points) > 2]
        if len(outlines) == 1:
            self._draw.polygon(outlines[0], fill=shade)
        elif outlines:
            left, top = (math.floor(min(point[way] for points in outlines for point in points)) for way in (0, 1))
            right, low = (math.ceil(max(point[way] for points in outlines for point in points)) for way in (0, 1))
            mask = Image.new("1", (right - left + 1, low - top + 1))
            for number, points in enumerate(outlines):
                ImageDraw.Draw(mask).polygon([(x - left, y - top) for x, y in points], fill=int(number == 0))
            self._picture.paste(shade, (left, top), mask)

    def _line(self, points: list[Point], tone: int, wide: int, dashes: tuple[float, float] | None) -> None:
        if dashes is None:
            self._draw.line(points, fill=tone, width=wide, joint="curve")
            return
        for start, end in _dashed(points, dashes[0] * self._scale, dashes[1] * self._scale):
            self._draw.line([start, end], fill=tone, width=wide)


def _dashed(points: list[Point], long: float, gap: float) -> Iterator[tuple[Point, Point]]:
    """The dashes of a line through points."""
    along = 0.0
    for (x1, y1), (x2, y2) in zip(points, points[1:], strict=False):
        length = math.dist((x1, y1), (x2, y2))
        done = 0.0
        while done < length:
            place = along % (long + gap)
            step = min((long if place < long else long + gap) - place, length - done)
            step = max(step, 1e-3)
            if place < long:
                ends = [(x1 + (x2 - x1) * at / length, y1 + (y2 - y1) * at / length) for at in (done, done + step)]
                yield ends[0], ends[1]
            done, along = done + step, along + step


def _outlines(element: Element) -> list[list[Point]]:
    """The outlines of a shape as points; what is no shape has none."""
    number = {name: float(value) for name, value in element.attrib.items() if name in _NUMBERS}
    if element.tag == "line":
        return [[(number["x1"], number["y1"]), (number["x2"], number["y2"])]]
    if element.tag in ("polyline", "polygon"):
        points = [
            (float(x), float(y)) for x, _, y in (pair.partition(",") for pair in element.attrib["points"].split())
        ]
        return [[*points, points[0]] if element.tag == "polygon" and points else points]
    if element.tag == "rect":
        x, y, wide, high = (number.get(name, 0.0) for name in ("x", "y", "width", "height"))
        return [[(x, y), (x + wide, y), (x + wide, y + high), (x, y + high), (x, y)]]
    if element.tag == "circle":
        return [_round((number["cx"], number["cy"]), number["r"], 0.0, 2 * math.pi)]
    return _of_path(element.attrib["d"]) if element.tag == "path" else []


_NUMBERS = frozenset({"x1", "y1", "x2", "y2", "x", "y", "width", "height", "cx", "cy", "r"})


def _of_path(commands: str) -> list[list[Point]]:
    """The outlines of a path of straight lines and arcs of circles."""
    outlines: list[list[Point]] = []
    at: Point = (0.0, 0.0)
    for command, words in _COMMAND.findall(commands):
        numbers = [float(word) for word in words.replace(",", " ").split()]
        near = at if command.islower() else (0.0, 0.0)
        kind = command.upper()
        if kind == "Z":
            outlines[-1].append(outlines[-1][0])
            at = outlines[-1][0]
            continue
        for given in _groups(numbers, {"M": 2, "L": 2, "A": 7}[kind]):
            to = (near[0] + given[-2], near[1] + given[-1])
            if kind == "M":
                outlines.append([to])
            elif kind == "L":
                outlines[-1].append(to)
            else:
                outlines[-1] += _arc(at, to, given[0], bool(given[3]), bool(given[4]))
            at = to
            near = at if command.islower() else (0.0, 0.0)
    return outlines


def _groups(numbers: list[float], size: int) -> Iterator[list[float]]:
    for first in range(0, len(numbers), size):
        yield numbers[first : first + size]


def _arc(start: Point, end: Point, radius: float, far: bool, clockwise: bool) -> list[Point]:
    """Points of an arc of a circle between two points (SVG 1.1, implementation notes F.6)."""
    (x1, y1), (x2, y2) = start, end
    half = math.dist(start, end) / 2
    if half == 0 or radius == 0:
        return [end]
    radius = max(radius, half)
    off = math.sqrt(radius * radius - half * half) * (1 if far == clockwise else -1)
    middle = (x1 + x2) / 2 + off * (y1 - y2) / (2 * half) * -1, (y1 + y2) / 2 + off * (x2 - x1) / (2 * half) * -1
    first = math.atan2(y1 - middle[1], x1 - middle[0])
    turn = math.atan2(y2 - middle[1], x2 - middle[0]) - first
    turn = turn % (2 * math.pi) if clockwise else -((-turn) % (2 * math.pi))
    return _round(middle, radius, first, turn)[1:]


def _round(middle: Point, radius: float, first: float, turn: float) -> list[Point]:
    steps = max(4, math.ceil(abs(turn) / (2 * math.pi) * 72))
    return [
        (
            middle[0] + radius * math.cos(first + turn * step / steps),
            middle[1] + radius * math.sin(first + turn * step / steps),
        )
        for step in range(steps + 1)
    ]
