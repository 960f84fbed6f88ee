"""The page for readings by phone in Debian's Chromium, at a phone's size: without a network, full, twice open, from a file, and to the end."""

import json
import re
import shlex
import shutil
import urllib.parse
from pathlib import Path

import phone_vectors
import pytest
from browser.serving import serve
from browser.test_browser import PHONE, violations
from gudgeon.assess.build import assess
from gudgeon.bench.answer import answer
from gudgeon.bench.data import bench_data
from gudgeon.commands.done import done
from gudgeon.pages import phone_page
from gudgeon.pages.new_file import new_file
from gudgeon.pages.page import Renderer
from gudgeon.pages.view import View
from gudgeon.records.load_build import load_build
from small_build import ROOT, shelf

pytestmark = pytest.mark.browser
PAGE = "x/y/builds/harrow-pond/phone/index.html"
SKIRT = "#op=A-PIS-100&of=piston.skirt&station=2.00+in&angle=0"
LISTEN = (
    """window.held = []; addEventListener('securitypolicyviolation', event => held.push(event.violatedDirective));"""
)


@pytest.fixture(scope="module")
def harrow_pond():
    build = load_build(ROOT / "builds/harrow-pond", "builds/harrow-pond", shelf())
    assert build.problems == []
    return build, assess(build, shelf())


@pytest.fixture(scope="module")
def folder(tmp_path_factory, harrow_pond):
    """The page below a path of a host, with a page beside it that is not its own."""
    out = tmp_path_factory.mktemp("host")
    view = View(*harrow_pond, shelf(), Renderer())
    forge = new_file("https://github.com/club/engines", "edit/main/docs/")
    for asset in [*phone_page.shared_assets(), *phone_page.assets(view, forge)]:
        path = out / "x/y" / asset.uri
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_bytes(asset.content)
    (out / "x/y/builds/harrow-pond/index.html").write_text("<!doctype html><title>The build</title>")
    return out


@pytest.fixture(scope="module")
def address(folder):
    server, url = serve(folder)
    yield url
    server.shutdown()


@pytest.fixture
def phone(chromium, address):
    """A phone with nothing on it, and what it complained of."""
    context = chromium.new_context(viewport=PHONE, has_touch=True, is_mobile=True, accept_downloads=True)
    context.add_init_script(LISTEN)
    complaints = []
    context.on("weberror", lambda error: complaints.append(str(error.error)))
    context.on("console", lambda said: complaints.append(said.text) if said.type in ("error", "warning") else None)
    context.complaints = complaints
    yield context
    context.close()


def until(page, true: str) -> None:
    """Wait for something to be so. The page's policy forbids the evaluation by which the browser's driver waits."""
    for _ in range(200):
        if page.evaluate(true):
            return
        page.wait_for_timeout(50)
    raise AssertionError(f"not so in time: {true}")


def opened(context, address: str, at: str = SKIRT):
    page = context.new_page()
    page.goto(address + PAGE + at)
    until(page, "document.getElementById('network').textContent.includes('Works without')")
    return page


def type_reading(page, reading: str, temps=("16", "16")):
    """By the page's own keys, as a thumb does it."""
    page.evaluate("document.getElementById('with').open = true")
    for name, temp in zip(("part_temp", "gauge_temp"), temps, strict=True):
        page.fill(f"#{name}", temp)
    page.tap("#reading")
    for key in reading:
        page.tap(f'[data-key="{key}"]')


def keep(page):
    page.tap("#keep")
    if page.inner_text("#keep") != "Keep":
        page.wait_for_timeout(600)
        page.tap("#keep")
    until(page, "document.getElementById('says').textContent.includes('ept')")


