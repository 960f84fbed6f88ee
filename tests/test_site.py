"""The site as the real MkDocs builds it: same bytes from the same files, links that lead somewhere, one broken build apart."""

import gzip
import hashlib
import json
import re
import shutil
import time
from pathlib import Path
from urllib.parse import unquote

import pytest
from conftest import KINDS, build_site, copy_project, made_once
from links import broken_links, old_addresses, read, unreached
from pages.test_untrusted_text import HOSTILE
from small_build import FILES, write

pytestmark = pytest.mark.slow


def test_no_internal_link_leads_nowhere(site):
    assert broken_links(site) == []


def test_the_link_test_can_fail(tmp_path):
    (tmp_path / "index.html").write_text(
        '<a href="gone/">x</a><a href="#not-there">y</a><p id="here"><a href="#here">z</a>'
    )
    assert broken_links(tmp_path) == ["index.html: gone/", "index.html: #not-there"]
    (tmp_path / "alone.html").write_text('<a href="index.html">x</a>')
    assert unreached(tmp_path) == ["alone.html"]


def test_what_the_search_lists_is_there(site):
    """Each address with its place on the page, and every page of the site by an entry of its own or as one of many."""
    listed = json.loads((site / "assets/search/pages.js").read_text(encoding="utf-8").split("gudgeon.pages(")[1][:-3])
    ids, pages = {}, set()
    for address, *_ in listed["pages"]:
        path, _, anchor = unquote(address).removeprefix("../").partition("#")
        page = site / path / "index.html" if path.endswith("/") or not path else site / path
        if page not in ids:
            ids[page] = read(page).ids
        assert not anchor or anchor in ids[page], address
        pages.add(page)
    made = {*site.rglob("*.html")} - {site / "404.html", site / "search/index.html"} - old_addresses(site)
    assert sorted(made - pages) == []


def test_a_page_is_light_on_the_wire(site):
    """The heaviest pages and the search with all style sheets and scripts that they load, compressed: under 200 kB without pictures."""
    heaviest = sorted(site.rglob("index.html"), key=lambda path: path.stat().st_size)[-3:]
    for path in [*heaviest, site / "search/index.html"]:
        text = path.read_text(encoding="utf-8")
        loaded = re.findall(r'<(?:script src|link rel="stylesheet" href)="([^":?]+)', text)
        files = [path, *((path.parent / address).resolve() for address in loaded)]
        assert len(files) >= 6 and sum(len(gzip.compress(file.read_bytes())) for file in files) < 200_000, path


def test_a_way_leads_to_every_page(site):
    """A new kind of page has to be linked to: a build's pages are in no navigation but their own."""
    assert unreached(site) == []


def test_an_old_address_leads_on_and_is_in_no_list(site):
    old = site / "builds/harrow-pond/story/02-five-patterns/index.html"
    assert old in old_addresses(site) and "../02-something-to-hold-it-by/index.html" in read(old).links
    assert b"five-patterns" not in (site / "sitemap.xml").read_bytes()


def test_the_sitemap_says_when_a_build_changed_and_nothing_of_what_people_write(site):
    entries = re.findall(
        r"<loc>https://example.org/(.*?)</loc>\s*(?:<lastmod>(.*?)</lastmod>)?", (site / "sitemap.xml").read_text()
    )
    days = dict(entries)
    assert (
        len(days) == len({*site.rglob("*.html")} - old_addresses(site)) - 3
    )  # not the page of errors, nor those for phones
    assert days["builds/harrow-pond/fits/a-f01/"] == days["builds/harrow-pond/"] != days["builds/sundlia/"] > "2025"
    assert days["changelog/"] == days[""] == days["rules/"] == ""


