"""What a shared link shows: a card for each instalment, fit and build, with its engine, its number and its name, as a picture.

The engine is drawn once a build, each of its parts in a shade of its own; a card then only changes shades. Shades are those of
one ink, so that a card is small: sixteen of them are kept.
"""

import functools
import io
from collections.abc import Callable, Iterable
from dataclasses import dataclass
from pathlib import Path

from PIL import Image, ImageDraw, ImageFont

from gudgeon.drawing import raster
from gudgeon.pages.drawn.engine import engine
from gudgeon.pages.view import View

WIDTH, HEIGHT = 1200, 630
MARGIN, COLUMN = 64, 600  # of the words; how wide they may be beside a picture
PICTURE = (WIDTH - MARGIN // 2 - 560, 30, 560, 490)  # left, top, width, height
FOOT = 556  # where the line with the build begins
INK, SOFT, MARKED, PLAIN = 20, 95, 105, 232  # shades: of words, of lesser words, of the parts that a card tells of, of others
FIRST_PART = 180  # shades from here on stand for parts, one each, until a card is made
_RAMP = ((0, (23, 28, 27)), (105, (46, 118, 100)), (255, (253, 252, 249)))  # shade: colour
_TONES = 16
_FONT = Path(raster.__file__).parent / "fonts" / "DejaVuSans.ttf"


@dataclass(frozen=True)
class Card:
    """What stands on a card. figure: the large number with its unit, empty where there is none; beneath: what it is; marked: parts;
    foot: whose it is, and of when."""

    name: str
    figure: str
    beneath: str
    foot: str
    marked: frozenset[str] = frozenset()

    @property
    def alt(self) -> str:
        """The card for who does not see it."""
        said = [self.name, " ".join(filter(None, (self.figure, self.beneath))), self.foot]
        return ". ".join(words.rstrip(".") for words in said if words) + "."


class EnginePicture:
    """The engine of a build, drawn once. None of it where its records do not say enough to draw one."""

    def __init__(self, view: View):
        self._levels = {part: FIRST_PART + number for number, part in enumerate(view.build.parts)}
        drawn = engine(view.build, view.part_states, "card", lambda part: part, small=True).drawing
        enough = drawn is not None and FIRST_PART + len(self._levels) < PLAIN
        self._dots = raster.shaded(str(drawn), *PICTURE[2:], lambda part: self._levels.get(part, PLAIN)) if enough else None

    def __bool__(self) -> bool:
        return self._dots is not None

    def marking(self, parts: Iterable[str]) -> Image.Image:
        """The engine with some of its parts marked."""
        assert self._dots is not None
        marked = {self._levels[part] for part in parts if part in self._levels}
        known = range(FIRST_PART, FIRST_PART + len(self._levels))
        shades = [(MARKED if shade in marked else PLAIN) if shade in known else shade for shade in range(256)]
        return raster.soft(self._dots.point(shades))


def drawn(card: Card, picture: Image.Image | None) -> bytes:
    """A card as PNG: the same bytes for the same words and picture."""
    sheet = Image.new("L", (WIDTH, HEIGHT), 255)
    draw = ImageDraw.Draw(sheet)
    wide = WIDTH - 2 * MARGIN
    if picture is not None:
        left, top, room, high = PICTURE
        sheet.paste(picture, (left + (room - picture.width) // 2, top + (high - picture.height) // 2))
        wide = COLUMN - 2 * MARGIN + 60
    y = _lines(draw, card.name, 46, wide, 3 if card.figure else 5, MARGIN, INK) + 34
    if card.figure:
        size = next((size for size in (104, 88, 72, 58, 46) if _font(size).getlength(card.figure) <= wide), 40)
        y = _lines(draw, card.figure, size, wide, 2, y, INK, bold=True) + 18
    _lines(draw, card.beneath, 30, wide, 4, y, SOFT)
    draw.rectangle((0, FOOT, WIDTH, HEIGHT), fill=INK)
    _lines(draw, card.foot, 28, WIDTH - 2 * MARGIN, 1, FOOT + 20, 255)
    return _png(sheet)


def _lines(draw: ImageDraw.ImageDraw, words: str, size: int, wide: int, most: int, y: int, shade: int, bold: bool = False) -> int:
    """Words in lines no wider than that; what does not fit ends in an ellipsis. Gives where the next may begin."""
    font = _font(size)
    for line in _broken(words, lambda text: font.getlength(text) <= wide, most):
        draw.text((MARGIN, y), line, font=font, fill=shade, stroke_width=2 if bold else 0, stroke_fill=shade)
        y += round(size * 1.22)
    return y


def _broken(words: str, fits: Callable[[str], bool], most: int) -> list[str]:
    lines: list[str] = []
    for word in words.split():
        if lines and fits(f"{lines[-1]} {word}"):
            lines[-1] += f" {word}"
        else:
            lines.append(word)
    cut = [*lines[: most - 1], " ".join(lines[most - 1 :])] if len(lines) > most else lines
    return [_cut(line, fits) for line in cut]


def _cut(line: str, fits: Callable[[str], bool]) -> str:
    if fits(line):
        return line
    while line and not fits(line + "…"):
        line = line[:-1].rstrip()
    return line + "…"


@functools.cache
def _font(size: int) -> ImageFont.FreeTypeFont:
    # The plain layout: another one may be there on one machine and not on the next.
    return ImageFont.truetype(_FONT, size, layout_engine=ImageFont.Layout.BASIC)


@functools.cache
def _palette() -> tuple[list[int], list[int]]:
    """For each shade its tone, and the colours of the tones one after another."""
    colours: list[int] = []
    for tone in range(_TONES):
        shade = 255 * tone / (_TONES - 1)
        (low, dark), (high, light) = next(
            (below, above) for below, above in zip(_RAMP, _RAMP[1:], strict=False) if below[0] <= shade <= above[0]
        )
        share = (shade - low) / (high - low)
        colours += [round(a + (b - a) * share) for a, b in zip(dark, light, strict=True)]
    return [round(shade / 255 * (_TONES - 1)) for shade in range(256)], colours


def _png(sheet: Image.Image) -> bytes:
    tones, colours = _palette()
    indexed = sheet.point(tones)
    indexed.putpalette(colours)
    out = io.BytesIO()
    indexed.save(out, "PNG", bits=4, compress_level=6)
    return out.getvalue()
