"""The ledger of a build, where two differ, and which record moved what."""

import gudgeon
import pytest
from gudgeon.assess.build import assess
from gudgeon.assess.findings.base import Kind
from gudgeon.ledger.causes import prove
from gudgeon.ledger.difference import differences, same
from gudgeon.ledger.values import label_of, ledger_of, ledgers_where_unequal, subject_of
from gudgeon.project.two_revisions import trial_of
from gudgeon.records.edits import Edit, edits_of_build, put_back
from hypothesis import given
from hypothesis import strategies as st
from small_build import FILES, findings, load, shelf


def test_every_value_has_an_address_a_kind_and_a_label(tmp_path):
    ledger = ledger_of(findings(tmp_path))
    clearance = ledger["fit", "F1", "clearance"]
    assert clearance.value == pytest.approx(50.010 - 49.945) and clearance.kind.name == "length"
    assert clearance.subject == ("fit", "F1") and label_of(clearance.address) == "fit F1: clearance"
    assert ledger["feature", "cyl.bore", "limits", "0"].value == pytest.approx(50.0)
    assert ledger["feature", "cyl.bore", "cells", "10 0", "size"].value == pytest.approx(50.010)
    assert subject_of(("progress", "share")) == ("progress", "") and subject_of(("as_of",)) == ("build", "")
    assert not any("source" in address and "line" in address for address in ledger)


def test_a_line_that_moved_moves_no_value(tmp_path):
    (tmp_path / "one").mkdir()
    (tmp_path / "two").mkdir()
    before = findings(tmp_path / "one")
    after = findings(tmp_path / "two", fits="# a word\n\n" + FILES["fits.yaml"])
    assert differences(ledger_of(before), ledger_of(after)) == {}


@pytest.mark.parametrize(
    ("one", "other", "equal"),
    [
        (1.0, 1.0 + 1e-7, True),
        (1.0, 1.0 + 2e-6, False),
        (None, 0.0, False),
        (True, 1, True),
        (False, 0.0, True),
        (-0.0, 0.0, True),
    ],
)
def test_two_lengths_are_equal_within_a_nanometre(one, other, equal):
    assert same(Kind("length", grain=1e-6), one, other) is equal


@given(st.floats(-1e6, 1e6), st.floats(-1e6, 1e6))
def test_equality_has_no_side(one, other):
    kind = Kind("number", relative=1e-9)
    assert same(kind, one, other) is same(kind, other, one)


EDITED = {
    "instruments": FILES["instruments.yaml"].replace("use: 0.004 mm", "use: 0.006 mm"),
    "build": FILES["build.yaml"]
    .replace("speed: 500 rpm", "speed: 650 rpm")
    .replace("stage: finishing", "stage: nearly"),
    "readings__2025_02_04_skirt": FILES["readings/2025-02-04-skirt.yaml"]
    + "  - {id: s2, station: 20 mm, reads: 49.947 mm}\n",
}


@pytest.fixture
def two(tmp_path):
    """A build before and after four edits: a reading, an instrument, the engine's speed, and words."""
    (tmp_path / "one").mkdir()
    (tmp_path / "two").mkdir()
    return load(tmp_path / "one"), load(tmp_path / "two", **EDITED)


def test_only_what_is_unequal_is_laid_out_and_nothing_that_differs_is_lost(two):
    was, now = (assess(build, shelf()) for build in two)
    whole = differences(ledger_of(was), ledger_of(now))
    assert whole and differences(*ledgers_where_unequal(was, now)) == whole


def proof_of(was, now, most=60):
    ledgers = [ledger_of(assess(build, shelf())) for build in (was, now)]
    edits = edits_of_build(was, now)
    return prove(edits, differences(*ledgers), *ledgers, trial_of(now, shelf()), most), differences(*ledgers)


def test_each_record_is_told_with_what_it_moved_and_words_move_nothing(two):
    proof, moved = proof_of(*two)
    by = {group.edits[0].id: group.moves for group in proof.groups}
    assert set(by) == {"s2", "gauge", "speed", "stage"}
    assert by["stage"] == {}
    assert ("fit", "F1", "clearance") in by["s2"] and ("fit", "F1", "clearance") not in by["gauge"]
    assert ("fit", "F1", "expanded") in by["gauge"]
    assert all(address[0] in ("calculation", "danger", "rule") for address in by["speed"])
    assert all(proof.causes_of(address) for address in moved) and not proof.unproved


def test_two_records_of_which_either_would_do_are_both_causes(tmp_path, two):
    """Two readings that make the same place the limiting one: putting one back alone moves nothing of the state."""
    was, now = two
    low = FILES["readings/2025-02-04-skirt.yaml"] + "".join(
        f"  - {{id: {name}, station: {station} mm, reads: 49.999 mm}}\n" for name, station in (("s8", 30), ("s9", 40))
    )
    (tmp_path / "three").mkdir()
    now = load(tmp_path / "three", readings__2025_02_04_skirt=low)
    proof, moved = proof_of(was, now)
    address = ("fit", "F1", "state")
    assert address in moved and not any(address in group.moves for group in proof.groups)
    assert {group.edits[0].id for group in proof.causes_of(address)} == {"s8", "s9"}


def test_a_record_that_cannot_stand_alone_goes_back_with_what_needs_it(tmp_path, two):
    (tmp_path / "three").mkdir()
    more = (
        FILES["operations.yaml"]
        + "  LAST: {part: piston, does: polish, needs: [TURN], changes: [piston.skirt], done: 2025-02-18}\n"
    )
    read = (
        FILES["readings/2025-02-04-skirt.yaml"]
        + "  - {id: s2, station: 20 mm, reads: 49.947 mm, date: 2025-02-19, after: LAST}\n"
    )
    now = load(tmp_path / "three", operations=more, readings__2025_02_04_skirt=read)
    proof, moved = proof_of(two[0], now)
    groups = {group.edits[0].id: [edit.id for edit in group.edits] for group in proof.groups}
    assert groups == {"s2": ["s2"], "LAST": ["LAST", "s2"]}
    assert all(proof.causes_of(address) for address in moved)


def test_too_few_trials_are_said_and_nothing_is_made_up(two):
    proof, moved = proof_of(*two, most=3)
    assert proof.trials <= 4 and len(proof.together) == 4
    assert all(proof.causes_of(address) or address in proof.unproved for address in moved)


def test_putting_everything_back_gives_the_build_that_was(two):
    was, now = two
    back = put_back(now, edits_of_build(was, now))
    assert edits_of_build(was, back) == []
    assert differences(ledger_of(assess(was, shelf())), ledger_of(assess(back, shelf()))) == {}
    assert edits_of_build(was, now) != []  # nothing of the build that is put back was touched


def test_both_demonstration_builds_put_back_as_they_were(root):
    project = gudgeon.open(root)
    for name in project.build_names():
        build = project.build(name)
        row = build.rows[-1]
        without = put_back(build, [Edit("reading", row.id, None, row)])
        assert [edit.id for edit in edits_of_build(without, build)] == [row.id]
        assert edits_of_build(build, put_back(build, edits_of_build(build, without)[:0])) == []
