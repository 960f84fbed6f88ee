"""Files of pictures that should not go into git are told, each with what to do; what is right is left in peace."""

import pytest
from gudgeon.pictures.checks import picture_problems
from gudgeon.pictures.clean import clean
from gudgeon.records.load_build import load_build
from seeded_pictures import JPEGS, heic, mp4, pixels, saved
from small_build import FILES, shelf, write

KNOWN = "photos:\n  skirt.webp: {shows: A skirt, licence: CC-BY-4.0}\n"
APNG = saved(
    "PNG", save_all=True, append_images=[pixels((64, 48)).rotate(180), pixels((64, 48)).convert("L").convert("RGB")]
)
GOOD = clean(saved("JPEG")).content


def film(length: str, *chapters: str) -> bytes:
    told = ", ".join(f"{{at: '{at}', shows: it runs, operation: BORE}}" for at in chapters)
    return f"films:\n  run: {{title: It runs, length: '{length}', link: 'https://example.org/run', chapters: [{told}]}}\n".encode()


def instalment(body: str) -> bytes:
    return f"---\nnumber: 1\ntitle: A\ndate: 2025-02-05\nby: ada\n---\n\n{body}\n".encode()


@pytest.fixture
def told(tmp_path):
    """The problems of a build's pictures, a line each; files: below the build's folder."""

    def of(files: dict[str, bytes], photos: str | None = KNOWN, records: bool = False, **changes) -> list[str]:
        folder = write(tmp_path / "small", **({"photos": photos} if photos else {}), **changes)
        for name, raw in files.items():
            (folder / name).parent.mkdir(exist_ok=True)
            (folder / name).write_bytes(raw)
        build = load_build(folder, "builds/small", shelf())
        if records:
            return [str(problem) for problem in build.problems]
        assert build.problems == []
        return [str(problem) for problem in picture_problems(build)]

    return of


def test_a_picture_that_was_taken_in_is_in_order(told):
    assert told({"photos/skirt.webp": GOOD, "photos/README.md": b"# hello", "log/01-a.md": instalment("Words.")}) == []


def known(name: str, more: str = "licence: CC-BY-4.0") -> str:
    return f"photos:\n  {name}: {{shows: A skirt, {more}}}\n"


@pytest.mark.parametrize(
    "name, raw, says",
    [
        ("skirt.jpg", JPEGS["EXIF"], "holds the place where it was taken, somebody's name, a serial number"),
        ("skirt.jpg", saved("JPEG", (2400, 100)), "has 2400 × 100 pixels (the most a side is 2000)"),
        ("skirt.jpg", saved("JPEG") + b"\0" * 700_000, "has 701 kB (the most is 600 kB)"),
        ("skirt.png", saved("JPEG"), "is a JPEG and is called .png"),
        ("skirt.jpg", saved("JPEG")[:30], "cannot be shown: it is damaged, cut off, or no picture at all"),
        ("skirt.jpg", b"version https://git-lfs.github.com/spec/v1\n", "git lfs pull"),
        ("skirt.jpg", b"words", "cannot be shown: it is no JPEG, PNG or WebP"),
        (
            "skirt.jpg",
            heic(),
            "and the camera, its settings or the time beside its pixels and is a HEIC and is called .jpg",
        ),
        ("skirt.png", APNG, "moves, and only its first picture is shown"),
    ],
    ids=["position", "pixels", "bytes", "name", "cut off", "pointer", "words", "HEIC", "moves"],
)
def test_a_file_that_should_not_go_into_git(told, name, raw, says):
    (line,) = told({f"photos/{name}": raw}, known(name))
    assert line.startswith(f"builds/small/photos/{name}:1:1: ") and says in line
    assert "--mend skirt" in line or "cannot be shown" in line or "git lfs" in line, "what to do is told"


@pytest.mark.parametrize(
    "file, raw, says",
    [
        ("IMG_1.HEIC", heic(), ["outside photos/", "the place where it was taken", "gudgeon photo small builds/small/IMG_1.HEIC"]),
        ("log/IMG_1.jpg", JPEGS["EXIF"], ["outside photos/", "a serial number"]),
        ("parts/notes.bin", JPEGS["EXIF"], ["outside photos/", "a serial number"]),
        ("photos/IMG_1.heic", heic(), ["(HEIC) is not shown", "the place where it was taken"]),
        ("photos/IMG_1", JPEGS["EXIF"], ["without an ending", "a JPEG", "a serial number"]),
        ("photos/my skirt.jpg", GOOD, ["the name of a picture has"]),
        ("photos/run.mp4", mp4(), ["films are not kept", "the place where it was taken and somebody's name", "films.yaml"]),
        ("photos/run.jpg", mp4(), ["films are not kept"]),
        ("photos/lost.jpg", saved("JPEG"), [":1:1: nothing names this picture"]),
        ("photos/lost.jpg", JPEGS["EXIF"], [":1:1: this picture holds the place", "And nothing names this picture"]),
    ],
)  # fmt: skip
def test_a_file_at_a_wrong_place_is_told_once(told, file, raw, says):
    (line,) = told({file: raw}, None)
    assert line.startswith(f"builds/small/{file}:1:1: ") and all(words in line for words in says), line


