"""The answer to a reading at the machine: the same values as the pages show once the reading is written down."""

import json

import pytest
from gudgeon.assess.build import assess
from gudgeon.bench.answer import answer
from gudgeon.bench.data import bench_data
from gudgeon.bench.places import sized
from gudgeon.records.load_build import load_build
from gudgeon.wording import UnitFormatter
from gudgeon_calc.at_the_lathe import (
    DialLaw,
    chance_of_scrap,
    gauge_shows,
    landing_shift,
    metal_on,
    size_at_20,
    taper_along,
)
from gudgeon_calc.form import line_fit
from small_build import FILES, ROOT, bent, load, shelf

LATHE = """\
machines:
  small: {name: Lathe, speeds: [50 rpm, 100 rpm], feeds: [0.05 mm, 0.1 mm], dial_reads: radius, dial_division: 0.02 mm, clean_cut: {least_cut: 0.005 mm, tool: honed}}
"""
OPEN = (
    "  FINISH: {part: piston, does: finish skirt, needs: [TURN], changes: [piston.skirt], machine: small, "
    "cutting: {tool: honed, depth: 0.1 mm, leave: 0.04 mm, finish_passes: 2, spring_passes: 0, feed: 0.1 mm}}\n"
)
CUT = "  - {{date: {day}, of: piston.skirt, machine: small, asked: {asked} mm, {got}tool: honed, feed: 0.1 mm}}\n"
TAUGHT = "cuts:\n" + "".join(
    CUT.format(day="2025-02-03", asked=asked, got=f"got: {got} mm, ")
    for asked, got in ((0.10, 0.097), (0.20, 0.197), (0.05, 0.047), (0.15, 0.148))
)
PLANNED = "metal_side: external, plan: {stations: [20 mm, 60 mm], angles: [0 deg]}, mates: [cyl.bore]"


def files(**changes):
    rows = bent("readings/2025-02-04-skirt.yaml", "reads: 49.945 mm", "angle: 0 deg, reads: 50.145 mm")
    return {
        "operations": FILES["operations.yaml"] + OPEN,
        "machines": LATHE,
        "cuts": TAUGHT,
        "parts__piston": bent("parts/piston.yaml", "metal_side: external, mates: [cyl.bore]", PLANNED),
        "readings__2025_02_04_skirt": rows,
    } | changes


def data_and_findings(folder, **changes):
    build = load(folder, **files(**changes))
    assert build.problems == [], build.problems
    findings = assess(build, shelf())
    return json.loads(json.dumps(bench_data(build, shelf(), findings))), findings


def read(size, station=20.0, part=20.0, gauge=20.0, **more):
    return {
        "of": "piston.skirt", "station": station, "angle": 0.0, "reads": [size], "part_temp": part, "gauge_temp": gauge,
        "gauge": "mic", "by": "ada", "day": "2025-02-05",
    } | more  # fmt: skip


def cut(asked):
    return {"of": "piston.skirt", "cut": asked, "machine": "small"}


@pytest.mark.slow
@pytest.mark.parametrize("name", ["harrow-pond", "sundlia"])
def test_every_size_and_its_uncertainty_is_that_of_the_findings(name):
    build = load_build(ROOT / "builds" / name, f"builds/{name}", shelf())
    findings = assess(build, shelf())
    data = bench_data(build, shelf(), findings)
    alone = {
        cell.rows[0]: cell for feature in findings.features.values() for cell in feature.cells if len(cell.rows) == 1
    }
    compared = 0
    for row in build.rows:
        if row.part_temp is None or row.gauge_temp is None:
            continue
        reading = read(0.0, part=float(row.part_temp), gauge=float(row.gauge_temp), of=row.of, by=row.by)
        reading |= {"reads": [float(one) for one in row.reads], "gauge": row.gauge, "day": row.date.isoformat()}
        taken = sized(data, reading | {"thermometer": row.thermometer})
        if taken.size is not None:
            assert taken.size == pytest.approx(findings.rows[row.id].size, abs=1e-10), row.id
        if row.id in alone and alone[row.id].fitted is None:
            compared += 1
            assert taken.expanded == pytest.approx(alone[row.id].expanded, abs=1e-9), row.id
    assert compared > 50
    for ref, feature in findings.features.items():
        if feature.stock:
            target = data["features"][ref]["target"]
            assert (target["turn_to"], target["low"]) == (feature.stock.turn_to, feature.stock.target_low)


