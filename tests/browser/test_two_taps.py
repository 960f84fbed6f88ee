"""From the home of the site two taps lead to what somebody at the lathe wants most, counted on a phone over real links."""

import pytest
from browser.test_browser import PHONE

pytestmark = pytest.mark.browser
CARD = ".g-card:has-text('Harrow Pond No. 3') >> "
# What is wanted -> the links that are tapped, where they lead, and what stands there.
WAYS = {
    "the next job": (
        (CARD + "h2 a", "a:has-text('Finish skirt and top land')"),
        "sheets/a-pis-100/",
        "Stop at these sizes",
    ),
    "the skirt clearance": ((CARD + "a:text-is('Fits')", "a:text-is('Skirt in bore')"), "fits/a-f01/", "5.4 thou"),
    "to print the sheet": (
        (CARD + "h2 a", "a:has-text('Finish skirt and top land')"),
        "sheets/a-pis-100/",
        "Print this sheet",
    ),
    "who measured the bore": (
        (CARD + "a:text-is('Bore maps')", "a:has-text('Cylinder bore')"),
        "maps/cyl.bore/",
        "Odette",
    ),
    "how a fit changed": (
        (CARD + "a:text-is('Fits')", "li:has(a:text-is('Skirt in bore')) >> a:text-is('How it changed')"),
        "fits/a-f01/history/",
        "2025-03-29",
    ),
    "the rule and its alternatives": ((CARD + "a:text-is('Rules')",), "rules/", "one thou per inch of bore"),
    "the instalment on the bush": (
        (CARD + "a:text-is('Story')", "a:text-is('The bush that shrank')"),
        "story/14-the-bush-that-shrank/",
        "measure after the last thing that can move it",
    ),
    "to add a reading": ((CARD + "a:text-is('Enter readings')",), "phone/index.html", "Enter readings"),
}


def test_two_taps_are_enough(chromium, address):
    page, missed = chromium.new_page(viewport=PHONE, has_touch=True), []
    page.set_default_timeout(5000)
    for wanted, (taps, there, says) in WAYS.items():
        page.goto(address)
        for link in taps:
            with page.expect_navigation():
                page.locator(link).first.tap()
        right = page.url.split("#")[0].endswith(f"builds/harrow-pond/{there}") and says in page.inner_text("body")
        missed += [] if right and len(taps) <= 2 else [(wanted, page.url)]
    page.close()
    assert missed == []


def test_the_menu_of_a_build_is_one_row(chromium, address):
    """At 320, 360 and 390 px, with clear targets, none outside the screen, and the open page marked."""
    page = chromium.new_page(viewport=PHONE)
    for kind in ("fits/a-f01/", "sums/", ""):
        page.goto(f"{address}builds/harrow-pond/{kind}")
        for width in (320, 360, 390):
            page.set_viewport_size({"width": width, "height": 844})
            boxes = page.evaluate(
                """[...document.querySelectorAll(".g-local > a, .g-local > ul a, .g-local summary")].filter(one => one.checkVisibility())
                .map(one => one.getBoundingClientRect()).map(({ top, height, left, right }) => [top, height, left, right])"""
            )
            assert len(boxes) == 5 and len({round(top) for top, *_ in boxes}) == 1, (kind, width, boxes)
            assert all(height >= 44 and left >= 0 and right <= width for _, height, left, right in boxes), (kind, width)
        assert page.locator(".g-local :is(a[aria-current], summary strong)").first.is_visible()
    page.locator(".g-local summary").click()
    assert page.locator(".g-local details a").filter(visible=True).count() == 10
    page.close()
