"""States of features and fits, staleness, targets and the metal side, on a small build bent one way at a time."""

import pytest
from small_build import FILES, all_said, bent, findings, said

SKIRT, BORE = "readings/2025-02-04-skirt.yaml", "readings/2025-02-02-bore.yaml"
FINISH = "  FINISH: {part: piston, does: finish skirt, needs: [TURN], changes: [piston.skirt], estimate: [30 min, 60 min, 90 min]}\n"
OPEN = bent("operations.yaml", "operations:\n", "operations:\n" + FINISH)


def bore_reads(first, second="50.012"):
    return bent(BORE, "50.010 50.010", first).replace("50.012 50.012", second)


@pytest.mark.parametrize(
    ("size", "state"),
    [
        ("50.010", "in"),
        ("50.003", "reads in"),
        ("50.000", "reads in"),
        ("49.998", "reads out"),
        ("49.980", "out"),
        ("50.060", "out"),
    ],
)
def test_places_against_limits(tmp_path, size, state):
    assert findings(tmp_path, readings__2025_02_02_bore=bore_reads(size)).features["cyl.bore"].state == state


def test_the_same_two_hundredths_are_rework_on_one_side_and_scrap_on_the_other(tmp_path):
    rebore = "  REBORE: {part: cyl, does: rebore, needs: [BORE], changes: [cyl.bore]}\n"
    ops = bent("operations.yaml", "operations:\n", "operations:\n" + rebore)
    for name, size, state in (("small", "49.980", "metal on"), ("large", "50.060", "out")):
        folder = tmp_path / name
        folder.mkdir()
        made = findings(folder, operations=ops, readings__2025_02_02_bore=bore_reads(size, size))
        found = made.features["cyl.bore"]
        assert found.state == state and found.stock == made.fits["F1"].target, "one answer on part and fit"
        # Its limits, 50.000 to 50.040, and the fit with a skirt of 49.945, 49.995 to 50.025, leave 50.000 to 50.025.
        assert found.stock.on_diameter == pytest.approx(
            50.0125 - float(size)
        ) and found.stock.per_side == pytest.approx(found.stock.on_diameter / 2)
        assert (found.stock.to_last_limit > 0) == (state == "metal on")


def test_no_reading(tmp_path):
    found = findings(tmp_path, readings__2025_02_04_skirt=None)
    assert found.features["piston.skirt"].state == "no reading" and found.fits["F1"].state == "no reading"
    assert "no reading of piston.skirt" in all_said(found.fits["F1"].causes)


def test_stale_when_a_later_operation_changes_it(tmp_path):
    done = FINISH.replace("estimate", "done: 2025-02-10, estimate")
    found = findings(tmp_path, operations=bent("operations.yaml", "operations:\n", "operations:\n" + done))
    assert (
        found.features["piston.skirt"].state == "stale" and found.fits["F1"].state == "stale" and found.fits["F1"].look
    )


def test_stale_is_carried_through_dependent_features(tmp_path):
    cyl = bent("parts/cyl.yaml", "extent:", "depends_on: [piston.skirt], extent:")
    found = findings(tmp_path, parts__cyl=cyl)
    assert found.features["cyl.bore"].state == "stale" and "TURN" in said(found.features["cyl.bore"].why)


def test_wildcard_change_reaches_every_feature(tmp_path):
    relieve = "  RELIEVE: {part: cyl, does: relieve, needs: [BORE], changes: ['cyl.*'], done: 2025-02-09}\n"
    assert (
        findings(tmp_path, operations=bent("operations.yaml", "operations:\n", "operations:\n" + relieve))
        .features["cyl.bore"]
        .state
        == "stale"
    )


def test_frozen_before_a_press_keeps_its_number(tmp_path):
    press = "  PRESS: {part: piston, does: press in, needs: [TURN], changes: [piston.skirt], presses: [piston.skirt], done: 2025-02-10}\n"
    found = findings(tmp_path, operations=bent("operations.yaml", "operations:\n", "operations:\n" + press))
    assert found.features["piston.skirt"].state == "frozen" and found.rows["s1"].status == "frozen"
    assert found.fits["F1"].state == "in" and found.fits["F1"].clearance == pytest.approx(0.065)


