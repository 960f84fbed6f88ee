"""Which record moved what, proved: each record that differs is put back alone, and the build is worked out again."""

from collections.abc import Callable, Iterable
from dataclasses import dataclass, field

from gudgeon.ledger.difference import Move, differences
from gudgeon.ledger.values import Ledger
from gudgeon.records.base import Record
from gudgeon.records.edits import LISTS, WITHDRAWN, Edit

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
    edits: Iterable[Edit],
    moved: dict[Address, Move],
    was: Ledger,
    now: Ledger,
    trial: Trial,
    most: int,
    shown: Iterable[Edit] = (),
) -> Proof:
    """Which of the edits moved which value between two ledgers.

    moved: where the two differ. trial(edits): the ledger of the build as it is now with these records put back. most: how
    many trials may be made; with one record, or where nothing moved, none is needed. shown: those of the edits that can move
    no number: they are never tried and never a cause, and go back only where another could not go back without them.
    """
    return _Trials(tuple(edits), moved, was, now, trial, most, tuple(shown)).proof()


class _Trials:
    """The trials of one build, counted."""

    def __init__(
        self,
        edits: tuple[Edit, ...],
        moved: dict[Address, Move],
        was: Ledger,
        now: Ledger,
        trial: Trial,
        most: int,
        shown: tuple[Edit, ...],
    ):
        self.moved, self.was, self.now, self.trial, self.most, self.shown = moved, was, now, trial, most, shown
        self.edits = _without(edits, shown)
        self.units = _units(self.edits)
        self.made = 0

    def proof(self) -> Proof:
        if not self.moved or not self.edits:
            return Proof([Group(unit) for unit in self.units], unproved=set(self.moved))
        if len(self.units) == 1:
            return Proof([Group(self.edits, self.moved)])
        # A third of the trials each: put back alone, in alone, and the smallest set that moves the rest together.
        room = max(1, self.most // 3)
        alone = self.units if len(self.units) <= room else self.units[: room - 1]
        together = tuple(edit for unit in self.units[len(alone) :] for edit in unit)
        proof = Proof(together=together)
        for start in [*alone, *([together] if together else [])]:
            proof.groups.append(self.standing_group(start))
        rest = {address for address in self.moved if not proof.causes_of(address)}
        self.moves_alone(proof, rest)
        self.move_together(proof, rest)
        proof.unproved, proof.trials = rest, self.made
        return proof

    def without(self, edits: tuple[Edit, ...]) -> Ledger | Refused:
        """The ledger with some records put back, and with them what is shown and cannot stand without them; with all of
        them it is the one that was."""
        if len(edits) == len(self.edits):
            return self.was
        while True:
            self.made += 1
            ledger = self.trial(edits)
            if not isinstance(ledger, Refused):
                return ledger
            further = tuple(edit for edit in _without(self.shown, edits) if _spoken_of(edit, ledger))
            if not further:
                return ledger
            edits = (*edits, *further)

    def standing_group(self, start: tuple[Edit, ...]) -> Group:
        """The records put back, with those that they cannot do without: those of which the problems speak, or else all."""
        group = start
        while isinstance(ledger := self.without(group), Refused):
            others = _without(self.edits, group)
            spoken_of = [edit for edit in others if _spoken_of(edit, ledger)]
            group = (*group, *(spoken_of or others))
        return Group(group, differences(ledger, self.now))

    def moves_alone(self, proof: Proof, rest: set[Address]) -> None:
        """Records of which each moves a value by itself, so that putting one of them back changes nothing."""
        for unit in self.units if rest else ():
            if self.made >= self.most:
                return
            ledger = self.without(_without(self.edits, unit))
            if isinstance(ledger, Refused):
                continue
            for address, move in differences(self.was, ledger).items():
                if address in rest:
                    proof.joint.setdefault(address, []).append(Group(unit, {address: move}))
        rest -= set(proof.joint)

    def move_together(self, proof: Proof, rest: set[Address]) -> None:
        """The smallest set of records found that moves a value when all of it is put back."""
        if not rest:
            return
        group, moves = self.edits, self.moved
        for unit in self.units:
            if self.made >= self.most:
                return
            smaller = _without(group, unit)
            ledger = self.without(smaller) if smaller else Refused()
            if not isinstance(ledger, Refused) and rest <= set(left := differences(ledger, self.now)):
                group, moves = smaller, left
        for address in rest:
            proof.joint[address] = [Group(group, {address: moves[address]})]
        rest.clear()


def _units(edits: tuple[Edit, ...]) -> list[tuple[Edit, ...]]:
    """What is tried together: a record alone, or one that came or went with its withdrawal."""
    withdrawals = [edit for edit in edits if edit.what in WITHDRAWN]
    with_another = tuple(edit for edit in withdrawals if any(edit.withdraws(other) for other in edits))
    return [
        (edit, *(other for other in with_another if other.withdraws(edit))) for edit in _without(edits, with_another)
    ]


def _without(edits: tuple[Edit, ...], left_out: tuple[Edit, ...]) -> tuple[Edit, ...]:
    out = {id(edit) for edit in left_out}
    return tuple(edit for edit in edits if id(edit) not in out)


def _spoken_of(edit: Edit, refused: Refused) -> bool:
    """Whether a problem names a record. Of an entry of a list it has to stand in it: "no cut c4" names near ones too."""
    if edit.what in LISTS.values() and isinstance(record := edit.now, Record):
        places = [record.where(), *(record.where(key) for key in type(record).model_fields)]
        lines = tuple(f"{place.file}:{place.line}:" for place in places)
        return any(text.startswith(lines) for text in refused.texts)
    name = edit.id.rpartition(".")[2]
    return any(f'"{name}"' in text or f" {name}" in text or edit.id in text for text in refused.texts)
