"""The ready workflows: sound by the forges' published schemas and a linter, safe for forks, and their steps really work."""

import json
import os
import shutil
import subprocess
import sys
from pathlib import Path

import pytest
import yaml
from club_repo import ENV, ClubRepo
from conftest import ROOT
from gudgeon.review.as_markdown import MARK

pytestmark = pytest.mark.slow

GITHUB = sorted((ROOT / ".github" / "workflows").glob("*.yml"))
GITLAB = ROOT / ".gitlab-ci.yml"


def lint(*words) -> subprocess.CompletedProcess:
    return subprocess.run([str(each) for each in words], capture_output=True, text=True, check=False)


def check(schema, *files):
    return lint(sys.executable, "-m", "check_jsonschema", "--builtin-schema", schema, *files)


def safety(folder: Path) -> subprocess.CompletedProcess:
    return lint(Path(sys.executable).parent / "zizmor", "--offline", "--persona", "auditor", folder)


def test_they_are_sound_by_the_forges_schemas():
    done = check("vendor.github-workflows", *GITHUB)
    assert done.returncode == 0, done.stdout
    done = check("vendor.gitlab-ci", GITLAB)
    assert done.returncode == 0, done.stdout
    done = check("vendor.github-issue-config", ROOT / ".github" / "ISSUE_TEMPLATE" / "config.yml")
    assert done.returncode == 0, done.stdout


def test_the_linter_for_unsafe_workflows_finds_nothing():
    done = safety(ROOT / ".github")
    assert done.returncode == 0, done.stdout + done.stderr


def test_the_linters_can_fail(tmp_path):
    place = tmp_path / ".github" / "workflows"
    place.mkdir(parents=True)
    text = (
        (ROOT / ".github/workflows/review.yml")
        .read_text()
        .replace("NUMBER: ${{", "N: ${{")
        .replace("${NUMBER}", "${{ github.event.pull_request.title }}")
    )
    (place / "review.yml").write_text(text)
    assert "template-injection" in safety(tmp_path / ".github").stdout
    (place / "review.yml").write_text(text.replace("runs-on", "run-on"))
    assert check("vendor.github-workflows", place / "review.yml").returncode == 1


def steps(name: str) -> dict[str, str]:
    """Name -> script of the steps of a workflow."""
    jobs = yaml.safe_load((ROOT / ".github" / "workflows" / name).read_text())["jobs"]
    return {each["name"]: each["run"] for job in jobs.values() for each in job["steps"] if "run" in each}


def test_every_script_is_sound_shell():
    scripts = [text for path in GITHUB for text in steps(path.name).values()]
    jobs = yaml.safe_load(GITLAB.read_text())
    scripts += ["\n".join(job["script"]) for job in jobs.values() if isinstance(job, dict) and "script" in job]
    assert len(scripts) >= 9
    for text in scripts:
        done = subprocess.run(["bash", "-n"], input=text, text=True, capture_output=True, check=False)
        assert done.returncode == 0, done.stderr


def test_the_code_is_held_to_its_habits_on_every_python_that_the_project_names():
    """The same two commands on both forges, a request's code with no secret, and an environment kept by the lock's hash."""
    text = (ROOT / ".github/workflows/tests.yml").read_text(encoding="utf-8")
    workflow = yaml.safe_load(text)
    assert workflow["permissions"] == {} and "secrets." not in text and "github.token" not in text
    assert "pull_request_target" not in text and workflow[True]["pull_request"] is None, (
        "every request, whatever it edits"
    )
    jobs, gitlab = workflow["jobs"], yaml.safe_load(GITLAB.read_text(encoding="utf-8"))
    assert [job["permissions"] for job in jobs.values()] == [{"contents": "read"}] * 3
    breaks = jobs.pop("mutants")  # of requests alone, in an environment of their own
    assert breaks["if"] == "github.event_name == 'pull_request'" and breaks["steps"][-1]["run"].split()[-2:] == [
        ".ci/mutants",
        '"${BASE}"',
    ]
    scripts = {name: [step["run"] for step in job["steps"] if "run" in step] for name, job in jobs.items()}
    assert scripts == {"lint": ["python3 start.py lint"], "tests": [".ci/run --coverage"]}
    assert scripts == {name: gitlab[name]["script"] for name in scripts}
    pythons = jobs["tests"]["strategy"]["matrix"]["python"]
    assert pythons == ["3.11", "3.12", "3.13"] == gitlab["tests"]["parallel"]["matrix"][0]["PYTHON"]
    for job in jobs.values():
        (kept,) = [step["with"] for step in job["steps"] if "actions/cache@" in step.get("uses", "")]
        assert kept["path"] == ".venv" and "hashFiles('requirements.lock', 'pyproject.toml')" in kept["key"]
        assert "restore-keys" not in kept
    kept = gitlab[".of-the-code"]["cache"]
    assert kept["paths"] == [".venv"] and kept["key"]["files"] == ["requirements.lock", "pyproject.toml"]
    assert [name for name, job in gitlab.items() if isinstance(job, dict) and "cache" in job] == [".of-the-code"]
    assert "actions/cache" not in (ROOT / ".github/workflows/publish.yml").read_text(encoding="utf-8")


