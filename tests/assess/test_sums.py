"""Sums: inputs found or asked for, margins, and that every figure and every watched result has its sum."""

import inspect
import math
import re

import pytest
from gudgeon.assess.build import assess
from gudgeon.assess.calculations import REGISTRY
from gudgeon.assess.calculations.model import feature
from gudgeon.assess.calculations.offered import offered
from gudgeon.assess.calculations.unwatched import UNWATCHED
from gudgeon.records.build_file import BuildFile
from gudgeon.records.figures import FIGURES, WATCHED
from gudgeon_calc.cylinders import wall_stress
from gudgeon_calc.flywheels import disc_stress
from gudgeon_calc.units import QUANTITY_KINDS, Quantity
from gudgeon_calc.units import Quantity as Q
from gudgeon_calc.valves import curtain_area
from small_build import FILES, all_said, bent, findings, said, shelf


def sums(found):
    return {(each.id, each.part): each for each in found.calculations}


WHEEL = """\
part: wheel
name: Flywheel
family: flywheel
material: grey-iron
state: bought
spokes: 6
features:
  rim_od: {name: Rim outside, kind: od, nominal: 24 in}
  rim_depth: {name: Rim depth, kind: length, nominal: 2.25 in}
  rim_w: {name: Rim width, kind: length, nominal: 2.5 in}
"""


def test_each_sum_is_sound():
    for each in REGISTRY:
        takes = set(each.takes)
        assert takes == set(inspect.signature(each.formula.__wrapped__).parameters) - {"strokes_per_cycle"}, each.id
        assert set(re.findall(r"\{(\w+)\}", each.shown.replace("{{", "").replace("}}", ""))) <= takes, each.id
        assert each.kind in QUANTITY_KINDS and each.gives[0].isupper(), each.id
        returns = each.formula.returns[each.pick] if each.pick is not None else each.formula.returns

        assert Quantity(1, returns).check(Quantity(1, QUANTITY_KINDS[each.kind].unit).dimensionality), each.id


def test_every_figure_serves_a_sum_and_every_sum_s_figure_is_known():
    used = {one.name for each in REGISTRY for one in each.takes.values() if one.where == "figure"}
    assert used == set(FIGURES)


def test_every_feature_that_goes_into_a_sum_says_which_of_its_sizes_governs():
    ends = {"least", "greatest", "nominal"}
    assert not [
        (calculation.id, name)
        for calculation in REGISTRY
        for name, wanted in calculation.takes.items()
        if wanted.where == "feature" and wanted.governs not in ends
    ]
    with pytest.raises(ValueError, match="which size governs"):
        feature("t", "wall", "cylinder")


THIN_AND_THICK = """\
every_row: {date: 2025-02-05, by: ada, gauge: gauge, part_temp: 20 °C, gauge_temp: 20 °C}
rows:
  - {id: w1, of: cyl.wall, station: 10 mm, reads: 4.000 mm}
  - {id: w2, of: cyl.wall, station: 20 mm, reads: 9.000 mm}
  - {id: w3, of: wheel.rim_depth, station: 10 mm, reads: 30.000 mm}
  - {id: w4, of: wheel.rim_depth, station: 20 mm, reads: 40.000 mm}
"""


def test_the_dangerous_end_of_what_was_read_goes_into_a_sum(tmp_path):
    walled = FILES["parts/cyl.yaml"] + "  wall: {name: Wall, kind: length}\n"
    worked_out = sums(
        findings(
            tmp_path,
            parts__cyl=walled,
            parts__wheel=WHEEL.replace("24 in", "600 mm").replace("2.5 in", "50 mm").replace(", nominal: 2.25 in", ""),
            readings__walls=THIN_AND_THICK,
            instruments=bent("instruments.yaml", "range: [25 mm, 75 mm], ", ""),
            figures="figures:\n  peak_pressure: {is: 2 MPa, from: a guess}\n",
        )
    )
    wall = worked_out["wall-stress", "cyl"]
    # 2 MPa x 50.012 mm / (2 x 4 mm); by the thickest it would be 5.56
    assert wall.value == pytest.approx(12.503, abs=0.001)
    assert [term.comes_from for term in wall.terms] == [
        "a guess",
        "greatest of 2 places read",
        "least of 2 places read",
    ]
    # the thinnest place runs fastest, pi x (0.600 - 0.030) m x 500/60; the thickest is the heaviest to lift:
    # 7200 kg/m3 x 0.050 m x pi/4 x (0.600^2 - 0.520^2) m2
    assert worked_out["rim-speed", "wheel"].value == pytest.approx(14.923, abs=0.001)
    density = next(term.value for term in worked_out["wheel-mass", "wheel"].terms if term.argument == "density")
    assert worked_out["wheel-mass", "wheel"].value == pytest.approx(density * 0.05 * 0.0703717, rel=1e-4)


