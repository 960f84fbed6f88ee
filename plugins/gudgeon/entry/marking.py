"""Edits of a file in its text: keys of an operation, an entry more of a list; nothing else of the file moves."""

from collections.abc import Mapping

import yaml

from gudgeon.records.yaml_writing import flow, scalar

INDENT = 2  # of the keys of an operation below its id, where it has none to follow


class CannotMark(ValueError):
    """The text cannot be edited in its place; the message says what to write by hand."""


def with_keys(text: str, operation: str, values: Mapping[str, str | Mapping[str, str]]) -> str:
    """The text with some keys of an operation set: over what stands there, else behind its other keys. Raises CannotMark.

    text: a file that reads without a problem.
    """
    for key, value in values.items():
        text = _with_key(text, operation, key, scalar(value) if isinstance(value, str) else flow(value))
    return text


def with_note(text: str, operation: str, words: str) -> str:
    """The text with words behind the note of an operation; a note over several lines gets a line more. Raises CannotMark."""
    node = _operation_node(text, operation, "note", words)
    said = value_of(node, "note")
    if not isinstance(said, yaml.ScalarNode) or not said.value.strip():
        return with_keys(text, operation, {"note": words})
    if said.style not in ("|", ">"):
        return with_keys(text, operation, {"note": f"{said.value.strip()}; {words}"})
    # The block's own lines: behind them may stand empty lines and comments.
    lines = text[said.start_mark.index : said.end_mark.index].rstrip().split("\n")
    inner = min(len(line) - len(line.lstrip()) for line in lines[1:] if line.strip())
    end = said.start_mark.index + len("\n".join(lines))
    return f"{text[:end]}\n{' ' * inner}{' '.join(words.split())}{text[end:]}"


def _with_key(text: str, operation: str, key: str, value: str) -> str:
    node = _operation_node(text, operation, key, value)
    for name, said in node.value:
        if name.value == key:
            start, end = said.start_mark.index, said.end_mark.index
            if isinstance(said, yaml.ScalarNode) and said.style in ("|", ">"):
                raise CannotMark(f'"{key}" of {operation} stands over several lines. Write it by hand: {key}: {value}.')
            return text[:start] + value + text[end:]
    if node.flow_style:
        end = node.value[-1][1].end_mark.index  # a comma, a comment or an end of line may stand behind it
        return f"{text[:end]}, {key}: {value}{text[end:]}"
    last_key, last = node.value[-1]
    end = text.find("\n", end_of(last))
    end = len(text) if end < 0 else end
    return f"{text[:end]}\n{' ' * last_key.start_mark.column}{key}: {value}{text[end:]}"


def with_entry(text: str | None, key: str, line: str) -> str:
    """The text of a file that is a list under one key, with an entry more at its end; a new one where there is none. Raises CannotMark.

    line: the entry, as it stands behind its dash.
    """
    try:
        root = yaml.compose(text or "", Loader=yaml.SafeLoader)
    except yaml.YAMLError:
        raise CannotMark(f"the file cannot be read as it stands. Write it by hand: - {line}") from None
    node = value_of(root, key)
    if node is None:
        before = text or ""
        return f"{before}{chr(10) if before and not before.endswith(chr(10)) else ''}{key}:\n  - {line}\n"
    assert text is not None, "it has the key"
    if isinstance(node, yaml.SequenceNode) and node.value:
        end = end_of(node)
        if node.flow_style:
            end = node.value[-1].end_mark.index
            return f"{text[:end]}, {line}{text[end:]}"
        end = text.find("\n", end)
        end = len(text) if end < 0 else end
        return f"{text[:end]}\n{' ' * node.start_mark.column}- {line}{text[end:] or chr(10)}"
    start, end = node.start_mark.index, node.end_mark.index
    return f"{text[:start].rstrip(' ')}\n  - {line}{text[end:] or chr(10)}"


def keys_for_every_row(text: str | None) -> set[str]:
    """The keys that a readings file gives to each of its rows that does not say them itself."""
    if not text or "every_row" not in text:
        return set()
    try:
        node = value_of(yaml.compose(text, Loader=yaml.SafeLoader), "every_row")
    except yaml.YAMLError:
        return set()
    return {name.value for name, _ in node.value} if isinstance(node, yaml.MappingNode) else set()


def end_of(node: yaml.Node) -> int:
    """Where the last scalar of a value ends: a block ends only where the next key begins, behind comments and empty lines."""
    if isinstance(node, yaml.CollectionNode) and not node.flow_style and node.value:
        last = node.value[-1]
        return end_of(last[1] if isinstance(last, tuple) else last)
    text, end = node.end_mark.buffer, node.end_mark.index
    if isinstance(node, yaml.ScalarNode) and node.style in ("|", ">") and text:
        return len(text[:end].rstrip())
    return end


def _operation_node(text: str, operation: str, key: str, value: str) -> yaml.MappingNode:
    by_hand = CannotMark(
        f"{operation} cannot be found in operations.yaml as it stands. Write it by hand: {key}: {value}."
    )
    root = yaml.compose(text, Loader=yaml.SafeLoader)
    operations = value_of(root, "operations")
    node = value_of(operations, operation)
    if not isinstance(node, yaml.MappingNode) or not node.value:
        raise by_hand
    return node


def value_of(node: yaml.Node | None, key: str) -> yaml.Node | None:
    """The value under a key of a map; None where there is none."""
    if not isinstance(node, yaml.MappingNode):
        return None
    return next((said for name, said in node.value if name.value == key), None)
