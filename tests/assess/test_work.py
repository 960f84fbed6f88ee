"""Work to go on bent small builds: plans that keep to the last limit, graphs of operations, holdings, waits, hold points."""

import math
import random

import pytest
from gudgeon.assess.planning.settings import Settings
from gudgeon.records.circles import report_circle
from gudgeon.records.judgement import Length
from gudgeon.records.load_build import load_build
from gudgeon.records.operations import Operation
from gudgeon.records.problems import Problems, Where
from last_cuts import share_past_scrap
from small_build import FILES, bent, findings, said, seeds, shelf, write

LATHE = """\
machines:
  small: {name: Lathe, speeds: [50 rpm, 100 rpm, 200 rpm, 400 rpm], feeds: [0.05 mm, 0.1 mm], dial_reads: radius, dial_division: 0.02 mm, clean_cut: {least_cut: 0.02 mm, tool: honed}}
"""
OPEN = (
    "  FINISH: {part: piston, does: finish skirt, needs: [TURN], changes: [piston.skirt], estimate: [30 min, 60 min, 90 min], "
    "machine: small, cutting: {length: 60 mm, surface_speed: 30 m/min, depth: 0.1 mm, leave: 0.04 mm, finish_passes: 2, spring_passes: 0, feed: 0.1 mm}}\n"
)


def codes(notes) -> list[str]:
    return [note.code for note in notes]


def operations(*more: str) -> str:
    return FILES["operations.yaml"] + "".join(more)


def planned(tmp_path, read="50.345", **changes):
    rows = FILES["readings/2025-02-04-skirt.yaml"].replace("49.945", read)
    return findings(
        tmp_path, **{"operations": operations(OPEN), "machines": LATHE, "readings__2025_02_04_skirt": rows} | changes
    )


def test_stock_to_passes(tmp_path):
    """50.345 against a middle of 49.946: 0.399 on diameter, two rough passes of 0.18, two finishing of 0.02."""
    plan = planned(tmp_path).cut_plans[0]
    assert plan.stock == pytest.approx(0.399) and plan.per_side == pytest.approx(plan.stock / 2)
    assert [each.kind for each in plan.passes] == ["rough", "rough", "finish", "finish"]
    assert sum(each.on_diameter for each in plan.passes) == pytest.approx(plan.to_take)
    assert plan.passes[-1].size_after == pytest.approx(50.345 - plan.to_take, abs=1e-3)
    assert plan.passes[0].speed == 100, "30 m/min on 50.345 mm is 189.7 rpm, and 200 are over 5 % more"
    assert plan.passes[2].speed == 200, "on 49.985 mm it is 191.0 rpm, and 200 are under 5 % more"
    assert plan.cut_minutes == pytest.approx(2 * 60 / (0.1 * 100) + 2 * 60 / (0.1 * 200))
    assert plan.next_divisions == pytest.approx(plan.next_cut / 2 / 0.02), "a dial that reads radius"
    assert "few-cuts" in codes(plan.missing), "no law of the dial yet, and it says what to log"


def test_the_last_stop_as_a_warm_part_shows_it(tmp_path):
    """49.94 mm of iron (11.0) at 28 °C, read with a gauge (11.5) at 13 °C: 49.94 · (1 + 88e-6) / (1 - 80.5e-6), 8.4 µm more."""
    rows = FILES["readings/2025-02-04-skirt.yaml"].replace("49.945", "50.345")
    warm = rows.replace("part_temp: 20 °C, gauge_temp: 20 °C", "part_temp: 28 °C, gauge_temp: 13 °C")
    shown = planned(tmp_path, readings__2025_02_04_skirt=warm).cut_plans[0].shown
    assert shown.lengths["shows"] - shown.lengths["stop"] == pytest.approx(49.94 * 168.5e-6, abs=2e-5)


def test_below_the_smallest_clean_cut_it_is_done_by_hand(tmp_path):
    plan = planned(tmp_path, read="49.960").cut_plans[0]
    assert [each.kind for each in plan.passes] == ["file, emery, hone or lap"] and plan.passes[0].speed is None


@pytest.mark.slow
@pytest.mark.parametrize(("cuts", "scatter"), [(3, 0.006), (5, 0.002)])
def test_the_stated_risk_is_the_most_that_the_whole_product_runs(cuts, scatter):
    """One in four is stated; 40 draws by the whole product have to leave that possible: more than 16 is a chance of 2 in 100."""
    assert share_past_scrap(0.25, cuts, scatter, 40) <= 16 / 40


def test_a_spring_pass_takes_metal_and_the_dial_is_learnt(tmp_path):
    cuts = "cuts:\n" + "".join(
        f"  - {{date: 2025-02-03, of: piston.skirt, machine: small, asked: {a} mm, got: {b} mm, tool: t, feed: 0.1 mm}}\n"
        for a, b in ((0.2, 0.18), (0.1, 0.083), (0.05, 0.036), (0.4, 0.372), (0.0, 0.012))
    )
    spring = OPEN.replace("spring_passes: 0", "spring_passes: 1")
    plan = planned(tmp_path, operations=operations(spring), cuts=cuts).cut_plans[0]
    assert plan.passes[-1].kind == "spring" and plan.passes[-1].on_diameter == pytest.approx(0.012)
    assert plan.law_slope == pytest.approx(0.96, abs=0.01) and plan.next_ask > plan.next_cut
    assert sum(each.on_diameter for each in plan.passes) == pytest.approx(plan.to_take)


