"""Walks along references: operations that need others, features that depend on others."""

from collections.abc import Callable, Iterable


def reached(start: Iterable[str], further: Callable[[str], Iterable[str]]) -> list[str]:
    """Everything that is reached from some names at any remove, themselves among it, each once; a circle does no harm.

    further: the names that one name leads to.
    """
    seen: dict[str, None] = {}
    waiting = list(start)
    while waiting:
        name = waiting.pop()
        if name not in seen:
            seen[name] = None
            waiting += further(name)
    return list(seen)
