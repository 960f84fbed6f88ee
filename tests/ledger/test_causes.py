"""Which record moved what, on made-up builds whose numbers are a plain function of the records in force."""

import pytest
from gudgeon.assess.findings.base import Kind
from gudgeon.ledger.causes import Refused, prove
from gudgeon.ledger.difference import differences
from gudgeon.ledger.values import Value
from gudgeon.records.cuts import Cut, CutWithdrawal
from gudgeon.records.edits import Edit

NUMBER = Kind("number", relative=1e-9)


def proof_of(names, worked_out, most=60, refuses=lambda in_force: None):
    """worked_out: names of the records in force -> what the build comes to; refuses: the same -> what a problem says, if any."""
    edits = {name: Edit("figure", name, None, name) for name in names}
    tried = []

    def ledger(in_force):
        return {(name,): Value((name,), value, NUMBER) for name, value in worked_out(in_force).items()}

    def trial(back):
        in_force = set(names) - {edit.id for edit in back}
        tried.append("".join(sorted(in_force)))
        told = refuses(in_force)
        return ledger(in_force) if told is None else Refused(told)

    was, now = ledger(set()), ledger(set(names))
    proof = prove(edits.values(), differences(was, now), was, now, trial, most)
    assert proof.trials == len(tried)
    return proof, tried


def causes(proof, name):
    return [
        ("".join(edit.id for edit in group.edits), *_was_and_now(group, name)) for group in proof.causes_of((name,))
    ]


def _was_and_now(group, name):
    return group.moves[(name,)].was, group.moves[(name,)].now


def test_where_nothing_moved_or_one_record_alone_differs_nothing_is_tried():
    still, tried = proof_of("abc", lambda in_force: {"x": 1.0})
    assert [[edit.id for edit in group.edits] for group in still.groups] == [["a"], ["b"], ["c"]] and not tried
    assert not any(group.moves for group in still.groups) and not still.unproved
    alone, tried = proof_of("a", lambda in_force: {"x": float(len(in_force))})
    assert causes(alone, "x") == [("a", 0.0, 1.0)] and not tried and not alone.unproved


def test_each_record_moves_its_own():
    proof, tried = proof_of("ab", lambda in_force: {"x": 2.0 if "a" in in_force else 1.0, "y": float("b" in in_force)})
    assert causes(proof, "x") == [("a", 1.0, 2.0)] and causes(proof, "y") == [("b", 0.0, 1.0)]
    assert tried == ["b", "a"] and not proof.joint and not proof.unproved and not proof.together


def test_either_of_two_would_do():
    """Putting one back alone changes nothing; each is a cause, as it would move the value by itself."""
    proof, _ = proof_of("abc", lambda in_force: {"x": float(bool(in_force & {"a", "b"})), "y": float("c" in in_force)})
    assert causes(proof, "x") == [("a", 0.0, 1.0), ("b", 0.0, 1.0)] and causes(proof, "y") == [("c", 0.0, 1.0)]
    assert not proof.unproved


def two_of_three(in_force):
    return {"x": float(len(in_force & set("abc")) >= 2)}


def test_the_smallest_set_that_moves_a_value_only_together():
    """x needs two of a, b and c: none moves it alone either way, and d has nothing to do with it."""
    proof, tried = proof_of("abcd", lambda in_force: two_of_three(in_force) | {"y": float("d" in in_force)})
    assert causes(proof, "x") == [("bc", 0.0, 1.0)] and causes(proof, "y") == [("d", 0.0, 1.0)]
    assert not proof.unproved and len(tried) == 4 + 4 + 4, (
        "each back alone, each in alone, and one smaller set for each"
    )


@pytest.mark.parametrize(("most", "unproved"), [(12, False), (9, True)])
def test_what_the_trials_do_not_suffice_for_is_said_and_no_more_are_made(most, unproved):
    """Of nine trials three go to a, b and c with d, four to each in alone: two of four smaller sets are not enough to know."""
    proof, tried = proof_of("abcd", two_of_three, most=most)
    assert (proof.unproved == {("x",)}) is unproved and (causes(proof, "x") == []) is unproved
    assert len(tried) == most


@pytest.mark.parametrize(
    ("most", "alone", "together"), [(12, "abcd", ""), (11, "ab", "cd"), (9, "ab", "cd"), (3, "", "abcd")]
)
def test_a_third_of_the_trials_is_for_records_alone_and_the_rest_go_together(most, alone, together):
    def worked_out(in_force):
        return {f"x{name}": float(name in in_force) for name in "abcd"}

    proof, _ = proof_of("abcd", worked_out, most=most)
    assert "".join(edit.id for edit in proof.together) == together
    assert ["".join(edit.id for edit in group.edits) for group in proof.groups] == [
        *alone,
        *([together] if together else []),
    ]
    for name in alone:
        assert causes(proof, f"x{name}") == [(name, 0.0, 1.0)]
    for name in together:
        assert causes(proof, f"x{name}") == [(together, 0.0, 1.0)]


