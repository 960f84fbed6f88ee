"""What a shared link shows, and old addresses: cards with the page's own number, heads without a hole, pages that lead on."""

import io
import posixpath
import re
from html.parser import HTMLParser

import pytest
from feeds.test_feeds import SITE, TOLD, told, view_of
from gudgeon.assess.told import numbers_told
from gudgeon.drawing import raster
from gudgeon.pages import cards, fit_page, following, outward, shared_links, story
from gudgeon.pages.page import Page, Renderer
from gudgeon.pages.site import _pages_of
from gudgeon.records.load_build import load_build
from gudgeon.wording import MARKS
from pages.test_untrusted_text import HOSTILE
from PIL import Image, ImageChops
from small_build import load, shelf, write


class Heads(HTMLParser):
    """The attributes of a head's elements, by what each is."""

    def __init__(self, text: str):
        super().__init__()
        self.said: dict[str, str | None] = {}
        self.tags: list[str] = []
        self.names: set[str] = set()
        self.feed(text)

    def handle_starttag(self, tag, attrs):
        given = dict(attrs)
        self.tags.append(tag)
        self.names |= set(given)
        self.said[given.get("property") or given.get("type") or tag] = given.get("content") or given.get("href")


def opened(asset) -> Image.Image:
    return Image.open(io.BytesIO(asset.content))


def test_a_card_for_each_build_instalment_and_fit_with_a_head_that_leads_to_it(tmp_path):
    view = told(tmp_path)
    out = outward.outward([view])
    files = {asset.uri: asset for asset in out.assets}
    home = "builds/small"
    assert {uri for uri in files if uri.endswith(".png")} == {
        f"{home}/cards/{name}.png" for name in ("build", "story-01-first", "fit-f1")
    }
    for uri, page in (("index.md", ""), ("fits/f1.md", "fits/f1/"), ("story/01-first.md", "story/01-first/")):
        said = Heads(out.heads[f"{home}/{uri}"].lines).said
        assert said["og:url"] == f"{SITE}{home}/{page}"
        card = files[said["og:image"].removeprefix(SITE)]
        size = (int(said["og:image:width"]), int(said["og:image:height"]))
        assert opened(card).format == "PNG" and opened(card).size == size == (1200, 630)
        assert len(card.content) < 60_000 and said["og:image:alt"] and said["og:description"]
    story = Heads(out.heads[f"{home}/story/index.md"].lines).said
    assert (story["og:title"], story["og:url"]) == ("The story of Small engine", f"{SITE}{home}/story/")
    assert said["og:type"] == "article" and said["article:published_time"] == "2025-02-05"
    assert said["application/atom+xml"] == f"{SITE}{home}/feed.xml"


def test_the_number_of_a_fit_on_its_card_is_that_of_its_page(tmp_path):
    view = view_of(load(tmp_path))
    (link,) = [link for link in shared_links.links(view) if link.uri == view.fit_uri("F1")]
    fit = view.findings.fits["F1"]
    number, what = fit_page.lead(view, fit)
    assert link.card.figure and f"{link.card.figure} ({link.card.beneath[0].split(')')[0][1:]})" == " ".join(
        number.striptags().split()
    )
    assert link.card.beneath[0].endswith(what) and link.card.beneath[1] == f"{MARKS[fit.state]} {fit.state}"
    assert link.description == fit_page.sentence(view, fit) and set(link.card.marked) == {"cyl", "piston"}
    assert "records to 2025-02-04" in link.card.foot


def test_a_fit_that_is_in_and_needs_a_look_says_so(tmp_path):
    """In when cold and dry when hot: the card does not say "in" alone."""
    view = view_of(load(tmp_path))
    fit = view.findings.fits["F1"]
    for look, state, said in ((True, "in", "in; needs a look"), (False, "in", "in"), (True, "out", "out")):
        changed = fit.model_copy(update={"look": look, "state": state})
        view.findings = view.findings.model_copy(update={"fits": {"F1": changed}})
        link = next(link for link in shared_links.links(view) if link.uri == view.fit_uri("F1"))
        assert link.card.beneath[1] == f"{MARKS[state]} {said}"