def test_what_is_answered_is_what_the_pages_show_once_it_is_written(tmp_path):
    data, before = data_and_findings(tmp_path)
    told = answer(data, [cut(0.1), read(50.046, part=28.0, gauge=13.0)])
    (tmp_path / "after").mkdir()
    _, after = data_and_findings(
        tmp_path / "after",
        cuts=TAUGHT + CUT.format(day="2025-02-05", asked="0.1", got=""),
        readings__2025_02_05_skirt="every_row: {date: 2025-02-05, by: ada, of: piston.skirt, gauge: mic, part_temp: 28 °C, "
        "gauge_temp: 13 °C, after: TURN}\nrows:\n  - {id: s2, station: 20 mm, angle: 0 deg, reads: 50.046 mm}\n",
    )
    skirt = after.features["piston.skirt"]
    assert skirt.cells[0].rows == ("s2",) and skirt.stock is not None
    assert told.values["size"] == pytest.approx(skirt.size, abs=1e-10)
    assert told.values["expanded"] == pytest.approx(skirt.expanded, abs=1e-9)
    assert told.values["to_go"] == pytest.approx(skirt.stock.on_diameter, abs=1e-9)
    assert told.values["to_last"] == pytest.approx(skirt.stock.to_last_limit, abs=1e-9)
    stops = [cut.size_after for cut in before.cut_plans[0].passes]
    assert told.values["stop"] in stops[1:], "a stop of the sheet at hand"
    shown = size_at_20(told.values["shows"], 28.0, 13.0, 11e-6, 11.5e-6)
    assert shown == pytest.approx(told.values["stop"], abs=1e-9)


def test_the_line(tmp_path):
    """Iron (11.0) at 28 °C, gauge (11.5) at 13 °C: 50.000 · (1 − 80.5e-6)/(1 + 88e-6) = 49.9916. Wanted 49.945 (bore 50.010,
    0.050 to 0.080, loose end 50.012): 0.0456 to go, asked (0.0456 + 0.00275)/1 by the law, 1.2 divisions on the radius."""
    data, findings = data_and_findings(tmp_path)
    told = answer(data, [cut(0.1), read(50.000, part=28.0, gauge=13.0)])
    middle = findings.features["piston.skirt"].stock.target_mid
    to_go = 50.0 * (1 - 80.5e-6) / (1 + 88e-6) - middle
    assert told.line.startswith(f"49.992 mm at 20 °C; {to_go:.3f} mm to go; ")
    plan = findings.cut_plans[0]
    assert told.values["ask"] == pytest.approx((told.values["next_cut"] - plan.law_offset) / plan.law_slope)
    assert told.values["divisions"] == pytest.approx(told.values["ask"] / 2 / 0.02)
    assert " divisions on the radius; your outside mic 25-75 mm will show " in told.line and told.line.endswith(
        " there now."
    )
    assert any(said.startswith("Chance of passing scrap") for said in told.more)
    assert "1 of 2 planned places read; the other is not known." in told.more
    assert any("15 °C apart" in said for said in told.more)


