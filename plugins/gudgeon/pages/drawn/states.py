"""How a state is drawn: a pattern over a tint, the same on the engine and on the surfaces of a part."""

from collections.abc import Callable, Mapping

from gudgeon.drawing import hatching
from gudgeon.drawing.canvas import Canvas

PATTERNS: dict[str, tuple[Callable, Mapping]] = {
    "out": (hatching.crossed, {"gap": 4.0, "css": "g-in-out", "ground": "g-on-out"}),
    "reads out": (hatching.crossed, {"gap": 6.0, "css": "g-in-reads-out", "ground": "g-on-out"}),
    "metal on": (hatching.hatch, {"degrees": 0.0, "gap": 4.0, "css": "g-in-metal-on", "ground": "g-on-warm"}),
    "stale": (hatching.hatch, {"degrees": 90.0, "gap": 4.0, "css": "g-in-stale", "ground": "g-on-warm"}),
    "no reading": (hatching.dotted, {"gap": 5.0, "css": "g-in-no-reading", "ground": "g-on-none"}),
    "conceded": (hatching.hatch, {"degrees": 135.0, "gap": 7.0, "css": "g-in-conceded", "ground": "g-on-warm"}),
    "reads in": (hatching.hatch, {"degrees": 45.0, "gap": 6.0, "css": "g-in-reads-in", "ground": "g-on-in"}),
    "no limit": (hatching.dotted, {"gap": 8.0, "css": "g-in-no-limit", "ground": "g-on-none"}),
    "frozen": (hatching.hatch, {"degrees": 45.0, "gap": 4.0, "css": "g-in-frozen", "ground": "g-on-in"}),
    "in": (hatching.hatch, {"degrees": 45.0, "gap": 3.0, "css": "g-in-in", "ground": "g-on-in"}),
}


class States:
    """The patterns of one drawing, each put into it when it is first asked for."""

    def __init__(self, canvas: Canvas):
        self._canvas = canvas
        self._fills: dict[str, str] = {}

    def fill(self, state: str) -> str:
        """What to fill or to stroke with."""
        if state not in self._fills:
            make, given = PATTERNS[state]
            self._fills[state] = make(self._canvas, state.replace(" ", "-"), **given)
        return self._fills[state]
