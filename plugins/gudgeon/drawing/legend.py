"""Legends and words that have to fit."""

import textwrap
from collections.abc import Sequence

from gudgeon.drawing.canvas import Canvas
from gudgeon.drawing.dimensions import LETTER

LINE = 15.0  # from a line of words to the next
BOX = 14.0


def wrapped(words: str, width: float, most: int | None = None) -> list[str]:
    """Words in lines that fit a width; not more than so many lines, the last of which then ends in …."""
    letters = max(int(width / LETTER), 4)
    lines = textwrap.wrap(words, letters) or [""]
    if most is not None and len(lines) > most:
        lines = [*lines[: most - 1], lines[most - 1][: letters - 1].rstrip() + "…"]
    return lines


def legend(
    canvas: Canvas, rows: Sequence[tuple[str, str | None, str]], x: float, y: float, right: float | None = None
) -> float:
    """Boxes with what they mean, side by side as far as they fit, from the top left corner (x, y) on; gives the y below.

    rows: class, what it is filled with (None: as the class says) and words of each.
    """
    edge, at, top = right if right is not None else canvas.width - 4, x, y
    for css, fill, words in rows:
        wide = BOX + 5 + LETTER * len(words) + 12
        if at > x and at + wide > edge:
            at, top = x, top + LINE + 2
        canvas.rect(at, top, BOX, 10, css, fill)
        canvas.text(at + BOX + 5, top + 9.5, words)
        at += wide
    return top + LINE + 2
