"""The one way in which files are written.

Never through a link, never outside the folder that is meant, never over what changed since it was read. All of a change or
nothing: everything is written beside its place, flushed to the disk and then renamed; what fails is put back, and what was
killed half way is put back by the next command that writes. `tests/project/test_writing.py` holds all code to it.
"""

import os
import shutil
import tempfile
from collections.abc import Callable, Iterable, Iterator, Mapping
from contextlib import contextmanager, suppress
from pathlib import Path, PurePosixPath
from types import MappingProxyType

from gudgeon.project import lock
from gudgeon.project.journal import Journal
from gudgeon.project.staging import PART, flush_folder, lay_out, part_of, staged
from gudgeon.records.problems import seen
from gudgeon.records.text_manner import in_manner_of, plain_text


class NotWritten(Exception):
    """Nothing was written; the message says why, and what to do."""


class Desk:
    """A project in the hands of a command that writes: no other command writes meanwhile."""

    def __init__(self, root: Path, journal: Journal):
        self.root = root
        self._journal = journal
        self._as_read: dict[str, bytes | None] = {}

    def note(self, name: str) -> bytes | None:
        """What a file holds; None where there is none. It is written over only while it still holds this."""
        if name not in self._as_read:
            self._as_read[name] = _content(checked(self.root, name))
        return self._as_read[name]

    def text(self, name: str) -> str | None:
        """The same as text, with plain line ends."""
        raw = self.note(name)
        try:
            return None if raw is None else plain_text(raw)
        except UnicodeDecodeError:
            raise NotWritten(f"{seen(name)} is not UTF-8 text. Save it as UTF-8.") from None

    def write(
        self, texts: Mapping[str, str], gone: Iterable[str] = (), pictures: Mapping[str, bytes] = MappingProxyType({})
    ) -> list[Path]:
        """Write files, named from the project's root, and remove others: all of it or nothing. pictures: files that are no
        text. Raises NotWritten."""
        contents: dict[str, bytes | None] = {name: in_manner_of(self.note(name), text) for name, text in texts.items()}
        contents |= {**pictures, **dict.fromkeys(gone)}
        before = {name: self.note(name) for name in contents}
        for name in contents:
            if _content(checked(self.root, name)) != before[name]:
                raise NotWritten(
                    f"{seen(name)} was changed by somebody else meanwhile, and is not written over. Run the command again."
                )
        _put(self.root, contents, before, self._journal)
        self._as_read.clear()
        return [self.root / name for name in (*texts, *pictures)]


@contextmanager
def desk(root: Path, tell: Callable[[str], None], patience: float = lock.PATIENCE) -> Iterator[Desk]:
    """The project for a command that writes. tell: told when it has to wait, and what an interrupted command left behind.

    Raises NotWritten where another command does not end.
    """
    root = root.resolve()
    try:
        with lock.locked(root, tell, patience):
            journal = Journal.of(root)
            _put_back_what_was_interrupted(root, journal, tell)
            yield Desk(root, journal)
    except lock.Taken:
        raise NotWritten(
            f"another command has been writing into this project for {patience:.0f} s. Run this one again when it has ended."
        ) from None


def write_output(to: Path, contents: Mapping[str, bytes], root: Path | None = None, gone: Iterable[str] = ()) -> None:
    """Write files that can be made again, such as pages and data, below a folder that a person named; remove others there.

    root: the project; inside it, and below where the person stands, no link is followed to the folder either. A link on the
    way to there is the person's own. Raises NotWritten.
    """
    place = Path(os.path.abspath(to))
    for above in (root, root and root.resolve(), Path.cwd()):
        if above is not None and place != above and place.is_relative_to(above):
            checked(above, place.relative_to(above).as_posix(), folder=True)
    try:
        made = _make_folders(place)
    except OSError as error:
        raise NotWritten(f"{seen(str(to))} cannot be made: {error.strerror}.") from None
    try:
        _put(place, {**contents, **dict.fromkeys(gone)})
    except NotWritten:
        _remove_folders(made)
        raise


def not_writable(folder: Path) -> str | None:
    """Why nothing can be written into a folder, which need not be there yet, in a sentence; None where nothing is known to hinder it."""
    there = next(above for above in (folder, *folder.absolute().parents) if above.exists())
    if os.access(there, os.W_OK | os.X_OK):
        return None
    return f"{seen(str(there))} is not yours, or may only be read."


@contextmanager
def trial_copy(folder: Path, hollow: str | None = None) -> Iterator[Path]:
    """A copy of a folder to try something on. hollow: a folder in it whose files are copied empty. Links stay links."""
    try:
        with tempfile.TemporaryDirectory(prefix="gudgeon-") as place:
            trial = Path(place) / folder.name
            if folder.exists():
                ignore = shutil.ignore_patterns(*([hollow] if hollow else []), f"*{PART}")
                shutil.copytree(folder, trial, symlinks=True, ignore=ignore)
            for path in (folder / hollow).glob("*") if hollow else ():
                lay_out(trial / (hollow or "") / path.name)
            yield trial
    except (OSError, shutil.Error) as error:
        said = getattr(error, "strerror", None) or "some of its files cannot be copied"
        raise NotWritten(f"no copy of {seen(folder.name)} can be made to try it on: {said}.") from None


