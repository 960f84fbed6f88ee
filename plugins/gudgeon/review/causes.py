"""The records that are proved to have moved something, in words and with how much of it each made."""

from collections.abc import Iterable

from gudgeon.ledger.causes import Group
from gudgeon.ledger.comparison import Pair
from gudgeon.ledger.difference import Move
from gudgeon.records.edits import LISTS, Edit
from gudgeon.review.edited_records import in_words, name_in_words
from gudgeon.review.new_records import source_of
from gudgeon.review.slip import Cause

Address = tuple[str, ...]


class CausesInWords:
    """The records that are proved to have moved something in one build, in words."""

    def __init__(self, pair: Pair):
        self.pair = pair

    def of(
        self,
        moves: Iterable[Move],
        main: Address | None = None,
        spread: Address | None = None,
        kind: str = "length",
    ):
        """(causes, whether some could not be found) of some moved values. main: the value whose share is told, with its kind;
        spread: its U."""
        proof = self.pair.proof
        if proof is None:
            return [], False
        moves = [move for move in moves if not move.is_text]
        groups: list[Group] = []
        for move in moves:
            groups += [group for group in proof.causes_of(move.address) if not any(group is one for one in groups)]
        told: dict[tuple[str, str], Cause] = {}
        for group in groups:
            share, share_of_spread = (self._share(group, address) for address in (main, spread))
            # Of a group that had to go back together the first is the cause; the others are put back by themselves too.
            several = group.edits == proof.together or group not in proof.groups
            for edit in group.edits if several else group.edits[:1]:
                told.setdefault((edit.what, edit.id), self._cause(edit, group, share, share_of_spread, kind))
        order = {(edit.what, edit.id): index for index, edit in enumerate(self.pair.edits)}
        unproved = any(move.address in proof.unproved for move in moves)
        return [told[name] for name in sorted(told, key=lambda name: order[name])], unproved

    def _share(self, group: Group, address: Address | None) -> float | None:
        move = group.moves.get(address) if address else None
        return move.by if move else None

    def _cause(self, edit: Edit, group: Group, share: float | None, spread: float | None, kind: str) -> Cause:
        assert self.pair.now, "of a build that is gone no cause is told"
        others = [other for other in group.edits if other is not edit]
        withdrawn = [other for other in others if other.withdraws(edit)]
        says = in_words(edit, self.pair.now)
        if withdrawn:  # a record and its withdrawal are tried, and told, as one
            says += f", withdrawn {(withdrawn[0].now or withdrawn[0].was).date}"
        return Cause(
            record=f"{edit.what} {edit.id}" if edit.what not in LISTS.values() else edit.what,
            says=says,
            together_with=[name_in_words(other) for other in others if other not in withdrawn][:4],
            by=share,
            kind=kind,
            expanded_by=spread,
            source=source_of(edit.where) if edit.where else None,
        )
