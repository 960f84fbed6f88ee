"""Which record moved what, proved: each record that differs is put back alone, and the build is worked out again."""

from collections.abc import Callable, Iterable
from dataclasses import dataclass, field

from gudgeon.ledger.difference import Move, differences
from gudgeon.ledger.values import Ledger
from gudgeon.records.edits import Edit

Address = tuple[str, ...]


@dataclass(frozen=True)
class Refused:
    """A build that does not stand with some records put back. texts: what its problems say; empty where the tool failed."""

    texts: tuple[str, ...] = ()


# Works the build out as it is now, with some records put back.
Trial = Callable[[tuple[Edit, ...]], "Ledger | Refused"]


@dataclass(frozen=True)
class Group:
    """Records that were put back together: mostly one; several where one of them cannot stand without the others.

    moves: for every value that they move, what it would be without them (`was`) and what it is (`now`).
    """

    edits: tuple[Edit, ...]
    moves: dict[Address, Move] = field(default_factory=dict)


@dataclass
class Proof:
    """What each record moved.

    joint: values that no group moves by being put back alone, with the groups that move them: each of several by itself
    where another does the same, or several together. trials: how often the build was worked out. together: records that
    were too many to be tried one by one. unproved: values for which the trials did not suffice.
    """

    groups: list[Group] = field(default_factory=list)
    joint: dict[Address, list[Group]] = field(default_factory=dict)
    trials: int = 0
    together: tuple[Edit, ...] = ()
    unproved: set[Address] = field(default_factory=set)

    def causes_of(self, address: Address) -> list[Group]:
        """The groups that move a value; none where that could not be found out."""
        return [group for group in self.groups if address in group.moves] or self.joint.get(address, [])


def prove(
    edits: Iterable[Edit], moved: dict[Address, Move], was: Ledger, now: Ledger, trial: Trial, most: int
) -> Proof:
    """Which of the edits moved which value between two ledgers.

    moved: where the two differ. trial(edits): the ledger of the build as it is now with these records put back. most: how many trials may be made; with
    one record, or where nothing moved, none is needed.
    """
    return _Trials(tuple(edits), moved, was, now, trial, most).proof()


class _Trials:
    """The trials of one build, counted."""

    def __init__(
        self, edits: tuple[Edit, ...], moved: dict[Address, Move], was: Ledger, now: Ledger, trial: Trial, most: int
    ):
        self.edits, self.moved, self.was, self.now, self.trial, self.most = edits, moved, was, now, trial, most
        self.made = 0

    def proof(self) -> Proof:
        if not self.moved or not self.edits:
            return Proof([Group((edit,)) for edit in self.edits])
        if len(self.edits) == 1:
            return Proof([Group(self.edits, self.moved)])
        # A third of the trials each: put back alone, in alone, and the smallest set that moves the rest together.
        room = max(1, self.most // 3)
        alone = self.edits if len(self.edits) <= room else self.edits[: room - 1]
        together = self.edits[len(alone) :]
        proof = Proof(together=together)
        for start in [*((edit,) for edit in alone), *([together] if together else [])]:
            proof.groups.append(self.standing_group(start))
        rest = {address for address in self.moved if not proof.causes_of(address)}
        self.moves_alone(proof, rest)
        self.move_together(proof, rest)
        proof.unproved, proof.trials = rest, self.made
        return proof

    def without(self, edits: tuple[Edit, ...]) -> Ledger | Refused:
        """The ledger with some records put back; with all of them it is the one that was."""
        if len(edits) == len(self.edits):
            return self.was
        self.made += 1
        return self.trial(edits)

    def standing_group(self, start: tuple[Edit, ...]) -> Group:
        """The records put back, with those that they cannot do without: those of which the problems speak, or else all."""
        group = start
        while isinstance(ledger := self.without(group), Refused):
            others = [edit for edit in self.edits if not _in(edit, group)]
            spoken_of = [edit for edit in others if _spoken_of(edit, ledger)]
            group = (*group, *(spoken_of or others))
        return Group(group, differences(ledger, self.now))

    def moves_alone(self, proof: Proof, rest: set[Address]) -> None:
        """Records of which each moves a value by itself, so that putting one of them back changes nothing."""
        for edit in self.edits if rest else ():
            if self.made >= self.most or len(self.edits) == 1:
                return
            ledger = self.without(tuple(other for other in self.edits if other is not edit))
            if isinstance(ledger, Refused):
                continue
            for address, move in differences(self.was, ledger).items():
                if address in rest:
                    proof.joint.setdefault(address, []).append(Group((edit,), {address: move}))
        rest -= set(proof.joint)

    def move_together(self, proof: Proof, rest: set[Address]) -> None:
        """The smallest set of records found that moves a value when all of it is put back."""
        if not rest:
            return
        group, moves = self.edits, self.moved
        for edit in self.edits:
            if self.made >= self.most:
                return
            smaller = tuple(other for other in group if other is not edit)
            ledger = self.without(smaller) if smaller else Refused()
            if not isinstance(ledger, Refused) and rest <= set(left := differences(ledger, self.now)):
                group, moves = smaller, left
        for address in rest:
            proof.joint[address] = [Group(group, {address: moves[address]})]
        rest.clear()


def _in(edit: Edit, group: tuple[Edit, ...]) -> bool:
    return any(edit is other for other in group)


def _spoken_of(edit: Edit, refused: Refused) -> bool:
    name = edit.id.rpartition(".")[2]
    return any(f'"{name}"' in text or f" {name}" in text or edit.id in text for text in refused.texts)
