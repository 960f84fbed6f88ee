"""Both ends of a fit, each at its own worst places, on the small build: bore 50.010 to 50.012, wanted 0.050 to 0.080."""

import numpy as np
import pytest
from gudgeon_calc.student import t_quantile
from gudgeon_calc.uncertainty import chance_of_neither, chance_outside
from small_build import FILES, all_said, bent, findings, said, shelf

SKIRT, BORE = "readings/2025-02-04-skirt.yaml", "readings/2025-02-02-bore.yaml"
OPEN = (
    FILES["operations.yaml"] + "  FINISH: {part: piston, does: finish skirt, needs: [TURN], changes: [piston.skirt]}\n"
)


def skirt(size: str, more: str = "") -> str:
    return bent(SKIRT, "49.945", size) + more


def another(tmp_path):
    folder = tmp_path / "another"
    folder.mkdir()
    return folder


def wide_bore(most: str) -> str:
    return bent(BORE, "50.012 50.012", f"{most} {most}")


def test_the_loose_end_is_judged_at_its_own_worst_places(tmp_path):
    """50.010 - 49.945 = 0.065 is well inside; 50.060 - 49.945 = 0.115 is not, and says so everywhere."""
    found = findings(tmp_path, readings__2025_02_02_bore=wide_bore("50.060"))
    fit = found.fits["F1"]
    tight, loose = fit.ends
    assert (tight.clearance, loose.clearance) == (pytest.approx(0.065), pytest.approx(0.115))
    assert (tight.conformity, loose.conformity, fit.conformity, fit.state) == ("in", "out", "out", "out")
    assert fit.look and fit.short_by == pytest.approx(0.035) and fit.chance_inside < 0.001
    assert (loose.hole_at.rows, loose.shaft_at.rows) == (("b2",), ("s1",))
    why = "0.115 mm at its loosest (b2 and s1), most wanted 0.080 mm: it is out; the chance that it is truly looser is over 99.9 %"
    assert all_said(fit.causes) == [why]


def test_a_doubtful_loose_end_asks_for_a_look_too(tmp_path):
    fit = findings(tmp_path, readings__2025_02_04_skirt=skirt("49.9335")).fits["F1"]
    assert fit.state == "reads in" and fit.look and [note.code for note in fit.causes] == ["loose-end"]


def test_what_never_meets_in_the_stroke_is_no_pair_at_either_end(tmp_path):
    cyl = bent("parts/cyl.yaml", "extent:", "swept: [0 mm, 20 mm], extent:")
    fit = findings(tmp_path, parts__cyl=cyl, readings__2025_02_02_bore=wide_bore("50.060")).fits["F1"]
    assert fit.state == "in" and fit.loosest == pytest.approx(0.065)


def test_the_chance_inside_is_of_both_ends_at_once():
    """Against a million draws of two errors that are correlated."""
    drawn = np.random.default_rng(7)
    for correlation in (-0.6, 0.0, 0.8, 0.97):
        errors = drawn.multivariate_normal([0, 0], [[1, correlation], [correlation, 1]], 1_000_000)
        for low, high in ((-1.0, 1.2), (-0.3, 0.2), (0.4, 0.6)):
            inside = np.mean((errors[:, 0] >= low) & (errors[:, 1] <= high))
            first, second = chance_outside(0.0, 2.0, low, high)
            assert chance_of_neither(first, second, correlation) == pytest.approx(inside, abs=0.002)
    assert chance_of_neither(0.2, 0.3, 1.0) == pytest.approx(0.5), (
        "one error: nobody is too tight and too loose at once"
    )
    assert chance_of_neither(0.2, 0.3, -1.0) == pytest.approx(0.7)


def test_both_scales_stay_in_where_each_half_has_its_own(tmp_path):
    """Use 3 and 4 µm, scale 4 µm: 5.0 shared; √(25 + 16 + 16) = 7.55 had each its own."""
    fit = findings(tmp_path).fits["F1"]
    assert fit.expanded == pytest.approx(0.0050, abs=1e-5)
    assert fit.expanded_unshared == pytest.approx(57**0.5 / 1000, rel=1e-3)


def few(readings: int) -> str:
    return bent("instruments.yaml", "use: 0.004 mm", f"use: 0.004 mm, use_readings: {readings}").replace(
        "use: 0.003 mm", "use: 0.0003 mm"
    )


