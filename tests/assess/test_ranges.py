"""Where a sum holds: every range that it prints is code, is told when it is stepped over, and is never passed by in silence."""

import inspect
import re
from dataclasses import replace

import pytest
from gudgeon.assess.build import assess
from gudgeon.assess.calculations import REGISTRY
from gudgeon.assess.calculations.offered import valid
from gudgeon.assess.calculations.ranges import heated, note_of_range
from gudgeon.assess.calculations.uncertain import exact, within
from gudgeon.assess.knowledge_checks import grounds
from gudgeon.assess.measuring.materials import Figures
from gudgeon.records.judgement import Angle
from gudgeon_calc.balance import greatest_shaking
from gudgeon_calc.bearings import rod_bolt_load
from gudgeon_calc.units import Quantity as Q
from gudgeon_calc.validity import ValidRange
from small_build import FILES, all_said, bent, findings, load, said, shelf

RANGES = {
    f"{calculation.id}: {one.what} {one.said}": one
    for calculation in REGISTRY
    for one in (*calculation.formula.ranges, *calculation.ranges)
}
# Numbers that lie within every range, in the units that the formulas work in.
WITHIN = {
    **{
        "ratio": 5.0,
        "hits": 20.0,
        "cycles": 50.0,
        "factor": 0.18,
        "rod": 0.21,
        "stroke": 0.1,
        "bore": 100.0,
        "stress": 50.0,
    },
    **{"pressure": 2.0, "wall": 4.0, "diameter": 100.0, "face": 18.0, "hole": 13.0, "large": 30.0, "small": 28.0},
    **{"length": 200.0, "depth": 10.0, "mean_radius": 300.0, "mark_before": 0.0, "mark_after": 300.0, "rim": 600.0},
    **{
        "hub_outer": 90.0,
        "seat": 45.0,
        "shaft_inner": 10.0,
        "altitude": 100.0,
        "shaft": 2.0,
        "cap": 0.5,
        "turning": 2.0,
    },
}
RESULTS = {"wall-new": 6.0, "ring-wall": 4.0, "rim-radius-most": 2.0}
A_NUMBER = (
    r"\d|\b(twice|tenth|hundredth|thin|thick|small|percent)\b|\b(longer|shorter|wider|thinner|thicker|less|more|larger|smaller) than\b"
    r"|\b(under|over|above|below|half|at least|at most|up to|about) (a|an|the bore|of|about|one|two)\b"
)


def test_a_sum_has_no_range_in_its_words_alone():
    """A range that only the documentation says would be printed and never tested."""
    for calculation in REGISTRY:
        words = re.search(r"Valid:\s*(.*)", inspect.getdoc(calculation.formula), re.DOTALL)[1]
        assert not re.search(A_NUMBER, " ".join(words.split())), (calculation.id, words)
        for one in (*calculation.formula.ranges, *calculation.ranges):
            assert f"{one.what} {one.said}" in valid(calculation, shelf().judgement), "what is tested is printed"


def test_a_range_says_why_on_what_ground_and_takes_what_its_sum_has():
    for calculation in REGISTRY:
        for one in (*calculation.formula.ranges, *calculation.ranges):
            assert one.why and (one.least is not None or one.most is not None), calculation.id
            assert re.match(
                r"derived here|common practice, no source|from memory|.*\b(1[89]|20)\d\d\b|.*B17|.*6885", one.ground
            )
            assert set(one.takes) <= {*calculation.takes, *calculation.tested_by, "result"}, calculation.id
    assert len(RANGES) >= 50


def crossing(one: ValidRange, numbers: dict[str, float], end: float, beyond) -> tuple[dict, dict]:
    """Numbers just within an end of a range and just beyond it, one of them moved."""
    for name in numbers:
        for sign in (1, -1):
            inner = numbers[name]
            for step in range(-8, 24):
                outer = numbers[name] + sign * max(abs(numbers[name]), 1e-3) * 2.0**step
                try:
                    past = beyond(one.number({**numbers, name: outer}), end)
                except (ZeroDivisionError, ValueError):
                    break
                if not past:
                    continue
                for _ in range(200):
                    middle = (inner + outer) / 2
                    inner, outer = (
                        (inner, middle) if beyond(one.number({**numbers, name: middle}), end) else (middle, outer)
                    )
                far = (outer - numbers[name]) * 2e-3
                return {**numbers, name: inner - far}, {**numbers, name: outer + far}
    raise AssertionError(f"nothing steps over {end} of {one.what}")