CUT = "  - {{date: 2025-02-01, of: {of}, machine: small, asked: {asked} mm, got: {got} mm, tool: {tool}, feed: {feed} mm{more}}}\n"


def logged(*cuts, of="piston.skirt", tool="honed", feed="0.1", more=""):
    return "".join(CUT.format(of=of, asked=a, got=b, tool=tool, feed=feed, more=more) for a, b in cuts)


WITHDRAWN = "  - {withdraws: c1, because: typed twice, date: 2025-02-02, by: ada}\n"
THREE = ((0.02, 0.018), (0.1, 0.093), (0.2, 0.190))
WITH_TOOL = OPEN.replace("cutting: {", "holding: H, cutting: {tool: Honed, ")


def test_only_cuts_of_the_same_tool_feed_and_holding_teach_the_dial(tmp_path):
    """Another feature's cuts may teach and are named; another tool, feed or holding never does; two cuts are too few."""
    other = "  ROUGH: {part: piston, does: rough it, changes: [piston.skirt], done: 2025-02-01, holding: G}\n"
    other += "  FORE: {part: piston, does: turn it, changes: [piston.skirt], done: 2025-02-01, holding: H}\n"
    for number, (cuts, learnt, spoken) in enumerate(
        [
            (logged(*THREE), True, ["holding-not-known"]),
            (logged(*THREE, of="cyl.bore"), True, ["holding-not-known"]),
            (logged(*THREE, more=", operation: FORE"), True, []),
            (logged(*THREE, more=", operation: ROUGH"), False, []),
            (logged(*THREE, tool="round"), False, []),
            (logged(*THREE, feed="0.05"), False, []),
            (logged(*THREE[:2]) + logged(THREE[2], more=", id: c1") + WITHDRAWN, False, ["holding-not-known"]),
            (logged(*THREE[:2]) + logged(*THREE, tool="round"), False, ["holding-not-known"]),
        ]
    ):
        found = planned(
            tmp_path_of(tmp_path / str(number)), operations=operations(WITH_TOOL, other), cuts="cuts:\n" + cuts
        ).cut_plans[0]
        assert (found.law is not None) == learnt == found.risk_worked_out, cuts
        assert ("few-cuts" in codes(found.missing)) != learnt
        assert [code for code in codes(found.usual) if code == "holding-not-known"] == spoken
        if learnt:
            assert ("cyl.bore" in said(found.law)) == ("cyl.bore" in cuts)


def test_what_is_left_on_for_later_operations(tmp_path):
    """0.4 mm to the middle, 0.3 left on: 0.1 comes off. A later cut without the line is asked about; less than it is told."""
    later = "  LAST: {part: piston, does: finish it, needs: [FINISH], changes: [piston.skirt]}\n"
    left = OPEN.replace("cutting: {", "cutting: {leave_on: 0.3 mm, ")
    plan = planned(tmp_path, operations=operations(left, later)).cut_plans[0]
    assert plan.to_take == pytest.approx(plan.stock - 0.3) and plan.left_on == pytest.approx(0.3)
    assert "no-leave-on" not in codes(plan.missing)
    bare = planned(tmp_path_of(tmp_path / "bare"), operations=operations(OPEN, later)).cut_plans[0]
    assert "no-leave-on" in codes(bare.missing)
    down = planned(tmp_path_of(tmp_path / "down"), read="50.246", operations=operations(left, later)).cut_plans[0]
    assert down.passes == () and codes(down.warnings) == ["down-to-what-is-left-on"]


LATER = "  LAST: {part: piston, does: finish it, needs: [FINISH], changes: [piston.skirt]MORE}\n"
LEAVES = OPEN.replace("machine: small", "leaves: 0.3 mm, machine: small").replace(
    "leave: 0.04 mm, finish_passes: 2, spring_passes: 0, ", ""
)


@pytest.mark.parametrize(
    ("read", "kinds", "told"),
    [
        ("51.345", ["rough"] * 6, []),  # 1.399 on, 0.3 left on: 1.099 in passes of 0.2 at most
        ("50.645", ["rough"] * 2, []),  # half done: 0.699 on, 0.399 to come off
        (
            "50.256",
            [],
            ["down-to-what-is-left-on"],
        ),  # 10 µm over, under the smallest clean cut: nobody files to a leave
        ("50.244", [], ["down-to-what-is-left-on"]),  # 2 µm past it, which the reading leaves open
        ("50.200", [], ["past-what-is-left-on"]),  # 46 µm past it
    ],
)
def test_an_operation_plans_down_to_what_it_leaves(tmp_path, read, kinds, told):
    """Middle of the target 49.946 mm, 0.3 mm on diameter left on; all of it in rough passes, because others finish."""
    plan = planned(tmp_path, read=read, operations=operations(LEAVES, LATER.replace("MORE", ""))).cut_plans[0]
    assert [cut.kind for cut in plan.passes] == kinds and codes(plan.warnings) == told
    assert plan.for_operation == pytest.approx(plan.stock - 0.3) and plan.left_on == 0.3
    if kinds:
        assert plan.passes[-1].size_after == pytest.approx(float(read) - plan.for_operation, abs=1e-3)
        assert sum(cut.on_diameter for cut in plan.passes) == pytest.approx(plan.for_operation)