def test_nothing_is_answered_that_is_not_known(tmp_path):
    data, _ = data_and_findings(tmp_path, cuts=None)
    told = answer(data, [read(50.145)])
    assert (
        "if the dial takes what it says" in told.line and "not worked out" in told.words and "chance" not in told.values
    )
    bare = answer(data, [read(50.145, part=None)])
    assert (
        "as read" in bare.line and "not known" in bare.line and "size" not in bare.values and "to_go" not in bare.values
    )
    far = answer(data, [read(85.0)])
    assert "does not count" in far.line and "reaches from 25.000 mm to 75.000 mm" in far.words
    (tmp_path / "unread").mkdir()
    unread, _ = data_and_findings(tmp_path / "unread", readings__2025_02_02_bore=None)
    told = answer(unread, [read(50.145)])
    assert "nothing to cut to: its mate Bore (cyl.bore) has not been read" in told.line and "to_go" not in told.values
    (tmp_path / "no_lathe").mkdir()
    handless = FILES["operations.yaml"] + OPEN.replace("machine: small, ", "")
    no_lathe, _ = data_and_findings(tmp_path / "no_lathe", machines=None, cuts=None, operations=handless)
    told = answer(no_lathe, [read(50.145)])
    assert "no lathe is written down" in told.line and "divisions" not in told.values


def test_no_setting_is_given_for_a_casting_in_one_cut(tmp_path):
    """Two operations still cut it, neither says how: 5 mm to go is no cut, and 0.3 mm is one of 7.5 divisions on the radius."""
    two = "".join(
        f"  {name}: {{part: piston, does: turn, needs: [TURN], changes: [piston.skirt]}}\n"
        for name in ("ROUGH", "SIZE")
    )
    data, _ = data_and_findings(tmp_path, operations=FILES["operations.yaml"] + two, cuts=None)
    casting = answer(data, [cut(0.0), read(54.945)])
    assert "no operation says in which passes, so no divisions" in casting.line and "divisions" not in casting.values
    assert (
        "To the finished size: ROUGH, SIZE have still to cut it, and what ROUGH leaves on is not written."
        in casting.more
    )
    assert "7.5 divisions on the radius if the dial takes what it says" in answer(data, [cut(0.0), read(50.246)]).line


def test_scrap_and_inside_are_said_only_as_far_as_the_reading_knows(tmp_path):
    """Wanted 49.932 to 49.960; U of a reading 0.005."""
    data, _ = data_and_findings(tmp_path)
    assert "past the last limit, 49.932 mm: scrap" in answer(data, [cut(0.2), read(49.900)]).line
    assert "within what the reading leaves open" in answer(data, [cut(0.2), read(49.931)]).line
    half = answer(data, [cut(0.2), read(49.946)]).line
    assert "; inside what is wanted, 49.932 mm to 49.960 mm, where it was read" in half, "one of two places"
    assert "where it was read" not in answer(data, [cut(0.2), read(49.946), read(49.946, station=60.0)]).line
    assert "; reads inside what is wanted" in answer(data, [cut(0.2), read(49.959)]).line


def test_what_is_wanted_is_said_as_the_pages_say_it_and_never_wider(tmp_path):
    """Limits of 49.9004 to 49.9206 mm are shown as 49.901 to 49.920."""
    limits = f"limits: [49.9004 mm, 49.9206 mm], {PLANNED}"
    piston = bent("parts/piston.yaml", "metal_side: external, mates: [cyl.bore]", limits)
    data, findings = data_and_findings(tmp_path, parts__piston=piston)
    assert "what is wanted, 49.901 mm to 49.920 mm" in answer(data, [cut(0.2), read(49.9105)]).line
    stock = findings.features["piston.skirt"].stock
    assert UnitFormatter("mm").limits_text(stock.target_low, stock.target_high) == "49.901 mm to 49.920 mm"


def test_metal_that_went_without_a_cut_starts_a_new_state_and_repeats_are_averaged(tmp_path):
    data, _ = data_and_findings(tmp_path)
    gone = answer(data, [read(50.045)])
    assert gone.values["size"] == pytest.approx(50.045) and "not written down" in gone.words
    twice = answer(data, [cut(0.1), read(50.045), read(50.047)])
    assert twice.values["size"] == pytest.approx(50.046) and "The mean of 2 readings" in twice.words
    assert "this one alone is 50.047 mm" in twice.words


