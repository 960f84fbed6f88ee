"""Maps and lists in data of which no type is known: what a file says, before it is checked, and the values of any field."""

from typing import Any, TypeGuard


def is_map(value: Any) -> TypeGuard[dict[str, Any]]:
    """Whether it is keys with values; keys are texts, in files as in records."""
    return isinstance(value, dict)


def is_list(value: Any) -> TypeGuard[list[Any]]:
    """Whether it is a list, as files have them."""
    return isinstance(value, list)


def is_sequence(value: Any) -> TypeGuard[list[Any] | tuple[Any, ...]]:
    """Whether it is a list, or a tuple, which a record makes of it."""
    return isinstance(value, (list, tuple))