def test_a_later_operation_begun_before_this_one_is_told(tmp_path):
    """By its cuts, by readings after it or by its day; not where nothing of it is begun."""
    cut = "cuts:\n" + logged((0.1, 0.09), more=", operation: LAST")
    rows = FILES["readings/2025-02-04-skirt.yaml"].replace("49.945", "50.645").replace("after: TURN", "after: LAST")
    for number, changes in enumerate(({}, {"cuts": cut}, {"readings__2025_02_04_skirt": rows})):
        folder = tmp_path_of(tmp_path / str(number))
        graph = operations(LEAVES, LATER.replace("MORE", ""))
        plan = planned(folder, read="50.645", operations=graph, **changes).cut_plans[0]
        assert ("begun-before-done" in codes(plan.warnings)) == bool(changes)
    assert "LAST is begun though FINISH is not marked done" in "".join(said(note) for note in plan.warnings)


def test_what_is_left_is_said_once_and_one_feature_may_differ(tmp_path):
    twice = LEAVES.replace("cutting: {", "cutting: {leave_on: 0.2 mm, ")
    build = load_build(write(tmp_path / "small", operations=operations(twice), machines=LATHE), "builds/small", shelf())
    assert ['"leaves" and "leave_on"' in problem.text for problem in build.problems] == [True]
    own = LEAVES.replace("cutting: {", "cutting_of: {piston.skirt: {leave_on: 0.1 mm}}, cutting: {")
    plan = planned(tmp_path_of(tmp_path), operations=operations(own, LATER.replace("MORE", ""))).cut_plans[0]
    assert plan.left_on == 0.1


def test_rough_and_finishing_passes_have_their_feeds(tmp_path):
    """The nearest place that says either wins: an operation's one feed stands before a lathe's two."""
    two = OPEN.replace("feed: 0.1 mm", "rough_feed: 0.2 mm, finish_feed: 0.05 mm")
    plan = planned(tmp_path, operations=operations(two)).cut_plans[0]
    assert [cut.feed for cut in plan.passes] == [0.2, 0.2, 0.05, 0.05]
    assert plan.cut_minutes == pytest.approx(2 * 60 / (0.2 * 100) + 2 * 60 / (0.05 * 200))
    of_lathe = LATHE.replace("clean_cut:", "cutting: {rough_feed: 0.2 mm, finish_feed: 0.05 mm}, clean_cut:")
    own = planned(tmp_path_of(tmp_path / "own"), machines=of_lathe).cut_plans[0]
    assert {cut.feed for cut in own.passes} == {0.1}
    unsaid = OPEN.replace(", feed: 0.1 mm", "")
    ladder = LATHE.replace("[0.05 mm, 0.1 mm]", "[0.05 mm, 0.2 mm, 0.4 mm]")
    usual = planned(tmp_path_of(tmp_path / "usual"), operations=operations(unsaid), machines=ladder).cut_plans[0]
    assert [cut.feed for cut in usual.passes] == [0.2, 0.2, 0.05, 0.05], "the coarsest under 0.25 mm, and the finest"
    assert {"usual-rough-feed", "finest-feed"} <= set(codes(usual.usual))


def test_cuts_at_the_rough_feed_do_not_set_the_dial_by_the_law_of_the_finishing_feed(tmp_path):
    two = WITH_TOOL.replace("feed: 0.1 mm", "rough_feed: 0.2 mm, finish_feed: 0.1 mm")
    plan = planned(tmp_path, operations=operations(two), cuts="cuts:\n" + logged(*THREE)).cut_plans[0]
    assert plan.law is not None and plan.passes[0].kind == "rough" and plan.next_ask == plan.next_cut


def test_what_nobody_said_is_marked_or_asked_for(tmp_path):
    bare = OPEN.split(", cutting:")[0] + "}\n"
    plan = planned(
        tmp_path, operations=operations(bare), materials="materials: {ci: {name: iron, like: grey-iron}}\n"
    ).cut_plans[0]
    assert plan.cut_minutes is None and "no-length" in codes(plan.missing)
    assert len(plan.usual) >= 5 and all("common practice, no source" in said(note) for note in plan.usual)
    assert "m/min for grey-iron with high-speed steel" in said(plan.speed_from)
    assert "ft/min" in said(plan.speed_from, "in") and "mm" not in said(plan.speed_from, "in")