@pytest.mark.parametrize("name", RANGES)
def test_each_range_is_told_once_it_is_stepped_over(name):
    one = RANGES[name]
    numbers = {taken: WITHIN.get(taken, RESULTS.get(name.partition(":")[0], 0.0)) for taken in one.takes}
    if one.unit == "mm" and "shaft" in numbers:
        numbers["shaft"] = 40.0
    if one.number(numbers) > (one.most or 1e9):  # of the rods of four to five cranks
        numbers["rod"] = 0.21
    assert one.holds(one.number(numbers)), numbers
    for end, beyond in ((one.least, lambda number, end: number < end), (one.most, lambda number, end: number > end)):
        if end is None:
            continue
        inside, outside = (
            {taken: exact(number) for taken, number in side.items()} for side in crossing(one, numbers, end, beyond)
        )
        assert note_of_range(one, inside) is None
        told = note_of_range(one, outside)
        assert told and told.code.startswith("outside-range")
        assert one.said in said(told) and one.ground in said(told)


def test_a_number_that_only_may_lie_outside_is_told_as_such():
    thin = ValidRange("the wall over the bore", "wall", "bends", "derived here", most=0.1, over="bore")
    told = note_of_range(thin, {"wall": within("wall", 9.0, 8.0, 11.0), "bore": exact(100.0)})
    assert said(told) == "the wall over the bore may be 0.11, and this holds for at most 0.1: bends (derived here)"
    assert note_of_range(thin, {"wall": within("wall", 9.0, 8.0, 10.0), "bore": exact(100.0)}) is None


WHEEL = bent("parts/cyl.yaml", "part: cyl", "part: wheel").replace("family: cylinder", "family: flywheel")
STOP = "figures:\n  stop_mark_before: {is: 0 mm, from: stop}\n  stop_mark_after: {is: 200 mm, from: stop}\n"


def test_a_clubs_own_threshold_takes_the_place_of_the_end_that_is_shipped(tmp_path):
    """The stop is met 19° away: enough by the 15° that are shipped, too near for a club that asks for 20°."""
    judged = [one for one in RANGES.values() if one.judged]
    assert [(one.judged, one.least) for one in judged] == [("stop_angle", float(shelf().judgement["stop_angle"]))]
    wheel = WHEEL[: WHEEL.index("features:")] + "features:\n  rim_od: {name: Rim, kind: od, nominal: 600 mm}\n"
    build = load(tmp_path, parts__wheel=wheel, figures=STOP)
    own = Angle.model_validate({"is": "20 deg", "means": "as the club does", "basis": "from memory"})
    for knowledge, told in (
        (shelf(), []),
        (replace(shelf(), judgement={**shelf().judgement, "stop_angle": own}), ["at least 20 °", "(from memory)"]),
    ):
        mark = next(one for one in assess(build, knowledge).calculations if one.id == "dead-centre-mark")
        words = " ".join(all_said(mark.outside))
        assert bool(words) == bool(told) and all(word in words for word in told), words
        assert not told or told[0] in mark.valid


def test_ranges_and_slips_that_nobody_printed_are_listed(club):
    listed = {(ground.kind, ground.basis) for ground in grounds(club)}
    assert {("range of a formula", "common practice"), ("threshold of the records", "common practice")} <= listed


METAL = Figures("ci", "grey iron", 11e-6, None, (20.0, 200.0), None, None, None, None, None, "ci")


def test_a_wheel_is_not_heated_past_what_its_coefficient_is_for():
    assert heated(METAL, 180.0) is None
    assert "be at 201 °C, and the coefficient of grey iron is for 20 °C to 200 °C" in said(heated(METAL, 181.0))
    unsaid = Figures("ci", "grey iron", 11e-6, None, None, None, None, None, None, None, "ci")
    assert said(heated(unsaid, 50.0)).startswith("nothing says for what temperatures")


def test_the_demonstration_wheel_is_told_so(club):
    from gudgeon.assess.build import assess

    build = next(build for build in club.builds if build.id == "sundlia")
    heating = next(one for one in assess(build, club.knowledge).calculations if one.id == "hub-heating")
    # 243 K at most over 20 C is 263 C, and its coefficient is for 200 C at most
    assert [note.code for note in heating.outside] == ["heated-beyond-coefficient"]


RING = """\
part: ring
name: Ring
family: ring
material: grey-iron
state: bought
features:
  wall: {{name: Wall, kind: thickness, nominal: {wall} mm}}
  gap: {{name: Gap, kind: play, nominal: 0.2 mm}}
  free_gap: {{name: Free gap, kind: play, nominal: 2 mm}}
"""


def test_a_danger_whose_sum_does_not_hold_is_not_said_to_be_far_off(tmp_path):
    states = {}
    for wall in ("2", "6"):
        (tmp_path / wall).mkdir()
        worked_out = findings(tmp_path / wall, parts__ring=RING.format(wall=wall))
        danger = next(danger for danger in worked_out.dangers if danger.calculation == "ring-closing-stress")
        states[wall] = danger.state, danger.outside
    assert states == {"2": ("not past", False), "6": ("may be past", True)}


