"""What a file of a picture or a film holds beside its pixels: where it was taken, serial numbers, names, further pictures.

Read here byte by byte, without the libraries that decode pictures: what these pass over is what gives people away. Whatever
is not known to belong to the pixels is told. Beside the blocks of each format the whole file is searched, so that a block in an
unusual place is seen too.
"""

import re
import struct
import zlib
from collections.abc import Iterator

from gudgeon.pictures.exif import (
    CAMERA,
    MAKER,
    MOST_CHUNKS,
    NAME,
    POSITION,
    SERIAL,
    TEXT,
    THUMBNAIL,
    UNREADABLE,
    blocks_in,
    said_by_exif,
    text_of,
)
from gudgeon.pictures.kinds import FILMS, kind_of

MORE = "something behind the picture"
FURTHER = "further pictures"
XMP = "what a program wrote about it (XMP)"
IPTC = "what an agency's program wrote about it (IPTC)"
OWN = "data of a program's own"
PROFILE_TEXT = 200_000  # bytes of a text that is unpacked to be looked at
# In the order in which they are told: what gives people away before what does not.
ORDER = (POSITION, NAME, SERIAL, MAKER, THUMBNAIL, FURTHER, TEXT)

_PNG_PIXELS = {
    b"IHDR",
    b"PLTE",
    b"IDAT",
    b"IEND",
    b"tRNS",
    b"cHRM",
    b"gAMA",
    b"iCCP",
    b"sBIT",
    b"sRGB",
    b"bKGD",
    b"pHYs",
}
_PNG_PIXELS |= {b"hIST", b"cICP", b"mDCV", b"mDCv", b"cLLI", b"cLLi", b"acTL", b"fcTL", b"fdAT"}
_WEBP_PIXELS = {b"VP8 ", b"VP8L", b"VP8X", b"ALPH", b"ICCP", b"ANIM", b"ANMF"}
_IN_XMP = (
    (
        re.compile(
            rb"(?i)gps(latitude|longitude|dest|areainformation)|location(created|shown)|photoshop:(city|country|state)|iptc4xmpcore:location"
        ),
        POSITION,
    ),
    (re.compile(rb"(?i)serialnumber|imageuniqueid|instanceid=.{0,3}xmp\.iid:.{0,3}serial"), SERIAL),
    (
        re.compile(
            rb"(?i)dc:creator|dc:rights|ownername|photoshop:(credit|author)|aux:owner|personinimage|mwg-rs:name"
        ),
        NAME,
    ),
    (re.compile(rb"(?i)xmp:thumbnails|xmpgimg:image|gimage:data"), THUMBNAIL),
)
_PLACE_IN_FILM = (b"\xa9xyz", b"loci", b"location.ISO6709", b"GPS0", b"gps ", b"\xa9gps")


def hidden_data(raw: bytes) -> list[str]:
    """What a file holds beside its pixels, in words, what gives people away first; nothing where it has only these.

    A film has no pixels alone: of one only what gives people away is told.
    """
    kind = kind_of(raw)
    walk = {"JPEG": _jpeg, "PNG": _png, "WebP": _webp, "HEIC": _boxes, "AVIF": _boxes}.get(kind or "")
    said: list[str] = []
    if walk is not None:
        said += walk(raw)
    elif kind in FILMS:
        said += _film(raw)
    elif kind is not None:
        for block in blocks_in(raw, bare=kind in ("TIFF", "raw")):
            said += said_by_exif(block, whole=False)
    for block in blocks_in(raw):
        said += said_by_exif(block, whole=False)
    at = raw.find(b"<x:xmpmeta")
    if at < 0:
        at = raw.find(b"http://ns.adobe.com/xap/1.0/")
    if at >= 0:
        said += _said_by_xmp(raw[at : at + 1_000_000])
    told = dict.fromkeys(said)
    return [*(words for words in ORDER if words in told), *(words for words in told if words not in ORDER)]


def exif_text(raw: bytes, field: int) -> str | None:
    """The text of one field of EXIF, wherever it stands in a file; None where there is none."""
    bare = kind_of(raw) in ("PNG", "WebP", "HEIC", "AVIF")
    return next((text for block in blocks_in(raw, bare) if (text := text_of(block, field))), None)


