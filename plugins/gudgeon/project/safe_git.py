"""Runs git in a clone that somebody may have handed over: none of its settings names a command that then runs, and nothing is
written into it."""

import copy
import functools
import os
import re
import shutil
import subprocess
import tempfile
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Self

# A clone that somebody handed over brings its own settings, and many of them name a command that git then runs. These hold
# over what it says. Filters and textconvs have names of their own: see `_drivers`.
SETTINGS = {
    "core.quotePath": "off",
    "color.ui": "false",
    "color.grep": "false",
    "diff.orderFile": os.devnull,  # one that is missing ends git
    "blame.ignoreRevsFile": "",  # so does this
    "core.fsmonitor": "false",
    "core.hooksPath": os.devnull,
    "log.showSignature": "false",
    "submodule.recurse": "false",
    "diff.ignoreSubmodules": "all",
    "safe.bareRepository": "explicit",  # a folder of a fork that is laid out like a repository is none
    "core.splitIndex": "false",  # half of a copied index would be written into the clone
    "core.safecrlf": "false",
    "core.compression": "0",  # what is laid aside is soon gone
}
TRIAL = "nobody: a trial of gudgeon review"  # who makes the commits that are gone with the review
ALTERNATES = "GIT_ALTERNATE_OBJECT_DIRECTORIES"
_DRIVER = re.compile(r"(?:filter\..*\.(?:clean|smudge|process|required)|diff\..*\.(?:textconv|command))", re.DOTALL)


class GitLacks(Exception):
    """What git does not have here, told to people, with what to do."""


def quoted(place: str) -> str:
    """A folder as git takes it in a list of them."""
    if not any(sign in place for sign in ('"', "\n", "\\", os.pathsep, "#")):
        return place
    inside = place.replace("\\", "\\\\").replace('"', '\\"').replace("\n", "\\n")
    return f'"{inside}"'


@contextmanager
def aside() -> Iterator[Path]:
    """A folder for what git has, for as long as the context lasts. Raises GitLacks where there is no place for one."""
    try:
        folder = tempfile.TemporaryDirectory(prefix="gudgeon-")
    except OSError as error:
        raise GitLacks(f"what git has cannot be laid aside to be read: {error.strerror}.") from None
    with folder as place:
        yield Path(place)


