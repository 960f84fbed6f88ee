"""What is said for one cut, the nearest word first, and the club's usual figures for what nobody said."""

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from typing import Any

from gudgeon.assess.findings import Note
from gudgeon.records.cutting import Cutting
from gudgeon.records.judgement import Count, Threshold

# Setting -> what is told where the club's usual figure (`usual_` and its name, in judgement.yaml) is taken for it.
USUAL: dict[str, Callable[[Threshold, dict[str, str]], Note]] = {
    "depth": lambda usual, ground: Note(code="usual-depth", lengths={"depth": float(usual)}, words=ground),
    "leave": lambda usual, ground: Note(code="usual-leave", lengths={"leave": float(usual)}, words=ground),
    "finish_passes": lambda usual, ground: Note(
        code="usual-finish-passes", counts={"passes": int(float(usual))}, words=ground
    ),
    "spring_passes": lambda usual, ground: Note(
        code="usual-spring-passes", counts={"passes": int(float(usual))}, words=ground
    ),
    "risk": lambda usual, ground: Note(code="usual-risk", chances={"risk": float(usual)}, words=ground),
}
USUAL_TOOL = "high-speed steel"  # the metal of a tool of which nobody says it (common practice, no source)


@dataclass
class Settings:
    """What holds for one cut, the nearest word first, and what is to be told about it on the way.

    layers: the nearest first. judgement: the club's thresholds, with its figures for what nobody said. here: the layers of the
    operation itself.
    """

    layers: list[Cutting]
    judgement: Mapping[str, Threshold]
    here: list[Cutting] = field(default_factory=list)
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
        """A setting as written, as a number where it is a quantity, else the usual one of the club, which is noted."""
        value = self.said(name)
        if value is not None:
            return float(value) if hasattr(value, "kind") else value
        usual = self.judgement[f"usual_{name}"]
        self.usual.append(USUAL[name](usual, {"ground": usual.ground}))
        return int(float(usual)) if isinstance(usual, Count) else float(usual)

    def tool_of(self) -> str:
        """What the tool is made of, as written, else the usual metal, which is noted."""
        said = self.said("tool_of")
        if said is None:
            self.usual.append(Note(code="usual-tool", names={"tool": (USUAL_TOOL,)}))
        return said or USUAL_TOOL
