"""Pictures from strangers, opened within bounds: how large one is, and its pixels, upright and in the colours of a screen.

kinds: which are opened at all. What is committed is opened as one of `SHOWN` alone; only who takes a picture in has others.
"""

import io
import math
import warnings
from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from pathlib import Path
from typing import Any

from PIL import Image, ImageCms

from gudgeon.pictures.exif import number_of, png_exif
from gudgeon.pictures.kinds import SHOWN, kind_of

MOST_PIXELS = 60_000_000  # of a picture that is read: one of more would fill the memory
MOST_BYTES = 50_000_000  # of a file; no camera that has so many pixels writes more
MOST_SCANS = (
    64  # of a JPEG that is coded in steps; cameras write 1, programs about 10, and each takes time for all its pixels
)
MOST_OF_A_PROFILE = 4_000_000  # bytes
READ_BY_PILLOW = {"JPEG": "JPEG", "PNG": "PNG", "WebP": "WEBP", "AVIF": "AVIF"}
SHRINKING = Image.Resampling.HAMMING  # as sharp as bicubic on the way down, in two thirds of its time
_SIDEWAYS = (5, 6, 7, 8)  # values of "Orientation" that turn a picture by a quarter
_TURNS: dict[int, tuple[Image.Transpose, ...]] = {
    2: (Image.Transpose.FLIP_LEFT_RIGHT,),
    3: (Image.Transpose.ROTATE_180,),
    4: (Image.Transpose.FLIP_TOP_BOTTOM,),
    5: (Image.Transpose.TRANSPOSE,),
    6: (Image.Transpose.ROTATE_270,),
    7: (Image.Transpose.TRANSVERSE,),
    8: (Image.Transpose.ROTATE_90,),
}


class NotRead(ValueError):
    """A picture cannot be read, or not safely; the message says why."""


def bytes_of(path: Path) -> bytes:
    """A file's bytes. Raises NotRead where it is too large, a link, or not to be read."""
    try:
        if path.is_symlink():
            raise NotRead("it is a link, and links are not followed")
        with path.open("rb") as file:
            raw = file.read(MOST_BYTES + 1)
    except OSError as error:
        raise NotRead(f"it cannot be read: {error.strerror}") from None
    if len(raw) > MOST_BYTES:
        raise NotRead(f"it is over {MOST_BYTES // 1_000_000} MB")
    return raw


def size_of(raw: bytes, kinds: Sequence[str] = SHOWN) -> tuple[int, int]:
    """Width and height of a picture as it is seen, from what it says of itself, without its pixels. Raises NotRead."""
    with _opened(raw, kinds) as picture:
        width, height = picture.size
        return (height, width) if _orientation(picture, raw) in _SIDEWAYS else (width, height)


def frames_of(raw: bytes, kinds: Sequence[str] = SHOWN) -> int:
    """How many pictures follow one another in a file: more than one, and it moves. Raises NotRead."""
    with _opened(raw, kinds) as picture:
        return int(getattr(picture, "n_frames", 1))


def within(size: tuple[int, int], longest: int) -> tuple[int, int]:
    """A size made smaller, in proportion, so that neither side is over a length; never larger."""
    width, height = size
    scale = min(1.0, longest / max(width, height))
    return max(1, math.floor(width * scale + 0.5)), max(1, math.floor(height * scale + 0.5))


def pixels_of(raw: bytes, longest: int, kinds: Sequence[str] = SHOWN) -> Image.Image:
    """The first picture of a file, upright, in sRGB, without anything but its pixels, neither side over a length. What can be
    seen through lies on white. Raises NotRead."""
    with _opened(raw, kinds) as picture:
        orientation, profile = _orientation(picture, raw), picture.info.get("icc_profile")
        size = within(picture.size, longest)
        if picture.format == "JPEG":
            picture.draft(None, size)  # decoded at a half or a quarter where that is large enough
        smaller = _without_palette(picture)
        if smaller.size != size:
            smaller = smaller.resize(size, SHRINKING, reducing_gap=2.0)
        seen = _on_white(_in_srgb(smaller, profile))
        for turn in _TURNS.get(orientation, ()):
            seen = seen.transpose(turn)
        clean = Image.new("RGB", seen.size)
        clean.paste(seen)
        return clean


