"""The site in a real browser: Debian's Chromium, headless, at phone and desktop width, light, dark, printed and without script."""

import re
from collections.abc import Iterable
from pathlib import Path

import pytest
from browser.serving import serve
from conftest import AXE, KINDS, pages_that_stay
from test_site import mixed  # noqa: F401 - a fixture

pytestmark = pytest.mark.browser

PHONE, DESKTOP = {"width": 390, "height": 844}, {"width": 1280, "height": 900}


CUT_OFF = """[...document.querySelectorAll(".g-table:not(.g-wide) :is(td, th)")]
    .filter(cell => cell.scrollWidth > cell.clientWidth + 1 && cell.getClientRects().length && !cell.closest("thead"))
    .map(cell => cell.innerText.slice(0, 80))"""


def fullest_of_each_kind(pages: list[Path], site: Path, also: Iterable[str] = KINDS) -> list[Path]:
    """Of the pages whose addresses differ in names alone (builds/*/fits/*/): the largest, and those of `also`."""
    by_kind = {}
    for page in pages:
        parts = page.parent.relative_to(site).parts
        kind = tuple("*" if place % 2 else part for place, part in enumerate(parts))
        by_kind.setdefault(kind, []).append(page)
    largest = {max(same, key=lambda page: page.stat().st_size) for same in by_kind.values()}
    return sorted(largest | {site / kind / "index.html" for kind in also})


@pytest.mark.parametrize("viewport", [PHONE, DESKTOP], ids=["phone", "desktop"])
def test_every_page_opens_clean(chromium, address, site, viewport):
    """No console error, nothing asked of another host, nothing wider than the screen.

    All pages on a phone, where they are short of room; on a desktop the fullest page of each kind.
    """
    context = chromium.new_context(viewport=viewport)
    page, complaints = context.new_page(), []
    page.on(
        "console",
        lambda message: (
            complaints.append(f"{page.url}: {message.text}") if message.type in ("error", "warning") else None
        ),
    )
    page.on("pageerror", lambda error: complaints.append(f"{page.url}: {error}"))
    page.on(
        "request",
        lambda request: (
            complaints.append(f"{page.url} asks {request.url}")
            if not request.url.startswith((address, "data:", "blob:"))
            else None
        ),
    )
    pages = pages_that_stay(site)
    for path in pages if viewport is PHONE else fullest_of_each_kind(pages, site):
        page.goto(address + path.relative_to(site).as_posix().removesuffix("index.html"))
        wide = page.evaluate("document.documentElement.scrollWidth - document.documentElement.clientWidth")
        if wide > 0:
            complaints.append(f"{page.url}: {wide} px too wide")
        # A number that is cut off at the edge of a table reads as another number. Wide tables are meant to be scrolled.
        complaints += [f"{page.url}: cut off: {text}" for text in page.evaluate(CUT_OFF) if viewport is PHONE]
    context.close()
    assert complaints == []


# What passes is not listed: naming all of it takes longer than finding it.
ASK_AXE = """rules => axe.run(
  {resultTypes: ["violations", "incomplete"], ...(rules.length ? {runOnly: rules} : {})})"""


def violations(page, *rules: str) -> list[str]:
    """What axe finds wrong with an open page, by all its rules or by some, and the letters of drawings whose contrast it cannot
    decide because it knows no ground of theirs. It leaves open what lies partly on a tint, or is a sign alone: pages/test_contrast.py."""
    if page.evaluate("typeof axe") == "undefined":
        page.evaluate(AXE.read_text(encoding="utf-8"))
    told = page.evaluate(ASK_AXE, list(rules))
    groundless = [
        f"{page.url}: no ground is known of {node['html'][:120]}"
        for rule in told["incomplete"]
        if rule["id"] == "color-contrast"
        for node in rule["nodes"]
        if node["any"][0]["data"]["messageKey"] == "imgNode"
    ]
    wrong = [f"{page.url}: {rule['id']}: {node['html'][:120]}" for rule in told["violations"] for node in rule["nodes"]]
    return wrong + groundless


