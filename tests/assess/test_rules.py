"""Rules of thumb that say what people say: steps, limits, another rule, and when they hold."""

from dataclasses import replace

import pytest
from gudgeon.assess.build import assess
from gudgeon.records.knowledge import Rule
from gudgeon.records.load_knowledge import load_knowledge
from gudgeon.records.rule_words import conditions, form
from small_build import FILES, all_said, bent, findings, load, said, shelf

FITS = "fits:\n  F1: {name: Skirt in bore, kind: skirt, hole: cyl.bore, shaft: piston.skirt, rule: T1%s}\n"


def rule(name="T1", **keys):
    """A rule of invented numbers, read as a file's text would be."""
    given = {
        "rule": name,
        "says": "so much",
        "kind": "skirt",
        "applies_to": "any",
        "valid": "any",
        "said_by": "somebody",
        "basis": "common practice",
        "grade": "club rule",
    }
    return Rule.model_validate(given | keys)


def fit_by(folder, *rules, want="", **changes):
    """The fit F1 and the first of the rules for it, in a build whose bore is 50 mm unless it is changed."""
    knowledge = replace(shelf(), rules={**shelf().rules, **{one.rule: one for one in rules}})
    build = load(folder, fits=FITS % want, **changes)
    found = assess(build, knowledge)
    return found.fits["F1"], next((one for one in found.rules if one.rule == rules[0].rule), None)


STEPS = [
    {"under": "50 mm", "per_length": "0.001"},
    {"up_to": "80 mm", "per_length": "0.002"},
    {"least": "0.2 mm", "most": "0.3 mm"},
]


@pytest.mark.parametrize(
    ("gives", "size", "low", "high"),
    [
        ({"steps": STEPS}, "49.999 mm", 0.049999, None),
        ({"steps": STEPS}, "50 mm", 0.100, None),  # "under 50 mm" leaves 50 mm itself to the next step
        ({"steps": STEPS}, "80 mm", 0.160, None),  # "up_to 80 mm" keeps it
        ({"steps": STEPS}, "80.001 mm", 0.2, 0.3),
        ({"steps": STEPS, "most": "0.25 mm"}, "90 mm", 0.2, 0.25),
        ({"per_length": "0.001", "most": "0.04 mm"}, "50 mm", 0.04, None),  # a single figure is kept under its most
        ({"per_length": ["0.001", "0.002"], "least": "0.12 mm"}, "50 mm", 0.12, None),
        ({"per_length": "0.001", "of": "stroke", "plus": "0.01 mm"}, "50 mm", 0.07, None),
        ({"per_length": "0.001", "of": "piston.skirt"}, "50 mm", 0.04994, None),
        ({"of_rule": "T2", "times": ["1.5", "2"], "plus": "0.01 mm"}, "50 mm", 0.085, 0.11),
    ],
)
def test_what_a_rule_gives(tmp_path, gives, size, low, high):
    cylinder = bent("parts/cyl.yaml", "nominal: 50.00 mm", f"nominal: {size}")
    fit, worked = fit_by(tmp_path, rule(gives=gives), rule("T2", gives={"per_length": "0.001"}), parts__cyl=cylinder)
    assert fit.want_low == pytest.approx(low, abs=1e-9)
    assert fit.want_high == (None if high is None else pytest.approx(high, abs=1e-9))
    assert (worked.low, worked.high) == (fit.want_low, fit.want_low if high is None else fit.want_high)


def test_a_step_that_ends_says_nothing_beyond(tmp_path):
    fit, worked = fit_by(
        tmp_path, rule(gives={"steps": [STEPS[0] | {"under": "30 mm"}, {"up_to": "40 mm", "per_length": "0.002"}]})
    )
    assert (fit.state, fit.want_low) == ("no limit", None) and worked.low is None
    assert "rule T1 gives nothing here, so nothing says what is wanted: it has no step for 50 mm" in all_said(
        fit.causes
    )