@contextmanager
def _opened(raw: bytes, kinds: Sequence[str]) -> Iterator[Image.Image]:
    """A picture with its pixels still unread. Whatever a decoder does not bear is a NotRead."""
    kind = kind_of(raw)
    if kind is None or kind not in kinds:
        raise NotRead(f"it is no {', '.join(kinds[:-1])} or {kinds[-1]}")
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")  # of damaged metadata, of many pixels: nobody acts on them
        try:
            with _heic(raw) if kind == "HEIC" else _plain(raw, kind) as picture:
                _bounded(picture.width, picture.height)
                yield picture
        except NotRead:
            raise
        except Image.DecompressionBombError:
            raise NotRead(f"it has far too many pixels; the most is {MOST_PIXELS // 1_000_000} million") from None
        except Exception as error:  # a stranger's bytes fail in a decoder in more ways than it says: struct.error, KeyError, MemoryError
            raise NotRead("it is damaged, cut off, or no picture at all") from error


def _plain(raw: bytes, kind: str) -> Image.Image:
    if kind == "JPEG" and raw.count(b"\xff\xda") > MOST_SCANS:
        raise NotRead("its pixels are written in more steps than any camera takes")
    if kind == "WebP":
        width, height = _canvas(raw)  # the decoder takes memory for all of it as soon as it is opened
        _bounded(width, height)
    return Image.open(io.BytesIO(raw), formats=(READ_BY_PILLOW[kind],))


def _bounded(width: int, height: int) -> None:
    if width * height > MOST_PIXELS:
        raise NotRead(f"it has {width} × {height} pixels; the most is {MOST_PIXELS // 1_000_000} million")


def _canvas(raw: bytes) -> tuple[int, int]:
    """Width and height that the head of a WebP claims (RFC 9649)."""
    if raw[12:16] == b"VP8X":
        return 1 + int.from_bytes(raw[24:27], "little"), 1 + int.from_bytes(raw[27:30], "little")
    if raw[12:16] == b"VP8L":
        bits = int.from_bytes(raw[21:25], "little")
        return 1 + (bits & 0x3FFF), 1 + (bits >> 14 & 0x3FFF)
    return int.from_bytes(raw[26:28], "little") & 0x3FFF, int.from_bytes(raw[28:30], "little") & 0x3FFF


def _heic(raw: bytes) -> Image.Image:
    # Read when it is needed: only who takes pictures in has such files, and nothing that is committed is read with it.
    import pillow_heif

    file: Any = pillow_heif.open_heif(io.BytesIO(raw), convert_hdr_to_8bit=True)
    _bounded(*file.size)
    picture: Image.Image = file.to_pillow()  # the library turns it upright
    picture.info = {"icc_profile": picture.info.get("icc_profile")}
    return picture


def _orientation(picture: Image.Image, raw: bytes) -> int:
    """How the camera was held; 1, upright, where that is not said or cannot be read."""
    try:
        if picture.format == "PNG":  # asked for it, Pillow decodes the pixels to see what stands behind them
            block = picture.info.get("exif") or png_exif(raw)
            said = number_of(block, 0x0112) if block else 1
        elif picture.format == "JPEG" or picture.info.get("exif"):
            said = picture.getexif().get(0x0112, 1)
        else:
            said = 1
        return said if isinstance(said, int) and 1 <= said <= 8 else 1
    except Exception:  # damaged metadata: see `_opened`
        return 1


def _without_palette(picture: Image.Image) -> Image.Image:
    """In a mode that can be made smaller without harm."""
    if picture.mode.startswith("I"):  # sixteen bits a point
        return picture.convert("I").point(lambda value: value * (1 / 256)).convert("L")
    if picture.mode in ("L", "RGB", "RGBA", "CMYK", "LA"):
        picture.load()
        return picture
    return picture.convert(
        "RGBA" if picture.mode in ("P", "PA", "RGBa", "La") or picture.info.get("transparency") else "RGB"
    )


def _in_srgb(picture: Image.Image, profile: bytes | None) -> Image.Image:
    """The colours that an embedded profile means, as a screen without one shows them."""
    if not profile or len(profile) > MOST_OF_A_PROFILE or picture.mode not in ("L", "RGB", "RGBA", "CMYK"):
        return picture
    try:
        own = ImageCms.ImageCmsProfile(io.BytesIO(profile))
        mode = "RGBA" if picture.mode == "RGBA" else "RGB"
        return ImageCms.profileToProfile(picture, own, ImageCms.createProfile("sRGB"), outputMode=mode) or picture
    except (ImageCms.PyCMSError, OSError, ValueError, TypeError):
        return picture  # a profile that is damaged, or of another kind of picture, says nothing


def _on_white(picture: Image.Image) -> Image.Image:
    if "A" not in picture.mode:
        return picture.convert("RGB")
    picture = picture.convert("RGBA")
    paper = Image.new("RGBA", picture.size, (255, 255, 255, 255))
    return Image.alpha_composite(paper, picture).convert("RGB")
