"""The one door: a project is found from wherever one stands in it, set by its mkdocs.yml, and one fault takes nothing else down."""

import contextlib
import os
import subprocess
import sys

import gudgeon
import pytest
from click.testing import CliRunner
from club_repo import ENV, ClubRepo
from gudgeon.cli import main
from gudgeon.project.settings import find_settings
from gudgeon.site import make_site
from small_build import ROOT, write

SETTINGS = """\
site_name: A club
docs_dir: words
plugins:
  - search
  - gudgeon: {builds: engines, knowledge: words/shelf}
markdown_extensions:
  - pymdownx.emoji: {emoji_index: !!python/name:os.system }
  - toc: {title: !ENV [NOT_SET, "here"]}
"""


def club(folder, settings=SETTINGS):
    """A club whose folders have other names than the usual ones."""
    (folder / "mkdocs.yml").write_text(settings)
    write(folder / "engines" / "small")
    (folder / "words" / "shelf").mkdir(parents=True)
    return folder


def run(cwd, *words):
    """A command, as it is called in a folder; in this process, since starting one costs more than most commands."""
    with contextlib.chdir(cwd):
        done = CliRunner(env=ENV).invoke(main, words)
    assert done.exception is None or isinstance(done.exception, SystemExit), done.exception
    return done


@pytest.mark.parametrize("below", ["", "engines", "engines/small", "engines/small/parts", "words/shelf"])
def test_it_is_found_upwards_and_set_by_its_settings_file(tmp_path, below):
    project = gudgeon.open(club(tmp_path) / below)
    assert (project.root, project.settings.builds, project.settings.knowledge) == (
        tmp_path.resolve(),
        "engines",
        "words/shelf",
    )
    assert project.build_names() == ["small"] and project.build("small").path == "engines/small"


def test_settings_are_inherited_and_environment_variables_are_read(tmp_path, monkeypatch):
    club(tmp_path, "INHERIT: base.yml\nsite_name: here\n")
    (tmp_path / "base.yml").write_text("plugins: {gudgeon: {builds: !ENV [CLUB_BUILDS, engines]}}\n")
    assert find_settings(tmp_path).builds == "engines"
    monkeypatch.setenv("CLUB_BUILDS", "others")
    assert find_settings(tmp_path).builds == "others"


@pytest.mark.parametrize(
    ("settings", "says"),
    [
        ("plugins: [gudgeon: {builds: ../out}]", "mkdocs.yml:1:29: builds: a folder inside the project"),
        ("plugins: [gudgeon: {builds: /etc}]", 'Found "/etc"'),
        ("plugins: [", "cannot be read"),
    ],
)
def test_settings_that_cannot_be_used_are_told(tmp_path, settings, says):
    with pytest.raises(gudgeon.NoProject) as told:
        gudgeon.open(club(tmp_path, settings + "\n"))
    assert says in str(told.value)


def test_it_looks_no_higher_than_the_top_of_a_work_tree(tmp_path):
    club(tmp_path)
    (tmp_path / "other" / ".git").mkdir(parents=True)
    with pytest.raises(gudgeon.NoProject, match="there is no project in"):
        gudgeon.open(tmp_path / "other")


def test_every_command_reads_the_folders_that_are_set(tmp_path):
    club(tmp_path)
    done = run(tmp_path, "check")
    assert done.exit_code == 0 and "1 build read, worked out and shown, 0 problems" in done.stderr
    line = [
        "small",
        "piston",
        "skirt",
        "20",
        "-",
        "49.946",
        "20c/20c",
        "mic",
        "by",
        "ada",
        "--yes",
        "--on",
        "2025-02-05",
    ]
    done = run(tmp_path / "engines/small", "enter", *line)
    assert done.exit_code == 0, done.stderr
    assert (tmp_path / "engines/small/readings").exists() and not (tmp_path / "builds").exists()
    assert run(tmp_path / "engines", "new", "build", "two", *NEW).exit_code == 0
    assert (tmp_path / "engines/two/build.yaml").exists()
    assert run(tmp_path, "export", "small", "--to", str(tmp_path / "out")).exit_code == 0
    done = run(tmp_path, "pages", "--to", str(tmp_path / "plain"))
    assert done.exit_code == 0, done.stderr
    assert (tmp_path / "plain/builds/small/fits/f1.md").exists()


NEW = ["--name", "Two", "--units", "mm", "--layout", "horizontal", "--person", "Ada", "--club", "Test"]


def test_links_to_edit_lead_to_the_folders_that_are_set_and_nowhere_for_what_the_club_has_nothing_of(tmp_path):
    (club(tmp_path) / "words" / "shelf" / "rules").mkdir()
    site = make_site(gudgeon.open(tmp_path))
    edits = {page.uri: page.edit for page in site.pages}
    assert edits["builds/small/fits/f1.md"] == "engines/small/fits.yaml"
    assert edits["rules.md"] == "words/shelf/rules" and edits["cautions.md"] is None
    assert not [edit for edit in edits.values() if edit and not edit.startswith(("engines/", "words/shelf"))]


@pytest.mark.parametrize("command", [["check"], ["review"], ["pages", "--to", "x"], ["history", "small"]])
def test_no_project_and_no_build_are_no_success(tmp_path, command):
    done = run(tmp_path, *command)
    assert done.exit_code == 3 and "there is no project in" in done.stderr
    (tmp_path / "builds").mkdir()
    done = run(tmp_path, *command)
    assert done.exit_code != 0 and "0 problems" not in done.stderr


