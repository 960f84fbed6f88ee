"""Where two ledgers differ: the one piece of code that says whether a number moved."""

from dataclasses import dataclass
from typing import Any

from gudgeon.assess.findings.base import Kind
from gudgeon.ledger.values import Ledger, subject_of

WORDS = "words"  # the kind that is text for people


@dataclass(frozen=True, slots=True)
class Move:
    """A value that is not what it was. was, now: None where there was or is none; see `new` and `gone`."""

    address: tuple[str, ...]
    kind: Kind
    was: Any
    now: Any
    new: bool = False  # the address was not there
    gone: bool = False  # the address is no longer there

    @property
    def subject(self) -> tuple[str, str]:
        """What it is of: ("fit", "A-F01")."""
        return subject_of(self.address)

    @property
    def by(self) -> float | None:
        """How far a number moved, in the unit of its kind; None where it is no number on both sides."""
        if isinstance(self.was, (int, float)) and isinstance(self.now, (int, float)) and self.kind.name != "state":
            return self.now - self.was
        return None

    @property
    def is_text(self) -> bool:
        """Whether it is text for people, and no number and no standing."""
        return self.kind.name == WORDS


def differences(was: Ledger, now: Ledger) -> dict[tuple[str, ...], Move]:
    """Every value that differs between two ledgers beyond the grain of its kind, by address."""
    moves: dict[tuple[str, ...], Move] = {}
    for address, value in now.items():
        before = was.get(address)
        if before is None:
            moves[address] = Move(address, value.kind, None, value.value, new=True)
        elif not same(value.kind, before.value, value.value):
            moves[address] = Move(address, value.kind, before.value, value.value)
    for address, value in was.items():
        if address not in now:
            moves[address] = Move(address, value.kind, value.value, None, gone=True)
    return moves


def same(kind: Kind, one: Any, other: Any) -> bool:
    """Whether two values of a kind are equal within its grain."""
    if one == other:
        return True
    if isinstance(one, bool) or isinstance(other, bool):
        return False
    if isinstance(one, (int, float)) and isinstance(other, (int, float)):
        return abs(one - other) <= max(kind.grain, kind.relative * max(abs(one), abs(other)))
    return False
