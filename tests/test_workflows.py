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
CLUB = ROOT / "plugins" / "gudgeon" / "club" / "workflows"  # what a club's repository is begun with
FORGEJO = sorted((CLUB / "forgejo" / ".forgejo" / "workflows").glob("*.yml"))
OF_GITLAB = CLUB / "gitlab" / ".gitlab" / "gudgeon.yml"
HOOK = CLUB / "server" / "post-receive.sh"


def lint(*words) -> subprocess.CompletedProcess:
    return subprocess.run([str(each) for each in words], capture_output=True, text=True, check=False)


def check(schema, *files):
    return lint(sys.executable, "-m", "check_jsonschema", "--builtin-schema", schema, *files)


def safety(folder: Path) -> subprocess.CompletedProcess:
    return lint(Path(sys.executable).parent / "zizmor", "--offline", "--persona", "auditor", folder)


def test_a_club_s_workflows_are_those_that_run_here():
    """A club gets what this repository is reviewed and published with; only the tests of the tool are its alone."""
    copies = {path.relative_to(CLUB / forge): path for forge in ("github", "gitlab") for path in _files(CLUB / forge)}
    own = {Path(".github/workflows/tests.yml"), Path(".gitlab-ci.yml")}
    here = {path.relative_to(ROOT) for path in (*GITHUB, GITLAB, ROOT / ".gitlab" / "gudgeon.yml")}
    assert set(copies) | own == here | {Path(".gitlab-ci.yml")}
    for name in set(copies) - own:
        assert (ROOT / name).read_bytes() == copies[name].read_bytes(), (
            f"copy {copies[name].relative_to(ROOT)} to {name}"
        )
    included = [{"local": ".gitlab/gudgeon.yml"}]
    for path in (GITLAB, CLUB / "gitlab" / ".gitlab-ci.yml"):
        assert yaml.safe_load(path.read_text(encoding="utf-8"))["include"] == included


def _files(folder: Path) -> list[Path]:
    return [path for path in folder.rglob("*") if path.is_file()]


def test_no_branch_s_name_and_no_site_s_address_is_written_down():
    for path in (*_files(CLUB), *GITHUB, GITLAB):
        if path.name != "tests.yml":
            text = path.read_text(encoding="utf-8")
            assert ".io/" not in text and "[main]" not in text and "heads/main" not in text, path


def test_they_are_sound_by_the_forges_schemas():
    done = check("vendor.github-workflows", *GITHUB, *FORGEJO)
    assert done.returncode == 0, done.stdout
    done = check("vendor.gitlab-ci", GITLAB, OF_GITLAB, CLUB / "gitlab" / ".gitlab-ci.yml")
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
        .replace("NUMBER: ${{", "N: ${{", 1)
        .replace("${NUMBER}", "${{ github.event.pull_request.title }}")
    )
    (place / "review.yml").write_text(text)
    assert "template-injection" in safety(tmp_path / ".github").stdout
    (place / "review.yml").write_text(text.replace("runs-on", "run-on"))
    assert check("vendor.github-workflows", place / "review.yml").returncode == 1


def steps(name: str) -> dict[str, str]:
    """Name -> script of the steps of a workflow."""
    return steps_of(ROOT / ".github" / "workflows" / name)


def steps_of(path: Path) -> dict[str, str]:
    jobs = yaml.safe_load(path.read_text(encoding="utf-8"))["jobs"]
    return {step["name"]: step["run"] for job in jobs.values() for step in job["steps"] if "run" in step}


