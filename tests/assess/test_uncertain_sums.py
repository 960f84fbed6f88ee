"""Sums carry the errors of readings and the ranges of figures jointly, and dangers say how likely they are past their limit."""

import math

import numpy as np
import pytest
from gudgeon.assess.build import assess
from gudgeon.assess.calculations.uncertain import by_columns, chance_past, combined, ends, exact, reading, within
from gudgeon_calc.uncertainty import COVERAGE
from small_build import load, shelf
from uncertainties import ufloat


def by_id(worked_out):
    return {(one.id, one.part): one for one in worked_out.calculations}


def test_what_a_sum_s_range_comes_to_on_a_build(club):
    sundlia = by_id(assess(next(build for build in club.builds if build.id == "sundlia"), club.knowledge))
    preload = sundlia["stud-preload", "head"]
    # 22 N m / (0.012 m x 0.30) and / (0.012 m x 0.09)
    assert (preload.low, preload.high) == (pytest.approx(6111.1, abs=0.1), pytest.approx(20370.4, abs=0.1))
    assert preload.spread_by == ("ranges",)
    # 42.7 +- 12.4 um of interference and 50 um to enter: 92.7 +- 12.4 um over 39.6e-5 mm/K
    heating = sundlia["hub-heating", "flywheel"]
    assert (round(heating.low), round(heating.high)) == (186, 243) and heating.spread_by == ("readings",)


def test_an_error_that_two_readings_share_is_one_error():
    scale = ufloat(0, 0.010)
    outside, inside = reading("outside", 60 + scale), reading("inside", 50 + scale)
    wall = combined(5.0, {"D": outside, "d": inside}, lambda given: (given["D"] - given["d"]) / 2)
    assert ends(wall) is None  # it cancels, so that nothing is left of it
    both = combined(110.0, {"D": outside, "d": inside}, lambda given: given["D"] + given["d"])
    assert ends(both) == (pytest.approx(110 - 2 * COVERAGE * 0.010), pytest.approx(110 + 2 * COVERAGE * 0.010))


def test_a_figure_that_goes_in_twice_is_one_figure():
    factor = within("K", 0.2, 0.1, 0.3)
    half = combined(0.1, {"K": factor}, lambda given: given["K"] / 2)
    ratio = combined(2.0, {"K": factor, "half": half}, lambda given: given["K"] / given["half"])
    assert ends(ratio) is None


def test_where_nothing_says_how_uncertain_a_sum_is_no_chance_is_told():
    sure = combined(3.0, {"a": exact(1.0), "b": exact(2.0)}, lambda given: given["a"] + given["b"])
    assert ends(sure) is None and chance_past(sure, 2.0, over=True) is None


def test_the_chance_told_is_how_often_it_is_truly_past():
    # Stress p d / 2 t of a wall that was read, at a pressure somewhere in a range: the truth drawn anew, by another generator.
    wall, pressure = reading("wall", ufloat(4.0, 0.2)), within("p", 2.0, 1.5, 2.5)
    stress = combined(12.5, {"t": wall, "p": pressure}, lambda given: given["p"] * 50 / (2 * given["t"]))
    random = np.random.Generator(np.random.Philox(7))
    truth = random.uniform(1.5, 2.5, 400_000) * 50 / (2 * random.normal(4.0, 0.2, 400_000))
    for limit in (10.0, 14.0, 15.5):
        assert chance_past(stress, limit, over=True) == pytest.approx(np.mean(truth > limit), abs=0.012)
        assert chance_past(stress, limit, over=False) == pytest.approx(np.mean(truth < limit), abs=0.012)


