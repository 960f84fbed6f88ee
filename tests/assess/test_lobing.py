"""Lobes that two-point gauges do not see: over a vee block, in the fit, and asked for after three jaws. Worked by hand."""

import math

import pytest
from gudgeon.assess.build import assess
from gudgeon.records.model import Club
from gudgeon.records.problems import Problems
from gudgeon.records.readings_csv import from_csv, to_csv, to_yaml
from gudgeon_calc.form import vee_sees
from small_build import FILES, all_said, bent, findings, load, rendered, shelf

VEE = (
    "  vee60: {name: 60 degree vee and indicator, vee: 60 deg, resolution: 0.001 mm, scale: 0.003 mm, use: 0.0015 mm, "
    "cte: 11.5e-6 /K, checked: 2025-01-01, due: 2026-01-01}\n"
    "  vee90: {name: 90 degree vee and indicator, vee: 90 deg, resolution: 0.001 mm, scale: 0.003 mm, use: 0.0015 mm, "
    "cte: 11.5e-6 /K, checked: 2025-01-01, due: 2026-01-01}\n"
)
DRAWER = FILES["instruments.yaml"] + VEE
SKIRT = FILES["readings/2025-02-04-skirt.yaml"].replace("49.945", "49.950")
LOBED = "  - {id: v1, gauge: vee60, lobes: 3, reads: 0.030 mm, part_temp: , gauge_temp: }\n"
CLEARS = bent("fits.yaml", "[0.050 mm, 0.080 mm]", "[0.055 mm, 0.080 mm]")
THREE_JAWS = bent("operations.yaml", "does: turn skirt,", "does: turn skirt, jaws: 3,")

LATHE = (
    "machines: {big: {name: Lathe, speeds: [100 rpm], feeds: [0.1 mm], dial_division: 0.02 mm, dial_reads: diameter}}\n"
)


def built(tmp_path, rows="", **changes):
    return findings(tmp_path, instruments=DRAWER, readings__2025_02_04_skirt=SKIRT + rows, **changes)


def test_a_three_lobed_shaft_binds_where_two_points_would_clear(tmp_path):
    """Two points read 49.950 everywhere, so 50.010 - 49.950 = 0.060 clears 0.055. The indicator moves 0.030 over a 60° vee,
    which shows three lobes 3 times: out of round by 0.010, so the shaft works as 49.960 and 0.050 is left."""
    (tmp_path / "round").mkdir()
    assert built(tmp_path / "round", fits=CLEARS).fits["F1"].clearance == pytest.approx(0.060)
    (tmp_path / "lobed").mkdir()
    made = built(tmp_path / "lobed", LOBED, fits=CLEARS)
    fit, skirt = made.fits["F1"], made.features["piston.skirt"]
    assert fit.clearance == pytest.approx(0.050) and fit.conformity in ("reads out", "out")
    assert fit.shaft_at.size == pytest.approx(49.960) and fit.tightest == pytest.approx(0.050)
    assert skirt.size == pytest.approx(49.950) and [cell.rows for cell in skirt.cells] == [("s1",)]
    assert (skirt.lobing.out_of_round, skirt.lobing.lobes, skirt.lobing.vee) == (pytest.approx(0.010), 3, 60)
    # U of the movement is √(0.003² + 0.0015²), and a third of that of the lobing.
    assert skirt.lobing.expanded == pytest.approx((0.003**2 + 0.0015**2) ** 0.5 / 3)
    assert fit.moves[-1].clearance == pytest.approx(fit.clearance)
    assert any("works so much larger" in told for told in all_said(fit.causes))
    assert made.mistakes == () or all(slip.row != "v1" for slip in made.mistakes)


def test_the_size_to_turn_to_is_what_two_points_read(tmp_path):
    """Wanted of the skirt is 49.932 to 49.960 as it works, so two points are to read 0.010 less: 49.922 to 49.950."""
    finish = "  FINISH: {part: piston, does: finish skirt, needs: [TURN], changes: [piston.skirt], machine: big}\n"
    made = built(tmp_path, LOBED, operations=FILES["operations.yaml"] + finish, machines=LATHE)
    fit = made.fits["F1"]
    assert (fit.target.target_low, fit.target.target_high) == (pytest.approx(49.922), pytest.approx(49.950))
    # Cut to the stop, it has the middle of the wanted clearance with its lobes: the tight end 50.010 less 49.946.
    assert fit.at_target == pytest.approx(50.010 - (49.936 + 0.010))
    plan = next(plan for plan in made.cut_plans if plan.feature == "piston.skirt")
    assert "lobes-work-larger" in [note.code for note in plan.warnings]
    assert fit.target == made.features["piston.skirt"].stock


def test_a_lobed_bore_works_smaller(tmp_path):
    bore = FILES["readings/2025-02-02-bore.yaml"] + "  - {id: v2, gauge: vee90, lobes: 5, reads: 0.008 mm}\n"
    fit = built(tmp_path, readings__2025_02_02_bore=bore).fits["F1"]
    assert fit.hole_at.size == pytest.approx(50.010 - 0.004) and fit.clearance == pytest.approx(0.056)


def test_even_lobes_are_seen_by_two_points_and_move_no_fit(tmp_path):
    made = built(tmp_path, LOBED.replace("vee60, lobes: 3", "vee90, lobes: 2"))
    assert made.fits["F1"].clearance == pytest.approx(0.060) and not made.features["piston.skirt"].lobing.works


