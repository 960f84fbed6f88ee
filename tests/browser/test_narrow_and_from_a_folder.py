"""Nothing of a number, word or warning is cut off on a narrow phone, and the site reads as well from a folder as from a server."""

import pytest
from browser.test_browser import PHONE, fullest_of_each_kind
from conftest import pages_that_stay

pytestmark = pytest.mark.browser
# Text that sticks out of its box or the screen, but for what somebody can scroll to and is told so. Left out: code, which scrolls
# with a bar; the headings that cards have in place of; the name of a build in its menu, which its page has in full.
CUT_OFF = """() => {
  const width = document.documentElement.clientWidth, told = new Set();
  const scrolling = (element) => element && (/auto|scroll/.test(getComputedStyle(element).overflowX)
    && element.scrollWidth > element.clientWidth + 1 ? element : scrolling(element.parentElement));
  const boxOf = (element) => /^(inline|contents)$/.test(getComputedStyle(element).display) ? boxOf(element.parentElement) : element;
  const texts = document.createTreeWalker(document.querySelector("article") || document.body, NodeFilter.SHOW_TEXT);
  while (texts.nextNode()) {
    const words = texts.currentNode.data.trim(), parent = texts.currentNode.parentElement, head = parent.closest("thead");
    if (!words || !parent.checkVisibility({ visibilityProperty: true }) || parent.closest("script, style, pre, .g-bench")
      || head && getComputedStyle(head).position === "absolute") continue;
    const range = document.createRange();
    range.selectNodeContents(texts.currentNode);
    const lines = [...range.getClientRects()].filter((line) => line.width > 1);
    const box = (parent.closest("svg") || boxOf(parent)).getBoundingClientRect();
    if (!lines.length || box.width < 2) continue; // kept for those who hear the page
    const left = Math.min(...lines.map((line) => line.left)), right = Math.max(...lines.map((line) => line.right));
    const scrolls = scrolling(parent);
    if (right > box.right + 1.5 || left < box.left - 1.5) told.add(`out of its box: ${words.slice(0, 60)}`);
    else if (right > width + 1 && !scrolls) told.add(`off the screen: ${words.slice(0, 60)}`);
    else if (right > width + 1 && !/scrolls/.test(getComputedStyle(scrolls.querySelector("caption"), "::before").content))
      told.add(`scrolls and does not say so: ${scrolls.getAttribute("aria-label")}`);
  }
  return [...told];
}"""


def test_nothing_is_cut_off(chromium, address, site):
    page, cut = chromium.new_page(viewport=PHONE), []
    pages = pages_that_stay(site)
    for path in fullest_of_each_kind(pages, site, also=()):
        page.goto(address + path.relative_to(site).as_posix())
        page.evaluate("document.querySelectorAll('article .g-more').forEach((fold) => { fold.open = true; })")
        for width in (320, 360, 390):
            page.set_viewport_size({"width": width, "height": 844})
            cut += [f"{width} px, {page.url}: {told}" for told in page.evaluate(CUT_OFF)]
    # That it would be told.
    page.evaluate("document.querySelector('h1').style.cssText = 'white-space: nowrap; width: 3rem; font-size: 3rem'")
    assert any("out of its box" in told for told in page.evaluate(CUT_OFF))
    page.close()
    assert cut == []


def test_the_site_opens_from_a_folder(chromium, site):
    """Links, looks, drawings and the search of a site on a memory stick, without a server."""
    page, complaints = chromium.new_page(viewport=PHONE), []
    page.on("pageerror", lambda error: complaints.append(str(error)))
    page.on("console", lambda said: complaints.append(said.text) if said.type == "error" else None)
    page.goto((site / "index.html").as_uri())
    page.goto((site / "builds/harrow-pond/fits/index.html").as_uri())
    assert page.evaluate("getComputedStyle(document.querySelector('.g-local')).display") == "flex"
    page.get_by_role("link", name="Skirt in bore").first.click()
    page.wait_for_url("**/fits/a-f01/index.html*")
    assert page.locator("svg.g-drawing").first.is_visible()
    page.locator(".g-to-search").click()
    page.wait_for_url("**/search/index.html?in=harrow-pond")
    page.get_by_role("searchbox").fill("ring gap")
    page.get_by_role("searchbox").press("Enter")
    page.wait_for_url("**/fits/a-f03/index.html")
    page.locator(".g-local summary").click()
    page.locator(".g-local").get_by_role("link", name="Enter readings").click()
    page.wait_for_url("**/phone/index.html")
    page.close()
    assert complaints == []
