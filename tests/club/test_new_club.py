"""gudgeon new club: what it writes is complete and sound, and never over what is there."""

import hashlib
import json
import re
import subprocess
import sys
import zipfile

import pytest
import yaml
from click.testing import CliRunner
from conftest import ROOT
from gudgeon.cli import main
from gudgeon.club import tool
from gudgeon.club.repository import FORGES, Club, editor_settings, files
from gudgeon.club.tool import NoWheel, Tool, of_installed, of_wheel, pinned
from gudgeon.records.load_knowledge import load_knowledge

LOCK = "# how it was made\nclick==8.1.8 \\\n    --hash=sha256:" + "0" * 64 + "\n"
TOOL = Tool("9.9", "gudgeon-9.9-py3-none-any.whl", "1" * 64, LOCK, wheel=b"a wheel")


def club(**said) -> Club:
    return Club(**{"name": "Brook Lane", "licence": "CC-BY-4.0", "units": "in", "forge": "github", **said})


def run(*words):
    return CliRunner().invoke(main, ["new", "club", *map(str, words)])


@pytest.fixture
def wheel(monkeypatch):
    """The command takes a made-up wheel for the one that runs."""
    monkeypatch.setattr("gudgeon.commands.new_club.of_installed", lambda: TOOL)


SAID = ("--name", "Brook Lane", "--licence", "CC-BY-4.0", "--units", "in", "--forge", "server")


@pytest.mark.parametrize("name", ['Brook "Lane": # Club', "- {x}", "Müller & Söhne <b>", "!ENV [HOME]"])
def test_a_name_stands_in_the_settings_as_it_was_said(name):
    made = files(club(name=name), TOOL)
    settings = yaml.load(made["mkdocs.yml"].decode().replace(": !ENV ", ": "), Loader=yaml.SafeLoader)
    assert settings["site_name"] == name
    assert yaml.safe_load(made["docs/knowledge/sharing.yaml"])["club"] == name


def test_without_a_licence_nothing_is_given_away():
    made = files(club(licence="later"), TOOL)
    assert "LICENSE" not in made and "docs/knowledge/sharing.yaml" not in made


def test_the_example_of_a_rule_is_sound_and_stands_for_nobody_until_it_is_named(tmp_path):
    made = files(club(), TOOL)
    for path, text in made.items():
        if path.startswith("docs/knowledge/"):
            (tmp_path / path).parent.mkdir(parents=True, exist_ok=True)
            (tmp_path / path).write_bytes(text)
    shelf = load_knowledge(tmp_path / "docs" / "knowledge", "docs/knowledge")
    assert "M-R1" not in shelf.rules and shelf.problems == []
    example = tmp_path / "docs/knowledge/rules/example.yaml.txt"
    example.rename(example.with_name("M-R1.yaml"))
    shelf = load_knowledge(tmp_path / "docs" / "knowledge", "docs/knowledge")
    assert "M-R1" in shelf.rules and shelf.problems == []


def test_the_tool_is_pinned_by_its_hash_and_lies_in_the_repository():
    made = files(club(), TOOL)
    pins = made["requirements.txt"].decode()
    assert (
        made["tool/gudgeon-9.9-py3-none-any.whl"] == b"a wheel" and pinned(pins) == "tool/gudgeon-9.9-py3-none-any.whl"
    )
    lines = [line for line in pins.splitlines() if line and not line.startswith(("#", " "))]
    assert len(lines) == pins.count("--hash=sha256:") == 2
    fetched = Tool("9.9", TOOL.name, "1" * 64, LOCK, address="https://example.org/gudgeon-9.9-py3-none-any.whl")
    assert pinned(fetched.requirements()) == fetched.address and fetched.path is None


def test_the_editor_knows_the_same_files_as_here_with_the_schemas_that_start_writes():
    here = json.loads((ROOT / ".vscode" / "settings.json").read_text(encoding="utf-8"))["yaml.schemas"]
    there = json.loads(editor_settings())["yaml.schemas"]
    assert {name.replace("./plugins/gudgeon/json_schemas/", "./.gudgeon/schemas/") for name in here} == set(there)
    for name, places in here.items():
        own = {
            place for place in places if not place.startswith("plugins/")
        }  # what comes with the tool is not the club's
        assert own <= set(there[name.replace("./plugins/gudgeon/json_schemas/", "./.gudgeon/schemas/")])
    assert '".gudgeon/schemas"' in files(club(), TOOL)["start.py"].decode()


@pytest.mark.parametrize("there", ["README.md", "docs/index.md", "start.py"])
def test_what_is_there_is_never_written_over(tmp_path, wheel, there):
    (tmp_path / "club" / there).parent.mkdir(parents=True)
    (tmp_path / "club" / there).write_text("mine")
    said = run(tmp_path / "club", *SAID)
    assert said.exit_code == 1 and f"{there} in" in said.stderr and "Nothing was written" in said.stderr
    kept = [path for path in (tmp_path / "club").rglob("*") if path.is_file()]
    assert [path.read_text() for path in kept] == ["mine"]


def test_an_empty_repository_of_git_is_filled_and_a_place_within_another_club_refused(tmp_path, wheel):
    (tmp_path / "club" / ".git").mkdir(parents=True)
    said = run(tmp_path / "club", *SAID)
    assert said.exit_code == 0 and "python3 start.py site" in said.stdout, said.output
    inside = run(tmp_path / "club" / "docs" / "other", *SAID)
    assert inside.exit_code == 1 and "lies inside the project" in inside.stderr
    assert not (tmp_path / "club" / "docs" / "other").exists()


