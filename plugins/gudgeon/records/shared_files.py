"""The texts of one thing on a shelf, as it travels: what its digest is made of."""

import hashlib
from collections.abc import Iterable
from pathlib import Path

from gudgeon.records.knowledge import SHARED_KINDS, SINGLE, Glossary, SharedKind, Word
from gudgeon.records.model import Knowledge
from gudgeon.records.problems import Problems
from gudgeon.records.read_file import read_record
from gudgeon.records.yaml_text import read_text
from gudgeon.records.yaml_writing import scalar

WORDS = "glossary/words.yaml"  # below the shelf


def item_files(folder: Path, kind: SharedKind, name: str, words: Iterable[Word] | None = None) -> dict[str, str]:
    """The files of one thing on the shelf: path below docs/knowledge/ -> text. Empty where there is none.

    words: those of the shelf, where they are read already.
    """
    if kind == "word":
        return _word(words_of(folder) if words is None else words, name)
    place = folder / SHARED_KINDS[kind]
    if kind in SINGLE:
        paths = [folder / f"{kind}.yaml"] if name == kind else []
    elif kind == "family":
        paths = [place / name / "family.yaml", *sorted((place / name / "starter").rglob("*.yaml"))]
    else:
        paths = [place / f"{name}.yaml"]
    texts: dict[str, str] = {}
    for path in paths:
        text = read_text(path, path.name, Problems()) if path.is_file() else None
        if text is not None:
            texts[path.relative_to(folder).as_posix()] = text.replace("\r\n", "\n")  # git may keep either
    return texts


def files_of(shelf: Knowledge, kind: SharedKind, name: str) -> dict[str, str]:
    """The files of one thing, from the layer that it stands on; as `item_files`."""
    place = shelf.place_of(kind, name)
    return item_files(place.folder, kind, name) if place else {}


def as_they_stand(folder: Path, kind_and_name: str, words: Iterable[Word]) -> dict[str, str]:
    """The same of "rule A-R1", as origins.yaml calls a thing."""
    given, _, name = kind_and_name.partition(" ")
    for kind in SHARED_KINDS:
        if given == kind:
            return item_files(folder, kind, name, words)
    return {}


def words_of(folder: Path) -> list[Word]:
    """The words of a shelf as its file has them; none where it cannot be read, which is told elsewhere."""
    path = folder / WORDS
    glossary = read_record(path, WORDS, Glossary, Problems()) if path.is_file() else None
    return list(glossary.words) if glossary else []


def entry_of(word: Word) -> str:
    """A word as an entry of the file of words. All words stand in one file: how the entry is laid out there does not count."""
    lines = [f"word: {scalar(word.word)}"]
    lines += [f"{key}: {scalar(text)}" for key in ("us", "uk") if (text := getattr(word, key))]
    lines += ["everyday: true"] if word.everyday else []
    lines.append(f"means: {scalar(word.means)}")
    return "".join(f"  {'-' if number == 0 else ' '} {line}\n" for number, line in enumerate(lines))


def _word(words: Iterable[Word], name: str) -> dict[str, str]:
    word = next((word for word in words if word.anchor == name), None)
    return {} if word is None else {WORDS: f"words:\n{entry_of(word)}"}


def digest_of(files: dict[str, str]) -> str:
    """One digest of some files: their names and their texts."""
    taken = hashlib.sha256()
    for name in sorted(files):
        for part in (name, files[name]):
            raw = part.encode("utf-8")
            taken.update(f"{len(raw)}:".encode() + raw)
    return f"sha256:{taken.hexdigest()}"
