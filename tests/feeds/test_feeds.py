"""Feeds: sound by the standards' grammars, read by a reader's library, with ids that stay, and nothing hostile in them."""

import datetime as dt
import json
import re
from dataclasses import replace
from pathlib import Path

import feedparser
import jsonschema
import pytest
from acting_html import acting
from gudgeon.assess.build import assess
from gudgeon.assess.told import numbers_told
from gudgeon.feeds.atom import atom
from gudgeon.feeds.feed import MOST_ENTRIES, Entry, Feed
from gudgeon.feeds.json_feed import json_feed
from gudgeon.pages import following, story
from gudgeon.pages.page import Renderer
from gudgeon.pages.view import View
from gudgeon.records.load_build import load_build
from gudgeon.records.model import Build, Club
from lxml import etree
from pages.test_untrusted_text import BODY, HOSTILE
from PIL import Image
from small_build import load, shelf, write

HERE = Path(__file__).parent
GRAMMAR = etree.RelaxNG(etree.parse(HERE / "atom.rng"))
SCHEMA = json.loads((HERE / "json_feed_1_1.schema.json").read_text(encoding="utf-8"))
SITE = "https://engines.example.org/kept/"
ATOM = "{http://www.w3.org/2005/Atom}"
TOLD = "---\nnumber: 3\ntitle: First <cut> & last\ndate: 2025-02-05\nby: ada\nabout: [F1, piston]\n---\nIt *fits*, a & b.\n"


def view_of(build: Build, address: str | None = SITE, links: str = "folders") -> View:
    assert build.problems == [], build.problems
    return View(build, assess(build, shelf()), shelf(), Renderer(links=links), address)


def told(folder: Path, name: str = "small", head: str = "", text: str = TOLD, file: str = "01-first") -> View:
    (folder / name / "log").mkdir(parents=True, exist_ok=True)
    (folder / name / "log" / f"{file}.md").write_text(text, encoding="utf-8")
    write(folder / name)
    path = folder / name / "build.yaml"
    path.write_text(path.read_text(encoding="utf-8") + head, encoding="utf-8")
    return view_of(load_build(folder / name, f"builds/{name}", shelf()))


def files_of(*views: View) -> list:
    return following.assets([(view, feed) for view in views for feed in following.feeds(view)])


def sound(view: View) -> tuple[feedparser.FeedParserDict, dict]:
    """Both files of a build, held to the grammar of each standard and read."""
    files = {asset.uri: asset.content for asset in files_of(view)}
    for uri, content in files.items():
        if uri.endswith(".json"):
            jsonschema.validate(json.loads(content), SCHEMA)
        else:
            root = etree.fromstring(content)
            assert GRAMMAR.validate(root), GRAMMAR.error_log
            for entry in root.iter(f"{ATOM}entry"):  # what the appendix says beside its grammar
                assert entry.find(f"{ATOM}author") is not None and entry.find(f"{ATOM}content") is not None
    read = feedparser.parse(files[f"{view.home}/feed.xml"])
    assert not read.bozo, read.bozo_exception
    return read, json.loads(files[f"{view.home}/feed.json"])


def test_a_reader_reads_what_the_records_say(tmp_path):
    read, plain = sound(told(tmp_path, head="licences: {text: CC-BY-4.0}\n"))
    (entry,), (item,) = read.entries, plain["items"]
    address = f"{SITE}builds/small/story/01-first/"
    assert (entry.link, item["url"]) == (address, address)
    assert (entry.title, item["title"]) == ("First <cut> & last", "First <cut> & last")
    assert (entry.author, item["authors"]) == ("Ada", [{"name": "Ada"}])
    assert entry.published == item["date_published"] == "2025-02-05T12:00:00Z"
    assert entry.content[0].value.strip() == item["content_html"].strip() == "<p>It <em>fits</em>, a &amp; b.</p>"
    assert (entry.summary, item["summary"]) == ("It fits, a & b.", "It fits, a & b.")
    assert [(tag.term, tag.label) for tag in entry.tags] == [("F1", "Skirt in bore"), ("piston", "Piston")]
    assert item["tags"] == ["Skirt in bore", "Piston"] and entry.rights == "CC-BY-4.0"
    assert (read.feed.title, plain["title"]) == ("Small engine", "Small engine")
    assert read.feed.links[0].href == f"{SITE}builds/small/feed.xml" and plain["feed_url"].endswith("small/feed.json")