IN_THE_DARK = """() => {
  document.body.setAttribute("data-md-color-scheme", "slate");
  getComputedStyle(document.body).color; // colours that change slowly begin to, and are then as they end
  document.getAnimations().forEach((change) => change.finish());
}"""


def test_axe_finds_no_violation(chromium, address):
    """By all rules in the light; then by colours in the dark, where nothing else is another."""
    for scheme, name in (("dark", "slate"), ("light", "default")):
        # A context for each scheme: the theme keeps the palette in the browser's store.
        context = chromium.new_context(viewport=DESKTOP, color_scheme=scheme)
        page, wrong = context.new_page(), []
        page.goto(address)
        assert page.evaluate("document.body.getAttribute('data-md-color-scheme')") == name
        if scheme == "dark":
            context.close()
    for kind in [*KINDS, "404.html"]:
        page.emulate_media(color_scheme="light")
        page.goto(address + kind)
        assert page.evaluate("document.body.getAttribute('data-md-color-scheme')") == "default"
        wrong += violations(page)
        page.emulate_media(color_scheme="dark")
        page.evaluate(IN_THE_DARK)
        wrong += [f"in the dark: {told}" for told in violations(page, "color-contrast")]
    context.close()
    assert wrong == []


def test_axe_on_a_phone(chromium, address):
    context = chromium.new_context(viewport=PHONE)
    page, found = context.new_page(), []
    for kind in ("builds/harrow-pond/", "builds/harrow-pond/fits/a-f01/", "builds/harrow-pond/readings/"):
        page.goto(address + kind)
        found += violations(page)
    context.close()
    assert found == []


def test_axe_can_find_something(chromium, address):
    page = chromium.new_page(bypass_csp=True)  # what stands in it is set by the test, with styles of its own
    page.goto(address)
    page.set_content("<html><body><img src='x'><button></button></body></html>")
    found = " ".join(violations(page))
    assert "image-alt" in found and "button-name" in found
    page.set_content("<html><body><p style='background: #222; color: #333'>dark on dark</p><img src='x'></body></html>")
    of_colours = violations(page, "color-contrast")
    assert len(of_colours) == 1 and "dark on dark" in of_colours[0]
    page.close()


def test_readable_without_script(chromium, address):
    context = chromium.new_context(viewport=PHONE, java_script_enabled=False)
    page = context.new_page()
    page.goto(address + "builds/harrow-pond/fits/a-f01/")
    assert (
        page.locator(".g-sentence")
        .inner_text()
        .startswith("Skirt in bore: metal on. 10.1 ± 0.3 thou on diameter, 5.0 thou a side")
    )
    page.locator("summary", has_text="Where it stands").click()
    for part in (".g-local a >> nth=0", "svg.g-drawing >> nth=0", "table >> nth=0"):
        assert page.locator(part).is_visible()
    page.locator(".g-local summary").click()
    page.locator(".g-local").get_by_role("link", name="Readings", exact=True).click()
    page.locator("#a001").wait_for(state="attached")  # of an earlier day: folded
    assert page.url.endswith("/readings/")
    context.close()