def test_what_is_followed_and_shared_is_in_the_heads_and_there(site):
    """Every whole address in a head and in a feed is a file of the site."""
    files = {path.relative_to(site).as_posix() for path in site.rglob("*") if path.is_file()}
    heads = [(site / page / "index.html").read_text(encoding="utf-8").partition("</head>")[0] for page in KINDS]
    named = set(
        re.findall(
            r'(?:type="application/(?:atom\+xml|feed\+json)"[^>]* href|property="og:image" content)="(.*?)"',
            "".join(heads),
        )
    )
    feed = (site / "feed.json").read_text(encoding="utf-8")
    named |= set(re.findall(r'(?:"image": |src=\\|"url": )"(https://example\.org/.*?)\\?"', feed))
    kinds = [
        {"png", "xml", "json", "webp", "jpeg", ""} & {name.rpartition(".")[2] if "." in name[20:] else ""}
        for name in named
    ]
    assert all(kinds) and {"png", "xml", "json", "jpeg"} <= set().union(*kinds)
    paths = {unquote(name.removeprefix("https://example.org/")) for name in named}
    assert sorted(path for path in paths if path not in files and f"{path}index.html" not in files) == []


def test_html_is_sound_where_the_stock_theme_is_not(site):
    """Ids stand once, labels name a control that is there, no attribute where HTML forbids it."""
    for path in site.rglob("*.html"):
        page = read(path)
        assert (page.twice, page.faults, [each for each in page.labels if each not in page.ids]) == ([], [], []), (
            path.relative_to(site)
        )


def test_every_kind_of_page_is_there(site):
    assert [page for page in KINDS if not (site / page / "index.html").exists()] == []


def test_findings_lie_beside_the_pages(site, harrow):
    assert json.loads((site / "builds/harrow-pond/findings.json").read_text()) == json.loads(harrow.model_dump_json())


def test_nothing_comes_from_outside(site):
    for path in site.rglob("*.html"):
        text = path.read_text(encoding="utf-8")
        assert not re.search(r'<(?:script|link|img)[^>]+(?:src|href)="https?://(?!example\.org)', text), path


def test_edit_links_lead_to_the_file_behind_the_page(site):
    def edit(page):
        return next(link for link in read(site / page / "index.html").links if "/edit/" in link)

    base = "https://example.org/larkmoor/gudgeon/edit/main/"
    assert edit("builds/harrow-pond/parts/piston") == base + "builds/harrow-pond/parts/piston.yaml"
    assert edit("builds/harrow-pond/fits/a-f01") == base + "builds/harrow-pond/fits.yaml"
    assert (
        edit("builds/harrow-pond/story/15-mapping-the-bore") == base + "builds/harrow-pond/log/15-mapping-the-bore.md"
    )
    assert edit("rules") == base + "docs/knowledge/rules"


def test_instalments_lead_on_and_back(site):
    links = read(site / "builds/harrow-pond/story/14-the-bush-that-shrank/index.html").links
    assert "../13-what-the-kiln-did/" in links and "../15-mapping-the-bore/" in links


def digest(folder: Path) -> dict[str, str]:
    return {
        path.relative_to(folder).as_posix(): hashlib.sha256(path.read_bytes()).hexdigest()
        for path in sorted(folder.rglob("*"))
        if path.is_file()
    }


def test_the_same_files_give_the_same_bytes(site, tmp_path):
    project = copy_project(tmp_path)
    time.sleep(1.1)  # a clock that leaked into a page would show
    done = build_site(project, tmp_path / "again", "--strict", afresh=True)
    assert done.returncode == 0, done.stderr
    assert without_edit_of_the_tool_s(tmp_path / "again") == without_edit_of_the_tool_s(site)


def without_edit_of_the_tool_s(folder: Path) -> dict[str, str]:
    """As `digest`, but for the links to edit what comes with the tool: only where the project holds its source are there any."""
    taken = digest(folder)
    for path in folder.rglob("index.html"):
        lines = [line for line in path.read_bytes().split(b"\n") if line.strip()]
        own = b"\n".join(line for line in lines if b"/edit/main/plugins/gudgeon/knowledge/" not in line)
        taken[path.relative_to(folder).as_posix()] = hashlib.sha256(own).hexdigest()
    return taken


