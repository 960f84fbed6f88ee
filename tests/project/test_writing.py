"""One way of writing: never through a link, never over what changed, all or nothing, one command at a time."""

import ast
import os
import subprocess
import sys
import threading
from pathlib import Path

import pytest
from conftest import whole_shelf
from gudgeon.project import writing
from gudgeon.project.journal import Journal
from gudgeon.project.writing import NotWritten, desk, write_output
from test_architecture import CODE, MODULES, name_of

# Where files are written: nowhere else. Jinja keeps its compiled templates by itself.
WRITERS = {"gudgeon.project.writing", "gudgeon.project.staging", "gudgeon.project.journal", "gudgeon.project.lock"}
# What lies in no project: a folder for temporary files, the user's cache, the site that is built.
OUTSIDE_PROJECTS = {
    "gudgeon.press": {"write_bytes"},
    "gudgeon.project.cache": {"unlink"},
    "gudgeon.project.merge": {"write_bytes"},
    "gudgeon.upgrade.causes": {"copyfile", "copytree", "unlink"},
    "gudgeon.upgrade.other_tool": {"rmtree", "write_text"},
    "gudgeon.upgrade.upgrading": {"open"},
}
WRITING = {
    "write_text",
    "write_bytes",
    "touch",
    "fdopen",
    "truncate",
    "mkstemp",
    "NamedTemporaryFile",
    "rename",
    "unlink",
    "rmtree",
    "copytree",
    "copyfile",
    "copy2",
    "move",
}


def writes(path: Path) -> set[str]:
    """What a module calls to write, remove or move files."""
    called = set()
    for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
        if not isinstance(node, ast.Call):
            continue
        name = getattr(node.func, "attr", None) or getattr(node.func, "id", None)
        owner = getattr(getattr(node.func, "value", None), "id", None)
        words = [
            arg.value for arg in (*node.args, *(key.value for key in node.keywords)) if isinstance(arg, ast.Constant)
        ]
        modes = {word for word in words if isinstance(word, str) and len(word) <= 3 and set(word) & set("wax+")}
        if name == "rename" and any(key.arg == "columns" for key in node.keywords):  # of a table
            continue
        if (
            name in WRITING
            or (name == "open" and (owner == "os" or modes))
            or (owner, name) in (("os", "replace"), ("os", "remove"))
        ):
            called.add(name)
    return called


def test_no_other_code_writes():
    written = {}
    for path in MODULES:
        module = name_of(path)
        if path.is_relative_to(CODE["gudgeon"]) and module not in WRITERS:
            written[module] = sorted(writes(path) - OUTSIDE_PROJECTS.get(module, set()))
    assert {module: calls for module, calls in written.items() if calls} == {}


@pytest.mark.parametrize(
    "line", ["open(x, 'w')", "p.open(mode='ab')", "p.write_text('')", "os.open(p, 1)", "os.replace(a, b)"]
)
def test_the_search_for_writing_can_fail(line, tmp_path):
    (tmp_path / "module.py").write_text(line)
    assert writes(tmp_path / "module.py")


@pytest.fixture
def user_folder(tmp_path, monkeypatch):
    monkeypatch.setenv("GUDGEON_CACHE", str(tmp_path / "of-user"))
    return tmp_path / "of-user"


@pytest.fixture
def project(tmp_path):
    (tmp_path / "project" / "builds").mkdir(parents=True)
    return tmp_path / "project"


def files(root):
    return {path.relative_to(root).as_posix(): path.read_bytes() for path in root.rglob("*") if path.is_file()}


def nobody(text):
    raise AssertionError(text)


@pytest.mark.parametrize("link", ["builds/a", "builds", "builds/a/x.yaml"])
def test_nothing_is_written_through_a_link(project, tmp_path, link):
    outside = tmp_path / "outside"
    (outside / "a").mkdir(parents=True)
    (outside / "x.yaml").write_text("mine\n")
    (project / "builds").rmdir()
    (project / link).parent.mkdir(parents=True, exist_ok=True)
    (project / link).symlink_to(outside / "x.yaml" if link.endswith("yaml") else outside)
    before = files(tmp_path)
    with desk(project, nobody) as held, pytest.raises(NotWritten, match=f"{link} is a link"):
        held.write({"builds/a/x.yaml": "stranger\n"})
    with pytest.raises(NotWritten, match="is a link"):
        write_output(project / "builds" / "a", {"x.yaml": b"stranger\n"}, project)
    assert files(tmp_path) == before


