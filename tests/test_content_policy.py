"""The Content-Security-Policy of the pages: the theme's own scripts run, whatever else gets into a page does not."""

import re

import pytest
from conftest import build_site, small_project
from gudgeon.content_policy import digest, header, inline_scripts, policy, with_policy

OWN = 'a="x"'
PAGE = f'<html><head>\n<meta charset="utf-8">\n<title>t</title><script>{OWN}</script></head><body>{{}}</body></html>'
META = re.compile(r'<meta http-equiv="Content-Security-Policy" content="([^"]*)">')
DIGEST = re.compile(r"'sha256-[^']*'")


def test_a_digest_is_that_of_the_standard():
    """Content Security Policy Level 3, section 8.4, names the digest of this script."""
    assert digest("alert('Hello, world.');") == "'sha256-qznLcsROx4GACP2dm0UCKCzCG+HiZ1guq6ZZDob/Tng='"


def test_only_the_themes_scripts_are_let_run():
    page, allowed, held_back = with_policy(PAGE.format("<SCRIPT >alert(1)</script\n>"), [OWN, "not on this page"])
    assert held_back == ["alert(1)"] and allowed == {digest(OWN)}
    assert META.search(page)[1] == policy([digest(OWN)])
    assert digest("alert(1)") not in page and "unsafe" not in page


def test_the_policy_stands_before_every_script():
    page, _, _ = with_policy(PAGE.format(""), [OWN])
    assert page.index("Content-Security-Policy") < page.index("<script>")


@pytest.mark.parametrize(
    "script",
    [
        "<script src='a.js'></script>",
        '<script id="__config" type="application/json">{"a": "b"}</script>',
        '<script type="application/ld+json">{}</script>',
    ],
)
def test_what_is_no_inline_script_needs_no_digest(script):
    assert inline_scripts(script) == []


def test_the_header_says_what_a_page_cannot():
    assert header([]) == f"{policy([])}; frame-ancestors 'none'"
    for open_door in ("unsafe-inline", "unsafe-eval", "*", "http:", "https:", "blob:"):
        assert open_door not in header([digest(OWN)])


@pytest.mark.slow
def test_every_page_has_the_policy_and_nothing_of_ours_stands_in_its_way(site):
    paths = sorted(site.rglob("*.html"))
    assert site / "404.html" in paths
    told = (site / "content-security-policy.txt").read_text(encoding="utf-8").removeprefix("Content-Security-Policy: ")
    for path in paths:
        html = path.read_text(encoding="utf-8")
        (said,) = META.findall(html)
        scripts = {digest(script) for script in inline_scripts(html)}
        assert scripts == set(DIGEST.findall(said)) and scripts <= set(DIGEST.findall(told)), path
        assert not re.search(r"<style\b|<[^>]*\s(?:style|on[a-z]+)\s*=", html), f"{path} has a style or handler inline"
        assert not re.search(r"<(?:base|iframe|object|embed)\b", html), path


@pytest.mark.slow
def test_a_script_that_is_not_the_themes_is_told_and_the_option_takes_the_policy_away(tmp_path):
    project = small_project(tmp_path / "club")
    index = project / "docs" / "words-of-ours.md"
    index.write_text("# Ours\n\n<script>window.ours = 1</script>\n", encoding="utf-8")
    done = build_site(project, project / "site")
    assert done.returncode == 0 and "an inline script that is not the theme's" in done.stderr, done.stderr
    assert "window.ours = 1" in done.stderr
    settings = project / "mkdocs.yml"
    text = settings.read_text(encoding="utf-8")
    settings.write_text(text.replace("  - gudgeon\n", "  - gudgeon: {content_policy: false}\n"), encoding="utf-8")
    done = build_site(project, project / "site")
    assert done.returncode == 0 and "not the theme's" not in done.stderr
    assert not META.search((project / "site" / "index.html").read_text(encoding="utf-8"))
