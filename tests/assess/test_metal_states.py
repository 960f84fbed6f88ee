"""States of the metal: passes, half-read maps, gauges that disagree. Every number is worked out by hand beside it."""

import pytest
from small_build import FILES, bent, findings

INCH_MIC = "  caliper: {name: caliper, resolution: 0.02 mm, scale: 0.03 mm, use: 0.02 mm, cte: 11.5e-6 /K, checked: 2025-01-01, due: 2026-01-01}\n"
INSTRUMENTS = FILES["instruments.yaml"] + INCH_MIC
FINISH = "  FINISH: {part: piston, does: finish skirt, needs: [TURN], changes: [piston.skirt], estimate: [30 min, 60 min, 90 min]%s}\n"
OPEN = FILES["operations.yaml"] + FINISH % ""
DONE = FILES["operations.yaml"] + FINISH % ", done: 2025-02-10"
HEAD = (
    "every_row: {date: 2025-02-10, by: ada, of: piston.skirt, gauge: mic, part_temp: 20 °C, gauge_temp: 20 °C}\nrows:\n"
)
MACHINES = (
    "machines: {big: {name: Lathe, speeds: [100 rpm], feeds: [0.1 mm], dial_division: 0.02 mm, dial_reads: diameter}}\n"
)
PEOPLE = bent("build.yaml", "{ada: {name: Ada}}", "{ada: {name: Ada}, bob: {name: Bob}}")


def skirt(tmp_path, rows: str, operations: str = OPEN, instruments: str = INSTRUMENTS, **changes):
    made = findings(
        tmp_path,
        build=PEOPLE,
        instruments=instruments,
        operations=operations,
        readings__2025_02_10_skirt=HEAD + rows,
        **changes,
    )
    return made, made.features["piston.skirt"]


def mistakes(made):
    return [(slip.kind, slip.row) for slip in made.mistakes]


def passes(*sizes: str, **keys: str) -> str:
    said = "".join(f", {key}: {value}" for key, value in keys.items())
    return "".join(
        f"  - {{id: p{number}, station: 20 mm, reads: {size} mm{said}}}\n" for number, size in enumerate(sizes)
    )


def test_readings_between_passes_are_not_averaged(tmp_path):
    """Read, cut, read, cut: the last reading is the size, whoever wrote a cut down or not."""
    made, feature = skirt(tmp_path, passes("52.71", "51.612", "50.565", "50.120", "49.978"))
    assert feature.size == pytest.approx(49.978) and feature.state == "metal on"
    # Wanted is 49.932 to 49.960 (bore 50.010 to 50.012, clearance 0.050 to 0.080), so 0.032 is to come off to its middle.
    assert feature.stock.on_diameter == pytest.approx(0.032)
    assert [made.rows[f"p{number}"].status for number in range(5)] == ["past"] * 4 + ["current"]
    assert (
        made.rows["s1"].status == "past"
    )  # read on an earlier evening, 49.945: it cannot have grown to 52.71 by itself
    assert [(state.state, state.decides) for state in feature.history][-1] == (6, pytest.approx(49.978))
    assert [note.subject for note in feature.advice if note.code == "cut-not-recorded"][-1] == "p4"


def test_a_finished_operation_of_the_same_day_does_not_bring_them_back(tmp_path):
    made, feature = skirt(tmp_path, passes("50.565", "50.120", "49.978"), operations=DONE)
    assert feature.size == pytest.approx(49.978)


def test_metal_does_not_grow(tmp_path):
    """The newest reading shows 0.3 mm more than the one before: one of them is wrong, and neither wins by accident."""
    made, feature = skirt(tmp_path, passes("50.565", "50.120", "50.420"))
    assert ("readings disagree", "p2") in mistakes(made)
    told = next(slip for slip in made.mistakes if slip.kind == "readings disagree")
    assert told.rows == ("p1", "p2") and told.fits == ("F1",) and made.fits["F1"].look
    assert feature.size - feature.expanded < 50.120 and feature.size + feature.expanded > 50.420


