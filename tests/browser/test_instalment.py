"""An instalment with everything in it, in a real browser: on three widths, printed, without script, and asking nobody else for anything."""

import shutil

import pytest
from browser.serving import serve
from browser.test_browser import PHONE, violations
from conftest import build_site, copy_project
from full_story import write_everything

pytestmark = pytest.mark.browser
WIDTHS = (320, 390, 1280)
STORY = "builds/small/story/"
ALL_LOADED = """() => Promise.all([...document.images].map((image) => {
  image.loading = "eager";
  return image.decode().catch(() => null);
}))"""


@pytest.fixture(scope="module")
def story(tmp_path_factory):
    project = copy_project(tmp_path_factory.mktemp("story"))
    shutil.rmtree(project / "builds")
    (project / "builds/small").mkdir(parents=True)
    write_everything(project / "builds/small")
    done = build_site(project, project / "site")
    assert done.returncode == 0, done.stderr
    _, address = serve(project / "site")
    return address


def test_everything_is_shown_and_nothing_spills(chromium, story):
    asked, wrong = [], []
    for width in WIDTHS:
        context = chromium.new_context(viewport={"width": width, "height": 844})
        page = context.new_page()
        page.on("request", lambda request: asked.append(request.url))
        for place in ("01-everything/", "02-words/", ""):
            page.goto(story + STORY + place)
            assert page.evaluate("document.documentElement.scrollWidth") <= width, (place, width)
            page.evaluate(ALL_LOADED)
            assert page.evaluate("[...document.images].every((image) => image.naturalWidth > 0)"), place
            wrong += violations(page) if width == 390 else []
        context.close()
    assert wrong == []
    assert [url for url in asked if not url.startswith((story, "data:", "blob:"))] == []


def test_from_the_home_to_the_first_instalment_in_one_tap_and_on_without_script(chromium, story):
    context = chromium.new_context(viewport=PHONE, java_script_enabled=False)
    page = context.new_page()
    page.goto(story)
    page.get_by_role("link", name="Read the story from the start").click()
    assert page.url == f"{story}{STORY}01-everything/"
    body = page.locator(".g-story-body")
    assert "0.065 mm (2.6 thou)" in body.inner_text() and "A picture" not in body.inner_text()
    assert "This picture was withdrawn on 2025-03-01." in body.inner_text()
    assert body.locator("dfn a", has_text="white metal").get_attribute("title").startswith("Soft alloy")
    assert body.locator(".g-chapters a", has_text="1:20").get_attribute("href") == "https://example.org/f#t=80"
    assert body.locator("figure img").evaluate_all("all => all.map(one => one.alt)") == [
        "The skirt in the chuck",
        "Another of it",
        "",
    ]
    page.locator("summary", has_text="Words of the trade").click()
    assert page.get_by_text("US babbitt; UK white metal").is_visible()
    page.get_by_role("link", name="Words alone").click()
    assert page.url == f"{story}{STORY}02-words/" and page.locator(".g-story-body").inner_text() == "Nothing was done."
    context.close()