def _said_by_xmp(text: bytes) -> list[str]:
    return [*(words for pattern, words in _IN_XMP if pattern.search(text)), XMP]


def _jpeg(raw: bytes) -> Iterator[str]:
    at, count = 2, 0
    while at + 4 <= len(raw):
        count += 1
        if count > MOST_CHUNKS:
            yield OWN
            return
        if raw[at] != 0xFF:
            yield OWN  # between two blocks stands something that is none
            return
        marker = raw[at + 1]
        if marker == 0xFF:
            at += 1
            continue
        if marker == 0xD9:
            if raw[at + 2 :].strip(b"\0"):
                yield MORE
            return
        if marker == 0x01 or 0xD0 <= marker <= 0xD8:
            at += 2
            continue
        (length,) = struct.unpack_from(">H", raw, at + 2)
        block = raw[at + 4 : at + 2 + length]
        yield from _of_jpeg_block(marker, block)
        at += 2 + max(2, length)
        if marker == 0xDA:
            at = _behind_the_scan(raw, at)


def _behind_the_scan(raw: bytes, at: int) -> int:
    """Where the next block begins behind the coded pixels, in which 255 is followed by 0 or a restart."""
    while True:
        at = raw.find(b"\xff", at)
        if at < 0 or at + 1 >= len(raw):
            return len(raw)
        if raw[at + 1] == 0 or 0xD0 <= raw[at + 1] <= 0xD7:
            at += 2
        elif raw[at + 1] == 0xFF:
            at += 1
        else:
            return at


def _of_jpeg_block(marker: int, block: bytes) -> Iterator[str]:
    """What one block of a JPEG says: 0xE0 to 0xEF are of applications, 0xFE is a remark."""
    if marker == 0xFE:
        yield TEXT
    elif marker == 0xE0:
        if block[:5] == b"JFIF\0":
            if len(block) > 14 and block[12] and block[13]:
                yield THUMBNAIL
        else:
            yield THUMBNAIL if block[:5] == b"JFXX\0" else OWN
    elif marker == 0xE1:
        if block[:4] == b"Exif":
            yield from said_by_exif(block)
        else:
            yield from _said_by_xmp(block)
    elif marker == 0xE2:
        if block[:4] == b"MPF\0":
            yield FURTHER
        elif block[:12] != b"ICC_PROFILE\0":
            yield OWN
    elif marker == 0xED:
        yield from _said_by_iptc(block)
    elif 0xE3 <= marker <= 0xEF and not (marker == 0xEE and block[:5] == b"Adobe"):
        yield MAKER


def _said_by_iptc(block: bytes) -> Iterator[str]:
    """A block of Photoshop's: resources, of which 0x0404 is IPTC-IIM, and 0x0409 and 0x040C are thumbnails."""
    if b"8BIM\x04\x09" in block or b"8BIM\x04\x0c" in block:
        yield THUMBNAIL
    # Datasets of record 2: 80 and 110 name people, 90 to 101 places (IPTC-IIM 4.2).
    numbers = {match[1][0] for match in re.finditer(rb"\x1c\x02(.)", block, re.DOTALL)}
    if numbers & {26, 27, 90, 92, 95, 100, 101}:
        yield POSITION
    if numbers & {80, 85, 110, 115, 116, 118, 122}:
        yield NAME
    yield IPTC


def _png(raw: bytes) -> Iterator[str]:
    at = 8
    for _ in range(MOST_CHUNKS):
        if at + 8 > len(raw):
            return
        length, kind = struct.unpack_from(">I4s", raw, at)
        block = raw[at + 8 : at + 8 + length]
        at += 12 + length
        if kind == b"IEND":
            if raw[at:].strip(b"\0"):
                yield MORE
            return
        if kind == b"eXIf":
            yield from said_by_exif(block)
        elif kind in (b"tEXt", b"zTXt", b"iTXt"):
            yield from _said_by_png_text(kind, block)
        elif kind == b"tIME":
            yield "the time at which it was saved"
        elif kind not in _PNG_PIXELS:
            yield OWN
    yield OWN


