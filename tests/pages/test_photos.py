"""Photographs lose their metadata and their size, and a bad one hurts nobody."""

import io
import re
import struct
import zlib

import pytest
from gudgeon.assess.build import assess
from gudgeon.pages import photos
from gudgeon.pages.photos import LONGEST_SIDE, smaller_copy
from gudgeon.records.load_build import load_build
from gudgeon.records.model import Club
from PIL import Image
from small_build import FILES, rendered, shelf, write


def jpeg(size=(2400, 1200), exif=True) -> bytes:
    picture, data = Image.new("RGB", size, (200, 30, 30)), Image.Exif()
    if exif:
        data[0x010F] = "Maker of the camera"
        data[0x0112] = 6  # lies on its side
        data.get_ifd(0x8825)[2] = (51.0, 30.0, 0.0)  # where it was taken
    out = io.BytesIO()
    picture.save(out, "JPEG", exif=data)
    return out.getvalue()


def test_nothing_but_pixels_is_left():
    raw = jpeg()
    assert b"Maker of the camera" in raw
    copy = smaller_copy(raw)
    with Image.open(io.BytesIO(copy)) as picture:
        assert picture.format == "WEBP" and not picture.getexif() and max(picture.size) == LONGEST_SIDE
        assert picture.size == (800, 1600), "upright, as it was seen"
    assert b"Maker" not in copy and b"EXIF" not in copy.upper()


def test_the_same_picture_gives_the_same_bytes():
    assert smaller_copy(jpeg()) == smaller_copy(jpeg())


def bomb() -> bytes:
    """A PNG that claims a hundred thousand pixels a side."""

    def chunk(kind, data):
        return struct.pack(">I", len(data)) + kind + data + struct.pack(">I", zlib.crc32(kind + data))

    return (
        b"\x89PNG\r\n\x1a\n"
        + chunk(b"IHDR", struct.pack(">IIBBBBB", 100_000, 100_000, 8, 2, 0, 0, 0))
        + chunk(b"IDAT", zlib.compress(b"\0" * 1000))
        + chunk(b"IEND", b"")
    )


def test_an_animation_a_polyglot_and_a_wrong_ending_are_their_first_pixels_alone():
    """What is a picture and something else, or moves, comes out as one still picture; a colour profile goes, too."""
    red, out = Image.new("RGB", (40, 30), (255, 0, 0)), io.BytesIO()
    red.save(out, "WEBP", save_all=True, append_images=[Image.new("RGB", (40, 30), (0, 0, 255))], lossless=True)
    with_profile = io.BytesIO()
    red.save(with_profile, "PNG", icc_profile=b"<script>alert(1)</script>" * 10)
    script = b"/*<script>alert(1)</script>*/"
    for raw in (out.getvalue(), with_profile.getvalue() + script, jpeg((40, 30), exif=False) + b"PK\x03\x04" + script):
        copy = smaller_copy(raw)
        with Image.open(io.BytesIO(copy)) as picture:
            assert (picture.format, picture.size, getattr(picture, "n_frames", 1)) == ("WEBP", (40, 30), 1)
            assert picture.getpixel((5, 5))[0] > 180 and "icc_profile" not in picture.info
        assert b"script" not in copy and b"PK" not in copy


@pytest.mark.parametrize("at", range(0, 160, 7))
def test_damaged_metadata_hurts_nobody(at):
    raw = bytearray(jpeg((64, 64)))
    raw[20 + at : 24 + at] = b"\xff\xff\xff\xff"
    with Image.open(io.BytesIO(smaller_copy(bytes(raw)))) as picture:
        assert picture.format == "WEBP"


def test_a_file_that_is_too_large_is_not_read_whole(tmp_path, monkeypatch):
    path = tmp_path / "a.jpg"
    path.write_bytes(jpeg((64, 64)))
    assert photos._bytes(path) == path.read_bytes()
    monkeypatch.setattr(photos, "MOST_BYTES", 100)
    assert photos._bytes(path) == b""


@pytest.mark.parametrize(
    "raw",
    [b"", b"not a picture", b"<svg onload=alert(1)>", jpeg()[:500], bomb()],
    ids=["empty", "text", "svg", "cut off", "bomb"],
)
def test_what_cannot_be_read_safely_is_a_grey_square(raw):
    with Image.open(io.BytesIO(smaller_copy(raw))) as picture:
        assert picture.size == (64, 64)


def test_a_photograph_stands_on_its_pages(tmp_path):
    part = FILES["parts/piston.yaml"].replace("state: in work", "state: in work\nphotos: [Skirt.jpg]")
    folder = write(tmp_path / "small", parts__piston=part)
    (folder / "photos").mkdir()
    (folder / "photos" / "Skirt.jpg").write_bytes(jpeg((300, 200)))
    build = load_build(folder, "builds/small", shelf())
    assert build.problems == []
    pages, assets = rendered(Club([build], shelf()), {"small": assess(build, shelf())})
    assert "builds/small/photos/Skirt.jpg.webp" in {asset.uri for asset in assets}
    card = next(page for page in pages if page.uri == "builds/small/parts/piston.md")
    assert 'src="../../photos/Skirt.jpg.webp" alt="Piston"' in card.text


def test_two_pictures_that_differ_in_their_ending_are_both_shown(tmp_path):
    part = FILES["parts/piston.yaml"].replace("state: in work", "state: in work\nphotos: [skirt.jpg, skirt.png]")
    folder = write(tmp_path / "small", parts__piston=part)
    (folder / "photos").mkdir()
    (folder / "photos" / "skirt.jpg").write_bytes(jpeg((300, 200)))
    (folder / "photos" / "skirt.png").write_bytes(jpeg((200, 300)))
    build = load_build(folder, "builds/small", shelf())
    pages, assets = rendered(Club([build], shelf()), {"small": assess(build, shelf())})
    card = next(page for page in pages if page.uri == "builds/small/parts/piston.md")
    shown = re.findall(r'<img src="../../(photos/[^"]+)"', card.text)
    copies = {asset.uri: asset.content for asset in assets}
    assert len(shown) == 2 and len({copies[f"builds/small/{path}"] for path in shown}) == 2
