"""What decides between two answers, tried on both sides of where it turns. Each was broken by hand and seen to go red."""

import pytest
from assess.test_states import FINISH, GAP, SKIRT, ring_gap
from gudgeon.assess.measuring.materials import Materials
from gudgeon.assess.steps import Steps
from small_build import bent, findings, load, shelf

TIGHT = bent(SKIRT, "49.945", "49.985")
CONCESSION = (
    "reviews:\n  - {date: 2025-02-05, who: ada, verdict: concession, about: [F1], allow: [0.000 mm, 0.060 mm], "
    "recheck: %s, says: run it in gently}\n"
)


@pytest.mark.parametrize(("day", "state"), [("2025-02-05", "conceded"), ("2025-02-04", "out")])
def test_a_concession_holds_through_its_last_day(tmp_path, day, state):
    """The newest day of the records is 2025-02-05."""
    assert findings(tmp_path, reviews=CONCESSION % day, readings__2025_02_04_skirt=TIGHT).fits["F1"].state == state


@pytest.mark.parametrize(("allow", "state"), [("0.020 mm, 0.060 mm", "conceded"), ("0.000 mm, 0.020 mm", "out")])
def test_a_concession_has_both_its_ends(tmp_path, allow, state):
    """The clearance is 50.010 - 49.985 = 0.025 mm."""
    review = (CONCESSION % "2025-06-01").replace("0.000 mm, 0.060 mm", allow)
    assert findings(tmp_path, reviews=review, readings__2025_02_04_skirt=TIGHT).fits["F1"].state == state


@pytest.mark.parametrize(("size", "look"), [("49.9566", True), ("49.9500", False)])
def test_a_fit_asks_for_a_look_at_the_clubs_chance_and_not_at_a_half(tmp_path, size, look):
    """Clearances of 0.0534 and 0.060 mm where 0.050 is the least: in by reading, out with a chance well under a half."""
    fit = findings(tmp_path, readings__2025_02_04_skirt=bent(SKIRT, "49.945", size)).fits["F1"]
    limit = float(shelf().judgement["look_at_chance"])
    assert fit.look is look and (limit < max(fit.chance_tight, fit.chance_loose) < 0.45) is look


@pytest.mark.parametrize(
    ("place", "more", "state"),
    [("after", "", "stale"), ("before", "", "in"), ("after", "needed", "in"), ("before", "needs", "stale")],
)
def test_of_operations_of_one_day_need_tells_the_order_and_then_the_list(tmp_path, place, more, state):
    """FINISH is done on the day on which the skirt was read after TURN."""
    turn = "TURN: {part: piston, does: turn skirt, needs: [BORE], changes: [piston.skirt], done: 2025-02-04}"
    finish = "FINISH: {part: piston, does: finish skirt, changes: [piston.skirt], done: 2025-02-04}"
    if more == "needs":
        finish = finish.replace("changes", "needs: [TURN], changes")
    if more == "needed":
        turn = turn.replace("needs: [BORE]", "needs: [BORE, FINISH]")
    listed = (turn, finish) if place == "after" else (finish, turn)
    bore = "BORE: {part: cyl, does: finish bore, changes: [cyl.bore], done: 2025-02-01}"
    operations = "operations:\n" + "".join(f"  {line}\n" for line in (bore, *listed))
    made = findings(tmp_path, operations=operations)
    assert made.fits["F1"].state == state and made.rows["s1"].status == ("stale" if state == "stale" else "current")


def test_an_operation_of_the_day_of_a_reading_that_names_none_came_before_it(tmp_path):
    operations = bent("operations.yaml", "done: 2025-02-03", "done: 2025-02-04")
    made = findings(tmp_path, operations=operations, readings__2025_02_04_skirt=bent(SKIRT, ", after: TURN", ""))
    assert made.rows["s1"].status == "current"


def test_a_half_that_is_still_to_be_cut_is_judged_hot_at_its_target(tmp_path):
    """0.020 mm cold less 0.0275 of growth closes up; at the 0.065 that it is cut for, 0.0375 mm is left."""
    operations = bent("operations.yaml", "operations:\n", "operations:\n" + FINISH)
    near = bent(SKIRT, "49.945", "49.990")
    (case,) = findings(tmp_path, operations=operations, readings__2025_02_04_skirt=near).fits["F1"].hot
    assert case.now < 0 < case.at_target and case.fails is None


def test_a_half_that_is_finished_is_judged_hot_as_it_is(tmp_path):
    (case,) = findings(tmp_path, readings__2025_02_04_skirt=bent(SKIRT, "49.945", "49.990")).fits["F1"].hot
    assert case.now < 0 and case.at_target is None and case.fails.code == "fails-hot"


@pytest.mark.parametrize(("shaft", "opens"), [("88 °C", False), ("50 °C", True)])
def test_a_pair_opens_hot_only_where_its_uncertainty_leaves_no_doubt(tmp_path, shaft, opens):
    """0.067 mm at its loosest cold; a bore that is 12 or 50 K hotter than its piston adds 0.0066 or 0.0275 mm."""
    build = bent("build.yaml", "hot: {hole: 100 °C, shaft: 150 °C}", f"hot: {{hole: 100 °C, shaft: {shaft}}}")
    fits = bent("fits.yaml", "0.080 mm", "0.070 mm")
    fit = findings(tmp_path, build=build, fits=fits).fits["F1"]
    (case,) = fit.hot
    assert case.now > 0.070 and (case.now - 0.070 > case.expanded) is opens
    assert ("opens-hot" in [note.code for note in fit.advice]) is opens


def test_a_pair_that_is_loose_and_closes_hot_does_not_open(tmp_path):
    fits = bent("fits.yaml", "want: [0.050 mm, 0.080 mm]", "want: [0.001 mm, 0.010 mm]")
    fit = findings(tmp_path, fits=fits).fits["F1"]
    assert fit.hot[0].now > 0.010 + fit.hot[0].expanded and "opens-hot" not in [note.code for note in fit.advice]


def test_a_coefficient_of_another_alloy_does_not_count(tmp_path):
    """Of what the sources print beside cast aluminium, the wrought alloy is another metal."""
    materials = "materials:\n  ci: {name: iron, cte: 11.0e-6 /K}\n  al: {name: piston, like: cast-aluminium}\n"
    build = load(tmp_path, materials=materials, parts__piston=bent("parts/piston.yaml", "material: ci", "material: al"))
    club = shelf().materials["cast-aluminium"]
    assert any(other.of for other in club.others)
    counting = [club.cte, *(other.cte for other in club.others if not other.of)]
    assert Materials(build, shelf(), Steps()).printed("al") == list(dict.fromkeys(counting))


@pytest.mark.parametrize(("station", "moved"), [("20 mm", 0.0004), ("50 mm", 0.0016)])
def test_between_two_places_the_nearer_one_counts_more(tmp_path, station, moved):
    """The bore is 50.010 at 10 mm and 50.012 at 60 mm; half way between, swapped weights would not show."""
    assert ring_gap(tmp_path, station, GAP).gap_moved_by == pytest.approx(-moved)


def test_a_reading_after_an_operation_is_before_what_needs_that_one(tmp_path):
    """FINISH needs TURN and was done the day before a reading that says it was taken after TURN: written down late, not read late."""
    finish = FINISH.replace("estimate", "done: 2025-02-03, estimate")
    made = findings(tmp_path, operations=bent("operations.yaml", "operations:\n", "operations:\n" + finish))
    assert made.rows["s1"].status == "stale" and made.fits["F1"].state == "stale"