@pytest.mark.parametrize(
    ("others", "why"),
    [
        ([], "it takes the result of rule T2, which cannot be read"),
        (
            [rule("T2", gives={"per_length": "0.001"}, grade="withdrawn")],
            "it takes the result of rule T2, which is withdrawn",
        ),
        ([rule("T2", gives={"of_rule": "T1"})], "rules take their results from each other in a circle"),
        (
            [rule("T2", gives={"per_length": "0.001", "of": "rod"})],
            "which gives nothing: the size of rod is not known here",
        ),
    ],
)
def test_a_rule_of_another_rule_that_gives_nothing(tmp_path, others, why):
    fit, worked = fit_by(
        tmp_path, rule(gives={"of_rule": "T2"}), *others, want=", want: [0.05 mm, 0.08 mm], because: so"
    )
    assert worked.low is None and why in said(worked.cannot)
    assert any("was not compared with rule T1" in text for text in all_said(fit.advice))


def test_a_want_that_slipped_against_the_new_forms_is_told(tmp_path):
    for number, gives in enumerate(({"steps": STEPS}, {"of_rule": "T2"}, {"per_length": "0.001", "plus": "0.05 mm"})):
        folder = tmp_path / str(number)
        folder.mkdir()
        fit, _ = fit_by(
            folder, rule(gives=gives), rule("T2", gives={"per_length": "0.002"}), want=", want: [0.010 mm, 0.020 mm]"
        )
        assert "the wanted range is not what rule T1 gives: 0.010 mm for 0.100 mm" in all_said(fit.advice)


CONDITIONS = {
    "speed_least": "100 rpm",
    "speed_most": "600 rpm",
    "cooling": ["hopper"],
    "running": ["steady load"],
    "hole_materials": ["grey-iron"],
}
ENGINE = "engine: {layout: horizontal, bore: 50.00 mm, stroke: 60 mm, speed: 500 rpm}"
IRON = "materials:\n  ci: {name: grey iron, like: grey-iron}\n"


@pytest.mark.parametrize(
    ("engine", "within", "why"),
    [
        ("speed: 500 rpm, cooling: hopper, running: steady load", True, None),
        ("speed: 700 rpm, cooling: hopper, running: steady load", False, "good up to 600 rpm"),
        ("speed: 50 rpm, cooling: hopper, running: steady load", False, "good from 100 rpm on"),
        ("speed: 500 rpm, cooling: tank", False, "hopper cooling"),
        ("speed: 500 rpm, cooling: hopper, running: no load", False, "this engine runs at no load"),
        (
            "cooling: hopper",
            None,
            "it cannot be told whether it holds here: the engine's speed and how the engine is run are not noted",
        ),
    ],
)
def test_when_a_rule_holds(tmp_path, engine, within, why):
    build = bent("build.yaml", ENGINE, f"engine: {{layout: horizontal, bore: 50.00 mm, {engine}}}")
    held = rule(gives={"per_length": "0.001"}, **CONDITIONS)
    fit, worked = fit_by(tmp_path, held, build=build, materials=IRON)
    assert worked.within is within and (why is None or why in said(worked.why_outside))
    told = all_said((*fit.causes, *fit.advice))
    assert any("T1" in text and (why or "nothing") in text for text in told) == (within is not True)
    # A rule alone says what is wanted: that it does not hold, or that nobody knows, has to be looked at.
    assert fit.look if within is not True else not fit.look or fit.state in ("out", "reads out", "reads in")


def test_metal_that_is_not_noted_is_not_taken_as_right(tmp_path):
    _, worked = fit_by(tmp_path, rule(gives={"per_length": "0.001"}, hole_materials=["grey-iron"]))
    assert worked.within is None and "the outer part's metal is not noted" in said(worked.why_outside)


def test_conditions_of_the_rule_that_it_rests_on_count_too(tmp_path):
    held = rule("T2", kind="top_land", gives={"per_length": "0.001"}, speed_most="400 rpm")
    fit, worked = fit_by(tmp_path, rule(gives={"of_rule": "T2"}), held)
    assert worked.within is False and "it takes the result of rule T2" in said(worked.why_outside)
    assert fit.look


def test_a_superseded_rule_is_told(tmp_path):
    fit, worked = fit_by(tmp_path, rule(gives={"per_length": "0.001"}, superseded_by="A-R1"))
    assert "rule T1 is superseded by A-R1" in all_said(fit.advice) and worked.superseded_by == "A-R1"


