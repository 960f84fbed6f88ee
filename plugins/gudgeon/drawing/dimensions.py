"""Dimension lines, pointers and breaks, as on an engineering drawing (ISO 129-1): thin lines, arrowheads within."""

from gudgeon.drawing.canvas import Canvas

HEAD = 6.0  # length of an arrowhead
LETTER = 6.0  # width of a letter of a label, about


def across(canvas: Canvas, x1: float, x2: float, y: float, words: str, css: str = "g-tick g-over") -> None:
    """A dimension along the sheet with its words above the middle; beside it where they have no room between its ends."""
    left, right = min(x1, x2), max(x1, x2)
    wide = LETTER * len(words)
    if right - left >= 2.5 * HEAD:
        canvas.line(left, y, right, y, "g-dimension")
        _head(canvas, left, y, 1, 0)
        _head(canvas, right, y, -1, 0)
    else:  # arrows from outside
        canvas.line(left - 2 * HEAD, y, left, y, "g-dimension")
        canvas.line(right, y, right + 2 * HEAD, y, "g-dimension")
        _head(canvas, left, y, -1, 0)
        _head(canvas, right, y, 1, 0)
    if wide <= right - left - 4 or left + right > 2 * wide * 0.6 and (left + right) / 2 + wide / 2 < canvas.width:
        canvas.text((left + right) / 2, y - 4, words, css, "middle")
    elif right + 2 * HEAD + 4 + wide < canvas.width:
        canvas.text(right + 2 * HEAD + 4, y + 4, words, css)
    else:
        canvas.text(left - 2 * HEAD - 4, y + 4, words, css, "end")


def upright(
    canvas: Canvas, x: float, y1: float, y2: float, words: str, css: str = "g-tick g-over", side: str = "right"
) -> None:
    """A dimension up the sheet with its words beside the middle. side: of the line on which they stand, left or right."""
    top, bottom = min(y1, y2), max(y1, y2)
    if bottom - top >= 2.5 * HEAD:
        canvas.line(x, top, x, bottom, "g-dimension")
        _head(canvas, x, top, 0, 1)
        _head(canvas, x, bottom, 0, -1)
    else:
        canvas.line(x, top - 2 * HEAD, x, top, "g-dimension")
        canvas.line(x, bottom, x, bottom + 2 * HEAD, "g-dimension")
        _head(canvas, x, top, 0, -1)
        _head(canvas, x, bottom, 0, 1)
    at, anchor = (x + 5, None) if side == "right" else (x - 5, "end")
    canvas.text(at, (top + bottom) / 2 + 4, words, css, anchor)


def pointer(
    canvas: Canvas, x: float, y: float, to_x: float, to_y: float, words: str, css: str = "g-tick g-over"
) -> None:
    """Words at (x, y) with a thin line from them to what they are about, and a dot there."""
    canvas.line(x, y, to_x, to_y, "g-dimension")
    canvas.circle(to_x, to_y, 2, "g-dot")
    canvas.text(x + (3 if to_x <= x else -3), y + 4, words, css, None if to_x <= x else "end")


def break_mark(canvas: Canvas, x: float, y1: float, y2: float) -> None:
    """The zigzag pair that says: a stretch is left out here."""
    middle = (y1 + y2) / 2
    for shift in (-3.0, 3.0):
        canvas.polyline(
            [
                (x + shift, y1),
                (x + shift, middle - 4),
                (x + shift + 4, middle - 1),
                (x + shift - 4, middle + 1),
                (x + shift, middle + 4),
                (x + shift, y2),
            ],
            "g-axis",
        )


def centre_line(canvas: Canvas, x1: float, y1: float, x2: float, y2: float) -> None:
    """The axis of something round, chain-dashed (ISO 128-2)."""
    canvas.line(x1, y1, x2, y2, "g-centre")


def _head(canvas: Canvas, x: float, y: float, along: int, up: int) -> None:
    """An arrowhead whose tip is at (x, y), its body in the direction (along, up)."""
    canvas.polygon(
        [
            (x, y),
            (x + along * HEAD + up * 2, y + up * HEAD + along * 2),
            (x + along * HEAD - up * 2, y + up * HEAD - along * 2),
        ],
        "g-arrow",
    )