def test_half_a_map_read_after_a_pass_is_half_read(tmp_path):
    """Four places, a pass, and one place again: the other three are not known, and nothing of before is taken for them."""
    piston = bent(
        "parts/piston.yaml", "metal_side", "plan: {stations: [10 mm, 20 mm], angles: [0 deg, 90 deg]}, metal_side"
    )
    first = "".join(
        f"  - {{id: m{number}, station: {station} mm, angle: {angle} deg, reads: 50.120 mm}}\n"
        for number, (station, angle) in enumerate([(10, 0), (10, 90), (20, 0), (20, 90)])
    )
    again = "  - {id: n0, station: 10 mm, angle: 0 deg, reads: 49.990 mm}\n"
    made, feature = skirt(tmp_path, first + again, parts__piston=piston, readings__2025_02_04_skirt=None)
    assert feature.size == pytest.approx(49.990) and [cell.rows for cell in feature.cells] == [("n0",)]
    assert feature.missing_cells == ((10.0, 90.0), (20.0, 0.0), (20.0, 90.0))


def cuts(*entries: str) -> str:
    common = "of: piston.skirt, machine: big, tool: HSS, feed: 0.1 mm"
    return "cuts:\n" + "".join(f"  - {{{entry}, {common}}}\n" for entry in entries)


def test_a_recorded_cut_ends_a_state_even_where_the_readings_do_not_show_it(tmp_path):
    cut = cuts("id: c1, date: 2025-02-10, asked: 0.004 mm, operation: FINISH")
    rows = passes("49.965") + "  - {id: q0, station: 20 mm, reads: 49.962 mm, after_cut: c1}\n"
    rows = rows.replace("reads: 49.965 mm", "reads: 49.965 mm, time: '19:00'")
    cut = cut.replace("id: c1", "id: c1, time: '19:10'")
    made, feature = skirt(tmp_path, rows, cuts=cut, machines=MACHINES)
    assert feature.size == pytest.approx(49.962) and made.rows["p0"].status == "past"
    assert feature.history[-1].cut == "c1"


def test_after_a_cut_nothing_is_known_until_it_is_read(tmp_path):
    cut = cuts("id: c1, date: 2025-02-11, asked: 0.004 mm")
    made, feature = skirt(tmp_path, passes("49.965"), cuts=cut, machines=MACHINES)
    assert (
        feature.state == "stale"
        and feature.why.code == "read-before-cut"
        and feature.why.subject == "c1"
        and feature.size is None
    )
    assert made.fits["F1"].state == "stale"


def test_a_cut_and_a_reading_of_one_day_without_times_are_told(tmp_path):
    cut = cuts("id: c1, date: 2025-02-10, asked: 0.004 mm")
    made, feature = skirt(tmp_path, passes("49.965"), cuts=cut, machines=MACHINES)
    assert feature.size == pytest.approx(49.965)
    assert [(note.subject, note.names["rows"]) for note in feature.advice if note.code == "order-assumed"] == [
        ("c1", ("p0",))
    ]


@pytest.mark.parametrize("time", [None, "19:00"], ids=["no time", "one minute"])
def test_where_times_do_not_tell_a_row_above_the_first_after_a_cut_was_read_before_it(tmp_path, time):
    """Two passes and four readings at as many places: each cut ends what stands above its own reading, and only that."""
    said = f", time: '{time}'" if time else ""
    cut = cuts(
        f"id: c1, date: 2025-02-10, asked: 0.040 mm{said}",
        f"id: c2, date: 2025-02-10, asked: 0.020 mm{said}",
    )
    rows = "".join(
        f"  - {{id: p{number}, station: {station} mm, reads: {size} mm{after}{said}}}\n"
        for number, (station, size, after) in enumerate(
            [
                (20, "50.060", ""),
                (40, "50.020", ", after_cut: c1"),
                (60, "50.021", ""),
                (20, "50.001", ", after_cut: c2"),
                (60, "50.002", ""),
            ]
        )
    )
    made, feature = skirt(tmp_path, rows, cuts=cut, machines=MACHINES)
    assert [made.rows[f"p{number}"].status for number in range(5)] == ["past", "past", "past", "current", "current"]
    assert [one.got_read and round(one.got_read, 3) for one in made.cuts] == [
        None,
        0.019,
    ]  # at 60 mm; nothing in common at c1
    assert feature.size == pytest.approx(50.002)