def test_whose_it_is_and_who_agreed(told):
    body = {"photos/skirt.webp": GOOD, "log/01-a.md": instalment("![](skirt.webp)")}
    (licence,) = told(body, known("skirt.webp", "date: 2025-02-03"))
    assert licence.startswith("builds/small/photos.yaml:2:15: skirt.webp: nothing says under which licence")
    with_licence = FILES["build.yaml"] + "licences: {photos: CC-BY-4.0}\n"
    assert told(body, known("skirt.webp", "date: 2025-02-03"), build=with_licence) == []
    (consent,) = told(body, known("skirt.webp", "licence: MIT, people: [Ada]"))
    assert "nothing says that they agreed; it is not shown" in consent
    assert told(body, known("skirt.webp", "licence: MIT, people: [Ada], consent: Ada agreed on 2025-02-03")) == []


def test_a_withdrawn_picture_is_told_until_its_file_is_gone(told):
    gone = known("skirt.webp", "withdrawn: {date: 2025-03-01, why: a neighbour is seen}")
    body = {"log/01-a.md": instalment("![](skirt.webp)")}
    (line,) = told({"photos/skirt.webp": GOOD, **body}, gone)
    assert (
        "withdrawn on 2025-03-01, and still lies here. Remove the file. The history of the repository keeps it" in line
    )


def test_a_withdrawn_picture_without_a_file_is_in_order(told):
    gone = known("skirt.webp", "withdrawn: {date: 2025-03-01, why: a neighbour is seen}")
    assert told({"log/01-a.md": instalment("![](skirt.webp)")}, gone) == []


def test_names_that_differ_only_in_their_ending(told):
    both = "photos:\n" + "".join(f"  {name}: {{shows: x, licence: MIT}}\n" for name in ("skirt.webp", "Skirt.png"))
    (line,) = told({"photos/skirt.webp": GOOD, "photos/Skirt.png": saved("PNG")}, both)
    assert line.startswith("builds/small/photos/skirt.webp:1:1: the name differs from Skirt.png only in its ending")


def test_links_are_not_followed(told, tmp_path):
    (tmp_path / "secret.jpg").write_bytes(JPEGS["EXIF"])
    folder = tmp_path / "small" / "photos"
    folder.mkdir(parents=True)
    (folder / "a.jpg").symlink_to(tmp_path / "secret.jpg")
    (line,) = told({}, None)
    assert "links are not followed" in line and "serial" not in line


@pytest.mark.parametrize(
    "files, says",
    [
        ({"log/01-a.md": instalment("Line\n\n![x](../../../secret.jpg)")}, '"../../../secret.jpg" is no picture in photos/'),
        ({"log/01-a.md": instalment("![x](https://example.org/a.jpg)")}, "Nothing is loaded from elsewhere"),
        ({"log/01-a.md": instalment("![](skirt.webp)"), "photos/skirt.webp": GOOD}, "says nothing to people who do not see it"),
        ({"log/01-a.md": instalment("![run](film:first-run)")}, 'no film "first-run" in films.yaml'),
        ({"films.yaml": film("1:00", "0:30", "0:30")}, "begins at 0:30, not after the one above it"),
        ({"films.yaml": film("1:00", "1:00")}, "begins at 1:00, and the film ends at 1:00"),
        ({"films.yaml": film("1:00", "0:10").replace(b"https:", b"http:")}, "an address that begins with https://"),
        ({"films.yaml": film("1:00", "0:10").replace(b"BORE", b"BORED")}, 'no operation "BORED"'),
        ({"films.yaml": film("1:00", "0:10").replace(b"length", b"poster: a.webp, length")}, 'no picture "a.webp"'),
    ],
)  # fmt: skip
def test_what_the_records_say_wrongly(told, files, says):
    lines = told(files, None, records=True)
    assert any(says in line for line in lines), lines