def test_from_a_subfolder_a_review_says_what_it_says_at_the_top(tmp_path):
    repo = ClubRepo(tmp_path / "club")
    repo.change("builds/small/instruments.yaml", "use: 0.003 mm", "use: 0.006 mm")
    top = run(repo.root, "review", "--form", "json").stdout
    assert '"F1"' in top
    for below in ("builds", "builds/small", "builds/small/parts", "docs/knowledge"):
        assert run(repo.root / below, "review", "--form", "json").stdout == top, below


# ---------------------------------------------------------------- one boundary a build and a page


@pytest.fixture
def two(tmp_path):
    """A project with two sound builds."""
    for name in ("small", "twin"):
        write(tmp_path / "builds" / name)
    return tmp_path


def breaks_for(name, original):
    """A function that fails for one build, as a fault of the tool would."""

    def broken(first, *others):
        build = getattr(first, "build", first)
        if build.id == name:
            raise ZeroDivisionError("float division by zero")
        return original(first, *others)

    return broken


def test_a_build_that_cannot_be_worked_out_is_a_page_that_says_so_and_the_others_stand(two, monkeypatch):
    from gudgeon.project import project

    for way in ("assess", "assess_with_inputs"):
        monkeypatch.setattr(project, way, breaks_for("small", getattr(project, way)))
    site = make_site(gudgeon.open(two))
    pages = {page.uri: page.text for page in site.pages}
    assert "Nothing on this page was worked out" in pages["builds/small/index.md"]
    assert (
        "ZeroDivisionError" in pages["builds/small/index.md"] and "working out small" in pages["builds/small/index.md"]
    )
    assert "builds/small/fits/f1.md" not in pages and "builds/twin/fits/f1.md" in pages
    assert "Not worked out" in pages["builds/index.md"]
    (problem,) = site.problems
    assert problem.where.file == "builds/small/build.yaml" and "ZeroDivisionError" in problem.text
    with pytest.raises(gudgeon.NotWorkedOut):
        gudgeon.open(two).findings("small")
    done = CliRunner().invoke(main, ["check", str(two)])
    assert done.exit_code == 1 and "ZeroDivisionError" in done.stdout


@pytest.mark.slow
@pytest.mark.parametrize(
    ("module", "function", "page"),
    [
        ("part_page", "_part_page", "builds/small/parts/cyl.md"),
        ("history", "_history_page", "builds/small/fits/f1/history.md"),
        ("sheets", "_sheet", "builds/small/sheets/part-cyl.md"),
        ("overview", "pages", "builds/small/index.md"),
        ("calculations", "pages", "builds/small/sums.md"),
    ],
)
def test_a_page_that_cannot_be_made_says_so_and_the_others_stand(two, monkeypatch, module, function, page):
    import importlib

    whole = {made.uri for made in make_site(gudgeon.open(two)).pages}
    target = importlib.import_module(f"gudgeon.pages.{module}")
    monkeypatch.setattr(target, function, breaks_for("small", getattr(target, function)))
    site = make_site(gudgeon.open(two))
    texts = {made.uri: made.text for made in site.pages}
    assert "Nothing on this page was worked out" in texts[page] and "ZeroDivisionError" in texts[page]
    assert {uri for uri in whole if "/twin/" in uri} <= set(texts) and "builds/small/work.md" in texts
    assert site.problems and all("ZeroDivisionError" in problem.text for problem in site.problems)


@pytest.mark.slow
def test_strict_fails_where_a_build_could_not_be_worked_out(two):
    """In the generator itself: the site is built, the page says so, and --strict is not content."""
    (two / "mkdocs.yml").write_text("site_name: Two\nplugins: [gudgeon]\n")
    (two / "docs").mkdir()
    (two / "docs" / "index.md").write_text("# Two\n")
    fault = (
        "import gudgeon.project.project as p, runpy, sys\n"
        "whole = p.assess_with_inputs\n"
        "def assess(build, knowledge):\n"
        "    if build.id == 'small': raise KeyError('crosshead')\n"
        "    return whole(build, knowledge)\n"
        "p.assess_with_inputs = assess\n"
        "sys.argv = ['mkdocs', 'build', *sys.argv[1:]]\n"
        "runpy.run_module('mkdocs', run_name='__main__')\n"
    )
    env = {**os.environ, "NO_MKDOCS_2_WARNING": "1"}
    for strict, status in (([], 0), (["--strict"], 1)):
        done = subprocess.run(
            [sys.executable, "-c", fault, *strict], cwd=two, env=env, capture_output=True, text=True, check=False
        )
        assert done.returncode == status, done.stderr
        assert "crosshead" in done.stderr
    assert "Nothing on this page was worked out" in (two / "site/builds/small/index.html").read_text()
    assert (two / "site/builds/twin/fits/f1/index.html").exists()


def test_the_documented_door_is_the_whole_of_it(root):
    for name in gudgeon.__all__:
        assert getattr(gudgeon, name).__doc__, name
    project = gudgeon.open(ROOT / "builds" / "harrow-pond" / "parts")
    assert project.findings("harrow-pond").fits["A-F01"].clearance is not None
    with pytest.raises(gudgeon.NoBuild, match='Did you mean "harrow-pond"'):
        project.build("harow-pond")
    with project.at("HEAD", ["harrow-pond"]) as committed:
        assert committed.build("harrow-pond").problems == []


def test_the_page_on_python_tells_every_public_name():
    import html

    from gudgeon.commands.python_page import python_page

    text = html.unescape(python_page().text)
    for name in gudgeon.__all__:
        assert f"gudgeon.{name}" in text
    for method in ("findings(name)", "at(revision, builds=None)", "problems()", "repository"):
        assert method in text, method