def lay_over(trial: Path, texts: Mapping[str, str], gone: Iterable[str]) -> None:
    """Write files into a trial copy, in the manner in which the project's own would be, and remove others."""
    contents: dict[str, bytes | None] = {
        name: in_manner_of(_content(checked(trial, name)), text) for name, text in texts.items()
    }
    _put(trial, contents | dict.fromkeys(gone), durable=False)


def checked(base: Path, name: str, folder: bool = False) -> Path:
    """The path of a file (or a folder) below a base, once there is no link on the way and nothing else in its place."""
    parts = PurePosixPath(name).parts
    if not parts or ".." in parts or PurePosixPath(name).is_absolute():
        raise NotWritten(f'"{seen(name)}" is no file inside the folder that is written into.')
    path = base
    for number, part in enumerate(parts, 1):
        path = path / part
        shown = seen("/".join(parts[:number]))
        if path.is_symlink() or getattr(path, "is_junction", bool)():
            raise NotWritten(
                f"{shown} is a link, and nothing is written through links. Put the file or folder itself there."
            )
        last_file = number == len(parts) and not folder
        if path.exists() and not (path.is_file() if last_file else path.is_dir()):
            raise NotWritten(f"{shown} is not {'an ordinary file' if last_file else 'a folder'}.")
    return path


def _put(
    base: Path,
    contents: Mapping[str, bytes | None],
    before: Mapping[str, bytes | None] | None = None,
    journal: Journal | None = None,
    durable: bool | None = None,
) -> None:
    """Put contents in their places below a base; None removes. before: what the places held, so that it can be put back."""
    durable = journal is not None if durable is None else durable
    paths = {name: checked(base, name) for name in contents}
    parts = {name: part_of(path) for name, path in paths.items() if contents[name] is not None}
    made: list[Path] = []
    done: list[str] = []
    doing = next(iter(contents), "")
    try:
        if journal is not None and before is not None:
            new = {folder for path in paths.values() for folder in _missing(path.parent)}
            told = ([path.relative_to(base).as_posix() for path in some] for some in (parts.values(), sorted(new)))
            journal.begin(before, contents, *told)
        for name, part in parts.items():
            doing, mode = name, None
            content = contents[name]
            assert content is not None
            if paths[name].exists():
                if not os.access(paths[name], os.W_OK):
                    raise PermissionError(13, "it may only be read")
                mode = paths[name].stat().st_mode & 0o777
            made += _make_folders(paths[name].parent)
            staged(paths[name], content, mode, durable, part)
        for doing, part in parts.items():
            os.replace(part, paths[doing])
            done.append(doing)
        for doing in [name for name in contents if name not in parts]:
            paths[doing].unlink(missing_ok=True)
            done.append(doing)
        if durable:
            for folder in {path.parent for path in paths.values()} | {folder.parent for folder in made}:
                flush_folder(folder)
    except BaseException as error:
        for part in parts.values():
            with suppress(OSError):
                part.unlink(missing_ok=True)
        lost = [] if before is None else [name for name in done if not _put_back(paths[name], before[name])]
        _remove_folders(made)
        if journal is not None and not lost:
            journal.end()
        if isinstance(error, OSError):
            told = f" What was written of {', '.join(map(seen, lost))} could not be put back." if lost else ""
            raise NotWritten(f"{seen(doing)} cannot be written: {error.strerror or error}.{told}") from None
        raise
    if journal is not None:
        journal.end()


def _put_back_what_was_interrupted(root: Path, journal: Journal, tell: Callable[[str], None]) -> None:
    """Undo what a killed command had half done; what somebody wrote there since is left alone."""
    left = journal.unfinished()
    if left is None:
        return
    with suppress(OSError, NotWritten):
        for part in left.parts:
            if part.endswith(PART):
                checked(root, part).unlink(missing_ok=True)
    states: dict[str, bytes | None] = {}
    for name in left.before:
        with suppress(OSError, NotWritten):
            states[name] = _content(checked(root, name))
    after = [name for name, content in states.items() if left.is_after(name, content)]
    if len(after) < len(left.before):
        back = [name for name in after if _put_back(root / name, left.before[name])]
        if back:
            tell(f"A command was interrupted half way. Put back as it was before it: {', '.join(map(seen, back))}.")
        with suppress(NotWritten):
            _remove_folders([checked(root, folder, folder=True) for folder in left.folders])
    journal.end()


def _put_back(path: Path, content: bytes | None) -> bool:
    try:
        if content is None:
            path.unlink(missing_ok=True)
        else:
            os.replace(staged(path, content, None, durable=True), path)
    except OSError:
        return False
    return True


def _content(path: Path) -> bytes | None:
    try:
        return path.read_bytes()
    except FileNotFoundError:
        return None
    except OSError as error:
        raise NotWritten(f"{seen(path.name)} cannot be read: {error.strerror}.") from None


def _make_folders(folder: Path) -> list[Path]:
    """The folders that had to be made so that one is there, from the top."""
    missing = _missing(folder)
    for above in missing:
        above.mkdir(exist_ok=True)
    return missing


def _missing(folder: Path) -> list[Path]:
    return [above for above in (folder, *folder.parents) if not above.exists()][::-1]


def _remove_folders(folders: list[Path]) -> None:
    for folder in reversed(folders):
        with suppress(OSError):  # somebody put something into it
            folder.rmdir()
