"""Findings of the club as a whole."""

from pydantic import Field

from gudgeon.assess.findings.base import Choice, Finding, Name, Note, Table, Texts, Words
from gudgeon.assess.findings.outcomes import RuleEvidence


class CopyMistake(Finding):
    """A rule of thumb that was probably copied wrongly."""

    key = ("rule", "like")

    rule: Name
    like: Name = Field(description="The rule that it is a slip of.")
    cause: tuple[Note, ...] = Field(description="What differs.")


class Ground(Finding):
    """A value or formula that is not published as cited, until somebody checks it."""

    key = ("kind", "what")

    what: Words
    kind: Choice = Field(
        description="rule of thumb, limit of a caution, threshold of judgement, material, table, table row or formula."
    )
    basis: Choice
    source: Name | None = Field(description="Key in the bibliography.")
    where_in_source: Words | None
    of: Name | None = Field(
        default=None,
        description="What of the shared knowledge it stands in, such as rule P-R1; none where the tool has it.",
    )


class SumOffered(Finding):
    """A sum that a build gets as soon as it has the numbers."""

    key = ("id", "family")

    id: Name
    family: Name = Field(description='Part family, or "engine".')
    gives: Words
    formula: Words = Field(description="With its letters.")
    takes: Texts = Field(description="What it takes, in words.")
    source: Name = Field(description='Key in the bibliography, "derived", "common practice" or "from memory".')
    valid: Words = Field(description="Where it holds.")


class ClubFindings(Finding):
    """What is computed for the club as a whole."""

    copy_mistakes: tuple[CopyMistake, ...]
    sums: tuple[SumOffered, ...] = Field(description="All sums that are held.")
    grounds: tuple[Ground, ...] = Field(description="What is not yet verified.")
    evidence: Table[str, RuleEvidence] = Field(description="Rule -> what engines tell of it.")
