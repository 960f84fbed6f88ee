"""Patterns: cut metal, danger, states. A pattern says what a colour says, for print and for eyes that see few colours."""

from gudgeon.drawing.canvas import Canvas


def hatch(
    canvas: Canvas, name: str, degrees: float = 45.0, gap: float = 6.0, css: str = "g-hatch", ground: str | None = None
) -> str:
    """Parallel lines, as cut metal is hatched (ISO 128-50); gives what to fill with.

    name: of the pattern, once in a drawing. degrees: of its lines from the upright. gap: between them. ground: class of what
    lies under the lines.
    """
    pattern = _pattern(canvas, name, gap, f"rotate({degrees:g})")
    with pattern:
        _ground(canvas, gap, ground)
        canvas.line(0, 0, 0, gap, css)
    return f"url(#{canvas.id}-{name})"


def crossed(canvas: Canvas, name: str, gap: float = 6.0, css: str = "g-hatch", ground: str | None = None) -> str:
    """Lines both ways; gives what to fill with."""
    with _pattern(canvas, name, gap, "rotate(45)"):
        _ground(canvas, gap, ground)
        canvas.line(0, 0, 0, gap, css)
        canvas.line(0, 0, gap, 0, css)
    return f"url(#{canvas.id}-{name})"


def dotted(canvas: Canvas, name: str, gap: float = 6.0, css: str = "g-hatch-dot", ground: str | None = None) -> str:
    """Dots; gives what to fill with."""
    with _pattern(canvas, name, gap, "rotate(45)"):
        _ground(canvas, gap, ground)
        canvas.circle(gap / 2, gap / 2, 1.1, css)
    return f"url(#{canvas.id}-{name})"


def _ground(canvas: Canvas, gap: float, css: str | None) -> None:
    if css:
        canvas.rect(0, 0, gap, gap, css)


def _pattern(canvas: Canvas, name: str, gap: float, turn: str):
    return canvas.within(
        "pattern",
        id=f"{canvas.id}-{name}",
        width=gap,
        height=gap,
        patternUnits="userSpaceOnUse",
        patternTransform=turn,
    )
