"""Findings of sums: calculations with this engine's numbers, and the cautions that they bring up."""

from typing import Annotated, Literal

from pydantic import Field

from gudgeon.assess.findings.base import (
    STATE,
    Angle,
    Chance,
    Choice,
    Count,
    Finding,
    Flag,
    Length,
    Name,
    Names,
    Note,
    Number,
    Ratio,
    Share,
    Table,
    Texts,
    Words,
)


class Term(Finding):
    """One number that goes into a sum."""

    key = ("argument",)

    argument: Name = Field(description="Its place in the sum.")
    symbol: Words = Field(description="Its letter.")
    name: Words = Field(description="What it is.")
    value: Number = Field(description="In the base unit of its kind.")
    kind: Choice = Field(description="Kind of quantity.")
    comes_from: Words = Field(description="A reading, a spec, a figure, another sum, or common practice.")
    low: Number | None = Field(default=None, description="The least that it may be; null where nothing says.")
    high: Number | None = Field(default=None, description="The most that it may be; null where nothing says.")


class Calculation(Finding):
    """A sum worked out for a part or the whole engine, or what it still needs."""

    key = ("id", "part")

    id: Name
    family: Name = Field(description='Part family, or "engine".')
    part: Name | None = Field(description="The part that it is worked out for.")
    gives: Words = Field(description="What it gives, in words.")
    kind: Choice = Field(description="Kind of quantity of the result.")
    value: Number | None = Field(description="In the base unit of its kind; null while something is missing.")
    low: Number | None = Field(
        description="The least, over the ranges of its figures and the U (k = 2) of its readings jointly; null: nothing says."
    )
    high: Number | None = Field(description="The same, most.")
    spread_by: Names = Field(
        default=(), description='What the range arises from: "readings" and their errors, "ranges" of figures.'
    )
    not_read: Names = Field(default=(), description="What goes into it by its planned size, or was only half read.")
    formula: Words = Field(description="The sum, with {argument} where a number goes.")
    symbols: Table[str, Words] = Field(description="Argument -> its letter.")
    terms: tuple[Term, ...] = Field(description="The numbers that are there.")
    missing: tuple[Note, ...] = Field(description="What it still needs, and where to write it.")
    outside: tuple[Note, ...] = Field(
        default=(), description="Where its numbers lie outside of what it holds for, may lie, or were not tested."
    )
    source: Name = Field(description='Key in the bibliography, "derived", "common practice" or "from memory".')
    valid: Words = Field(description="Where it holds, in words; what of it is a range is tested.")
    unwatched: Words | None = Field(
        default=None,
        description="Why no caution watches it, where it has a limit; null where one does or there is none.",
    )


DangerState = Annotated[Literal["past", "may be past", "not past", "not worked out"], STATE]


class DangerFinding(Finding):
    """A computed figure that a caution watches."""

    key = ("caution", "calculation", "part", "source", "where_in_source")

    caution: Name
    calculation: Name
    part: Name | None
    gives: Words
    kind: Choice
    value: Number | None = Field(description="In the base unit of its kind; null while something is missing.")
    low: Number | None = Field(default=None, description="The least that it may be; null where nothing says.")
    high: Number | None = Field(default=None, description="The most that it may be; null where nothing says.")
    limit: Number = Field(description="In the base unit of its kind.")
    limit_figures: Count = Field(description="How many figures the limit is written with.")
    over: Flag = Field(description="Whether the danger lies above the limit; otherwise below.")
    state: DangerState = Field(
        description=(
            "past: by its value; may be past: its range reaches over the limit, or its sum does not hold for its numbers; "
            "not past; not worked out."
        )
    )
    chance: Chance | None = Field(
        default=None,
        description="Chance that it is past the limit, 0 to 1; null where nothing says how uncertain it, or a size that is not read, is.",
    )
    margin: Ratio | None = Field(
        description="How far off the danger is: limit over value, or value over limit; under 1 is past it."
    )
    hit: Flag = Field(description="Whether the limit is passed by its value.")
    not_read: Names = Field(default=(), description="What goes into it by its planned size, or was only half read.")
    outside: Flag = Field(
        default=False,
        description="Whether its sum is, or may be, outside of what it holds for; never said to be not past then.",
    )
    missing: tuple[Note, ...] = Field(default=(), description="What it still needs, and where to write it.")
    source: Name | None = Field(description="Key in the bibliography.")
    where_in_source: Words | None
    basis: Choice


class ApplyingCautions(Finding):
    """Which cautions of the club apply where, by id; of a part, those with a figure past its limit first."""

    parts: Table[str, Names] = Field(description="Part -> its cautions.")
    standing: Table[str, Names] = Field(
        description="Part -> those of its cautions that stand whatever is done to it: they name no work, or are past their limit."
    )
    fits: Table[str, Names] = Field(description="Fit -> its cautions.")
    operations: Table[str, Names] = Field(description="Operation -> its cautions.")
    past_limit: Table[str, Names] = Field(
        description="Part -> those of its cautions with a figure that is, or may be, past their limit."
    )
    texts: Table[str, Texts] = Field(
        description="Caution that applies anywhere -> its hazard, what, why and what to do."
    )


class TimingMark(Finding):
    """Where a printed valve setting lies on this rim."""

    key = ("event", "source", "where_in_source")

    event: Choice
    centre: Choice = Field(description="inner or outer dead centre.")
    side: Choice = Field(description="before or after it.")
    least: Angle = Field(description="Crank angle, degrees.")
    most: Angle = Field(description="Crank angle, degrees.")
    mark_least: Length = Field(description="Along the rim, mm.")
    mark_most: Length = Field(description="Along the rim, mm.")
    in_range: Flag | None = Field(description="Whether the engine's speed lies in what it is printed for.")
    source: Name
    where_in_source: Words
    basis: Choice


class TimingSetting(Finding):
    """What the build's own records say of when a valve opens or shuts, or of when the spark comes."""

    key = ("feature",)

    feature: Name = Field(description="part.feature.")
    event: Choice
    centre: Choice | None = Field(
        description="inner or outer dead centre; null where the record does not say, or says otherwise than its sum."
    )
    side: Choice | None = Field(description="before or after it; null alike.")
    angle: Angle = Field(description="Crank angle, degrees.")
    mark: Length | None = Field(description="Along the rim, mm; null where no rim is known.")


class PatternSize(Finding):
    """The size of a pattern by one source's contraction."""

    key = ("of", "source", "where_in_source")

    of: Name = Field(description="part.feature.")
    size: Length = Field(description="Of the casting, mm.")
    pattern: Length = Field(description="Of the pattern, mm.")
    contraction: Share = Field(description="Shrinkage over length.")
    outside: tuple[Note, ...] = Field(default=(), description="What it does not hold for.")
    source: Name
    where_in_source: Words
    basis: Choice