def test_few_readings_behind_the_use_widen_what_judges(tmp_path):
    """Three readings: two degrees of freedom, k = 4.53. At 0.0575, 7.5 µm from the least, k = 2 would say "in"."""
    many = findings(
        tmp_path, instruments=few(3).replace(", use_readings: 3", ""), readings__2025_02_04_skirt=skirt("49.9525")
    )
    fit = findings(another(tmp_path), instruments=few(3), readings__2025_02_04_skirt=skirt("49.9525")).fits["F1"]
    assert many.fits["F1"].state == "in" and many.fits["F1"].coverage is None
    assert 2 <= fit.degrees < 2.3 and fit.coverage == pytest.approx(4.53)
    assert fit.expanded == pytest.approx(many.fits["F1"].expanded * 4.53 / 2)
    assert fit.state == "reads in" and many.fits["F1"].chance_tight < 0.001 < 0.02 < fit.chance_tight


def test_a_chance_of_few_degrees_is_that_of_students_t():
    for risk in (0.05, 0.0227, 0.3):
        assert chance_outside(t_quantile(risk, 2) * 1.0, 4.53, 0.0, None, 2.0)[0] == pytest.approx(risk, abs=1e-6)


def test_the_target_holds_both_ends(tmp_path):
    """Bore 50.010 to 50.022: 50.022 - 0.080 = 49.942 to 50.010 - 0.050 = 49.960. Over 30 µm of bore no size does."""
    for most, between, codes in (("50.022", (49.942, 49.960), []), ("50.050", (49.930, 49.960), ["one-end-only"])):
        folder = tmp_path / most
        folder.mkdir()
        rows = {"readings__2025_02_02_bore": wide_bore(most), "readings__2025_02_04_skirt": skirt("50.200")}
        made = findings(folder, operations=OPEN, **rows)
        fit = made.fits["F1"]
        assert (fit.target.target_low, fit.target.target_high) == (pytest.approx(between[0]), pytest.approx(between[1]))
        assert [note.code for note in fit.advice if note.code not in ("coarse-for-want", "no-warm-up-named")] == codes
        assert made.features["piston.skirt"].stock == fit.target


def test_a_taper_that_stays_on_stops_the_cut_short_of_scrap(tmp_path):
    """49.995 to 50.020, wanted 49.932 to 49.960: the middle, 0.074 off, would leave 49.921 at the small end."""
    more = "  - {id: s2, station: 60 mm, reads: 49.995 mm}\n"
    made = findings(tmp_path, operations=OPEN, readings__2025_02_04_skirt=skirt("50.020", more))
    target = made.fits["F1"].target
    assert (target.to_first_limit, target.to_last_limit) == (pytest.approx(0.060), pytest.approx(0.063))
    assert (
        target.stops_short and target.on_diameter == pytest.approx(0.0615) and target.turn_to == pytest.approx(49.9585)
    )
    assert made.fits["F1"].at_target == pytest.approx(50.010 - 49.9585)
    assert made.features["piston.skirt"].stock == target


def test_a_half_that_is_simply_not_cut_yet_is_metal_on_and_not_out(tmp_path):
    """0.030 where 0.050 is wanted goes together, and an operation has still to cut the skirt."""
    made = findings(tmp_path, operations=OPEN, readings__2025_02_04_skirt=skirt("49.980"))
    assert (made.fits["F1"].state, made.features["piston.skirt"].state) == ("metal on", "metal on")
    assert not made.fits["F1"].look
    cut = findings(another(tmp_path), readings__2025_02_04_skirt=skirt("49.980"))
    assert cut.fits["F1"].state == "out" and cut.fits["F1"].look


@pytest.mark.parametrize("read", [True, False])
def test_a_rule_of_another_kind_asks_for_a_look(tmp_path, read):
    fits = bent("fits.yaml", "because: test", "rule: A-R4, because: test")
    rows = {} if read else {"readings__2025_02_04_skirt": None}
    fit = findings(tmp_path, fits=fits, **rows).fits["F1"]
    assert fit.look and "rule A-R4 is used outside its range: it is for a top land" in " ".join(all_said(fit.causes))


def test_a_want_that_parts_from_the_one_figure_of_its_rule_is_told(tmp_path):
    rule = next(name for name, rule in shelf().rules.items() if rule.kind == "top_land" and name == "A-R4")
    for want, told in (("[0.020 mm, 0.040 mm]", True), ("[0.200 mm, 0.300 mm]", False)):
        folder = tmp_path / want[1:6]
        folder.mkdir()
        fits = f"fits:\n  F1: {{name: Land, kind: top_land, hole: cyl.bore, shaft: piston.skirt, want: {want}, rule: {rule}}}\n"
        advice = [note for note in findings(folder, fits=fits).fits["F1"].advice if note.code == "want-not-of-rule"]
        assert bool(advice) == told, all_said(advice)
        if told:
            assert said(advice[0]) == "the wanted range is not what rule A-R4 gives: 0.020 mm for 0.200 mm"