@pytest.mark.parametrize(
    ("said", "told"),
    [
        (("--name", " "), "the club's name"),
        (("--address", "example.org"), "--address"),
        (("--licence", "all rights reserved"), "--licence: an SPDX expression"),
        (("--site", "javascript:alert(1)"), "--site"),
    ],
)
def test_what_does_not_do_is_told_and_nothing_is_written(tmp_path, wheel, said, told):
    done = run(tmp_path / "club", *SAID, *said)
    assert done.exit_code == 1 and told in done.stderr and not (tmp_path / "club").exists()


@pytest.mark.parametrize(
    ("name", "content"),
    [
        ("gudgeon-9.9-py3-none-any.whl", b"no archive"),
        ("gudgeon-9.9-py3-none-any.whl", b""),
        ("other-9.9-py3-none-any.whl", b"PK"),
        ("gudgeon-9.9 --index-url x-py3-none-any.whl", b"PK"),
    ],
)
def test_a_wheel_that_is_none_is_refused(tmp_path, name, content):
    (tmp_path / name).write_bytes(content)
    with pytest.raises(NoWheel, match="no wheel"):
        of_wheel(tmp_path / name)


@pytest.fixture
def installed(monkeypatch, tmp_path):
    """installed(origin): the tool runs from no work tree, and its installer wrote this of where it came from (PEP 610)."""

    def said(origin):
        monkeypatch.setattr(tool, "_is_work_tree", lambda folder: False)
        monkeypatch.setattr(tool, "_origin", lambda: origin)
        monkeypatch.setattr(tool, "OWN_LOCK", tmp_path / "requirements.lock")
        (tmp_path / "requirements.lock").write_text(LOCK)

    return said


HTTPS = "https://example.org/gudgeon-9.9-py3-none-any.whl"
HASHED = {"hashes": {"sha256": "2" * 64}}


@pytest.mark.parametrize(
    "origin",
    [
        {},
        {"url": "https://example.org/tool.git", "vcs_info": {"vcs": "git", "commit_id": "1"}},
        {"url": "file:///somewhere", "dir_info": {}},
        {"url": HTTPS, "archive_info": {}},
        {"url": HTTPS.replace("https", "http"), "archive_info": HASHED},
        {"url": HTTPS.replace("//", "//ann:secret@"), "archive_info": HASHED},
        {"url": HTTPS.replace("org/", "org/ --index-url "), "archive_info": HASHED},
        {"url": "file:///nowhere/gudgeon-9.9-py3-none-any.whl", "archive_info": HASHED},
    ],
)
def test_what_cannot_be_pinned_by_its_hash_is_asked_for(installed, origin):
    installed(origin)
    with pytest.raises(NoWheel, match="--tool WHEEL") as told:
        of_installed()
    assert "secret" not in str(told.value)


def test_an_address_with_its_hash_is_pinned_as_it_is(installed):
    installed({"url": HTTPS, "archive_info": HASHED})
    here = of_installed()
    assert (here.address, here.path, here.sha256, here.lock) == (HTTPS, None, "2" * 64, LOCK)
    assert pinned(here.requirements()) == HTTPS


def test_the_wheel_that_was_installed_is_the_one_that_is_pinned(installed, tmp_path):
    wheel = tmp_path / "gudgeon-9.9-py3-none-any.whl"
    with zipfile.ZipFile(wheel, "w") as archive:
        archive.writestr("gudgeon/club/requirements.lock", LOCK)
        archive.writestr("gudgeon-9.9.dist-info/METADATA", "Name: gudgeon\nVersion: 9.9\n")
    digest = hashlib.sha256(wheel.read_bytes()).hexdigest()
    installed({"url": wheel.as_uri(), "archive_info": {"hash": f"sha256={digest}"}})
    assert of_installed().sha256 == digest and of_installed().lock == LOCK and of_installed().version == "9.9"
    installed({"url": wheel.as_uri(), "archive_info": HASHED})
    with pytest.raises(NoWheel, match="not the file any more"):
        of_installed()


def test_start_is_plain_python_that_says_the_same_words_as_this_repository(tmp_path):
    """Both say what they do where no word is given, know the same words, and need nothing but the standard library."""
    (tmp_path / "start.py").write_bytes(files(club(), TOOL)["start.py"])
    for start in (tmp_path / "start.py", ROOT / "start.py"):
        text = start.read_text(encoding="utf-8")
        assert set(re.findall(r"^\s*(?:import|from) (\w+)", text, re.MULTILINE)) <= set(sys.stdlib_module_names)
        for words in ([], ["--help"], ["sit"]):
            done = subprocess.run([sys.executable, start, *words], capture_output=True, text=True, check=False)
            assert done.returncode == 1, done
            for word in ("site", "site --once", "gudgeon ..."):
                assert f"python3 start.py {word}" in done.stderr
    assert len(text.splitlines()) > 0 and len((tmp_path / "start.py").read_text().splitlines()) <= 125


@pytest.mark.parametrize("forge", FORGES)
def test_a_club_for_every_forge(forge):
    made = files(club(forge=forge, address="https://example.org/club/records"), TOOL)
    settings = yaml.load(made["mkdocs.yml"].decode().replace(": !ENV ", ": "), Loader=yaml.SafeLoader)
    shipped = ROOT / "plugins" / "gudgeon" / "club" / "workflows" / forge
    workflows = {path.relative_to(shipped).as_posix() for path in shipped.rglob("*") if path.is_file()}
    assert workflows <= set(made) and bool(workflows) == (forge != "later")
    if forge != "later":
        assert FORGES[forge].told in made["README.md"].decode()
    plugin = settings["plugins"][0]
    assert plugin == "gudgeon" or set(plugin) == {"gudgeon"}
