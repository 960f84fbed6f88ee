"""A set-up card: which jaw by how much, tilt, and whose card holds for an operation of the same holding."""

import pytest
from gudgeon.assess.build import assess
from small_build import FILES, all_said, load, shelf

GAUGES = FILES["instruments.yaml"] + (
    "  dti: {name: indicator, resolution: 0.01 mm, scale: 0.01 mm, use: 0.02 mm, cte: 11.5e-6 /K, checked: never}\n"
)
CARD = "set_up: {date: 2025-02-03, held: four-jaw, indicator: dti, runs: [%s]}"
NEAR, FAR = "{station: 100 mm, reads: 0.00 0.05 0.10 0.05 mm}", "{station: 0 mm, reads: 0.00 0.15 0.10 -0.05 mm}"
TURN = "TURN: {part: piston, does: turn skirt, needs: [BORE], changes: [piston.skirt], done: 2025-02-03"


def set_up(tmp_path, card, more="jaws: 4", later="", op="TURN"):
    operations = FILES["operations.yaml"].replace(TURN, f"{TURN}, holding: H, {more}, {card}") + later
    build = load(tmp_path, operations=operations, instruments=GAUGES)
    assert build.problems == [], build.problems
    return assess(build, shelf()).operations[op].set_up


def test_half_of_the_swing_and_the_jaw_on_the_high_side(tmp_path):
    """At 100 mm it swings 0.10 from 0° to 180°: 0.05 high at 180°, so jaw 3 goes in by 0.05 and jaw 1 out."""
    card = set_up(tmp_path, CARD % f"{NEAR}, {FAR}")
    near, far = card.sections
    assert (near.offset, near.direction) == pytest.approx((0.05, 180.0)) and near.told and near.left == pytest.approx(0)
    assert [jaw.move for jaw in card.jaws] == pytest.approx([-0.05, 0.0, 0.05, 0.0])
    assert [jaw.angle for jaw in card.jaws] == [0, 90, 180, 270]
    assert near.expanded == pytest.approx(0.02 / 2**0.5)
    assert (far.offset, far.direction) == pytest.approx((0.1118034, 116.565051))
    # Toward 90° it changes by 0.1 over the 100 mm to station 0: as the station grows it leans the other way.
    assert (card.tilt, card.tilt_direction) == pytest.approx((0.001, 270.0)) and card.missing == () and card.valid


def test_an_offset_within_what_the_readings_tell_moves_no_jaw(tmp_path):
    card = set_up(tmp_path, CARD % "{station: 10 mm, reads: 0.00 0.00 0.01 0.00 mm}")
    assert not card.sections[0].told and card.jaws == () and card.tilt is None
    assert all_said(card.missing) == ["the indicator ran at one place only (set_up of TURN): tilt is not known"]


def test_what_is_oval_and_true_moves_no_jaw(tmp_path):
    card = set_up(tmp_path, CARD % "{station: 10 mm, reads: 0.20 0.00 0.26 0.00 mm}")
    assert card.sections[0].offset == pytest.approx(0.03) and not card.sections[0].told and card.jaws == ()


@pytest.mark.parametrize("jaws", ["jaws: 3", "note: on a faceplate"])
def test_only_four_jaws_are_set_each_on_its_own(tmp_path, jaws):
    assert set_up(tmp_path, CARD % NEAR, jaws).jaws == ()


def test_a_card_holds_for_its_holding_until_that_is_broken(tmp_path):
    again = "  FIN: {part: piston, does: finish, needs: [TURN], changes: [piston.skirt], holding: H%s}\n"
    other = "  BRK: {part: piston, does: drill, needs: [TURN], changes: [piston.skirt], done: 2025-02-04}\n"
    for name, later, valid, of in (
        ("kept", again % "", True, "TURN"),
        ("broken", again % "" + other, False, "TURN"),
        ("trued", again % (", " + CARD.replace("02-03", "02-04") % NEAR) + other, True, "FIN"),
        ("stale", again % (", " + CARD % NEAR) + other, False, "FIN"),
    ):
        (tmp_path / name).mkdir()
        card = set_up(tmp_path / name, CARD % NEAR, later=later, op="FIN")
        assert (card.valid, card.operation, bool(card.sections)) == (valid, of, valid), name
        if not valid:
            assert "BRK broke the holding since" in all_said(card.missing)[0]


def test_without_an_indicator_or_a_run_nothing_is_said_to_be_true(tmp_path):
    for name, card, says in (
        ("bare", "set_up: {date: 2025-02-03, held: vice}", "how true the work runs is not known"),
        (
            "unnamed",
            (CARD % f"{NEAR}, {FAR}").replace("indicator: dti, ", ""),
            "how well the offset is known is not known",
        ),
    ):
        (tmp_path / name).mkdir()
        made = set_up(tmp_path / name, card)
        assert says in all_said(made.missing)[0] and all(section.expanded is None for section in made.sections)


@pytest.mark.parametrize(
    ("card", "says"),
    [
        (CARD % "{reads: 0.00 0.05 0.10 mm}", "4 angles and 3 readings do not go together"),
        ((CARD % NEAR).replace("runs:", "angles: [0 deg, 180 deg], runs:"), "three angles or more"),
        ((CARD % NEAR).replace("runs:", "angles: [0 deg, 90 deg, 180 deg, 360 deg], runs:"), "each once"),
        (CARD % f"{NEAR}, {NEAR}", 'need a "station" each'),
        (CARD.replace("dti", "dto") % NEAR, '"dto" is not in the gauge drawer'),
    ],
)
def test_what_tells_no_offset_is_refused_at_its_line(tmp_path, card, says):
    operations = FILES["operations.yaml"].replace(TURN, f"{TURN}, {card}")
    problems = [str(problem) for problem in load(tmp_path, operations=operations, instruments=GAUGES).problems]
    assert len(problems) == 1 and says in problems[0] and problems[0].startswith("builds/small/operations.yaml:3:")
