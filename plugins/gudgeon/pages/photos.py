"""Photographs: smaller copies without metadata, so that no place or owner is given away."""

import io
import warnings
from pathlib import Path

from PIL import Image, ImageOps

from gudgeon.pages.page import Asset
from gudgeon.pages.view import View

LONGEST_SIDE = 1600  # pixels
MOST_PIXELS = 60_000_000  # refuses a picture that would fill the memory
MOST_BYTES = 50_000_000  # of a file; no camera that has so many pixels writes more


def assets(view: View) -> list[Asset]:
    """A copy of every photograph that a record names."""
    folder = view.build.folder / "photos"
    names = sorted({photo for photo, _, _ in view.build.named_photos})
    return [Asset(view.photo_uri(photo), smaller_copy(_bytes(folder / photo))) for photo in names]


def _bytes(path: Path) -> bytes:
    """A file's bytes; of one that is too large no more than shows that it is cut off."""
    with path.open("rb") as file:
        raw = file.read(MOST_BYTES + 1)
    return raw if len(raw) <= MOST_BYTES else b""


def smaller_copy(raw: bytes) -> bytes:
    """A picture as WebP, upright, no larger than `LONGEST_SIDE`, with nothing but its pixels.

    A picture that cannot be read, or is too large to be read safely, gives a grey square in its place.
    """
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")  # of damaged metadata, of many pixels: nobody acts on them
        try:
            with Image.open(io.BytesIO(raw), formats=("JPEG", "PNG", "WEBP")) as picture:
                if picture.width * picture.height > MOST_PIXELS:
                    raise ValueError("too many pixels")
                pixels = ImageOps.exif_transpose(picture).convert("RGB")
        except (
            Exception
        ):  # a stranger's bytes fail in a decoder in more ways than it says: struct.error, KeyError, MemoryError
            pixels = Image.new("RGB", (64, 64), (128, 128, 128))
    pixels.thumbnail((LONGEST_SIDE, LONGEST_SIDE))
    clean = Image.new("RGB", pixels.size)
    clean.paste(pixels)
    out = io.BytesIO()
    clean.save(out, "WEBP", quality=80, method=4)
    return out.getvalue()