@pytest.mark.parametrize("told", ['"b" is not known', "needs b that is not there", "figure.b is not there"])
def test_a_record_goes_back_with_those_of_which_the_problem_speaks(told):
    """b cannot stand without a; c has nothing to do with it."""

    def refuses(in_force):
        return (told.replace("figure.b", "b"),) if "b" in in_force and "a" not in in_force else None

    proof, _ = proof_of(
        "abc", lambda in_force: {"x": float("a" in in_force), "y": float("c" in in_force)}, refuses=refuses
    )
    assert causes(proof, "x") == [("ab", 0.0, 1.0)] and causes(proof, "y") == [("c", 0.0, 1.0)]


def test_where_the_problem_speaks_of_none_all_go_back():
    def refuses(in_force):
        return () if "b" in in_force and "a" not in in_force else None

    proof, _ = proof_of("abc", lambda in_force: {"x": float("a" in in_force)}, refuses=refuses)
    assert causes(proof, "x") == [("abc", 0.0, 1.0)] and not proof.unproved


def test_a_build_that_does_not_stand_with_one_record_alone_proves_nothing_by_it():
    """Either of a and b would do, but a build with b alone has problems: a is told, and b is not made up."""

    def refuses(in_force):
        return ("broken",) if in_force == {"b"} else None

    proof, _ = proof_of("abc", lambda in_force: {"x": float(bool(in_force & {"a", "b"}))}, refuses=refuses)
    assert causes(proof, "x") == [("a", 0.0, 1.0)]


def test_a_move_says_how_far_and_of_what():
    proof, _ = proof_of("ab", lambda in_force: {"x": 1.0 + 0.5 * ("a" in in_force)})
    (group,) = proof.causes_of(("x",))
    move = group.moves[("x",)]
    assert move.by == 0.5 and move.subject == ("build", "") and not (move.new or move.gone or move.is_text)


def in_a_row(edits, in_force_to, refuses=lambda names: None, shown=()):
    """The proof of edits that are called by `key`; in_force_to: keys in force -> what the build comes to."""
    key = {id(edit): f"{edit.what} {edit.id}" for edit in edits}
    tried = []

    def ledger(names):
        return {(name,): Value((name,), value, NUMBER) for name, value in in_force_to(names).items()}

    def trial(back):
        tried.append([key[id(edit)] for edit in back])
        names = set(key.values()) - set(tried[-1])
        return Refused((refuses(names),)) if refuses(names) else ledger(names)

    was, now = ledger(set()), ledger(set(key.values()))
    return prove(edits, differences(was, now), was, now, trial, 60, shown), tried


def test_a_cut_and_its_withdrawal_are_tried_as_one_and_neither_alone():
    cut = {"date": "2025-03-02", "of": "p.s", "machine": "m", "asked": "0.1 mm", "tool": "t", "feed": "0.1 mm"}
    c4, c5 = (Cut.model_validate(cut | {"id": name}) for name in ("c4", "c5"))
    taken_back = {"withdraws": "c5", "because": "not cut", "date": "2025-03-03", "by": "ada"}
    edits = [Edit("cut", "c4", None, c4), Edit("cut", "c5", None, c5)]
    edits.append(Edit("withdrawal of a cut", "w", None, CutWithdrawal.model_validate(taken_back)))

    def comes_to(names):
        c5_counts = "cut c5" in names and "withdrawal of a cut w" not in names
        return {"x": float("cut c4" in names) + c5_counts}

    proof, tried = in_a_row(edits, comes_to)
    assert tried == [["cut c4"], ["cut c5", "withdrawal of a cut w"]]
    assert causes(proof, "x") == [("c4", 0.0, 1.0)]
    # A withdrawal of a cut that was there before is a cause by itself.
    proof, tried = in_a_row([edits[0], edits[2]], lambda names: {"x": float("withdrawal of a cut w" in names)})
    assert tried[:2] == [["cut c4"], ["withdrawal of a cut w"]] and causes(proof, "x") == [("w", 0.0, 1.0)]


def test_what_is_only_shown_is_never_tried_and_never_a_cause():
    """A picture goes back with a reading that it cannot stand without, and is not named; nor where the problem names none."""
    edits = [Edit("reading", "a", None, "a"), Edit("reading", "b", None, "b"), Edit("picture", "p.webp", None, "p")]

    def refuses(names):
        return 'b.webp: no reading "a", see p.webp' if "picture p.webp" in names and "reading a" not in names else None

    def comes_to(names):
        return {"x": float("reading a" in names), "y": float("reading b" in names)}

    proof, tried = in_a_row(edits, comes_to, refuses, edits[2:])
    assert causes(proof, "x") == [("a", 0.0, 1.0)] and causes(proof, "y") == [("b", 0.0, 1.0)]
    assert tried == [["reading a"], ["reading a", "picture p.webp"], ["reading b"]]
    proof, tried = in_a_row(edits[1:], comes_to, shown=edits[2:])
    assert causes(proof, "y") == [("b", 0.0, 1.0)] and not tried
