"""A sheet of SVG to draw on. All words are escaped here and nowhere else, by the standard library's XML writer.

Lengths are units of the drawing, x to the right and y down; a sheet is 360 wide unless it says so, which is what a phone
shows at about full size, so that letters of 11.5 units can be read there. Colours come from the page's style sheet by
classes, so that a drawing reads light, dark and printed; what a colour means is said by pattern, shape or word as well.
"""

import math
from collections.abc import Iterable, Iterator
from contextlib import contextmanager
from xml.etree import ElementTree

from markupsafe import Markup

WIDTH = 360.0
Point = tuple[float, float]


class Canvas:
    """One drawing with its name and its description in words.

    id: unlike any other id of the page. described: what the drawing says, with its numbers, for who does not see it.
    links: whether it holds links; a picture without any is one thing to a screen reader, one with links a group of them.
    """

    def __init__(
        self,
        id: str,
        title: str,
        described: str,
        height: float,
        width: float = WIDTH,
        links: bool = False,
        css: str = "g-drawing",
    ):
        self.id, self.width, self.height = id, width, height
        self._root = ElementTree.Element(
            "svg",
            {
                "class": css,
                "viewBox": f"0 0 {_number(width)} {_number(height)}",
                "role": "group" if links else "img",
                "aria-labelledby": f"{id}-t {id}-d",
                "focusable": "false",
            },
        )
        ElementTree.SubElement(self._root, "title", {"id": f"{id}-t"}).text = _allowed(title)
        ElementTree.SubElement(self._root, "desc", {"id": f"{id}-d"}).text = _allowed(described)
        self._within = [self._root]

    def add(self, tag: str, words: str | None = None, **attributes: str | float | None) -> ElementTree.Element:
        """Any element of SVG, where the methods below do not do. css gives its class; an underscore stands for a hyphen."""
        given = {
            ("class" if name == "css" else name if name in _CAMEL else name.replace("_", "-")): (
                value if isinstance(value, str) else _number(value)
            )
            for name, value in attributes.items()
            if value is not None
        }
        element = ElementTree.SubElement(
            self._within[-1], tag, {name: _allowed(value) for name, value in given.items()}
        )
        if words is not None:
            element.text = _allowed(words)
        return element

    def line(self, x1: float, y1: float, x2: float, y2: float, css: str, dash: str | None = None) -> None:
        """A straight line. dash: lengths of strokes and gaps, where the style has none of its own."""
        self.add("line", x1=x1, y1=y1, x2=x2, y2=y2, css=css, stroke_dasharray=dash or None)

    def polyline(self, points: Iterable[Point], css: str, dash: str | None = None) -> None:
        """Straight lines from point to point, nothing filled."""
        self.add("polyline", points=_points(points), css=css, fill="none", stroke_dasharray=dash or None)

    def polygon(self, points: Iterable[Point], css: str, fill: str | None = None) -> None:
        """A closed outline. fill: what `hatching.hatch` gave."""
        self.add("polygon", points=_points(points), css=css, fill=fill)

    def rect(
        self,
        x: float,
        y: float,
        width: float,
        height: float,
        css: str,
        fill: str | None = None,
        round: float | None = None,
    ) -> None:
        """An upright rectangle; a width or height under nought is none. round: radius of its corners."""
        self.add("rect", x=x, y=y, width=max(width, 0.0), height=max(height, 0.0), css=css, fill=fill, rx=round)

    def circle(self, x: float, y: float, radius: float, css: str, fill: str | None = None) -> None:
        """A circle round (x, y)."""
        self.add("circle", cx=x, cy=y, r=max(radius, 0.0), css=css, fill=fill)

    def path(self, commands: str, css: str, fill: str | None = None) -> None:
        """Any outline, in the commands of SVG."""
        self.add("path", d=commands, css=css, fill=fill)

    def arc(self, x: float, y: float, radius: float, first: float, last: float, css: str) -> None:
        """Part of a circle round (x, y), clockwise from one angle to another, in degrees from the top; nothing filled."""
        span = last - first
        if span >= 360.0:
            self.add("circle", cx=x, cy=y, r=radius, css=css, fill="none")
            return
        (x1, y1), (x2, y2) = at_angle(x, y, radius, first), at_angle(x, y, radius, last)
        far = int(span > 180.0)
        ends = " ".join(_number(end) for end in (x1, y1)), " ".join(_number(end) for end in (x2, y2))
        self.path(f"M {ends[0]} A {_number(radius)} {_number(radius)} 0 {far} 1 {ends[1]}", css, fill="none")

    def text(
        self,
        x: float,
        y: float,
        words: str,
        css: str = "g-tick",
        anchor: str | None = None,
        turned: float | None = None,
    ) -> None:
        """A line of words that begins at (x, y); anchor "middle" or "end" where it does not. turned: degrees, clockwise."""
        turn = f"rotate({_number(turned)} {_number(x)} {_number(y)})" if turned else None
        self.add("text", words, x=x, y=y, css=css, text_anchor=anchor, transform=turn)

    @contextmanager
    def within(self, tag: str, **attributes: str | float | None) -> Iterator[None]:
        """What is drawn within stands in an element of SVG, with attributes as in `add`."""
        self._within.append(self.add(tag, None, **attributes))
        try:
            yield
        finally:
            self._within.pop()

    def group(self, css: str | None = None, turned: float | None = None, at: Point = (0.0, 0.0)):
        """What is drawn within is one group. turned: degrees clockwise about the point `at`."""
        turn = f"rotate({_number(turned)} {_number(at[0])} {_number(at[1])})" if turned else None
        return self.within("g", css=css, transform=turn)

    def link(self, href: str, words: str, css: str | None = None):
        """What is drawn within leads to href; words say where to. Only on a sheet with links."""
        if self._root.get("role") != "group":
            raise ValueError("a drawing with links has to say so: Canvas(..., links=True)")
        return self.within("a", href=href, css=css, aria_label=words)

    def markup(self) -> Markup:
        """The drawing as text for a page, without line breaks, so that Markdown lets it be."""
        return Markup(ElementTree.tostring(self._root, encoding="unicode"))  # the writer has escaped it


def at_angle(x: float, y: float, radius: float, degrees: float) -> Point:
    """The point of a circle round (x, y) at so many degrees clockwise from its top."""
    turned = math.radians(degrees)
    return x + radius * math.sin(turned), y - radius * math.cos(turned)


_CAMEL = frozenset({"viewBox", "patternUnits", "patternTransform", "preserveAspectRatio", "clipPathUnits"})


def _number(value: float) -> str:
    """A length to a tenth of a unit, which is finer than a screen."""
    if not math.isfinite(value):
        raise ValueError(f"a drawing cannot show {value}")
    return f"{round(value, 1) + 0.0:g}" if abs(value) < 100_000 else f"{value:.0f}"


def _points(points: Iterable[Point]) -> str:
    return " ".join(f"{_number(x)},{_number(y)}" for x, y in points)


def _allowed(words: str) -> str:
    """Words on one line and without the control characters that XML does not know."""
    return "".join(letter if letter >= " " and letter != "\x7f" else " " for letter in words)