def test_an_instalment_shows_the_first_number_that_its_day_agrees_with(tmp_path):
    """A number that the records of its day do not bear out is on no card."""
    text = TOLD.replace("a & b.", "a [9 mm](fit:F1) and [0.066 mm](fit:F1) gap, [49.945 mm](size:piston.skirt).")
    view = told(tmp_path, text=text)
    view.numbers = numbers_told(view.build, shelf(), view.findings)
    (link,) = [link for link in shared_links.links(view) if link.told]
    assert [number.verdict for number in view.numbers][0] == "disagrees"
    agreed = next(number for number in view.numbers if number.verdict == "agrees")
    assert link.card.figure == agreed.says != "9 mm" and link.card.beneath[0].endswith(", as told that day")
    view.numbers = ()
    (link,) = [link for link in shared_links.links(view) if link.told]
    assert (link.card.figure, link.card.beneath[0][:7]) == ("", "It fits")
    view = told(tmp_path, text=TOLD.replace("a & b.", "[49.945 mm](reading:s1)."))
    view.numbers = numbers_told(view.build, shelf(), view.findings)
    (link,) = [link for link in shared_links.links(view) if link.told]
    assert (link.card.figure, link.card.beneath) == ("49.945 mm", ("Piston: Skirt, as told that day",))


DOUBTED = [
    # The text, and how it begins where there is no room for a remark.
    ("It fits. It had [9 mm](fit:F1) here. All is well.", "It fits."),
    (
        "It had [9 mm](fit:F1), see No. 3. It fits. It is [49.945 mm](size:piston.skirt). All.",
        "It fits. It is 49.945 mm. All.",
    ),
    ("We read it:\n\n- [9 mm](fit:F1) here", "We read it…"),
    ("It had **[9 mm](fit:F1)** here", ""),
    ("It had 9 mm. It ended. Was it *less*, or [9 mm](fit:F1)?", "It had 9 mm. It ended."),
]


@pytest.mark.parametrize("text, begins", DOUBTED)
def test_no_list_feed_or_card_repeats_a_number_without_its_remark(tmp_path, text, begins):
    view = told(tmp_path, text=TOLD.replace("It *fits*, a & b.", text))
    view.numbers = numbers_told(view.build, shelf(), view.findings)
    (link,) = [link for link in shared_links.links(view) if link.told]
    assert story.excerpt(view, link.told) == following.of_build(view).entries[0].summary == begins
    assert link.description == (begins or "Instalment 3 of Small engine")
    assert link.card.figure or link.card.beneath == (begins,)
    index = next(page.text for page in story.pages(view) if page.uri.endswith("story/index.md"))
    assert (f"<p>{begins}</p>" in index) == bool(begins) and "[9" not in index


def test_a_number_whose_reading_was_withdrawn_since_is_on_no_card_and_in_no_excerpt(tmp_path):
    text = TOLD.replace("a & b.", "well. The skirt has [49.945 mm](reading:s1). It turns.")
    view = told(tmp_path, text=text)
    view.numbers = numbers_told(view.build, shelf(), view.findings)
    (link,) = [link for link in shared_links.links(view) if link.told]
    assert (link.card.figure, link.description) == ("49.945 mm", "It fits, well. The skirt has 49.945 mm. It turns.")
    view.numbers = tuple(number.model_copy(update={"now_state": "withdrawn"}) for number in view.numbers)
    (link,) = [link for link in shared_links.links(view) if link.told]
    assert (link.card.figure, link.description) == ("", "It fits, well.")