def test_a_later_cut_makes_it_past(tmp_path):
    finish = "  FINISH: {part: piston, does: finish skirt, needs: [TURN], changes: [piston.skirt], done: 2025-02-06}\n"
    again = "  - {id: s2, date: 2025-02-07, station: 20 mm, reads: 49.940 mm, after: FINISH}\n"
    made = built(tmp_path, LOBED + again, operations=FILES["operations.yaml"] + finish)
    assert made.rows["v1"].status == "stale" and made.features["piston.skirt"].lobing is None
    assert made.fits["F1"].clearance == pytest.approx(0.070)


def test_a_recorded_cut_makes_it_past(tmp_path):
    cuts = "cuts: [{of: piston.skirt, date: 2025-02-05, by: ada, asked: 0.010 mm, machine: big, tool: HSS, feed: 0.1 mm}]\n"
    again = "  - {id: s2, date: 2025-02-07, station: 20 mm, reads: 49.940 mm}\n"
    made = built(tmp_path, LOBED + again, machines=LATHE, cuts=cuts)
    assert made.rows["v1"].status == "past" and made.features["piston.skirt"].lobing is None


def test_three_jaw_work_asks_for_a_vee(tmp_path):
    (tmp_path / "unread").mkdir()
    made = built(tmp_path / "unread", operations=THREE_JAWS)
    assert ("vee-wanted", "TURN") in [(note.code, note.subject) for note in made.features["piston.skirt"].advice]
    assert any("are not in the uncertainty" in told for told in all_said(made.fits["F1"].causes))
    (tmp_path / "read").mkdir()
    made = built(tmp_path / "read", LOBED, operations=THREE_JAWS)
    codes = [note.code for note in (*made.features["piston.skirt"].advice, *made.fits["F1"].causes)]
    assert "vee-wanted" not in codes and "lobes-not-known" not in codes


def test_a_number_of_lobes_that_nobody_said_is_asked_for(tmp_path):
    made = built(tmp_path, LOBED.replace("lobes: 3, ", ""), operations=THREE_JAWS)
    codes = [note.code for note in made.features["piston.skirt"].advice]
    assert "lobes-unsaid" in codes and "vee-wanted" in codes and made.fits["F1"].clearance == pytest.approx(0.060)


@pytest.mark.parametrize(
    ("row", "told"),
    [
        ("gauge: vee60, lobes: 2, reads: 0.030 mm", "a vee of 60 deg is blind to 2 lobes"),
        ("gauge: vee90, lobes: 7, reads: 0.030 mm", "a vee of 90 deg is blind to 7 lobes"),
        ("gauge: vee60, lobes: 3, reads: -0.030 mm", "must not be negative"),
        ("gauge: mic, lobes: 3, reads: 49.950 mm", "mic is no vee block"),
    ],
)
def test_what_no_vee_can_show_is_refused(tmp_path, row, told):
    build = load(tmp_path, instruments=DRAWER, readings__2025_02_04_skirt=SKIRT + f"  - {{id: v1, {row}}}\n")
    problem = next(problem for problem in build.problems if told in problem.text)
    assert problem.where.line == 4 and problem.where.column > 1


def test_a_vee_reading_goes_to_csv_and_back(tmp_path):
    """The number of lobes is a number again, and says the same."""
    (tmp_path / "first").mkdir()
    build = load(tmp_path / "first", instruments=DRAWER, readings__2025_02_04_skirt=SKIRT + LOBED)
    text, problems = to_csv(build.rows), Problems()
    rows = to_yaml(from_csv(text, "rows.csv", problems))
    (tmp_path / "again").mkdir()
    files = {"readings__2025_02_02_bore": rows, "readings__2025_02_04_skirt": None}
    again = load(tmp_path / "again", instruments=DRAWER, **files)
    assert again.problems == [] and to_csv(again.rows) == text
    assert next(row for row in again.rows if row.id == "v1").lobes == 3


# Figures of the trade, as the club's notes of the work hand them down (from memory, no publication was seen).
HANDED_DOWN = [(90, 2, 1), (90, 3, 2), (90, 5, 2), (90, 7, 0), (60, 2, 0), (60, 3, 3)]


@pytest.mark.parametrize(("vee", "lobes", "times"), HANDED_DOWN)
def test_the_vee_shows_lobes_as_often_as_is_handed_down(vee, lobes, times):
    assert vee_sees(lobes, vee) == pytest.approx(times, abs=1e-9)


def test_the_vee_shows_lobes_as_printed():
    """Journal of the Japan Society of Precision Engineering 43, no. 514, p. 1167, abstract: f = 1 + cos n(90° + θ/2)/sin(θ/2), and
    vees of 60° and 180° together have an f other than nought for each n of 2, 3 and 4."""

    def printed(n, vee):
        return 1 + math.cos(n * math.radians(90 + vee / 2)) / math.sin(math.radians(vee / 2))

    for vee in (60, 72, 90, 108, 120, 150, 180):
        for lobes in range(2, 12):
            assert vee_sees(lobes, vee) == pytest.approx(abs(printed(lobes, vee)), abs=1e-12)
    seen = {vee: {lobes for lobes in (2, 3, 4) if vee_sees(lobes, vee) > 1e-9} for vee in (60, 180)}
    assert seen == {60: {3}, 180: {2, 4}}, "neither alone, both together"


def test_lobes_stand_in_plain_words_on_the_part_page(tmp_path):
    build = load(tmp_path, instruments=DRAWER, readings__2025_02_04_skirt=SKIRT + LOBED)
    pages, _ = rendered(Club(knowledge=shelf(), builds=[build]), {"small": assess(build, shelf())})
    said = "3 lobes, out of round by 0.010 mm ± 0.001 mm over a vee of 60°"
    assert any(said in page.text for page in pages)
