"""What gives people away is seen in every format, told in words, and gone when the picture was taken in."""

import io
import time

import pytest
from gudgeon.pictures import exif
from gudgeon.pictures.clean import LONGEST_SIDE, MOST_COMMITTED, clean
from gudgeon.pictures.hidden_data import IPTC, MORE, OWN, XMP, hidden_data
from gudgeon.pictures.opening import NotRead
from PIL import Image
from seeded_pictures import (
    EXIF,
    JPEGS,
    PNGS,
    SEEDS,
    WEBPS,
    heic,
    jpeg,
    jpeg_block,
    mp4,
    png,
    png_chunk,
    saved,
    tiff,
    webp,
)

ALL = {
    **{f"JPEG, {name}": raw for name, raw in JPEGS.items()},
    **{f"PNG, {name}": raw for name, raw in PNGS.items()},
    **{f"WebP, {name}": raw for name, raw in WEBPS.items()},
    "HEIC": heic(),
}
FIVE = {exif.POSITION, exif.SERIAL, exif.NAME, exif.MAKER, exif.THUMBNAIL}


@pytest.mark.parametrize("raw", ALL.values(), ids=ALL)
def test_it_is_seen_and_it_is_gone(raw):
    assert hidden_data(raw), "it is seen"
    content = clean(raw).content
    assert hidden_data(content) == []
    # Looked for in other ways, too: as bytes, and by what another library reads.
    assert not [seed for seed in (*SEEDS, b"Exif", b"EXIF", b"http:", b"PK\3\4") if seed in content]
    with Image.open(io.BytesIO(content)) as picture:
        assert picture.format == "WEBP" and not picture.getexif()
        assert not {"exif", "xmp", "icc_profile", "photoshop"} & set(picture.info)


@pytest.mark.parametrize("name", [name for name in ALL if "EXIF" in name or "profile" in name or name == "HEIC"])
def test_each_thing_is_called_by_its_name(name):
    assert set(hidden_data(ALL[name])) >= FIVE - ({exif.THUMBNAIL} if name == "HEIC" else set())


@pytest.mark.parametrize(
    "name, says",
    [
        ("JPEG, XMP", {exif.POSITION, exif.SERIAL, XMP}),
        ("JPEG, IPTC", {exif.POSITION, exif.NAME, IPTC}),
        ("JPEG, a remark", {exif.TEXT}),
        ("JPEG, a second picture", {MORE, exif.POSITION}),
        ("PNG, text", {exif.NAME}),
        ("PNG, packed XMP", {exif.POSITION, exif.SERIAL}),
        ("PNG, a chunk of its own", {OWN}),
        ("WebP, a file behind it", {MORE}),
    ],
)
def test_what_programs_write_is_told(name, says):
    assert set(hidden_data(ALL[name])) >= says


def test_a_film_says_where_it_was_taken_and_by_whom():
    assert hidden_data(mp4()) == [exif.POSITION, exif.NAME]


@pytest.mark.parametrize("form", ["JPEG", "PNG", "WEBP", "AVIF"])
def test_a_picture_with_nothing_but_pixels_is_left_in_peace(form):
    raw = saved(form, **({"dpi": (72, 72)} if form in ("JPEG", "PNG") else {}))
    assert hidden_data(raw) == []
    held = Image.Exif()
    held[0x0112] = 6  # how the camera was held says nothing of anybody
    assert hidden_data(saved(form, exif=held)) == []


def test_a_picture_is_turned_upright_and_its_day_is_read():
    late = png()[:-12] + png_chunk(b"eXIf", tiff("<")) + png()[-12:]  # behind the pixels
    for raw in (jpeg(jpeg_block(0xE1, EXIF)), png(png_chunk(b"eXIf", tiff())), late, webp((b"EXIF", tiff("<")))):
        cleaned = clean(raw)
        assert (cleaned.width, cleaned.height) == (48, 64) and str(cleaned.taken) == "2025-03-04"


def test_a_cleaned_picture_stays_as_it_is():
    cleaned = clean(jpeg(jpeg_block(0xE1, EXIF), size=(3000, 2000)))
    assert max(cleaned.width, cleaned.height) == LONGEST_SIDE and len(cleaned.content) <= MOST_COMMITTED
    assert clean(cleaned.content).content == cleaned.content


def test_what_hardly_packs_becomes_small_enough_all_the_same(monkeypatch):
    monkeypatch.setattr("gudgeon.pictures.clean.MOST_COMMITTED", 9_000)
    monkeypatch.setattr("gudgeon.pictures.clean.SIDES", (300, 150, 75))
    out = io.BytesIO()
    Image.effect_noise((300, 300), 200).convert("RGB").save(out, "JPEG", quality=95)
    assert len(out.getvalue()) > 9_000 >= len(clean(out.getvalue()).content) > 1_000


def endless() -> bytes:
    """Directories that lead to one another for ever, each with as many fields as there can be."""
    return b"MM\0*\0\0\0\x08" + (b"\xff\xff" + b"\x01\x4a\x00\x04\x00\x00\x00\x04\x00\x00\x00\x08" * 5000)


@pytest.mark.parametrize(
    "raw",
    [
        jpeg(*[jpeg_block(0xE1, b"Exif\0\0" + endless()[:60_000])] * 10),
        png(*[png_chunk(b"zTXt", b"Raw profile type exif\0\0" + b"x")] * 5_000),
        png(png_chunk(b"iTXt", b"XML:com.adobe.xmp\0\1\0\0\0" + b"\xff" * 100)),
        b"\xff\xd8\xff" + b"\xff" * 200_000,
        b"\xff\xd8" + b"\xff\xe1\0\0" * 60_000,
        b"RIFF\xff\xff\xff\xffWEBP" + b"VP8 \0\0\0\0" * 60_000,
        b"\0\0\0\x18ftypheic" + b"infe\x02" * 60_000,
        b"Exif\0\0MM\0*" * 50_000,
    ],
    ids=["directories", "texts", "damaged text", "filling", "empty blocks", "empty chunks", "items", "blocks"],
)
def test_nothing_hangs(raw):
    began = time.process_time()
    hidden_data(raw)
    try:
        clean(raw)
    except NotRead as why:
        assert str(why)
    assert time.process_time() - began < 4


@pytest.mark.parametrize("at", range(10, 420, 12))
def test_damaged_bytes_are_no_reassurance(at):
    """Wherever a block is damaged, something is still told, and nothing of it is left."""
    block = bytearray(EXIF)
    for damage in (b"\xff\xff\xff\xff", b"\0\0\3\xf0"):
        block[at : at + 4] = damage
        for raw in (jpeg(jpeg_block(0xE1, bytes(block))), webp((b"EXIF", bytes(block)))):
            assert hidden_data(raw)
            assert not any(seed in clean(raw).content for seed in SEEDS)


def test_a_directory_that_nothing_leads_to_is_told():
    block = EXIF[:10] + b"\0\0\2\xbc" + EXIF[14:]  # the first directory is looked for where there are only zeros
    assert exif.said_by_exif(block) == [exif.UNREADABLE]
    assert hidden_data(webp((b"EXIF", block))) == [exif.UNREADABLE]
