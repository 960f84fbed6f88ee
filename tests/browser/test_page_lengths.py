"""On a phone no page is longer than eight screens while its folds are closed, and an address opens the fold that it leads into."""

import pytest
from browser.test_browser import PHONE, a_browser_is_there, address, chromium  # noqa: F401 - fixtures

pytestmark = pytest.mark.browser
SCREENS = 8
LOOKED_AT = 24  # the largest files of those below: short ones cannot be long pages


def test_no_page_is_over_eight_screens(chromium, address, site):  # noqa: F811
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
