"""The same pages by other means: under the maintained fork of MkDocs 1.x, and as plain Markdown by another generator."""

import os
import re
import shutil
import subprocess
import sys
from pathlib import Path

import pytest
from click.testing import CliRunner
from conftest import ROOT
from gudgeon.cli import main
from links import broken_links

pytestmark = pytest.mark.slow


def pages(site: Path) -> set[str]:
    return {path.relative_to(site).as_posix() for path in site.rglob("*.html")}


def article(path: Path) -> str:
    """What a page says, without what its generator and theme put around it; the page for a phone and old addresses are all ours."""
    text = path.read_text(encoding="utf-8")
    said = re.search(r"<article.*?</article>", text, re.DOTALL)
    ours = path.parent.name == "phone" or 'http-equiv="refresh"' in text
    return said[0] if said or not ours else text


@pytest.fixture(scope="module")
def by_the_fork(tmp_path_factory):
    out = tmp_path_factory.mktemp("fork")
    env = {key: value for key, value in os.environ.items() if key != "SOURCE_DATE_EPOCH"}
    done = subprocess.run(
        [sys.executable, "-m", "properdocs", "build", "--strict", "-f", "mkdocs.yml", "-d", str(out)],
        cwd=ROOT,
        env=env,
        capture_output=True,
        text=True,
        check=False,
    )
    assert done.returncode == 0, done.stdout + done.stderr
    return out


def test_the_fork_builds_every_page_with_the_same_words(by_the_fork, site):
    assert pages(by_the_fork) == pages(site)
    for name in sorted(pages(site) - {"404.html"}):
        assert article(by_the_fork / name) == article(site / name), name
    assert (by_the_fork / "builds/sundlia/data/build.json").read_bytes() == (
        site / "builds/sundlia/data/build.json"
    ).read_bytes()


@pytest.fixture(scope="module")
def plain(tmp_path_factory):
    """The plain folder, and what another generator makes of it."""
    place = tmp_path_factory.mktemp("plain")
    done = CliRunner().invoke(main, ["pages", "--root", str(ROOT), "--to", str(place / "pages")])
    assert done.exit_code == 0, done.output
    (place / "zensical.toml").write_text(
        '[project]\nsite_name = "Plain"\nsite_url = "https://example.org/"\ndocs_dir = "pages"\nextra_css = ["assets/gudgeon.css"]\n[project.theme]\nfont = false\n'
    )
    done = subprocess.run(
        [sys.executable, "-m", "zensical", "build", "--strict"], cwd=place, capture_output=True, text=True, check=False
    )
    assert done.returncode == 0, done.stdout + done.stderr
    return place


def test_another_generator_builds_the_plain_folder(plain, site):
    # How another tool calls its pages is not known, so that nothing leads there from old addresses.
    old = {name for name in pages(site) if 'http-equiv="refresh"' in (site / name).read_text(encoding="utf-8")}
    assert pages(plain / "site") == pages(site) - old and len(old) < 5
    ours = [
        link for link in broken_links(plain / "site") if not re.search(r"#__|assets/(javascripts|stylesheets)", link)
    ]
    assert ours == []
    text = (plain / "site/builds/sundlia/fits/b-f01/index.html").read_text(encoding="utf-8")
    assert "0.212 mm" in text and "Uncertainty U, k = 2" in text and "<svg" in text


def test_the_plain_pages_need_no_words_of_one_generator(plain):
    for path in sorted((plain / "pages").rglob("*.md")):
        text = path.read_text(encoding="utf-8")
        assert "--8<--" not in text and not re.search(r"^(!!!|\?\?\?|===)", text, re.MULTILINE), path
        assert "LINK:" not in text and "SOURCES#" not in text or path.name == "records.md", path


def test_a_folder_that_holds_something_else_is_left_alone(tmp_path):
    (tmp_path / "mine.txt").write_text("mine")
    done = CliRunner().invoke(main, ["pages", "--root", str(ROOT), "--to", str(tmp_path)])
    assert done.exit_code == 1 and "holds something else" in done.stderr and (tmp_path / "mine.txt").exists()


def test_a_second_run_replaces_the_first_and_gives_the_same_bytes(plain, tmp_path):
    def content():
        return {path.relative_to(again): path.read_bytes() for path in again.rglob("*") if path.is_file()}

    again = shutil.copytree(plain / "pages", tmp_path / "pages")
    first = content()
    (again / "rules.md").write_text("an older run", encoding="utf-8")
    done = CliRunner().invoke(main, ["pages", "--root", str(ROOT), "--to", str(again)])
    assert done.exit_code == 0, done.output
    assert content() == first