def test_the_policy_holds_and_everything_of_ours_works_under_it(chromium, address, site):
    """Each kind of page, the search, the switch to dark and a script that somebody got into a page."""
    context = chromium.new_context(viewport=DESKTOP)
    context.add_init_script(
        "window.held = []; addEventListener('securitypolicyviolation', event => held.push(event.violatedDirective))"
    )
    page = context.new_page()
    page.goto(address)
    page.locator(".md-header label[for=__palette_1]").first.click()
    page.reload()
    assert page.evaluate("document.body.dataset.mdColorScheme") == "slate", "the choice is kept"
    page.goto(address + "builds/harrow-pond/")  # whose pages then come first
    page.get_by_role("link", name="Search").click()
    page.get_by_role("searchbox").fill("skirt clearance")
    assert re.fullmatch(r"\d+ answers", page.get_by_role("status").inner_text())
    page.keyboard.press("ArrowDown")
    assert page.evaluate("document.activeElement.textContent") == "Skirt in bore"
    page.go_back()
    page.go_forward()
    page.wait_for_selector("#g-answers a")
    assert page.get_by_role("searchbox").input_value() == "skirt clearance", "the way back leads to the answers"
    page.get_by_role("searchbox").press("Enter")
    page.wait_for_url("**/builds/harrow-pond/fits/a-f01/")
    assert page.evaluate("held") == []
    for kind in [*KINDS, "404.html"]:
        page.goto(address + kind)
        assert page.evaluate("held") == [], kind
    page.evaluate("""() => { for (const html of ['<img src=x onerror="window.ran = 1">', '<svg onload="window.ran = 1">',
        '<iframe srcdoc="<script>parent.ran = 1</script>"></iframe>', '<a id=go href="javascript:window.ran = 1">x</a>'])
        document.body.insertAdjacentHTML('beforeend', html);
        const own = document.createElement('script'); own.textContent = 'window.ran = 1'; document.body.append(own);
        document.getElementById('go').click() }""")
    page.wait_for_timeout(300)
    assert page.evaluate("window.ran") is None and len(page.evaluate("held")) >= 4
    context.close()


def test_letters_in_drawings_are_large_enough_on_a_phone(chromium, address):
    context = chromium.new_context(viewport=PHONE)
    page = context.new_page()
    for kind in ("fits/a-f01/", "fits/a-f04/", "fits/a-f16/", "fits/", "maps/cyl.bore/", "parts/piston/", "rules/"):
        page.goto(address + "builds/harrow-pond/" + kind)
        page.evaluate("document.querySelectorAll('details').forEach(folded => folded.open = true)")
        heights = page.evaluate(
            "[...document.querySelectorAll('svg.g-drawing text')].filter(t => t.ownerSVGElement.checkVisibility()).map(t => parseFloat(getComputedStyle(t).fontSize) * t.ownerSVGElement.getBoundingClientRect().width / t.ownerSVGElement.viewBox.baseVal.width)"
        )
        assert heights and min(heights) >= 10, (kind, min(heights))
        cut = page.evaluate("""[...document.querySelectorAll('svg.g-drawing')].flatMap(s => [...s.querySelectorAll('text')].filter(t => {
            const a = t.getBoundingClientRect(), b = s.getBoundingClientRect(); return a.left < b.left - 1 || a.right > b.right + 1 || a.bottom > b.bottom + 2 }).map(t => t.textContent))""")
        assert cut == [], (kind, cut)
    context.close()


def test_a_fit_on_its_first_screen_and_its_slider(chromium, address):
    """State, number and drawing stand above the fold of a phone; the slider says the page's own words at each of its stops."""
    for name in (
        "harrow-pond/fits/a-f01/",
        "harrow-pond/fits/a-f03/",
        "harrow-pond/fits/a-f16/",
        "sundlia/fits/b-f01/",
    ):
        page = chromium.new_page(viewport=PHONE)
        page.goto(f"{address}builds/{name}")
        for part in ("h1", ".g-fit-head .g-state", ".g-fit-head .g-most", ".g-pair:first-child svg"):
            box = page.locator(part).first.bounding_box()
            assert box and box["y"] >= 0 and box["y"] + box["height"] <= PHONE["height"], (name, part, box)
        assert page.evaluate("document.documentElement.scrollWidth") <= PHONE["width"], name
        page.close()
    page = chromium.new_page(viewport=PHONE)
    page.goto(address + "builds/harrow-pond/fits/a-f01/")
    slider, said = page.locator(".g-slide input"), page.locator(".g-slide output")
    shown = [caption.split("\n") for caption in page.locator(".g-pair figcaption").all_inner_texts()[1:]]
    slider.focus()
    walls = []
    for place, (stop, *sizes) in enumerate(shown):
        assert said.inner_text().startswith(f"{stop}: {sizes[0].split(' (')[0]}"), "the words of the small picture"
        walls.append(page.locator("[data-wall]").first.get_attribute("transform"))
        if place < len(shown) - 1:
            slider.press("ArrowRight")
            assert "between" in said.inner_text() and slider.get_attribute("aria-valuetext") == said.inner_text()
            slider.fill(str(100 * (place + 1)))
    assert len(set(walls)) >= 3, "the walls move"
    page.close()
    context = chromium.new_context(viewport=PHONE, java_script_enabled=False)
    page = context.new_page()
    page.goto(address + "builds/harrow-pond/fits/a-f01/")
    assert not page.locator(".g-slide").is_visible() and page.locator(".g-pair svg").count() == 1 + len(shown)
    context.close()


