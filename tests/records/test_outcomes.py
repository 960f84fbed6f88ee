"""Outcomes in the records: of a build, of a club, and as they stood in rules once."""

import pytest
from gudgeon.assess.evidence import evidence_of_rules
from gudgeon.records.load_knowledge import load_knowledge
from small_build import load

RULE = """\
rule: X-1
says: so
kind: skirt
applies_to: any
gives: {per_length: 0.001}
valid: any
said_by: somebody
basis: common practice
grade: club rule
"""


def club_shelf(folder, **texts):
    for name, text in texts.items():
        path = folder / name.replace("__", "/")
        path = path.with_name(f"{path.name}.yaml")
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_text(text, encoding="utf-8")
    return load_knowledge(folder, "docs/knowledge")


def test_what_stood_in_a_rule_counts_as_it_did(tmp_path):
    old = RULE + (
        "outcomes: {ran_free: 6, tight: 1}\n"
        "told:\n  - {engine: Old engine, result: nipped, hours: 4 h, told: 2020-05-01, note: at full load}\n"
    )
    shelf = club_shelf(tmp_path, rules__X_1=old.replace("X-1", "X_1"), sharing="club: Our club\nlicence: CC-BY-4.0\n")
    assert not shelf.problems
    (club,) = evidence_of_rules(shelf)["X_1"].clubs
    assert (club.club, dict(club.results)) == ("Our club", {"ran_free": 6, "tight": 1, "nipped": 1})
    assert (club.told[0].engine, club.told[0].minutes, club.told[0].day) == ("Old engine", 240.0, "2020-05-01")


@pytest.mark.parametrize(
    ("line", "says"),
    [
        ("counts: {Y: {ran_free: 1}}", 'no rule "Y"'),
        ("counts: {X: {ran_fee: 1}}", "not one of the words"),
        ("counts: {X: {ran_free: -1}}", "at least 0"),
        ("told: [{rule: X, engine: e, result: nipped, date: 2020-01-01, year: 2020}]", 'Take out "year"'),
        ("told: [{rule: X, engine: e, result: nipped, clearance: 3}]", "needs a unit"),
        ("club: again", "twice"),
    ],
)
def test_a_wrong_line_of_a_clubs_outcomes_is_told_with_its_place(tmp_path, line, says):
    shelf = club_shelf(
        tmp_path, rules__X=RULE.replace("X-1", "X"), outcomes__ours=f"outcomes: ours\nclub: Our club\n{line}\n"
    )
    assert [says in str(problem) and "outcomes/ours.yaml:3" in str(problem) for problem in shelf.problems] == [True], (
        shelf.problems
    )


@pytest.mark.parametrize(
    ("entries", "says"),
    [
        ("{date: 2025-02-05, about: F9, result: nipped, by: ada}", 'no fit, feature or part "F9"'),
        ("{date: 2025-02-05, about: F1, result: nipped, by: eve}", 'no person "eve"'),
        ("{date: 2025-02-05, withdraws: o9, because: x, by: ada}", 'no outcome of this id or day "o9"'),
        ("{date: 2025-02-05, withdraws: o9, because: x, by: ada, result: nipped}", 'Take out "result"'),
    ],
)
def test_a_wrong_outcome_of_a_build_is_told(tmp_path, entries, says):
    build = load(tmp_path, outcomes=f"outcomes:\n  - {entries}\n")
    assert [says in str(problem) for problem in build.problems] == [True], build.problems


def test_of_two_outcomes_of_a_day_the_one_that_is_withdrawn_has_an_id(tmp_path):
    line = "  - {date: 2025-02-05, about: F1, result: nipped, by: ada}\n"
    back = "  - {date: 2025-02-06, withdraws: 2025-02-05, because: x, by: ada}\n"
    build = load(tmp_path, outcomes=f"outcomes:\n{line}{line}{back}")
    assert ['2 outcomes are of "2025-02-05"' in str(problem) for problem in build.problems] == [True]
