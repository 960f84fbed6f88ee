"""What keeps the code in order: versions, the tools before a commit, what people are asked in a request or an issue."""

import re
import subprocess
import sys
import tomllib
from pathlib import Path

import pytest
import yaml
from conftest import ROOT
from test_architecture import CODE, MODULES

PROJECT = tomllib.loads((ROOT / "pyproject.toml").read_text(encoding="utf-8"))
GUIDE = (ROOT / "DEVELOPERS.md").read_text(encoding="utf-8")


def test_the_newest_entry_of_the_changes_is_this_version():
    changes = (ROOT / "docs" / "changelog.md").read_text(encoding="utf-8")
    versions = re.findall(r"^## (\d+\.\d+\.\d+)", changes, re.MULTILINE)
    assert versions[0] == PROJECT["project"]["version"]
    numbers = [tuple(int(part) for part in version.split(".")) for version in versions]
    assert numbers == sorted(set(numbers), reverse=True)


def test_the_guide_tells_every_format_with_its_number_and_place():
    told = set(re.findall(r"^\| `(gudgeon-[a-z]+-\d+)` \| [^|]+ \| `([^`]+)` \|$", GUIDE, re.MULTILINE))
    written = {
        (name, path.relative_to(CODE["gudgeon"]).as_posix())
        for path in MODULES
        if path.is_relative_to(CODE["gudgeon"])
        for name in re.findall(r'"(gudgeon-[a-z]+-\d+)"', path.read_text(encoding="utf-8"))
    }
    assert told == written


@pytest.mark.slow
def test_the_tools_before_a_commit_are_the_locked_ones():
    lock = (ROOT / "requirements-test.lock").read_text(encoding="utf-8")
    settings = yaml.safe_load((ROOT / ".pre-commit-config.yaml").read_text(encoding="utf-8"))
    entries = [hook["entry"].split() for repo in settings["repos"] for hook in repo["hooks"]]
    assert [repo["repo"] for repo in settings["repos"]] == ["local"], "nothing is fetched"
    assert {Path(words[0]).name for words in entries} == {"ruff", "basedpyright", "gudgeon", "python3"}
    for program, *words in entries:
        name = Path(program).name
        if name == "python3":
            assert words[:2] == ["start.py", "test"]
            continue
        assert program == f".venv/bin/{name}" and (name == "gudgeon" or f"\n{name}==" in lock)
        done = subprocess.run(
            [Path(sys.executable).parent / name, words[0], "--help"]
            if words
            else [Path(sys.executable).parent / name, "--version"],
            capture_output=True,
            check=False,
        )
        assert done.returncode == 0, (program, words)


def test_both_forges_ask_the_same():
    def body(path: Path) -> str:
        return path.read_text(encoding="utf-8").rpartition("---\n")[2]

    of_github = {path.name: body(path) for path in (ROOT / ".github" / "ISSUE_TEMPLATE").glob("*.md")}
    assert of_github and of_github == {
        path.name: path.read_text(encoding="utf-8") for path in (ROOT / ".gitlab" / "issue_templates").glob("*.md")
    }
    request = ROOT / ".github" / "PULL_REQUEST_TEMPLATE.md"
    assert body(request) == body(ROOT / ".gitlab" / "merge_request_templates" / "Default.md")


def test_the_types_are_held_to_no_list_of_exceptions():
    """At the checker's basic level everywhere, at its strict one where pyproject.toml says so. The checker itself runs in
    start.py lint, which both forges ask for beside the tests (test_workflows.py)."""
    assert PROJECT["tool"]["basedpyright"]["strict"] == ["calc", "plugins/gudgeon/ledger", "plugins/gudgeon/records"]
    assert not (ROOT / ".basedpyright").exists()