def test_what_cautions_watch_is_worked_out():
    kinds = {each.id: each.kind for each in REGISTRY}
    assert {name: kinds[name] for name in WATCHED} == WATCHED


def test_a_stress_is_watched_or_says_why_it_is_not():
    """Every stress or pressure of a part has a limit somewhere: a caution watches it, or the page says why none does."""
    ids = {each.id for each in REGISTRY}
    loaded = {each.id for each in REGISTRY if each.kind == "pressure" and each.family != "engine"}
    assert loaded <= {*WATCHED, *UNWATCHED} and set(UNWATCHED) <= ids
    watched = {danger.figure for caution in shelf().cautions.values() for danger in caution.dangers}
    assert not watched & set(UNWATCHED), "what a caution watches is not said to be unwatched"


def test_missing_inputs_are_asked_for_by_file_and_name(tmp_path):
    found = sums(findings(tmp_path, parts__wheel=WHEEL))
    assert found["gas-load", "piston"].value is None
    assert all_said(found["gas-load", "piston"].missing) == [
        'figures.yaml: "peak_pressure", highest gas pressure in the cylinder, gauge'
    ]
    assert said(found["skirt-pressure", "piston"].missing[-1]) == 'parts/piston.yaml: a feature "skirt_length"'
    assert ("ring-pressure", "ring1") not in found, "no sums for families that the build does not have"


def test_worked_out_with_this_engine_s_numbers(tmp_path):
    figures = "figures: {peak_pressure: {is: 20 bar, from: a guess}, runaway_speed: {is: 900 rpm, from: a guess}}\n"
    found = sums(findings(tmp_path, parts__wheel=WHEEL, figures=figures))
    assert found["gas-load", "piston"].value == pytest.approx(2 * 3.14159265 / 4 * 50**2)
    speed = found["rim-speed-runaway", "wheel"]
    assert speed.value == pytest.approx(3.14159265 * 21.75 * 0.0254 * 900 / 60)
    assert {term.comes_from for term in speed.terms} == {"spec, not read", "a guess"}
    assert found["rim-stress", "wheel"].value == pytest.approx(
        7200 * found["rim-speed", "wheel"].value ** 2 / 1e6 * (0.75 + 4.94 * 10.875 / (36 * 2.25))
    )


def test_without_a_runaway_speed_twice_the_governed_is_taken_and_marked(tmp_path):
    found = sums(findings(tmp_path, parts__wheel=WHEEL))
    assert found["runaway-speed", "wheel"].value == 1000 and found["runaway-speed", "wheel"].source == "common practice"
    assert found["rim-hoop-runaway", "wheel"].value == pytest.approx(4 * found["rim-hoop", "wheel"].value)


def test_a_reading_comes_before_the_spec(tmp_path):
    disc = WHEEL.replace("spokes: 6", "spokes: 0")
    rows = FILES["readings/2025-02-02-bore.yaml"] + "  - {id: w1, of: wheel.rim_w, reads: 60.00 mm}\n"
    found = findings(tmp_path, parts__wheel=disc, readings__2025_02_02_bore=rows)
    width = next(term for term in sums(found)["wheel-mass", "wheel"].terms if term.argument == "width")
    assert width.comes_from == "reading" and width.value == pytest.approx(60.0, abs=0.01)
    assert ("rim-stress", "wheel") not in sums(found)
    assert all_said(sums(found)["disc-stress-runaway", "wheel"].missing) == ['parts/wheel.yaml: a feature "bore"']


BORED = (
    WHEEL.replace("spokes: 6", "spokes: 0")
    + "  bore: {name: Bore, kind: bore, nominal: 45 mm, limits: [45 mm, 45.1 mm]}\n"
)


