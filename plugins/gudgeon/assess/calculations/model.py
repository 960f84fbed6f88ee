"""What a calculation is, and where its inputs come from."""

from collections.abc import Callable
from dataclasses import dataclass, field
from typing import Literal, get_args

from gudgeon_calc.units import Formula
from gudgeon_calc.validity import ValidRange

from gudgeon.records.parts import Part

ENGINE = {  # leading figure -> kind and what it is
    "bore": ("size", "bore"),
    "stroke": ("size", "stroke"),
    "rod_centres": ("size", "rod between centres"),
    "speed": ("speed", "governed speed"),
    "compression_ratio": ("number", "compression ratio"),
    "flywheels": ("number", "how many flywheels"),
}
METAL = {  # property -> kind and what it is
    "density": ("density", "density"),
    "stiffness": ("pressure", "Young's modulus"),
    "poisson": ("number", "Poisson's ratio"),
    "cte": ("expansion", "mean expansion"),
}
Governs = Literal["least", "greatest", "nominal"]


@dataclass(frozen=True)
class Input:
    """One number that a sum takes. where: feature, engine, figure, metal, part, sum, fit or fixed."""

    where: str
    symbol: str
    name: str
    family: str | None = None
    usual: tuple[float, str] | str | None = (
        None  # where the build has none: a figure of the trade and its ground, or a sum
    )
    kind: str | None = None
    governs: Governs | None = None  # of a feature: which of its sizes goes in


def feature(symbol: str, name: str, governs: Governs, family: str | None = None) -> Input:
    """A feature of the part, or of the first part of another family that has it: its reading, else its spec.

    The family "host" is the part that this one is pressed into. governs: which of its sizes goes in, the one on the dangerous
    side of the result; "nominal" is the size of the drawing, for tables that go by it. There is no usual one.
    """
    if governs not in get_args(Governs):
        raise ValueError(f"{name} says which size governs: {', '.join(get_args(Governs))}; not {governs}")
    return Input("feature", symbol, name, family, governs=governs)


def engine(symbol: str, name: str) -> Input:
    """A leading figure of build.yaml."""
    return Input("engine", symbol, name)


def figure(symbol: str, name: str, usual: tuple[float, str] | str | None = None) -> Input:
    """A figure of figures.yaml; where the build has none, the usual one of the trade or the result of another sum."""
    return Input("figure", symbol, name, usual=usual)


def metal(symbol: str, name: str, family: str | None = None) -> Input:
    """A property of the part's material, or of that of the first part of another family."""
    return Input("metal", symbol, name, family)


def of_part(symbol: str, name: str) -> Input:
    """A plain number of the part's own file, such as its spokes."""
    return Input("part", symbol, name)


def outcome(symbol: str, name: str) -> Input:
    """The result of another calculation, for the same part or the engine."""
    return Input("sum", symbol, name)


def interference(symbol: str, kind: str) -> Input:
    """The interference of the fit of a kind that the part is half of."""
    return Input("fit", symbol, kind)


def fixed(symbol: str, value: float, why: str, kind: str = "number") -> Input:
    """A number of the trade that no build changes, and its ground."""
    return Input("fixed", symbol, why, usual=(value, why), kind=kind)


@dataclass(frozen=True)
class Calculation:
    """A calculation: what it gives, its formula in calc, where its inputs come from, and how it is written down.

    id: its name in findings and in cautions. family: the part family it belongs to, or "engine". shown: the sum with
    {argument} for every input. kind: of the result, one of `QUANTITY_KINDS`. pick: which result of a formula that gives several.
    only: which parts of the family it is meant for. drawn: where it goes by a standard of one unit, that of the build's drawings.
    ranges: where it holds, beside what its formula declares; tested_by: what they take and the formula does not, each in the unit of its
    kind. heats: the input that is a coefficient of expansion, of the part that the result, a temperature difference, is the heating of.
    """

    id: str
    family: str
    gives: str
    kind: str
    formula: Formula
    takes: dict[str, Input]
    shown: str
    pick: int | None = None
    only: Callable[[Part], bool] | None = None
    drawn: str | None = None
    ranges: tuple[ValidRange, ...] = ()
    tested_by: dict[str, Input] = field(default_factory=dict)
    heats: str | None = None
