"""Readings, cuts and verdicts are added to, never changed: what was edited or deleted."""

from collections import Counter

from gudgeon.records.build_file import Review, ReviewWithdrawal
from gudgeon.records.cuts import Cut, CutWithdrawal
from gudgeon.records.edits import differing
from gudgeon.records.model import Build
from gudgeon.records.readings import ReadingWithdrawal, Row
from gudgeon.review.edited_records import NOT_READ, reads_in_words
from gudgeon.review.slip import Blocker


def append_only(name: str, was: Build | None, now: Build) -> list[Blocker]:
    """Readings are added to, never changed: an edited or deleted one hides what was read."""
    if was is None or "readings" in now.unread or "readings" in was.unread:
        return []
    blockers, here, former = [], {}, now.former_names
    for row in now.rows:
        here.setdefault(row.id, []).append(row)
    given = Counter(row.id for row in was.rows)
    for before in was.rows:
        old_id = before.id
        row_id = former["reading"].get(old_id, old_id)
        if given[old_id] > 1 and any(differing(before, row) == ["id"] for row in now.rows):
            continue  # its id stood twice: this row has one of its own now, and is otherwise as it was
        if row_id not in here:
            where = before.where()
            text = (
                f"{row_id}: this reading was deleted. Readings are only added to: put the row back, and where it was wrong "
                f'add a new row with "supersedes: {row_id}", or one with "withdraws: {row_id}" and its reason.'
            )
            blockers.append(Blocker.at("reading removed", name, text, where))
            continue
        # An id that stands twice has its own problem; here it is enough that one of the rows is as it was.
        after, changed = min(
            ((row, _edits(before, row, former)) for row in here[row_id]),
            key=lambda row_and_edits: len(row_and_edits[1]),
        )
        if changed:
            was_said = "; ".join(f"{key} was {_text(before, key)}, now {_text(after, key)}" for key in changed)
            text = (
                f"{row_id}: this reading was edited ({was_said}). Readings are only added to: put the row back as it was, "
                f'and add a new row with "supersedes: {row_id}".'
            )
            blockers.append(Blocker.at("reading edited", name, text, after.where(changed[0])))
    return [*blockers, *_withdrawals_kept(name, was, now)]


def _withdrawals_kept(name: str, was: Build, now: Build) -> list[Blocker]:
    """A withdrawal is a row too: without it the reading would count again, and nobody would know why."""
    blockers, former = [], now.former_names
    here = {withdrawal.id: withdrawal for withdrawal in now.reading_withdrawals}
    for before in was.reading_withdrawals:
        after = here.get(former["reading"].get(before.id, before.id))
        if after is None:
            text = f"{before.id}: the withdrawal of {before.withdraws} was deleted. Put it back; a reading that is "
            text += "right after all is added under an id of its own."
            blockers.append(Blocker.at("reading removed", name, text, before.where()))
        elif changed := _edits(before, after, former):
            text = f"{before.id}: the withdrawal of {before.withdraws} was edited ({', '.join(changed)})."
            blockers.append(
                Blocker.at("reading edited", name, f"{text} Put it back as it was.", after.where(changed[0]))
            )
    return blockers


# The fields of a row that name another record, with what they name: a renamed one is not an edit.
NAMES = {
    "of": "feature",
    "gauge": "instrument",
    "by": "person",
    "after": "operation",
    "supersedes": "reading",
    "withdraws": "reading",
    "id": "reading",
}


def _edits(
    before: Row | ReadingWithdrawal, after: Row | ReadingWithdrawal, former: dict[str, dict[str, str]]
) -> list[str]:
    """The fields of a reading that were edited. What is only said beside it may be added later; that what it names was
    renamed is no edit."""
    return [
        field
        for field in differing(before, after)
        if field != "formerly"
        and (field not in NOT_READ or getattr(before, field) is not None)
        and not (field in NAMES and former[NAMES[field]].get(str(getattr(before, field))) == str(getattr(after, field)))
    ]


def _text(row: Row, name: str) -> str:
    value = getattr(row, name)
    words = reads_in_words(value) if name == "reads" else "not written" if value is None else str(value)
    return words if len(words) <= 60 else words[:59] + "…"


