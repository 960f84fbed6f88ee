"""What a finding rests on, held against trial: a record that alone moves a finding is among what its step noted."""

import json
from dataclasses import replace

import pytest
from gudgeon.assess.build import assess, assess_with_inputs, assess_with_steps
from gudgeon.assess.measuring.measured_build import MeasuredBuild
from gudgeon.assess.steps import NEWEST_DAY, Earlier, Steps, rests_on
from gudgeon.ledger.difference import differences
from gudgeon.ledger.values import ledger_of
from gudgeon.records.edits import (
    SHELF,
    Edit,
    problems_of,
    problems_of_knowledge,
    put_back,
    put_back_in_knowledge,
)
from hypothesis import given, settings
from hypothesis import strategies as st
from random_edits import an_edit, engine_value, records, written
from small_build import load, shelf

BUILDS = ("harrow-pond", "sundlia")
WHOLE = ("build", "name", "units", "as_of", "format")  # what the findings say of the build as a whole


@pytest.fixture(scope="module")
def worked_out(club):
    """Build -> the build, its ledger and what it rests on."""
    builds = {build.id: build for build in club.builds if build.id in BUILDS}
    return {name: (build, *ledger_and_inputs(build, club.knowledge)) for name, build in builds.items()}


def ledger_and_inputs(build, knowledge):
    findings, inputs = assess_with_inputs(build, knowledge)
    return ledger_of(findings), inputs


def unexplained(build, knowledge, edit, worked_out):
    """(how many values move when one record alone is another, those of them that do not rest on it)."""
    _, ledger, inputs = worked_out[build.id]
    if edit.what in SHELF.values() or edit.what == "knowledge":
        other, other_knowledge = build, put_back_in_knowledge(knowledge, [edit])
        if problems_of_knowledge(other_knowledge):
            return None
    else:
        other, other_knowledge = put_back(build, [edit]), knowledge
    if problems_of(other, other_knowledge):
        return None
    other_ledger, other_inputs = ledger_and_inputs(other, other_knowledge)
    moves = differences(ledger, other_ledger)
    return len(moves), sorted(
        address
        for address in moves
        if (edit.what, edit.id) not in noted(inputs, address) | noted(other_inputs, address)
    )


def noted(inputs, address):
    """What a value rests on; the newest day spelled out as the records that decide it."""
    rests = inputs["build"] if address[0] in WHOLE else rests_on(inputs, address[0], "".join(address[1:2]))
    return rests | inputs["day/newest"] if NEWEST_DAY in rests else rests


@pytest.mark.slow
@settings(max_examples=25, deadline=None)
@given(data=st.data())
def test_whatever_record_moves_a_finding_is_among_what_it_rests_on(club, worked_out, data):
    build, _, _ = worked_out[data.draw(st.sampled_from(BUILDS))]
    by_kind = {}
    for what, name, record, pool in records(build, club.knowledge):
        by_kind.setdefault(what, []).append((name, record, pool))
    what = data.draw(st.sampled_from(sorted(by_kind)))
    name, record, pool = data.draw(st.sampled_from(by_kind[what]))
    edit = an_edit(record, what, name, pool, data.draw)
    if edit is None:
        return
    outcome = unexplained(build, club.knowledge, edit, worked_out)
    if outcome is not None:
        assert outcome[1] == [], f"{edit.what} {edit.id}: {edit.fields}"


EDITS = {
    "reading": ("a069", {"reads": ["4.2500 in"]}),
    "instrument": ("om45", {"use": "0.002 in"}),
    "rule": ("A-R2", {"sizes": ["1 in", "2 in"]}),
    "club's material": ("grey-iron", {"cte": 14.0e-6}),
    "temperature case": ("running", {"shaft": "400 °C"}),
    "fit": ("A-F01", {"want": ["0.001 in", "0.002 in"]}),
    "operation": ("A-CYL-60", {"done": "2026-01-01"}),
    "feature": ("piston.skirt", {"nominal": "4.2 in"}),
    "figure": ("peak_pressure", {"is": "300 psi"}),
    "machine": ("big", {"dial_division": "0.002 in"}),
    "cut": (0, {"got": "0.0250 in"}),
}


def edit_of(club, worked_out, what):
    name, said = EDITS[what]
    build = worked_out["harrow-pond"][0]
    alike = [(known, record) for kind, known, record, _ in records(build, club.knowledge) if kind == what]
    known, record = alike[name] if isinstance(name, int) else next(one for one in alike if one[0] == name)
    return build, Edit(what, known, type(record).model_validate({**written(record), **said}), record)


