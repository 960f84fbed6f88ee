"""What a thing that travels is called: here, where it came from and where it was given first."""

from collections.abc import Mapping
from pathlib import Path

from gudgeon.records.knowledge import SHARED_KINDS, SharedKind
from gudgeon.records.model import Knowledge
from gudgeon.records.problems import Problems
from gudgeon.records.shared_files import item_files
from gudgeon.records.yaml_text import read_yaml
from gudgeon.records.yaml_writing import scalar
from gudgeon.share.fetching import Refused
from gudgeon.share.item import SharedItem


def renamed(kind: SharedKind, was: str, files: Mapping[str, str], name: str) -> dict[str, str]:
    """The files of a thing under another id."""
    if name == was:
        return dict(files)
    ((path, text),) = files.items()
    document = read_yaml(text, path, Problems())
    place = document.values.get((kind,)) if document else None
    if place is None:
        raise Refused(f'{path} has no line "{kind}: {was}".')
    lines = text.split("\n")
    lines[place[0] - 1] = f"{kind}: {scalar(name)}"
    return {f"{SHARED_KINDS[kind]}/{name}.yaml": "\n".join(lines)}


def first_name(item: SharedItem) -> str:
    """Its id with the club that gave it first."""
    return item.was_called or item.id


def in_its_first_words(item: SharedItem) -> dict[str, str]:
    """Its files as the club that gave it first has them."""
    return renamed(item.kind, item.id, item.files, first_name(item))


def same_thing(item: SharedItem, shelf: Knowledge, folder: Path) -> str | None:
    """The name under which a shelf has this very thing already: given first by the same club under the same name, word for
    word, whichever way it came. None where it has not."""
    for key, origin in shelf.origins.items():
        kind, _, name = key.partition(" ")
        if kind != item.kind or origin.club != item.club or (origin.was_called or name) != first_name(item):
            continue
        there = item_files(folder, item.kind, name, shelf.words)
        if there and renamed(item.kind, name, there, first_name(item)) == in_its_first_words(item):
            return name
    return None