def test_a_withdrawn_cut_does_not_count(tmp_path):
    cut = cuts("id: c1, date: 2025-02-11, asked: 0.004 mm")
    cut += "  - {withdraws: c1, because: not made, date: 2025-02-12, by: ada}\n"
    made, feature = skirt(tmp_path, passes("49.965"), cuts=cut, machines=MACHINES, readings__2025_02_04_skirt=None)
    assert feature.size == pytest.approx(49.965)


def test_a_caliper_does_not_spoil_a_micrometer(tmp_path):
    """Mic 49.945 (U 5.0 µm) and caliper 50.010 (U 36 µm) at one place of a finished skirt.

    U of the difference: both have a scale and a hand of their own: √(5.0² + 36.06²) = 36.4 µm; 65/36.4 = 1.79 over 1.
    """
    rows = "  - {id: k1, station: 20 mm, reads: 50.010 mm, gauge: caliper, after: TURN, date: 2025-02-04}\n"
    made, feature = skirt(tmp_path, rows, operations=FILES["operations.yaml"])
    cross = feature.cross_readings[0]
    assert (cross.first, cross.second, cross.suspect, cross.agree) == (("k1",), ("s1",), "caliper", False)
    assert cross.difference == pytest.approx(0.065) and cross.error == pytest.approx(1.786, abs=1e-3)
    # Weights by 1/u²: the mic's is 0.9812, so the mean lies 1.2 µm above it, not half way.
    assert feature.size == pytest.approx(49.9462, abs=1e-4)
    assert feature.size + feature.expanded >= 50.010 + 0.036
    assert ("readings disagree", "k1") in mistakes(made) and made.fits["F1"].look


def test_two_good_readings_of_one_place_are_better_than_one(tmp_path):
    rows = "  - {id: k1, station: 20 mm, reads: 49.946 mm, by: bob, after: TURN, date: 2025-02-04}\n"
    made, feature = skirt(tmp_path, rows, operations=FILES["operations.yaml"])
    # One mic: its scale (U 4) is shared, the hands (U 3 each) are not: √(4² + 3²/2) = 4.53 µm.
    assert feature.size == pytest.approx(49.9455) and feature.expanded == pytest.approx(0.004528, abs=1e-6)
    assert feature.cross_readings[0].agree and mistakes(made) == []


def test_an_instrument_that_was_never_checked_is_told(tmp_path):
    never = FILES["instruments.yaml"].replace("checked: 2025-01-01, due: 2026-01-01", "checked: never")
    made = findings(tmp_path, instruments=never)
    assert [(slip.kind, slip.rows) for slip in made.mistakes] == [("instrument never checked", ("b1", "b2", "s1"))]


def test_a_gauge_found_off_does_not_decide_by_what_it_showed(tmp_path):
    """The mic of the skirt read 20 µm high, and the bore was read through it too: both are 20 µm less than they read.

    Bore 49.990 to 49.992, wanted 0.050 to 0.080: the skirt is to be 49.912 to 49.940, and not the 49.932 to 49.960 of the readings.
    """
    off = FILES["instruments.yaml"].replace(
        "due: 2026-01-01}",
        "due: 2026-01-01, found_off: {reads_high: 0.020 mm, found: 2025-03-01, since: 2025-01-01, how: against a rod}}",
        1,
    )
    made = findings(tmp_path, instruments=off, operations=OPEN)
    skirt_now, fit = made.features["piston.skirt"], made.fits["F1"]
    assert (skirt_now.size, skirt_now.as_read.value) == (pytest.approx(49.925), pytest.approx(49.945))
    assert (fit.target.target_low, fit.target.target_high) == (pytest.approx(49.912), pytest.approx(49.940))
    assert fit.clearance == pytest.approx(0.065) and fit.as_read.by == 0.0, "in the clearance the error cancels"
    assert made.features["cyl.bore"].state == "out", "50.010 as read is in; the bore is 49.990 and 50.000 is the least"
    assert made.rows["s1"].error == pytest.approx(0.020)


