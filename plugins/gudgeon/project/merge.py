"""What merging some work into the main branch would give, tried in a repository of its own: it borrows the objects of the clone
and has none of its settings, so no merge driver or filter of anybody runs, and the clone is only read."""

import os
import subprocess
from dataclasses import dataclass
from pathlib import Path

from gudgeon.project.git import Repository
from gudgeon.project.safe_git import TRIAL, quoted
from gudgeon.records.problems import seen, shown

BOTH_CHANGED = "the main branch and this work changed the same lines"
# git's own name of a kind of conflict -> what happened.
WORDS = {
    "contents": BOTH_CHANGED,
    "binary": "the main branch and this work each put another file here that is no text",
    "modify/delete": "one side deleted this file, the other changed it",
    "rename/delete": "one side deleted this file, the other renamed it",
    "rename/rename": "the two sides renamed this file differently",
    "file/directory": "what is a file on one side is a folder on the other",
    "distinct modes": "what is a file on one side is a link on the other",
    "directory rename suggested": "one side renamed this folder, the other added a file to it under its old name",
}
BOTH_ADDED = "the main branch and this work each added a file of this name"


@dataclass(frozen=True)
class Conflict:
    """What git cannot merge by itself. path: of the file, from the project's folder, with /; what: what happened to it; others:
    what else it touches, such as the names that the two sides gave it."""

    path: str
    what: str
    others: tuple[str, ...] = ()


@dataclass(frozen=True)
class Merge:
    """The commit that a merge gives, which nobody has but its repository; what could not be merged has marks of it inside."""

    commit: str
    conflicts: tuple[Conflict, ...]


class CannotTry(Exception):
    """This git does not merge without a work tree, or something that it needs is not here; told to people."""


