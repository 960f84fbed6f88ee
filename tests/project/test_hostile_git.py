"""A clone that a stranger handed over: nothing that its settings, attributes or hooks name is ever run."""

import subprocess
import sys

import pytest
from club_repo import ENV, ClubRepo, review
from gudgeon.project.git import GitLacks, Repository

pytestmark = pytest.mark.slow  # a real repository with a trap for every case

COMMANDS = {
    "review of the work tree": ("review",),
    "review of a commit": ("review", "--base", "HEAD~1", "--head", "HEAD"),
    "review as SARIF": ("review", "--form", "sarif"),
    "history": ("history", "small", "F1"),
    "check": ("check",),
    "export": ("export", "small"),
}


def trapped(root) -> ClubRepo:
    """A club with a trap in every setting that names a command; each leaves a file with its name in `ran`."""
    repo = ClubRepo(root)
    repo.read("s2", "49.952", name="2025-02-21-skirt")
    repo.file(".gitattributes", "* filter=trap diff=trap\n*.md filter=long\nfits.yaml filter=included\n")
    repo.commit("a reading")
    repo.read("s3", "49.951", name="2025-02-22-skirt")
    repo.change("builds/small/fits.yaml", "Skirt in bore", "Skirt in the bore")
    (root / "ran").mkdir()
    hooks = root / "hooks"
    hooks.mkdir()
    for name in ("post-index-change", "reference-transaction", "post-checkout", "pre-auto-gc", "fsmonitor-watchman"):
        hook = hooks / name
        hook.write_text(f"#!/bin/sh\ntouch '{root}/ran/hook-{name}'\n", encoding="utf-8")
        hook.chmod(0o755)

    def trap(name: str, then: str = "cat") -> str:
        script = root / "hooks" / f"trap-{name}"
        script.write_text(f"#!/bin/sh\ntouch '{root}/ran/{name}'\n{then}\n", encoding="utf-8")
        script.chmod(0o755)
        return str(script)

    settings = {
        "core.fsmonitor": trap("fsmonitor"),
        "core.hooksPath": str(hooks),
        "core.pager": trap("pager"),
        "core.editor": trap("editor"),
        "core.sshCommand": trap("ssh"),
        "core.askPass": trap("askpass"),
        "core.gitProxy": trap("proxy"),
        "core.alternateRefsCommand": trap("alternates"),
        "diff.external": trap("external"),
        "diff.trap.textconv": trap("textconv", 'cat "$1"'),
        "diff.trap.command": trap("diff-command"),
        "filter.trap.clean": trap("clean"),
        "filter.trap.smudge": trap("smudge"),
        "filter.trap.required": "true",
        "filter.long.process": trap("process"),
        "gpg.program": trap("gpg"),
        "log.showSignature": "true",
        "credential.helper": f"!{trap('credential')}",
        "remote.origin.url": f"ext::{trap('transport')}",
        "remote.origin.uploadpack": trap("uploadpack"),
        "remote.origin.promisor": "true",
        "protocol.ext.allow": "always",
        "pager.log": trap("pager-of-log"),
        "interactive.diffFilter": trap("diff-filter"),
        "submodule.recurse": "true",
        **{
            f"alias.{name}": f"!{trap('alias-' + name)}"
            for name in ("diff", "log", "grep", "blame", "ls-tree", "cat-file", "rev-parse", "config")
        },
    }
    for key, value in settings.items():
        repo.git("config", key, value)
    repo.git("config", "extensions.partialClone", "origin")
    (root / ".git" / "more").write_text(f'[filter "included"]\n\tclean = {trap("included")}\n', encoding="utf-8")
    repo.git("config", "includeIf.gitdir:**.path", "more")
    for left in (root / "ran").iterdir():
        left.unlink()
    return repo


def ran(root) -> list[str]:
    return sorted(path.name for path in (root / "ran").iterdir())


@pytest.fixture(scope="module")
def club(tmp_path_factory):
    return trapped(tmp_path_factory.mktemp("trapped") / "club")


