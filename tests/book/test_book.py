"""A build as a book, printed and opened for real: WeasyPrint, poppler, epubcheck."""

import io
import os
import re
import shutil
import subprocess
import sys
import zipfile
from pathlib import Path
from xml.etree import ElementTree

import gudgeon
import pytest
import yaml
from full_story import write_everything
from gudgeon.assess.build import assess
from gudgeon.assess.findings import BuildFindings
from gudgeon.assess.told import numbers_told
from gudgeon.book.links import BookRenderer
from gudgeon.book.manuscript import manuscript
from gudgeon.pages import story
from gudgeon.pages.citations import Bibliography
from gudgeon.pages.page import Renderer
from gudgeon.pages.view import View
from gudgeon.records.load_build import load_build
from gudgeon.story.numbers import NumbersOfStory
from small_build import ROOT, shelf, write

pytestmark = pytest.mark.slow
EPUBCHECK = Path("/usr/share/java/epubcheck.jar")


def missing(what: str) -> None:
    if os.environ.get("GUDGEON_NEED_BROWSER"):
        pytest.fail(f"{what} is missing")
    pytest.skip(f"{what} is missing: the book was not checked with it")


def written(build: str, to: Path, *words: str, root: Path = ROOT) -> bytes:
    command = [sys.executable, "-m", "gudgeon.cli", "book", build, "--to", str(to), "--root", str(root), *words]
    done = subprocess.run(command, capture_output=True, text=True, check=False)
    assert done.returncode == 0, done.stderr
    return to.read_bytes()


@pytest.fixture(scope="module")
def books(tmp_path_factory):
    """The book of Harrow Pond as PDF and EPUB."""
    folder = tmp_path_factory.mktemp("books")
    for name in ("book.pdf", "book.epub"):
        written("harrow-pond", folder / name)
    return folder


@pytest.fixture(scope="module")
def text(books):
    if not shutil.which("pdftotext"):
        missing("pdftotext (poppler-utils)")
    return subprocess.run(
        ["pdftotext", "-layout", str(books / "book.pdf"), "-"], capture_output=True, text=True, check=True
    ).stdout


def chapters(books) -> dict[str, str]:
    with zipfile.ZipFile(books / "book.epub") as book:
        return {name: book.read(name).decode() for name in book.namelist() if name.endswith(".xhtml")}


def test_contents_and_index_lead_to_the_page_on_which_it_stands(text):
    pages = text.split("\f")
    contents = dict(re.findall(r"^\s*(\S.*?) (?:\. )*\.?\s*(\d+)$", pages[1], re.MULTILINE))
    for title in ("Under the skin", "Parts and sizes", "Fits", "Index"):
        assert title in pages[int(contents[title]) - 1].splitlines()[0] + pages[int(contents[title]) - 1], title
    index = pages[int(contents["Index"]) - 1]
    page = int(re.search(r"Trunk piston (?:\d+, )*(\d+)", index)[1])
    assert "Trunk piston" in pages[page - 1]


def test_an_unfinished_build_is_not_called_built(text):
    build = gudgeon.open(ROOT).build("harrow-pond")
    done = sum(operation.done is not None for operation in build.operations.values())
    assert f"{done} of {len(build.operations)} operations done" in " ".join(text.split())
    assert "As built" not in text and "as built" not in text


def test_the_same_numbers_as_the_site(books):
    findings = gudgeon.open(ROOT).findings("harrow-pond")
    whole = " ".join(" ".join(chapters(books).values()).split())
    for fit in findings.fits.values():
        if fit.clearance is not None:
            assert f"{abs(fit.clearance) / 0.0254:.1f} thou" in whole, fit.id
    assert "data-heading" not in whole and "#nowhere" not in whole


def test_its_pictures_are_in_it(books):
    if not shutil.which("pdfimages"):
        missing("pdfimages (poppler-utils)")
    listed = subprocess.run(
        ["pdfimages", "-list", str(books / "book.pdf")], capture_output=True, text=True, check=True
    ).stdout
    shown = gudgeon.open(ROOT).build("harrow-pond").shown_photos
    assert len(listed.splitlines()[2:]) >= len(shown) > 0
    with zipfile.ZipFile(books / "book.epub") as book:
        assert {f"OEBPS/pictures/{name}.jpg" for name in shown} <= set(book.namelist())


def test_epubcheck_finds_nothing(books):
    if not EPUBCHECK.exists() or not shutil.which("java"):
        missing("epubcheck")
    done = subprocess.run(
        ["java", "-jar", str(EPUBCHECK), str(books / "book.epub")], capture_output=True, text=True, check=False
    )
    assert "0 fatals / 0 errors / 0 warnings" in done.stdout + done.stderr, done.stderr[-2000:]


def test_fonts_are_in_it_and_it_is_tagged(books):
    if not shutil.which("pdffonts"):
        missing("pdffonts (poppler-utils)")
    fonts = subprocess.run(["pdffonts", str(books / "book.pdf")], capture_output=True, text=True, check=True).stdout
    rows = fonts.splitlines()[2:]
    assert rows and all(re.search(r"\s(yes|no)\s+(yes|no)\s+(yes|no)\s", row)[1] == "yes" for row in rows)
    told = subprocess.run(["pdfinfo", str(books / "book.pdf")], capture_output=True, text=True, check=True).stdout
    assert re.search(r"Tagged:\s+yes", told) and "Harrow Pond No. 3" in told