@pytest.mark.parametrize("name", ["../out.yaml", "/tmp/out.yaml", "", "a/../../b"])
def test_nothing_is_written_outside(project, name):
    with desk(project, nobody) as held, pytest.raises(NotWritten, match="no file inside"):
        held.write({name: "x"})


def test_what_changed_since_it_was_read_is_not_written_over(project):
    (project / "a.yaml").write_text("one\n")
    with desk(project, nobody) as held:
        text = held.text("a.yaml")
        (project / "a.yaml").write_text("an editor saved this\n")
        with pytest.raises(NotWritten, match=r"a\.yaml was changed by somebody else"):
            held.write({"b.yaml": "new\n", "a.yaml": text + "two\n"})
    assert files(project) == {"a.yaml": b"an editor saved this\n"}


@pytest.mark.parametrize(
    ("there", "text", "after"),
    [
        (b"\xef\xbb\xbfa: 1\r\nb: 2\r\n", "a: 1\nb: 2\nc: 3\n", b"\xef\xbb\xbfa: 1\r\nb: 2\r\nc: 3\r\n"),
        (b"a: 1\nb: 2\r\n", "a: 1\nb: 2\nc: 3\n", b"a: 1\nb: 2\r\nc: 3\r\n"),
        (b"a: 1\r\nb: 2\r\n", "a: 9\nb: 2\n", b"a: 9\r\nb: 2\r\n"),
        (b"a: 1\n", "a: 1\nb: 2\n", b"a: 1\nb: 2\n"),
        (b"a: 1", "a: 1\nb: 2\n", b"a: 1\nb: 2\n"),
    ],
)
def test_a_file_keeps_the_manner_it_is_written_in(project, there, text, after):
    (project / "a.yaml").write_bytes(there)
    (project / "a.yaml").chmod(0o640)
    with desk(project, nobody) as held:
        held.write({"a.yaml": text})
    assert (project / "a.yaml").read_bytes() == after and (project / "a.yaml").stat().st_mode & 0o777 == 0o640


def test_a_change_that_fails_leaves_nothing_behind(project, user_folder, monkeypatch):
    (project / "a.yaml").write_text("one\n")
    renamed = []

    def full(part, path):
        if Path(path).parent == project / "builds/deep/er":
            raise OSError(28, "No space left on device")
        if Path(path).is_relative_to(project):
            renamed.append(path)
        rename(part, path)

    rename = os.replace
    monkeypatch.setattr(os, "replace", full)
    with (
        desk(project, nobody) as held,
        pytest.raises(NotWritten, match="deep/er/b.yaml cannot be written: No space left"),
    ):
        held.text("a.yaml")
        held.write({"a.yaml": "two\n", "builds/deep/er/b.yaml": "b\n"})
    assert renamed, "the first was in its place already"
    assert files(project) == {"a.yaml": b"one\n"} and not (project / "builds/deep").exists()
    assert not files(user_folder)


def test_what_was_killed_half_way_is_put_back_by_the_next_command(project, user_folder):
    (project / "a.yaml").write_text("one\n")
    (project / "gone.yaml").write_text("gone\n")
    killed = """
import os, sys
from pathlib import Path
from gudgeon.project.writing import desk
rename = os.replace
def once(part, path, left=[1]):
    if Path(path).name == "b.yaml": os._exit(9)
    rename(part, path)
os.replace = once
with desk(Path(sys.argv[1]), print) as held:
    held.text("a.yaml")
    held.write({"a.yaml": "two\\n", "b.yaml": "b\\n"}, ["gone.yaml"])
"""
    assert subprocess.run([sys.executable, "-c", killed, project], check=False).returncode == 9
    assert (project / "a.yaml").read_text() == "two\n", "half of it was done"
    told = []
    with desk(project, told.append):
        assert files(project) == {"a.yaml": b"one\n", "gone.yaml": b"gone\n"}
    assert told == ["A command was interrupted half way. Put back as it was before it: a.yaml."]
    assert not files(user_folder)