def test_a_correction_is_told_and_makes_an_entry_newer(tmp_path):
    text = TOLD.replace("about:", "corrected: [{date: 2025-03-01, what: 'it was <b>4</b>, not 5'}]\nabout:")
    view = told(tmp_path, text=text)
    read, plain = sound(view)
    assert (read.entries[0].updated, read.feed.updated) == ("2025-03-01T12:00:00Z",) * 2
    assert (plain["items"][0]["date_modified"], read.entries[0].published[:10]) == (
        "2025-03-01T12:00:00Z",
        "2025-02-05",
    )
    assert "it was &lt;b&gt;4&lt;/b&gt;, not 5" in plain["items"][0]["content_html"]
    assert "it was &lt;b&gt;4" in next(page.text for page in story.pages(view) if page.uri.endswith("first.md"))
    early = told(tmp_path / "x", text=text).build
    (tmp_path / "x/small/log/01-first.md").write_text(text.replace("03-01", "02-04"), encoding="utf-8")
    (problem,) = load_build(early.folder, "builds/small", shelf()).problems
    assert str(problem).endswith("2025-02-04 is before the day of the instalment, 2025-02-05.")


def test_a_picture_withdrawn_later_makes_an_entry_newer_and_is_told_in_its_place(tmp_path):
    """Who holds the entry learns of it from a newer one alone: in the text, as its lead, below it or as the poster of a film."""
    folder = tmp_path / "small"
    (folder / "photos").mkdir(parents=True)
    Image.new("L", (40, 30)).save(folder / "photos" / "a.webp")
    film = "films:\n  f1: {title: Run, poster: a.webp, length: '1:00', link: 'https://example.org/f'}\n"
    (folder / "films.yaml").write_text(film, encoding="utf-8")
    gone = '<p class="g-no-picture">This picture was withdrawn on 2025-03-01.</p>'
    whole = TOLD.replace("about:", "lead: a.webp\nabout:") + "\n![](a.webp)\n"
    texts = {
        whole: 1,
        TOLD + "\n![](a.webp)\n": 1,
        TOLD.replace("about:", "lead: a.webp\nabout:"): 1,
        TOLD.replace("about:", "photos: [a.webp]\nabout:"): 1,
        TOLD + "\n![x](film:f1)\n": 0,
    }
    for text, times in texts.items():
        for day, updated in (("", "2025-02-05"), ("2025-03-01", "2025-03-01"), ("2025-02-01", "2025-02-05")):
            withdrawn = f", withdrawn: {{date: {day}, why: asked}}" if day else ""
            (folder / "photos.yaml").write_text(f"photos:\n  a.webp: {{shows: x{withdrawn}}}\n", encoding="utf-8")
            read, plain = sound(told(tmp_path, text=text))
            assert read.entries[0].updated[:10] == plain["items"][0]["date_modified"][:10] == updated, (text, day)
            content = plain["items"][0]["content_html"]
            assert content.count(gone.replace("2025-03-01", day or "-")) == (times if day else 0), (text, day)


def test_an_address_beside_the_page_is_whole(tmp_path):
    text = "[the next](../02-second/ 'a > b'), [a note](#there), [the net](https://example.org/x)."
    _, plain = sound(told(tmp_path, text=TOLD.rpartition("---\n")[0] + "---\n" + text))
    said = plain["items"][0]["content_html"]
    assert re.findall('href="([^"]*)"', said) == [
        f"{SITE}builds/small/story/02-second/",
        "#there",
        "https://example.org/x",
    ]


def test_two_feeds_are_never_of_one_base(tmp_path):
    for name in ("one", "two"):
        write(tmp_path / "builds" / name)
    builds = [load_build(tmp_path / "builds" / name, f"builds/{name}", shelf()) for name in ("one", "two")]
    head = builds[1].sound_head
    builds[0].head = builds[0].sound_head.model_copy(update={"feed_base": f"{head.club.name}/two"})
    (problem,) = Club(builds, shelf()).problems
    assert (
        problem.where.file == "builds/one/build.yaml" and "the feed of builds/two is made of the same" in problem.text
    )


def test_what_became_of_a_number_stands_behind_it_in_brackets(tmp_path):
    view = told(tmp_path, text=TOLD.replace("a & b.", "with [9 mm](fit:F1)."))
    assert "with 9 mm." in sound(view)[1]["items"][0]["content_html"]  # what was not worked out, nothing is said of
    view.numbers = numbers_told(view.build, shelf(), view.findings)
    assert re.search(
        r"with 9 mm \(the records said 0\.0\d+ mm on that day\)\.", sound(view)[1]["items"][0]["content_html"]
    )


def test_ids_outlive_title_file_address_and_folder(tmp_path):
    """A reader takes what has another id for something new, and shows it again."""
    first = sound(told(tmp_path / "1"))[0]
    renamed = TOLD.replace("First <cut> & last", "Another title")
    later = told(tmp_path / "2", "moved", "formerly: [small]\n", renamed, "01-other")
    later.site_url = "https://elsewhere.example/"
    again = sound(later)[0]
    assert (first.feed.id, first.entries[0].id) == (again.feed.id, again.entries[0].id)
    # The id of this instalment as it was first published: this line never changes.
    assert first.entries[0].id == "urn:uuid:87dd8ca3-6638-537c-b531-d3bbbc5277a6"
    other = sound(told(tmp_path / "3", "another"))[0]
    assert other.entries[0].id != first.entries[0].id
    kept = sound(told(tmp_path / "4", "another", 'feed_base: "Test club/small"\n'))[0]
    assert kept.entries[0].id == first.entries[0].id


