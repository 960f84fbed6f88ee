"""Reads one file into one record, and lists the files of a folder in order."""

from collections.abc import Callable
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
        other = first.setdefault(path.name.casefold(), path.name)
        if other != path.name:
            problems.add(
                Where(f"{shown_as}/{path.name}"),
                "",
                f"the name differs from {other} only in capital letters, and many computers keep but one of them. Rename one.",
            )
    return paths


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
