"""Photographs lose their metadata and their size, and a bad one hurts nobody."""

import io
import re
import struct
import zlib

import pytest
from gudgeon.assess.build import assess
from gudgeon.pictures import opening
from gudgeon.pictures.clean import LONGEST_SIDE
from gudgeon.pictures.sizes import copies_of, sized
from gudgeon.project.cache import Cache
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


@pytest.fixture
def copies(tmp_path):
    """The copies of a picture, by what stands behind its name."""

    def of(raw: bytes, cache: Cache | None = None) -> dict[str, bytes]:
        path = tmp_path / "a.jpg"
        path.write_bytes(raw)
        return {name.removeprefix("a.jpg-"): content for name, content in copies_of([path], cache).items()}

    return of


def opened(raw: bytes) -> Image.Image:
    return Image.open(io.BytesIO(raw))


def test_nothing_but_pixels_is_left_in_any_width_and_form(copies):
    raw = jpeg()
    assert b"Maker of the camera" in raw
    made = copies(raw)
    assert set(made) == {"480.avif", "480.webp", "800.avif", "800.webp", "800.jpeg"}
    for name, copy in made.items():
        width = int(name.split(".")[0])
        with opened(copy) as picture:
            assert picture.size == (width, 2 * width) and max(picture.size) <= LONGEST_SIDE, "upright, as it was seen"
            assert not picture.getexif() and "icc_profile" not in picture.info
        assert b"Maker" not in copy and b"EXIF" not in copy.upper()


def test_no_copy_is_larger_than_the_picture(copies):
    assert set(copies(jpeg((300, 100), exif=False))) == {"300.avif", "300.webp", "300.jpeg"}


@pytest.mark.parametrize("size", [(1, 60_000), (60_000, 1), (1, 1)])
def test_a_strip_is_shown_as_far_as_it_goes(copies, size):
    for copy in copies(jpeg(size, exif=False)).values():
        with opened(copy) as picture:
            assert max(picture.size) <= LONGEST_SIDE


def test_colours_are_those_that_the_profile_means(copies):
    from PIL import ImageCms

    plain, swapped = io.BytesIO(), io.BytesIO()
    red = Image.new("RGB", (40, 30), (200, 30, 30))
    red.save(plain, "PNG")
    lab = ImageCms.ImageCmsProfile(ImageCms.createProfile("sRGB")).tobytes()
    red.save(
        swapped, "PNG", icc_profile=lab.replace(b"rXYZ", b"tXYZ").replace(b"bXYZ", b"rXYZ").replace(b"tXYZ", b"bXYZ")
    )
    with opened(copies(plain.getvalue())["40.jpeg"]) as first, opened(copies(swapped.getvalue())["40.jpeg"]) as second:
        seen, turned = first.convert("RGB").getpixel((5, 5)), second.convert("RGB").getpixel((5, 5))
    assert seen[0] > 180 and seen[2] < 60, "red stays red"
    assert turned[2] > 180 and turned[0] < 60, "a profile in which red is blue is followed"


def test_what_can_be_seen_through_lies_on_white(copies):
    out = io.BytesIO()
    Image.new("RGBA", (40, 30), (0, 0, 0, 0)).save(out, "PNG")
    with opened(copies(out.getvalue())["40.jpeg"]) as picture:
        assert min(picture.convert("RGB").getpixel((5, 5))) > 250


def test_a_photograph_is_made_once_in_its_life(copies, tmp_path, monkeypatch):
    cache = Cache(tmp_path / "kept")
    first = copies(jpeg(), cache)
    assert first == copies(jpeg()), "the same picture gives the same bytes"
    monkeypatch.setattr("gudgeon.pictures.sizes.pixels_of", lambda *given: pytest.fail("it was made again"))
    assert copies(jpeg(), cache) == first


