"""Reads records as they stood in a git revision, from git itself: no work tree is touched and nothing is checked out."""

import os
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path

from gudgeon.project.safe_git import TRIAL, GitLacks, SafeGit, aside
from gudgeon.project.staging import lay_out
from gudgeon.records.problems import seen, shown
from gudgeon.records.yaml_text import BIGGEST, UNSEEN

MAIN = ("refs/remotes/origin/main", "refs/remotes/origin/master", "refs/heads/main", "refs/heads/master")
TEXTS = (
    ".yaml",
    ".yml",
    ".md",
    ".json",
)  # what records are written in; anything else is a picture
MOST_OF_A_PICTURE = 50_000_000  # bytes; one of more is laid out hollow, at its size
SMALL, MOST_AT_ONCE = 100_000, 100_000_000  # bytes; small files are asked for together, as far as they fill no memory
_LINK, _SUBMODULE = "120000", "160000"


@dataclass(frozen=True)
class Changed:
    """A file that differs between two revisions. path: where it is now, or was where it is gone; was: its old name."""

    path: str
    was: str | None
    gone: bool = False


class Repository(SafeGit):
    """What the git repository that a project's folder lies in holds. Paths are from that folder, with /."""

    def commit(self, name: str) -> str:
        """The full id of a revision by any name that git knows."""
        commit = self._known(name)
        if commit is None and self._known("HEAD") is None:
            raise GitLacks("nothing is committed in this repository yet, so there is nothing to compare with.")
        if commit is None:
            raise GitLacks(f'there is no revision "{name[:80]}" here.{self.shallow_words()}')
        return commit

    def _known(self, name: str) -> str | None:
        """The full id of a revision, or None where git knows none by this name."""
        if name.startswith("-"):
            return None
        done = self._try("rev-parse", "--verify", "--quiet", f"{name}^{{commit}}")
        return None if done.returncode else done.stdout.decode().strip()

    def mains(self) -> list[str]:
        """Where the main branch may stand: as the remote has it, and here. On the main branch itself only the remote's."""
        done = self._try("symbolic-ref", "--quiet", "refs/remotes/origin/HEAD")
        told = [done.stdout.decode().strip()] if done.returncode == 0 else []
        here = self._try("symbolic-ref", "--quiet", "HEAD").stdout.decode().strip()
        mains = [branch for branch in dict.fromkeys((*told, *MAIN)) if self._known(branch)]
        return [branch for branch in mains if branch != here] or mains

    def shared(self, one: str, other: str) -> str | None:
        """The newest commit that is in the history of both; None where git has none."""
        done = self._try("merge-base", one, other)
        return None if done.returncode else done.stdout.decode().strip()

    def holds(self, commit: str, older: str) -> bool:
        """Whether another commit is in the history of a commit, or is the same."""
        return self._try("merge-base", "--is-ancestor", older, commit).returncode == 0

    def count(self, since: str, head: str) -> int:
        """How many commits a revision has beyond another one."""
        return int(self._run("rev-list", "--count", f"{since}..{head}"))

    def merged_here(self) -> list[str]:
        """The commits that are being merged into the work tree, where a merge is not finished."""
        file = self.root / self.path_of("MERGE_HEAD")
        names = file.read_text(encoding="ascii", errors="replace").split() if file.is_file() else []
        return [commit for name in names if (commit := self._known(name))]

    def changed(self, base: str, head: str | None, folders: tuple[str, ...]) -> list[Changed]:
        """Files below `folders` that differ between two commits, renames followed. head None: the work tree as it is,
        with files that git does not know yet, without those that it ignores."""
        words = [
            "diff",
            "--name-status",
            "-M",
            "-z",
            "--no-ext-diff",
            "--no-textconv",
            "--ignore-submodules=all",
            "--relative",
            base,
        ]
        if head is None:
            # `git diff` of a work tree writes the index anew where a file was touched, whatever it is told of locks: it gets a copy.
            with aside() as folder:
                index = os.fspath(folder / "index")
                self._copy_index(folder / "index")
                told = self._run(*words, "--", *folders, index=index)
        else:
            told = self._run(*words, head, "--", *folders)
        fields = told.decode("utf-8", "surrogateescape").split("\0")
        changed, at = [], 0
        while at < len(fields) - 1:
            status = fields[at]
            if status[0] in "RC":
                changed.append(Changed(fields[at + 2], fields[at + 1]))
                at += 3
            else:
                changed.append(Changed(fields[at + 1], None, gone=status[0] == "D"))
                at += 2
        if head is None:
            new = self._run("ls-files", "-z", "--others", "--exclude-standard", "--", *folders)
            changed += [Changed(path, None) for path in new.decode("utf-8", "surrogateescape").split("\0") if path]
        return changed

    def _look_at_all(self, index: str) -> None:
        """Take the marks "assume unchanged" and "skip work tree" off in a copy of the index, where a file is there all the same:
        what is read is the work tree as it is."""
        entries = self._run("ls-files", "-v", "-z", "--", ".", index=index).split(b"\0")
        marked = [entry[2:] for entry in entries if entry[:1] == b"S" or entry[:1].islower()]
        there = b"".join(name + b"\0" for name in marked if os.path.lexists(os.path.join(os.fsencode(self.root), name)))
        for mark in ("--no-assume-unchanged", "--no-skip-worktree") if there else ():
            self._run("update-index", mark, "-z", "--stdin", given=there, index=index)

    def _copy_index(self, to: Path) -> None:
        own = self.root / self.path_of("index")
        if not own.is_file():  # where nothing was ever added there is none
            return
        try:
            lay_out(to, own.read_bytes())
            # By its age git tells which files it has to look into.
            os.utime(to, ns=(0, own.stat().st_mtime_ns))
            self._look_at_all(os.fspath(to))
        except OSError as error:
            raise GitLacks(f"git's list of files cannot be copied aside: {error.strerror}.") from None

    def names(self, commit: str, folder: str) -> set[str]:
        """Names of the folders that stand in a folder, and of links, which are refused where they are read."""
        out = self._run("ls-tree", "-z", commit, "--", f"{folder}/").decode("utf-8", "surrogateescape")
        entries = [entry.partition("\t") for entry in out.split("\0") if entry]
        names = {
            name.rpartition("/")[2] for head, _, name in entries if head.split()[1] == "tree" or head.startswith(_LINK)
        }
        return {name for name in names if not name.startswith(".")}

    def mentions(self, words: list[str], commit: str | None, folder: str) -> list[str]:
        """Every file below a folder in which one of the words stands, as a word.

        All are read as text: by an attribute any file is "binary", and would be passed over.
        """
        each_word = [part for word in words for part in ("-e", word)]
        where = [commit] if commit else ["--untracked"]
        done = self._try(
            "grep",
            "-l",
            "-z",
            "--text",
            "--no-textconv",
            "--no-recurse-submodules",
            "-w",
            "-F",
            *each_word,
            *where,
            "--",
            folder,
        )
        if done.returncode > 1:
            raise GitLacks(f"git grep could not answer: {done.stderr.decode('utf-8', 'replace').strip()[:200]}")
        names = done.stdout.decode("utf-8", "surrogateescape").split("\0")
        return [name.removeprefix(f"{commit}:") if commit else name for name in names if name]

    def extract(
        self,
        commit: str,
        folders: list[str],
        to: Path,
        pictures: bool = False,
        taken: Callable[[str], bool] = lambda name: True,
    ) -> None:
        """Write the files of some folders as they stood in a commit. Pictures are written empty, unless they are to be looked at.
        taken: which files, by name; else all.

        A link is written as a link to nothing of use, so that it is refused as in a work tree, and what is over the bound
        for records is written hollow at its size.
        """
        if not folders:
            return
        try:
            self._lay_out(commit, folders, to, pictures, taken)
        except OSError as error:  # a name that is too long, or two of one name, which no file system takes
            about = seen(str(error.filename or "").removeprefix(f"{to}{os.sep}"))
            raise GitLacks(
                f"the files of {commit[:9]} cannot be written: {error.strerror}. Found {shown(about)}."
            ) from None

    def _lay_out(self, commit: str, folders: list[str], to: Path, pictures: bool, taken: Callable[[str], bool]) -> None:
        wanted: dict[str, list[Path]] = {}
        room = MOST_AT_ONCE
        for entry in self._run("ls-tree", "-r", "-z", "-l", commit, "--", *folders).split(b"\0"):
            if not entry:
                continue
            head, _, name = entry.decode("utf-8", "surrogateescape").partition("\t")
            mode, _, oid, size = head.split()
            parts = name.split("/")
            if (
                mode == _SUBMODULE
                or not taken(name)
                or any(part in ("", ".", "..", ".git") or Path(part).name != part for part in parts)
            ):
                continue
            path = to.joinpath(*parts)
            if mode == _LINK:
                path.parent.mkdir(parents=True, exist_ok=True)
                path.symlink_to(os.devnull)
            elif pictures and size.isdecimal() and int(size) <= min(SMALL, room):
                room -= int(size)
                wanted.setdefault(oid, []).append(path)
            elif not name.lower().endswith(TEXTS):
                whole = pictures and size.isdecimal()
                small = whole and int(size) <= MOST_OF_A_PICTURE
                # One at a time: many together would fill the memory.
                content = self._run("cat-file", "blob", oid) if small else b""
                lay_out(path, content, size=int(size) if whole and not small else None)
            elif not size.isdecimal():
                raise GitLacks(self._not_here(name))
            elif int(size) > BIGGEST:
                lay_out(path, size=int(size))
            else:
                wanted.setdefault(oid, []).append(path)
        out = self._run("cat-file", "--batch", given="".join(f"{oid}\n" for oid in wanted).encode())
        at = 0
        for paths in wanted.values():
            end = out.index(b"\n", at)
            head = out[at:end].split()
            if len(head) != 3:
                raise GitLacks(self._not_here(paths[0].relative_to(to).as_posix()))
            at = end + 1 + int(head[2])
            for path in paths:
                lay_out(path, out[end + 1 : at])
            at += 1

    def _not_here(self, name: str) -> str:
        """What to say of a file whose contents are missing; git is kept from fetching them by itself, see `_git`."""
        return (
            f"git does not have the contents of {shown(seen(name), 200)} here. "
            f"In a partial clone fetch the rest first: git fetch --refetch --no-filter.{self.shallow_words()}"
        )

    def author(self, head: str | None, file: str, line: int) -> tuple[str, str] | None:
        """(name, address) of who committed a line of a file; None where that is not committed, or not known."""
        done = self._try(
            "blame", "--no-textconv", "--porcelain", f"-L{line},{line}", *([head] if head else []), "--", file
        )
        if done.returncode:
            return None
        told = dict(row.partition(" ")[::2] for row in done.stdout.decode("utf-8", "replace").split("\n"))
        if set(done.stdout[:40]) <= set(b"0") or told.get("author") == TRIAL:
            return None
        return UNSEEN.sub("", told.get("author", "")), UNSEEN.sub("", told.get("author-mail", "").strip("<>"))

    def log(self, head: str, folders: tuple[str, ...], most: int) -> list[tuple[str, str, str]]:
        """(commit, day, subject) of commits that touched some folders, newest first, along the main line."""
        out = self._run(
            "log",
            "--no-show-signature",
            "--first-parent",
            f"-{most}",
            "--format=%H%x00%cs%x00%s%x01",
            head,
            "--",
            *folders,
        ).decode("utf-8", "replace")
        commits = [record.strip("\n").split("\0") for record in out.split("\x01") if record.strip()]
        # A subject may come from a stranger: nothing in it steers a terminal.
        return [(commit, day, UNSEEN.sub("", subject)) for commit, day, subject in commits]
