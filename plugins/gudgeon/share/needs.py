"""What something that travels needs on the shelf that it comes to: the rules whose results it takes, and materials."""

import re
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from types import MappingProxyType

from gudgeon.records.knowledge import SHARED_KINDS, Caution, ClubMaterial, Rule, SharedKind
from gudgeon.records.model import Knowledge
from gudgeon.records.problems import Problems
from gudgeon.records.refs import references_in
from gudgeon.records.shared_files import digest_of, files_of
from gudgeon.records.validation import validate
from gudgeon.records.yaml_text import read_yaml
from gudgeon.records.yaml_writing import scalar
from gudgeon.share.item import SharedItem

MODELS: dict[SharedKind, type[Rule | Caution | ClubMaterial]] = {
    "rule": Rule,
    "caution": Caution,
    "material": ClubMaterial,
}
KINDS: dict[str, SharedKind] = {"rule": "rule", "club material": "material"}


@dataclass(frozen=True)
class Lack:
    """What an item needs and does not have here. needed: kind and name of what has to be brought first; None where one of
    that name is here and says otherwise."""

    says: str
    needed: tuple[SharedKind, str] | None = None


def lacking(
    item: SharedItem,
    files: Mapping[str, str],
    shelf: Knowledge,
    where: str,
    chosen: Mapping[str, str] = MappingProxyType({}),
    coming: Mapping[str, Mapping[str, str]] = MappingProxyType({}),
) -> Lack | None:
    """What an item's files name and the shelf has not, nor what comes before it; None where it has all.

    where: from where the item comes. chosen: rules whose result it takes for which another one was named. coming: "rule A-R1" ->
    files of what is written before it. A rule of the same name that says otherwise would give other numbers: it is not taken for the
    one that was meant.
    """
    here: dict[SharedKind, set[str]] = {"rule": {*shelf.rules, *shelf.unread}, "material": set(shelf.materials)}
    for kind, name in _named(item, files):
        if name not in here[kind] and f"{kind} {name}" not in coming:
            says = f"it names the {kind} {name}, which is not on this shelf. Bring that first: {_command(item, where, kind, name)}"
            return Lack(says, (kind, name))
    for name, digest in item.rests_on.items():
        there = coming.get(f"rule {name}") or files_of(shelf, "rule", name)
        if name in chosen or not there or not re.search(rf"\b{re.escape(name)}\b", "".join(files.values())):
            continue
        if digest_of(dict(there)) != digest:
            return Lack(
                f"it takes the result of rule {name}, and the {name} on this shelf says otherwise than the one it was made "
                f"with: its numbers would be others. Bring that one beside yours, {_command(item, where, 'rule', name)} "
                f"--as {name}-2, then this one with --resting-on {name}={name}-2. If yours is meant, --resting-on {name}={name}."
            )
    return None


def _named(item: SharedItem, files: Mapping[str, str]) -> Iterator[tuple[SharedKind, str]]:
    """The rules and materials that an item's records name; nothing where they cannot be read, which is told elsewhere."""
    model = MODELS.get(item.kind)
    for path, text in files.items() if model else ():
        problems = Problems()
        document = read_yaml(text, path, problems)
        record = validate(model, document, problems) if model and document else None
        for reference in references_in(record) if record else ():
            kind = KINDS.get(reference.ref.kinds[0])
            if kind:
                yield kind, reference.name


def _command(item: SharedItem, where: str, kind: SharedKind, name: str) -> str:
    own = f"{SHARED_KINDS[item.kind]}/{item.id}.json"
    base = where.removesuffix(own) if where.endswith(own) else "…/"
    return f"gudgeon bring {base}{SHARED_KINDS[kind]}/{name}.json"


def resting_on(files: Mapping[str, str], others: Mapping[str, str]) -> dict[str, str]:
    """The files of a rule with the result of another rule taken than it says. others: rule that is named -> rule to take."""
    made: dict[str, str] = {}
    for path, text in files.items():
        document = read_yaml(text, path, Problems())
        lines = text.split("\n")
        # From the end, so that what stands before on the same line keeps its place.
        for place, (line, column) in (
            sorted(document.values.items(), key=lambda entry: entry[1], reverse=True) if document else ()
        ):
            if not place or place[-1] != "of_rule":
                continue
            before, rest = lines[line - 1][: column - 1], lines[line - 1][column - 1 :]
            name = re.match(r"(?P<quote>[\"']?)(?P<name>[\w-]+)(?P=quote)", rest)
            if name and name["name"] in others:
                lines[line - 1] = before + scalar(others[name["name"]]) + rest[name.end() :]
        made[path] = "\n".join(lines)
    return made
