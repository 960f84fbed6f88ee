"""What a shared link shows: a card for each instalment, fit and build, with its engine, its number and its name, as a picture.

The engine is drawn once a build, each of its parts in a shade of its own; a card then only changes shades. Shades are those of
one ink, and few are kept, so that a card is small.
"""

import bisect
import functools
import hashlib
import io
from collections.abc import Callable, Iterable
from dataclasses import dataclass
from pathlib import Path

import PIL
from PIL import Image, ImageDraw, ImageFont, ImageOps

from gudgeon.drawing import raster
from gudgeon.pages.drawn.engine import engine
from gudgeon.pages.view import View

WIDTH, HEIGHT = 1200, 630
MARGIN, COLUMN = 64, 600  # of the words; how wide they may be beside a picture
PICTURE = (WIDTH - MARGIN // 2 - 560, 30, 560, 490)  # left, top, width, height
FOOT = 556  # where the line with the build begins
INK, SOFT, MARKED, PLAIN = (
    20,
    95,
    105,
    232,
)  # shades: of words, of lesser words, of the parts that a card tells of, of others
FIRST_PART = 180  # shades from here on stand for parts, one each, until a card is made
_RAMP = ((0, (23, 28, 27)), (105, (46, 118, 100)), (255, (253, 252, 249)))  # shade: colour
FEW, MANY = 16, 64  # shades of a drawing, and of a photograph
BEGINS = b"\x89PNG"
_FONT = Path(raster.__file__).parent / "fonts" / "DejaVuSans.ttf"


@dataclass(frozen=True)
class Card:
    """What stands on a card. figure: the large number with its unit, empty where there is none; beneath: what it is, line by line; marked: parts;
    foot: whose it is, and of when."""

    name: str
    figure: str
    beneath: tuple[str, ...]
    foot: str
    marked: tuple[str, ...] = ()

    @property
    def alt(self) -> str:
        """The card for who does not see it."""
        first, *rest = self.beneath or ("",)
        said = [self.name, " ".join(filter(None, (self.figure, first))), *rest, self.foot]
        return ". ".join(words.rstrip(".") for words in said if words) + "."


class EnginePicture:
    """The engine of a build, made of dots once. drawing: empty where its records do not say enough to draw one, or have too many
    parts; else the engine as SVG. It shows where parts stand and not how: people see a card long after it was made."""

    def __init__(self, view: View):
        self._levels = {part: FIRST_PART + number for number, part in enumerate(view.build.parts)}
        drawing = engine(
            view.build, dict.fromkeys(view.build.parts, "no limit"), "card", lambda part: part, True
        ).drawing
        self.drawing = str(drawing) if drawing and FIRST_PART + len(self._levels) < PLAIN else ""

    @functools.cached_property
    def _dots(self) -> Image.Image:
        return raster.shaded(self.drawing, *PICTURE[2:], lambda part: self._levels.get(part, PLAIN))

    def marking(self, parts: Iterable[str]) -> Image.Image:
        """The engine with some of its parts marked."""
        marked = {self._levels[part] for part in parts if part in self._levels}
        known = range(FIRST_PART, FIRST_PART + len(self._levels))
        shades = [(MARKED if shade in marked else PLAIN) if shade in known else shade for shade in range(256)]
        return raster.soft(self._dots.point(shades))


def photograph(pixels: Image.Image) -> Image.Image:
    """A photograph for a card, cut to its place, in shades."""
    return ImageOps.fit(pixels.convert("L"), PICTURE[2:])


@functools.cache
def recipe() -> str:
    """What decides the bytes of a card beside what is on it: our own steps, the font, the library that draws."""
    steps = [Path(file).read_bytes() for file in (__file__, raster.__file__, _FONT)]
    return hashlib.sha256(b"\0".join([*steps, PIL.__version__.encode()])).hexdigest()


def drawn(card: Card, picture: Image.Image | None, tones: int = FEW) -> bytes:
    """A card as PNG: the same bytes for the same words and picture. tones: how many shades are kept."""
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
    for words in card.beneath:
        y = _lines(draw, words, 30, wide, 2 if len(card.beneath) > 1 else 4 if card.figure else 7, y, SOFT) + 6
    draw.rectangle((0, FOOT, WIDTH, HEIGHT), fill=INK)
    _lines(draw, card.foot, 28, WIDTH - 2 * MARGIN, 1, FOOT + 20, 255)
    return _png(sheet, tones)


def _lines(
    draw: ImageDraw.ImageDraw, words: str, size: int, wide: int, most: int, y: int, shade: int, bold: bool = False
) -> int:
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
    # The least number of letters that is too many.
    over = bisect.bisect_left(range(len(line)), True, key=lambda letters: not fits(line[:letters] + "…"))
    return line[: max(over - 1, 0)].rstrip() + "…"


@functools.cache
def _font(size: int) -> ImageFont.FreeTypeFont:
    # The plain layout: another one may be there on one machine and not on the next.
    return ImageFont.truetype(_FONT, size, layout_engine=ImageFont.Layout.BASIC)


@functools.cache
def _palette(tones: int) -> tuple[list[int], list[int]]:
    """For each shade its tone, and the colours of the tones one after another."""
    colours: list[int] = []
    for tone in range(tones):
        shade = 255 * tone / (tones - 1)
        (low, dark), (high, light) = next(
            (below, above) for below, above in zip(_RAMP, _RAMP[1:], strict=False) if below[0] <= shade <= above[0]
        )
        share = (shade - low) / (high - low)
        colours += [round(a + (b - a) * share) for a, b in zip(dark, light, strict=True)]
    return [round(shade / 255 * (tones - 1)) for shade in range(256)], colours


def _png(sheet: Image.Image, tones: int) -> bytes:
    of_shade, colours = _palette(tones)
    indexed = sheet.point(of_shade)
    indexed.putpalette(colours)
    out = io.BytesIO()
    indexed.save(out, "PNG", bits=4 if tones <= 16 else 8, compress_level=6)
    return out.getvalue()