def test_the_feed_of_the_club_tells_whose_entry_it_is(tmp_path):
    views = [told(tmp_path, "one"), told(tmp_path, "two", text=TOLD.replace("02-05", "02-06"))]
    files = {asset.uri: asset.content for asset in files_of(*views)}
    root = etree.fromstring(files["feed.xml"])
    assert GRAMMAR.validate(root), GRAMMAR.error_log
    titles = [entry.findtext(f"{ATOM}title") for entry in root.iter(f"{ATOM}entry")]
    assert titles == ["Small engine: First <cut> & last"] * 2
    days = [entry.findtext(f"{ATOM}published")[:10] for entry in root.iter(f"{ATOM}entry")]
    assert days == ["2025-02-06", "2025-02-05"]
    ids = {uri: [item["id"] for item in json.loads(files[uri])["items"]] for uri in files if uri.endswith("json")}
    assert ids["feed.json"] == ids["builds/two/feed.json"] + ids["builds/one/feed.json"]
    assert root.find(f".//{ATOM}source/{ATOM}title").text == "Small engine"


@pytest.mark.parametrize(
    "address, links, text", [(None, "folders", TOLD), (SITE, "files", TOLD), (SITE, "folders", None)]
)
def test_without_address_or_story_there_is_no_feed(tmp_path, address, links, text):
    view = told(tmp_path) if text else view_of(load(tmp_path))
    view.site_url, view.renderer = address, Renderer(links=links)
    assert view.feeds == [] and files_of(view) == []


def test_nothing_hostile_in_a_feed(tmp_path):
    """Markup, entities, an end of CDATA and letters that XML does not know, in the text and in every name beside it."""
    write(tmp_path / "small")
    worse = "]]> &lt;b> &amp;#x0; <!ENTITY a 'b'> &a; <svg onload=x()>\n\n" + BODY
    for name, text in HOSTILE.items():
        (tmp_path / "small" / name).parent.mkdir(exist_ok=True)
        (tmp_path / "small" / name).write_text(
            text.replace(BODY, worse) if name.startswith("log") else text, encoding="utf-8"
        )
    view = view_of(load_build(tmp_path / "small", "builds/small", shelf()))
    read, plain = sound(view)
    for content in (read.entries[0].content[0].value, plain["items"][0]["content_html"]):
        assert acting(content) == [] and not re.search(r"""<[^>]*=\s*["']?\s*(?:javascript|data):""", content)
    raw = {asset.uri: asset.content for asset in files_of(view)}["builds/small/feed.xml"].decode("utf-8")
    assert "<script" not in raw and "]]>" not in raw and "<!" not in raw


DAY = dt.date(2025, 1, 1)
ENTRY = Entry("urn:uuid:1", SITE, "T", DAY, DAY, "Ada", "s", "<p>c</p>")
FEED = Feed("urn:uuid:0", "F", "about", SITE, f"{SITE}feed.xml", f"{SITE}feed.json", (ENTRY,))


def test_the_newest_are_written_whole_and_control_letters_nowhere():
    many = [
        replace(ENTRY, id=f"urn:uuid:{number}", title=f"\x00\x1b{number}\ud800") for number in range(MOST_ENTRIES + 5)
    ]
    late = replace(ENTRY, id="urn:uuid:late", title="late", updated=DAY + dt.timedelta(days=3))
    feed = replace(FEED, entries=(late, *many))
    items = json.loads(json_feed(feed))["items"]
    assert [item["title"] for item in items] == [str(number) for number in range(MOST_ENTRIES + 4, 4, -1)]
    root = etree.fromstring(atom(feed))
    assert GRAMMAR.validate(root) and len(root.findall(f"{ATOM}entry")) == MOST_ENTRIES


def test_a_former_folder_that_is_taken_is_told(tmp_path):
    builds = [
        told(tmp_path, name, f"formerly: {was}\n").build
        for name, was in (("one", "[one]"), ("two", "[one, gone]"), ("three", "[gone]"))
    ]
    problems = [f"{problem.where.file}: {problem.text}" for problem in Club(builds, shelf()).problems]
    assert problems == [
        'builds/one/build.yaml: the folder has this name now. Take it out of "formerly".',
        "builds/three/build.yaml: builds/two had this name too. Take it out of one of them.",
        "builds/two/build.yaml: builds/one is a build of its own. Give one of the two another name.",
    ]