def test_a_reading_survives_flight_mode_and_reload_and_ends_in_the_findings(
    phone, address, folder, harrow_pond, tmp_path
):
    page = opened(phone, address)
    assert page.inner_text("#job").startswith("Finish skirt") and "Records up to 2025-03-31" in page.inner_text(
        "#records"
    )
    phone.set_offline(True)
    page.reload()
    assert page.locator("#entry").is_visible()
    assert page.input_value("#feature") == "piston.skirt" and "2.00 in, 0°" in page.inner_text("#place option:checked")
    type_reading(page, "4.2561", ("24", "16"))
    line = page.inner_text("#says .answer")
    assert (
        re.match(r"4\.25\d\d in at 20 °C; \d+\.\d thou to go; ", line) and "your outside mic 4-5 in will show" in line
    )
    keep(page)
    page.tap("#entry > details:not(#with):not(#cutting) summary")
    page.fill("#note", 'said "so": {#1}')
    page.fill("#photo", "IMG_0815.jpg")
    type_reading(page, "4.2560 4.2561", ("24", "16"))
    keep(page)
    page.locator("#finish summary").tap()
    page.fill("#minutes", "95")
    page.fill("#what", "chatter at the mouth; it's gone")
    page.locator("#finished button").tap()
    page.reload()
    assert page.inner_text("#count") == "3 entries not handed over."
    page.goto(address + "x/y/builds/harrow-pond/phone/index.html?again" + SKIRT)
    assert page.inner_text("#count") == "3 entries not handed over."
    with pytest.raises(Exception, match="ERR_INTERNET_DISCONNECTED"):
        page.goto(address + "x/y/builds/harrow-pond/index.html")  # the worker answers for its own page alone
    phone.set_offline(False)
    page = opened(phone, address)
    page.tap("#hand-over")
    text = page.input_value("#panel textarea")
    link = urllib.parse.urlsplit(page.get_attribute("#panel a", "href"))
    asked = urllib.parse.parse_qs(link.query)
    assert (link.netloc, link.path, asked["value"]) == ("github.com", "/club/engines/new/main", [text])
    (name,) = asked["filename"]
    assert re.fullmatch(r"builds/harrow-pond/readings/\d{4}-\d\d-\d\d-phone-[a-z2-9]{6}\.yaml", name)
    with page.expect_download() as download:
        page.tap("text=Save as a file")
    assert Path(name).name == download.value.suggested_filename and download.value.path().read_text() == text
    until(page, "document.getElementById('count').textContent === 'All of it was handed over.'")
    assert page.locator(".batch").count() == 1, "it stays until the person deletes it"
    assert page.evaluate("held") == [] and phone.complaints == []
    # To the end: the file lies in the build, and the page's size is the site's.
    shutil.copytree(ROOT / "builds/harrow-pond", tmp_path / "harrow-pond")
    (tmp_path / "harrow-pond/readings" / Path(name).name).write_text(text, encoding="utf-8")
    build = load_build(tmp_path / "harrow-pond", "builds/harrow-pond", shelf())
    assert build.problems == []
    new = [row for row in build.rows if row.id not in {row.id for row in harrow_pond[0].rows}]
    assert len(new) == 2 and new[0].after == "A-PIS-70"
    assert 'said "so": {#1}; photo IMG_0815.jpg' in next(row.note for row in new if row.note)
    size = assess(build, shelf()).rows[min(new, key=lambda row: row.id).id].size
    alone = re.search(r"this one alone is (\S+) in|^(\S+) in at 20", line)
    assert abs(size / 25.4 - float(alone[1] or alone[2])) < 0.0002
    command = shlex.split(next(line for line in text.splitlines() if "gudgeon done" in line).strip("# "))
    assert command[:4] == ["gudgeon", "done", "harrow-pond", "A-PIS-100"]
    taken = done.make_context("done", command[2:]).params
    assert (taken["took"], taken["by"], taken["found"]) == ("95 min", "odette", "chatter at the mouth; it’s gone")


def test_the_answers_are_those_of_the_commands_in_the_browser_too(phone, address, harrow_pond):
    vectors = phone_vectors.answers(harrow_pond[0], shelf(), harrow_pond[1], 500, 11)
    said = opened(phone, address).evaluate(
        """({data, cases}) => cases.map(({bent, events}) => {
          const whole = {...data};
          for (const [key, changed] of Object.entries(bent)) {
            whole[key] = {...data[key]};
            for (const [name, more] of Object.entries(changed)) whole[key][name] = {...data[key][name], ...more};
          }
          return gudgeon.answer(whole, events);
        })""",
        vectors,
    )
    assert [one["words"] for one in vectors["cases"]] == said


def test_a_cut_is_answered_as_by_the_command_and_handed_over_with_its_reading(phone, address, harrow_pond):
    page = opened(phone, address)
    page.tap("#cutting summary")
    assert page.input_value("#tool") and page.input_value("#feed") and page.input_value("#machine")
    page.fill("#divisions", "3")
    type_reading(page, "4.2508", ("24", "16"))
    assert "asked on diameter" in page.inner_text("#says")
    event = {"of": "piston.skirt", "station": 50.8, "angle": 0, "reads": [4.2508 * 25.4], "part_temp": 24, "gauge_temp": 16,
             "gauge": page.input_value("#gauge"), "by": "odette", "day": "2026-01-01"}  # fmt: skip
    asked = float(re.search(r"([0-9.]+) in asked", page.inner_text("#says"))[1]) * 25.4
    cut = {"of": "piston.skirt", "cut": asked, "machine": page.input_value("#machine")}
    data = bench_data(harrow_pond[0], shelf(), harrow_pond[1])
    assert page.inner_text("#says .answer") == answer(data, [cut, event]).line
    keep(page)
    assert page.input_value("#divisions") == "" and "asked on diameter" in page.inner_text("#rows")
    page.reload()
    page.tap("#hand-over")
    text = page.input_value("#panel textarea")
    assert text.startswith("# Cut and read besides.") and "rows:" not in text
    words = shlex.split(text.splitlines()[1].strip("# "))
    assert words[:3] == ["gudgeon", "cut", "harrow-pond"] and "dial 3 reads 2.00in 0 4.2508in 24c/16c" in words[3]
    assert page.evaluate("held") == [] and phone.complaints == []


