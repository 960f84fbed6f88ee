"""Which cuts teach a dial, tapers taken out, what a lathe lacks, and days away. On the small build, by hand."""

import pytest
from assess.test_work import LATHE, OPEN, THREE, codes, logged, operations, planned
from small_build import FILES, bent, findings

FORE = "  FORE: {part: piston, does: turn it, changes: [piston.skirt], done: 2025-02-01, holding: H}\n"
ROUGH = FORE.replace("FORE", "ROUGH").replace("holding: H", "holding: G")
TOOL = OPEN.replace("cutting: {", "cutting: {tool: honed, ")
HELD = TOOL.replace("machine: small", "holding: H, machine: small")
HERE, IN_H, IN_G = (f", operation: {name}" for name in ("FINISH", "FORE", "ROUGH"))


@pytest.mark.parametrize(
    ("operation", "cuts", "learnt", "told"),
    [
        (OPEN, logged(*THREE), True, {"tool-taken", "holding-not-known"}),  # all with one tool: taken, and said
        (OPEN, logged(*THREE) + logged((0.1, 0.09), tool="round"), False, {"no-tool"}),
        (TOOL, logged(*THREE, more=HERE), True, {"holding-not-known"}),
        (TOOL, logged(*THREE, more=IN_H) + logged((0.1, 0.09), more=IN_G), False, {"no-holding"}),
        (TOOL, logged(*THREE, more=HERE) + logged((0.1, 0.09), more=IN_G), False, {"no-holding"}),
        (TOOL, logged(*THREE, more=IN_H), True, {"holding-not-known"}),
        (HELD, logged(*THREE, more=HERE), True, set()),  # its own cuts are in its own holding
        (HELD, logged(*THREE, more=IN_H), True, set()),
        (HELD, logged(*THREE, more=IN_G), False, set()),
        (TOOL, logged(*[(0.1, got) for _, got in THREE]), False, {"holding-not-known"}),  # one setting: no line
        (TOOL, logged(*THREE, feed="0.1000001"), True, {"holding-not-known"}),  # the same feed but for rounding
        (TOOL, logged(*THREE, feed="0.101"), False, set()),
    ],
)  # fmt: skip
def test_which_cuts_teach_the_dial(tmp_path, operation, cuts, learnt, told):
    plan = planned(tmp_path, operations=operations(operation, FORE, ROUGH), cuts="cuts:\n" + cuts).cut_plans[0]
    assert (plan.law is not None) is learnt and ("few-cuts" in codes(plan.missing)) is not learnt
    of_dial = {"tool-taken", "holding-not-known", "no-tool", "no-holding"}
    assert of_dial & {*codes(plan.missing), *codes(plan.usual)} == told


def test_what_the_lathe_has_to_say_before_a_speed_is_told(tmp_path):
    """30 m/min on 50.345 mm is 190 rpm."""
    for number, (machines, operation, missing, warned) in enumerate(
        [
            (LATHE, OPEN, set(), False),
            (LATHE, OPEN.replace("machine: small, ", ""), set(), False),  # the only one there is
            (LATHE + LATHE.partition("\n")[2].replace("small", "other"), OPEN.replace("machine: small, ", ""), {"no-machine"}, False),
            (LATHE.replace("50 rpm, 100 rpm, 200 rpm, 400 rpm", ""), OPEN, {"no-spindle-speeds"}, False),
            (LATHE.replace("50 rpm, 100 rpm, 200 rpm, ", ""), OPEN, set(), True),
        ]
    ):  # fmt: skip
        (tmp_path / str(number)).mkdir()
        plan = planned(tmp_path / str(number), operations=operations(operation), machines=machines).cut_plans[0]
        assert {"no-machine", "no-spindle-speeds"} & set(codes(plan.missing)) == missing
        assert ("slowest-too-fast" in codes(plan.warnings)) is warned
        sped = not missing and not warned
        assert (plan.passes[0].speed is not None) is sped and (plan.cut_minutes is not None) is sped
        assert (plan.next_divisions is not None) is ("no-machine" not in missing)


def conical(*sizes):
    head, _, _ = FILES["readings/2025-02-04-skirt.yaml"].partition("rows:\n")
    return head + "rows:\n" + "".join(
        f"  - {{id: s{n}, station: {station} mm, reads: {size} mm}}\n" for n, (station, size) in enumerate(zip((20, 50, 80), sizes, strict=True))
    )  # fmt: skip


@pytest.mark.parametrize(
    ("sizes", "takes", "left", "tailstock"),
    [
        # 0.020 over 60 mm; the middle is 5 µm under the line through the ends, 3.33 under that of least squares.
        (("50.345", "50.350", "50.365"), (0.0, 0.010, 0.020), 0.00333, 0.050),
        (("50.365", "50.355", "50.345"), (0.020, 0.010, 0.0), 0.0, -0.050),
        (("50.345", "50.346", "50.347"), (), None, None),  # 2 µm is no taper
        (("50.345", "50.3465", "50.348"), (0.0, 0.0015, 0.003), 0.0, 0.0075),
    ],
)
def test_a_taper_to_take_out(tmp_path, sizes, takes, left, tailstock):
    """Between centres 300 mm apart the tailstock goes 300/60 times half the taper; on a radius dial of 0.02 a take is take/2/0.02."""
    between = OPEN.replace("cutting: {", "cutting: {centres: 300 mm, ")
    plan = planned(tmp_path, operations=operations(between), readings__2025_02_04_skirt=conical(*sizes)).cut_plans[0]
    assert [station.take for station in plan.taper] == pytest.approx(takes, abs=1e-9)
    assert [station.divisions for station in plan.taper] == pytest.approx([take / 0.04 for take in takes], abs=1e-6)
    assert plan.taper_left == (None if left is None else pytest.approx(left, abs=1e-5))
    assert plan.tailstock == (None if tailstock is None else pytest.approx(tailstock))


@pytest.mark.parametrize(("last", "counted"), [("2025-02-03", None), ("2025-02-04", 1), ("2025-02-13", 10)])
def test_days_away_count_from_the_newest_day_on(tmp_path, last, counted):
    """The newest record is of 4 February: who came back that day is not away, who comes the day after is away for one."""
    people = f"people: {{ada: {{name: Ada, evenings: {{length: 60 min, a_week: 7}}, away: [[2025-01-20, {last}]]}}}}"
    build = bent("build.yaml", "people: {ada: {name: Ada}}", people)
    usual = planned(tmp_path, operations=operations(OPEN), build=build).forecast.usual
    assert [note.counts["days"] for note in usual if note.code == "away-counted"] == ([counted] if counted else [])


def test_what_is_done_and_rests_is_told_until_its_day(tmp_path):
    """TURN was done on 3 February and rests three days; the newest day is the 4th."""
    for wait, until in (("3 days", "2025-02-06"), ("1 days", None)):
        folder = tmp_path / wait[0]
        folder.mkdir()
        resting = bent("operations.yaml", "done: 2025-02-03", f"done: 2025-02-03, wait: {wait}")
        told = findings(folder, operations=resting).forecast.resting
        assert [note.days["until"] for note in told if note.code == "rests-until"] == ([until] if until else [])