@pytest.mark.parametrize("name", COMMANDS)
def test_no_command_runs_what_a_clone_names(club, name, tmp_path):
    words = [*COMMANDS[name], *(("--to", str(tmp_path / "out")) if name == "export" else ())]
    done = subprocess.run(
        [sys.executable, "-m", "gudgeon.cli", *words],
        cwd=club.root,
        env={**ENV, "GUDGEON_CACHE": ""},
        capture_output=True,
        text=True,
        check=False,
    )
    assert "Traceback" not in done.stderr and done.returncode in (0, 1), done.stdout + done.stderr
    assert ran(club.root) == []


def test_the_review_reads_the_same_with_the_traps_as_without(club):
    """What the traps would have changed is not what keeps them shut: the filters are off, and the reading is told."""
    repository = Repository(club.root)
    changed = {change.path for change in repository.changed("HEAD", None, ("builds",))}
    assert changed == {"builds/small/fits.yaml", "builds/small/readings/2025-02-22-skirt.yaml"}
    assert repository.author(None, "builds/small/build.yaml", 1) == ("Ada", "ada@example.org")
    assert repository.mentions(["skirt"], None, "builds") and repository.log("HEAD", ("builds",), 5)
    assert ran(club.root) == []


def hidden_by(repo: ClubRepo, how: str) -> None:
    """Hide a change of the rule, or the builds that cite it, from who asks git without care."""
    rule = "docs/knowledge/rules/R1.yaml"
    if how == "an attribute that says binary":
        repo.file(".gitattributes", "* binary\n")
    repo.change(rule, "[0.001, 0.0016]", "[0.0002, 0.0003]")
    if how in ("assume-unchanged", "skip-worktree"):
        repo.git("update-index", f"--{how}", rule)
    elif how == "replaced":
        repo.commit("rule")
        repo.git("replace", repo.git("rev-parse", f"HEAD:{rule}"), repo.git("rev-parse", f"HEAD~1:{rule}"))
    elif "." in how:
        repo.git("config", *how.split("="))


@pytest.mark.parametrize(
    "how",
    [
        "an attribute that says binary",
        "assume-unchanged",
        "skip-worktree",
        "replaced",
        "color.ui=always",
        "color.grep=always",
        "diff.orderFile=none",
        "core.bare=true",
    ],
)
def test_nothing_hides_a_change_or_what_it_moves(tmp_path, how):
    """Attributes travel with a request; marks, replacements and settings with a folder that is handed over, or are one's own."""
    repo = ClubRepo(tmp_path / "club")
    before = repo.git("rev-parse", "HEAD")
    hidden_by(repo, how)
    marks = repo.git("ls-files", "-v")
    slip = review(repo.root, base=before, head="HEAD" if how == "replaced" else None)
    assert [(fit.build, fit.id) for fit in slip.fits] == [("small", "F1"), ("twin", "F1")]
    assert slip.not_worked_out == [] and slip.notes == []
    assert repo.git("ls-files", "-v") == marks, "the marks themselves are left"


def test_another_work_tree_that_the_settings_name_is_not_looked_at(tmp_path):
    repo = ClubRepo(tmp_path / "club")
    repo.change("docs/knowledge/rules/R1.yaml", "[0.001, 0.0016]", "[0.0002, 0.0003]")
    (tmp_path / "elsewhere").mkdir()
    repo.git("config", "core.worktree", str(tmp_path / "elsewhere"))
    assert [change.path for change in Repository(repo.root).changed("HEAD", None, ("builds", "docs"))] == [
        "docs/knowledge/rules/R1.yaml"
    ]


def test_a_skipped_file_that_is_not_there_is_no_change(tmp_path):
    """A sparse work tree leaves files out, which is not taking them away."""
    repo = ClubRepo(tmp_path / "club")
    repo.file("builds/twin/log/1-x.md", "# x\n")
    repo.commit("log")
    repo.git("update-index", "--skip-worktree", "builds/twin/log/1-x.md")
    (repo.root / "builds/twin/log/1-x.md").unlink()
    assert Repository(repo.root).changed("HEAD", None, ("builds",)) == []