def test_a_rule_in_words():
    assert form(rule(gives={"steps": STEPS}).gives) == (
        "under 50 mm: 0.001 of the size; from 50 mm, to 80 mm inclusive: 0.002 of the size; over 80 mm: 0.2 mm to 0.3 mm"
    )
    assert form(rule(gives={"per_length": "0.0015", "of": "bore"}).gives, aloud=True) == (
        "1.5 thou per inch (0.0015 of the bore)"
    )
    taken = {"of_rule": "A-R9", "of_case": "inlet", "times": "2", "plus": "1 thou", "most": "5 thou"}
    assert form(rule(gives=taken).gives) == "2 times what rule A-R9, inlet gives plus 1 thou, never over 5 thou"
    assert conditions(rule(gives={"per_length": "0.001"}, **CONDITIONS, sizes=["3 in", "8 in"])) == [
        "any in grey-iron",
        "sizes 3 in to 8 in",
        "100 rpm or faster",
        "600 rpm or slower",
        "hopper cooling",
        "run at steady load",
    ]


FILE = """\
rule: T1
says: so
kind: skirt
applies_to: any
gives: %s
valid: any
said_by: somebody
basis: common practice
grade: club rule
"""


@pytest.mark.parametrize(
    ("gives", "message"),
    [
        (
            "{steps: [{per_length: 0.001}, {per_length: 0.002}]}",
            '5:16: gives: step 1 has no end, and another follows it. Add "under: 3 in" or "up_to: 3 in".',
        ),
        (
            "{steps: [{under: 8 in, per_length: 0.001}, {under: 3 in, per_length: 0.002}]}",
            "5:16: gives: step 2 ends at 3 in, not above the 8 in of step 1. Write the smallest sizes first.",
        ),
        (
            "{steps: [{under: 3 in, up_to: 4 in, per_length: 0.001}, {per_length: 0.002}]}",
            '5:17: steps 1: a step ends "under" a size or "up_to" a size, not both.',
        ),
        (
            "{per_length: 0.001, steps: [{under: 3 in, per_length: 0.001}, {per_length: 0.002}]}",
            '5:8: gives: a rule gives "per_length" or "steps", not both.',
        ),
        (
            "{least: 3 thou, most: 1 thou}",
            "5:8: gives: limits reversed. Found 3 thou then 1 thou. Write the least first.",
        ),
        (
            "{of_rule: T1}",
            "5:18: T1: rules take their results from each other in a circle: T1 rests on T1. Take one of them out.",
        ),
        ("{of_rule: T9}", '5:18: T1: no rule "T9".'),
        ("{per_length: 0.001, times: 2}", '5:8: gives: "times" goes with "of_rule".'),
        (
            "{of_rule: A-R1, times: 0}",
            '5:31: gives: expected how many times: "2", or [least, most]. It must be over 0.',
        ),
        (
            "{per_length: 0.001, of: wheel}",
            '5:32: gives: expected one of bore, stroke, rod, hole, shaft, or a part and its feature. Found "wheel". Write it like "bore".',
        ),
    ],
)
def test_what_is_wrong_in_a_rule_is_told_at_its_place(tmp_path, gives, message):
    (tmp_path / "rules").mkdir()
    (tmp_path / "rules" / "T1.yaml").write_text(FILE % gives, encoding="utf-8")
    problems = [str(problem) for problem in load_knowledge(tmp_path, "k").problems if "T1" in str(problem)]
    assert problems and problems[0].startswith(f"k/rules/T1.yaml:{message}")


NO_SKIRT = {"readings__2025_02_04_skirt": None}


UNREAD = {**NO_SKIRT, "readings__2025_02_02_bore": None}


def test_a_planned_fit_has_limits_and_the_nearest_classes(tmp_path):
    fit = findings(tmp_path, **UNREAD).fits["F1"]
    assert fit.state == "no reading" and fit.planned.kept == "hole" and fit.planned.hole is None
    assert "uses up all the tolerance" in fit.planned.cannot, "the bore's own limits are wider than what is wanted"
    assert {near.system for near in fit.planned.classes} == {"ISO 286", "ANSI B4.1"}


def test_a_planned_fit_without_limits_is_on_a_hole_basis(tmp_path):
    cylinder = bent("parts/cyl.yaml", "limits: [50.000 mm, 50.040 mm], ", "")
    fit = findings(tmp_path, parts__cyl=cylinder, **UNREAD).fits["F1"]
    assert (
        fit.planned.read is None
        and fit.planned.hole == pytest.approx((50.000, 50.015))
        and fit.planned.shaft == pytest.approx((49.935, 49.950))
    )
    for near in fit.planned.classes:
        assert near.low - near.off_low == pytest.approx(0.050) and near.high - near.off_high == pytest.approx(0.080)