class Scratch:
    """A bare repository in a folder that was made for it, over the objects of a clone."""

    def __init__(self, clone: Repository, folder: Path):
        self._folder = folder
        self.clone = clone.seeing(folder / "objects")
        words = ["-c", "init.defaultBranch=main", "init", "--quiet", "--bare", "--template="]
        self._run(*words, f"--object-format={clone.object_format}", os.fspath(folder), outside=True)
        lent = "".join(f"{quoted(place)}\n" for place in clone.object_folders)
        (folder / "objects" / "info").mkdir(exist_ok=True)
        (folder / "objects" / "info" / "alternates").write_bytes(os.fsencode(lent))
        cut_off = clone.root / clone.path_of("shallow")  # where history ends in the clone, it ends here
        if cut_off.is_file():
            (folder / "shallow").write_bytes(cut_off.read_bytes())

    def _git(self, *words: str, given: bytes | None = None, outside: bool = False) -> subprocess.CompletedProcess:
        nobody = {
            f"GIT_{who}_{what}": value
            for who in ("AUTHOR", "COMMITTER")
            for what, value in (("NAME", TRIAL), ("EMAIL", "nobody"), ("DATE", "2000-01-01T00:00:00Z"))
        }
        env = {
            **{key: value for key, value in os.environ.items() if not key.startswith("GIT_")},
            **({} if outside else {"GIT_DIR": os.fspath(self._folder)}),
            "HOME": os.fspath(self._folder),
            "XDG_CONFIG_HOME": os.fspath(self._folder),
            "GIT_CONFIG_GLOBAL": os.devnull,
            "GIT_CONFIG_SYSTEM": os.devnull,
            "GIT_CONFIG_NOSYSTEM": "1",
            "GIT_ATTR_NOSYSTEM": "1",
            "GIT_TERMINAL_PROMPT": "0",
            "GIT_NO_LAZY_FETCH": "1",
            "GIT_NO_REPLACE_OBJECTS": "1",
            "GIT_ALLOW_PROTOCOL": "",
            "LC_ALL": "C",
            **nobody,
        }
        return subprocess.run(
            ["git", "--no-pager", *words],
            cwd=self._folder.parent,
            env=env,
            input=given,
            capture_output=True,
            check=False,
        )

    def _run(self, *words: str, outside: bool = False) -> bytes:
        done = self._git(*words, outside=outside)
        if done.returncode:
            raise CannotTry(f"git {words[0]} could not answer: {_last_line(done.stderr)}")
        return done.stdout

    def work_tree(self, parents: list[str]) -> str:
        """A commit of the work tree as it is, with files that git does not know yet and without those that it ignores."""
        head = parents[0]
        changed = self.clone.changed(head, None, (".",))
        names = {change.path for change in changed if not change.gone} | {
            change.was for change in changed if change.was
        }
        there = sorted(name for name in names if not name.endswith("/") and os.path.lexists(self.clone.root / name))
        gone = sorted({change.path for change in changed if change.gone} | (names - set(there)))
        index, objects = os.fspath(self._folder / "index-of-work"), os.fspath(self._folder / "objects")
        self.clone.into_index(index, objects, "read-tree", head)
        for words, paths in (("--force-remove", gone), ("--replace", there)):
            if paths:
                listed = b"".join(os.fsencode(path) + b"\0" for path in paths)
                self.clone.into_index(index, objects, "update-index", "--add", words, "-z", "--stdin", given=listed)
        tree = self.clone.into_index(index, objects, "write-tree")
        return self._commit(os.fsdecode(tree).strip(), parents)

    def merge(self, main: str, work: str) -> Merge:
        """The merge of some work into the main branch. Raises CannotTry."""
        done = self._git("merge-tree", "--write-tree", "--messages", "-z", main, work)
        if done.returncode not in (0, 1) or not done.stdout:
            if b"usage:" in done.stderr:
                version = self._git("version", outside=True).stdout.decode("utf-8", "replace").split()
                raise CannotTry(f"this git ({version[2] if len(version) > 2 else '?'}) is older than 2.38")
            raise CannotTry(_last_line(done.stderr))
        fields = os.fsdecode(done.stdout).split("\0")
        conflicts = self._conflicts(fields[1:]) if done.returncode else ()
        return Merge(self._commit(fields[0].strip(), [main, work]), conflicts)

    def _conflicts(self, fields: list[str]) -> tuple[Conflict, ...]:
        """What stands behind the tree: `mode object stage TAB path` of each conflicted file, nothing, then the messages,
        each as a count of paths, the paths, its kind and its text."""
        stages: dict[str, set[str]] = {}
        end = fields.index("")
        for entry in fields[:end]:
            head, _, path = entry.partition("\t")
            stages.setdefault(path, set()).add(head.split()[2])
        told: list[tuple[str, list[str]]] = []  # the kind and the paths of each message
        at = end + 1
        while at < len(fields) and fields[at].isdecimal():
            first, behind = at + 1, at + 1 + int(fields[at])
            if fields[behind].startswith("CONFLICT") and behind > first:
                told.append((fields[behind].removeprefix("CONFLICT (").removesuffix(")"), fields[first:behind]))
            at = behind + 2
        named = {path for _, paths in told for path in paths}
        told += [("contents", [path]) for path in stages if path not in named]
        conflicts = []
        for kind, paths in sorted(told, key=lambda message: message[1]):
            path, *others = (self.clone.below(path) for path in paths)
            both_added = kind == "contents" and "1" not in stages.get(paths[0], "1")
            what = BOTH_ADDED if both_added else WORDS.get(kind, f"git calls it: {shown(seen(kind), 60)}")
            conflicts.append(Conflict(path, what, tuple(others)))
        return tuple(conflicts)

    def _commit(self, tree: str, parents: list[str]) -> str:
        words = [word for parent in parents for word in ("-p", parent)]
        return self._run("commit-tree", "-m", "a trial", *words, tree).decode().strip()


def _last_line(said: bytes) -> str:
    lines = said.decode("utf-8", "replace").strip().splitlines()
    return shown(seen(lines[-1]), 160) if lines else "it says nothing"
