"""The copies of a picture that the site shows: up to three widths, as AVIF, as WebP and once as JPEG, each made once in a
picture's life."""

import functools
import hashlib
import io
import json
import os
from collections.abc import Iterable, Mapping
from concurrent.futures import ThreadPoolExecutor
from dataclasses import dataclass, replace
from pathlib import Path
from typing import Literal, Protocol

import PIL
from PIL import Image, features

from gudgeon.pictures.clean import LONGEST_SIDE, as_webp
from gudgeon.pictures.opening import SHRINKING, NotRead, bytes_of, pixels_of, size_of, within

Form = Literal["avif", "webp", "jpeg"]
WIDTHS = (480, 960)  # beside the full one: a phone held upright, and one with a fine screen or a desk
FALLBACK_WIDTH = 960  # of the JPEG, for what reads neither of the others
QUALITY: Mapping[Form, int] = {"avif": 55, "webp": 76, "jpeg": 80}
AVIF_SPEED, WEBP_METHOD = 9, 0  # fast: with slower ones the files are a tenth smaller and take twice the time
AVIF_WITHOUT = {"enable-cdef": "0", "enable-restoration": "0"}  # smoothing that takes a third of the time
MOST_WORKERS = 8  # pictures that are worked on at once; each fills memory
BEGINS: Mapping[Form, tuple[int, bytes]] = {"avif": (4, b"ftyp"), "webp": (0, b"RIFF"), "jpeg": (0, b"\xff\xd8")}


@dataclass(frozen=True)
class Copy:
    """One copy of a picture, by the name under which it lies beside the others."""

    name: str
    form: Form
    width: int
    height: int


@dataclass(frozen=True)
class Sized:
    """A picture with the copies that the site has of it, the narrowest first. width, height: of the widest. readable: False
    where the file tells no size; a small grey square stands for it."""

    name: str
    width: int
    height: int
    copies: tuple[Copy, ...]
    readable: bool = True

    def of(self, form: Form) -> tuple[Copy, ...]:
        """The copies of one form."""
        return tuple(copy for copy in self.copies if copy.form == form)

    @property
    def fallback(self) -> Copy:
        """The copy that everything can show."""
        return self.of("jpeg")[0]


class Kept(Protocol):
    """Where copies are kept from one run to the next."""

    def get_bytes(self, key: str) -> bytes | None: ...
    def put_bytes(self, key: str, kept: bytes) -> None: ...


def sized(path: Path) -> Sized:
    """What the site has of a picture, told by what the file says of itself."""
    return _read(path)[0]


def _read(path: Path) -> tuple[Sized, bytes]:
    try:
        raw = bytes_of(path)
        return _plan(path.name, size_of(raw)), raw
    except NotRead:
        return replace(_plan(path.name, (64, 64)), readable=False), b""


def _plan(name: str, size: tuple[int, int]) -> Sized:
    full = within(size, LONGEST_SIDE)
    widths = [*(width for width in WIDTHS if width < full[0]), full[0]]
    heights = {width: max(1, round(full[1] * width / full[0])) for width in widths} | {full[0]: full[1]}
    fallback = max(width for width in widths if width <= max(FALLBACK_WIDTH, widths[0]))
    wanted: list[tuple[Form, int]] = [(form, width) for form in _forms() for width in widths]
    wanted.append(("jpeg", fallback))
    # The whole name: skirt.jpg and skirt.png are two pictures.
    copies = (Copy(f"{name}-{width}.{form}", form, width, heights[width]) for form, width in wanted)
    return Sized(name, *full, tuple(copies))


@functools.cache
def _forms() -> tuple[Form, ...]:
    """The forms beside JPEG that can be written here: a Pillow without AVIF, or with another encoder for it, writes none."""
    try:
        _encoded(Image.new("RGB", (8, 8)), "avif")
    except (OSError, ValueError, KeyError):
        return ("webp",)
    return ("avif", "webp")


