"""Two revisions of a club, build by build: what differs in the records, what moved in the ledger, and what each record moved."""

import functools
from collections.abc import Callable
from dataclasses import dataclass, field

from gudgeon.assess.findings import BuildFindings
from gudgeon.ledger.causes import Proof
from gudgeon.ledger.difference import Move, differences
from gudgeon.ledger.values import ledger_of
from gudgeon.records.edits import Edit
from gudgeon.records.model import Build, Knowledge
from gudgeon.records.problems import Problem


@dataclass
class Pair:
    """One build in two revisions.

    was: None where it is new; now: None where it is gone. found_was, found: None where that side was not worked out, because
    its records have problems or because the tool failed on it: `failed` says so.
    """

    name: str
    was: Build | None
    now: Build | None
    found_was: BuildFindings | None = None
    found: BuildFindings | None = None
    failed: Problem | None = None
    edits: list[Edit] = field(default_factory=list)
    proof: Proof | None = None

    @functools.cached_property
    def moves(self) -> dict[tuple[str, ...], Move]:
        """Every value that differs; empty where not both sides were worked out."""
        if self.found_was is None or self.found is None:
            return {}
        return differences(ledger_of(self.found_was), ledger_of(self.found))


@dataclass
class Comparison:
    """Two revisions of a club, as far as they were worked out.

    files: how many files of records differ. other_files: files outside the records that differ. renamed: a build's name now
    -> its name before. main: the builds as the tip of the main branch has them, where that is not the base. not_worked_out:
    builds that stand in both revisions, that what changed could reach only through what all share, and that were left.
    author_of: who committed a line, by (file, line); None where nobody has yet.
    """

    base: str
    head: str
    knowledge_was: Knowledge
    knowledge: Knowledge
    pairs: list[Pair] = field(default_factory=list)
    files: int = 0
    other_files: list[str] = field(default_factory=list)
    renamed: dict[str, str] = field(default_factory=dict)
    main: dict[str, Build] | None = None
    not_worked_out: list[str] = field(default_factory=list)
    author_of: Callable[[str, int], tuple[str, str] | None] = lambda file, line: None
