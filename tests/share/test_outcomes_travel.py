"""Outcomes from one club's builds to another club's shelf, and what is counted there."""

import pytest
from gudgeon.assess.build import assess
from gudgeon.assess.evidence import evidence_of_rules
from gudgeon.pages.sharing import told_by_builds
from gudgeon.records.load_build import load_build
from gudgeon.records.load_knowledge import load_knowledge
from gudgeon.share import outcomes
from gudgeon.share.item import SharedItem
from small_build import bent, write

RULE = """\
rule: {id}
says: {says}
kind: skirt
applies_to: any
gives: {{least: 0.05 mm, most: 0.08 mm}}
valid: any
said_by: somebody
basis: common practice
grade: club rule
"""
SHARING = "club: Test club\nlicence: CC-BY-4.0\n"
LICENSED = bent("build.yaml", "stage: finishing", "stage: finishing\nlicences: {data: CC-BY-4.0}")


def club(folder, rules, **more):
    """A shelf with nothing but some rules. rules: id -> saying."""
    texts = {f"rules/{name}": RULE.format(id=name, says=says) for name, says in rules.items()}
    texts |= {name.replace("__", "/"): text for name, text in more.items()}
    for name, text in texts.items():
        path = folder / "docs/knowledge" / f"{name}.yaml"
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_text(text, encoding="utf-8")
    shelf = load_knowledge(folder / "docs/knowledge", "docs/knowledge", package=None)
    assert shelf.problems == []
    return shelf


def ran(folder, shelf, head=LICENSED):
    """A build of the club that ran eleven hours by rule X."""
    fits = bent("fits.yaml", "because: test,", "rule: X,")
    runs = "runs:\n  - {date: 2025-02-10, hours: 11 h, load: 'pump, \"hard\"'}\n"
    told = "outcomes:\n  - {date: 2025-02-12, about: F1, result: nipped, by: ada, note: 'at full load: dry'}\n"
    build = load_build(
        write(folder / "small", build=head, fits=fits, running=runs, outcomes=told), "builds/small", shelf
    )
    assert build.problems == []
    return build


def given(folder, **more):
    shelf = club(folder, {"X": "so much", "Y": "more"}, sharing=SHARING, **more)
    build = ran(folder, shelf)
    evidence = evidence_of_rules(shelf, [(build, assess(build, shelf))])
    return shelf, build, outcomes.items(shelf, told_by_builds(shelf, evidence.values(), [build]))


def test_what_a_build_tells_and_what_is_counted_travel_as_one_thing_a_club(tmp_path):
    _, _, (item,) = given(tmp_path, outcomes__ours="outcomes: ours\nclub: Test club\ncounts: {Y: {ran_free: 3}}\n")
    assert (item.kind, item.id, item.club, sorted(item.rests_on)) == ("outcomes", "ours", "Test club", ["X", "Y"])
    again = SharedItem.model_validate_json(item.model_dump_json())
    taker = club(tmp_path / "taker", {"X": "so much", "Y": "more"})
    fitted = outcomes.for_this_shelf(again, taker)
    assert (fitted.left_out, fitted.engines) == ((), 4)
    there = club(tmp_path / "taker", {}, outcomes__ours=fitted.item.files["outcomes/ours.yaml"])
    evidence = evidence_of_rules(there)
    (told,) = evidence["X"].clubs[0].told
    assert (told.engine, told.result, told.minutes, told.note) == ("Small engine", "nipped", 660.0, "at full load: dry")
    assert (told.clearance, told.build, told.fit, told.said_by) == (pytest.approx(0.065), "small", "F1", "Ada")
    assert dict(evidence["Y"].clubs[0].results) == {"ran_free": 3}


def test_a_rule_is_known_by_what_it_says_and_no_rule_gets_another_ones_evidence(tmp_path):
    _, _, (item,) = given(tmp_path)
    other = club(tmp_path / "other", {"X": "something else"})
    fitted = outcomes.for_this_shelf(item, other)
    assert (fitted.left_out, fitted.engines) == (("X",), 0)
    renamed = club(tmp_path / "renamed", {"X": "something else", "X-2": "so much"})
    fitted = outcomes.for_this_shelf(item, renamed)
    assert fitted.left_out == () and "rule: X-2" in fitted.item.files["outcomes/test-club.yaml"]


def test_an_engine_of_this_site_is_not_counted_again_where_another_club_tells_of_it(tmp_path):
    shelf, build, (item,) = given(tmp_path)
    both = club(tmp_path, {}, outcomes__back=item.files["outcomes/test-club.yaml"].replace("test-club", "back"))
    for worked_out in ([], [(build, assess(build, shelf))]):
        (own,) = evidence_of_rules(both, worked_out)["X"].clubs
        assert dict(own.results) == {"nipped": 1}
    twice = club(tmp_path, {}, outcomes__more=item.files["outcomes/test-club.yaml"].replace("test-club", "more"))
    assert dict(evidence_of_rules(twice)["X"].clubs[0].results) == {"nipped": 1}


@pytest.mark.parametrize("data", [None, "CC-BY-NC-ND-4.0", "LicenseRef-ours", "CC-BY-SA-4.0"])
def test_a_build_whose_licence_does_not_allow_it_is_not_told_of(tmp_path, data):
    shelf = club(tmp_path, {"X": "so much"}, sharing=SHARING)
    head = LICENSED.replace("licences: {data: CC-BY-4.0}", f"licences: {{data: {data}}}" if data else "licences: {}")
    build = ran(tmp_path, shelf, head)
    evidence = evidence_of_rules(shelf, [(build, assess(build, shelf))])
    assert evidence["X"].clubs and told_by_builds(shelf, evidence.values(), [build]) == []


def test_without_sharing_nothing_is_given_and_nothing_that_was_brought_is_given_on(tmp_path):
    text = "outcomes: theirs\nclub: Their club\ncounts: {X: {ran_free: 3}}\n"
    assert outcomes.items(club(tmp_path / "a", {"X": "so"}, outcomes__theirs=text), []) == []
    origin = (
        "origins:\n  outcomes theirs: {came_from: 'https://example.org/', club: Their club, licence: CC-BY-4.0, "
        f"digest: 'sha256:{'0' * 64}', as_brought: 'sha256:{'0' * 64}', on: 2025-01-01}}\n"
    )
    shelf = club(tmp_path / "b", {"X": "so"}, outcomes__theirs=text, origins=origin, sharing=SHARING)
    assert outcomes.items(shelf, []) == []


def test_an_item_that_is_not_sound_is_told_as_such(tmp_path):
    _, _, (item,) = given(tmp_path)
    bad = item.model_copy(update={"files": {"outcomes/test-club.yaml": "outcomes: test-club\nclub: [1]\n"}})
    assert outcomes.for_this_shelf(bad, club(tmp_path / "t", {"X": "so much"})) is None
