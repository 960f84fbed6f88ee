"""`gudgeon photo`: pictures are taken in with nothing but their pixels, named where they belong, and never over another."""

import hashlib

import pytest
from click.testing import CliRunner
from gudgeon.cli import main
from gudgeon.pictures.hidden_data import hidden_data
from gudgeon.records.load_build import load_build
from seeded_pictures import JPEGS, PNGS, SEEDS, WEBPS, heic, mp4, saved
from small_build import FILES, ROOT, shelf, write

LOG = "---\nnumber: 7\ntitle: A\ndate: 2025-02-05\nby: ada\n---\n\nWords.\n"
WITH_LICENCE = FILES["build.yaml"] + "licences: {photos: CC-BY-4.0}\n"


@pytest.fixture
def club(tmp_path):
    (tmp_path / "club" / "docs").mkdir(parents=True)
    (tmp_path / "club" / "docs" / "knowledge").symlink_to(ROOT / "docs" / "knowledge")
    folder = write(tmp_path / "club" / "builds" / "small", build=WITH_LICENCE)
    (folder / "log").mkdir()
    (folder / "log" / "07-a.md").write_text(LOG)
    return tmp_path / "club"


@pytest.fixture
def photo(club, tmp_path):
    def run(
        *words: str,
        raw: bytes = JPEGS["EXIF"],
        file: str = "IMG_2041.JPG",
        status: int = 0,
        shows: str | None = "A skirt",
    ):
        if file:
            (tmp_path / file).parent.mkdir(exist_ok=True)
            (tmp_path / file).write_bytes(raw)
        given = [*([str(tmp_path / file)] if file else []), *(["--shows", shows] if shows else []), *words]
        done = CliRunner().invoke(main, ["photo", "small", *given, "--root", str(club)])
        assert done.exit_code == status, done.output
        return done.output

    return run


def of(club):
    build = load_build(club / "builds" / "small", "builds/small", shelf())
    assert build.problems == [], build.problems
    return build


def photos(club) -> dict[str, bytes]:
    return {path.name: path.read_bytes() for path in sorted((club / "builds" / "small" / "photos").glob("*"))}


@pytest.mark.parametrize(
    "raw, file",
    [(JPEGS["EXIF"], "IMG 2041.JPG"), (PNGS["EXIF"], "Käfer 1.png"), (WEBPS["EXIF"], "a.webp"), (heic(), "IMG_1.HEIC")],
)
def test_a_picture_is_written_with_nothing_but_its_pixels(club, photo, raw, file):
    said = photo(raw=raw, file=file)
    ((name, content),) = photos(club).items()
    assert name in ("img-2041.webp", "kafer-1.webp", "a.webp", "img-1.webp")
    assert hidden_data(content) == [] and not any(seed in content for seed in SEEDS)
    assert "Not taken along: the place where it was taken" in said and f"![A skirt](../photos/{name})" in said
    record = of(club).photos[name]
    assert (record.shows, record.by, record.date, record.original) == ("A skirt", "ada", None, None)
    assert "The camera's clock says 2025-03-04" in said, "its day is offered, not taken"
    assert "faces" in said


def test_the_same_picture_again_is_told_and_another_of_its_name_keeps_both(club, photo):
    photo()
    before = photos(club), (club / "builds/small/photos.yaml").read_text()
    assert "is in the build already, as photos/img-2041.webp" in photo(shows="Another word")
    assert before == (photos(club), (club / "builds/small/photos.yaml").read_text())
    photo(raw=saved("JPEG", (80, 80)), shows="Another skirt")
    assert list(photos(club)) == ["img-2041-2.webp", "img-2041.webp"]
    assert photos(club)["img-2041.webp"] == before[0]["img-2041.webp"]
    assert list(of(club).photos) == ["img-2041.webp", "img-2041-2.webp"]


def test_it_is_named_where_it_belongs(club, photo):
    photo("--for", "piston")
    assert of(club).parts["piston"].photos == ("img-2041.webp",)
    photo("--for", "piston", raw=saved("JPEG", (10, 20)), file="b.jpg")
    assert of(club).parts["piston"].photos == ("img-2041.webp", "b.webp")
    photo("--for", "7", raw=saved("JPEG", (20, 20)), file="c.jpg", shows="A [skirt]")
    (told,) = of(club).instalments
    assert [(shown.name, shown.description) for shown in told.pictures] == [("c.webp", "A (skirt)")]
    photo("--for", "s1", raw=saved("JPEG", (30, 20)), file="d.jpg")
    assert {row.id: row.photo for row in of(club).rows}["s1"] == "d.webp"
    said = photo("--for", "s1", raw=saved("JPEG", (40, 20)), file="e.jpg", status=1)
    assert "row s1 has a picture already" in said and "e.webp" not in photos(club), "all of it or nothing"
    assert 'no part, instalment or reading "pistn"' in photo("--for", "pistn", raw=saved("JPEG", (50, 20)), status=1)