def test_what_rests_on_a_sum_that_does_not_hold_says_so_and_what_is_missing_is_asked_for(tmp_path):
    figures = (
        "figures:\n  stud_torque: {is: 22 N.m, from: a guess}\n  torque_factor: {is: '0.5', from: a guess}\n"
        "  stud_size: {is: 12 mm, from: a guess}\n  stud_count: {is: '4', from: counted}\n"
        "  rim_stress: {is: 10 MPa, from: a guess}\n"
    )
    head = (
        FILES["parts/piston.yaml"].replace("piston", "head").replace("Piston", "Head").replace("mates: [cyl.bore]", "")
    )
    wheel = (
        "part: wheel\nname: Wheel\nfamily: flywheel\nmaterial: grey-iron\nstate: bought\nspokes: 6\nfeatures:\n"
        "  rim_od: {name: Rim outside, kind: od, nominal: 600 mm}\n"
    )
    worked_out = {
        one.id: one
        for one in findings(
            tmp_path, parts__head=head.replace(", }", "}"), parts__wheel=wheel, figures=figures
        ).calculations
    }
    assert all_said(worked_out["stud-preload"].outside) == [
        "the friction factor K is 0.5, and this holds for 0.09 to 0.3: no state of threads in the table has it "
        "(Shigley 2010, Table 8-15 p. 439)"
    ]
    assert [note.code for note in worked_out["stud-clamp"].outside] == ["rests-outside-range"]
    assert all_said(worked_out["rim-radius-most"].outside) == [
        "not tested whether the depth of the rim over its mean radius is at most 0.1, for which this holds; "
        'that needs parts/wheel.yaml: a feature "rim_depth"'
    ]
    # A bore of 50 mm is in no row of the table: that is told of the allowance, and of the wall that takes it.
    assert all_said(worked_out["reboring-allowance"].outside)[0].startswith(
        "the bore is 50 mm, and this holds for 75 to 500 mm"
    )


def test_the_rod_bolts_carry_what_turns_over_them_and_the_suction():
    """By hand: ω = 2π·300/60; 2 kg and 1.5 of 2 kg less 0.5 kg of cap on a crank of 0.1 m with a rod of 0.4 m; 20 kPa on 100 mm."""
    pull = 0.1 * (2 * 3.14159265 * 5) ** 2
    given = (Q(2, "kg"), Q(1.5, "kg"), Q(0.5, "kg"), Q(0.2, "m"), Q(0.4, "m"), Q(300, "revolution/minute"))
    load = rod_bolt_load(*given, Q(20, "kPa"), Q(100, "mm")).m_as("newton")
    assert load == pytest.approx(2 * pull * 1.25 + 1.0 * pull + 0.02 * 3.14159265 / 4 * 100**2, rel=1e-6)


def test_two_terms_of_the_acceleration_are_near_enough_from_two_cranks_on():
    """The ground that the range of the shaking force states: 5 percent of the greatest."""
    from gudgeon_calc.turning_moment import piston_motion

    def furthest(rod: float) -> float:
        import math

        angles = [math.radians(degree) for degree in range(181)]
        sums = [math.cos(angle) + math.cos(2 * angle) / rod for angle in angles]
        exact_ones = [piston_motion(angle, 1.0, rod)[2] for angle in angles]
        return max(abs(one - other) for one, other in zip(sums, exact_ones, strict=True)) / (1 + 1 / rod)

    assert furthest(2.0) == pytest.approx(0.0516, abs=1e-3) and furthest(4.0) < 0.007
    assert greatest_shaking.ranges[0].least == 2.0


def test_a_wheel_in_one_piece_is_asked_for_no_joint(tmp_path):
    wheel = (
        "part: wheel\nname: Wheel\nfamily: flywheel\nmaterial: grey-iron\nstate: bought\nspokes: 6\n{joints}features:\n"
        "  rim_od: {{name: Rim outside, kind: od, nominal: 600 mm}}\n  rim_depth: {{name: Depth, kind: length, nominal: 30 mm}}\n"
    )
    asked = {}
    for joints in ("", "rim_joints: 0\n", "rim_joints: 2\n"):
        folder = tmp_path / str(len(asked))
        folder.mkdir()
        worked_out = findings(folder, parts__wheel=wheel.format(joints=joints))
        asked[joints] = [one.id for one in worked_out.calculations if one.id.startswith("jointed-rim")]
    assert asked == {
        "": ["jointed-rim-speed", "jointed-rim-share"],
        "rim_joints: 0\n": [],
        "rim_joints: 2\n": ["jointed-rim-speed", "jointed-rim-share"],
    }