def test_the_lead_picture_stands_on_the_card_and_a_withdrawn_one_does_not(tmp_path):
    photos = tmp_path / "small" / "photos"
    photos.mkdir(parents=True)
    Image.effect_noise((900, 500), 80).convert("RGB").save(photos / "a.webp")
    about = "photos:\n  a.webp: {shows: noise}\n"
    (tmp_path / "small" / "photos.yaml").write_text(about, encoding="utf-8")
    text = TOLD.replace("about:", "lead: a.webp\nabout:")
    shown = {"": "a.webp", ", withdrawn: {date: 2025-03-01, why: asked}": None}
    for withdrawn, photo in shown.items():
        (tmp_path / "small" / "photos.yaml").write_text(about.replace("}", withdrawn + "}"), encoding="utf-8")
        view = told(tmp_path, text=text)
        (link,) = [link for link in shared_links.links(view) if link.told]
        engine = shared_links.engines(view)[0]
        (card,) = shared_links.assets(view, link, engine)
        left, top, wide, high = cards.PICTURE
        greys = opened(card).convert("L").crop((left, top, left + wide, top + high)).histogram()
        assert link.photo == photo and (greys[-5:].count(0) < 5 and sum(greys[:200]) > 100_000) == bool(photo)
        image = following.of_build(view).entries[0].image
        assert image == SITE + (view.photo_uri("a.webp") if photo else view.card_uri(link.told))


def test_what_is_not_measured_is_not_shown_as_a_number(tmp_path):
    view = view_of(load(tmp_path, readings__2025_02_02_bore=None, readings__2025_02_04_skirt=None))
    build, fit = shared_links.links(view)
    assert build.card.figure == "0 of 1" and fit.card.figure == ""
    assert fit.card.beneath[:2] == ("not measured yet", f"{MARKS['no reading']} no reading")


def test_parts_that_a_card_tells_of_are_marked_and_words_stand_on_it(tmp_path):
    engine = shared_links.engines(view_of(load(tmp_path)))[0]
    plain, marked = engine.marking([]), engine.marking(["piston"])
    assert ImageChops.difference(plain, marked).getbbox() and plain.getextrema()[0] < 60
    card = cards.Card("Name", "5.1 thou", ("clearance",), "foot")
    assert cards.drawn(card, marked) == cards.drawn(card, engine.marking(["piston"]))  # the same bytes again
    without = cards.Card("Name", "5.1 tho", ("clearance",), "foot")
    assert cards.drawn(card, marked) != cards.drawn(without, marked)


def test_words_of_any_length_stay_on_the_card():
    """Nothing over the right edge, over the foot or into the picture, whatever somebody calls a thing."""
    long = "Wwwwwwwwwwwwwwwwwwwwwwwwwwwwwwwwwwwwwwwwwwww " * 12
    blank = Image.new("L", (560, 490), 255)
    sheet = Image.open(io.BytesIO(cards.drawn(cards.Card(long, long, (long, long), long), blank))).convert("L")
    dark = sheet.point(lambda shade: 255 * (shade < 200))
    assert dark.crop((0, 0, 1200, cards.FOOT)).getbbox()[2] <= cards.PICTURE[0]
    for card in (cards.Card("", "", (), ""), cards.Card("漢字 \u0301", "½", ("\n",), "…")):
        assert cards.drawn(card, None).startswith(cards.BEGINS)


def test_an_arc_goes_the_way_that_it_says():
    """Quarter and three quarters of a circle of 10 round nought, by the flags of SVG."""
    short = raster._of_path("M 10 0 A 10 10 0 0 1 0 10")[0]
    far = raster._of_path("M 10 0 A 10 10 0 1 0 0 10")[0]
    assert all(abs(x * x + y * y - 100) < 1e-6 for x, y in short + far)
    assert min(x for x, _ in short) > -1e-6 and min(y for _, y in far) == pytest.approx(-10, abs=0.02)


def test_a_card_is_made_once_in_its_life(tmp_path, monkeypatch):
    class Kept(dict):
        get_bytes, put_bytes = dict.get, dict.__setitem__

    view, kept = view_of(load(tmp_path)), Kept()
    first = outward.outward([view], kept).assets
    monkeypatch.setattr(cards, "drawn", None)
    assert len(kept) == len(first) == 2 and outward.outward([view], kept).assets == first
    monkeypatch.undo()
    broken = Kept({key: b"not a picture" for key in kept})
    assert outward.outward([view], broken).assets == first


