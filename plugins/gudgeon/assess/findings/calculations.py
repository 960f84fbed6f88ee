"""Findings of sums: calculations with this engine's numbers, and the cautions that they bring up."""

from pydantic import Field

from gudgeon.assess.findings.base import Finding


class Term(Finding):
    """One number that goes into a sum."""

    argument: str = Field(description="Its place in the sum.")
    symbol: str = Field(description="Its letter.")
    name: str = Field(description="What it is.")
    value: float = Field(description="In the base unit of its kind.")
    kind: str = Field(description="Kind of quantity.")
    comes_from: str = Field(description="A reading, a spec, a figure, another sum, or common practice.")


class Calculation(Finding):
    """A sum worked out for a part or the whole engine, or what it still needs."""

    id: str
    family: str = Field(description='Part family, or "engine".')
    part: str | None = Field(description="The part that it is worked out for.")
    gives: str = Field(description="What it gives, in words.")
    kind: str = Field(description="Kind of quantity of the result.")
    value: float | None = Field(description="In the base unit of its kind; null while something is missing.")
    low: float | None = Field(description="Over the spread of the materials' stiffness, least; null without a spread.")
    high: float | None = Field(description="The same, most.")
    formula: str = Field(description="The sum, with {argument} where a number goes.")
    symbols: dict[str, str] = Field(description="Argument -> its letter.")
    terms: list[Term] = Field(description="The numbers that are there.")
    missing: list[str] = Field(description="What it still needs, and where to write it.")
    source: str = Field(description='Key in the bibliography, "derived", "common practice" or "from memory".')
    valid: str = Field(description="Where it holds, in words.")


class DangerFinding(Finding):
    """A computed figure that a caution watches."""

    caution: str
    calculation: str
    part: str | None
    gives: str
    kind: str
    value: float = Field(description="In the base unit of its kind.")
    limit: float = Field(description="In the base unit of its kind.")
    over: bool = Field(description="Whether the danger lies above the limit; otherwise below.")
    margin: float = Field(
        description="How far off the danger is: limit over value, or value over limit; under 1 is past it."
    )
    hit: bool = Field(description="Whether the limit is passed.")
    source: str | None = Field(description="Key in the bibliography.")
    where_in_source: str | None
    basis: str


class TimingMark(Finding):
    """Where a printed valve setting lies on this rim."""

    event: str
    centre: str = Field(description="inner or outer dead centre.")
    side: str = Field(description="before or after it.")
    least: float = Field(description="Crank angle, degrees.")
    most: float = Field(description="Crank angle, degrees.")
    mark_least: float = Field(description="Along the rim, mm.")
    mark_most: float = Field(description="Along the rim, mm.")
    in_range: bool | None = Field(description="Whether the engine's speed lies in what it is printed for.")
    source: str
    where_in_source: str
    basis: str


class PatternSize(Finding):
    """The size of a pattern by one source's contraction."""

    of: str = Field(description="part.feature.")
    size: float = Field(description="Of the casting, mm.")
    pattern: float = Field(description="Of the pattern, mm.")
    contraction: float = Field(description="Shrinkage over length.")
    source: str
    where_in_source: str
    basis: str