def test_what_a_cut_took_is_worked_out_and_held_against_what_its_record_says(tmp_path):
    """49.985 before and 49.965 after: 20 µm came off; the scale cancels, √(3² + 3²) = 4.24 µm is left."""
    cut = cuts("id: c1, date: 2025-02-11, asked: 0.024 mm", "id: c2, date: 2025-02-13, asked: 0.02 mm, got: 0.030 mm")
    rows = passes("49.985").replace("reads:", "date: 2025-02-10, reads:")
    rows += "  - {id: q1, station: 20 mm, reads: 49.965 mm, date: 2025-02-12}\n"
    rows += "  - {id: q2, station: 20 mm, reads: 49.950 mm, date: 2025-02-14}\n"
    made, feature = skirt(tmp_path, rows, cuts=cut, machines=MACHINES, readings__2025_02_04_skirt=None)
    first, second = made.cuts
    assert (first.got, first.expanded, first.agree) == (pytest.approx(0.020), pytest.approx(0.004243, abs=1e-6), None)
    assert (first.before, first.after) == (("p0",), ("q1",))
    assert (second.got_written, second.got, second.agree) == (pytest.approx(0.030), pytest.approx(0.015), False)
    assert ("what a cut took", "q2") in mistakes(made)


def test_a_gauge_that_was_not_put_right_shows_too_much_at_the_size_to_stop_at(tmp_path):
    """The mic reads 20 µm high and stays so: at 20 °C both, the skirt is right where it shows 20 µm more."""
    off = FILES["instruments.yaml"].replace(
        "due: 2026-01-01}",
        "due: 2026-01-01, found_off: {reads_high: 0.020 mm, found: 2025-03-01, since: 2025-01-01, was_reset: false, how: a rod}}",
        1,
    )
    operations = OPEN.replace("does: finish skirt, ", "does: finish skirt, machine: big, cutting: {length: 60 mm}, ")
    rows = passes("50.120")
    made, _ = skirt(tmp_path, rows, operations, instruments=off, machines=MACHINES, readings__2025_02_04_skirt=None)
    plan = made.cut_plans[0]
    assert plan.shown.lengths["shows"] - plan.shown.lengths["stop"] == pytest.approx(0.020, abs=1e-6)


FEELER = "  feel: {name: feelers, resolution: 0.01 mm, scale: 0.010 mm, use: 0.010 mm, cte: 11.5e-6 /K, checked: 2025-01-01, due: 2026-01-01}\n"


@pytest.mark.parametrize(("read", "agree"), [("0.07", True), ("0.12", False)])
def test_a_clearance_read_directly_closes_the_sum_or_does_not(tmp_path, read, agree):
    """By the sizes 50.010 − 49.945 = 0.065 mm; feelers are good to √(10² + 10²) = 14.1 µm."""
    piston = FILES["parts/piston.yaml"] + "  play: {name: Play at the crown, kind: gap}\n"
    fits = bent("fits.yaml", "shaft: piston.skirt,", "shaft: piston.skirt, direct: piston.play,")
    rows = f"  - {{id: f1, of: piston.play, gauge: feel, date: 2025-02-04, reads: {read} mm}}\n"
    made, _ = skirt(
        tmp_path,
        rows,
        FILES["operations.yaml"],
        INSTRUMENTS + FEELER,
        parts__piston=piston,
        fits=fits,
    )
    fit = made.fits["F1"]
    assert (fit.direct.agree, fit.look) == (agree, not agree)
    assert fit.direct.difference == pytest.approx(float(read) - 0.065)
    assert fit.direct.error == pytest.approx(abs(float(read) - 0.065) / 0.0150, rel=0.01)
    assert [note.code for note in fit.causes if note.code == "direct-disagrees"] == (
        [] if agree else ["direct-disagrees"]
    )


