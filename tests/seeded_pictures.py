"""Pictures and films with what gives people away seeded into them, byte by byte, for tests to look for."""

import io
import struct
import zlib

from PIL import Image

PLACE, SERIAL, OWNER, MAKER, THUMBNAIL = (
    b"SEED-PLACE",
    b"SEED-SERIAL",
    b"SEED-OWNER",
    b"SEED-MAKERNOTE",
    b"SEED-THUMBNAIL",
)
SEEDS = (PLACE, SERIAL, OWNER, MAKER, THUMBNAIL)


def pixels(size=(64, 48)) -> Image.Image:
    return Image.new("RGB", size, (200, 30, 30))


def saved(form: str, size=(64, 48), **how) -> bytes:
    out = io.BytesIO()
    pixels(size).save(out, form, **how)
    return out.getvalue()


def tiff(order=">", held=6) -> bytes:
    """A block of TIFF with position, serial number, owner, maker's notes, day and a thumbnail, laid out by hand."""
    values, directories = b"", b""
    at_values = 1000

    def entry(tag, kind, count, value: bytes | int) -> bytes:
        nonlocal values
        if isinstance(value, int):
            field = struct.pack(f"{order}{'HH' if kind == 3 else 'I'}", *((value, 0) if kind == 3 else (value,)))
        elif len(value) <= 4:
            field = value.ljust(4, b"\0")
        else:
            field = struct.pack(f"{order}I", at_values + len(values))
            values += value
        return struct.pack(f"{order}HHI", tag, kind, count) + field

    def directory(entries: list[bytes], following=0) -> bytes:
        return struct.pack(f"{order}H", len(entries)) + b"".join(entries) + struct.pack(f"{order}I", following)

    def text(tag, said: bytes, kind=2) -> bytes:
        return entry(tag, kind, len(said) + 1, said + b"\0")

    first_at, exif_at, gps_at, second_at = 8, 200, 400, 600
    first = directory([entry(0x0112, 3, 1, held), entry(0x8769, 4, 1, exif_at), entry(0x8825, 4, 1, gps_at)], second_at)
    exif = directory(
        [text(0x9003, b"2025:03:04 10:11:12"), text(0x927C, MAKER, 7), text(0xA430, OWNER), text(0xA431, SERIAL)]
    )
    degrees = struct.pack(f"{order}6I", 51, 1, 30, 1, 0, 1)
    gps = directory([entry(1, 2, 2, b"N\0"), entry(2, 5, 3, degrees), text(0x1B, PLACE, 7)])
    second = directory([entry(0x0201, 4, 1, 900), entry(0x0202, 4, 1, len(THUMBNAIL))])
    block = {b">"[0]: b"MM\0*", b"<"[0]: b"II*\0"}[order.encode()[0]] + struct.pack(f"{order}I", first_at)
    for at, directories in ((first_at, first), (exif_at, exif), (gps_at, gps), (second_at, second), (900, THUMBNAIL)):
        block = block.ljust(at, b"\0") + directories
    return block.ljust(at_values, b"\0") + values


def jpeg_block(marker: int, content: bytes) -> bytes:
    return bytes([0xFF, marker]) + struct.pack(">H", len(content) + 2) + content


def jpeg(*blocks: bytes, size=(64, 48)) -> bytes:
    """A JPEG with blocks behind its first marker."""
    raw = saved("JPEG", size)
    return raw[:2] + b"".join(blocks) + raw[2:]


def png_chunk(kind: bytes, content: bytes) -> bytes:
    return struct.pack(">I", len(content)) + kind + content + struct.pack(">I", zlib.crc32(kind + content))


def png(*chunks: bytes, size=(64, 48)) -> bytes:
    """A PNG with chunks behind its head."""
    raw = saved("PNG", size)
    return raw[:33] + b"".join(chunks) + raw[33:]


