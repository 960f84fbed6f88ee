"""The two layers of the shared knowledge: the package's shelf, and a club's own that lies over it.

A record of the club stands in place of the package's of the same name. Of files that hold many things (thresholds, habits,
words, works) each thing is laid over by itself. Nothing is mixed inside a record.
"""

from collections.abc import Mapping
from dataclasses import dataclass, replace
from pathlib import Path
from typing import Any, TypeVar

from gudgeon.records.cutting import Cutting
from gudgeon.records.judgement import Threshold
from gudgeon.records.model import Knowledge, Shelf, Whose
from gudgeon.records.problems import Problems, Where

T = TypeVar("T")
PACKAGE = Shelf(Path(__file__).resolve().parent.parent / "knowledge", "(gudgeon)/knowledge", in_project=False)
INSTALLED = ("site-packages", "dist-packages")  # a project may hold the environment that the tool is installed in


def package_path(root: Path) -> str | None:
    """Where the package's shelf lies in a project that holds the tool's own source, from its root; None where it does not."""
    root = root.resolve()
    if not PACKAGE.folder.is_relative_to(root):
        return None
    below = PACKAGE.folder.relative_to(root)
    return None if any(part in INSTALLED for part in below.parts) else below.as_posix()


@dataclass
class Layer:
    """What one shelf holds, and which of its files could not be read."""

    knowledge: Knowledge
    unread: dict[str, str]  # "rule P-R1", or the name of a file that holds many things -> the file
    said_thresholds: dict[str, Threshold]


def laid_over(package: Layer, own: Layer, problems: Problems) -> Knowledge:
    """The club's shelf over the package's."""
    below, above = package.knowledge, own.knowledge
    shelf = replace(above)
    shelf.package = below.package
    shelf.whose, shelf.replaced = {}, {}

    def over(kind: str, lower: Mapping[str, T], upper: Mapping[str, T]) -> dict[str, T]:
        unread = {key.removeprefix(f"{kind} ") for key in own.unread if key.startswith(f"{kind} ")}
        for name in lower:
            shelf.whose[f"{kind} {name}"] = "package"
        for name in {*upper, *unread}:
            if name in lower:
                shelf.replaced[f"{kind} {name}"] = lower[name]
            shelf.whose[f"{kind} {name}"] = "club"
        return {name: record for name, record in {**lower, **upper}.items() if name in upper or name not in unread}

    shelf.rules = by_file(over("rule", below.rules, above.rules))
    shelf.cautions = by_file(over("caution", below.cautions, above.cautions))
    shelf.materials = by_file(over("material", below.materials, above.materials))
    shelf.families = by_file(over("family", below.families, above.families))
    shelf.sources = over("source", below.sources, above.sources)
    words = over("word", {word.anchor: word for word in below.words}, {word.anchor: word for word in above.words})
    shelf.words = sorted(words.values(), key=lambda word: word.word.casefold())
    shelf.judgement = {**above.judgement, **over("threshold", package.said_thresholds, own.said_thresholds)}
    shelf.cutting = _cutting(below.cutting, above.cutting, shelf)
    shelf.unread = (below.unread - set(above.rules)) | above.unread
    _tell_unread(own, package, shelf, problems)
    return shelf


def by_file(records: Mapping[str, T]) -> dict[str, T]:
    """Records in the order of their files' names."""
    return dict(sorted(records.items(), key=lambda item: f"{item[0]}.yaml"))


def _cutting(below: Cutting | None, above: Cutting | None, shelf: Knowledge) -> Cutting | None:
    """The habits of both, key by key."""
    for cutting, whose in ((below, "package"), (above, "club")):
        for key in _said(cutting):
            given: Whose = "package" if whose == "package" else "club"
            if given == "club" and f"habit {key}" in shelf.whose:
                shelf.replaced[f"habit {key}"] = getattr(below, key)
            shelf.whose[f"habit {key}"] = given
    if above is None or below is None:
        return above or below
    return above.model_copy(update={key: value for key, value in _said(below).items() if key not in _said(above)})


def _said(cutting: Cutting | None) -> dict[str, Any]:
    return {key: getattr(cutting, key) for key in cutting.model_fields_set} if cutting else {}


# A file that holds many things -> what stands while the club's cannot be read.
MEANWHILE = {
    "habits.yaml": "Until it can be read, the habits that come with Gudgeon hold, and none of the club's.",
    "judgement.yaml": "Until it can be read, the thresholds that come with Gudgeon hold, and none of the club's.",
    "glossary/words.yaml": "Until it can be read, only the words that come with Gudgeon are known.",
    "sources/bibliography.json": "Until it can be read, only the works that come with Gudgeon are known.",
}


def _tell_unread(own: Layer, package: Layer, shelf: Knowledge, problems: Problems) -> None:
    """A file of the club that cannot be read: what stands then is said, so that nobody takes the package's for the club's."""
    for key, file in own.unread.items():
        if key in shelf.replaced:
            kind, _, name = key.partition(" ")
            says = f"this stands in place of the {kind} {name} that comes with Gudgeon. Until it can be read, neither holds."
            problems.add(Where(file), name, says)
        elif key in MEANWHILE and package.knowledge.package is not None:
            problems.add(Where(file), "", MEANWHILE[key])
