"""Whatever is edited: what moves is named, what moved has a cause that holds, and words are never one."""

import pytest
from gudgeon.assess.build import assess
from gudgeon.ledger.causes import prove
from gudgeon.ledger.comparison import Comparison, Pair
from gudgeon.ledger.difference import differences
from gudgeon.ledger.values import ledger_of
from gudgeon.project.two_revisions import trial_of
from gudgeon.records.edits import (
    Edit,
    edits_of_build,
    edits_of_knowledge,
    problems_of,
    problems_of_knowledge,
    put_back,
    put_back_in_knowledge,
)
from gudgeon.review.as_text import details_text, slip_text
from gudgeon.review.compare import slip_of
from hypothesis import given, settings
from hypothesis import strategies as st
from random_edits import an_edit, records

pytestmark = pytest.mark.slow
BUILDS = ("harrow-pond", "sundlia")


def in_words_alone(build):
    """An edit that can move no number: the name of a person."""
    name, person = next(iter(build.head.people.items()))
    return Edit("person", name, person.model_copy(update={"name": f"{person.name} the elder"}), person)


def edited(build, knowledge, edits):
    """The build and the knowledge with some edits made; None where they do not stand so."""
    shelf = put_back_in_knowledge(knowledge, [edit for edit in edits if edit.shared])
    there = put_back(build, [edit for edit in edits if not edit.shared])
    if problems_of_knowledge(shelf) or problems_of(there, shelf):
        return None
    return there, shelf


def compared(build, knowledge, there, shelf):
    """The comparison of a build with what became of it, proved as a review does it, and every value that differs."""
    found_was, found = assess(build, knowledge), assess(there, shelf)
    pair = Pair(build.id, build, there, found_was, found)
    pair.edits = [*edits_of_build(build, there), *edits_of_knowledge(knowledge, shelf)]
    was, now = ledger_of(found_was), ledger_of(found)
    moved = differences(was, now)
    pair.proof = prove(pair.edits, moved, was, now, trial_of(there, shelf), 60)
    return Comparison("before", "after", knowledge, shelf, [lambda: pair], files=1), pair, moved


@settings(max_examples=8, deadline=None)
@given(data=st.data())
def test_what_moves_is_named_and_has_a_cause_that_holds_and_words_are_never_one(club, data):
    wanted = data.draw(st.sampled_from(BUILDS))
    build = next(one for one in club.builds if one.id == wanted)
    by_kind = {}
    for what, name, record, pool in records(build, club.knowledge):
        by_kind.setdefault(what, []).append((name, record, pool))
    edits = {("person", "-"): in_words_alone(build)}
    for _ in range(data.draw(st.integers(1, 3))):
        what = data.draw(st.sampled_from(sorted(by_kind)))
        name, record, pool = data.draw(st.sampled_from(by_kind[what]))
        edit = an_edit(record, what, name, pool, data.draw)
        if edit is not None and what != "person":
            edits[what, name] = edit
    made = edited(build, club.knowledge, list(edits.values()))
    if made is None:
        return
    comparison, pair, moved = compared(build, club.knowledge, *made)
    slip = slip_of(comparison)
    numbers = {address: move for address, move in moved.items() if not move.is_text}
    said = slip_text(slip) + details_text(slip)
    words = {edit.what for edit in pair.edits}

    assert slip.moved == len(numbers)
    assert slip.nothing_moved is (not numbers), said
    assert ("No number moves" in said) is (not numbers), said
    for address in numbers:
        groups = pair.proof.causes_of(address)
        assert groups or address in pair.proof.unproved, (address, words)
        for group in groups:
            # Put back, and nothing else: the value is another. Of several that each would do: alone, it moves too.
            alone = group in pair.proof.groups or len(group.edits) > 1
            rest = tuple(edit for edit in pair.edits if not any(edit is one for one in group.edits))
            ledger = trial_of(*made)(group.edits if alone else rest) if rest or not alone else ledger_of(pair.found_was)
            against = ledger_of(pair.found) if alone else ledger_of(pair.found_was)
            assert address in differences(ledger, against)
        assert all(edit.what != "person" for group in groups for edit in group.edits[:1]), address
    told = {(change.subject, change.id) for change in slip.subjects} | {("fit", fit.id) for fit in slip.fits}
    own_section = {"reading", "mistake"}
    assert {move.subject for move in numbers.values() if move.subject[0] not in own_section} <= told
    named = {cause.record.split(" ")[0] for change in (*slip.fits, *slip.subjects) for cause in change.causes}
    assert "person" not in named
    assert any(idle.record.startswith("person ") for idle in slip.idle), said