def test_conceded_until_its_day(tmp_path):
    review = "reviews:\n  - {date: 2025-02-05, who: ada, verdict: concession, about: [F1], allow: [0.000 mm, 0.060 mm], recheck: %s, says: run it in gently}\n"
    tight = bent(SKIRT, "49.945", "49.985")
    for name, day, state in (("open", "2025-06-01", "conceded"), ("over", "2025-02-04", "out")):
        folder = tmp_path / name
        folder.mkdir()
        found = findings(folder, reviews=review % day, readings__2025_02_04_skirt=tight).fits["F1"]
        assert (found.state, found.conformity) == (state, "out")


def test_target_from_the_finished_mate(tmp_path):
    found = findings(tmp_path, operations=OPEN, readings__2025_02_04_skirt=bent(SKIRT, "49.945", "50.200"))
    fit = found.fits["F1"]
    assert (fit.state, fit.target_of, fit.target.provisional) == ("metal on", "piston.skirt", False)
    assert (fit.target.target_low, fit.target.target_high) == (
        pytest.approx(50.012 - 0.080),
        pytest.approx(50.010 - 0.050),
    )
    assert fit.target.on_diameter == pytest.approx(50.200 - (49.932 + 49.960) / 2)
    assert found.features["piston.skirt"].state == "metal on"


def test_target_is_provisional_while_the_mate_is_open(tmp_path):
    hone = "  HONE: {part: cyl, does: hone, needs: [BORE], changes: [cyl.bore]}\n"
    found = findings(tmp_path, operations=bent("operations.yaml", "operations:\n", "operations:\n" + FINISH + hone))
    assert found.fits["F1"].target.provisional


def test_worst_station_not_mean(tmp_path):
    found = findings(tmp_path, readings__2025_02_02_bore=bore_reads("50.002", "50.038"))
    assert found.fits["F1"].clearance == pytest.approx(50.002 - 49.945) and found.fits["F1"].hole_at.rows == ("b1",)
    assert found.fits["F1"].loosest == pytest.approx(50.038 - 49.945)


def test_only_the_swept_length_counts(tmp_path):
    cyl = bent("parts/cyl.yaml", "extent:", "swept: [50 mm, 100 mm], extent:")
    found = findings(tmp_path, parts__cyl=cyl, readings__2025_02_02_bore=bore_reads("50.002", "50.038"))
    assert found.fits["F1"].clearance == pytest.approx(50.038 - 49.945)
    assert found.fits["F1"].moves[-1].clearance == pytest.approx(50.038 - 49.945), "its history too"


def test_a_reading_exactly_at_the_limit_is_in_whatever_binary_says(tmp_path):
    # 50.010 − 49.960 is 0.04999999999999716 in binary; the limit is 0.050.
    found = findings(tmp_path, readings__2025_02_04_skirt=bent(SKIRT, "49.945", "49.960")).fits["F1"]
    assert found.conformity == "reads in" and found.chance_tight == pytest.approx(0.5, abs=1e-6)


def test_shared_scale_cancels_and_another_mic_does_not(tmp_path):
    shared = findings(tmp_path).fits["F1"]
    assert shared.expanded == pytest.approx((0.004**2 + 0.003**2) ** 0.5, rel=1e-4) and shared.shared_scale == "mic"
    own = bent("instruments.yaml", "scale_from: mic", "scale: 0.004 mm")
    folder = tmp_path / "own"
    folder.mkdir()
    apart = findings(folder, instruments=own).fits["F1"]
    assert (
        apart.expanded == pytest.approx((0.004**2 * 2 + 0.003**2 + 0.004**2) ** 0.5, rel=1e-4)
        and apart.shared_scale is None
    )


def test_resolution_counts_where_it_is_larger_than_use(tmp_path):
    coarse = bent(
        "instruments.yaml", "range: [25 mm, 75 mm], resolution: 0.001 mm", "range: [25 mm, 75 mm], resolution: 0.1 mm"
    )
    found = findings(tmp_path, instruments=coarse).features["piston.skirt"]
    assert found.budget[0].name == "use of mic" and found.budget[0].standard == pytest.approx(0.05 / 3**0.5)


def test_stated_temperature_doubt_enters_the_budget(tmp_path):
    found = findings(
        tmp_path, instruments=bent("instruments.yaml", "use: 0.003 mm", "use: 0.003 mm, temp_within: 2 °C")
    )
    lines = {line.name: line.standard for line in found.features["piston.skirt"].budget}
    # The instrument was read with the same thermometer: what is left is the difference of the two coefficients.
    left = 49.945 * (11.5e-6 - 11e-6) * 2 / 3**0.5
    assert lines["thermometer of ada, 2025-02-04"] == pytest.approx(left, rel=1e-3)


