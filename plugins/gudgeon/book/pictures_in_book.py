"""The pictures of a book: those that its records name, as JPEG, which every reader of books shows."""

import io
from dataclasses import dataclass

from gudgeon.pictures.opening import NotRead, bytes_of, pixels_of
from gudgeon.records.model import Build

LONGEST_SIDE = 1200  # pixels: 200 a inch over the width of the text


@dataclass(frozen=True)
class BookPicture:
    """A picture as the book has it. name: of its file in the book."""

    name: str
    content: bytes
    width: int
    height: int


def book_picture(build: Build, name: str) -> BookPicture | None:
    """The picture of this name in photos/; None where it is not there, cannot be read or was withdrawn."""
    if name not in build.shown_photos:
        return None
    try:
        pixels = pixels_of(bytes_of(build.folder / "photos" / name), LONGEST_SIDE).convert("RGB")
    except NotRead:
        return None
    out = io.BytesIO()
    pixels.save(out, "JPEG", quality=82, optimize=True)
    return BookPicture(f"{name}.jpg", out.getvalue(), *pixels.size)