def test_two_tabs_share_one_queue_and_never_hand_over_twice(phone, address):
    one, other = opened(phone, address), opened(phone, address)
    for page, reading in ((one, "4.2561"), (other, "4.2560")):
        type_reading(page, reading)
        keep(page)
    for page in (one, other):
        until(page, "document.getElementById('count').textContent === '2 entries not handed over.'")
    ids = one.eval_on_selector_all("#rows li", "rows => rows.map(row => row.dataset.id)")
    assert len(set(ids)) == 2
    one.tap("#hand-over")
    assert one.input_value("#panel textarea").count("id:") == 2
    phone.grant_permissions(["clipboard-read", "clipboard-write"])
    one.tap("text=Copy the text")
    until(other, "document.getElementById('count').textContent === 'All of it was handed over.'")
    assert other.locator("#hand-over").is_hidden()
    assert one.evaluate("navigator.clipboard.readText()") == one.input_value("#panel textarea")
    other.tap(".batch summary")
    other.tap("text=Delete from this phone")
    assert other.locator(".batch").count() == 1, "asked once more"
    other.tap("text=Is it in the records")
    until(one, "document.getElementById('queue').hidden")
    assert phone.complaints == []


def test_a_hundred_rows_are_shown_and_handed_over_as_a_file(phone, address):
    page = opened(phone, address)
    type_reading(page, "4.2561")
    keep(page)
    page.evaluate(
        """async () => {
          const queue = new gudgeon.Queue("gudgeon phone /x/y/builds/harrow-pond/phone/", () => {});
          await queue.open();
          const [one] = await queue.all();
          for (let number = 1; number < 100; number += 1)
            await queue.put({...one, id: `x${number}`, row: {...one.row, id: `x${number}`}});
        }"""
    )
    until(page, "document.querySelectorAll('#rows li').length === 100")
    page.tap("#hand-over")
    assert page.input_value("#panel textarea").count("\n  - {id:") == 100
    assert page.locator("#panel a").count() == 0 and "too much for the address" in page.inner_text("#panel")
    type_reading(page, "4.2561")
    began = page.evaluate("performance.now()")
    page.tap('[data-key="⌫"]')
    until(page, "document.getElementById('reading').value === '4.256'")
    assert page.evaluate("performance.now()") - began < 1500
    assert phone.complaints == []


def test_a_full_phone_says_so_and_loses_nothing(phone, address):
    page = opened(phone, address)
    session = phone.new_cdp_session(page)
    origin = address.rstrip("/")
    session.send("Storage.overrideQuotaForOrigin", {"origin": origin, "quotaSize": 1})
    page.evaluate("localStorage.clear()")
    type_reading(page, "4.2561")
    page.tap("#keep")
    page.wait_for_timeout(600)
    if page.inner_text("#keep") != "Keep":
        page.tap("#keep")
    page.wait_for_selector("#alarm p")
    assert "1 entry not kept by this phone: its storage is full" in page.inner_text("#alarm")
    assert "Not kept by this phone yet" in page.inner_text("#rows") and "Not kept by the phone" in page.inner_text(
        "#says"
    )
    page.tap("#hand-over")
    assert "reads: 4.2561 in" in page.input_value("#panel textarea")
    session.send("Storage.overrideQuotaForOrigin", {"origin": origin})
    page.tap("text=Try to keep it again")
    until(page, "!document.querySelector('#alarm p')")
    page.reload()
    page.wait_for_selector("#rows li")
    assert "Not kept" not in page.inner_text("#rows")


def test_a_doubt_is_asked_and_one_tap_does_not_answer_it(phone, address):
    page = opened(phone, address)
    type_reading(page, "4.5261")
    assert "cutting does not add metal" in page.inner_text("#doubts") and "4.2561, would fit" in page.inner_text(
        "#doubts"
    )
    page.tap("#keep")
    page.tap("#keep")
    assert page.inner_text("#keep") == "Keep it all the same" and page.locator("#queue").is_hidden()
    page.tap('[data-key="⌫"]')
    assert page.inner_text("#keep") == "Keep", "another number is asked about anew"
    page.fill("#reading", "four two five")
    assert "could be one number or several" in page.inner_text("#doubts")
    page.fill("#reading", "four point two five six one")
    assert "4.2561 in" in page.inner_text("#says")
    page.tap("#say")
    assert page.get_attribute("#reading", "inputmode") == "text", "the phone's own keyboard, with its microphone"
    page.evaluate("location.hash = 'part=oil'")
    until(page, "document.getElementById('known').textContent.includes('No size is here to be read for this part')")
    page.evaluate("location.hash = 'of=sebush.od'")
    until(page, "document.getElementById('feature').value === 'sebush.od'")
    page.fill("#reading", "1.1267")
    assert "nothing to cut: it was pressed since" in page.inner_text("#says")
    assert "A-SEB-30 pressed sebush.od into its mate" in page.inner_text("#doubts")
    assert "No size is here" not in page.inner_text("#known")
    assert phone.complaints == []


