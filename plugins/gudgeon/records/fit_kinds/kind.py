"""What a kind of fit is made of. No field has a default: a kind that lacks a word cannot be made."""

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Literal

Side = Literal["tight", "loose"]


@dataclass(frozen=True, kw_only=True)
class Sum:
    """A sum in letters. Pages put this engine's values where its terms stand, and write no sum of their own."""

    result: str
    terms: str  # such as "{hole} − {shaft}"
    letters: Mapping[str, str]  # term -> letter

    @property
    def in_letters(self) -> str:
        """Such as "C = Dhole − Dshaft"."""
        return f"{self.result} = {self.terms.format_map(self.letters)}"

    def in_values(self, values: Mapping[str, str], result: str) -> str:
        """The sum in values alone, then what comes out."""
        return f"{self.terms.format_map(values)} = {result}"

    def with_values(self, values: Mapping[str, str], result: str) -> str:
        """The sum in letters, then in values, then what comes out."""
        return f"{self.in_letters} = {self.in_values(values, result)}"


@dataclass(frozen=True, kw_only=True)
class Axis:
    """Along what the number of a fit is measured."""

    id: str
    measured: str  # stands behind the unit: "thou on diameter"
    per_side: bool  # whether half of it on each side means anything


@dataclass(frozen=True, kw_only=True)
class Pairing:
    """One way to write a fit down: which keys of the record name its features, and the sum over them."""

    id: str  # of the arithmetic in assess/fitting/pairings.py
    outer: str | None  # key of the outer half; None where only the gap between the halves is read
    inner: str  # key of the inner half, or of the gap
    grows: tuple[str, str]  # keys of the features whose parts grow, the outer first
    needs: Mapping[str, tuple[str, ...]]  # key -> kinds of feature that it may name
    may: Mapping[str, tuple[str, ...]]  # the same for keys that may be left out
    takes_class: bool  # whether a class of fit says anything of it
    cold: Sum
    hot: Sum | None  # None where heat is not worked out
    hot_needs: tuple[str, ...]  # keys that a temperature case needs beside those that every fit needs

    @property
    def features(self) -> dict[str, tuple[str, ...]]:
        """Key -> kinds of feature that it may name."""
        return {**self.needs, **self.may}


@dataclass(frozen=True, kw_only=True)
class Stated:
    """Words of a kind whose number follows from what is stated, without a reading and its uncertainty."""

    agrees: str
    parts: str  # with {value}
    wants: str


@dataclass(frozen=True, kw_only=True)
class FitKind:
    """A kind of fit."""

    id: str
    words: str  # as it is called
    called: str  # what its number is called where it is above nought
    dangerous: Side  # the usual end that hurts; a fit may say otherwise
    runs: bool  # whether it has to keep some clearance, hot or cold; otherwise it holds
    axis: Axis
    pairings: tuple[Pairing, ...]
    rules_count_on: Literal["hole", "shaft"] | None  # whose size a rule of thumb multiplies; None where it has none
    held_half: Literal["hole", "shaft"] | None  # the half that the sums on its interference belong to
    shared: str | None  # what shares the number, in words; None where the axis says it, or nothing does
    at_nought: str  # what happens at nought, short, after "at 0"
    fails: str  # how it fails there, in words
    stated: Stated | None  # None where it is read
    torqued: bool  # whether its outer half is a bore with a cap, read with the cap at its working torque

    @property
    def _a(self) -> str:
        return f"an {self.id}" if self.id[0] in "aeiou" else f"a {self.id}"

    def pairing_of(self, given: set[str]) -> Pairing:
        """The way in which a fit with these keys is written; ValueError, in words, where there is none."""
        for pairing in self.pairings:
            if set(pairing.needs) <= given <= set(pairing.features):
                return pairing
        nearest = max(self.pairings, key=lambda pairing: len(given & set(pairing.needs)))
        for name in nearest.needs:
            if name not in given:
                raise ValueError(f'{self._a} fit needs "{name}". Add the line "{name}: part.feature".')
        surplus = sorted(given - set(nearest.features))
        raise ValueError(
            f'{self._a} fit has no "{surplus[0]}". It is written with {" and ".join(nearest.needs)}; remove the line.'
        )