def test_the_half_that_was_read_leaves_the_rest_of_the_want_to_the_other(tmp_path):
    """A bore of 50.010 to 50.012 that is sure to √(4² + 4²) = 5.66 µm: the skirt from 50.0177 - 0.080 to 50.0043 - 0.050 mm."""
    planned = findings(tmp_path, **NO_SKIRT).fits["F1"].planned
    assert planned.kept == "hole" and planned.read == pytest.approx((50.010, 50.012), abs=1e-4)
    assert planned.expanded == pytest.approx((0.00566, 0.00566), abs=1e-4)
    assert planned.hole == pytest.approx((50.0043, 50.0177), abs=1e-4)
    assert planned.shaft == pytest.approx((planned.hole[1] - 0.080, planned.hole[0] - 0.050))
    (tmp_path / "coarse").mkdir()
    coarse = bent("instruments.yaml", "use: 0.004 mm", "use: 0.040 mm")
    no_room = findings(tmp_path / "coarse", instruments=coarse, **NO_SKIRT).fits["F1"].planned
    assert no_room.shaft is None and "uses up all the tolerance" in no_room.cannot


def test_a_shaft_that_was_read_leaves_the_rest_to_the_hole_and_says_what_of_it_is_unread(tmp_path):
    skirt = bent(
        "parts/piston.yaml", "mates: [cyl.bore]", "mates: [cyl.bore], plan: {stations: [10 mm, 40 mm], angles: [0 deg]}"
    )
    unread = {"readings__2025_02_02_bore": None}
    planned = findings(tmp_path, parts__piston=skirt, **unread).fits["F1"].planned
    assert planned.kept == "shaft" and planned.read == pytest.approx((49.945, 49.945), abs=1e-4)
    assert planned.hole == pytest.approx((planned.shaft[1] + 0.050, planned.shaft[0] + 0.080))
    assert [note.code for note in planned.doubts] == ["half-unread"]
    cut = (
        FILES["operations.yaml"]
        + "  FINISH: {part: piston, does: finish skirt, needs: [TURN], changes: [piston.skirt]}\n"
    )
    (tmp_path / "again").mkdir()
    again = findings(tmp_path / "again", operations=cut, **unread).fits["F1"].planned
    assert again.kept == "hole" and again.read is None, "a half that is still to be cut will not stay as it was read"


def test_a_planned_fit_with_one_figure_limits_the_tight_ends_alone(tmp_path):
    """0.05 mm and no most: the skirt at most 50.0043 - 0.050 mm; how small it may be, nobody says."""
    fit, _ = fit_by(tmp_path, rule(gives={"per_length": "0.001"}), **NO_SKIRT)
    assert fit.want_high is None and fit.planned.classes == ()
    assert fit.planned.shaft == (None, pytest.approx(50.0043 - 0.050, abs=1e-4))


def test_degrees_are_those_of_what_the_rule_gives_for_this_size(tmp_path):
    """0.001 of a stroke of 60 mm is 0.06 mm, and on 50 mm of iron that is 0.06/50/11e-6 = 109.1 K; so is a least of 0.06 mm."""
    for name, gives in {
        "stroke": {"per_length": "0.001", "of": "stroke"},
        "least": {"per_length": "0.001", "least": "0.06 mm"},
    }.items():
        (tmp_path / name).mkdir()
        _, ruled = fit_by(tmp_path / name, rule(gives=gives))
        assert ruled.low == pytest.approx(0.06) and ruled.implied_low == pytest.approx(0.06 / 50 / 11e-6)


def test_a_fit_that_a_rule_alone_decides_asks_for_a_look_where_it_cannot_be_told_that_it_holds(tmp_path):
    air = rule(gives={"per_length": "0.0011"}, cooling=["air"])
    fit, _ = fit_by(tmp_path, air)
    assert fit.look and "rule-perhaps-outside" in [note.code for note in fit.causes]
    (tmp_path / "own").mkdir()
    fit, _ = fit_by(tmp_path / "own", air, want=", want: [0.050 mm, 0.080 mm], because: tried")
    assert not fit.look and "rule-perhaps-outside" in [note.code for note in fit.advice], "its own range decides"
    (tmp_path / "none").mkdir()
    fit, _ = fit_by(tmp_path / "none", rule(gives={"per_length": "0.001", "of": "rod"}))
    assert fit.state == "no limit" and fit.look, "it names a rule that gives nothing here"
