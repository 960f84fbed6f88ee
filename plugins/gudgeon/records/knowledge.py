"""What members share in docs/knowledge/: rules of thumb, cautions, materials, sources, words."""

import re
from typing import Annotated, Any, Literal

from pydantic import BeforeValidator, Field, WithJsonSchema, model_validator

from gudgeon.records.build_file import Basis, Material
from gudgeon.records.fits import DANGER
from gudgeon.records.parts import FAMILIES
from gudgeon.records.record import Id, Length, Line, Record, Speed, Words


def _rate(value: Any) -> tuple[float, float]:
    """A length per the same length: no unit, so 0.001 is one thou per inch and one micrometre per millimetre."""
    if isinstance(value, tuple):
        return value
    pair = value if isinstance(value, list) else [value, value]
    if len(pair) != 2 or not all(
        isinstance(each, str) and re.fullmatch(r"[0-9]{0,2}\.[0-9]{1,8}|[0-9]{1,2}", each) for each in pair
    ):
        raise ValueError(
            'expected a length per the same length, which has no unit: "0.001" is one thou per inch. '
            "Write one number, or [least, most]."
        )
    low, high = float(pair[0]), float(pair[1])
    if low > high:
        raise ValueError(f"limits reversed. Found {pair[0]} then {pair[1]}. Write the least first.")
    return low, high


Rate = Annotated[
    tuple[float, float],
    BeforeValidator(_rate),
    WithJsonSchema(
        {
            "anyOf": [{"type": ["string", "number"]}, {"type": "array", "minItems": 2, "maxItems": 2}],
            "title": "length per the same length",
            "examples": ["0.001", "[0.001, 0.002]"],
        }
    ),
]


class Form(Record):
    """What a rule gives: a length per length, with or without a constant, or two fixed lengths."""

    per_length: Rate | None = None
    plus: Length | None = None
    least: Length | None = None
    most: Length | None = None

    @model_validator(mode="after")
    def _says_something(self):
        if self.per_length is None and (self.least is None or self.most is None):
            raise ValueError('a rule gives "per_length", or "least" and "most".')
        if self.per_length is None and self.plus is not None:
            raise ValueError('"plus" goes with "per_length".')
        return self


class Rule(Record):
    """A rule of thumb."""

    rule: Id
    says: Line = Field(description="The saying in members' words.")
    kind: Literal[tuple(DANGER)] = Field(description="The kind of fit it is for.")
    applies_to: Line = Field(description="In words: parts and materials.")
    gives: Form | None = None
    cases: dict[Id, Form] = Field(default={}, description="Where one saying gives several ranges.")
    valid: Line = Field(description="What it is good for, in words.")
    sizes: tuple[Length, Length] | None = Field(default=None, description="Sizes it is good for.")
    speed_most: Speed | None = None
    said_by: Line = Field(description="Person, book and page, card.")
    source: Id | None = Field(default=None, description="Key in the bibliography, where it is published.")
    where_in_source: Line | None = None
    basis: Basis
    grade: Literal["trade rule", "club rule", "member rule", "hearsay", "withdrawn"]
    outcomes: dict[Literal["ran_free", "tight", "nipped", "stuck", "knocked"], int] = {}
    note: Words | None = None

    @model_validator(mode="after")
    def _one_form(self):
        if bool(self.cases) == (self.gives is not None):
            raise ValueError('a rule has either "gives" or "cases".')
        return self


class Caution(Record):
    """A hazard: shown where the danger is."""

    caution: Id
    hazard: Line
    what: Words
    why: Words
    do: Words
    families: tuple[Literal[FAMILIES], ...] = ()
    fit_kinds: tuple[Literal[tuple(DANGER)], ...] = ()
    operation_words: tuple[Line, ...] = Field(
        default=(), description="Shown for operations that say one of these words."
    )
    source: Id | None = None
    where_in_source: Line | None = None
    basis: Basis


class ClubMaterial(Material):
    """A material of the club's shelf."""

    material: Id

    @model_validator(mode="after")
    def _has_its_figure(self):
        if self.cte is None or self.source is None:
            raise ValueError(
                'a material of the club has a coefficient and says where it is printed. Write "cte: 11.0e-6 /K" and "source: key".'
            )
        return self


class Word(Record):
    """A word of the trade, US and UK."""

    word: Line
    us: Line | None = None
    uk: Line | None = None
    means: Words


class Glossary(Record):
    """glossary/words.yaml"""

    words: tuple[Word, ...]
