"""Marks an operation finished in the text of operations.yaml: a key or two more, and nothing else of the file moves."""

import yaml

from gudgeon.records.yaml_writing import scalar

INDENT = 2  # of the keys of an operation below its id, where it has none to follow


class CannotMark(ValueError):
    """The text cannot be edited in its place; the message says what to write by hand."""


def with_keys(text: str, operation: str, values: dict[str, str]) -> str:
    """The text with some keys of an operation set: over what stands there, else behind its other keys. Raises CannotMark.

    text: a file that reads without a problem.
    """
    for key, value in values.items():
        text = _with_key(text, operation, key, scalar(value))
    return text


def _with_key(text: str, operation: str, key: str, value: str) -> str:
    node = _operation_node(text, operation, key, value)
    for name, said in node.value:
        if name.value == key:
            start, end = said.start_mark.index, said.end_mark.index
            if isinstance(said, yaml.ScalarNode) and said.style in ("|", ">"):
                raise CannotMark(f'"{key}" of {operation} stands over several lines. Write it by hand: {key}: {value}.')
            return text[:start] + value + text[end:]
    if node.flow_style:
        end = node.end_mark.index - 1
        return f"{text[:end].rstrip(' ')}, {key}: {value}{text[end:]}"
    last_key, last = node.value[-1]
    end = text.find("\n", _end_of(last))
    end = len(text) if end < 0 else end
    return f"{text[:end]}\n{' ' * last_key.start_mark.column}{key}: {value}{text[end:]}"


def _end_of(node: yaml.Node) -> int:
    """Where the last scalar of a value ends: a block ends only where the next key begins, behind comments and empty lines."""
    if isinstance(node, yaml.CollectionNode) and not node.flow_style and node.value:
        last = node.value[-1]
        return _end_of(last[1] if isinstance(last, tuple) else last)
    text, end = node.end_mark.buffer, node.end_mark.index
    if isinstance(node, yaml.ScalarNode) and node.style in ("|", ">") and text:
        return len(text[:end].rstrip())
    return end


def _operation_node(text: str, operation: str, key: str, value: str) -> yaml.MappingNode:
    by_hand = CannotMark(
        f"{operation} cannot be found in operations.yaml as it stands. Write it by hand: {key}: {value}."
    )
    root = yaml.compose(text, Loader=yaml.SafeLoader)
    operations = _value(root, "operations")
    node = _value(operations, operation)
    if not isinstance(node, yaml.MappingNode) or not node.value:
        raise by_hand
    return node


def _value(node: yaml.Node | None, key: str) -> yaml.Node | None:
    if not isinstance(node, yaml.MappingNode):
        return None
    return next((said for name, said in node.value if name.value == key), None)
