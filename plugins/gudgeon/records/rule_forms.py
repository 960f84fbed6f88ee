"""What a rule of thumb gives: per length, in steps by size, of another rule, an expression, or two lengths."""

import re
from typing import Annotated, Any, cast

from gudgeon_calc.expressions import Expression, NotAnExpression, read_expression
from gudgeon_calc.units import Measure
from pydantic import AfterValidator, BeforeValidator, Field, PlainSerializer, WithJsonSchema, model_validator

from gudgeon.records.base import Record
from gudgeon.records.fields import ID, Id, Length, PositiveLength, named
from gudgeon.records.plain_data import is_list
from gudgeon.records.refs import RuleRef


def _rate(value: Any) -> tuple[float, float]:
    """A length per the same length: no unit, so 0.001 is one thou per inch and one micrometre per millimetre."""
    if isinstance(value, tuple):
        return cast(tuple[float, float], value)  # read before
    return _pair(
        value,
        r"[0-9]{0,2}\.[0-9]{1,8}|[0-9]{1,2}",
        'expected a length per the same length, which has no unit: "0.001" is one thou per inch. '
        "Write one number, or [least, most].",
    )


def _pair(value: Any, written: str, expected: str) -> tuple[float, float]:
    """One number twice, or [least, most], each written as a pattern says. expected: what is told where it is not."""
    pair = value if is_list(value) else [value, value]
    if len(pair) != 2 or not all(isinstance(end, str) and re.fullmatch(written, end) for end in pair):
        raise ValueError(expected)
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


def _expressions(value: Any) -> tuple[Expression, Expression]:
    """One expression, or [least, most]."""
    if isinstance(value, tuple):
        return cast(tuple[Expression, Expression], value)  # read before
    pair = value if is_list(value) else [value, value]
    if len(pair) != 2 or not all(isinstance(text, str) for text in pair):
        raise ValueError('expected an expression such as "0.0015 * size + 1 thou", or [least, most].')
    try:
        low, high = (read_expression(text) for text in pair)
    except NotAnExpression as error:
        raise ValueError(f"{error}.") from None
    return low, high


Expressions = Annotated[
    tuple[Expression, Expression],
    BeforeValidator(_expressions),
    PlainSerializer(lambda pair: [expression.text for expression in pair]),
    WithJsonSchema(
        {
            "anyOf": [{"type": "string", "maxLength": 200}, {"type": "array", "minItems": 2, "maxItems": 2}],
            "title": "an expression that gives a length",
            "examples": ["0.0015 * size + 1 thou", "size * expansion_shaft * 120 K"],
        }
    ),
]


def _times(value: Any) -> tuple[float, float]:
    """How many times another rule: one number over 0, or [least, most]."""
    if isinstance(value, tuple):
        return cast(tuple[float, float], value)  # read before
    over_nought = r"(?![0.]+$)[0-9]{1,3}(\.[0-9]{1,6})?"
    return _pair(value, over_nought, 'expected how many times: "2", or [least, most]. It must be over 0.')


Times = Annotated[
    tuple[float, float],
    BeforeValidator(_times),
    WithJsonSchema(
        {
            "anyOf": [{"type": ["string", "number"]}, {"type": "array", "minItems": 2, "maxItems": 2}],
            "title": "how many times",
            "examples": ["2", "[1.5, 2]"],
        }
    ),
]
# A size of the engine, a half of the fit, or a feature of the build.
SIZES_OF_ENGINE = {"bore": "the bore", "stroke": "the stroke", "rod": "the rod between centres"}
HALVES = {"hole": "the hole", "shaft": "the shaft"}
SizeOf = Annotated[
    str,
    *named(
        rf"{'|'.join((*SIZES_OF_ENGINE, *HALVES))}|{ID}\.{ID}",
        f"one of {', '.join((*SIZES_OF_ENGINE, *HALVES))}, or a part and its feature",
        "bore",
    ),
]