def test_skin_and_gap(tmp_path):
    rough = OPEN.replace("depth: 0.1 mm", "depth: 1 mm, skin: 0.15 mm, interrupted: true")
    plan = planned(tmp_path, read="51.945", operations=operations(rough)).cut_plans[0]
    assert plan.passes[0].kind == "skin" and plan.passes[0].on_diameter == pytest.approx(0.3)
    assert plan.passes[0].speed == 100, "0.6 of the speed through the skin; the builder's own speed stands over the gap"
    assert "own-speed-over-gap" in codes(plan.usual), "and it is said that it is fast"
    assert plan.passes[1].on_diameter == pytest.approx(1.659), "a builder's own depth stands"
    assert plan.passes[2].speed == 200 and "gap-ends-with-skin" in codes(plan.usual), "the gap ends with the skin"
    whole = planned(
        tmp_path_of(tmp_path / "whole"), read="51.945", operations=operations(rough.replace(", interrupted: true", ""))
    )
    assert "0.6 of the surface speed through the skin (common practice, no source)" in [
        said(note) for note in whole.cut_plans[0].usual
    ], "a speed that is taken slower has its ground"
    bare = rough.replace("skin: 0.15 mm, ", "")
    deep = planned(tmp_path_of(tmp_path / "deep"), read="51.945", operations=operations(bare)).cut_plans[0]
    assert deep.passes[0].on_diameter == pytest.approx(1.959), "a gap without a skin goes through, and the depth stands"
    assert "deeper-than-usual-over-gap" in codes(deep.usual), "and it is said that it is deep"
    unsaid = bare.replace("depth: 1 mm, ", "").replace("surface_speed: 30 m/min, ", "")
    usual = planned(tmp_path_of(tmp_path / "unsaid"), read="51.945", operations=operations(unsaid)).cut_plans[0]
    assert max(each.on_diameter for each in usual.passes) <= 0.5 + 1e-9 and "depth-over-gap" in codes(usual.usual)
    off = "cuts:\n" + logged((0.3, 0.31))
    below = planned(tmp_path_of(tmp_path / "off"), read="51.635", operations=operations(rough), cuts=off).cut_plans[0]
    assert "skin" not in [cut.kind for cut in below.passes], "half done: the skin is off, and is not planned again"
    assert not {"own-speed-over-gap", "gap-ends-with-skin"} & set(codes(below.usual)), "and the advice ended with it"
    thin = planned(tmp_path_of(tmp_path), read="50.145", operations=operations(rough)).cut_plans[0]
    assert "will-not-clean-up" in codes(thin.warnings)


@pytest.mark.parametrize("seed", seeds(120))
def test_no_plan_goes_past_the_last_limit(seed):
    """Over random readings, tapers, uncertainties and scatters the plan never takes more than the place with least metal has."""
    import tempfile
    from pathlib import Path

    chance = random.Random(seed)
    size, taper = 49.93 + chance.random() * 0.6, chance.uniform(-0.05, 0.05)
    use = chance.choice(["0.001", "0.004", "0.010", "0.030"])
    rows = (
        "every_row: {date: 2025-02-04, by: ada, of: piston.skirt, gauge: mic, part_temp: 20 °C, gauge_temp: 20 °C, after: TURN}\nrows:\n"
        + "".join(
            f"  - {{id: s{n}, station: {10 + 20 * n} mm, reads: {size + taper * n / 2:.4f} mm}}\n" for n in range(3)
        )
    )
    cuts = "cuts:\n" + "".join(
        f"  - {{date: 2025-02-03, of: piston.skirt, machine: small, asked: {a} mm, got: {max(0.001, a * 0.95 + chance.gauss(0, 0.006)):.4f} mm, tool: t, feed: 0.1 mm}}\n"
        for a in (0.05, 0.1, 0.2, 0.4)
    )
    with tempfile.TemporaryDirectory() as folder:
        found = findings(
            Path(folder),
            operations=operations(OPEN.replace("spring_passes: 0", f"spring_passes: {chance.randint(0, 3)}")),
            machines=LATHE,
            cuts=cuts,
            instruments=bent("instruments.yaml", "use: 0.004 mm", f"use: {use} mm"),
            readings__2025_02_04_skirt=rows,
        )
    for plan in found.cut_plans:
        low = found.fits["F1"].target.target_low
        least = min(cell.size for cell in found.features["piston.skirt"].cells)
        taken = sum(each.on_diameter for each in plan.passes)
        assert least - taken >= low + plan.held_back - 1e-9 or not plan.passes
        assert plan.held_back > 0


def made_up_graph(chance: random.Random) -> dict[str, Operation]:
    count = chance.randint(1, 12)
    found = {}
    for n in range(count):
        needs = [f"O{m}" for m in range(count) if m != n and chance.random() < 0.18]
        found[f"O{n}"] = {"part": "piston", "does": "work", "needs": needs}
        if chance.random() < 0.4:
            found[f"O{n}"]["done"] = "2025-02-01"
    return {name: Operation.model_validate(each) for name, each in found.items()}


@pytest.mark.slow
def test_every_circle_of_ten_thousand_random_graphs_is_named():
    circles = 0
    for seed in range(10_000):
        graph = made_up_graph(random.Random(seed))
        problems = Problems()
        needs = {name: set(op.needs) for name, op in graph.items()}
        report_circle(
            needs, "operations need each other in a circle", "needs", lambda name: Where("operations.yaml"), problems
        )
        if problems:
            circles += 1
            names = problems.in_order()[0].text.split(": ")[1].split(". ")[0].split(" needs ")
            assert names[0] == names[-1] and all(b in needs[a] for a, b in zip(names, names[1:], strict=False))
    assert 500 < circles < 9_500