@pytest.mark.slow
@pytest.mark.parametrize("what", EDITS)
def test_edits_that_move_something_are_noted(club, worked_out, what):
    build, edit = edit_of(club, worked_out, what)
    moves, without = unexplained(build, club.knowledge, edit, worked_out)
    assert moves
    assert without == []


@pytest.mark.parametrize(("key", "said"), [("speed", "700 rpm"), ("bore", "4.0 in")])
def test_a_key_of_the_engine_is_noted(club, worked_out, key, said):
    build = worked_out["harrow-pond"][0]
    edit = Edit("engine", key, engine_value(key, said), getattr(build.head.engine, key))
    moves, without = unexplained(build, club.knowledge, edit, worked_out)
    assert moves
    assert without == []


def test_what_is_not_noted_is_found_out(club, worked_out, monkeypatch):
    build, edit = edit_of(club, worked_out, "reading")
    monkeypatch.setattr(MeasuredBuild, "_read", lambda self, ref: None)
    broken = {build.id: (build, *ledger_and_inputs(build, club.knowledge))}
    moves, without = unexplained(build, club.knowledge, edit, broken)
    assert any(address[:3] == ("feature", "piston.skirt", "history") for address in without)


def test_a_finding_does_not_rest_on_everything(worked_out):
    _, _, inputs = worked_out["harrow-pond"]
    rests = inputs["fit/A-F01"]
    assert {("reading", "a069"), ("rule", "A-R2"), ("temperature case", "warm_up"), ("instrument", "om45")} <= rests
    # Readings of the crankshaft, the rules of other kinds of fit and the lathe have nothing to do with a piston in its bore.
    assert not {"crank.pin", "crank.end_float"} & {name for kind, name in rests if kind == "feature"}
    assert {name for kind, name in rests if kind == "rule"} == {"A-R2"}
    assert not {kind for kind, _ in rests} & {"machine", "caution"}
    # A hopper boils by the height of the shop, and a case that is colder is told.
    assert {name for kind, name in rests if kind == "figure"} == {"altitude"}
    # A cut ends a state of the metal: those of the piston count, and no others.
    assert {json.loads(name)["of"] for kind, name in rests if kind == "cut"} == {"piston.skirt"}


def test_noting_changes_no_finding_and_no_record(tmp_path):
    build = load(tmp_path)
    before = repr(build)
    assert assess_with_inputs(build, shelf())[0] == assess(build, shelf())
    assert repr(build) == before


def test_a_step_that_fails_says_its_name_and_where_its_record_stands(tmp_path, monkeypatch):
    build = load(tmp_path)
    monkeypatch.setattr("gudgeon.assess.build.fit_finding", lambda *_: 1 / 0)
    for work in (assess, assess_with_inputs):
        with pytest.raises(ZeroDivisionError) as failed:
            work(build, shelf())
        assert failed.value.step == "fit F1"
        assert (failed.value.record.file, failed.value.record.line) == ("builds/small/fits.yaml", 2)


def test_the_innermost_step_is_named():
    steps = Steps()
    with pytest.raises(ValueError) as failed, steps.step("cut"), steps.step("plan of/piston.skirt"):
        raise ValueError
    assert failed.value.step == "plan of piston.skirt"


@pytest.mark.slow
@pytest.mark.parametrize(("name", "cited", "not_cited"), [("harrow-pond", "A-R2", "B-R1"), ("sundlia", "B-R1", "A-R2")])
def test_with_another_rule_what_it_does_not_reach_is_taken_from_before_and_is_the_same(club, name, cited, not_cited):
    build = next(build for build in club.builds if build.id == name)
    findings, steps = assess_with_steps(build, club.knowledge)
    rules = club.knowledge.rules
    for rule_id in (cited, not_cited):
        other = next(rule for rule in rules.values() if rule.kind == rules[rule_id].kind and rule is not rules[rule_id])
        knowledge = replace(club.knowledge, rules={**rules, rule_id: other})
        earlier = Earlier(steps, frozenset({("rule", rule_id)}))
        anew = assess(build, knowledge)
        assert anew != findings, "the rule stands in the build's tables"
        assert assess(build, knowledge, earlier) == anew, "to the last digit"
        assert earlier.holds("measuring") and not earlier.holds(f"rule/{rule_id}")
    of_another = Earlier(steps, frozenset({("rule", "A-R1")}))
    assert assess(build, knowledge, of_another) != anew, "a rule that is not said to be another is found out"