def test_a_taper_in_divisions_along_the_cut_and_the_largest_place_decides(tmp_path):
    """0.030 over 40 mm of axis: 0.0075 on diameter every 10 mm, 0.00375 a side, 0.19 divisions of 0.02."""
    data, _ = data_and_findings(tmp_path)
    told = answer(data, [cut(0.1), read(50.045), read(50.075, station=60.0)])
    assert told.values["taper_divisions"] == pytest.approx(0.1875)
    assert (
        "Taper 0.030 mm in 40.0 mm, larger at station 60.0 mm: 0.19 divisions every 10 mm along the cut." in told.more
    )
    alone = answer(data, [cut(0.1), read(50.075, station=60.0)])
    assert told.values["size"] == alone.values["size"]
    assert told.values["to_last"] == pytest.approx(alone.values["to_last"] - 0.030), "the thin end is scrap first"
    assert "planned places read" not in told.words, "both planned places are"


def test_no_cut_is_given_where_the_places_differ_by_more_than_what_is_wanted_is_wide(tmp_path):
    """Wanted is 49.932 to 49.960: 0.028 wide. Bringing 49.980 to the middle, 49.946, would leave 49.945 at 49.911: scrap."""
    plain = FILES["operations.yaml"] + OPEN.replace(
        "cutting: {tool: honed, depth: 0.1 mm, leave: 0.04 mm, finish_passes: 2, spring_passes: 0, feed: 0.1 mm}",
        "note: slowly",
    )
    data, _ = data_and_findings(tmp_path, operations=plain)
    short = answer(data, [cut(0.1), read(49.980), read(49.960, station=60.0)])
    assert "; 0.024 mm to go; 0.6 divisions on the radius" in short.line, (
        "halfway between 0.020 and 0.028, not to the middle"
    )
    assert short.values["next_cut"] == pytest.approx(0.024)
    said = answer(data, [cut(0.1), read(49.980), read(49.945, station=60.0)])
    assert said.line == (
        "49.945 mm at 20 °C; 0.034 mm to go; no straight cut brings all places inside: they differ by 0.035 mm, and what is "
        "wanted is 0.028 mm wide."
    )
    assert (
        said.more[0].endswith("past 0.013 mm on diameter some place read is scrap.") and "divisions" not in said.values
    )
    assert any(line.startswith("Taper 0.035 mm in 40.0 mm, larger at station 20.0 mm") for line in said.more)


def test_a_gauge_found_off_is_taken_out_of_the_size_and_left_in_what_it_shows(tmp_path):
    off = "due: 2026-01-01, found_off: {reads_high: 0.010 mm, found: 2025-03-01, since: 2025-01-15, how: a block}}\n  gauge:"
    instruments = bent("instruments.yaml", "due: 2026-01-01}\n  gauge:", off)
    data, _ = data_and_findings(tmp_path, instruments=instruments)
    told, after = (answer(data, [cut(0.1), read(50.056, day=day)]) for day in ("2025-02-05", "2025-03-02"))
    assert told.values["size"] == pytest.approx(50.046) and told.values["shows"] - told.values["stop"] == pytest.approx(
        0.010
    )
    assert "known to read 0.010 mm high" in told.words
    assert after.values["size"] == pytest.approx(50.056), "it was put right that day"


def test_a_bore_turns_the_signs_round(tmp_path):
    boring = OPEN.replace("piston", "cyl").replace("skirt", "bore").replace("TURN", "BORE")
    data, findings = data_and_findings(tmp_path, operations=FILES["operations.yaml"] + boring)
    told = answer(data, [{**read(50.005), "of": "cyl.bore", "gauge": "gauge"}])
    assert findings.features["cyl.bore"].stock.target_high == 50.040
    assert told.values["to_go"] == pytest.approx(50.020 - 50.005) and told.values["to_last"] == pytest.approx(
        50.040 - 50.012
    )
    assert (
        "past the last limit, 50.040 mm: scrap"
        in answer(data, [{**read(50.060), "of": "cyl.bore", "gauge": "gauge"}]).line
    )