def test_a_missing_object_is_told_and_not_fetched(club):
    head = club.git("rev-parse", "HEAD:builds/twin/fits.yaml")
    lost = club.root / ".git" / "objects" / head[:2] / head[2:]
    kept = lost.read_bytes()
    lost.unlink()
    try:
        with pytest.raises(GitLacks, match="does not have the contents of builds/twin/fits.yaml here"):
            Repository(club.root).extract("HEAD", ["builds/twin"], club.root / "out")
    finally:
        lost.write_bytes(kept)
    assert ran(club.root) == []


def test_a_folder_of_a_fork_that_looks_like_a_repository_is_none(tmp_path):
    """Git takes a folder with HEAD, objects and refs for a repository, and its file `config` for its settings."""
    inner = tmp_path / "club" / "inner"
    inner.mkdir(parents=True)
    subprocess.run(["git", "init", "-q", "--bare", str(inner)], env=ENV, check=True)
    with pytest.raises(GitLacks):
        Repository(inner)


@pytest.mark.parametrize("name", ["long", "two of a name", "a file and a folder", "deep", "odd"])
def test_a_tree_that_no_file_system_takes_is_told(tmp_path, name):
    """Trees are made by hand: git itself would add no such names."""

    def git(*words: str, given: bytes = b"") -> str:
        done = subprocess.run(["git", *words], cwd=tmp_path, env=ENV, input=given, capture_output=True, check=True)
        return done.stdout.decode().strip()

    def tree(*entries: tuple[str, bytes, str]) -> str:
        raw = b"".join(mode.encode() + b" " + path + b"\0" + bytes.fromhex(oid) for mode, path, oid in entries)
        return git("hash-object", "-w", "-t", "tree", "--literally", "--stdin", given=raw)

    git("init", "-q")
    blob = git("hash-object", "-w", "--stdin", given=b"name: x\n")
    inner = tree(("100644", b"b.yaml", blob))
    deep = inner
    for _ in range(1500 if name == "deep" else 0):
        deep = tree(("040000", b"folder", deep))
    entries = {
        "long": [("100644", b"a" * 300 + b".yaml", blob)],
        "two of a name": [("120000", b"a", blob), ("040000", b"a", inner)],
        "a file and a folder": [("100644", b"a.yaml", blob), ("040000", b"a.yaml", inner)],
        "deep": [("040000", b"deep", deep)],
        "odd": [
            ("100644", odd, blob)
            for odd in (b"-rf.yaml", b"a\n\x1b[31m.yaml", b"..", b".git", b"\xff.yaml", b"CON.yaml")
        ],
    }[name]
    commit = git("commit-tree", tree(("040000", b"builds", tree(*entries))), "-m", "x")
    (tmp_path / "out").mkdir()
    if name == "odd":
        Repository(tmp_path).extract(commit, ["builds"], tmp_path / "out")
        written = {path.name for path in (tmp_path / "out" / "builds").iterdir()}
        assert len(written) == 4 and ".git" not in written
        return
    with pytest.raises(
        GitLacks, match="cannot be written: (File name too long|File exists|Not a directory|Is a directory)"
    ):
        Repository(tmp_path).extract(commit, ["builds"], tmp_path / "out")


def test_the_traps_work(tmp_path):
    """Git itself, asked without our care, runs what these settings name."""
    repo = trapped(tmp_path / "club")
    repo.git("diff", "HEAD~1", check=False)
    subprocess.run(["git", "blame", "builds/small/fits.yaml"], cwd=repo.root, env=ENV, capture_output=True, check=False)
    assert {"fsmonitor", "clean", "included", "textconv"} <= set(ran(repo.root)) and {"diff-command", "external"} & set(
        ran(repo.root)
    )


def test_no_place_to_lay_things_aside_is_told(tmp_path, monkeypatch):
    repo = ClubRepo(tmp_path / "club")

    def full(prefix: str):
        raise FileNotFoundError(2, "No usable temporary directory")

    monkeypatch.setattr("gudgeon.project.safe_git.tempfile.TemporaryDirectory", full)
    with pytest.raises(GitLacks, match="cannot be laid aside to be read"):
        review(repo.root, base="HEAD")
