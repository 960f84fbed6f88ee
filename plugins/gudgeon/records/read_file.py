"""Reads one file into one record, and lists the files of a folder in order."""

import unicodedata
from collections.abc import Callable, Iterable
from pathlib import Path

from gudgeon.records.base import Record
from gudgeon.records.problems import Problems, Where
from gudgeon.records.validation import R, validate
from gudgeon.records.yaml_text import Document, read_text, read_yaml


def files(folder: Path, pattern: str) -> list[Path]:
    """The files of a folder that a pattern names, by name; none where there is no folder."""
    return sorted(folder.glob(pattern), key=lambda path: path.name) if folder.is_dir() else []


def told_apart(paths: list[Path], shown_as: str, problems: Problems) -> list[Path]:
    """The same files; of those that only capital letters tell apart the later ones are told: Windows and macOS keep but one."""
    first: dict[str, str] = {}
    for path in paths:
        other = first.setdefault(_folded(path.name), path.name)
        if other != path.name:
            problems.add(
                Where(f"{shown_as}/{path.name}"),
                "",
                f"the name differs from {other} only in capital letters, or in how an accent is coded, and many computers keep but one "
                "of them. Rename one.",
            )
    return paths


def _folded(name: str) -> str:
    return unicodedata.normalize("NFC", unicodedata.normalize("NFC", name).casefold())


ENDINGS = {
    ".yaml": (".yaml", ".yml"),
    ".md": (".md", ".markdown"),
}  # the ending that is read, and what people write for it


def tell_not_read(folder: Path, shown_as: str, ending: str, problems: Problems) -> None:
    """Note a problem for every file of a folder that was meant to be read and is not, for its ending."""
    for path in files(folder, "*"):
        if path.suffix != ending and path.suffix.casefold() in ENDINGS[ending] and not path.name.startswith("."):
            problems.add(
                Where(f"{shown_as}/{path.name}"),
                "",
                f'this file is not read: its name has to end in "{ending}". Rename it.',
            )


def tell_folded(folder: Path, shown_as: str, known: Iterable[str], problems: Problems) -> None:
    """Note a problem for what stands in a folder under a name that only capital letters tell from one that is read."""
    names = {name.casefold(): name for name in known}
    for path in files(folder, "*"):
        name = names.get(path.name.casefold())
        if name is not None and path.name != name:
            problems.add(
                Where(f"{shown_as}/{path.name}"),
                "",
                f'this is not read: it has to be called "{name}", in small letters. Rename it.',
            )


def named_as_its_file(record: Record, key: str, path: Path, problems: Problems) -> None:
    """A record that has a file of its own carries the file's name as its id."""
    name = getattr(record, key)
    if name != path.stem:
        problems.add(
            record.where(key),
            key,
            f'the id differs from the file\'s name. Found "{name}". Write "{path.stem}", or rename the file.',
        )


def read_record(
    path: Path,
    file: str,
    model: type[R],
    problems: Problems,
    prepare: Callable[[Document], None] | None = None,
) -> R | None:
    """A file as a record of a model, or None with its problems noted. file: its path as shown to people."""
    text = read_text(path, file, problems)
    document = None if text is None else read_yaml(text, file, problems)
    if document is None:
        return None
    if prepare:
        prepare(document)
    return validate(model, document, problems)