def cuts_kept(name: str, was: Build | None, now: Build) -> list[Blocker]:
    """Metal that came off stays off: a cut that was deleted or rewritten changes which readings say what the metal is."""
    if was is None or "cuts.yaml" in now.unread or "cuts.yaml" in was.unread:
        return []
    former = now.former_names
    new = [entry for entry in now.cut_entries if not any(_stands(other, entry, former) for other in was.cut_entries)]
    blockers = []
    for entry in was.cut_entries:
        if any(_stands(entry, other, former) for other in now.cut_entries):
            continue
        what = (
            f"{entry.label} of {entry.of}" if isinstance(entry, Cut) else f"the withdrawal of the cut {entry.withdraws}"
        )
        rewritten = next((other for other in new if _is_same_cut(entry, other)), None)
        way_out = (
            "Cuts are only added to: put it back as it was, and where it was wrong add an entry that withdraws it."
        )
        if rewritten is None:
            blockers.append(Blocker.at("cut removed", name, f"{what} was deleted. {way_out}", entry.where()))
        else:
            new.remove(rewritten)
            fields = ", ".join(field.replace("_", " ") for field in differing(entry, rewritten))
            text = f"{what} was rewritten ({fields}). {way_out}"
            blockers.append(Blocker.at("cut edited", name, text, rewritten.where()))
    return blockers


def _stands(before: Cut | CutWithdrawal, after: Cut | CutWithdrawal, former: dict[str, dict[str, str]]) -> bool:
    """Whether an entry of the cuts stands as it was. What it left open may be added, and what it names may be renamed."""
    kinds = {"of": "feature", "operation": "operation", "by": "person"}
    return type(before) is type(after) and all(
        getattr(before, field) is None
        or (field in kinds and former[kinds[field]].get(getattr(before, field)) == getattr(after, field))
        for field in differing(before, after)
    )


def _is_same_cut(one: Cut | CutWithdrawal, other: Cut | CutWithdrawal) -> bool:
    if one.id is not None:
        return one.id == other.id
    return isinstance(one, Cut) and isinstance(other, Cut) and (one.date, one.of) == (other.date, other.of)


def verdicts_kept(name: str, was: Build | None, now: Build) -> list[Blocker]:
    """What a person said is added to, never changed: a verdict that was deleted or rewritten takes back what somebody else
    said, without his knowing."""
    if was is None or "reviews.yaml" in now.unread or "reviews.yaml" in was.unread:
        return []
    former = now.former_names
    new = [review for review in now.reviews if not any(says_the_same(other, review, former) for other in was.reviews)]
    blockers = []
    for withdrawal in was.review_withdrawals:
        if not any(says_the_same(withdrawal, other, former) for other in now.review_withdrawals):
            text = f"{withdrawal.date}: the withdrawal of the verdict {withdrawal.withdraws} was deleted or rewritten. "
            blockers.append(
                Blocker.at(
                    "verdict removed",
                    name,
                    text + "Put it back as it was, and give the verdict anew.",
                    withdrawal.where(),
                )
            )
    for review in was.reviews:
        if any(says_the_same(review, other, former) for other in now.reviews):
            continue
        said = f"{review.verdict} by {review.who}, {review.date}"
        rewritten = next((other for other in new if _is_same_verdict(review, other)), None)
        if rewritten is not None:
            changed = ", ".join(differing(review, rewritten))
            text = f"{said}: this verdict was rewritten ({changed}). "
        else:
            text = f"{said}: this verdict was deleted. "
        blockers.append(
            Blocker.at(
                "verdict edited" if rewritten else "verdict removed",
                name,
                text + "Verdicts are only added to: put it back as it was, and add a new one below it.",
                rewritten.where() if rewritten else review.where(),
            )
        )
    return blockers


def says_the_same(
    before: Review | ReviewWithdrawal, after: Review | ReviewWithdrawal, former: dict[str, dict[str, str]]
) -> bool:
    """Whether an entry stands as it was. An id may be added, and what it names may have been renamed."""

    def renamed(name: str, *kinds: str) -> str:
        return next((former[kind][name] for kind in kinds if name in former[kind]), name)

    fields = before.model_dump()
    fields["who"] = renamed(before.who, "person")
    if isinstance(before, Review):
        fields["about"] = tuple(renamed(ref, "fit", "feature", "part") for ref in before.about)
    else:
        day, _, who = before.withdraws.partition(" ")
        fields["withdraws"] = f"{day} {renamed(who, 'person')}" if who else day
    if before.id is None:
        fields["id"] = after.id
    return fields == after.model_dump()


def _is_same_verdict(one: Review, other: Review) -> bool:
    return (one.date, one.who) == (other.date, other.who) or (one.who == other.who and one.says == other.says)