def test_what_can_start_is_never_lost_and_stands_in_the_order_of_the_forecast(tmp_path):
    """Sixty operations at random, a third of them done, some after what is not: never one with an unmet need, and no other."""
    chance = random.Random(3)
    needs = {f"O{n}": [f"O{m}" for m in range(n) if chance.random() < 2 / max(n, 1)] for n in range(60)}
    done = {name for name in needs if chance.random() < 0.33}
    lines = "".join(
        f"  {name}: {{part: cyl, does: work, needs: [{', '.join(before)}], estimate: [5 min, {chance.randint(6, 90)} min, 99 min]"
        f"{', done: 2025-02-01' if name in done else ''}}}\n"
        for name, before in needs.items()
    )
    found = planned(tmp_path, operations=operations(lines))
    ready = {name for name, before in needs.items() if name not in done and done.issuperset(before)}
    assert set(found.next_jobs) == ready and len(found.next_jobs) == len(ready) > 3
    assert list(found.next_jobs) == [name for name in found.forecast.order if name in ready]
    assert set(found.forecast.order) == set(needs) - done


def test_findings_of_a_graph_are_the_same_as_by_hand(tmp_path):
    more = (
        "  ORDER: {part: piston, does: order the casting, estimate: [5 min, 10 min, 20 min], wait: 30 days}\n"
        "  ROUGH: {part: piston, does: rough it, needs: [ORDER], estimate: [50 min, 60 min, 90 min]}\n"
        "  LAST: {part: piston, does: 'first start, 5 min', needs: [ROUGH, FINISH], estimate: [50 min, 60 min, 90 min]}\n"
    )
    paint = "  PAINT: {part: cyl, does: send it to be painted, estimate: [5 min, 10 min, 20 min], wait: 5 days}\n"
    found = planned(tmp_path, operations=operations(OPEN, more, paint))
    assert found.next_jobs == ("ORDER", "PAINT", "FINISH"), (
        "the days behind each, waits among them: 30, 5 and the last hour"
    )
    assert found.operations["LAST"].state == "blocked" and "rough it (ROUGH)" in said(found.operations["LAST"].why)
    assert said(found.operations["LAST"].hold_point[-1]) == "nobody has agreed to 1 of 1 fits"
    assert found.operations["FINISH"].makes_stale == ("piston.skirt",)
    assert found.forecast.chain[0] == "ORDER" and found.forecast.chain[-1] == "LAST" and found.forecast.days[0] > 30
    assert "ORDER" in found.forecast.tonight[30] and "FINISH" not in found.forecast.tonight[30]
    assert codes(found.forecast.usual) == ["usual-evenings"], "the evenings were taken from the trade, and it says so"


def test_what_breaks_a_holding_comes_last_and_says_so(tmp_path):
    held = OPEN.replace("machine: small", "holding: H, machine: small")
    more = "  DRILL: {part: piston, does: bore for the pin, estimate: [60 min, 90 min, 120 min]}\n  AFTER: {part: piston, does: fit, needs: [DRILL], estimate: [200 min, 300 min, 400 min]}\n"
    turn = operations(held, more).replace("TURN: {part: piston,", "TURN: {part: piston, holding: H,")
    assert "holding: H, does" in turn or "holding: H," in turn
    found = planned(tmp_path, operations=turn)
    assert found.operations["DRILL"].breaks == "H" and found.next_jobs[-1] == "DRILL"


def test_an_estimate_below_the_cutting_time_is_flagged(tmp_path):
    short = OPEN.replace("estimate: [30 min, 60 min, 90 min]", "estimate: [5 min, 6 min, 7 min]").replace(
        "length: 60 mm", "length: 600 mm"
    )
    found = planned(tmp_path, operations=operations(short))
    (note,) = found.operations["FINISH"].advice
    assert note.code == "estimate-under-cutting" and note.minutes["cut"] == pytest.approx(180)
    assert found.forecast.minutes[0] >= 179, "and the outlook counts the cutting"


def test_finish_before_stress_relief_is_a_slip(tmp_path):
    relief = "  KILN: {part: piston, does: 'stress relieve in the kiln', needs: [FINISH], changes: ['piston.*'], estimate: [20 min, 20 min, 30 min]}\n"
    found = planned(tmp_path, operations=operations(OPEN, relief))
    assert [slip.kind for slip in found.mistakes] == ["finish planned before stress relief"]
    good = relief.replace("needs: [FINISH]", "needs: [TURN]")
    calm = planned(tmp_path_of(tmp_path), operations=operations(good, OPEN.replace("needs: [TURN]", "needs: [KILN]")))
    assert calm.mistakes == ()


