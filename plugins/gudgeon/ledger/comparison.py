"""Two revisions of a club, build by build: what differs in the records, what moved in the ledger, and what each record moved."""

import functools
import os
import sys
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, field
from typing import Any, TypeVar

from gudgeon.assess.findings import BuildFindings
from gudgeon.assess.findings.told import NumberTold
from gudgeon.ledger.causes import Proof
from gudgeon.ledger.difference import Move, differences
from gudgeon.ledger.values import Ledger, ledger_of, ledgers_where_unequal
from gudgeon.records.edits import Edit
from gudgeon.records.model import Build, Knowledge
from gudgeon.records.problems import Problem

Result = TypeVar("Result")
Sides = tuple[
    Build | None, Build | None, Build | None
]  # a build where two branches parted, in the work, on the main branch
MANY = 8  # builds: from here on the work is shared among processes, where starting them costs less than they save


@dataclass
class Pair:
    """One build in two revisions.

    was: None where it is new; now: None where it is gone. found_was, found: None where that side was not worked out, because
    its records have problems or because the tool failed on it: `failed` says so. told: the tied numbers of the instalments that
    are new or edited.
    """

    name: str
    was: Build | None
    now: Build | None
    found_was: BuildFindings | None = None
    found: BuildFindings | None = None
    failed: Problem | None = None
    pictures: list[Problem] = field(default_factory=list)  # what is to be put right with the pictures of `now`
    edits: list[Edit] = field(default_factory=list)
    proof: Proof | None = None
    told: tuple[NumberTold, ...] = ()

    @functools.cached_property
    def ledgers(self) -> tuple[Ledger, Ledger]:
        """The whole ledgers of both sides, before and after; empty where not both were worked out."""
        if self.found_was is None or self.found is None:
            return {}, {}
        return ledger_of(self.found_was), ledger_of(self.found)

    @functools.cached_property
    def moves(self) -> dict[tuple[str, ...], Move]:
        """Every value that differs; empty where not both sides were worked out."""
        if self.found_was is None or self.found is None:
            return {}
        return differences(*ledgers_where_unequal(self.found_was, self.found))


@dataclass
class Comparison:
    """Two revisions of a club, as far as they were worked out.

    files: how many files of records differ. other_files: files outside the records that differ. renamed: a build's name now
    -> its name before. sides: the builds that the work and the main branch both changed since they parted. conflicts: (path,
    what happened) of files that cannot be merged; in_conflict: the builds that are left for that. notes: what could not be tried. not_worked_out:
    builds that stand in both revisions, that what changed could reach only through what all share, and that were left.
    pairs: the builds, each worked out when it is called for, and not kept. author_of: who committed a line, by (file, line); None where nobody has yet.
    """

    base: str
    head: str
    knowledge_was: Knowledge
    knowledge: Knowledge
    pairs: Sequence[Callable[[], Pair]] = ()
    files: int = 0
    other_files: list[str] = field(default_factory=list)
    renamed: dict[str, str] = field(default_factory=dict)
    sides: dict[str, Sides] = field(default_factory=dict)
    conflicts: list[tuple[str, str]] = field(default_factory=list)
    in_conflict: list[str] = field(default_factory=list)
    notes: list[str] = field(default_factory=list)
    not_worked_out: list[str] = field(default_factory=list)
    author_of: Callable[[str, int], tuple[str, str] | None] = lambda file, line: None

    def over_pairs(self, do: Callable[[Pair], Result], tell: Callable[[int, int], None]) -> Iterator[Result]:
        """do(pair) for every build, in order; many builds are shared among as many processes as there are processors.

        What comes out is the same either way. do: gives something that can be sent between processes. tell(done, of).
        """
        processes = min(os.cpu_count() or 1, len(self.pairs) // (MANY // 2))
        if len(self.pairs) < MANY or processes < 2 or not sys.platform.startswith("linux"):
            for index, pair in enumerate(self.pairs):
                yield do(pair())
                tell(index + 1, len(self.pairs))
            return
        import multiprocessing  # seldom needed, and slow to load

        # Forked children see what is here already, so that nothing has to be sent to them.
        _SHARED.append((self.pairs, do))
        try:
            with multiprocessing.get_context("fork").Pool(processes) as pool:
                for index, result in enumerate(pool.imap(_in_child, range(len(self.pairs)))):
                    yield result
                    tell(index + 1, len(self.pairs))
        finally:
            _SHARED.pop()


_SHARED: list[tuple[Sequence[Callable[[], Pair]], Callable[[Pair], Any]]] = []  # what a forked child works on


def _in_child(index: int) -> Any:
    pairs, do = _SHARED[-1]
    return do(pairs[index]())
