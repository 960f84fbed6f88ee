"""What is said for one cut, the nearest word first, and the trade's figures for what nobody said."""

from dataclasses import dataclass, field
from typing import Any

from gudgeon.assess.findings import Note
from gudgeon.records.cutting import Cutting

# Figures of the trade for what nobody said (common practice, no source): mm, counts, a chance, and what is told of them.
USUAL: dict[str, tuple[Any, Note]] = {
    "depth": (0.635, Note(code="usual-depth", lengths={"depth": 0.635})),
    "leave": (0.1016, Note(code="usual-leave", lengths={"leave": 0.1016})),
    "finish_passes": (2, Note(code="usual-finish-passes", counts={"passes": 2})),
    "spring_passes": (1, Note(code="usual-spring-passes", counts={"passes": 1})),
    "risk": (0.05, Note(code="usual-risk", chances={"risk": 0.05})),
    "tool_of": ("high-speed steel", Note(code="usual-tool", names={"tool": ("high-speed steel",)})),
}


@dataclass
class Settings:
    """What holds for one cut, the nearest word first, and what is to be told about it on the way."""

    layers: list[Cutting]
    here: list[Cutting] = field(default_factory=list)  # those of the operation itself
    usual: list[Note] = field(default_factory=list)
    missing: list[Note] = field(default_factory=list)
    warnings: list[Note] = field(default_factory=list)

    def said(self, name: str) -> Any:
        """A setting as written in the nearest place, or None."""
        return next((value for layer in self.layers if (value := getattr(layer, name)) is not None), None)

    def said_here(self, name: str) -> Any:
        """A setting as the operation itself writes it, or None."""
        return next((value for layer in self.here if (value := getattr(layer, name)) is not None), None)

    def nearest(self, *names: str) -> Any:
        """The first of several settings that the nearest place writes: its own finishing feed, else its feed for all passes."""
        return next(
            (value for layer in self.layers for name in names if (value := getattr(layer, name)) is not None), None
        )

    def taken(self, name: str) -> Any:
        """A setting as written, as a number where it is a quantity, else the trade's, which is noted."""
        value = self.said(name)
        if value is not None:
            return float(value) if hasattr(value, "kind") else value
        number, note = USUAL[name]
        self.usual.append(note)
        return number
