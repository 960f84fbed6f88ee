"""What the outlines of all part families are drawn with: surfaces by state, dimensions, numbers that lead to the sizes below."""

import re
from collections.abc import Mapping

from gudgeon.assess.findings import FeatureFinding
from gudgeon.drawing import dimensions
from gudgeon.drawing.canvas import Canvas, Point
from gudgeon.pages.drawn.states import States
from gudgeon.records.parts import DIAMETERS, Feature
from gudgeon.wording import MARKS, UnitFormatter

WIDTH, BALLOON, APART = 360.0, 9.0, 31.0  # radius of a balloon; from one to the next
BALLOONS_AT = 16.0  # the row of them, above the part
LEFT, RIGHT, TOP, BOTTOM = 22.0, 338.0, 52.0, 178.0  # where the part itself is drawn
MIDDLE = (TOP + BOTTOM) / 2


class Sketch:
    """The outline of one part as it grows. numbers: feature -> its number in the list of sizes; keys are ids of features."""

    def __init__(
        self, canvas: Canvas, specs: Mapping[str, Feature], findings: Mapping[str, FeatureFinding], fmt: UnitFormatter
    ):
        self.canvas, self.specs, self.findings, self._fmt = canvas, specs, findings, fmt
        self._states = States(canvas)
        self.numbers = {key: number for number, key in enumerate(specs, start=1)}
        self.anchors: dict[str, Point] = {}
        self.shown: set[str] = set()
        self.guessed: list[str] = []  # what no record says and is drawn all the same
        self.half = self.edge = (BOTTOM - TOP) / 2  # from the axis of a round part to its surface, and to its outermost

    def first(self, pattern: str, *kinds: str) -> str | None:
        """The first feature not shown yet whose id fits the pattern, of one of the kinds."""
        return next(iter(self.all(pattern, *kinds)), None)

    def all(self, pattern: str, *kinds: str) -> list[str]:
        """The features not shown yet whose ids fit the pattern, of one of the kinds."""
        return [
            key
            for key, spec in self.specs.items()
            if key not in self.shown and re.match(pattern, key) and (not kinds or spec.kind in kinds)
        ]

    def mm(self, key: str | None) -> float | None:
        """The size of a feature as read, else its nominal; None where neither is known or it is no length above nought."""
        if key is None or not self.specs[key].is_length:
            return None
        read = self.findings[key].size
        size = read if read is not None else self.specs[key].size
        return size if size is not None and size > 0 else None

    def known(self, key: str | None, guess: float, what: str) -> float:
        """The size of a feature; where it is not known the guess, which is told."""
        size = self.mm(key)
        if size is None:
            self.guess(what)
            return guess
        return size

    def guess(self, what: str) -> None:
        """Tell that no record says this."""
        if what not in self.guessed:
            self.guessed.append(what)

    def face(self, key: str | None, *ends: tuple[float, float, float, float]) -> None:
        """The surfaces of a feature, in the style of its state; the first is what its number leads to."""
        if key is None:
            return
        for x1, y1, x2, y2 in ends:
            self.canvas.add("line", x1=x1, y1=y1, x2=x2, y2=y2, css="g-face", stroke=self._look(key))
            self.canvas.line(x1, y1, x2, y2, "g-edge")
        x1, y1, x2, y2 = ends[0]
        self._anchor(key, ((x1 + x2) / 2, (y1 + y2) / 2))

    def hole(self, key: str | None, x: float, y: float, radius: float) -> None:
        """A round surface seen along its axis."""
        if key is None:
            return
        self.canvas.add("circle", cx=x, cy=y, r=max(radius, 0.0), css="g-face", fill="none", stroke=self._look(key))
        self.canvas.add("circle", cx=x, cy=y, r=max(radius, 0.0), css="g-edge", fill="none")
        self._anchor(key, (x, y - radius))

    def across(self, key: str | None, x1: float, x2: float, y: float) -> None:
        """A dimension along the sheet with its number and its size."""
        if key is not None:
            dimensions.across(self.canvas, x1, x2, y, self.words(key))
            self.shown.add(key)

    def upright(self, key: str | None, x: float, y1: float, y2: float) -> None:
        """A dimension up the sheet."""
        if key is not None:
            dimensions.upright(self.canvas, x, y1, y2, "")
            self.canvas.text(x + 11, (y1 + y2) / 2, self.words(key), "g-tick g-over", "middle", turned=-90)
            self.shown.add(key)

    def words(self, key: str) -> str:
        """The number of a feature with its size and what that is: as read, or nominal."""
        finding, spec = self.findings[key], self.specs[key]
        round_ = "⌀ " if spec.kind in DIAMETERS else ""
        if finding.size is not None and spec.is_length:
            return f"{self.numbers[key]}: {round_}{self._fmt.size_text(finding.size)} read"
        return f"{self.numbers[key]}: {round_}{f'{spec.nominal} nominal' if spec.nominal else 'size not said'}"

    def balloons(self) -> None:
        """The numbers above the part, each with the mark of its state, a line to its surface and a link to its size."""
        keys = sorted(self.anchors, key=lambda key: (self.anchors[key], self.numbers[key]))
        for key, x in zip(keys, _spread([self.anchors[key][0] for key in keys]), strict=True):
            finding, to = self.findings[key], self.anchors[key]
            size = f", {self._fmt.size_text(finding.size)}" if finding.size is not None else ""
            self.canvas.line(x, BALLOONS_AT + BALLOON, *to, "g-dimension")
            self.canvas.circle(*to, 2, "g-dot")
            with self.canvas.link(
                f"#{finding.ref.lower()}",
                f"{self.numbers[key]}{MARKS[finding.state]} {finding.name}: {finding.state}{size}",
            ):
                self.canvas.rect(x - 14, BALLOONS_AT - 14, 28, 28, "g-touch")
                self.canvas.rect(x - 13, BALLOONS_AT - BALLOON, 26, 2 * BALLOON, "g-hollow", round=BALLOON)
                self.canvas.text(
                    x, BALLOONS_AT + 4, f"{self.numbers[key]}{MARKS[finding.state]}", "g-tick g-plain", "middle"
                )

    def _anchor(self, key: str, at: Point) -> None:
        self.shown.add(key)
        self.anchors.setdefault(key, at)

    def _look(self, key: str) -> str:
        return self._states.fill(self.findings[key].state)


def _spread(wanted: list[float]) -> list[float]:
    """Places in their order, near to where they are wanted, far enough apart and on the sheet."""
    step = min(APART, (WIDTH - 36) / max(len(wanted) - 1, 1))
    places: list[float] = []
    for place in wanted:
        places.append(max(place, places[-1] + step if places else 18.0))
    last = WIDTH - 18
    for index in reversed(range(len(places))):
        places[index] = last = min(places[index], last)
        last -= step
    return places