def test_the_sums_at_the_lathe():
    law = DialLaw(0.98, -0.004, 0.003, 6, 0.1, 0.02)
    for risk in (0.3, 0.05, 0.001):
        shift = landing_shift(risk, law, 0.05, 0.002)
        assert chance_of_scrap(0.98 * 0.05 - 0.004 + shift, 0.05, law, 0.002) == pytest.approx(risk, rel=1e-4)
    assert chance_of_scrap(0.01, 0.05, law, 0.002) == 0.5
    assert gauge_shows(100.0, 28.0, 13.0, 11e-6, 11.5e-6) == pytest.approx(100 * (1 + 88e-6) / (1 - 80.5e-6))
    points = [(1.0, 4.0), (2.0, 4.1), (5.0, 4.05)]
    assert taper_along(points).slope == pytest.approx(line_fit(*zip(*points, strict=True)).slope)
    assert taper_along(points[:1]) is None
    short = metal_on("external", 10.0, 9.75, 9.6, 9.9)
    assert short.stops_short and short.turn_to == pytest.approx(9.875) and short.to_last == pytest.approx(0.15)


def test_a_check_is_overdue_by_the_day_of_the_reading_and_a_gauge_never_checked_is_told(tmp_path):
    data, _ = data_and_findings(tmp_path)
    assert "overdue" not in answer(data, [read(50.046, day="2026-01-01")]).words
    assert (
        "The check of mic is overdue: it was due on 2026-01-01." in answer(data, [read(50.046, day="2026-01-02")]).more
    )
    through = answer(data, [read(50.046, day="2026-01-02") | {"gauge": "gauge"}]).more
    assert "The check of mic is overdue: it was due on 2026-01-01." in through, "a gauge that is set in it too"
    assert "never checked" not in answer(data, [read(50.046)]).words
    (tmp_path / "never").mkdir()
    unchecked = bent("instruments.yaml", "checked: 2025-01-01, due: 2026-01-01", "checked: never")
    data, _ = data_and_findings(tmp_path / "never", instruments=unchecked)
    assert (
        "mic was never checked against anything: what it shows is not known to be true."
        in answer(data, [read(50.046)]).more
    )


def test_a_taper_of_unlike_angles_says_that_it_may_be_ovality(tmp_path):
    data, _ = data_and_findings(tmp_path)
    caution = "Not the same angles were read at every station: part of that may be ovality."
    alike = [cut(0.1), read(50.00), read(50.02, station=60.0)]
    assert caution not in answer(data, alike).more and "Taper 0.020 mm" in answer(data, alike).words
    assert caution in answer(data, [*alike[:2], read(50.02, station=60.0, angle=90.0)]).more


def test_degrees_apart_are_told_to_a_tenth(tmp_path):
    data, _ = data_and_findings(tmp_path)
    fahrenheit = answer(data, [read(50.046, part=(75 - 32) / 1.8, gauge=(61 - 32) / 1.8)])
    assert "Part and gauge are 7.8 °C apart: let them soak before the last cut." in fahrenheit.more


def test_a_mate_that_was_cut_since_it_was_read_is_told_apart_from_one_never_read(tmp_path):
    honed = "  HONE: {part: cyl, does: hone bore, needs: [BORE], changes: [cyl.bore], done: 2025-02-03}\n"
    data, _ = data_and_findings(tmp_path, operations=FILES["operations.yaml"] + OPEN + honed)
    line = answer(data, [read(50.046)]).line
    assert "nothing to cut to: its mate Bore (cyl.bore) was changed since it was read: read it again" in line
    (tmp_path / "unread").mkdir()
    data, _ = data_and_findings(tmp_path / "unread", readings__2025_02_02_bore=None)
    assert "nothing to cut to: its mate Bore (cyl.bore) has not been read" in answer(data, [read(50.046)]).line