def test_taper_by_hand_and_between_centres(tmp_path):
    rows = (
        "every_row: {date: 2025-02-04, by: ada, of: piston.skirt, gauge: mic, part_temp: 20 °C, gauge_temp: 20 °C, after: TURN}\nrows:\n"
        + "".join(f"  - {{id: s{n}, station: {n * 50} mm, reads: {50.3 + 0.01 * n:.3f} mm}}\n" for n in range(4))
    )
    centres = OPEN.replace("length: 60 mm", "length: 150 mm, centres: 350 mm")
    plan = planned(tmp_path, operations=operations(centres), readings__2025_02_04_skirt=rows).cut_plans[0]
    assert [round(each.take, 4) for each in plan.taper] == [0.0, 0.01, 0.02, 0.03]
    assert plan.tailstock == pytest.approx(0.03 * 350 / (2 * 150), abs=1e-5) and plan.taper_left < 1e-4


def test_a_machine_that_is_not_there_is_told(tmp_path):
    build = load_build(write(tmp_path / "small", operations=operations(OPEN)), "builds/small", shelf())
    assert [problem.text for problem in build.problems] == ['no machine "small".']


def tmp_path_of(tmp_path):
    other = tmp_path / "other"
    other.mkdir(parents=True)
    return other


def test_what_still_rests_is_waiting_until_its_day(tmp_path):
    rests = FILES["operations.yaml"].replace("TURN: {part: piston,", "TURN: {part: piston, wait: 10 days,")
    found = planned(tmp_path, operations=rests + OPEN)
    assert found.operations["FINISH"].state == "waiting" and found.next_jobs == ()
    assert "rests 10 days" in said(found.operations["FINISH"].why) and said(found.operations["FINISH"].why).startswith(
        "waits until 2025-02-"
    )


def test_the_nearest_word_on_cutting_comes_first(tmp_path):
    lathe = LATHE.replace("clean_cut:", "cutting: {feed: 0.05 mm, leave: 0.08 mm, risk: 0.02}, clean_cut:")
    bare = OPEN.replace(", feed: 0.1 mm", "").replace(", leave: 0.04 mm", "")
    plan = planned(tmp_path, operations=operations(bare), machines=lathe).cut_plans[0]
    assert plan.risk == 0.02 and plan.passes[0].feed == 0.05, "the lathe's, where the operation is silent"
    assert sum(each.on_diameter for each in plan.passes if each.kind == "finish") == pytest.approx(0.08)
    own = planned(tmp_path_of(tmp_path), machines=lathe).cut_plans[0]
    assert own.passes[0].feed == 0.1 and sum(e.on_diameter for e in own.passes if e.kind == "finish") == pytest.approx(
        0.04
    )
    habit = planned(tmp_path_of(tmp_path / "other")).cut_plans[0]
    assert habit.risk == shelf().cutting.risk and "usual-risk" not in codes(habit.usual), "the club's habit comes last"
    assert (plan.risk_by, habit.risk_by) == ("the lathe", "the club"), "and whose risk it is stands beside it"


def test_what_a_club_usually_does_is_its_own_with_its_own_ground():
    own = Length.model_validate({"is": "1 mm", "means": "as the club does", "basis": "from memory"})
    settings = Settings([], shelf().judgement | {"usual_depth": own})
    assert settings.taken("depth") == 1.0 and settings.taken("finish_passes") == 2
    assert [said(note) for note in settings.usual] == [
        "rough passes of 1.000 mm a side (from memory)",
        "2 finishing passes (common practice, no source)",
    ]


def effects(tmp_path, more, **changes):
    tmp_path.mkdir(exist_ok=True)
    return planned(
        tmp_path, operations=operations(OPEN.replace("cutting: {", f"cutting: {{{more}")), **changes
    ).cut_plans[0]


def test_nothing_is_told_without_its_figures(tmp_path):
    assert effects(tmp_path, "").effects == ()


def test_the_finish_that_feed_and_nose_leave(tmp_path):
    """Feed 0.1 mm, nose 0.8 mm: Ra 0.1²/(31.18·0.8) = 0.40 µm, ridges 0.1²/(8·0.8) = 1.56 µm."""
    (note,) = effects(tmp_path, "nose: 0.8 mm, ").effects
    assert "Ra 0.4 µm, ridges 1.6 µm" in said(note) and "Ra 16 µin, ridges 62 µin" in said(note, "in")


def test_a_feed_over_the_nose_is_not_worked_out(tmp_path):
    assert codes(effects(tmp_path, "nose: 0.05 mm, ").effects) == ["feed-over-nose"]


def test_where_finish_and_bending_do_not_hold_is_told_beside_them(tmp_path):
    """A feed of 0.1 mm on a nose of 0.15 mm; an overhang of 120 mm on 50 mm is under three diameters, one of 200 mm is not."""
    (_, coarse) = effects(tmp_path / "coarse", "nose: 0.15 mm, ").effects
    assert "the feed over the nose is 0.6667, and this holds for at most 0.5" in said(coarse)
    iron = {"materials": "materials: {ci: {name: iron, like: grey-iron}}\n"}
    (_, short) = effects(tmp_path / "short", "overhang: 120 mm, ", **iron).effects
    assert said(short).startswith("the overhang over the diameter is 2.403, and this holds for at least 3")
    assert len(effects(tmp_path / "long", "overhang: 200 mm, ", **iron).effects) == 1
    (_, fine) = effects(tmp_path / "fine", "overhang: 200 mm, finish_feed: 0.05 mm, ", **iron).effects
    assert said(fine).startswith("the feed is 0.05 mm, and this holds for 0.1 to 0.6 mm") and "mitsubishi" in said(fine)


