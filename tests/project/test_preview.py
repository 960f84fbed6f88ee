"""The site of a request, laid out from what people write in it and from all that steers a build on the main branch."""

import sys

import gudgeon
import pytest
from click.testing import CliRunner
from club_repo import ClubRepo
from gudgeon.cli import main
from gudgeon.commands import preview as command
from gudgeon.project.preview import lay_out_preview
from gudgeon.project.revisions import what_is_compared

pytestmark = pytest.mark.slow  # a real repository with its history for every case


@pytest.fixture
def repo(tmp_path):
    repo = ClubRepo(tmp_path / "club")
    repo.file("mkdocs.yml", "site_name: Club\nplugins: [gudgeon]\n")
    for name, text in {
        "docs/index.md": "# Club\n",
        "docs/old.md": "# Old\n",
        "docs/own.js": "1",
        "hooks/hook.py": "1",
        "overrides/main.html": "1",
        "docs/images/shed.svg": "<svg/>",
    }.items():
        repo.file(name, text)
    repo.commit("a site")
    repo.git("checkout", "-q", "-b", "work")
    repo.read("s2", "49.952")
    for name in ("mkdocs.yml", "docs/index.md", "docs/new.md", "docs/own.js", "hooks/hook.py", "overrides/main.html"):
        repo.file(name, "of the request\n")
    for name in ("docs/images/shed.svg", "docs/evil.html", "docs/evil.svg", "start.py", "docs/overrides/evil.html"):
        repo.file(name, "of the request\n")
    (repo.root / "docs/old.md").unlink()
    (repo.root / "docs/link.md").symlink_to("/etc/passwd")
    (repo.root / "docs/shed.png").write_bytes(b"picture of the request")
    (repo.root / "builds/small/photos").mkdir()
    (repo.root / "builds/small/photos/skirt.jpg").write_bytes(b"picture of the request")
    repo.commit("from a fork")
    repo.git("checkout", "-q", "main")
    repo.read("t1", "49.953", name="2025-02-21-theirs")
    repo.file("docs/theirs.md", "# Theirs\n")
    repo.commit("main moves on")
    return repo


def test_only_records_pages_and_pictures_are_taken_from_a_request(repo, tmp_path):
    to = tmp_path / "laid-out"
    project = gudgeon.open(repo.root)
    lay_out_preview(project, what_is_compared(project.repository, None, "main", "work", tmp_path), to)
    of_request = {
        path.relative_to(to).as_posix()
        for path in to.rglob("*")
        if path.is_file() and b"of the request" in path.read_bytes()
    }
    assert of_request == {"docs/index.md", "docs/new.md", "docs/shed.png", "builds/small/photos/skirt.jpg"}
    there = {path.relative_to(to).as_posix() for path in to.rglob("*") if path.is_file()}
    assert not there & {"docs/old.md", "start.py", "docs/evil.html", "docs/evil.svg", "docs/overrides/evil.html"}
    assert (to / "mkdocs.yml").read_text().startswith("site_name: Club") and (
        to / "docs/images/shed.svg"
    ).read_text() == "<svg/>"
    # what the merge gives: the readings and pages of both
    assert {
        "docs/theirs.md",
        "builds/small/readings/2025-02-21-theirs.yaml",
        "builds/small/readings/2025-02-20-skirt.yaml",
    } <= there
    assert not (to / "docs/link.md").is_file() and not (to / ".git").exists()


def test_the_command_builds_with_the_generator_and_tells_what_it_is(repo, tmp_path, monkeypatch):
    ran = []

    def run(words, cwd, check):
        ran.append((words, (cwd / "docs/new.md").is_file()))
        return type("Done", (), {"returncode": 0})

    words = ["preview", "work", "--root", str(repo.root), "--to", str(tmp_path / "out")]
    monkeypatch.setattr(command, "subprocess", type("Own", (), {"run": staticmethod(run)}))
    done = CliRunner().invoke(main, words)
    assert done.exit_code == 0, done.output
    ((words_of_run, laid_out),) = ran
    assert words_of_run[:4] == [sys.executable, "-m", "mkdocs", "build"] and laid_out
    assert "The site after work is merged into main (" in done.output and "It is not published." in done.output


def test_what_cannot_be_merged_is_told_and_nothing_is_built(repo, tmp_path):
    repo.file("docs/index.md", "# Another\n")
    repo.commit("main moves on")
    done = CliRunner().invoke(main, ["preview", "work", "--root", str(repo.root), "--to", str(tmp_path / "out")])
    assert done.exit_code == 1 and "docs/index.md: the main branch and this work changed the same lines." in done.stderr
    assert not (tmp_path / "out").exists()


@pytest.mark.parametrize(
    ("broken", "status", "said"),
    [
        ((), 0, "2 builds read"),
        (("small",), 0, "Published with a page that says what is wrong: small."),
        (("small", "twin"), 1, "None of the builds could be worked out: the site is not published"),
    ],
)
def test_a_site_is_published_as_long_as_one_build_can_be_worked_out(repo, broken, status, said):
    for name in broken:
        repo.change(f"builds/{name}/build.yaml", "units:", "unit:")
    done = CliRunner().invoke(main, ["check", "--to-publish", str(repo.root)])
    assert done.exit_code == status and said in done.stderr
    assert CliRunner().invoke(main, ["check", str(repo.root)]).exit_code == (1 if broken else 0)


def test_a_club_that_begins_is_published_and_one_whose_builds_are_not_there_is_not(tmp_path):
    (tmp_path / "builds").mkdir()
    (tmp_path / "mkdocs.yml").write_text("plugins: [gudgeon]\n")
    done = CliRunner().invoke(main, ["check", "--to-publish", str(tmp_path)])
    assert done.exit_code == 0 and "No build yet" in done.stderr
    (tmp_path / "mkdocs.yml").write_text("plugins: [{gudgeon: {builds: engines}}]\n")
    assert CliRunner().invoke(main, ["check", "--to-publish", str(tmp_path)]).exit_code == 3
