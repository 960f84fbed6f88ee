"""Where a formula holds, in numbers: each range is declared once, beside its formula, and tested wherever it is worked out."""

import inspect
from collections.abc import Callable, Mapping
from dataclasses import dataclass

from gudgeon_calc.units import Formula, Number

RESULT = "result"  # the name by which a range takes what its formula gives
SAME = 1e-4  # share of an end within which a number counts as the end: ends are round figures


@dataclass(frozen=True)
class ValidRange:
    """A range outside of which a formula does not hold.

    what: the number that is tested, in words. of: the formula's argument that it is, in the unit that the formula works in, or "result" for
    what the formula gives; or a function of several by their names. over: the argument that it is divided by. times: a factor of it. least, most: its ends, None where there is none. why: what goes wrong
    beyond them. ground: "derived here", "common practice, no source", "from memory" or a work and place. unit: of the number, "" for a plain one.
    open: its first end itself lies outside. judged: the threshold of judgement that takes the place of its least, where a club has its own.
    """

    what: str
    of: str | Callable[..., Number]
    why: str
    ground: str
    least: float | None = None
    most: float | None = None
    unit: str = ""
    open: bool = False
    over: str | None = None
    times: float = 1.0
    judged: str | None = None

    @property
    def takes(self) -> tuple[str, ...]:
        """The names of what it is worked out from."""
        if not isinstance(self.of, str):
            return tuple(inspect.signature(self.of).parameters)
        return (self.of,) if self.over is None else (self.of, self.over)

    def number(self, given: Mapping[str, Number]) -> Number:
        """The number that is tested, from what it takes by name."""
        if not isinstance(self.of, str):
            return self.of(**{name: given[name] for name in self.takes})
        return given[self.of] * self.times / (1.0 if self.over is None else given[self.over])

    @property
    def said(self) -> str:
        """The range in words: at most 0.1, over 1, 50 to 300 mm."""
        unit = f" {self.unit}" if self.unit else ""
        if self.least is not None and self.most is not None:
            return f"{'over ' if self.open else ''}{self.least:g} to {self.most:g}{unit}"
        if self.least is not None:
            return f"{'over' if self.open else 'at least'} {self.least:g}{unit}"
        return f"{'under' if self.open else 'at most'} {self.most:g}{unit}"

    def holds(self, number: float) -> bool:
        """Whether a number lies within."""
        first, last = -SAME if self.open else SAME, -SAME if self.open and self.least is None else SAME
        above = self.least is None or number >= self.least - first * abs(self.least)
        return above and (self.most is None or number <= self.most + last * abs(self.most))


def holds_for(*ranges: ValidRange) -> Callable[[Formula], Formula]:
    """Declare where a formula holds in numbers; its documentation has in words what no number says."""

    def declare(formula: Formula) -> Formula:
        formula.ranges = ranges
        return formula

    return declare