def test_printed_page(chromium, address, tmp_path):
    page = chromium.new_page(viewport=DESKTOP, color_scheme="dark")
    page.goto(address + "builds/harrow-pond/fits/a-f01/")
    page.emulate_media(media="print")
    for hidden in (".md-header", ".g-local", ".md-sidebar--primary"):
        assert not page.locator(hidden).first.is_visible(), hidden
    for shown in ("h1", ".g-sentence", "svg.g-drawing >> nth=0", ".g-caution >> nth=0"):
        assert page.locator(shown).first.is_visible(), shown
    ink, paper = page.evaluate(
        "[getComputedStyle(document.querySelector('.g-sentence')).color, getComputedStyle(document.querySelector('.g-drawing')).backgroundColor]"
    )
    assert (ink, paper) == ("rgb(0, 0, 0)", "rgb(255, 255, 255)"), "black on white, whatever the screen"
    assert page.pdf(path=tmp_path / "fit.pdf", format="A4")[:5] == b"%PDF-"
    page.close()


def test_hostile_build_runs_nothing(chromium, mixed):  # noqa: F811
    server, url = serve(mixed[0] / "site")
    context = chromium.new_context()
    page, spoke = context.new_page(), []
    page.on("dialog", lambda dialog: (spoke.append(dialog.message), dialog.dismiss()))
    for path in (mixed[0] / "site/builds/hostile").rglob("index.html"):
        page.goto(url + path.relative_to(mixed[0] / "site").as_posix())
    page.goto(url + "builds/hostile/?q=alert")
    page.wait_for_timeout(1500)
    context.close()
    server.shutdown()
    assert spoke == []


def test_every_shop_sheet_is_one_side_of_paper(chromium, address, site, mixed):  # noqa: F811
    """A4 and Letter, from the browser's own printing: one page each, nothing wider than the paper, black on white.

    Of both demonstration builds, and of a build half begun.
    """
    context = chromium.new_context(viewport={"width": 718, "height": 1000}, color_scheme="dark")
    page = context.new_page()
    page.emulate_media(media="print", color_scheme="dark")
    sheets = sorted(path.parent.relative_to(site).as_posix() for path in site.glob("builds/*/sheets/*/index.html"))
    assert len(sheets) > 40
    server, begun = serve(mixed[0] / "site")
    of_begun = sorted((mixed[0] / "site").glob("builds/begun/sheets/*/index.html"))
    assert len(of_begun) == 8
    places = [(sheet, f"{address}{sheet}/") for sheet in sheets]
    places += [(path.parent.name, f"{begun}builds/begun/sheets/{path.parent.name}/") for path in of_begun]
    for sheet, place in places:
        page.goto(place)
        for paper in ("A4", "Letter"):
            printed = page.pdf(format=paper)
            assert len(re.findall(rb"/Type\s*/Page\b(?!s)", printed)) == 1, f"{sheet} needs a second {paper}"
        looks = page.evaluate(
            """() => {
              const sheet = document.querySelector('.g-sheet');
              const right = sheet.getBoundingClientRect().right + 1;
              const wide = [...sheet.querySelectorAll('*')].filter(each => each.getBoundingClientRect().right > right);
              return {wide: wide.length, ink: getComputedStyle(sheet.querySelector('p')).color,
                      nav: getComputedStyle(document.querySelector('.g-local')).display,
                      code: document.querySelectorAll('.g-code svg').length,
                      button: document.querySelector('.g-print').checkVisibility()};
            }"""
        )
        assert looks == {"wide": 0, "ink": "rgb(0, 0, 0)", "nav": "none", "code": 1, "button": False}, sheet
    context.close()
    server.shutdown()


