"""On a phone no page is longer than eight screens while its folds are closed, and an address opens the fold that it leads into.
Printed, a page takes few sides: what is read on asking is printed where it was opened."""

import re

import pytest
from browser.test_browser import PHONE

pytestmark = pytest.mark.browser
SCREENS = 8
LOOKED_AT = 24  # the largest files of those below: short ones cannot be long pages


def test_no_page_is_over_eight_screens(chromium, address, site):
    page, long = chromium.new_page(viewport=PHONE), []
    paths = [*site.glob("*/index.html"), *site.glob("builds/*/**/index.html")]
    for path in sorted(paths, key=lambda path: path.stat().st_size)[-LOOKED_AT:]:
        page.goto(address + path.parent.relative_to(site).as_posix() + "/")
        screens = page.evaluate("document.documentElement.scrollHeight") / PHONE["height"]
        long += [f"{page.url}: {screens:.1f} screens"] if screens > SCREENS else []
    assert long == []
    page.goto(address + "builds/harrow-pond/readings/#a001")
    page.locator("#a001").wait_for()
    page.evaluate("document.querySelectorAll('details').forEach((fold) => { fold.open = true; })")
    assert page.evaluate("document.documentElement.scrollHeight") > SCREENS * PHONE["height"], "it would be told"
    page.close()


def test_a_page_prints_on_few_sides_and_with_what_was_asked_for(chromium, address):
    page = chromium.new_page()

    def sides():
        return len(re.findall(rb"/Type\s*/Page\b", page.pdf(format="A4")))

    for path, most in (("rules/", 10), ("parts/piston/", 9), ("fits/a-f01/", 6)):
        page.goto(f"{address}builds/harrow-pond/{path}")
        assert 1 <= sides() <= most, path
    page.goto(f"{address}builds/harrow-pond/parts/piston/")
    few = sides()
    page.locator("summary", has_text="All readings of it").click()
    assert sides() > few, "what somebody opened is printed"
    page.close()