def test_a_speed_over_all_that_is_printed_is_told(tmp_path):
    """Grey iron with high-speed steel: 25 m/min, 82 ft/min, at the most; five percent over is taken as that."""
    iron = {"materials": "materials: {ci: {name: iron, like: grey-iron}}\n"}
    for name, speed, told in (("over", "87 ft/min", True), ("at", "86 ft/min", False)):
        (tmp_path / name).mkdir()
        said_so = OPEN.replace("cutting: {", "cutting: {tool_of: high-speed steel, ").replace("30 m/min", speed)
        plan = planned(tmp_path / name, operations=operations(said_so), **iron).cut_plans[0]
        notes = [said(note, "in") for note in plan.warnings if note.code == "speed-over-printed"]
        assert bool(notes) == told, (speed, notes)
        assert (
            not told
            or "82 ft/min at the most (lineham, published; turning-reference-page, seen in a secondary print)"
            in notes[0]
        )


def test_how_far_the_work_gives_way_is_a_range(tmp_path):
    iron = {"materials": "materials: {ci: {name: iron, like: grey-iron}}\n"}
    assert effects(tmp_path / "unknown", "overhang: 120 mm, ").effects == (), "nothing is known of this metal"
    plan = effects(tmp_path, "overhang: 120 mm, ", **iron)
    note = plan.effects[0]
    last = next(cut for cut in reversed(plan.passes) if cut.kind == "finish")
    second = math.pi / 64 * last.size_after**4
    least = 2 * 0.3 * 900 * last.on_diameter / 2 * 0.1 * 120**3 / (3 * 130e3 * second)
    assert note.code == "cut-bends-work" and note.lengths["least"] == pytest.approx(least, rel=1e-6)
    assert note.lengths["most"] / note.lengths["least"] == pytest.approx(2110 / 900 * 0.5 / 0.3 * 130 / 70)
    between = effects(tmp_path / "between", "centres: 120 mm, ", **iron).effects[0]
    assert between.lengths["most"] == pytest.approx(note.lengths["most"] / 16), "in the middle of two supports"


def test_the_tool_lasts_by_taylor_or_it_is_too_far_to_say(tmp_path):
    plan = effects(tmp_path, "tool_lasts: 60 min, tool_lasted_at: 30 m/min, ")
    last = next(cut for cut in reversed(plan.passes) if cut.kind == "finish")
    share = 30 / (math.pi * last.size_after / 1000 * last.speed)
    (note,) = plan.effects
    assert note.code != "tool-lasts" or "0.08 to 0.2 (tool-life-question alone: seen in a secondary print)" in said(
        note
    )
    if note.code == "tool-lasts":
        assert sorted(note.minutes[end] for end in ("least", "most")) == pytest.approx(
            sorted((60 * share**5, 60 * share**12.5))
        )
    far = effects(tmp_path / "far", "tool_lasts: 60 min, tool_lasted_at: 300 m/min, ").effects
    assert codes(far) == ["tool-life-too-far"]


PEOPLE = FILES["build.yaml"].replace("people: {ada: {name: Ada}}", "people: {ada: {name: Ada}, bob: {name: Bob}}")
TIMES = "estimate: [60 min, 60 min, 60 min]"


def test_who_is_away_today_does_nothing_tonight(tmp_path):
    """Bob is away from before the newest day, 4 February, to the 28th: his job can start, and is none for this evening."""
    gone = PEOPLE.replace("name: Bob", "name: Bob, away: [[2025-02-01, 2025-02-28]]")
    job = FILES["operations.yaml"] + f"  WASH: {{part: cyl, does: wash, {TIMES}BY}}\n"
    for folder, by in (("his", ", by: bob"), ("hers", ", by: ada")):
        (tmp_path / folder).mkdir()
        found = findings(tmp_path / folder, operations=job.replace("BY", by), build=gone)
        assert found.next_jobs == ("WASH",) and dict(found.forecast.absent) == {"bob": "2025-02-28"}
        assert (found.forecast.tonight[90] == ("WASH",)) == (folder == "hers")


def test_the_forecast_with_two_people(tmp_path):
    """Evenings of an hour, seven a week: two hours of Ada's and one of Bob's are two days; both free share what names nobody."""
    evenings = "evenings: {length: 60 min, a_week: 7}"
    both = PEOPLE.replace("name: Ada", f"name: Ada, {evenings}").replace("name: Bob", f"name: Bob, {evenings}")
    more = "".join(f"  J{n}: {{part: cyl, does: work, {TIMES}BY}}\n" for n in range(3)).replace("BY", "", 2)
    done = FILES["operations.yaml"]
    own = findings(tmp_path, operations=done + more.replace("BY", ", by: bob"), build=both).forecast
    assert own.days[0] == pytest.approx(2, abs=0.15) and own.hands == ("ada", "bob") and own.evenings is None
    alone = PEOPLE.replace("name: Small engine", f"name: Small engine\n{evenings}")
    one = findings(tmp_path_of(tmp_path), operations=done + more.replace("BY", ", by: bob"), build=alone).forecast
    assert one.days[0] == pytest.approx(3, abs=0.2) and codes(one.usual) == ["hands-taken"], (
        "Ada is not a second pair unsaid"
    )