def test_every_script_is_sound_shell():
    scripts = [text for path in (*GITHUB, *FORGEJO) for text in steps_of(path).values()]
    jobs = yaml.safe_load(GITLAB.read_text()) | yaml.safe_load(OF_GITLAB.read_text())
    scripts += ["\n".join(job["script"]) for job in jobs.values() if isinstance(job, dict) and "script" in job]
    assert len(scripts) >= 20
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
        assert kept["path"] == ".venv" and "hashFiles('requirements-test.lock', 'pyproject.toml')" in kept["key"]
        assert "restore-keys" not in kept
    kept = gitlab[".of-the-code"]["cache"]
    assert kept["paths"] == [".venv"] and kept["key"]["files"] == ["requirements-test.lock", "pyproject.toml"]
    assert [name for name, job in gitlab.items() if isinstance(job, dict) and "cache" in job] == [".of-the-code"]


def test_only_the_main_branch_keeps_the_environment_that_the_site_is_built_in():
    """Kept by its lock's digest, written by the job that publishes, and only read by reviews: nothing that a request's run
    could write is ever taken on the main branch."""
    for folder in (ROOT / ".github" / "workflows", CLUB / "forgejo" / ".forgejo" / "workflows"):
        keys, kept = set(), {}
        for path in folder.glob("*.yml"):
            for job in yaml.safe_load(path.read_text(encoding="utf-8"))["jobs"].values():
                for step in job["steps"]:
                    if "actions/cache" in step.get("uses", "") and path.name != "tests.yml":
                        kept[path.name] = step["uses"].split("@")[0]
                        keys.add(step["with"]["key"])
                        assert step["with"]["path"] == ".venv" and "restore-keys" not in step["with"]
        assert kept.pop("publish.yml") == "actions/cache" and set(kept.values()) == {"actions/cache/restore"}
        assert len(keys) == 1 and "requirements.lock" in keys.pop(), "what is written is what is looked for"
        publish = yaml.safe_load((folder / "publish.yml").read_text(encoding="utf-8"))
        assert set(publish[True]) == {"push", "workflow_dispatch"}
        assert "github.ref_name == github.event.repository.default_branch" in publish["jobs"]["build"]["if"]
    jobs = yaml.safe_load(OF_GITLAB.read_text(encoding="utf-8"))
    assert {name for name, job in jobs.items() if job.get("extends") == ".gudgeon"} == {"review", "pages"}


def test_one_broken_build_does_not_stop_the_site():
    """The review is strict; publishing asks only whether there is a site at all."""
    for text in [
        steps("publish.yml")["Build the site"] + steps("publish.yml")["What has problems"],
        "\n".join(yaml.safe_load(OF_GITLAB.read_text())["pages"]["script"]),
        steps_of(CLUB / "forgejo/.forgejo/workflows/publish.yml")["Build the site"],
        HOOK.read_text(),
    ]:
        assert "site --once" in text and "check --to-publish" in text and "--strict" not in text


def test_the_review_of_a_fork_has_no_secret_and_may_only_read():
    text = (ROOT / ".github/workflows/review.yml").read_text()
    workflow = yaml.safe_load(text)
    assert workflow["permissions"] == {} and "secrets." not in text and "github.token" not in text
    jobs = workflow["jobs"]
    assert {name: job["permissions"] for name, job in jobs.items()} == dict.fromkeys(
        ("slip", "upgrade"), {"contents": "read"}
    )
    checkouts = [step for job in jobs.values() for step in job["steps"] if "checkout" in step.get("uses", "")]
    assert [(step["with"]["ref"], step["with"]["persist-credentials"]) for step in checkouts] == [
        ("${{ github.event.merge_group.base_sha || github.event.pull_request.base.ref }}", False),
        ("${{ github.event.pull_request.base.ref }}", False),
    ]
    assert "git checkout" not in text and "git merge" not in text
    # The request's own version of the tool lies and runs in a job of its own, which restores and keeps nothing.
    assert "worktree" not in json.dumps(jobs["slip"]) and "cache" not in json.dumps(jobs["upgrade"])
    assert workflow[True]["pull_request"] is None, "a check that is asked for comes with every request"
    review = yaml.safe_load(OF_GITLAB.read_text())["review"]
    assert "TOKEN" not in json.dumps(review)
    forgejo = CLUB / "forgejo/.forgejo/workflows/review.yml"
    told = [
        step for step in yaml.safe_load(forgejo.read_text())["jobs"]["slip"]["steps"] if "TOKEN" in json.dumps(step)
    ]
    assert [step["if"] for step in told] == ["github.event.pull_request.head.repo.full_name == github.repository"]
    comment = (ROOT / ".github/workflows/review-comment.yml").read_text()
    assert (
        "refs/pull" not in comment.replace('ref="refs/pull/${NUMBER}/head"', "")
        and MARK in comment
        and MARK in OF_GITLAB.read_text()
        and MARK in forgejo.read_text()
    )