def test_a_formula_that_takes_no_columns_is_worked_out_one_by_one():
    def only_numbers(given):
        if given["x"] < 1.2:
            raise ValueError("below what it holds for")
        return math.sqrt(given["x"])

    number = combined(math.sqrt(2), {"x": within("x", 2.0, 1.5, 4.0)}, only_numbers_in_columns(only_numbers))
    assert ends(number) == (pytest.approx(math.sqrt(1.5)), 2.0)
    assert chance_past(number, 1.5, over=True) == pytest.approx((4 - 2.25) / 2.5, abs=0.05)
    beyond = combined(math.sqrt(2), {"x": within("x", 2.0, 1.0, 4.0)}, only_numbers_in_columns(only_numbers))
    assert ends(beyond) is None  # without a result at one end no range is told
    assert chance_past(beyond, 1.9, over=True) == pytest.approx((4 - 3.61 + 0.2) / 3, abs=0.05)  # and counts as past


def only_numbers_in_columns(work_out):
    return lambda columns: by_columns(work_out, columns)


def test_a_danger_whose_range_reaches_over_its_limit_is_never_not_past(harrow):
    rings = [danger for danger in harrow.dangers if danger.calculation.startswith("ring-")]
    assert {danger.state for danger in rings} == {"may be past"} and all(not danger.hit for danger in rings)
    closing = next(danger for danger in rings if danger.calculation == "ring-closing-stress")
    # E lies evenly from 70 to 130 GPa: past from 250/211.3 x 100 = 118.3 GPa on
    assert closing.chance == pytest.approx((130 - 118.3) / 60, abs=0.02)
    for danger in harrow.dangers:
        past = [end for end in (danger.value, danger.low, danger.high) if end is not None]
        reaches = any(end > danger.limit if danger.over else end < danger.limit for end in past)
        assert (danger.state in ("past", "may be past")) == reaches


def test_a_danger_that_cannot_be_worked_out_says_what_it_needs(harrow):
    clamp = next(danger for danger in harrow.dangers if danger.calculation == "stud-clamp-ratio")
    assert clamp.state == "not worked out" and clamp.missing and not clamp.hit and clamp.margin is None


@pytest.mark.parametrize(
    ("change", "told"),
    [
        ("least: '0.09'", '"least" and "most" go together'),
        ("least: '0.2', most: '0.3'", '"0.18" does not lie from "0.2" to "0.3"'),
    ],
)
def test_a_range_is_whole_and_holds_its_figure(tmp_path, change, told):
    text = "figures:\n  torque_factor: {is: '0.18', CHANGE, from: a guess}\n".replace("CHANGE", change)
    assert any(told in str(problem) for problem in load(tmp_path, figures=text).problems)


def test_a_jointed_rim_is_held_against_the_speed_that_its_joint_bears(tmp_path):
    wheel = (
        "part: wheel\nname: Flywheel\nfamily: flywheel\nmaterial: grey-iron\nstate: bought\nspokes: 6\nfeatures:\n"
        "  rim_od: {name: Rim outside, kind: od, nominal: 600 mm}\n  rim_depth: {name: Rim depth, kind: length, nominal: 60 mm}\n"
    )
    figures = (
        "figures:\n  wheel_rim_strength: {is: '0.25', from: a guess}\n  runaway_speed: {is: 800 rpm, from: a guess}\n"
    )
    dangers = assess(load(tmp_path, parts__wheel=wheel, figures=figures), shelf()).dangers
    joint = next(danger for danger in dangers if danger.calculation == "jointed-rim-share")
    # pi x 0.600 m x 800/60 = 25.13 m/s over 26.82 m/s x sqrt(0.25) = 13.41 m/s
    assert joint.value == pytest.approx(25.133 / 13.411, rel=1e-3) and joint.state == "past"


def test_many_ranges_are_worked_out_at_the_two_corners_that_count():
    """A range on every figure, through a formula that takes one number at a time: the ends are those of all corners."""
    figures = {f"f{number}": within(f"f{number}", 2.0, 1.9, 2.2) for number in range(14)}

    def one_at_a_time(given):
        product = 1.0
        for number in range(14):
            product *= math.sqrt(given[f"f{number}"]) if number % 2 else 1 / math.sqrt(given[f"f{number}"])
        return product

    number = combined(1.0, figures, lambda columns: by_columns(one_at_a_time, columns))
    assert ends(number) == pytest.approx(((1.9 / 2.2) ** 3.5, (2.2 / 1.9) ** 3.5))