def webp(*chunks: tuple[bytes, bytes], size=(64, 48)) -> bytes:
    """A WebP in its extended form, with chunks behind its pixels."""
    plain = saved("WEBP", size)[12:]
    flags = (8 if any(kind == b"EXIF" for kind, _ in chunks) else 0) | (
        4 if any(kind == b"XMP " for kind, _ in chunks) else 0
    )
    head = (
        b"VP8X"
        + struct.pack("<IB3x", 10, flags)
        + (size[0] - 1).to_bytes(3, "little")
        + (size[1] - 1).to_bytes(3, "little")
    )
    body = b"WEBP" + head + plain
    for kind, content in chunks:
        body += kind + struct.pack("<I", len(content)) + content + b"\0" * (len(content) % 2)
    return b"RIFF" + struct.pack("<I", len(body)) + body


def heic(size=(64, 48)) -> bytes:
    import pillow_heif

    out = io.BytesIO()
    pillow_heif.from_pillow(pixels(size)).save(out, exif=tiff(), quality=60)
    return out.getvalue()


def box(kind: bytes, content: bytes) -> bytes:
    return struct.pack(">I", len(content) + 8) + kind + content


def mp4() -> bytes:
    """A film that says where it was taken and by whom, as phones write it."""
    place = b"+51.5000-000.1200/" + PLACE
    udta = box(b"udta", box(b"\xa9xyz", struct.pack(">HH", len(place), 0x15C7) + place) + box(b"\xa9aut", OWNER))
    return box(b"ftyp", b"isom\0\0\2\0isomiso2") + box(b"mdat", b"\0" * 64) + box(b"moov", udta)


XMP = b'<x:xmpmeta xmlns:x="adobe:ns:meta/"><exif:GPSLatitude>51,30N</exif:GPSLatitude><aux:SerialNumber>SEED-SERIAL</aux:SerialNumber></x:xmpmeta>'
IPTC = (
    b"Photoshop 3.0\0" + b"8BIM\x04\x04\0\0\0\0\0\x1c" + b"\x1c\x02\x50\0\x0a" + OWNER + b"\x1c\x02\x5a\0\x0a" + PLACE
)
EXIF = b"Exif\0\0" + tiff()

JPEGS = {
    "EXIF": jpeg(jpeg_block(0xE1, EXIF)),
    "EXIF, small end first": jpeg(jpeg_block(0xE1, b"Exif\0\0" + tiff("<"))),
    "XMP": jpeg(jpeg_block(0xE1, b"http://ns.adobe.com/xap/1.0/\0" + XMP)),
    "IPTC": jpeg(jpeg_block(0xED, IPTC)),
    "a remark": jpeg(jpeg_block(0xFE, OWNER)),
    "a block of the maker's": jpeg(jpeg_block(0xE5, MAKER)),
    "a second picture": saved("JPEG") + jpeg(jpeg_block(0xE1, EXIF)),
}
PNGS = {
    "EXIF": png(png_chunk(b"eXIf", tiff())),
    "text": png(png_chunk(b"tEXt", b"Author\0" + OWNER)),
    "XMP": png(png_chunk(b"iTXt", b"XML:com.adobe.xmp\0\0\0\0\0" + XMP)),
    "packed XMP": png(png_chunk(b"iTXt", b"XML:com.adobe.xmp\0\1\0\0\0" + zlib.compress(XMP))),
    "a packed profile": png(
        png_chunk(
            b"zTXt", b"Raw profile type exif\0\0" + zlib.compress(b"\nexif\n%8d\n" % len(EXIF) + EXIF.hex().encode())
        )
    ),
    "a chunk of its own": png(png_chunk(b"seRd", SERIAL)),
    "a file behind it": saved("PNG") + b"PK\3\4" + OWNER,
}
WEBPS = {
    "EXIF": webp((b"EXIF", tiff())),
    "EXIF with its word": webp((b"EXIF", EXIF)),
    "XMP": webp((b"XMP ", XMP)),
    "a chunk of its own": webp((b"SEED", SERIAL)),
    "a file behind it": webp() + b"PK\3\4" + OWNER,
}