def test_what_tells_of_a_build_does_not_hang_on_other_builds(tmp_path):
    one = told(tmp_path / "1", "one")
    (tmp_path / "2" / "two").mkdir(parents=True)
    other = told(tmp_path / "2", "two")
    other.build.head = other.build.sound_head.model_copy(
        update={"club": other.build.sound_head.club.model_copy(update={"name": "Another club"})}
    )
    alone, together = outward.outward([one]), outward.outward([one, other])
    own = [uri for uri in alone.heads if uri.startswith("builds/one/")]
    assert len(own) == 4 and all(alone.heads[uri] == together.heads[uri] for uri in own)
    files = [{file.uri: file.content for file in out.assets if "/one/" in file.uri} for out in (alone, together)]
    assert len(files[0]) == 5 and files[0] == files[1]


def test_no_address_no_cards(tmp_path):
    view = view_of(load(tmp_path), address=None)
    out = outward.outward([view])
    assert out.assets == [] and out.heads == {}


def test_nothing_hostile_in_a_head_or_at_an_old_address(tmp_path):
    write(tmp_path / "small")
    for name, text in HOSTILE.items():
        (tmp_path / "small" / name).parent.mkdir(exist_ok=True)
        (tmp_path / "small" / name).write_text(text, encoding="utf-8")
    out = outward.outward([view_of(load_build(tmp_path / "small", "builds/small", shelf()))])
    for head in out.heads.values():
        own = Heads(f'{head.lines}<meta name="description" content="{head.description}">')
        assert set(own.tags) <= {"meta", "link"}
        assert own.names <= {"property", "name", "content", "rel", "type", "title", "href"}


RENAMED = TOLD.replace("about:", "formerly: [01-earlier]\nabout:")


@pytest.mark.parametrize("links, end", [("folders", "/index.html"), ("html", ".html")])
def test_old_addresses_lead_on(tmp_path, links, end):
    """Of a renamed instalment and of a renamed build with all its pages; none covers a page that is there."""
    view = told(tmp_path, "new", "formerly: [old]\n", RENAMED)
    view.renderer = Renderer(links=links)
    pages, assets = _pages_of(view), outward.outward([view]).assets
    assets += outward.moved([view], view.renderer, pages, assets)
    files = {asset.uri: asset.content.decode("utf-8", "replace") for asset in assets}
    assert files["builds/old/feed.xml"] == files["builds/new/feed.xml"]
    led = {}
    for uri, text in files.items():
        if way := re.search(r'content="0; url=([^"]*)"', text):
            led[uri] = posixpath.normpath(posixpath.join(posixpath.dirname(uri), way[1]))
    now = {page.uri.removesuffix(".md") for page in pages}
    for was in ("builds/new/story/01-earlier", "builds/old/story/01-earlier", "builds/old/story/01-first"):
        assert led[was + end] == "builds/new/story/01-first" + end
    assert led["builds/old/index.html"] == "builds/new/index.html" and led["builds/old/fits/f1" + end]
    assert not {uri.removesuffix(end) for uri in led} & now
    assert f'rel="canonical" href="{SITE}builds/new/' in files["builds/old/fits/f1" + end]


def test_a_former_file_name_that_is_taken_is_told(tmp_path):
    second = RENAMED.replace("number: 3", "number: 4")
    texts = {"01-first": RENAMED, "02-second": second, "03-third": second.replace("4", "5").replace("earlier", "first")}
    folder = tmp_path / "small"
    (folder / "log").mkdir(parents=True)
    for name, text in texts.items():
        (folder / "log" / f"{name}.md").write_text(text, encoding="utf-8")
    build = load_build(write(folder), "builds/small", shelf())
    assert [
        f"{problem.where.file.rpartition('/')[2]}:{problem.where.line} {problem.text}" for problem in build.problems
    ] == [
        '02-second.md:6 builds/small/log/01-first.md says too that it was "01-earlier". Take it out of one of them.',
        "03-third.md:6 builds/small/log/01-first.md has this name now. Give one of the two another.",
    ]


def test_a_page_that_is_there_is_never_covered(tmp_path):
    view = told(tmp_path, text=RENAMED)
    there = [Page("builds/small/story/01-earlier.md", "#"), Page(view.instalment_uri(view.build.instalments[0]), "#")]
    assert outward.moved([view], Renderer(), there, []) == []
    assert [file.uri for file in outward.moved([view], Renderer(), there[1:], [])] == [
        "builds/small/story/01-earlier/index.html"
    ]
    assert outward.moved([view], Renderer(links="files"), there[1:], []) == []