def test_a_sheet_has_a_button_that_prints_where_a_script_may_run(chromium, address):
    sheet = f"{address}builds/harrow-pond/sheets/a-pis-100/"
    page = chromium.new_page()
    page.add_init_script("window.print = () => { window.printed = true; }")
    page.goto(sheet)
    sizes = page.evaluate(
        "() => [...document.querySelectorAll('article p, article td, article th, .g-big')].map(part => parseFloat(getComputedStyle(part).fontSize))"
    )
    most = page.locator(".g-most").first
    assert "take no more than 10.0 thou" in most.inner_text()
    assert most.evaluate("part => parseFloat(getComputedStyle(part).fontSize)") == max(sizes)
    page.get_by_role("button", name="Print this sheet").click()
    assert page.evaluate("window.printed")
    page.close()
    context = chromium.new_context(java_script_enabled=False)
    page = context.new_page()
    page.goto(sheet)
    assert not page.get_by_role("button", name="Print this sheet").is_visible()
    context.close()


def test_sheet_has_boxes_sizes_to_stop_at_and_the_dial(chromium, address):
    page = chromium.new_page()
    page.goto(f"{address}builds/harrow-pond/sheets/a-pis-100/")
    text = page.inner_text(".g-sheet")
    assert "Feed in 2.3 divisions of 0.001 in on radius" in text and "10.1 thou on diameter, 5.0 thou a side" in text
    assert "clock it true before cutting" in text and "Numbers as of 2025-03-31" in text
    assert (
        page.locator(".g-boxes .g-box").count() == 8
        and "4.2465 in" in text
        and "last read with outside mic 4-5 in" in text
    )
    page.close()


def test_the_first_screen_of_a_build_holds_what_it_is_for(chromium, address):
    """The engine, the next job, what is over a safety limit, open requests, what needs a look: all above the fold of a phone."""
    page = chromium.new_page(viewport=PHONE)
    for build in ("harrow-pond", "sundlia"):
        page.goto(f"{address}builds/{build}/")
        ends = {
            what: page.locator(what).first.evaluate("it => it.getBoundingClientRect().bottom")
            for what in (".g-danger-lead", ".g-engine svg", ".g-next", ".g-requests", ".g-look")
        }
        assert {what: end for what, end in ends.items() if not 0 < end <= PHONE["height"]} == {}, build
        assert page.locator(".g-next strong, .g-next a").count() and page.locator(".g-requests a").count()
        letters = page.locator(".g-engine svg text").first
        wide = page.locator(".g-engine svg").first.evaluate("it => it.getBoundingClientRect().width")
        assert letters.evaluate("it => parseFloat(getComputedStyle(it).fontSize)") * wide / 360 >= 11


def test_the_calendar_is_there_once_on_a_phone_a_desk_and_paper_and_leads_to_sheets(chromium, address):
    page = chromium.new_page(viewport=PHONE)
    page.goto(f"{address}builds/harrow-pond/work/")
    first = page.locator(".g-tonight a").first
    assert first.bounding_box()["y"] < PHONE["height"], "a job for tonight stands on the first screen"
    looks = """() => ({shown: [...document.querySelectorAll('svg[aria-labelledby^="calendar-"]')].filter(one => one.checkVisibility()).length,
        letters: Math.min(...[...document.querySelectorAll('.g-drawing text')].filter(one => one.checkVisibility())
            .map(one => 11.5 * one.ownerSVGElement.getBoundingClientRect().width / one.ownerSVGElement.viewBox.baseVal.width))})"""
    for view in (PHONE, DESKTOP):
        page.set_viewport_size(view)
        seen = page.evaluate(looks)
        assert seen["shown"] == 1 and seen["letters"] > 11, view
    page.emulate_media(media="print")
    assert page.evaluate(looks)["shown"] == 1
    page.emulate_media(media="screen")
    page.locator("svg[aria-labelledby^='calendar-broad'] a").first.click()
    assert "/sheets/" in page.url
    page.close()