class SafeGit:
    """git in the repository that a project's folder lies in. Paths are from that folder, with /."""

    def __init__(self, root: Path):
        if not shutil.which("git"):
            raise GitLacks("git is not on the path. Install git; the review reads revisions through it.")
        self.root = root
        self._more_objects: Path | None = None
        done = self._try("rev-parse", "--git-dir")
        if done.returncode:
            said = done.stderr.decode("utf-8", "replace")
            if "dubious ownership" in said:
                raise GitLacks(
                    "git does not trust this folder, because somebody else owns it. "
                    'Allow it once: git config --global --add safe.directory "$PWD"'
                )
            raise GitLacks("this folder is in no git repository. Run the command inside a clone of the builds.")

    def _try(self, *words: str, given: bytes | None = None) -> subprocess.CompletedProcess:
        return self._git(SETTINGS | self._drivers, *words, given=given)

    def _git(
        self,
        settings: dict[str, str],
        *words: str,
        given: bytes | None = None,
        index: str | None = None,
        objects: str | None = None,
    ) -> subprocess.CompletedProcess:
        # No lock is taken, nobody is asked for a password and nothing is fetched: a review only reads what is here.
        env = {
            **os.environ,
            "GIT_OPTIONAL_LOCKS": "0",
            "GIT_TERMINAL_PROMPT": "0",
            "GIT_NO_LAZY_FETCH": "1",
            "GIT_NO_REPLACE_OBJECTS": "1",  # a commit holds what its id says, whatever refs/replace puts in its place
            "GIT_ALLOW_PROTOCOL": "",
            "LC_ALL": "C",
        }
        if index:
            env["GIT_INDEX_FILE"] = index
        if objects:
            env["GIT_OBJECT_DIRECTORY"] = objects
        lent = [os.fspath(self._more_objects)] if self._more_objects else []
        if objects:
            env["GIT_OBJECT_DIRECTORY"], lent = objects, self.object_folders
        if lent:
            before = [env[ALTERNATES]] if env.get(ALTERNATES) else []
            env[ALTERNATES] = os.pathsep.join([*before, *(quoted(place) for place in lent)])
        if self._top is not None and not {"GIT_DIR", "GIT_WORK_TREE"} & set(env):
            env["GIT_WORK_TREE"] = str(self._top)  # the folder that people work in, whatever core.worktree names
        before = env.get("GIT_CONFIG_COUNT", "")  # a forge may have given settings so
        count = int(before) if before.isdecimal() else 0
        for number, (key, value) in enumerate(settings.items(), start=count):
            env[f"GIT_CONFIG_KEY_{number}"], env[f"GIT_CONFIG_VALUE_{number}"] = key, value
        env["GIT_CONFIG_COUNT"] = str(count + len(settings))
        return subprocess.run(
            ["git", "--no-pager", *words], cwd=self.root, env=env, input=given, capture_output=True, check=False
        )

    @functools.cached_property
    def _top(self) -> Path | None:
        """The folder that .git lies in, at the project or above it; None where there is none."""
        here = self.root.resolve()
        return next((folder for folder in (here, *here.parents) if (folder / ".git").exists()), None)

    @functools.cached_property
    def _drivers(self) -> dict[str, str]:
        """The filters and textconvs that the repository's own settings name, each as nothing. Those of the user stand."""
        names: set[str] = set()
        for scope in ("--local", "--worktree"):
            done = self._git(SETTINGS, "config", scope, "--includes", "--list", "--name-only", "-z")
            names |= set(done.stdout.decode("utf-8", "surrogateescape").split("\0"))
        drivers = {name for name in names if _DRIVER.fullmatch(name)}
        return {name: "false" if name.endswith(".required") else "" for name in sorted(drivers)}

    def _run(
        self, *words: str, given: bytes | None = None, index: str | None = None, objects: str | None = None
    ) -> bytes:
        done = self._git(SETTINGS | self._drivers, *words, given=given, index=index, objects=objects)
        if done.returncode:
            said = done.stderr.decode("utf-8", "replace").strip().splitlines()
            raise GitLacks(
                f"git {words[0]} could not answer: {said[-1] if said else done.returncode}.{self.shallow_words()}"
            )
        return done.stdout

    def shallow_words(self) -> str:
        """What to say where history is cut off; nothing where it is whole."""
        if self._try("rev-parse", "--is-shallow-repository").stdout.strip() != b"true":
            return ""
        count = self._try("rev-list", "--count", "HEAD").stdout.decode().strip() or "no"
        return (
            f" This clone is shallow: it holds {count} commit{'' if count == '1' else 's'}."
            " Get the rest with: git fetch --unshallow (or --deepen=100)."
        )

    @functools.cached_property
    def object_folders(self) -> list[str]:
        """Where the objects of this repository lie."""
        more = os.environ.get(ALTERNATES, "")
        return [os.fspath((self.root / self.path_of("objects")).resolve()), *(more.split(os.pathsep) if more else ())]

    @functools.cached_property
    def object_format(self) -> str:
        """The kind of the ids."""
        return self._run("rev-parse", "--show-object-format").decode().strip()

    def seeing(self, objects: Path) -> Self:
        """The same, where the objects of a folder are here too."""
        other = copy.copy(self)
        other._more_objects = objects
        return other

    def into_index(self, index: str, objects: str, *words: str, given: bytes | None = None) -> bytes:
        """What git says to a command on an index of its own, whose objects go into a folder of their own."""
        return self._run(*words, given=given, index=index, objects=objects)

    def path_of(self, name: str) -> str:
        """Where a file of git's own lies, from the root."""
        return os.fsdecode(self._run("rev-parse", "--git-path", name)).rstrip("\n")

    def below(self, path: str) -> str:
        """A path from the top of the repository, from the project's folder."""
        return os.path.relpath(path, self._prefix or ".").replace(os.sep, "/")

    @functools.cached_property
    def _prefix(self) -> str:
        return os.fsdecode(self._run("rev-parse", "--show-prefix")).rstrip("\n")
