"""What a number rests on stands on its page, with links that lead somewhere."""

import re

import gudgeon
import pytest
from gudgeon.pages.page import Page
from gudgeon.site import make_site
from small_build import ROOT


@pytest.fixture(scope="module")
def pages():
    return {page.uri: page.text for page in make_site(gudgeon.open(ROOT)).pages}


def folded(text: str, summary: str) -> str:
    found = re.search(
        rf"<details class=\"g-more g-on-ask\">\s*<summary>{re.escape(summary)}</summary>(.*?)</details>",
        text,
        re.DOTALL,
    )
    assert found, f"{summary} is not on the page"
    return found[1]


@pytest.mark.slow
def test_a_fit_says_what_it_rests_on(pages):
    said = folded(pages["builds/harrow-pond/fits/a-f01.md"], "What this fit rests on")
    assert re.findall(r"<li>(.*?):", said)[:4] == ["Readings in use", "Gauges", "Sizes of the spec", "Rules"]
    assert '<a href="../../../../rules/#A-R2">A-R2</a>' in said
    assert '<a href="../../gauges/">dbg (scale from om45)</a>' in said
    assert "warm up" in said
    assert "crank" not in said


@pytest.mark.slow
def test_a_feature_says_what_it_rests_on(pages):
    said = folded(pages["builds/harrow-pond/parts/piston.md"], "What Skirt rests on")
    assert "Readings in use" in said


@pytest.mark.slow
def test_without_notes_nothing_is_said(club, harrow):
    from small_build import rendered

    harrow_pond = next(build for build in club.builds if build.id == "harrow-pond")
    pages: list[Page] = rendered(type(club)([harrow_pond], club.knowledge), {"harrow-pond": harrow})[0]
    assert not any("rests on</summary>" in page.text for page in pages)


@pytest.mark.slow
def test_a_sum_says_what_it_rests_on(pages):
    text = pages["builds/harrow-pond/sums.md"]
    said = text.partition("<summary>What these rest on</summary>")[2].partition("</details>")[0]
    swept = said.partition("<li>Swept volume\n")[2].partition("</ul>")[0]
    assert re.findall(r">(\w+)</a>", swept) == ["bore", "stroke"]
