"""Several hands at one place, rules that give nothing, temperatures at the end of a range, tools that last: both sides of each edge."""

import numpy as np
import pytest
from assess.test_rules import fit_by, rule
from assess.test_work import LATHE, OPEN, codes, operations, planned
from gudgeon.assess.measuring.agreement import Hand, agreed_size, error_between, limits_of
from gudgeon.ledger.comparison import Comparison, Pair
from gudgeon_calc.surface_shapes import _along
from small_build import FILES, bent, findings, shelf
from uncertainties import ufloat


def hand(who, size, standard):
    return Hand("mic", who, (who,), ufloat(size, standard))


@pytest.mark.parametrize(
    ("sizes", "against", "mean", "expanded"),
    [
        (((50.000, 0.002),), (), 50.000, 0.004),
        (((50.000, 0.002), (50.000, 0.002)), (), 50.000, 0.004 / 2**0.5),
        (((50.000, 0.001), (50.002, 0.002)), (), 50.0004, 0.002 * 0.8**0.5),  # four to one; 2 µm is under √(2² + 4²)
        (((50.000, 0.002), (50.020, 0.002)), (), 50.010, 0.014),  # they cannot both be right: 0.010 to either, and its U
        (((50.000, 0.002),), ((50.010, 0.001),), 50.000, 0.012),  # nor with another place's: 0.010 to it, and its U
        (((50.000, 0.010),), ((50.010, 0.001),), 50.000, 0.020),  # its own U reaches farther
    ],
)  # fmt: skip
def test_one_size_covers_every_hand_that_it_cannot_do_without(sizes, against, mean, expanded):
    by_hand = [hand(f"h{n}", *size) for n, size in enumerate(sizes)]
    size = agreed_size(by_hand, limits_of([by_hand]), [ufloat(*other) for other in against])
    assert (size.nominal_value, 2 * size.std_dev) == (pytest.approx(mean), pytest.approx(expanded))


def test_two_hands_may_be_farther_apart_where_they_meet_at_more_places():
    """E of 0.006 against 2·√(2·0.002²) is 1.06: too far at one place, and no surprise at the worst of ten (limit 1.42)."""
    pair = [hand("a", 50.000, 0.002), hand("b", 50.006, 0.002)]
    assert error_between(*pair) == pytest.approx(0.006 / (2 * 0.002 * 2**0.5))
    once, often = (agreed_size(pair, limits_of([pair] * count)) for count in (1, 10))
    assert 2 * once.std_dev == pytest.approx(0.003 + 0.004) and 2 * often.std_dev == pytest.approx(0.004 / 2**0.5)


@pytest.mark.parametrize(
    ("hole", "shaft", "told"), [(20, 200, 0), (19.9, 200, 1), (20, 200.1, 1), (19.9, 200.1, 2), (200.1, 200.1, 1)]
)
def test_a_coefficient_holds_to_the_ends_of_its_range(tmp_path, hole, shaft, told):
    """Grey iron from 20 to 200 °C on both sides: what goes beyond is told, the same at the same temperature once."""
    build = bent("build.yaml", "{hole: 100 °C, shaft: 150 °C}", f"{{hole: {hole} °C, shaft: {shaft} °C}}")
    (case,) = findings(tmp_path, build=build).fits["F1"].hot
    assert [note.code for note in case.outside_range] == ["beyond-coefficient"] * told
    assert all(note.temperatures["low"] == 20 and note.temperatures["high"] == 200 for note in case.outside_range)


@pytest.mark.parametrize(
    ("gives", "told", "names"),
    [
        ({"of_rule": "T2", "of_case": "air"}, "other-rule-has-no-such-case", None),
        ({"steps": [{"up_to": "50 mm", "per_length": "0.001"}, {"per_length": "0.002"}], "of": "rod"}, "no-size-to-count-on", ("size", "rod")),
        ({"expression": "0.001 * rod + 0.001 * bore"}, "figures-unknown", ("figures", "rod")),
        ({"expression": "bore * (1 mm / (stroke - 60 mm))"}, "expression-fails", None),
    ],
)  # fmt: skip
def test_a_rule_that_gives_nothing_says_what_it_lacks(tmp_path, gives, told, names):
    fit, worked = fit_by(tmp_path, rule(gives=gives), rule("T2", gives={"per_length": "0.001"}))
    assert worked.cannot.code == told and worked.low is None and fit.state == "no limit"
    if names:
        key, name = names
        assert tuple(worked.cannot.names[key]) == (name,)


