"""Pages of builds, put into the theme by the press: the same as by the generator's own way, and the same on any number of cores."""

import html
import os
import re
import subprocess
import sys
from pathlib import Path

import pytest
from conftest import build_site
from gudgeon.pages.in_html import Heading, in_html
from gudgeon.project import cores


def in_sense(text: str) -> str:
    """A page without what no reader sees: how a letter is written, and white space between tags."""
    return re.sub(r"\s+", " ", re.sub(r">\s+<", "><", html.unescape(text)))


@pytest.fixture
def club(tmp_path) -> Path:
    """A club with one small build, half read, and a page of its own that leads to one of the build's."""
    from small_build import write

    write(tmp_path / "builds" / "small")
    (tmp_path / "docs").mkdir()
    (tmp_path / "docs" / "index.md").write_text("# Club\n\nOur [fit](builds/small/fits/f1.md) is done.\n")
    (tmp_path / "mkdocs.yml").write_text(
        "site_name: Club\nsite_url: https://example.org/\nplugins: [gudgeon]\ntheme: {name: material, font: false}\n"
        "markdown_extensions: [{toc: {toc_depth: 2}}]\n"
    )
    return tmp_path


def pages(site: Path) -> dict[str, str]:
    return {path.relative_to(site).as_posix(): path.read_text() for path in sorted(site.rglob("*.html"))}


@pytest.mark.slow
def test_the_press_on_any_number_of_cores_and_the_generators_own_way_give_the_same_pages(club):
    """In processes of their own: the number of cores that one may use is the process's. A hook that looks at pages sends all of
    them the generator's own way."""
    from small_build import write

    write(club / "builds" / "twin")
    sites = []
    for count in (1, 2):
        code = (
            f"from gudgeon.project import cores; cores.cores = lambda: {count}; from mkdocs.__main__ import cli; cli()"
        )
        to = club / f"on-{count}"
        words = [sys.executable, "-c", code, "build", "-q", "-d", str(to)]
        done = subprocess.run(words, cwd=club, capture_output=True, text=True, check=False)
        assert done.returncode == 0, done.stderr
        sites.append({path.relative_to(to): path.read_bytes() for path in to.rglob("*") if path.is_file()})
    assert sites[0] == sites[1]

    (club / "hook.py").write_text(
        "def on_page_content(html, page, config, files):\n    return html + '<!-- seen -->'\n"
    )
    with (club / "mkdocs.yml").open("a") as settings:
        settings.write("hooks: [hook.py]\n")
    build_site(club, club / "own", afresh=True)
    pressed, own_way = pages(club / "on-1"), pages(club / "own")
    assert pressed.keys() == own_way.keys()
    assert "<!-- seen -->" in own_way["builds/small/fits/f1/index.html"], "a hook sees the pages of builds"
    assert {name: in_sense(text) for name, text in pressed.items()} == {
        name: in_sense(text.replace("<!-- seen -->", "")) for name, text in own_way.items()
    }
    assert 'href="builds/small/fits/f1/"' in pressed["index.html"]


def test_headings_have_the_ids_of_the_generators_own_reader():
    made = in_html(
        '---\ntitle: "Sk &amp; co"\n---\n# Sk &amp; co\n\n## Über *all*\n\n<p>\n## no heading\n</p>\n\n## Über all\n'
    )
    assert made.title == "Sk &amp; co"
    assert made.headings == (
        Heading(1, "sk-co", "Sk &amp; co"),
        Heading(2, "uber-all", "Über all"),
        Heading(2, "uber-all_1", "Über all"),
    )
    assert '<h2 id="uber-all_1">' in made.content and "## no heading" in made.content


def test_work_is_spread_over_cores_and_all_of_it_comes_back(monkeypatch):
    monkeypatch.setattr(cores, "cores", lambda: 3)
    given = cores.spread(lambda share: (os.getpid(), list(share)), range(7))
    assert len({process for process, _ in given}) == 3
    assert sorted(number for _, share in given for number in share) == list(range(7))
    assert len(cores.spread(lambda share: list(share), range(7), least=5)) == 1


def test_what_fails_in_another_process_is_told(monkeypatch):
    monkeypatch.setattr(cores, "cores", lambda: 2)

    def fail_there(share):
        if 1 in share:
            raise ValueError("the second share")

    with pytest.raises(cores.WorkerFailed, match="ValueError: the second share"):
        cores.spread(fail_there, range(2))
    with pytest.raises(cores.WorkerFailed, match="ended without a word"):
        cores.spread(lambda share: os._exit(1) if 1 in share else None, range(2))


AS_MARKDOWN = (
    "x\n\n[away](https://away.example/a) ![i](https://away.example/i.png) **loud**\n\n# Loud\n\n    set apart\n\n"
    "<https://away.example/>\n \n[ref]: https://away.example/r\n\n[ref]\n\n| head |\n|---|\n| celled |"
)


def test_no_text_of_a_record_is_read_as_markdown_behind_a_blank_line(tmp_path):
    """For CommonMark a blank line ends HTML: what a text has behind one stays text, on every page that shows it."""
    import json

    from gudgeon.assess.build import assess
    from gudgeon.records.model import Club
    from small_build import FILES, load, rendered, shelf

    said = json.dumps(AS_MARKDOWN)
    build = load(
        tmp_path,
        fits=FILES["fits.yaml"].replace("Skirt in bore", said).replace("because: test", f"because: {said}"),
        build=FILES["build.yaml"].replace("Small engine", said) + f"about: {said}\n",
    )
    assert build.problems == []
    pages, _ = rendered(Club([build], shelf()), {build.id: assess(build, shelf())})
    shown = 0
    for page in pages:
        content = in_html(page.text).content
        for leaked in ('="https://away.example', "<strong>loud", "<code>set apart", ">Loud<", "<td>celled"):
            assert leaked not in content, (page.uri, leaked)
        shown += "away.example" in content
    assert shown > 10