def test_a_disc_is_stressed_at_its_bore_twice_as_much_as_without_one(tmp_path):
    found = sums(findings(tmp_path, parts__wheel=BORED))["disc-stress-runaway", "wheel"]
    edge = math.pi * 0.6096 * 1000 / 60
    assert found.value == pytest.approx(7200 * edge**2 / 4e6 * (3.211 + 0.789 * (45 / 609.6) ** 2))
    thin, solid, ring = (
        disc_stress(Q(7200, "kg/m**3"), Q(30, "m/s"), Q(0.26, ""), Q(bore, "mm"), Q(600, "mm")).m
        for bore in (0.001, 0, 599.999)
    )
    assert thin == pytest.approx(2 * solid) and ring == pytest.approx(7200 * 900 / 1e6), "a thin ring carries ρv²"


KEY = """\
part: key
name: Key
family: key
material: grey-iron
state: bought
features:
  len: {name: Length, kind: length, nominal: 60 mm}
  width: {name: Width, kind: thickness, nominal: 14 mm}
"""


def test_keys_go_by_the_nominal_shaft_and_the_standard_of_the_build_s_unit(tmp_path):
    for unit in ("mm", "in"):
        (tmp_path / unit).mkdir()
    figures = "figures: {key_torque: {is: 300 N.m, from: a guess}}\n"
    found = sums(findings(tmp_path / "mm", parts__wheel=BORED, parts__key=KEY, figures=figures))
    assert ("key-width", "key") not in found and found["key-width-metric", "key"].value == 14
    assert found["key-height-metric", "key"].value == 9 and found["key-seat-shaft-metric", "key"].value == 39.5
    assert found["key-seat-hub-metric", "key"].value == pytest.approx(48.8)
    assert found["key-side-metric", "key"].value == pytest.approx(9 - 5.5)
    assert found["key-shear", "key"].value == pytest.approx(2 * 300e3 / (45 * 14 * 60))
    assert found["key-crushing-metric", "key"].value == pytest.approx(2 * 300e3 / (45 * 3.5 * 60))
    head = FILES["build.yaml"].replace("units: mm", "units: in")
    wheel = BORED.replace("45 mm, limits: [45 mm, 45.1 mm]", "1.750 in, limits: [1.7500 in, 1.7508 in]")
    rows = FILES["readings/2025-02-02-bore.yaml"] + "  - {id: w1, of: wheel.bore, reads: 44.462 mm}\n"
    taper = KEY + "  taper: {name: Taper, kind: taper, nominal: '1:96'}\n"
    found = sums(
        findings(tmp_path / "in", build=head, parts__wheel=wheel, parts__key=taper, readings__2025_02_02_bore=rows)
    )
    assert found["key-width", "key"].value == pytest.approx(0.375 * 25.4), (
        "not the 1/2 in of the 1.7505 in that was read"
    )
    assert found["key-seat-hub-taper", "key"].value == pytest.approx(1.8972 * 25.4, abs=0.003)
    assert ("key-seat-hub", "key") not in found and ("key-width-metric", "key") not in found
    (tmp_path / "parallel").mkdir()
    found = sums(
        findings(tmp_path / "parallel", build=head, parts__wheel=wheel, parts__key=KEY, readings__2025_02_02_bore=rows)
    )
    assert found["key-seat-hub", "key"].value == pytest.approx((1.8972 + 0.025) * 25.4, abs=0.003), (
        "0.025 in over a taper key's"
    )


def test_no_code_names_on_readers_pages():
    for calculation in offered(shelf().judgement, shelf().families):
        assert not re.search(r"[`_]|\bas \w+_\w+", calculation.valid + calculation.gives), calculation.id
        assert calculation.valid, calculation.id


def test_an_engine_without_figures_still_builds(tmp_path):
    head = FILES["build.yaml"].replace("bore: 50.00 mm, stroke: 60 mm, speed: 500 rpm", "cooling: air")
    assert "cooling: air" in head
    found = findings(tmp_path, build=head)
    assert all_said(sums(found)["swept-volume", None].missing) == [
        'build.yaml, under "engine": the line "bore: …"',
        'build.yaml, under "engine": the line "stroke: …"',
    ]