def copies_of(paths: Iterable[Path], kept: Kept | None = None) -> dict[str, bytes]:
    """The copies of pictures, by their names, on all processors. What cannot be read is grey."""
    workers = min(
        MOST_WORKERS, len(os.sched_getaffinity(0)) if hasattr(os, "sched_getaffinity") else os.cpu_count() or 1
    )
    made: dict[str, bytes] = {}
    with ThreadPoolExecutor(workers) as pool:  # decoding and encoding run beside one another in threads
        for copies in pool.map(functools.partial(_copies, kept=kept), paths):
            made |= copies
    return made


def _copies(path: Path, kept: Kept | None) -> dict[str, bytes]:
    plan, raw = _read(path)
    key = hashlib.sha256(f"{_recipe()} {hashlib.sha256(raw).hexdigest()}".encode()).hexdigest()
    contents = _unpacked(kept.get_bytes(key), key, plan) if kept else None
    if contents is None:
        contents = _made(plan, raw)
        if kept:
            kept.put_bytes(key, _packed(contents, key))
    return {copy.name: content for copy, content in zip(plan.copies, contents, strict=True)}


def _made(plan: Sized, raw: bytes) -> list[bytes]:
    try:
        pixels = pixels_of(raw, LONGEST_SIDE)
    except NotRead:
        pixels = Image.new("RGB", (plan.width, plan.height), (128, 128, 128))
    of_width: dict[int, Image.Image] = {}
    for copy in sorted(plan.copies, key=lambda copy: -copy.width):  # each from the next wider one
        if copy.width not in of_width:
            size = (copy.width, copy.height)
            of_width[copy.width] = pixels if pixels.size == size else pixels.resize(size, SHRINKING)
            pixels = of_width[copy.width]
    return [_encoded(of_width[copy.width], copy.form) for copy in plan.copies]


def _encoded(pixels: Image.Image, form: Form) -> bytes:
    if form == "webp":
        return as_webp(pixels, QUALITY["webp"], WEBP_METHOD)
    out = io.BytesIO()
    if form == "avif":
        # One thread each: the bytes are the same however many processors there are, and the pictures share them.
        pixels.save(out, "AVIF", quality=QUALITY["avif"], speed=AVIF_SPEED, max_threads=1, advanced=AVIF_WITHOUT)
    else:
        pixels.save(out, "JPEG", quality=QUALITY["jpeg"])
    return out.getvalue()


@functools.cache
def _recipe() -> str:
    """What decides the bytes of a copy beside those of the picture: our own steps and the libraries that decode and encode."""
    steps = [Path(__file__).with_name(name).read_bytes() for name in ("opening.py", "clean.py", "sizes.py")]
    coders = [
        f"{name} {features.version(name)}" for name in ("jpg", "libjpeg_turbo", "webp", "avif", "littlecms2", "zlib")
    ]
    return hashlib.sha256(
        b"\0".join([*steps, PIL.__version__.encode(), *(coder.encode() for coder in coders)])
    ).hexdigest()


def _packed(contents: list[bytes], key: str) -> bytes:
    """The copies of a picture as one entry: a line that says what follows, and their bytes."""
    body = b"".join(contents)
    head = {"key": key, "lengths": [len(content) for content in contents], "sha256": hashlib.sha256(body).hexdigest()}
    return json.dumps(head).encode() + b"\n" + body


def _unpacked(entry: bytes | None, key: str, plan: Sized) -> list[bytes] | None:
    """The copies in an entry; None where it is damaged, or another's, or not of these copies."""
    head, line_end, body = (entry or b"").partition(b"\n")
    try:
        said = json.loads(head)
        lengths = [int(length) for length in said["lengths"]]
        whole = said["key"] == key and said["sha256"] == hashlib.sha256(body).hexdigest()
    except (ValueError, TypeError, KeyError, RecursionError):
        return None
    if not line_end or not whole or len(lengths) != len(plan.copies) or sum(lengths) != len(body) or min(lengths) < 1:
        return None
    contents, at = [], 0
    for copy, length in zip(plan.copies, lengths, strict=True):
        content = body[at : at + length]
        offset, begins = BEGINS[copy.form]
        if content[offset : offset + len(begins)] != begins:
            return None
        contents.append(content)
        at += length
    return contents
