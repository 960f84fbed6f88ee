"""Findings of the club as a whole."""

from pydantic import Field

from gudgeon.assess.findings.base import Finding


class CopyMistake(Finding):
    """A rule of thumb that was probably copied wrongly."""

    rule: str
    like: str = Field(description="The rule that it is a slip of.")
    cause: str = Field(description="What differs, in words.")


class Ground(Finding):
    """A value or formula that is not published as cited, until somebody checks it."""

    what: str
    kind: str = Field(description="rule of thumb, limit of a caution, material, table or formula.")
    basis: str
    source: str | None = Field(description="Key in the bibliography.")
    where_in_source: str | None


class SumOffered(Finding):
    """A sum that a build gets as soon as it has the numbers."""

    id: str
    family: str = Field(description='Part family, or "engine".')
    gives: str
    formula: str = Field(description="With its letters.")
    takes: list[str] = Field(description="What it takes, in words.")
    source: str = Field(description='Key in the bibliography, "derived", "common practice" or "from memory".')
    valid: str = Field(description="Where it holds.")


class ClubFindings(Finding):
    """What is computed for the club as a whole."""

    copy_mistakes: list[CopyMistake]
    sums: list[SumOffered] = Field(description="All sums that are held.")
    grounds: list[Ground] = Field(description="What is not yet verified.")
