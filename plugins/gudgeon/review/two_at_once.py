"""What two people did at once, the one in the work that is reviewed, the other on the main branch: files that cannot be merged,
one id given twice, one thing withdrawn twice."""

from collections.abc import Iterable, Iterator, Mapping

from gudgeon.ledger.comparison import Comparison
from gudgeon.records.build_file import ReviewWithdrawal
from gudgeon.records.cuts import Cut, CutWithdrawal
from gudgeon.records.edits import differing
from gudgeon.records.model import Build
from gudgeon.records.outcomes import OutcomeWithdrawal
from gudgeon.records.problems import Where, shown
from gudgeon.records.readings import ReadingWithdrawal, Row
from gudgeon.records.running import RunWithdrawal
from gudgeon.review.slip import Blocker, BlockerKind


def conflicts(comparison: Comparison) -> list[Blocker]:
    """What git cannot merge by itself, and ids that both sides gave in builds which therefore are not worked out."""
    blockers = []
    for path, what in comparison.conflicts:
        text = (
            f"{what}. This work and the main branch cannot be merged as they are: merge the main branch into this work, keep "
            "what both say, and review again."
        )
        blockers.append(Blocker.at("merge conflict", None, text, Where(path)))
    for name in comparison.in_conflict:
        if name in comparison.sides:
            blockers += given_twice(name, *comparison.sides[name])
    return blockers


def given_twice(name: str, was: Build | None, now: Build | None, main: Build | None) -> list[Blocker]:
    """Ids that both branches gave to something new since they parted: to a reading, or to a cut."""
    blockers = []
    for what, entry, other in _given_by_both(was, now, main):
        kind, entry_word = WHAT_TO_RENAME[what]
        way = f" (gudgeon renumber {name} does it after the merge)"
        text = (
            f"{entry.id}: the main branch has added a {what} of this id too, in {other.where('id')}. "
            f"Give the {entry_word} here an id of its own before the two are merged{way}."
        )
        blockers.append(Blocker.at(kind, name, text, entry.where("id")))
    return blockers


def places_given_twice(was: Build | None, now: Build | None, main: Build | None) -> set[Where]:
    """Where the ids that both branches gave stand, on either side: merged, one of each two is a problem of the records too."""
    return {where.where("id") for _, entry, other in _given_by_both(was, now, main) for where in (entry, other)}


Withdrawal = ReadingWithdrawal | CutWithdrawal | ReviewWithdrawal | RunWithdrawal | OutcomeWithdrawal
WITHDRAWALS = (  # stores of a build
    "reading_withdrawals",
    "cut_withdrawals",
    "review_withdrawals",
    "run_withdrawals",
    "outcome_withdrawals",
)


def withdrawn_twice(name: str, was: Build | None, now: Build, main: Build | None) -> list[Blocker]:
    """What is withdrawn here anew and was withdrawn already, on the main branch or here: both would stay, each with its reason."""
    return [told for store in WITHDRAWALS for told in _withdrawn_twice(name, store, was, now, main)]


def _withdrawn_twice(name: str, store: str, was: Build | None, now: Build, main: Build | None) -> Iterator[Blocker]:
    before, here, there = (list[Withdrawal](getattr(build, store)) if build else [] for build in (was, now, main))
    standing = [*there, *(entry for entry in here if _is_among(entry, before))]
    for entry in here:
        if _is_among(entry, before) or _is_among(entry, there):
            continue
        other = next((other for other in standing if other.withdraws == entry.withdraws), None)
        standing.append(entry)
        if other is None:
            continue
        text = (
            f'{entry.withdraws} is withdrawn a second time: in {other.where("withdraws")} it says "{shown(other.because)}". '
            "Take out the entry that is not on the main branch yet; what it has to say more, say in a note."
        )
        yield Blocker.at("withdrawn twice", name, text, entry.where("withdraws"))


def _is_among(entry: Withdrawal, entries: Iterable[Withdrawal]) -> bool:
    return any(not differing(entry, other) for other in entries if type(other) is type(entry))


Entry = Row | ReadingWithdrawal | Cut | CutWithdrawal
Entries = Mapping[str, Entry]
WHAT_TO_RENAME: dict[str, tuple[BlockerKind, str]] = {  # of what -> the problem, what has to have another id
    "reading": ("reading id twice", "row"),
    "cut": ("cut id twice", "entry"),
}


def _given_by_both(was: Build | None, now: Build | None, main: Build | None) -> Iterator[tuple[str, Entry, Entry]]:
    """(of what, the entry here, that of the main branch) of each id."""
    for what, by_id in (("reading", _readings_by_id), ("cut", _cuts_by_id)):
        before, there = by_id(was), by_id(main)
        for entry_id, entry in by_id(now).items():
            other = there.get(entry_id)
            if entry_id in before or other is None:
                continue
            if type(other) is type(entry) and other.where().file == entry.where().file and not differing(other, entry):
                continue  # the same entry in the same file: one of the branches has taken it from the other
            yield what, entry, other


def _readings_by_id(build: Build | None) -> Entries:
    """The rows of the readings, withdrawals too."""
    return {row.id: row for row in (build.reading_entries if build else ())}


def _cuts_by_id(build: Build | None) -> Entries:
    """The entries of the cuts that have an id, withdrawals too."""
    return {entry.id: entry for entry in (build.cut_entries if build else ()) if entry.id is not None}
