"""Walks along references: operations that need others, features that depend on others."""

from collections.abc import Callable, Iterable, Iterator, Sequence
from dataclasses import dataclass

import numpy as np


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


@dataclass(frozen=True)
class Among:
    """Some of a fixed list of names, held as one bit each: of thousands of operations each has thousands before it."""

    names: Sequence[str]
    places: dict[str, int]  # name -> its place in the list
    bits: int = 0

    def __contains__(self, name: str) -> bool:
        place = self.places.get(name)
        return place is not None and bool(self.bits >> place & 1)

    def __iter__(self) -> Iterator[str]:
        """Those of them, in the order of the list."""
        return (self.names[place] for place in self.chosen())

    def chosen(self) -> list[int]:
        """The places of those of them, rising."""
        raw = self.bits.to_bytes(len(self.names) // 8 + 1, "little")
        return np.flatnonzero(np.unpackbits(np.frombuffer(raw, dtype=np.uint8), bitorder="little")).tolist()