class PlainForm(Record):
    """A length per length with or without a constant, an expression, or two fixed lengths."""

    per_length: Rate | None = None
    of: SizeOf | None = Field(
        default=None,
        description="The size that per_length and steps count on, where it is not the one that the kind of fit says: "
        "bore, stroke, rod, hole, shaft, or part.feature.",
    )
    expression: Expressions | None = None
    plus: Length | None = Field(default=None, description="A constant that is added.")
    least: Length | None = Field(default=None, description="Never less than this.")
    most: Length | None = Field(default=None, description="Never more than this.")

    @model_validator(mode="after")
    def _limits_in_order(self):
        if self.least is not None and self.most is not None and self.least.value > self.most.value:
            raise ValueError(f"limits reversed. Found {self.least} then {self.most}. Write the least first.")
        return self

    @property
    def _ways(self) -> tuple[str, ...]:
        """The keys of which a form has one."""
        return ("per_length", "expression")

    @property
    def way(self) -> str:
        """Which of its keys says what it gives; "lengths" where "least" and "most" do alone."""
        return next((name for name in self._ways if getattr(self, name) is not None), "lengths")

    @model_validator(mode="after")
    def _says_something(self):
        given = [name for name in self._ways if getattr(self, name) is not None]
        if len(given) > 1:
            raise ValueError(f'a rule gives "{given[0]}" or "{given[1]}", not both.')
        if not given and (self.least is None or self.most is None):
            ways = ", ".join(f'"{name}"' for name in self._ways)
            raise ValueError(f'a rule gives {ways}, or "least" and "most".')
        if self.plus is not None and self.way not in ("per_length", "of_rule"):
            raise ValueError('"plus" goes with "per_length" or "of_rule".')
        if self.of is not None and self.way not in ("per_length", "steps"):
            raise ValueError('"of" goes with "per_length" or "steps".')
        return self


class Step(PlainForm):
    """What a rule gives for sizes up to an end; it begins where the step before it ends."""

    under: PositiveLength | None = Field(
        default=None, description="For sizes under this, which itself is the next step's."
    )
    up_to: PositiveLength | None = Field(default=None, description="For sizes up to this, which itself is still in it.")

    @model_validator(mode="after")
    def _one_end(self):
        if self.under is not None and self.up_to is not None:
            raise ValueError('a step ends "under" a size or "up_to" a size, not both.')
        return self

    @property
    def end(self) -> Measure | None:
        """Where it ends; None where it goes on."""
        return self.under or self.up_to


def _in_order(steps: tuple[Step, ...]) -> tuple[Step, ...]:
    for number, (step, after) in enumerate(zip(steps, steps[1:], strict=False), 1):
        if step.end is None:
            raise ValueError(f'step {number} has no end, and another follows it. Add "under: 3 in" or "up_to: 3 in".')
        if after.end is not None and after.end.value <= step.end.value:
            raise ValueError(
                f"step {number + 1} ends at {after.end}, not above the {step.end} of step {number}. "
                "Write the smallest sizes first."
            )
        if after.of is not None or step.of is not None:
            raise ValueError('"of" stands beside "steps", not in one of them.')
    return steps


class Form(PlainForm):
    """What a rule gives: as a plain form, in steps by size, or so many times another rule."""

    steps: Annotated[tuple[Step, ...], AfterValidator(_in_order)] | None = Field(
        default=None, min_length=2, max_length=20, description="By size, the smallest sizes first."
    )
    of_rule: RuleRef | None = Field(default=None, description="The rule whose result it takes, for the same fit.")
    of_case: Id | None = Field(default=None, description="Which of that rule's cases, where it has several.")
    times: Times | None = Field(default=None, description="How many times that rule's result; once where not said.")

    @property
    def _ways(self) -> tuple[str, ...]:
        return ("per_length", "expression", "steps", "of_rule")

    @model_validator(mode="after")
    def _of_another(self):
        for name in ("of_case", "times"):
            if getattr(self, name) is not None and self.of_rule is None:
                raise ValueError(f'"{name}" goes with "of_rule".')
        return self

    @property
    def needs_a_size(self) -> bool:
        """Whether it counts on the size that the kind of fit says."""
        return self.of is None and self.way in ("per_length", "steps")
