"""The templates: short lines, links that lead to pages in either style, tables whose cells name their columns."""

import posixpath
import re
import subprocess
import sys
from html.parser import HTMLParser
from pathlib import Path

import gudgeon.pages
import pytest
from gudgeon.assess.knowledge_checks import check_knowledge
from gudgeon.pages.page import to_file, to_folder
from gudgeon.pages.site import render
from gudgeon.pages.table_cells import Cell, Column, paired
from small_build import rendered

TEMPLATES = Path(gudgeon.pages.__file__).parent / "templates"
LONGEST_LINE = 160


@pytest.mark.parametrize("path", sorted(TEMPLATES.rglob("*.j2")), ids=lambda path: path.name)
def test_lines_can_be_read_in_a_diff(path):
    long = [
        f"{number}: {len(line)}"
        for number, line in enumerate(path.read_text(encoding="utf-8").splitlines(), 1)
        if len(line) > LONGEST_LINE
    ]
    assert long == []


@pytest.mark.parametrize(
    ("uri", "target", "file", "folder"),
    [
        ("builds/a/fits/f1.md", "builds/a/parts/cyl.md", "../parts/cyl.md", "../../parts/cyl/"),
        ("builds/a/fits/f1.md", "builds/a/fits/index.md", "index.md", "../"),
        ("builds/a/fits/index.md", "builds/a/fits/f1.md", "f1.md", "f1/"),
        ("builds/a/index.md", "rules.md#A-R1", "../../rules.md#A-R1", "../../rules/#A-R1"),
        ("builds/a/index.md", "builds/a/index.md", "index.md", "./"),
        ("rules.md", "rules.md#A-R1", "rules.md#A-R1", "../rules/#A-R1"),
        ("families/ring.md", "families/ring.zip", "ring.zip", "../ring.zip"),
        ("builds/a/index.md", "builds/a/findings.json", "findings.json", "findings.json"),
    ],
)
def test_the_address_of_a_page_as_seen_from_another(uri, target, file, folder):
    assert to_file(uri, target) == file and to_folder(uri, target) == folder


@pytest.mark.slow
def test_reading_the_module_writes_nothing(tmp_path):
    """The folder of compiled templates is made when a template is first read."""
    code = "import sys; sys.prefix = sys.argv[1]; from gudgeon.pages import page"
    subprocess.run([sys.executable, "-c", code, str(tmp_path)], check=True)
    assert list(tmp_path.iterdir()) == []


class Tables(HTMLParser):
    """Notes of each narrow table its headings, and of each of its rows what its cells are headed."""

    def __init__(self):
        super().__init__()
        self.tables = []
        self._heading = None

    def handle_starttag(self, tag, attributes):
        given = dict(attributes)
        if tag == "table":
            self.tables.append(([], []) if given.get("class") == "g-table" else None)
        if not self.tables or self.tables[-1] is None:
            return
        headings, rows = self.tables[-1]
        if tag == "tr":
            rows.append([])
        elif tag == "th" and given.get("scope") == "col":
            self._heading = ""
        elif tag in ("th", "td"):
            rows[-1].append(given.get("data-heading"))

    def handle_data(self, data):
        if self._heading is not None:
            self._heading += data

    def handle_endtag(self, tag):
        if tag == "th" and self._heading is not None:
            self.tables[-1][0].append(self._heading)
            self._heading = None


@pytest.mark.slow
def test_every_cell_says_its_heading_for_a_phone(club, harrow):
    headed = 0
    for page in rendered(club, {"harrow-pond": harrow})[0]:
        reader = Tables()
        reader.feed(page.text)
        for headings, rows in filter(None, reader.tables):
            for row in filter(None, rows):
                assert row == (headings or [None] * len(row)), page.uri
                headed += bool(headings)
    assert headed > 500


@pytest.mark.slow
def test_no_markup_of_ours_is_shown_as_text(club, harrow):
    """A value that is markup already, put into a text, would come out with its tags for everybody to read."""
    pages, _ = rendered(club, {"harrow-pond": harrow})
    shown = [page.uri for page in pages if re.search(r"&lt;/?(span|small|strong|a|br)\b", page.text)]
    assert shown == []


def test_a_row_of_another_length_than_its_table_is_refused():
    with pytest.raises(ValueError, match="zip"):
        paired([Column("Day"), Column("Reads")], ["2025-01-01"])


def test_a_cell_adds_its_class_to_that_of_its_column():
    day, reads = Column("Day", "g-id"), Column("Reads", "g-num")
    assert paired([day, reads], [None, Cell("<b>", "g-shade-1")]) == [
        (day, "", "g-id"),
        (reads, "&lt;b&gt;", "g-num g-shade-1"),
    ]


@pytest.mark.slow
@pytest.mark.parametrize("links", ["files", "folders"])
def test_links_lead_to_pages_and_files_of_the_site(club, harrow, links):
    made = render(club, {"harrow-pond": harrow}, check_knowledge(club), links=links)
    assert made.failures == []
    there = {page.uri for page in made.pages} | {asset.uri for asset in made.assets}
    there |= {
        "commands.md",
        "schemas/findings.schema.json",
        "schemas/build.schema.json",
        "due.ics",
        "builds/harrow-pond/due.ics",
    }  # made beside these, or written by hand
    if links == "folders":
        there |= {uri.removesuffix("index.md").removesuffix(".md").rstrip("/") for uri in there}
    followed = 0
    for page in made.pages:
        base = posixpath.dirname(page.uri)
        if links == "folders" and posixpath.basename(page.uri) != "index.md":
            base = page.uri.removesuffix(".md")
        for address in re.findall(r'(?:href|src)="([^"]*)"', page.text):
            if re.match(r"https?:|#", address) or "/data/" in f"/{address}":
                continue
            target = posixpath.normpath(posixpath.join(base, address.partition("#")[0]))
            assert target in there or target == ".", f"{page.uri}: {address}"
            followed += 1
    assert followed > 1000


@pytest.mark.slow
def test_readers_see_names_and_not_the_keys_of_metals(club, harrow):
    """The parts, the metals and the way of a reading to 20 °C are told with names; `ci` and `om12` are what records call them, as in the
    list of those that use one, which is for whoever edits them."""
    build = next(each for each in club.builds if each.id == "harrow-pond")
    pages = {page.uri: page.text for page in render(club, {"harrow-pond": harrow}, check_knowledge(club)).pages}
    for uri in ("parts/index.md", "metals.md", "parts/gears.md", "fits/a-f10.md"):
        text = re.sub(
            r"used by [^<]*|<[^>]*>",
            " ",
            next(text for where, text in pages.items() if where.endswith(f"harrow-pond/{uri}")),
        )
        assert not re.search(rf"(?<![\w./-])({'|'.join(build.materials)})(?![\w./-])", text), uri
        assert "main_l.bore" not in text, uri
