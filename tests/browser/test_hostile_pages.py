"""Hostile text in every text field that the models have, on the finished site, in a real browser with the pages' own policy."""

import shutil

import pytest
from browser.serving import serve
from browser.test_browser import PHONE, fullest_of_each_kind
from conftest import build_site, copy_project
from hostile_records import hostile_club

pytestmark = pytest.mark.browser
# What the policy stops would be told too: the text shall not get so far that the policy has to stop it.
LISTEN = """window.stopped = [];
document.addEventListener("securitypolicyviolation", event => window.stopped.push(event.violatedDirective + " " + event.blockedURI))"""
LIVE = """() => ({
  ran: window.ran ?? null,
  stopped: window.stopped,
  made: [...document.querySelectorAll(
      ".foreign, [onclick], [onload], [onerror], [srcdoc], iframe, object, embed, base, foreignObject, svg script")].map(one => one.outerHTML),
  leads: [...document.querySelectorAll("*")].flatMap(one => [...one.attributes])
      .filter(one => /^(href|src|action|formaction|xlink:href)$/.test(one.name) && /^\\s*(javascript|vbscript|data):/i.test(one.value))
      .map(one => one.value),
})"""
CLEAN = {"ran": None, "stopped": [], "made": [], "leads": []}


@pytest.fixture(scope="module")
def hostile_site(tmp_path_factory):
    project = copy_project(tmp_path_factory.mktemp("hostile"))
    shutil.rmtree(project / "builds")
    shutil.rmtree(project / "docs" / "knowledge")
    hostile_club(project)
    done = build_site(project, project / "site")
    assert done.returncode == 0 and "inline script" not in done.stderr, done.stderr
    return project / "site"


def test_nothing_runs_on_any_kind_of_page(chromium, hostile_site):
    server, address = serve(hostile_site)
    context = chromium.new_context(viewport=PHONE)
    context.add_init_script(LISTEN)
    page, complaints = context.new_page(), []
    page.on("dialog", lambda dialog: (complaints.append(f"{page.url}: {dialog.message}"), dialog.dismiss()))
    page.on("pageerror", lambda error: complaints.append(f"{page.url}: {error}"))
    page.on(
        "console",
        lambda said: complaints.append(f"{page.url}: {said.text}") if said.type in ("error", "warning") else None,
    )
    page.on(
        "request",
        lambda asked: (
            complaints.append(f"{page.url} asks {asked.url}")
            if not asked.url.startswith((address, "blob:", "data:"))
            else None
        ),
    )
    kinds, shown = set(), 0
    for path in fullest_of_each_kind(sorted(hostile_site.rglob("index.html")), hostile_site, also=()):
        place = path.parent.relative_to(hostile_site)
        page.goto(f"{address}{place.as_posix()}/index.html")
        assert page.evaluate(LIVE) == CLEAN, place
        kinds |= set(place.parts[2::2] if place.parts[:1] == ("builds",) else place.parts[:1])
        shown += "window.ran" in page.content()
    assert {"due", "fits", "history", "phone", "sheets", "story", "work"} <= kinds and shown > 25, (kinds, shown)
    page.goto(f"{address}search/index.html#window")
    page.wait_for_selector("#g-answers li")
    assert "window" in page.inner_text("#g-answers") and page.evaluate(LIVE) == CLEAN
    assert complaints == []
    # That the listeners hear: the same text, made live on the page.
    page.evaluate("document.body.insertAdjacentHTML('beforeend', '<img class=foreign src=x onerror=window.ran=1>')")
    page.wait_for_timeout(200)
    heard = page.evaluate(LIVE)
    assert len(heard["made"]) == 1 and heard["stopped"] and heard["ran"] is None, (
        "the policy holds where the text would not"
    )
    context.close()
    server.shutdown()
