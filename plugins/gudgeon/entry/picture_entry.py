"""A picture in the texts of a build: its entry in photos.yaml, and its name where it belongs. Nothing else of a file moves."""

import re
import unicodedata
from collections.abc import Collection, Mapping
from typing import Any

import yaml

from gudgeon.entry.marking import CannotMark, end_of, value_of
from gudgeon.entry.sizes import NotClear
from gudgeon.records.model import Build
from gudgeon.records.plain_data import is_sequence
from gudgeon.records.problems import nearest, shown
from gudgeon.records.yaml_writing import flow, scalar

LONGEST_NAME = 60  # letters of a picture's name
MOST_OF_ONE_NAME = 200  # pictures that a camera gives the same name


def name_for(stem: str, taken: Collection[str]) -> str:
    """The name of a picture without its ending, made of its file's: letters, digits and hyphens. taken: the names that others
    have, without their endings."""
    plain = unicodedata.normalize("NFKD", stem).encode("ascii", "ignore").decode().lower()
    name = re.sub(r"[^a-z0-9]+", "-", plain).strip("-")[:LONGEST_NAME].strip("-") or "picture"
    others = {other.casefold() for other in taken}
    numbered = [name, *(f"{name}-{number}" for number in range(2, MOST_OF_ONE_NAME))]
    free = next((candidate for candidate in numbered if candidate not in others), None)
    if free is None:
        raise NotClear(f"there are {MOST_OF_ONE_NAME} pictures called {name} already. Rename the file.")
    return free


def with_picture(text: str | None, name: str, said: Mapping[str, str | list[str]]) -> str:
    """The text of photos.yaml with an entry more at its end. Raises CannotMark."""
    entry = [f"{key}: {_written(value)}" for key, value in said.items()]
    by_hand = CannotMark(
        f"photos.yaml cannot be continued as it stands. Write it by hand: {name}: {{{', '.join(entry)}}}"
    )
    if not (text or "").strip():
        return f"{text or ''}photos:\n  {name}:\n" + "".join(f"    {line}\n" for line in entry)
    assert text is not None, "it is not empty"
    try:
        node = value_of(yaml.compose(text, Loader=yaml.SafeLoader), "photos")
    except yaml.YAMLError:
        raise by_hand from None
    if not isinstance(node, yaml.MappingNode) or node.flow_style or not node.value:
        raise by_hand
    indent = node.start_mark.column
    end = text.find("\n", end_of(node))
    end = len(text) if end < 0 else end
    pad = " " * indent
    lines = "".join(f"\n{pad}  {line}" for line in entry)
    return f"{text[:end]}\n{pad}{name}:{lines}{text[end:] or chr(10)}"


def _written(value: str | list[str]) -> str:
    return f"[{', '.join(scalar(item) for item in value)}]" if is_sequence(value) else scalar(str(value))


def place_of(build: Build, name: str) -> tuple[str, Any]:
    """What a picture is for, by its name: ("part", id), ("instalment", it) or ("reading", row). Raises NotClear."""
    places: list[tuple[str, Any]] = [("part", part) for part in build.parts if part == name]
    places += [("instalment", told) for told in build.instalments if name in (told.slug, str(told.head.number))]
    places += [("reading", row) for row in build.rows if row.id == name]
    if len(places) > 1:
        kinds = " and ".join(f"a {kind}" if kind != "instalment" else "an instalment" for kind, _ in places)
        raise NotClear(
            f'"{shown(name)}" is {kinds}. Name the instalment by its file, or write the picture there by hand.'
        )
    if not places:
        known = [*build.parts, *(told.slug for told in build.instalments), *(row.id for row in build.rows)]
        raise NotClear(f'no part, instalment or reading "{shown(name)}" in this build.{nearest(name, known)}')
    return places[0]


def in_text(name: str, shows: str) -> str:
    """The line of an instalment that shows a picture."""
    plain = shows.translate(str.maketrans({"[": "(", "]": ")", "\\": None, "`": "'"}))
    return f"![{plain}](../photos/{name})"


def with_line(text: str, line: str) -> str:
    """The text of an instalment with a line more at its end."""
    return f"{text.rstrip()}\n\n{line}\n"


def with_photo_of_part(text: str, name: str) -> str:
    """The text of a part with a picture more in its list. Raises CannotMark."""
    by_hand = CannotMark(f"the part's photos cannot be continued as they stand. Write the name there by hand: {name}")
    root = yaml.compose(text, Loader=yaml.SafeLoader)
    node = value_of(root, "photos")
    if node is None:
        return f"{text}{'' if text.endswith(chr(10)) else chr(10)}photos: [{name}]\n"
    if not isinstance(node, yaml.SequenceNode):
        raise by_hand
    if node.flow_style:
        if not node.value:
            return f"{text[: node.start_mark.index]}[{name}]{text[node.end_mark.index :]}"
        end = node.value[-1].end_mark.index
        return f"{text[:end]}, {name}{text[end:]}"
    end = text.find("\n", end_of(node))
    end = len(text) if end < 0 else end
    return f"{text[:end]}\n{' ' * node.start_mark.column}- {name}{text[end:] or chr(10)}"


def with_photo_of_row(text: str, row: str, name: str) -> str:
    """The text of a file of readings with a picture beside one row. Raises CannotMark."""
    by_hand = CannotMark(f"row {row} cannot be found as it stands. Write it there by hand: {flow({'photo': name})}")
    rows = value_of(yaml.compose(text, Loader=yaml.SafeLoader), "rows")
    for node in rows.value if isinstance(rows, yaml.SequenceNode) else ():
        named = value_of(node, "id")
        if not isinstance(named, yaml.ScalarNode) or named.value != row or not isinstance(node, yaml.MappingNode):
            continue
        if value_of(node, "photo") is not None:
            raise CannotMark(f"row {row} has a picture already. A reading has one; show this one in an instalment.")
        last_key, last = node.value[-1]
        if node.flow_style:
            end = last.end_mark.index
            return f"{text[:end]}, photo: {name}{text[end:]}"
        end = text.find("\n", end_of(last))
        end = len(text) if end < 0 else end
        return f"{text[:end]}\n{' ' * last_key.start_mark.column}photo: {name}{text[end:]}"
    raise by_hand