BEGUN = """\
  LAP: {part: cyl, does: lap bore, changes: [cyl.bore]}
  RE: {part: piston, does: re-measure the piston}
  ASM: {part: cyl, does: trial assembly, needs: [LAP]}
  TIM: {part: cyl, does: time valves}
  RUN: {part: cyl, does: first start, needs: [ASM], hold_point: true}
  CAST: {part: piston, does: cast another}
"""


@pytest.fixture(scope="module")
def mixed():
    """A club with a sound build, one half begun, a broken one and a hostile one, and what building its site said. Nobody
    changes it."""
    project = made_once("mixed", mixed_club)
    return project, (project / "said").read_text(encoding="utf-8")


def mixed_club(project: Path):
    project.mkdir()
    copy_project(project)
    write(
        project / "builds" / "broken",
        parts__piston=FILES["parts/piston.yaml"].replace("nominal: 49.94 mm", "nominal: 4.246"),
    )
    write(project / "builds" / "begun", operations=FILES["operations.yaml"] + BEGUN, readings__2025_02_04_skirt=None)
    write(project / "builds" / "hostile")
    for name, text in HOSTILE.items():
        (project / "builds" / "hostile" / name).parent.mkdir(exist_ok=True)
        (project / "builds" / "hostile" / name).write_text(text, encoding="utf-8")
    done = build_site(project, project / "site")
    assert done.returncode == 0, done.stderr
    (project / "said").write_text(done.stderr, encoding="utf-8")


def test_one_broken_build_leaves_the_others_standing_and_is_named(mixed, site):
    project, said = mixed
    message = 'builds/broken/parts/piston.yaml:7:43: skirt: a length needs a unit. Found "4.246". Write "4.246 in" or "107.85 mm".'
    assert message in said and "Traceback" not in said
    floor = (project / "site/builds/index.html").read_text(encoding="utf-8")
    home = (project / "site/index.html").read_text(encoding="utf-8")
    assert "OVER A SAFETY LIMIT" in home and "not worked out,\nits files have problems" in home
    assert "Not shown: 1 problem in its files" in floor and "Harrow Pond No. 3" in floor
    assert "a length needs a unit" in (project / "site/builds/broken/index.html").read_text(encoding="utf-8")
    before, after = digest(site), digest(project / "site")
    pages = [name for name in before if name.startswith("builds/harrow-pond/")]
    assert len(pages) > 50 and all(before[name] == after[name] for name in pages)


def test_strict_fails_on_a_problem(mixed, tmp_path):
    done = build_site(mixed[0], tmp_path / "site", "--strict")
    assert done.returncode == 1 and "Aborted with 1 warnings in strict mode" in done.stdout + done.stderr


def test_hostile_text_is_text_on_the_finished_site(mixed):
    pages = list((mixed[0] / "site/builds/hostile").rglob("*.html"))
    assert len(pages) > 10
    for path in [*pages, mixed[0] / "site/builds/index.html"]:
        text = path.read_text(encoding="utf-8")
        assert (
            "<script>alert" not in text
            and "<img src=x" not in text
            and not re.search(r'(?:href|src)="\s*javascript:alert', text, re.IGNORECASE)
        ), path
    listed = (mixed[0] / "site/assets/search/pages.js").read_text(encoding="utf-8")
    assert "script>alert" in listed and "<" not in listed.split("\n", 2)[2]


def test_a_club_without_a_build_or_a_shelf_has_a_site(tmp_path):
    project = copy_project(tmp_path)
    shutil.rmtree(project / "builds")
    shutil.rmtree(project / "docs" / "knowledge")
    (project / "docs" / "index.md").write_text("# Empty\n")
    done = build_site(project, project / "site")
    assert done.returncode == 0 and "no build was found" in done.stderr, done.stderr
    assert (project / "site/builds/index.html").exists()
    assert (
        build_site(project, project / "site", "--strict").returncode == 1
    )  # more often a wrong folder than an empty club