def _said_by_png_text(kind: bytes, block: bytes) -> Iterator[str]:
    key, _, rest = block.partition(b"\0")
    packed = b""
    if kind == b"zTXt":
        packed, rest = rest[1:], b""
    elif kind == b"iTXt":
        is_packed, rest = rest[:1] == b"\1", rest[2:].split(b"\0", 2)[-1]
        packed, rest = (rest, b"") if is_packed else (b"", rest)
    if packed:
        try:
            rest = zlib.decompressobj().decompress(packed, PROFILE_TEXT)  # one that blows up is cut off
        except zlib.error:
            yield UNREADABLE
    low = key.lower()
    if b"xmp" in low:
        yield from _said_by_xmp(rest)
    elif low.startswith(b"raw profile type"):
        profile = _from_hex(rest)
        if b"iptc" in low:
            yield from _said_by_iptc(profile)
        elif b"xmp" in low:
            yield from _said_by_xmp(profile)
        else:
            said = [words for found in blocks_in(profile, bare=True) for words in said_by_exif(found, whole=False)]
            yield from said or [UNREADABLE]
    elif low in (b"author", b"copyright", b"artist", b"owner"):
        yield NAME
    else:
        yield TEXT


def _from_hex(text: bytes) -> bytes:
    """The bytes that a profile of ImageMagick's writes as digits, behind lines with its name and length."""
    digits = re.sub(rb"\s", b"", text.lstrip().partition(b"\n")[2].partition(b"\n")[2])
    try:
        return bytes.fromhex(digits.decode("ascii"))
    except ValueError:
        return b""


def _webp(raw: bytes) -> Iterator[str]:
    (size,) = struct.unpack_from("<I", raw, 4)
    end = min(len(raw), 8 + size)
    if raw[8 + size :].strip(b"\0"):
        yield MORE
    at = 12
    for _ in range(MOST_CHUNKS):
        if at + 8 > end:
            return
        kind, length = struct.unpack_from("<4sI", raw, at)
        block = raw[at + 8 : at + 8 + length]
        at += 8 + length + length % 2
        if kind == b"EXIF":
            yield from said_by_exif(block)
        elif kind == b"XMP ":
            yield from _said_by_xmp(block)
        elif kind not in _WEBP_PIXELS:
            yield OWN
    yield OWN


def _boxes(raw: bytes) -> Iterator[str]:
    """HEIC and AVIF (ISO/IEC 23008-12): items of a picture by their types; an item "Exif" or "mime" is no picture."""
    types = [match[1] for match in re.finditer(rb"infe[\x02\x03].{3}(?:.{4}|.{6})([a-zA-Z0-9]{4})", raw, re.DOTALL)]
    if b"Exif" in types:
        said = [words for block in blocks_in(raw, bare=True) for words in said_by_exif(block, whole=False)]
        yield from (words for words in said if words != UNREADABLE)
        if not said:
            yield UNREADABLE
    if b"mime" in types:
        yield XMP
    if b"thmb" in raw[: 1 << 20]:
        yield THUMBNAIL
    yield from _film(raw)


def _without_samples(raw: bytes) -> bytes:
    """A file of boxes without the coded pictures and sounds, in which any four letters may stand by chance."""
    kept, at = [], 0
    for _ in range(MOST_CHUNKS):
        if at + 8 > len(raw):
            break
        length, kind = struct.unpack_from(">I4s", raw, at)
        if length == 1 and at + 16 <= len(raw):
            (length,) = struct.unpack_from(">Q", raw, at + 8)
        elif length == 0:
            length = len(raw) - at
        if kind != b"mdat":
            kept.append(raw[at : at + max(8, length)])
        at += max(8, length)
    return b"".join(kept)


def _film(raw: bytes) -> Iterator[str]:
    """What a film gives away: its place, and whose it is; wherever the boxes for that lie."""
    if kind_of(raw) in ("MP4", "HEIC", "AVIF"):
        raw = _without_samples(raw)
    if any(mark in raw for mark in _PLACE_IN_FILM):
        yield POSITION
    if re.search(rb"\xa9(aut|ART|own|prd|dir)|com\.apple\.quicktime\.(author|artist)", raw):
        yield NAME
    if re.search(rb"\xa9(mod|mak|sn )|com\.apple\.quicktime\.(model|make|camera)|CAMD|camm|SNum", raw):
        yield CAMERA
