"""Writes files into a build or the shelf only when the whole of it is still sound with them."""

import shutil
import tempfile
from collections.abc import Callable, Iterable
from pathlib import Path

from gudgeon.records.load_build import load_build
from gudgeon.records.model import Knowledge
from gudgeon.records.problems import Problem


class NotSound(Exception):
    """What was to be written has problems; nothing was written."""

    def __init__(self, problems: list[Problem]):
        super().__init__("\n".join(str(problem) for problem in problems))
        self.problems = problems


def keep_in_build(folder: Path, shown_as: str, files: dict[str, str], shelf: Knowledge) -> list[Path]:
    """Write files (name below the build's folder -> text) once the build reads without a new problem.

    The trial is made on a copy. Raises NotSound with the new problems, or FileExistsError for a file that already exists
    unless its text is continued.
    """
    for name, text in files.items():
        path = folder / name
        before = path.read_text(encoding="utf-8") if path.exists() else None
        if before is not None and (text == before or not text.startswith(before)):
            raise FileExistsError(f"{shown_as}/{name} already exists, and is not written over.")
    before = (
        {str(problem) for problem in load_build(folder, shown_as, shelf).problems}
        if (folder / "build.yaml").exists()
        else set()
    )
    return write_if_sound(
        folder, files, lambda place: load_build(place, shown_as, shelf).problems, before, hollow="photos"
    )


def write_if_sound(
    folder: Path,
    files: dict[str, str],
    problems_of: Callable[[Path], list[Problem]],
    before: set[str],
    gone: Iterable[str] = (),
    hollow: str | None = None,
) -> list[Path]:
    """Write files (name below a folder -> text) and remove others, once a copy of the folder with them has no new problem.

    problems_of(place): the problems of such a folder. before: those that it has already, as text. gone: names of files to
    remove. hollow: a folder whose files are copied empty, because nobody reads them. Raises NotSound.
    """
    with tempfile.TemporaryDirectory(prefix="gudgeon-") as place:
        trial = Path(place) / folder.name
        if folder.exists():
            shutil.copytree(folder, trial, symlinks=True, ignore=shutil.ignore_patterns(*([hollow] if hollow else [])))
            if hollow:
                for path in (folder / hollow).glob("*"):
                    (trial / hollow).mkdir(exist_ok=True)
                    (trial / hollow / path.name).touch()
        _write(trial, files, gone)
        new = [problem for problem in problems_of(trial) if str(problem) not in before]
    if new:
        raise NotSound(new)
    return _write(folder, files, gone)


def _write(folder: Path, files: dict[str, str], gone: Iterable[str]) -> list[Path]:
    for name in gone:
        (folder / name).unlink()
    paths = []
    for name, text in files.items():
        path = folder / name
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_text(text, encoding="utf-8", newline="\n")
        paths.append(path)
    return paths


def with_row(folder: Path, name: str, line: str) -> dict[str, str]:
    """The readings file of this name with one row more, or a new one."""
    path = folder / "readings" / f"{name}.yaml"
    if not path.exists():
        return {f"readings/{name}.yaml": f"rows:\n  - {line}\n"}
    text = path.read_text(encoding="utf-8")
    return {f"readings/{name}.yaml": f"{text}{'' if text.endswith(chr(10)) else chr(10)}  - {line}\n"}