@pytest.mark.parametrize("scheme", ["light", "dark"])
def test_it_is_large_enough_and_axe_finds_nothing(chromium, address, scheme):
    context = chromium.new_context(viewport=PHONE, color_scheme=scheme, has_touch=True, is_mobile=True)
    page = opened(context, address)
    type_reading(page, "4.5261")
    page.tap("#keep")
    wrong = violations(page)
    page.wait_for_timeout(600)
    page.tap("#keep")
    page.wait_for_selector("#rows li")
    page.tap("#hand-over")
    for shut in ("#with", "#entry > details:not(#with)", "#finish"):
        page.evaluate("which => { document.querySelector(which).open = true }", shut)
    page.select_option("#place", "elsewhere")
    wrong += violations(page)
    assert wrong == []
    low = page.evaluate(
        """[...document.querySelectorAll("button, select, input, summary, a.key")].filter(one => one.checkVisibility())
           .filter(one => one.getBoundingClientRect().height < 55.5 || one.getBoundingClientRect().width < 44)
           .map(one => one.outerHTML.slice(0, 80))"""
    )
    assert low == []
    for width in (320, 390, 1280):
        page.set_viewport_size({"width": width, "height": 700})
        assert page.evaluate("document.documentElement.scrollWidth") <= width
    context.close()


def test_another_build_of_the_site_is_offered_and_the_old_page_is_gone(phone, address, folder):
    page = opened(phone, address)
    worker = folder / "x/y/builds/harrow-pond/phone/worker.js"
    html = worker.with_name("index.html")
    old = worker.read_text(), html.read_text()
    try:
        worker.write_text(re.sub(r'VERSION = "\w+"', 'VERSION = "another"', old[0]))
        html.write_text(old[1].replace('"as_of":"2025-03-31","parts"', '"as_of":"2025-04-09","parts"'))
        page.reload()
        assert page.inner_text("#records") == "Records up to 2025-04-09.", "with a network the newest page is shown"
        page.wait_for_selector("#update:not([hidden])")
        until(page, "caches.keys().then(names => names.length === 1 && names[0].endsWith('another'))")
        phone.set_offline(True)
        page.tap("#reload")
        page.wait_for_selector("#entry:not([hidden])")
        assert page.inner_text("#records") == "Records up to 2025-04-09."
    finally:
        worker.write_text(old[0])
        html.write_text(old[1])


def test_from_a_file_it_works_and_says_what_it_lacks(phone, folder):
    page = phone.new_page()
    page.goto((folder / PAGE).as_uri() + SKIRT)
    type_reading(page, "4.2561")
    assert "at 20 °C" in page.inner_text("#says .answer")
    keep(page)
    page.tap("#hand-over")
    assert "reads: 4.2561 in" in page.input_value("#panel textarea")
    assert page.inner_text("#network").startswith("From a file")
    assert json.dumps(phone.complaints) == "[]"


def test_the_reading_is_in_sight_above_the_keys_and_the_gauge_can_read_it(phone, address):
    """On opening, with the temperatures' part open, and of features that other gauges read."""
    page = opened(phone, address, "#of=piston.skirt")
    in_sight = """() => { const [field, keys] = ['reading', 'keep'].map(id => document.getElementById(id).getBoundingClientRect());
      return field.top >= 0 && field.bottom <= keys.top && keys.bottom <= innerHeight }"""
    assert page.evaluate(in_sight)
    page.tap("#with summary")
    assert page.evaluate(in_sight)
    for ref in page.eval_on_selector_all("#feature option", "options => options.map(option => option.value)"):
        page.select_option("#feature", ref)
        assert page.evaluate(
            """ref => { const data = JSON.parse(document.getElementById('known-data').textContent).bench;
              const gauge = data.gauges[document.getElementById('gauge').value], size = data.features[ref].size ?? data.features[ref].expected;
              return !gauge || size === null || gauge.low === null || (gauge.low <= size && size <= gauge.high) }""",
            ref,
        ), ref
    page.select_option("#feature", "bigend.bore")
    assert "4-5" not in page.inner_text("#gauge option:checked")
