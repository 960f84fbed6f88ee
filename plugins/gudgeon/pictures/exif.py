"""What a camera wrote about a picture: the fields of TIFF and EXIF, read here without any library, in bounded time.

The numbers of the fields are those of the EXIF standard (CIPA DC-008) and of TIFF 6.0.
"""

import struct
from collections.abc import Iterator

MOST_FIELDS, MOST_DIRECTORIES = 2_000, 32  # of one block: more is no camera's
MOST_CHUNKS = 100_000  # of one file; a picture of many megabytes has some thousands
MOST_BLOCKS = 20  # that are looked at in one file
POSITION, SERIAL, NAME = "the place where it was taken", "a serial number", "somebody's name"
THUMBNAIL, MAKER, TEXT = "a smaller picture of its own", "the maker's notes", "a description or remark"
CAMERA = "the camera, its settings or the time"
UNREADABLE = "what a camera wrote, which cannot be read"

_POINTERS = {0x8769: "exif", 0x8825: "gps", 0xA005: "interop", 0x014A: "more"}
_SAYS = (
    dict.fromkeys((0xA431, 0xA435, 0xC62F, 0xA420, 0xC65D), SERIAL)
    | dict.fromkeys((0xA430, 0x013B, 0x8298, 0x9C9D, 0x013C, 0xA436, 0xA437, 0xA438, 0xA43A), NAME)
    | dict.fromkeys((0x9286, 0x010E, 0x9C9B, 0x9C9C, 0x9C9E, 0x9C9F, 0x02BC, 0x83BB, 0x8649), TEXT)
    | dict.fromkeys((0x0201, 0x0202), THUMBNAIL)
    | {0x927C: MAKER, 0xC634: MAKER}
)
# Which say only how the pixels lie: size, resolution, how it was held, colours, the version.
_HARMLESS = {0x0100, 0x0101, 0x0102, 0x0103, 0x0106, 0x0112, 0x0115, 0x011A, 0x011B, 0x011C, 0x0128, 0x0213, 0x0211}
_HARMLESS |= {0x9000, 0x9101, 0xA000, 0xA001, 0xA002, 0xA003, 0x0111, 0x0116, 0x0117, 0x0001, 0x0002, *_POINTERS}
_UNIT = {1: 1, 2: 1, 3: 2, 4: 4, 5: 8, 6: 1, 7: 1, 8: 2, 9: 4, 10: 8, 11: 4, 12: 8, 13: 4}  # bytes of each type


def tiff_in(raw: bytes) -> bytes:
    """The TIFF block in an EXIF one, which may begin with a word and does not have to."""
    return raw[6:] if raw[:4] == b"Exif" else raw


def said_by_exif(raw: bytes, whole: bool = True) -> list[str]:
    """What kinds of thing a block of EXIF gives away; nothing where it tells only how the pixels lie. whole: False where other
    bytes follow it."""
    block = tiff_in(raw)
    said: dict[str, None] = {}
    read: list[tuple[int, int]] = []
    try:
        for directory, tag, _, value in _fields(block, read):
            if directory == "gps":
                if tag != 0 and value.strip(b"\0 "):  # the version of the block, and fields left empty, are no place
                    said[POSITION] = None
            elif tag in _SAYS:
                if value.strip(b"\0 ") or tag in (0x0201, 0x0202):
                    said[_SAYS[tag]] = None
            elif tag not in _HARMLESS and directory != "interop":
                said[CAMERA] = None
    except (struct.error, ValueError, IndexError):
        said[UNREADABLE] = None
    if not said and whole and _unread(block, read):
        said[UNREADABLE] = None  # what no field leads to may be anything: one damaged number hides a whole directory
    return list(said)


def _unread(block: bytes, read: list[tuple[int, int]]) -> bool:
    """Whether something stands in a block between and behind what was read of it."""
    at = 0
    for begins, ends in [*sorted(read), (len(block), len(block))]:
        if block[at:begins].strip(b"\0 "):
            return True
        at = max(at, ends)
    return False


def text_of(raw: bytes, wanted: int) -> str | None:
    """The text of one field of a block of EXIF; None where it has none."""
    try:
        for _, tag, _, value in _fields(tiff_in(raw)):
            if tag == wanted:
                return value.rstrip(b"\0 ").decode("ascii", "replace")
    except (struct.error, ValueError, IndexError):
        pass
    return None


def number_of(raw: bytes, wanted: int) -> int | None:
    """The whole number of one field of a block of EXIF, such as the orientation; None where it has none."""
    block = tiff_in(raw)
    try:
        for _, tag, kind, value in _fields(block):
            if tag == wanted and kind in (3, 4):
                return int.from_bytes(value[: _UNIT[kind]], "little" if block[:2] == b"II" else "big")
    except (struct.error, ValueError, IndexError):
        pass
    return None


def png_exif(raw: bytes) -> bytes | None:
    """The block of EXIF in a PNG, wherever it stands among the chunks."""
    at = 8
    for _ in range(MOST_CHUNKS):
        if at + 8 > len(raw):
            break
        length, kind = struct.unpack_from(">I4s", raw, at)
        if kind == b"eXIf":
            return raw[at + 8 : at + 8 + length]
        at += 12 + length
    return None


def blocks_in(raw: bytes, bare: bool = False) -> Iterator[bytes]:
    """Every block of EXIF anywhere in a file, whatever it lies in. bare: those that begin without the word "Exif", too."""
    marks = [b"Exif\0\0II*\0", b"Exif\0\0MM\0*", *([b"II*\0", b"MM\0*"] if bare else [])]
    for mark in marks:
        at = raw.find(mark)
        for _ in range(MOST_BLOCKS):
            if at < 0:
                break
            yield raw[at : at + 4_000_000]
            at = raw.find(mark, at + 1)


def _fields(block: bytes, read: list[tuple[int, int]] | None = None) -> Iterator[tuple[str, int, int, bytes]]:
    """Every field: (directory, number, type, value). read: takes the places of what was read. Raises what `struct` does, or ValueError, where it is damaged."""
    order = {b"II*\0": "<", b"MM\0*": ">"}.get(block[:4])
    if order is None:
        raise ValueError("no TIFF")
    read = [] if read is None else read
    read.append((0, 8))
    waiting = [("first", struct.unpack_from(f"{order}I", block, 4)[0])]
    looked: set[int] = set()
    count = 0
    while waiting and len(looked) < MOST_DIRECTORIES:
        name, at = waiting.pop()
        if at in looked:
            continue
        looked.add(at)
        (entries,) = struct.unpack_from(f"{order}H", block, at)
        for entry in range(entries):
            count += 1
            if count > MOST_FIELDS:
                raise ValueError("too many fields")
            tag, kind, number = struct.unpack_from(f"{order}HHI", block, at + 2 + 12 * entry)
            length = _UNIT.get(kind, 1) * number
            begins = at + 2 + 12 * entry + 8
            if length > 4:
                (begins,) = struct.unpack_from(f"{order}I", block, begins)
            if tag in _POINTERS and name != "gps":
                pointers = min(number, 4) if length > 4 else 1
                waiting += [
                    (_POINTERS[tag], struct.unpack_from(f"{order}I", block, begins + 4 * index)[0])
                    for index in range(pointers)
                ]
            read.append((begins, begins + length))
            yield name, tag, kind, block[begins : begins + min(length, 100_000)]
        following = at + 2 + 12 * entries
        read.append((at, following + 4))
        if following + 4 <= len(block):
            (after,) = struct.unpack_from(f"{order}I", block, following)
            if after and name == "first":
                waiting.append(("thumbnail", after))