def test_what_has_no_most_is_never_too_loose(tmp_path):
    fit, _ = fit_by(tmp_path, rule(gives={"per_length": "0.001"}))
    assert (fit.want_low, fit.want_high) == (pytest.approx(0.050), None) and not fit.chance_loose


@pytest.mark.parametrize(
    ("times", "told"), [(1.25, "tool-life-too-far"), (1.15, "tool-lasts"), (0.85, "tool-lasts"), (0.83, "tool-life-too-far")]
)  # fmt: skip
def test_the_life_of_a_tool_is_said_up_to_ten_times_longer_or_shorter(tmp_path, times, told):
    """Exponents of 0.08 to 0.20 are printed for high-speed steel: 1.15 and 0.85 times the speed are 5.7 and 0.13 times the life by
    the first, 1.25 and 0.83 are 16 and 0.097 times. The last pass goes 200 rpm on 49.946 mm, 31.4 m/min."""
    known = f"tool_of: high-speed steel, tool_lasts: 60 min, tool_lasted_at: {times * 31.38:.3f} m/min, "
    operation = OPEN.replace("cutting: {", "cutting: {" + known)
    plan = planned(tmp_path, operations=operations(operation), machines=LATHE).cut_plans[0]
    assert plan.passes[-1].speed == 200 and {code for code in codes(plan.effects) if "tool-l" in code} == {told}


def test_the_shapes_of_a_mouth_stand_at_the_ends_alone():
    terms = _along(np.array([-1.0, -0.5, 0.0, 1.0]))
    assert terms["bell-mouth"].tolist() == [1, 0, 0, 1] and terms["uneven bell-mouth"].tolist() == [-1, 0, 0, 1]
    assert terms["barrel"].tolist() == [1, 0.25, 0, 1] and terms["deep bell-mouth"].tolist() == [1, 0.0625, 0, 1]


def test_a_danger_has_no_margin_where_it_is_past_and_some_where_not(harrow):
    worked_out = [danger for danger in harrow.dangers if danger.value is not None]
    assert worked_out and all(danger.margin > 0 for danger in worked_out if danger.value)
    assert all((danger.margin < 1) is danger.hit for danger in worked_out)


def test_pairs_of_builds_are_gone_through_in_order_and_what_has_one_side_moves_nothing(tmp_path):
    for name in ("was", "now"):
        (tmp_path / name).mkdir()
    was = findings(tmp_path / "was")
    now = findings(
        tmp_path / "now", readings__2025_02_04_skirt=FILES["readings/2025-02-04-skirt.yaml"].replace("49.945", "49.946")
    )
    whole, new, gone = (
        Pair("a", None, None, was, now),
        Pair("b", None, None, None, now),
        Pair("c", None, None, was, None),
    )
    for one_sided in (new, gone):
        assert one_sided.moves == {} and one_sided.ledgers == ({}, {})
    move = whole.moves["fit", "F1", "clearance"]
    assert (move.was, move.now, move.by) == tuple(pytest.approx(value) for value in (0.065, 0.064, -0.001))
    assert all(len(ledger) > 100 for ledger in whole.ledgers)
    told = []
    pairs = [lambda pair=pair: pair for pair in (whole, new, gone)]
    comparison = Comparison("base", "head", shelf(), shelf(), pairs)
    assert list(comparison.over_pairs(lambda pair: pair.name, lambda done, of: told.append((done, of)))) == [
        "a",
        "b",
        "c",
    ]
    assert told == [(1, 3), (2, 3), (3, 3)]