@pytest.fixture
def forge(tmp_path):
    """A forge's repository with a pull request from a fork, and a runner's clone of the base revision."""
    repo = ClubRepo(tmp_path / "author")
    # The runner's environment is this one, set up already; the command is the real one.
    repo.file(
        "start.py",
        "import pathlib, subprocess, sys\n"
        "if sys.argv[1] == 'site':\n"
        "    site = pathlib.Path(sys.argv[-1] if '--site-dir' in sys.argv else 'site')\n"
        "    site.mkdir()\n"
        "    sys.exit(not (site / 'index.html').write_text(' '.join(sorted(p.name for p in pathlib.Path('builds').iterdir()))))\n"
        "elif sys.argv[2] == 'preview':\n"
        "    sys.exit('no generator here')\n"
        f"sys.exit(subprocess.run([{sys.executable!r}, '-m', 'gudgeon.cli', *sys.argv[2:]]).returncode)\n",
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
        (tmp_path / "head").write_text(repo.git("rev-parse", "fork"))
        return tmp_path / "runner"

    return pull_request


def run(script: str, where: Path, **env) -> subprocess.CompletedProcess:
    more = {
        "GITHUB_OUTPUT": str(where.parent / "output"),
        "GITHUB_STEP_SUMMARY": str(where.parent / "summary"),
        "NUMBER": "7",
        "HEAD_SHA": (where.parent / "head").read_text() if (where.parent / "head").exists() else "",
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
    assert run(steps("review-comment.yml")["What the request's version of the tool moves"], runner).returncode == 0
    assert (runner / "slip.markdown").read_text() == comment  # the request pins none
    assert json.loads((runner / "slip.sarif").read_text())["version"] == "2.1.0"


def test_a_reading_edited_in_a_fork_turns_the_check_red_and_still_gives_the_slip(forge):
    runner = forge(lambda repo: repo.change("builds/small/readings/2025-02-04-skirt.yaml", "49.945", "49.955"))
    review = steps("review.yml")
    for name in ("The pull request's commits, as data", "What it moves"):
        assert run(review[name], runner).returncode == 0
    assert (runner.parent / "output").read_text() == "status=1\n"
    done = run(review["Something has to be put right"], runner)
    assert done.returncode == 1 and "this reading was edited" in done.stdout


def test_a_pin_that_could_not_be_compared_is_no_all_clear(forge):
    runner = forge(lambda repo: None)
    (runner / "slip").mkdir()
    (runner / "slip/slip.json").write_text('{"other_files": ["requirements.txt"]}')
    (runner / "slip.markdown").write_text("No number moves.\n")
    done = run(steps("review-comment.yml")["What the request's version of the tool moves"], runner)
    assert done.returncode == 0 and "nothing is known of what that would move" in (runner / "slip.markdown").read_text()


def test_a_forged_slip_is_not_posted(forge):
    runner = forge(lambda repo: repo.read("s2", "49.952"))
    (runner / "slip").mkdir()
    (runner / "slip/slip.json").write_text('{"format": "gudgeon-review-1", "base": "<img src=x>"}')
    done = run(
        steps("review-comment.yml")["The slip, written anew from its data"], runner, LINKS="https://forge.example/"
    )
    assert done.returncode != 0 and not (runner / "slip.markdown").exists()


def test_the_second_forge_s_review_works_on_a_fork_against_the_tip_as_it_is_now(forge, tmp_path):
    """The fork's own project has an older main branch; the id that was given twice since is told."""
    fork = forge(lambda repo: repo.read("s2", "49.952"))
    subprocess.run(["git", "fetch", "-q", "origin", "refs/pull/7/head"], cwd=fork, check=True, env=ENV)
    author = ClubRepo.__new__(ClubRepo)
    author.root = tmp_path / "author"
    author.git("checkout", "-q", "main")
    author.read("s2", "49.953", name="2025-02-21-theirs")
    author.commit("main moves on")
    author.git("push", "-q", str(tmp_path / "forge.git"), "main")
    subprocess.run(["git", "checkout", "-q", "FETCH_HEAD"], cwd=fork, check=True, env=ENV)  # as the runner does
    given = {
        "CI_PROJECT_ID": "8",
        "CI_PROJECT_URL": "https://forge.example/fork",
        "CI_MERGE_REQUEST_SOURCE_PROJECT_ID": "8",
        "CI_MERGE_REQUEST_PROJECT_ID": "7",
        "CI_MERGE_REQUEST_PROJECT_URL": str(tmp_path / "forge"),
        "CI_MERGE_REQUEST_TARGET_BRANCH_NAME": "main",
        "CI_COMMIT_SHA": (tmp_path / "head").read_text(),
        "CI_JOB_URL": "https://forge.example/job/1",
    }
    script = "\n".join(yaml.safe_load(OF_GITLAB.read_text())["review"]["script"])
    done = run(script, fork, **given)
    assert done.returncode == 1, done.stdout + done.stderr
    assert "the main branch has added a reading of this id too" in done.stdout and "ran its own code" not in done.stderr
    assert MARK in (fork / "slip.markdown").read_text() and json.loads((fork / "slip.json").read_text())["blockers"]


def test_the_self_hosted_one_does_what_the_first_forge_does():
    """Its scripts are those that are run above, as far as they go together."""
    theirs, ours = steps_of(CLUB / "forgejo/.forgejo/workflows/review.yml"), steps("review.yml")
    for name in ("The pull request's commits, as data", "The site as it would be", "Something has to be put right"):
        assert theirs[name] == ours[name]
    common = ours["What it moves"].split("python3 start.py gudgeon review --again")[0]
    assert theirs["What it moves"].startswith(common) and "--to slip.json" in common


def test_a_server_s_hook_reviews_branches_and_publishes_the_main_one(forge, tmp_path):
    forge(lambda repo: None)
    author = ClubRepo.__new__(ClubRepo)
    author.root, bare, site = tmp_path / "author", tmp_path / "forge.git", tmp_path / "www"
    shutil.copy(HOOK, bare / "hooks" / "post-receive")
    (bare / "hooks" / "post-receive").chmod(0o755)
    subprocess.run(["git", "config", "gudgeon.site", str(site)], cwd=bare, check=True, env=ENV)

    def push(branch: str) -> str:
        words = ["git", "push", str(bare), branch]
        done = subprocess.run(
            words, cwd=author.root, env={**os.environ, **ENV}, capture_output=True, text=True, check=True
        )
        return done.stderr

    author.git("checkout", "-q", "-b", "work", "main")
    author.read("s2", "49.952")
    author.commit("a reading")
    assert "1 fit moved" in push("work") and not site.exists()
    author.git("checkout", "-q", "main")
    author.change("builds/twin/build.yaml", "units:", "unit:")
    author.commit("a broken build")
    told = push("main")
    assert (
        "Published with a page that says what is wrong: twin." in told
        and (site / "index.html").read_text() == "small twin"
    )
    author.change("builds/small/build.yaml", "units:", "unit:")
    author.git("mv", "builds/twin", "builds/zwilling")
    author.commit("none that can be worked out")
    assert "what stands there stays" in push("main") and (site / "index.html").read_text() == "small twin"