def test_a_wait_before_an_operation(tmp_path):
    """Ten days between TURN, done on 3 February, and FINISH: on the newest day, the 4th, it waits nine more. Without needs it is told."""
    waits = OPEN.replace("needs: [TURN]", "needs: [TURN], wait_before: 10 days")
    built = planned(tmp_path, operations=operations(waits))
    assert built.operations["FINISH"].state == "waiting"
    assert said(built.operations["FINISH"].why).startswith("waits until 2025-02-13: 10 days have to pass between TURN")
    assert built.forecast.days_between[0] > 9 and built.forecast.chain == ("FINISH",)
    bare = waits.replace("needs: [TURN], ", "")
    build = load_build(write(tmp_path / "bare", operations=operations(bare), machines=LATHE), "builds/bare", shelf())
    assert ['"wait_before" counts from what' in problem.text for problem in build.problems] == [True]


def test_who_is_away_is_counted_or_it_is_said_that_they_are_not(tmp_path):
    """From the newest record of 4 February: ten days away put the end off by ten; days gone by count nothing."""
    people = "people: {ada: {name: Ada, evenings: {length: 60 min, a_week: 7}AWAY}, bo: {name: Bo}}"

    def days(name, away, who="ada"):
        text = people.replace("AWAY", away if who == "ada" else "").replace("Bo}", f"Bo{away if who == 'bo' else ''}}}")
        build = FILES["build.yaml"].replace("people: {ada: {name: Ada}}", text)
        forecast = planned(tmp_path_of(tmp_path / name), operations=operations(OPEN), build=build).forecast
        return forecast.days[0], [note.code for note in forecast.usual]

    plain, _ = days("plain", "")
    assert days("gone", ", away: [[2025-02-04, 2025-02-08], [2025-02-07, 2025-02-13]]") == (
        plain + 10,
        ["away-counted"],
    )
    assert days("past", ", away: [[2025-01-04, 2025-01-30]]") == (plain, [])
    assert days("bo", ", away: [[2025-02-04, 2025-02-13]]", "bo") == (plain, ["away-not-counted"])
    build = FILES["build.yaml"].replace("{name: Ada}", "{name: Ada, away: [[2025-02-04, 2025-02-01]]}")
    (problem,) = load_build(write(tmp_path / "wrong", build=build), "builds/small", shelf()).problems
    assert "days reversed. Found 2025-02-04 then 2025-02-01. Write the first day first." in problem.text


def test_the_forecast_where_little_is_known(tmp_path):
    """Nothing estimated, all done, an operation under way, one that took longer than its most."""
    unsaid = planned(tmp_path, operations=operations(OPEN.replace("estimate: [30 min, 60 min, 90 min], ", ""))).forecast
    assert unsaid.unestimated == ("FINISH",) and unsaid.to_go == {} and "FINISH" not in unsaid.tonight[180]
    done = findings(tmp_path_of(tmp_path / "done")).forecast
    assert done.chain == done.path == () and done.minutes == (0.0, 0.0)
    for number, (spent, least, most, overrun) in enumerate([(50, 5, 35, ()), (400, 0, 0, ("FINISH",))]):
        begun = OPEN.replace("estimate:", f"took: {spent} min, estimate:").replace("length: 60 mm", "length: 6 mm")
        under_way = planned(tmp_path_of(tmp_path / str(number)), operations=operations(begun)).forecast
        assert least <= under_way.minutes[0] <= most and under_way.overrun == overrun
        assert ("FINISH" in under_way.tonight[180]) != bool(overrun), "of one that took too long nothing is known"


def test_history_corrects_by_kind_of_work(tmp_path):
    """Four castings that took twice their mean of 60, three fittings that took it: a casting is corrected by (4 · 2 + 5 · f)/9."""
    past = "".join(
        f"  D{n}: {{part: cyl, does: work, kind: {kind}, done: 2025-02-01, {TIMES}, took: {took} min}}\n"
        for n, (kind, took) in enumerate([("casting", 120)] * 4 + [("fitting", 60)] * 3)
    )
    more = f"  NEXT: {{part: cyl, does: cast, kind: casting, {TIMES}}}\n  FIT: {{part: cyl, does: fit, kind: fitting, {TIMES}}}\n"
    learnt = findings(tmp_path, operations=FILES["operations.yaml"] + past + more).forecast
    shrunk = (4 * 2 + 3 + 5) / 12
    assert learnt.factor_shrunk == pytest.approx(shrunk) and [known.kind for known in learnt.kinds] == ["casting"]
    assert learnt.to_go["NEXT"] == pytest.approx(60 * (4 * 2 + 5 * shrunk) / 9)
    assert learnt.to_go["FIT"] == pytest.approx(60 * shrunk), "three are too few of a kind"