@pytest.mark.parametrize(
    "damage",
    [
        lambda raw: raw[:-1],
        lambda raw: raw[:-3] + bytes([raw[-3] ^ 1]) + raw[-2:],
        lambda raw: b"",
        lambda raw: b'{"key": 1}\n' + raw,
        lambda raw: b"[" * 100_000,
        lambda raw: b'{"key": "other", ' + raw.partition(b", ")[2],
    ],
    ids=["cut off", "a bit turned", "empty", "another head", "deep", "another's"],
)
def test_a_damaged_entry_is_thrown_away(copies, tmp_path, damage):
    cache = Cache(tmp_path / "kept")
    first = copies(jpeg((64, 64)), cache)
    (entry,) = (tmp_path / "kept").glob("*.bytes")
    entry.write_bytes(damage(entry.read_bytes()))
    assert copies(jpeg((64, 64)), cache) == first


def test_an_entry_of_another_picture_is_thrown_away(copies, tmp_path):
    cache = Cache(tmp_path / "kept")
    first = copies(jpeg((64, 64)), cache)
    (entry,) = (tmp_path / "kept").glob("*.bytes")
    out = io.BytesIO()
    Image.new("RGB", (64, 64), (0, 0, 255)).save(out, "PNG")
    copies(out.getvalue(), cache)
    (other,) = set((tmp_path / "kept").glob("*.bytes")) - {entry}
    entry.write_bytes(other.read_bytes())
    assert copies(jpeg((64, 64)), cache) == first


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


def test_an_animation_a_polyglot_and_a_wrong_ending_are_their_first_pixels_alone(copies):
    """What is a picture and something else, or moves, comes out as one still picture; a colour profile goes, too."""
    red, out = Image.new("RGB", (40, 30), (255, 0, 0)), io.BytesIO()
    red.save(out, "WEBP", save_all=True, append_images=[Image.new("RGB", (40, 30), (0, 0, 255))], lossless=True)
    with_profile = io.BytesIO()
    red.save(with_profile, "PNG", icc_profile=b"<script>alert(1)</script>" * 10)
    script = b"/*<script>alert(1)</script>*/"
    for raw in (out.getvalue(), with_profile.getvalue() + script, jpeg((40, 30), exif=False) + b"PK\x03\x04" + script):
        for copy in copies(raw).values():
            with opened(copy) as picture:
                assert (picture.size, getattr(picture, "n_frames", 1)) == ((40, 30), 1)
                assert picture.convert("RGB").getpixel((5, 5))[0] > 180 and "icc_profile" not in picture.info
            assert b"script" not in copy and b"PK\x03" not in copy


@pytest.mark.parametrize("at", range(0, 160, 7))
def test_damaged_metadata_hurts_nobody(copies, at):
    raw = bytearray(jpeg((64, 64)))
    raw[20 + at : 24 + at] = b"\xff\xff\xff\xff"
    assert all(opened(copy).size for copy in copies(bytes(raw)).values())


def test_a_file_that_is_too_large_is_not_read_whole(tmp_path, monkeypatch):
    path = tmp_path / "a.jpg"
    path.write_bytes(jpeg((64, 64)))
    assert opening.bytes_of(path) == path.read_bytes()
    monkeypatch.setattr(opening, "MOST_BYTES", 100)
    with pytest.raises(opening.NotRead):
        opening.bytes_of(path)
    assert not sized(path).readable


def canvas(width: int, height: int) -> bytes:
    """A WebP that claims a canvas of many pixels, of which the decoder would take the memory at once."""
    head = b"VP8X" + struct.pack("<I4x", 10) + (width - 1).to_bytes(3, "little") + (height - 1).to_bytes(3, "little")
    body = b"WEBP" + head + b"VP8 \0\0\0\0"
    return b"RIFF" + struct.pack("<I", len(body)) + body


STEPS = jpeg((64, 64))[:-2] + b"\xff\xda\0\x08\1\1\0\1\x3f\x10\0" * 5_000 + b"\xff\xd9"


@pytest.mark.parametrize(
    "raw",
    [
        b"",
        b"not a picture",
        b"<svg onload=alert(1)>",
        bomb(),
        canvas(16_000_000, 16_000_000),
        canvas(16_383, 16_383),
        STEPS,
    ],
    ids=["empty", "text", "svg", "bomb", "a canvas", "a canvas that WebP allows", "thousands of steps"],
)
def test_what_cannot_be_read_safely_is_a_grey_square(copies, raw):
    for copy in copies(raw).values():
        with opened(copy) as picture:
            assert picture.size == (64, 64)