def test_the_review_of_a_fork_has_no_secret_and_may_only_read():
    text = (ROOT / ".github/workflows/review.yml").read_text()
    workflow = yaml.safe_load(text)
    assert workflow["permissions"] == {} and "secrets." not in text and "github.token" not in text
    assert [job["permissions"] for job in workflow["jobs"].values()] == [{"contents": "read"}]
    checkouts = [
        each for job in workflow["jobs"].values() for each in job["steps"] if "checkout" in each.get("uses", "")
    ]
    assert [(each["with"]["ref"], each["with"]["persist-credentials"]) for each in checkouts] == [
        ("${{ github.event.pull_request.base.sha }}", False)
    ]
    assert "git checkout" not in text and "git merge" not in text
    review = yaml.safe_load(GITLAB.read_text())["review"]
    assert "TOKEN" not in json.dumps(review)
    comment = (ROOT / ".github/workflows/review-comment.yml").read_text()
    assert (
        "refs/pull" not in comment.replace('ref="refs/pull/${NUMBER}/head"', "")
        and MARK in comment
        and MARK in GITLAB.read_text()
    )


@pytest.fixture
def forge(tmp_path):
    """A forge's repository with a pull request from a fork, and a runner's clone of the base revision."""
    repo = ClubRepo(tmp_path / "author")
    # The runner's environment is this one, set up already; the command is the real one.
    repo.file(
        "start.py",
        f"import subprocess, sys\nsys.exit(subprocess.run([{sys.executable!r}, '-m', 'gudgeon.cli', *sys.argv[2:]]).returncode)\n",
    )
    repo.commit("the tool")
    subprocess.run(["git", "clone", "-q", "--bare", str(repo.root), str(tmp_path / "forge.git")], check=True, env=ENV)
    subprocess.run(["git", "clone", "-q", str(tmp_path / "forge.git"), str(tmp_path / "runner")], check=True, env=ENV)

    def pull_request(edit):
        repo.git("checkout", "-q", "-b", "fork")
        edit(repo)
        repo.file("start.py", "raise SystemExit('the fork ran its own code')\n")
        repo.commit("from a fork")
        repo.git("push", "-q", str(tmp_path / "forge.git"), "fork:refs/pull/7/head")
        return tmp_path / "runner"

    return pull_request


def run(script: str, where: Path, **env) -> subprocess.CompletedProcess:
    more = {
        "GITHUB_OUTPUT": str(where.parent / "output"),
        "GITHUB_STEP_SUMMARY": str(where.parent / "summary"),
        "NUMBER": "7",
    }
    return subprocess.run(
        ["bash", "-e", "-c", script],
        cwd=where,
        env={**ENV, **os.environ, **more, **env},
        capture_output=True,
        text=True,
        check=False,
    )


def test_the_steps_work_on_a_pull_request_from_a_fork(forge):
    runner = forge(lambda repo: repo.read("s2", "49.952"))
    review = steps("review.yml")
    for name in ("The pull request's commits, as data", "What it moves"):
        done = run(review[name], runner)
        assert done.returncode == 0, done.stdout + done.stderr
    assert (runner.parent / "output").read_text() == "status=0\n"
    assert "**1 fit moved" in (runner.parent / "summary").read_text()
    assert not (runner / "builds/small/readings/2025-02-20-skirt.yaml").exists()  # nothing was checked out
    (runner / "slip").mkdir()
    shutil.move(runner / "slip.json", runner / "slip/slip.json")
    done = run(
        steps("review-comment.yml")["The slip, written anew from its data"],
        runner,
        LINKS="https://forge.example/blob/0123/",
    )
    assert done.returncode == 0, done.stdout + done.stderr
    comment = (runner / "slip.markdown").read_text()
    assert MARK in comment and "](https://forge.example/blob/0123/builds/small/fits.yaml#L2)" in comment
    assert json.loads((runner / "slip.sarif").read_text())["version"] == "2.1.0"


def test_a_reading_edited_in_a_fork_turns_the_check_red_and_still_gives_the_slip(forge):
    runner = forge(lambda repo: repo.change("builds/small/readings/2025-02-04-skirt.yaml", "49.945", "49.955"))
    review = steps("review.yml")
    for name in ("The pull request's commits, as data", "What it moves"):
        assert run(review[name], runner).returncode == 0
    assert (runner.parent / "output").read_text() == "status=1\n"
    done = run(review["Something has to be put right"], runner)
    assert done.returncode == 1 and "this reading was edited" in done.stdout


def test_a_forged_slip_is_not_posted(forge):
    runner = forge(lambda repo: repo.read("s2", "49.952"))
    (runner / "slip").mkdir()
    (runner / "slip/slip.json").write_text('{"format": "gudgeon-review-1", "base": "<img src=x>"}')
    done = run(
        steps("review-comment.yml")["The slip, written anew from its data"], runner, LINKS="https://forge.example/"
    )
    assert done.returncode != 0 and not (runner / "slip.markdown").exists()