def test_superseded_row_stays_and_is_not_used(tmp_path):
    again = bent(SKIRT, "rows:\n", "rows:\n  - {id: s2, station: 20 mm, reads: 49.950 mm, supersedes: s1}\n")
    found = findings(tmp_path, readings__2025_02_04_skirt=again)
    assert found.rows["s1"].status == "superseded" and found.features["piston.skirt"].size == pytest.approx(49.950)


def test_withdrawn_row_stays_with_its_reason_and_does_not_count(tmp_path):
    twice = FILES[SKIRT] + "  - {id: s2, station: 20 mm, reads: 49.955 mm}\n"
    withdrawn = "  - {id: s3, withdraws: s2, because: read of another piston, date: 2025-02-06, by: ada}\n"
    for name in ("before", "after"):
        (tmp_path / name).mkdir()
    before = findings(tmp_path / "before", readings__2025_02_04_skirt=twice)
    after = findings(tmp_path / "after", readings__2025_02_04_skirt=twice + withdrawn)
    assert before.features["piston.skirt"].size == pytest.approx(49.950) and before.rows["s2"].status == "current"
    row = after.rows["s2"]
    assert (row.status, said(row.why)) == ("withdrawn", "read of another piston (s3, 2025-02-06)")
    assert after.features["piston.skirt"].size == pytest.approx(49.945)
    assert [generation.rows for generation in after.features["piston.skirt"].history] == [("s1",)]
    assert "s3" not in after.rows and (before.gauges["mic"].rows, after.gauges["mic"].rows) == (2, 1)


def test_what_a_withdrawn_row_put_right_counts_again(tmp_path):
    rows = FILES[SKIRT] + (
        "  - {id: s2, station: 20 mm, reads: 49.955 mm, supersedes: s1}\n"
        "  - {id: s3, withdraws: s2, because: read of another piston}\n"
    )
    found = findings(tmp_path, readings__2025_02_04_skirt=rows)
    assert {row.id: row.status for row in found.rows.values() if row.id[0] == "s"} == {
        "s1": "current",
        "s2": "withdrawn",
    }
    assert found.features["piston.skirt"].size == pytest.approx(49.945)


def test_withdrawn_row_is_no_mistake_and_does_not_move_the_day(tmp_path):
    wrong = FILES[SKIRT] + "  - {id: s2, station: 20 mm, reads: 1.9663 mm, date: 2026-06-01}\n"
    withdrawn = "  - {id: s3, withdraws: s2, because: inches}\n"
    for name in ("before", "after"):
        (tmp_path / name).mkdir()
    before = findings(tmp_path / "before", readings__2025_02_04_skirt=wrong)
    assert {mistake.kind for mistake in before.mistakes} == {"inch typed as millimetre", "instrument overdue"}
    assert before.gauges["mic"].overdue
    after = findings(tmp_path / "after", readings__2025_02_04_skirt=wrong + withdrawn)
    assert after.mistakes == () and after.rows["s2"].status == "withdrawn" and not after.gauges["mic"].overdue


@pytest.mark.parametrize("named", ["v1", "2025-02-05 ada"])
def test_withdrawn_concession_no_longer_counts(tmp_path, named):
    tight = bent("fits.yaml", "[0.050 mm, 0.080 mm]", "[0.100 mm, 0.130 mm]")
    reviews = (
        "reviews:\n  - {id: v1, date: 2025-02-05, who: ada, verdict: concession, says: let it run, about: [F1], "
        "allow: [0.05 mm, 0.08 mm], recheck: 2026-01-01}\n"
    )
    withdrawn = f"  - {{date: 2025-02-06, who: ada, withdraws: {named}, because: it knocked}}\n"
    for name in ("before", "after"):
        (tmp_path / name).mkdir()
    assert findings(tmp_path / "before", fits=tight, reviews=reviews).fits["F1"].state == "conceded"
    assert findings(tmp_path / "after", fits=tight, reviews=reviews + withdrawn).fits["F1"].state == "out"