def test_what_is_not_said_is_asked_for_and_nothing_is_guessed(club, photo):
    (club / "builds/small/build.yaml").write_text(
        FILES["build.yaml"].replace("ada: {name: Ada}", "ada: {name: Ada}, bo: {name: Bo}")
    )
    assert "nobody said what it shows. Add --shows" in photo(shows=None, status=1)
    assert "Add --by and one of: ada, bo." in photo(status=1)
    assert "Add --licence" in photo("--by", "bo", status=1)
    assert "Add --consent" in photo("--by", "bo", "--licence", "MIT", "--people", "Bo", status=1)
    assert photos(club) == {} and "Look at" not in photo(shows=None, status=1)
    assert "a licence by its SPDX identifier" in photo("--by", "bo", "--licence", "all mine", status=1)
    photo(
        "--by", "bo", "--licence", "MIT", "--people", "Bo", "--consent", "Bo agreed on 2025-03-05", "--on", "2025-03-04"
    )
    record = of(club).photos["img-2041.webp"]
    assert (record.by, record.licence, record.people, str(record.date)) == ("bo", "MIT", ("Bo",), "2025-03-04")


def test_an_original_is_kept_where_git_does_not_take_it(club, photo, tmp_path):
    said = photo("--keep-original")
    digest = hashlib.sha256(JPEGS["EXIF"]).hexdigest()
    kept = club / ".gudgeon-originals"
    assert (kept / f"{digest}.jpg").read_bytes() == JPEGS["EXIF"] and (kept / ".gitignore").read_text() == "*\n"
    assert of(club).photos["img-2041.webp"].original == f"sha256:{digest}"
    assert "copied to .gudgeon-originals/" in said and (tmp_path / "IMG_2041.JPG").exists(), "what is not ours stays"
    photo("--keep-original", raw=heic(), file="club/builds/small/IMG_1.HEIC")
    assert not (club / "builds/small/IMG_1.HEIC").exists() and len(list(kept.glob("*.heic"))) == 1


def test_what_lies_in_the_project_is_told(photo):
    assert "Remove builds/small/IMG_1.HEIC before you commit" in photo(raw=heic(), file="club/builds/small/IMG_1.HEIC")


@pytest.mark.parametrize(
    "raw, says",
    [
        (b"", "no JPEG, PNG, WebP, HEIC or AVIF"),
        (saved("JPEG")[:60], "damaged, cut off"),
        (mp4(), "it is a film"),
        (saved("GIF"), "no JPEG"),
    ],
)
def test_what_cannot_be_taken_in(club, photo, raw, says):
    assert says in photo(raw=raw, status=1)
    assert photos(club) == {} and not (club / "builds/small/photos.yaml").exists()


def test_pictures_are_put_right_in_their_place(club, photo):
    assert "There is no picture in builds/small/photos/" in photo("--mend", file="", shows=None)
    folder = club / "builds" / "small" / "photos"
    folder.mkdir()
    (folder / "a.jpg").write_bytes(JPEGS["EXIF"])
    (folder / "b.png").write_bytes(saved("JPEG", (2400, 100)))
    (folder / "c.webp").write_bytes(saved("WEBP"))
    (folder / "d.jpg").write_bytes(b"words")
    said = photo("--mend", file="", shows=None, status=1)
    assert "a.jpg: written anew (48 × 64" in said and "d.jpg cannot be mended" in said and "history" in said
    mended = photos(club)
    assert mended["c.webp"] == saved("WEBP"), "what is in order stays byte for byte"
    assert mended["a.jpg"][:3] == b"\xff\xd8\xff" and mended["b.png"][:4] == b"\x89PNG"
    assert not any(hidden_data(mended[name]) for name in ("a.jpg", "b.png"))
    (folder / "d.jpg").unlink()
    assert "0 of 3 pictures looked at put right" in photo("--mend", file="", shows=None)
    assert "is not in photos/" in photo("--mend", "../build.yaml", file="", shows=None, status=1)