def test_iron_s_modulus_gives_a_range(club):
    build = next(each for each in club.builds if each.id == "harrow-pond")
    ring = sums(assess(build, club.knowledge))["ring-closing-stress", "ring1"]
    assert ring.value == pytest.approx(211, abs=1) and ring.low == pytest.approx(0.7 * ring.value, rel=5e-3)
    assert ring.low < 0.7 * ring.value and ring.high > 1.3 * ring.value  # the readings widen it
    assert ring.high == pytest.approx(1.3 * ring.value, rel=5e-3)


def test_valve_marks_along_this_rim(club):
    build = next(each for each in club.builds if each.id == "harrow-pond")
    marks = assess(build, club.knowledge).timing_marks
    assert len(marks) == 8 and {mark.source for mark in marks} == {"rathbun-1916", "kansas-timing"}
    first = next(mark for mark in marks if mark.event == "exhaust opens" and mark.source == "rathbun-1916")
    assert first.mark_least == pytest.approx(3.14159265 * 24 * 25.4 * 30 / 360, abs=1e-4)


def test_patterns_by_every_source(tmp_path):
    piston = FILES["parts/piston.yaml"].replace(
        "features:\n", "cast: true\nfeatures:\n  length: {name: Length, kind: length, nominal: 300 mm}\n"
    )
    found = findings(
        tmp_path, parts__piston=piston, materials="materials: {ci: {name: iron, like: grey-iron}}\n"
    ).patterns
    assert {round(each.pattern, 3) for each in found} == {round(300 * (1 + share / 12), 3) for share in (3 / 32, 1 / 8)}
    assert len(found) == 3, "three sources, two figures, none averaged"
    assert not any(pattern.outside for pattern in found)
    (tmp_path / "short").mkdir()
    short = piston.replace("nominal: 300 mm", "nominal: 110 mm")
    found = findings(
        tmp_path / "short", parts__piston=short, materials="materials: {ci: {name: iron, like: grey-iron}}\n"
    ).patterns
    for pattern in found:
        assert "is 110 mm, and this holds for at least 300 mm: under about a foot, rapping" in said(*pattern.outside)


@pytest.mark.parametrize("family", sorted({each.family for each in REGISTRY} - {"engine"}))
def test_families_of_sums_are_families_of_parts(family, club):
    assert family in club.knowledge.families


def test_leading_figures_may_be_left_out_of_a_plan():
    assert BuildFile.model_fields["engine"].is_required()


RUN = """\
figures:
  indicated_pressure: {{is: 4 bar, from: a card}}
  hits: {{is: '50', from: counted}}
  cycles: {{is: '50', from: counted}}
  brake_tight: {{is: {tight} N, from: read}}
  brake_slack: {{is: 10 N, from: read}}
  brake_wheel: {{is: 100 mm, from: read}}
  brake_speed: {{is: 250 rpm, from: counted}}
"""


def test_both_powers_of_an_efficiency_are_of_one_speed_and_none_is_over_one(tmp_path):
    for tight in ("60", "900"):
        (tmp_path / tight).mkdir()
    run = sums(findings(tmp_path / "60", figures=RUN.format(tight="60")))["mechanical-efficiency", None]
    indicated = 0.4e6 * math.pi / 4 * 0.05**2 * 0.06 * 250 / 120  # at 250 rpm of the test, not 500 of the spec
    assert run.value == pytest.approx(50 * math.pi * 0.1 * 250 / 60 / indicated)
    wrong = sums(findings(tmp_path / "900", figures=RUN.format(tight="900")))["mechanical-efficiency", None]
    assert wrong.value is None and all_said(wrong.missing) == ["these numbers give no result"]


def test_the_port_limits_the_area_and_an_inlet_has_its_own_lift(tmp_path):
    low, high = (curtain_area(Q(20, "mm"), Q(lift, "mm")).m for lift in (4, 10))
    assert low == pytest.approx(math.pi * 80) and high == pytest.approx(math.pi * 100)
    lift = next(calculation for calculation in REGISTRY if calculation.id == "inlet-curtain").takes["lift"]
    assert (lift.where, lift.name) == ("figure", "inlet_lift"), "an automatic inlet knows nothing of the cam"


def test_a_thick_wall_goes_by_lame():
    thick, thin = (wall_stress(Q(2, "MPa"), Q(50, "mm"), Q(wall, "mm")).m for wall in (40, 4))
    assert thick == pytest.approx(2 * (130**2 + 50**2) / (130**2 - 50**2)) and thin == pytest.approx(12.5)
