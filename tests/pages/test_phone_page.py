"""The page for readings by phone, as it is written: what it carries, that nothing in it acts, and that it changes with the records."""

import json
import re
from pathlib import Path

import gudgeon.pages
import pytest
from acting_html import acting
from gudgeon.assess.build import assess
from gudgeon.pages import fit_page, part_page, phone_page, schedule, sheets
from gudgeon.pages.new_file import new_file
from gudgeon.pages.page import Renderer
from gudgeon.pages.view import View
from small_build import FILES, bent, load, shelf

ASSETS = Path(gudgeon.pages.__file__).parent / "assets" / "phone"
FORGE = new_file("https://github.com/club/engines", "edit/main/docs/")


def view_of(folder: Path, site_url=None, links="folders", **changes) -> View:
    """The small build, ready to be shown."""
    folder.mkdir(exist_ok=True)
    build = load(folder, **changes)
    assert build.problems == [], build.problems
    return View(build, assess(build, shelf()), shelf(), Renderer(links=links), site_url)


def made(folder: Path, forge=FORGE, **changes) -> dict[str, str]:
    """The files of the phone page of the small build, by name."""
    files = phone_page.assets(view_of(folder, **changes), forge)
    return {asset.uri.removeprefix("builds/small/phone/"): asset.content.decode() for asset in files}


def data_of(html: str) -> dict:
    (text,) = re.findall(r'<script type="application/json" id="known-data">(.*?)</script>', html)
    return json.loads(text)


def test_it_knows_each_place_with_its_size_and_what_a_reading_follows(tmp_path):
    data = data_of(made(tmp_path)["index.html"])
    bore = data["shown"]["features"]["cyl.bore"]
    assert [(place["station"], place["angle"], place["shown"]) for place in bore["places"]] == [
        ("10 mm", 0.0, "50.010 mm"),
        ("60 mm", 0.0, "50.012 mm"),
    ]
    assert bore["after"] == "BORE" and "50.010 mm at 20 °C" in bore["known"]
    assert data["shown"]["as_of"] == "2025-02-04"
    assert data["forge"]["folder"] == "builds/small/" and data["forge"]["page"].endswith("/new/main")


def test_a_build_without_a_reading_says_so(tmp_path):
    data = data_of(made(tmp_path, None, readings__2025_02_02_bore=None, readings__2025_02_04_skirt=None)["index.html"])
    bore = data["shown"]["features"]["cyl.bore"]
    assert bore["places"] == [{"station": None, "angle": None, "shown": None}]
    assert bore["known"].startswith("No reading: ") and data["forge"] is None


def test_hostile_text_stays_text(tmp_path):
    """The page has no more that could act than the same page with harmless names."""
    evil = "</script><img src=x onerror=window.ran=1><!--"
    tame = made(tmp_path)["index.html"]
    html = made(tmp_path / "evil", parts__piston=bent("parts/piston.yaml", "name: Skirt", f"name: '{evil}'"))[
        "index.html"
    ]
    assert acting(html) == acting(tame)
    assert data_of(html)["shown"]["features"]["piston.skirt"]["title"] == f"Piston: {evil}"


def test_the_worker_is_another_one_where_the_records_are_others_and_only_there(tmp_path):
    first, again = made(tmp_path), made(tmp_path / "again")
    assert first == again
    other = made(tmp_path / "other", parts__piston=bent("parts/piston.yaml", "name: Skirt", "name: Side"))
    assert other["worker.js"] != first["worker.js"]


def test_the_worker_keeps_every_file_that_the_page_asks_for(tmp_path):
    files = made(tmp_path)
    kept = json.loads(re.search(r"^const FILES = (.*);$", files["worker.js"], re.MULTILINE)[1])
    asked = re.findall(r'(?:src|href)="([^"#]*)"', files["index.html"])
    pages = {address for address in asked if address.startswith("../") and address.endswith("/index.html")}
    assert pages == {"../index.html", "../sheets/index.html"}
    assert set(asked) - pages | {"index.html"} == set(kept)
    manifest = json.loads(files["manifest.webmanifest"])
    assert manifest["scope"] == "./" and manifest["start_url"] == "./index.html" and manifest["icons"][0]["src"] in kept


def test_its_policy_lets_nothing_in_and_it_needs_nothing_else(tmp_path):
    html = made(tmp_path)["index.html"]
    policy = re.search(r'http-equiv="Content-Security-Policy" content="([^"]*)"', html)[1]
    assert "default-src 'none'" in policy and "unsafe" not in policy and "http" not in policy
    assert html.index("Content-Security-Policy") < html.index("<link") < html.index("<script")


@pytest.mark.parametrize("path", sorted(ASSETS.glob("*.js")), ids=lambda path: path.name)
def test_scripts_put_text_in_as_text_and_ask_nothing_of_elsewhere(path):
    text = path.read_text(encoding="utf-8")
    for door in (
        "innerHTML",
        "outerHTML",
        "insertAdjacentHTML",
        "document.write",
        "eval(",
        "new Function",
        "http://",
        "https://",
    ):
        assert door not in text, door
    assert len(text.splitlines()) <= 400


@pytest.mark.parametrize(("links", "up"), [("folders", "../../"), ("html", "../"), ("files", "../")])
def test_a_page_of_every_kind_leads_to_it(tmp_path, links, up):
    """Part, fit, work and sheet; in the addresses of each way in which a site can be built."""
    view = view_of(tmp_path, site_url="https://x.example/y/", links=links, operations=FINISH)
    made_pages = [page for kind in (part_page, fit_page, schedule, sheets) for page in kind.pages(view)]
    text = {page.uri.removeprefix("builds/small/"): page.text for page in made_pages}
    assert f'href="{up}phone/index.html#part=piston"' in text["parts/piston.md"]
    assert f'href="{up}phone/index.html#of=cyl.bore"' in text["fits/f1.md"]
    assert 'phone/index.html#op=FINISH"' in text["work.md"]
    assert 'class="g-qr"' in text["sheets/finish.md"]


FINISH = (
    FILES["operations.yaml"]
    + """\
  FINISH: {part: piston, does: finish skirt, needs: [TURN], changes: [piston.skirt], estimate: [30 min, 60 min, 90 min]}
"""
)