def test_a_journal_of_another_place_is_not_followed(project, user_folder, tmp_path):
    (tmp_path / "other").mkdir()
    Journal.of(tmp_path / "other").begin({"a.yaml": b"x"}, {"a.yaml": b"one\n"}, [], [])
    left = next((user_folder / "unfinished").iterdir())
    (project / "a.yaml").write_text("one\n")
    left.rename(left.with_name(Path(Journal.of(project)._file).name))
    with desk(project, nobody):
        assert (project / "a.yaml").read_text() == "one\n"


def test_one_command_at_a_time_and_the_other_is_told(project):
    held, go_on, told = threading.Event(), threading.Event(), []

    def hold():
        with desk(project, nobody):
            held.set()
            go_on.wait(10)

    thread = threading.Thread(target=hold)
    thread.start()
    held.wait(10)
    with pytest.raises(NotWritten, match="another command has been writing"), desk(project, told.append, patience=0.1):
        pass
    go_on.set()
    thread.join()
    assert told == ["Another command is writing into this project; waiting for it."]
    assert not files(project), "the lock leaves nothing in the project"


@pytest.mark.skipif(os.name == "nt" or os.geteuid() == 0, reason="the system's rights do not bind this user")
def test_a_folder_that_may_only_be_read_is_told(project):
    project.chmod(0o500)
    try:
        with (
            desk(project, nobody) as held,
            pytest.raises(NotWritten, match=r"a\.yaml cannot be written: Permission denied"),
        ):
            held.write({"a.yaml": "x"})
    finally:
        project.chmod(0o700)


def test_pages_that_cannot_be_written_leave_the_old_ones(tmp_path, monkeypatch):
    write_output(tmp_path / "pages", {"a.md": b"old", "sub/b.md": b"old"})
    monkeypatch.setattr(writing, "staged", lambda *given: (_ for _ in ()).throw(OSError(28, "No space left on device")))
    with pytest.raises(NotWritten, match="No space left"):
        write_output(tmp_path / "pages", {"a.md": b"new", "c/d.md": b"new"}, gone=["sub/b.md"])
    assert files(tmp_path) == {"pages/a.md": b"old", "pages/sub/b.md": b"old"}


@pytest.mark.slow
def test_bring_does_not_follow_a_link_that_came_with_a_fork(tmp_path):
    """The shelf of a fork held a link out of the project, and what was brought was written there."""
    SHELF = "docs/knowledge"

    root, outside = tmp_path / "club", tmp_path / "home"
    (root / SHELF / "sources").mkdir(parents=True)
    (root / SHELF / "sources/bibliography.json").write_text("[]\n")
    outside.mkdir()
    (root / SHELF / "materials").symlink_to(outside)
    from gudgeon.records.load_knowledge import load_knowledge
    from gudgeon.share.item import offered

    item = next(
        item for item in offered(load_knowledge(whole_shelf(tmp_path / "giver"), SHELF)) if "materials" in item.path
    )
    # Under a name of its own: what says the same as the tool's is here already.
    name = item.item.id.encode()
    theirs = item.content.replace(b'"' + name + b'"', b'"theirs"').replace(name + b".yaml", b"theirs.yaml")
    (tmp_path / "item.json").write_bytes(theirs.replace(b"material: " + name, b"material: theirs"))
    done = subprocess.run(
        [sys.executable, "-m", "gudgeon.cli", "bring", str(tmp_path / "item.json"), "--root", str(root)],
        capture_output=True,
        text=True,
        check=False,
    )
    assert done.returncode == 1 and "materials is a link" in done.stderr, done.stderr
    assert not list(outside.iterdir())


def test_a_folder_that_may_not_be_written_is_told_before_it_is_there(tmp_path, monkeypatch):
    monkeypatch.setattr("gudgeon.project.writing.os.access", lambda place, how: place != tmp_path)
    assert writing.not_writable(tmp_path / "deep" / "site") == f"{tmp_path} is not yours, or may only be read."
    (tmp_path / "site").mkdir()
    assert writing.not_writable(tmp_path / "site") is None