HOSTILE = """\
---
number: 1
title: "</h2><script>ran=1</script>"
date: 2025-02-03
by: ada
---
<img src="file:///etc/passwd"> ![x](file:///etc/passwd) ![x](http://127.0.0.1:9/x.png "y") <style>@import "http://127.0.0.1:9/"</style>

[x](javascript:ran=1) ]]> &#0; \x0b

| a | b |
|---|---|
| <b>1</b> | 2 |
"""


def test_untrusted_text_and_a_build_with_next_to_nothing(tmp_path):
    """Nothing is fetched, no markup leaks, the same records give the same bytes, and what is not known is said."""
    small = write(tmp_path / "builds" / "small")
    (small / "log").mkdir()
    (small / "log" / "01-x.md").write_text(HOSTILE.replace("\x0b", ""), encoding="utf-8")
    shutil.copytree(ROOT / "docs" / "knowledge", tmp_path / "docs" / "knowledge")
    (tmp_path / "mkdocs.yml").write_text("site_name: x\nplugins: [gudgeon]\n", encoding="utf-8")
    problems = gudgeon.open(tmp_path).build("small").problems
    if problems:  # what the records refuse never reaches a book
        (small / "log" / "01-x.md").write_text(re.sub(r"!\[x\]\([^)]*\)", "", HOSTILE.replace("\x0b", "")))
    assert isinstance(gudgeon.open(tmp_path).outcome("small"), BuildFindings)
    first = written("small", tmp_path / "one.pdf", "--paper", "letter", root=tmp_path)
    assert first == written("small", tmp_path / "two.pdf", "--paper", "letter", root=tmp_path)
    assert b"/MediaBox [0 0 612 792]" in first or b"612" in first
    book = written("small", tmp_path / "one.epub", root=tmp_path)
    assert book == written("small", tmp_path / "two.epub", root=tmp_path)
    with zipfile.ZipFile(io.BytesIO(book)) as zipped:
        for name in zipped.namelist():
            if name.endswith((".xhtml", ".opf")):
                tree = ElementTree.fromstring(zipped.read(name))
                tags = {element.tag.rpartition("}")[2] for element in tree.iter()}
                assert not tags & {"script", "iframe", "object"}, name
                assert not [
                    e for e in tree.iter() if str(e.get("src", e.get("href", ""))).startswith(("file:", "javascript:"))
                ]


def test_an_instalment_tells_what_was_put_right_and_what_its_pictures_are(tmp_path):
    """As its page does: corrections, how many numbers the records bear out, who made a picture and under which licence."""
    folder = write_everything(tmp_path / "small")
    log = folder / "log" / "01-everything.md"
    put_right = "corrected: [{date: 2025-03-02, what: it was <b>4</b>}]\nabout:"
    log.write_text(log.read_text(encoding="utf-8").replace("about:", put_right, 1), encoding="utf-8")
    sound = (folder / "build.yaml").read_text(encoding="utf-8")
    licence = "Before the last cut. Drawn for the test. Drawing: Ada. Licence: CC-BY-4.0.</figcaption>"
    own = "A picture with a licence of its own says so below it."
    for licences, says in (
        ("", True),
        ("{text: CC0-1.0}", True),
        ("{photos: CC0-1.0}", True),
        ("{photos: CC-BY-4.0}", False),
    ):
        (folder / "build.yaml").write_text(sound + (f"licences: {licences}\n" if licences else ""), encoding="utf-8")
        build = load_build(folder, "builds/small", shelf())
        assert build.problems == []
        findings = assess(build, shelf())
        numbers = numbers_told(build, shelf(), findings)
        view = View(build, findings, shelf(), BookRenderer(Bibliography(shelf().sources)), numbers=numbers)
        chapters = {chapter.id: chapter.html for chapter in manuscript(view).chapters}
        told = chapters["told-01-everything"]
        assert (licence in told) == says and "Drawing: Ada." in told, licences
        assert own in chapters["about"]
        assert "<strong>Corrected on 2 March 2025:</strong> it was &lt;b&gt;4&lt;/b&gt;" in told
        counted = NumbersOfStory(numbers, findings.units).counted("01-everything")
        assert counted and counted in told
        on_site = View(build, findings, shelf(), Renderer(links="folders"), numbers=numbers)
        page = next(page.text for page in story.pages(on_site) if page.uri.endswith("everything.md"))
        assert (licence in page) == says and counted in page


def test_how_to_cite_a_build(tmp_path):
    cited = yaml.safe_load(written("harrow-pond", tmp_path / "CITATION.cff").decode())
    assert cited["cff-version"] == "1.2.0" and cited["authors"] == [{"family-names": "Farrow", "given-names": "Odette"}]
    assert cited["date-released"] == gudgeon.open(ROOT).findings("harrow-pond").as_of
    assert {"message", "title"} <= cited.keys() and cited["license"] == "CC-BY-4.0"


def test_another_ending_is_told(tmp_path):
    command = [
        sys.executable,
        "-m",
        "gudgeon.cli",
        "book",
        "harrow-pond",
        "--to",
        str(tmp_path / "x.doc"),
        "--root",
        str(ROOT),
    ]
    done = subprocess.run(command, capture_output=True, text=True, check=False)
    assert done.returncode == 2 and ".pdf, .epub or .cff" in done.stderr and not (tmp_path / "x.doc").exists()