def test_half_a_map_is_never_in(tmp_path):
    """One of four planned places was read, well inside the limits: of the other three nobody knows."""
    cyl = bent("parts/cyl.yaml", "metal_side", "plan: {stations: [10 mm, 60 mm], angles: [0 deg, 90 deg]}, metal_side")
    rows = bent("readings/2025-02-02-bore.yaml", "50.010 50.010 mm", "50.020 50.020 mm").replace(
        "50.012 50.012", "50.020 50.020"
    )
    bore = findings(tmp_path, parts__cyl=cyl, readings__2025_02_02_bore=rows).features["cyl.bore"]
    assert (bore.state, bore.why.code, bore.why.counts) == ("reads in", "places-unread", {"unread": 2, "planned": 4})


def test_a_fit_is_not_in_where_half_a_map_of_one_half_is_not_read(tmp_path):
    """The same of a fit, which has no limits but what is wanted: 50.010 to 50.012 and 49.945, wanted 0.050 to 0.080."""
    for name in ("whole", "half"):
        (tmp_path / name).mkdir()
    whole = findings(tmp_path / "whole").fits["F1"]
    assert (whole.state, whole.conformity) == ("in", "in")
    piston = bent("parts/piston.yaml", "metal_side", "plan: {stations: [20 mm, 60 mm], angles: [0 deg]}, metal_side")
    half = findings(tmp_path / "half", parts__piston=piston)
    assert (half.fits["F1"].state, half.fits["F1"].conformity) == ("reads in", "in"), "what was read is in"
    assert half.fits["F1"].look and ("half-unread", "piston.skirt") in [
        (n.code, n.subject) for n in half.fits["F1"].causes
    ]
    skirt = half.features["piston.skirt"]  # without limits it stands as its fit
    assert (skirt.state, skirt.why.code) == ("reads in", "places-unread")


def test_few_repeats_behind_a_use_widen_what_is_stated(tmp_path):
    """Use known from 3 readings, 2 degrees of freedom; u = √(2² + 1.5²) = 2.5 µm, effective 2·(2.5/1.5)⁴ = 15.4, k = 2.18."""
    few = FILES["instruments.yaml"].replace("use: 0.003 mm,", "use: 0.003 mm, use_readings: 3,")
    made = findings(tmp_path, instruments=few)
    assert made.features["piston.skirt"].expanded == pytest.approx(2.18 * 0.0025, rel=0.005)


def test_many_places_give_chance_more_to_play_with(tmp_path):
    """One place of twenty differs by 1.2 times what both leave open: at one place that is too much, at one of twenty it is not."""
    places = [(station, angle) for station in (10, 20, 30, 40, 50) for angle in (0, 45, 90, 135)]
    for number, agree in ((20, True), (1, False)):
        rows = ""
        for index, (station, angle) in enumerate(places[:number]):
            other = 49.9505 if index == 0 else 49.945  # U of the difference 4.24 µm: 5.5 / 4.24 = 1.30
            for hand, size in (("ada", 49.945), ("bob", other)):
                rows += f"  - {{id: {hand}{index}, station: {station} mm, angle: {angle} deg, reads: {size} mm, by: {hand}, after: TURN}}\n"
        folder = tmp_path / str(number)
        folder.mkdir()
        _, feature = skirt(folder, rows, FILES["operations.yaml"], readings__2025_02_04_skirt=None)
        assert all(cross.agree for cross in feature.cross_readings) == agree
        assert max(cross.error for cross in feature.cross_readings) == pytest.approx(1.296, abs=0.01)