def test_wanted_range_from_the_rule_it_cites(tmp_path):
    fits = bent("fits.yaml", "want: [0.050 mm, 0.080 mm], because: test", "rule: A-R2")
    found = findings(tmp_path, fits=fits).fits["F1"]
    assert (
        found.want_low == pytest.approx(50.0 * 0.001 + 0.0254)
        and found.want_high is None
        and all_said(found.want_from) == ["rule A-R2"]
    )


def test_missing_cells_stay_open(tmp_path):
    plan = "plan: {stations: [10 mm, 60 mm, 100 mm], angles: [0 deg, 90 deg]}, extent:"
    found = findings(tmp_path, parts__cyl=bent("parts/cyl.yaml", "extent:", plan)).features["cyl.bore"]
    assert found.missing_cells == ((10.0, 90.0), (60.0, 90.0), (100.0, 0.0), (100.0, 90.0)) and len(found.cells) == 2


def test_ovality_at_45_degrees_needs_four_angles(tmp_path):
    four = "rows:\n" + "".join(
        f"  - {{id: b{angle}, station: 10 mm, angle: {angle} deg, reads: {size} mm}}\n"
        for angle, size in ((0, "50.010"), (45, "50.020"), (90, "50.010"), (135, "50.000"))
    )
    text = bent(BORE, "rows:\n", "ROWS").split("ROWS")[0] + four
    section = findings(tmp_path, readings__2025_02_02_bore=text).features["cyl.bore"].form.sections[0]
    assert (
        section.ovality == pytest.approx(0.020)
        and section.direction == pytest.approx(45)
        and section.closure == pytest.approx(0, abs=1e-9)
    )


@pytest.mark.parametrize(("other", "state"), [("50.030", "out"), ("50.020", "reads out"), ("50.014", "reads in")])
def test_ovality_over_its_limit_by_its_whole_uncertainty_is_out(tmp_path, other, state):
    """Diameters of 50.010 mm and another, each known to 4 µm of use: their difference to 5.7 µm, and 5 µm are allowed."""
    cyl = bent("parts/cyl.yaml", "extent:", "oval_most: 0.005 mm, extent:")
    rows = bent(BORE, "rows:\n", f"rows:\n  - {{id: b9, station: 10 mm, angle: 90 deg, reads: {other} mm}}\n")
    found = findings(tmp_path, parts__cyl=cyl, readings__2025_02_02_bore=rows).features["cyl.bore"]
    assert found.state == state
    assert found.why.code == {"out": "form-out", "reads out": "form-reads-out", "reads in": "form-not-tested"}[state]
    assert "0.005 mm allowed" in said(found.why)
    # Two angles see one direction of it: nothing in them says that the part is round.
    assert any("ovality was not tested" in note for note in all_said(found.advice)) == (state == "reads in")


def test_hot_clearance_uses_both_materials_and_both_temperatures(tmp_path):
    materials = "materials:\n  ci: {name: iron, cte: 11.0e-6 /K}\n  al: {name: aluminium, cte: 20.5e-6 /K}\n"
    found = findings(
        tmp_path, materials=materials, parts__piston=bent("parts/piston.yaml", "material: ci", "material: al")
    ).fits["F1"]
    assert found.hot[0].now == pytest.approx(50.010 * (1 + 11e-6 * 80) - 49.945 * (1 + 20.5e-6 * 130))


def test_material_beyond_its_range_is_said(tmp_path):
    found = findings(tmp_path, build=bent("build.yaml", "shaft: 150 °C", "shaft: 250 °C")).fits["F1"]
    assert all_said(found.hot[0].outside_range) == ["grey iron at 250 °C (its coefficient holds from 20 to 200 °C)"]


RING = """\
part: ring
name: Ring
family: ring
material: ci
state: made
features:
  gap: {name: Gap, kind: gap, nominal: 0.20 mm}
"""
GAP = "fits:\n  G: {name: Ring gap, kind: ring_gap, hole: cyl.bore, gap: ring.gap, want: [0.15 mm, 0.40 mm], because: test}\n"


def ring_gap(folder, station, fits=GAP, **changes):
    """The fit of a ring whose gap of 0.200 mm was read at a station of the small build's bore."""
    rows = (
        f"rows:\n  - {{id: g1, of: ring.gap, date: 2025-02-05, by: ada, gauge: mic, station: {station}, "
        "reads: 0.200 mm, part_temp: 20 °C, gauge_temp: 20 °C}\n"
    )
    drawer = bent("instruments.yaml", "range: [25 mm, 75 mm], ", "")
    return findings(folder, fits=fits, parts__ring=RING, readings__gap=rows, instruments=drawer, **changes).fits["G"]


