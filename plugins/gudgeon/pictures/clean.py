"""A picture made ready for the records: upright, small, nothing but its pixels."""

import datetime
import io
import re
from dataclasses import dataclass

from PIL import Image

from gudgeon.pictures.hidden_data import exif_text, hidden_data
from gudgeon.pictures.kinds import TAKEN, kind_of
from gudgeon.pictures.opening import frames_of, pixels_of, size_of

LONGEST_SIDE = 1600  # pixels of a picture in the records: what the widest page shows
MOST_COMMITTED = 600_000  # bytes of a file in photos/: git keeps every one for ever
MOST_SIDE = 2000  # pixels of a file in photos/
SIDES, QUALITIES = (
    (LONGEST_SIDE, 1200, 800),
    (84, 72, 60),
)  # of WebP, tried in this order until a file is below the most


@dataclass(frozen=True)
class Cleaned:
    """A picture ready to be written. hidden: what was taken off it; taken: the day that its camera wrote; frames: how many
    pictures the file held, of which this is the first."""

    content: bytes
    width: int
    height: int
    hidden: tuple[str, ...]
    taken: datetime.date | None
    frames: int


def clean(raw: bytes) -> Cleaned:
    """A picture as WebP with nothing but its pixels. One that is so already stays byte for byte. Raises NotRead."""
    hidden, frames = tuple(hidden_data(raw)), frames_of(raw, TAKEN)
    size = size_of(raw, TAKEN)
    if (
        kind_of(raw) == "WebP"
        and not hidden
        and frames == 1
        and _is_small(raw, size)
        and not any(word in raw for word in (b"ICCP", b"EXIF"))
    ):
        pixels_of(raw, 16)  # one that is cut off is not passed on
        return Cleaned(raw, *size, hidden, None, frames)
    return _made(raw, "WebP", hidden, frames)


def mended(raw: bytes, kind: str) -> Cleaned:
    """The same in the form that its name says: JPEG, PNG or WebP. Raises NotRead."""
    return _made(raw, kind, tuple(hidden_data(raw)), frames_of(raw, TAKEN))


def _made(raw: bytes, kind: str, hidden: tuple[str, ...], frames: int) -> Cleaned:
    content, pixels = b"", pixels_of(raw, LONGEST_SIDE, TAKEN)
    for longest in SIDES:
        pixels = pixels if longest == LONGEST_SIDE else pixels_of(raw, longest, TAKEN)
        for quality in QUALITIES:
            content = _encoded(pixels, kind, quality)
            if len(content) <= MOST_COMMITTED:
                return Cleaned(content, *pixels.size, hidden, _taken(raw), frames)
    return Cleaned(content, *pixels.size, hidden, _taken(raw), frames)


def _encoded(pixels: Image.Image, kind: str, quality: int) -> bytes:
    if kind == "WebP":
        return as_webp(pixels, quality)
    out = io.BytesIO()
    if kind == "JPEG":
        pixels.save(out, "JPEG", quality=quality, optimize=True, progressive=True)
    elif quality == QUALITIES[0]:
        pixels.save(out, "PNG", optimize=True)
    else:  # of a PNG only the number of its colours can be made less
        pixels.quantize(256 if quality == QUALITIES[1] else 64).save(out, "PNG", optimize=True)
    return out.getvalue()


def _is_small(raw: bytes, size: tuple[int, int]) -> bool:
    return len(raw) <= MOST_COMMITTED and max(size) <= LONGEST_SIDE


def as_webp(pixels: Image.Image, quality: int, method: int = 4) -> bytes:
    """Pixels as WebP."""
    out = io.BytesIO()
    pixels.save(out, "WEBP", quality=quality, method=method)
    return out.getvalue()


def _taken(raw: bytes) -> datetime.date | None:
    """The day that the camera wrote into a picture, which is only as right as its clock was."""
    match = re.match(r"([0-9]{4})[:-]([0-9]{2})[:-]([0-9]{2})", exif_text(raw, 0x9003) or exif_text(raw, 0x0132) or "")
    try:
        return datetime.date(*(int(number) for number in match.groups())) if match else None
    except ValueError:
        return None