def test_what_is_cut_off_is_grey_at_its_size(copies):
    made = copies(jpeg((640, 320), exif=False)[:700])
    with opened(made["640.jpeg"]) as picture:
        assert picture.size == (640, 320) and picture.convert("RGB").getpixel((9, 9)) == (128, 128, 128)


def built(tmp_path, pictures: dict[str, bytes], **changes: str):
    names = ", ".join(pictures)
    part = FILES["parts/piston.yaml"].replace("state: in work", f"state: in work\nphotos: [{names}]")
    folder = write(tmp_path / "small", parts__piston=part, **changes)
    (folder / "photos").mkdir()
    for name, raw in pictures.items():
        (folder / "photos" / name).write_bytes(raw)
    build = load_build(folder, "builds/small", shelf())
    assert build.problems == []
    pages, assets = rendered(Club([build], shelf()), {"small": assess(build, shelf())})
    card = next(page for page in pages if page.uri == "builds/small/parts/piston.md")
    return card.text, {asset.uri: asset.content for asset in assets}


def test_a_photograph_stands_on_its_pages_in_all_widths(tmp_path):
    known = "photos:\n  Skirt.jpg: {shows: A skirt in the <chuck>, by: ada, date: 2025-02-03, caption: Before the last cut}\n"
    card, assets = built(tmp_path, {"Skirt.jpg": jpeg((1000, 600), exif=False)}, photos=known)
    image = re.search(r'<img src="../../(photos/[^"]+)"[^>]*>', card)
    assert image[1] == "photos/Skirt.jpg-960.jpeg"
    assert 'alt="A skirt in the &lt;chuck&gt;" width="1000" height="600" loading="lazy"' in image[0]
    assert "<figcaption>Before the last cut. Photograph: Ada, 2025-02-03.</figcaption>" in card
    widths = re.findall(r"\.\./\.\./(photos/\S+) (\d+)w", card)
    assert [width for _, width in widths] == ["480", "960", "1000"] * 2
    assert {f"builds/small/{path}" for path, _ in widths} < set(assets), "each copy that is named is there"


@pytest.mark.parametrize(
    "more, says",
    [
        ("withdrawn: {date: 2025-03-01, why: somebody is seen}", "This picture was withdrawn on 2025-03-01."),
        ("people: [Bo]", "This picture is not shown: nothing says that the people in it agreed."),
    ],
)
def test_a_picture_that_is_not_to_be_shown_is_not_shipped(tmp_path, more, says):
    known = f"photos:\n  Skirt.jpg: {{shows: A skirt, {more}}}\n"
    card, assets = built(tmp_path, {"Skirt.jpg": jpeg((300, 200))}, photos=known)
    assert not [uri for uri in assets if "/photos/" in uri]
    assert says in card and "Skirt.jpg" not in card


def test_two_pictures_that_differ_in_their_ending_are_both_shown(tmp_path):
    card, assets = built(tmp_path, {"skirt.jpg": jpeg((300, 200)), "skirt.png": jpeg((200, 300))})
    shown = re.findall(r'<img src="../../(photos/[^"]+)"', card)
    assert len(shown) == 2 and len({assets[f"builds/small/{path}"] for path in shown}) == 2


def test_what_phones_write_is_decoded_only_by_who_takes_it_in(copies, monkeypatch):
    import pillow_heif
    from seeded_pictures import heic

    raw = heic()
    monkeypatch.setattr(pillow_heif, "open_heif", lambda *given, **how: pytest.fail("a stranger's file was decoded"))
    assert set(copies(raw)) == {"64.avif", "64.webp", "64.jpeg"}, "a grey square"


@pytest.mark.parametrize(
    "raw, says",
    [
        (bomb(), "pixels; the most is 60 million"),
        (canvas(16_383, 16_383), "pixels; the most is 60 million"),
        (STEPS, "more steps"),
    ],
)
def test_what_would_take_all_memory_or_time_is_refused_for_that(raw, says):
    with pytest.raises(opening.NotRead, match=says):
        opening.size_of(raw)