@pytest.mark.parametrize(("station", "moved"), [("60 mm", 0.002), ("35 mm", 0.001), ("10 mm", 0.0)])
def test_ring_gap_is_carried_to_the_smallest_bore_by_pi(tmp_path, station, moved):
    found = ring_gap(tmp_path, station)
    assert found.gap_moved_by == pytest.approx(-moved) and found.clearance == pytest.approx(0.200 - 3.14159265 * moved)


def test_a_gap_read_in_the_bell_mouth_beyond_ring_travel_is_carried_back(tmp_path):
    cyl = bent("parts/cyl.yaml", "extent:", "swept: [0 mm, 20 mm], extent:")
    found = ring_gap(tmp_path, "60 mm", parts__cyl=cyl)
    assert found.clearance == pytest.approx(0.200 - 3.14159265 * 0.002)


def test_a_gap_read_outside_the_map_is_not_carried_by_guess(tmp_path):
    found = ring_gap(tmp_path, "110 mm")
    assert found.clearance == pytest.approx(0.200) and "cannot be carried to the smallest bore" in said(found.causes[0])


def test_a_three_point_gauge_is_not_taken_for_proof_of_roundness(tmp_path):
    drawer = bent("instruments.yaml", "scale_from: mic, use: 0.004 mm", "scale_from: mic, contacts: 3, use: 0.004 mm")
    found = findings(tmp_path, instruments=drawer).features
    assert "no-ovality-seen" in [note.code for note in found["cyl.bore"].advice]
    assert "no-ovality-seen" not in [note.code for note in found["piston.skirt"].advice]


@pytest.mark.parametrize(
    ("contacts", "spec", "look", "codes"),
    [
        (3, "", True, ["ovality-not-known"]),
        (3, "oval_most: 0.004 mm, ", True, ["ovality-not-seen", "half-form-not-tested"]),
        (2, "", False, []),
        (2, "oval_most: 0.004 mm, ", False, ["half-form-not-tested"]),  # one angle alone
        (2, "taper_most: 0.020 mm, ", False, []),
    ],
)
def test_a_fit_tells_what_its_readings_cannot_show_of_a_form(tmp_path, contacts, spec, look, codes):
    drawer = bent("instruments.yaml", "scale_from: mic, use", f"scale_from: mic, contacts: {contacts}, use")
    wide = bent("fits.yaml", "[0.050 mm, 0.080 mm]", "[0.030 mm, 0.120 mm]").replace(", hot: [hot]", "")
    cyl = bent("parts/cyl.yaml", "extent:", f"{spec}extent:")
    fit = findings(tmp_path, instruments=drawer, fits=wide, parts__cyl=cyl).fits["F1"]
    assert (fit.state, fit.look) == ("in", look)
    told = [
        note.code
        for note in fit.causes
        if note.code in ("ovality-not-known", "ovality-not-seen", "half-form-not-tested")
    ]
    assert told == codes


def test_a_fit_names_the_reading_that_stands_off_and_the_one_that_is_held_back(tmp_path):
    places = [(station, angle) for station in (10, 60, 110) for angle in (0, 45, 90, 135)]
    sizes = {place: "50.012" for place in places} | {(60, 90): "50.045"}  # too large: the tight end does not see it
    rows = "".join(
        f"  - {{id: c{z}-{a}, station: {z} mm, angle: {a} deg, reads: {size} mm}}\n" for (z, a), size in sizes.items()
    )
    least_alone = bent("fits.yaml", "[0.050 mm, 0.080 mm]", "[0.050 mm, 0.150 mm]")
    bore = bent(BORE, "rows:\n", "ROWS").split("ROWS")[0] + "rows:\n" + rows
    (tmp_path / "off").mkdir()
    fit = findings(tmp_path / "off", readings__2025_02_02_bore=bore, fits=least_alone).fits["F1"]
    assert fit.state == "in" and fit.look
    assert any(told.startswith("c60-90 stands off") for told in all_said(fit.causes))
    (tmp_path / "held").mkdir()
    slipped = bent("readings/2025-02-04-skirt.yaml", "49.945", "4.9945")
    fit = findings(tmp_path / "held", readings__2025_02_04_skirt=slipped).fits["F1"]
    assert fit.state == "no reading"
    assert all_said(fit.causes)[0].startswith(
        "all that was read of piston.skirt is held back (s1: 4.9945 mm is 1/10 of"
    )


