"""Writes files into a build or the shelf only when the whole of it is still sound with them."""

from collections.abc import Callable, Collection, Iterable, Mapping
from dataclasses import replace
from pathlib import Path
from types import MappingProxyType

from gudgeon.project.writing import Desk, NotWritten, lay_over, trial_copy
from gudgeon.records.load_build import load_build
from gudgeon.records.model import Build, Knowledge
from gudgeon.records.problems import Problem


class NotSound(Exception):
    """What was to be written has problems; nothing was written."""

    def __init__(self, problems: list[Problem]):
        super().__init__("\n".join(str(problem) for problem in problems))
        self.problems = problems


def keep_in_build(
    desk: Desk, build_path: str, files: dict[str, str], shelf: Knowledge, only_try: bool = False
) -> list[Path]:
    """Write files (name below the build's folder -> text) once the build reads without a new problem.

    build_path: the build's folder from the project's root. The trial is made on a copy; with only_try nothing else is. Raises NotSound with the new
    problems, NotWritten, or FileExistsError for a file that already exists unless its text is continued.
    """
    folder = desk.root / build_path
    build = load_build(folder, build_path, shelf) if (folder / "build.yaml").exists() else None
    return _keep(desk, build_path, build, files, shelf, only_try)[0]


def keep_and_read(
    desk: Desk,
    build: Build,
    files: dict[str, str],
    shelf: Knowledge,
    edited: Collection[str] = (),
    pictures: Mapping[str, bytes] = MappingProxyType({}),
) -> tuple[list[Path], Build]:
    """The same, and the build with them. build: as it stands now. edited: files of which the text was edited in its place.
    pictures: name below the build's folder -> content of files that are no text."""
    return _keep(desk, build.path, build, files, shelf, edited=edited, pictures=pictures)


def _keep(
    desk: Desk,
    build_path: str,
    build: Build | None,
    files: dict[str, str],
    shelf: Knowledge,
    only_try: bool = False,
    edited: Collection[str] = (),
    pictures: Mapping[str, bytes] = MappingProxyType({}),
) -> tuple[list[Path], Build]:
    for name, text in files.items():
        already = desk.text(f"{build_path}/{name}")
        if name not in edited and already is not None and (text == already or not text.startswith(already)):
            raise FileExistsError(f"{build_path}/{name} already exists, and is not written over.")
    before: set[str] = set()
    if build is not None:
        before = {str(problem) for problem in build.problems}
        if "readings" in build.unread and any(name.startswith("readings/") for name in files):
            raise NotWritten(
                "the readings of this build cannot all be read, so that a new row could take the id of another. Put this right "
                "first:\n" + "\n".join(str(problem) for problem in build.problems)
            )
    tried: list[Build] = []

    def problems_of(place: Path) -> list[Problem]:
        tried.append(load_build(place, build_path, shelf))
        return tried[-1].problems

    paths = write_if_sound(
        desk, build_path, files, problems_of, before, hollow="photos", only_try=only_try, pictures=pictures
    )
    return paths, replace(tried[-1], folder=desk.root / build_path)


def write_if_sound(
    desk: Desk,
    folder: str,
    files: dict[str, str],
    problems_of: Callable[[Path], list[Problem]],
    before: set[str],
    gone: Iterable[str] = (),
    hollow: str | None = None,
    only_try: bool = False,
    pictures: Mapping[str, bytes] = MappingProxyType({}),
) -> list[Path]:
    """Write files (name below a folder -> text) and remove others, once a copy of the folder with them has no new problem.

    folder: from the project's root. problems_of(place): the problems of such a folder. before: those that it has already,
    as text. gone: names of files to remove. hollow: a folder whose files are copied empty, because nobody reads them.
    only_try: write nothing, only look. pictures: files that are no text, which are tried empty. Raises NotSound, NotWritten.
    """
    gone = list(gone)
    for name in (*files, *pictures, *gone):
        desk.note(f"{folder}/{name}")
    with trial_copy(desk.root / folder, hollow) as trial:
        lay_over(trial, {**files, **dict.fromkeys(pictures, "")}, gone)
        new = [problem for problem in problems_of(trial) if str(problem) not in before]
    if new:
        raise NotSound(new)
    if only_try:
        return []
    texts = {f"{folder}/{name}": text for name, text in files.items()}
    contents = {f"{folder}/{name}": content for name, content in pictures.items()}
    return desk.write(texts, [f"{folder}/{name}" for name in gone], contents)


def with_row(desk: Desk, build_path: str, name: str, line: str) -> dict[str, str]:
    """The readings file of this name with one row more, or a new one."""
    file = f"readings/{name}.yaml"
    text = desk.text(f"{build_path}/{file}")
    if text is None:
        return {file: f"rows:\n  - {line}\n"}
    return {file: f"{text}{'' if text.endswith(chr(10)) else chr(10)}  - {line}\n"}
