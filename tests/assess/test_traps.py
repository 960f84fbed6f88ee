"""Traps of the trade, each as a build that steps into it: what the product says of it."""

import pytest
from small_build import FILES, all_said, bent, findings, load, said

RING = """\
part: {name}
name: {name}
family: ring
material: ci
state: bought
features:
  width: {{name: width, kind: thickness, nominal: 2.50 mm, metal_side: external}}
"""
GROOVES = bent(
    "parts/piston.yaml",
    "features:\n",
    "features:\n  groove1_w: {name: Top groove, kind: slot, nominal: 2.55 mm, metal_side: internal}\n"
    "  groove2_w: {name: Second groove, kind: slot, nominal: 2.55 mm, metal_side: internal}\n",
)
SIDES = """\
  S1: {name: Ring 1 in its groove, kind: ring_side, hole: piston.groove1_w, shaft: ring1.width, want: [0.04 mm, 0.07 mm], because: test}
  S2: {name: Ring 2 in its groove, kind: ring_side, hole: piston.groove2_w, shaft: ring1.width, want: [0.04 mm, 0.07 mm], because: test}
"""


def test_one_ring_measured_for_two_grooves_is_told(tmp_path):
    """Trap 6: the second groove's fit borrows the width of the first ring, though the second has one of its own."""
    rings = {f"parts__ring{number}": RING.format(name=f"ring{number}") for number in (1, 2)}
    found = findings(tmp_path, parts__piston=GROOVES, fits=FILES["fits.yaml"] + SIDES, **rings)
    (told,) = [mistake for mistake in found.mistakes if mistake.kind == "borrowed reading"]
    assert told.about == "ring1.width" and told.fits == ("S2",), said(told.cause)


def test_rules_that_disagree_are_never_averaged_into_a_want(tmp_path):
    """Trap 10: a fit that cites no rule is refused, however many rules there are for its kind; they stand side by side."""
    bare = bent("fits.yaml", "want: [0.050 mm, 0.080 mm], because: test, ", "")
    assert "nothing says what is wanted" in str(load(tmp_path, fits=bare).problems)
    (tmp_path / "own").mkdir()
    found = findings(tmp_path / "own")
    assert len({rule.low for rule in found.rules if rule.kind == "skirt"}) > 2
    assert (found.fits["F1"].want_low, found.fits["F1"].want_high) == (0.05, 0.08)


def test_progress_counts_minutes_and_not_ticked_boxes(tmp_path):
    """Trap 27: one job of a thousand minutes is to go and two of sixty are done: 120 of 1120 minutes, not two of three."""
    more = "  BIG: {part: cyl, does: paint, estimate: [1000 min, 1000 min, 1000 min]}\n"
    progress = findings(tmp_path, operations=FILES["operations.yaml"] + more).progress
    assert progress.expected_done / (progress.expected_done + progress.expected_open) == pytest.approx(120 / 1120)


def test_limits_of_one_engine_are_not_stacked_by_their_squares(tmp_path):
    """Trap 29: limits of 40 and 20 µm together allow 60 µm of clearance, not √(40² + 20²); and what was read goes before both."""
    skirt = bent("parts/piston.yaml", "nominal: 49.94 mm,", "nominal: 49.94 mm, limits: [49.930 mm, 49.950 mm],")
    fit = findings(tmp_path, parts__piston=skirt).fits["F1"]
    assert fit.by_limits == pytest.approx((0.050, 0.110))
    assert fit.tightest == pytest.approx(50.010 - 49.945, abs=1e-4)


WHEEL = """\
part: wheel
name: Wheel
family: flywheel
material: ci
state: finished
features:
  rim_od: {name: Rim outside, kind: od, nominal: 600 mm, metal_side: external}
"""


@pytest.mark.parametrize(("after", "told"), [("0 mm", True), ("100 mm", True), ("200 mm", False)])
def test_dead_centre_comes_from_a_stop_met_well_away_from_it(tmp_path, after, told):
    """Trap 34: 15° of a rim of 600 mm are 78.5 mm each side; a highest reading is two marks on one place."""
    figures = (
        f"figures:\n  stop_mark_before: {{is: 0 mm, from: stop}}\n  stop_mark_after: {{is: {after}, from: stop}}\n"
    )
    found = findings(tmp_path, parts__wheel=WHEEL, figures=figures)
    mark = next(one for one in found.calculations if one.id == "dead-centre-mark")
    assert any("the stop is met anywhere" in text for text in all_said(mark.outside)) == told
    (tmp_path / "one").mkdir()
    one = findings(
        tmp_path / "one", parts__wheel=WHEEL, figures="figures:\n  stop_mark_before: {is: 0 mm, from: stop}\n"
    )
    assert next(sum_ for sum_ in one.calculations if sum_.id == "dead-centre-mark").value is None


def test_no_sum_of_a_horizontal_engine_has_a_top(club):
    """Trap 35: dead centres are inner and outer."""
    from gudgeon.assess.build import assess

    build = next(build for build in club.builds if "horizontal" in build.sound_head.engine.layout)
    found = assess(build, club.knowledge)
    assert {mark.centre for mark in found.timing_marks} <= {"inner", "outer"}
    words = " ".join(text for one in found.calculations for text in (one.gives, *(term.name for term in one.terms)))
    assert "top dead" not in words and "bottom dead" not in words and "inner dead centre" in words


HEAD = """\
part: head
name: Head
family: head
material: ci
state: finished
features:
  face: {name: Face, kind: flat}
"""


def test_gas_pushes_on_what_the_gasket_seals_and_torque_asks_whether_the_threads_are_oiled(tmp_path):
    """Trap 37: neither the bore nor a usual friction factor stands in."""
    head = "figures:\n  peak_pressure: {is: 2 MPa, from: card}\n  stud_size: {is: 12 mm, from: card}\n  stud_torque: {is: 22 N·m, from: card}\n"
    found = findings(tmp_path, parts__head=HEAD, figures=head)
    sums = {one.id: one for one in found.calculations}
    assert sums["head-gas-load"].value is None and "sealing_diameter" in " ".join(
        all_said(sums["head-gas-load"].missing)
    )
    assert sums["stud-preload"].value is None and "torque_factor" in " ".join(all_said(sums["stud-preload"].missing))