def test_ring_gap_hot(tmp_path):
    found = ring_gap(tmp_path, "10 mm", GAP.replace("because: test", "because: test, hot: [hot]"))
    closing = 3.14159265 * 50.010 * 11e-6 * (80 - 130)
    assert found.hot[0].now == pytest.approx(0.200 + closing, abs=1e-6)
    assert found.hot[0].at_least_wanted == pytest.approx(0.150 + closing, abs=1e-6)


def test_a_running_fit_that_closes_up_hot_is_said_to_fail_and_asks_for_a_look(tmp_path):
    """0.067 mm cold on 50 mm: a piston 150 K hotter than its bore takes up 0.08 of iron's growth."""
    found = findings(
        tmp_path, build=bent("build.yaml", "hot: {hole: 100 °C, shaft: 150 °C}", "hot: {hole: 30 °C, shaft: 180 °C}")
    )
    fit = found.fits["F1"]
    assert fit.hot[0].now < 0 and said(fit.hot[0].fails) == "it closes up: metal on metal"
    assert fit.look and said(fit.causes[-1]) == "hot: it closes up: metal on metal" and fit.hot[0].chance_closed > 0.5


def test_a_fit_so_near_to_closing_that_nobody_can_tell(tmp_path):
    near = bent("build.yaml", "hot: {hole: 100 °C, shaft: 150 °C}", "hot: {hole: 30 °C, shaft: 146 °C}")
    fit = findings(tmp_path, build=near).fits["F1"]
    assert (
        0 < fit.hot[0].now < fit.hot[0].expanded
        and said(fit.hot[0].fails)
        == "the uncertainty reaches to metal on metal, by a chance of over 5 % (common practice, no source)"
    )
    calm = findings(tmp_path_of(tmp_path)).fits["F1"]
    assert calm.hot[0].fails is None and calm.hot[0].chance_closed < 0.001


def test_a_press_fit_lets_go_hot(tmp_path):
    fits = (
        FILES["fits.yaml"]
        .replace("kind: skirt", "kind: press")
        .replace("want: [0.050 mm, 0.080 mm]", "want: [-0.040 mm, -0.010 mm]")
    )
    rows = FILES["readings/2025-02-04-skirt.yaml"].replace("49.945", "50.025")
    hot = bent("build.yaml", "hot: {hole: 100 °C, shaft: 150 °C}", "hot: {hole: 150 °C, shaft: 100 °C}")
    fit = findings(tmp_path, fits=fits, readings__2025_02_04_skirt=rows, build=hot).fits["F1"]
    assert (
        fit.clearance < 0 < fit.hot[0].now
        and said(fit.hot[0].fails) == "it lets go: no interference is left"
        and fit.look
    )


def tmp_path_of(tmp_path):
    other = tmp_path / "other"
    other.mkdir()
    return other


def test_an_open_operation_makes_stale_what_depends_on_it_at_any_remove(tmp_path):
    """bore -> skirt -> land: boring moves the land too, as it does once the operation is done."""
    piston = bent(
        "parts/piston.yaml",
        "mates: [cyl.bore]}",
        "mates: [cyl.bore], depends_on: [cyl.bore]}\n"
        "  land: {name: Land, kind: od, nominal: 49.80 mm, metal_side: external, depends_on: [piston.skirt]}",
    )
    rows = FILES["readings/2025-02-04-skirt.yaml"] + "  - {id: l1, of: piston.land, station: 5 mm, reads: 49.80 mm}\n"
    for done in ("", ", done: 2025-03-01"):
        operations = (
            FILES["operations.yaml"]
            + f"  AGAIN: {{part: cyl, does: bore again, needs: [BORE], changes: [cyl.bore]{done}}}\n"
        )
        place = tmp_path / f"done{bool(done)}"
        place.mkdir()
        found = findings(place, parts__piston=piston, operations=operations, readings__2025_02_04_skirt=rows)
        if done:
            assert {row.id for row in found.rows.values() if row.status == "stale"} == {"b1", "b2", "s1", "l1"}
        else:
            assert found.operations["AGAIN"].makes_stale == ("cyl.bore", "piston.skirt", "piston.land")
