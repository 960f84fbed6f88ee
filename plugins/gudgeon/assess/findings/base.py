"""What all findings share."""

from typing import Literal

from pydantic import BaseModel, ConfigDict, Field

State = Literal[
    "no reading", "no limit", "metal on", "in", "reads in", "reads out", "out", "stale", "frozen", "conceded"
]
Conformity = Literal["in", "reads in", "reads out", "out"]
RowStatus = Literal["current", "stale", "frozen", "superseded", "held back"]


class Finding(BaseModel):
    """Base of all findings."""

    # Every field is always written, so readers of findings.json may count on it.
    model_config = ConfigDict(extra="forbid", json_schema_serialization_defaults_required=True)


class Source(Finding):
    """Where the record behind a finding stands."""

    file: str = Field(description="File, from the project's root.")
    line: int = Field(description="Line, from 1.")


class Component(Finding):
    """One line of an uncertainty budget."""

    name: str = Field(description="What the uncertainty comes from.")
    standard: float = Field(description="Standard uncertainty, mm.")


class Formula(Finding):
    """A sum that a finding rests on."""

    what: str = Field(description="What it gives, in words.")
    source: str = Field(description='Key in the bibliography, "derived" or "common practice".')
