"""What became of fits that ran: by the running log, as somebody said, and as evidence of the rule that they followed."""

import pytest
from gudgeon.assess.build import assess
from gudgeon.assess.evidence import evidence_of_rules
from small_build import FILES, bent, findings, load, said, shelf

RULE = "A-R1"
RULED = bent("fits.yaml", "because: test,", f"because: test, rule: {RULE},")
RUNS = """\
runs:
  - {date: 2025-02-10, hours: 6 h}
  - {date: 2025-02-12, hours: 5 h, load: a pump}
"""
TOLD = "outcomes:\n"
BORED = FILES["operations.yaml"] + (
    "  HONE: {part: cyl, does: hone bore, needs: [TURN], changes: [cyl.bore], done: 2025-03-01, estimate: [30 min, 60 min, 90 min]}\n"
)
WIDER = """\
every_row: {date: 2025-03-02, by: ada, of: cyl.bore, gauge: gauge, part_temp: 20 °C, gauge_temp: 20 °C, after: HONE}
rows:
  - {id: w1, station: 10 mm, angle: 0 deg, reads: 50.024 50.024 mm}
"""


def outcomes(tmp_path, **files):
    return findings(tmp_path, **{"fits": RULED, **files}).outcomes


def test_a_fit_that_ran_tells_without_typing(tmp_path):
    """50.010 less 49.945: the pair ran eleven hours with 0.065 mm, in the range that was wanted by the rule."""
    (told,) = outcomes(tmp_path, running=RUNS)
    assert (told.about, told.outcome, told.result, told.rule, told.counts) == ("F1", None, "running", RULE, True)
    assert (told.minutes, told.since, told.ended, told.first, told.last) == (
        660.0,
        "2025-02-03",
        None,
        "2025-02-10",
        "2025-02-12",
    )
    assert told.clearance == pytest.approx(0.065, abs=1e-9)


def test_a_withdrawn_run_and_one_before_the_parts_had_their_size_do_not_count(tmp_path):
    runs = RUNS + (
        "  - {id: r3, date: 2025-02-20, hours: 90 h}\n"
        "  - {withdraws: r3, because: of another engine, date: 2025-02-21, by: ada}\n"
        "  - {date: 2025-01-20, hours: 50 h}\n"
    )
    (told,) = outcomes(tmp_path, running=runs)
    assert told.minutes == 660.0, "what ran before the bore and the skirt were cut ran with other metal"


def test_after_boring_again_the_outcome_is_of_the_clearance_that_it_ran_with(tmp_path):
    more = {"operations": BORED, "readings__2025_03_02_wider": WIDER}
    (told,) = outcomes(tmp_path, running=RUNS, **more)
    assert (told.clearance, told.ended, told.minutes) == (pytest.approx(0.065, abs=1e-9), "2025-03-01", 660.0)
    later = RUNS + "  - {date: 2025-03-05, hours: 2 h}\n"
    (tmp_path / "b").mkdir()
    first, second = outcomes(tmp_path / "b", running=later, **more)
    assert (first.clearance, second.clearance) == (pytest.approx(0.065, abs=1e-9), pytest.approx(0.079, abs=1e-9))
    assert (second.minutes, second.since, second.ended) == (120.0, "2025-03-01", None)


def test_without_a_clearance_or_a_rule_nothing_is_told(tmp_path):
    assert outcomes(tmp_path, running=RUNS, readings__2025_02_04_skirt=None) == ()
    (tmp_path / "b").mkdir()
    assert outcomes(tmp_path / "b", running=RUNS, fits=FILES["fits.yaml"]) == ()
    (tmp_path / "c").mkdir()
    unread = outcomes(tmp_path / "c", running=RUNS + "  - {date: 2025-03-05, hours: 2 h}\n", operations=BORED)
    assert [told.ended for told in unread] == ["2025-03-01"], "honed and not read since: no clearance to run with"


def test_what_was_read_first_after_running_counts_unless_its_parts_were_worked_on(tmp_path):
    late = {
        "readings__2025_02_02_bore": FILES["readings/2025-02-02-bore.yaml"].replace(
            "date: 2025-02-02", "date: 2025-02-20"
        ),
        "readings__2025_02_04_skirt": FILES["readings/2025-02-04-skirt.yaml"].replace(
            "date: 2025-02-04", "date: 2025-02-21"
        ),
    }
    (told,) = outcomes(tmp_path, running=RUNS, **late)
    assert told.clearance == pytest.approx(0.065, abs=1e-9), "as found at the strip-down"
    made = FILES["operations.yaml"] + (
        "  NEW: {part: piston, does: make a new piston, done: 2025-02-18, estimate: [30 min, 60 min, 90 min]}\n"
    )
    (tmp_path / "b").mkdir()
    assert outcomes(tmp_path / "b", running=RUNS, operations=made, **late) == (), "it may be of the new piston"


@pytest.mark.parametrize(
    ("line", "result", "minutes", "clearance", "why"),
    [
        ("result: ran_free", "ran_free", 660.0, 0.065, None),
        ("result: nipped, hours: 7 h", "nipped", 420.0, 0.065, None),
        (
            "result: nipped, clearance: 0.02 mm",
            "nipped",
            660.0,
            0.02,
            "it ran with 0.020 mm, outside what was wanted by the rule",
        ),
        (f"result: nipped, clearance: 0.02 mm, rule: {RULE}", "nipped", 660.0, 0.02, None),
    ],
)
def test_what_somebody_says_takes_hours_and_clearance_from_the_records(tmp_path, line, result, minutes, clearance, why):
    entry = f"{TOLD}  - {{date: 2025-02-15, about: F1, by: ada, {line}}}\n"
    (told,) = outcomes(tmp_path, running=RUNS, outcomes=entry)
    assert (told.result, told.minutes, told.said_by) == (result, minutes, "Ada")
    assert told.clearance == pytest.approx(clearance, abs=1e-9)
    assert (told.counts, told.why_not and said(told.why_not)) == (why is None, why)


def test_of_several_outcomes_of_one_running_the_first_failure_counts(tmp_path):
    entries = TOLD + "".join(
        f"  - {{date: 2025-02-{day}, about: F1, by: ada, result: {result}}}\n"
        for day, result in ((11, "ran_free"), (13, "nipped"), (14, "ran_free"))
    )
    told = outcomes(tmp_path, running=RUNS, outcomes=entries)
    assert [(one.result, one.counts) for one in told] == [("ran_free", False), ("nipped", True), ("ran_free", False)]


def test_a_withdrawn_outcome_leaves_the_running_log_to_tell(tmp_path):
    entries = TOLD + (
        "  - {id: o1, date: 2025-02-15, about: F1, by: ada, result: nipped}\n"
        "  - {withdraws: o1, because: it was the ignition, date: 2025-02-16, by: ada}\n"
    )
    assert [one.result for one in outcomes(tmp_path, running=RUNS, outcomes=entries)] == ["running"]


def test_a_part_that_did_not_hold_takes_its_fits_out_of_those_still_running(tmp_path):
    entry = f"{TOLD}  - {{date: 2025-02-15, about: piston, by: ada, result: seized}}\n"
    of_fit, of_part = sorted(outcomes(tmp_path, running=RUNS, outcomes=entry), key=lambda one: one.about)
    assert (of_fit.counts, said(of_fit.why_not)) == (False, "piston: seized")
    assert (of_part.about, of_part.rule, of_part.counts) == ("piston", None, False)


def test_a_range_that_was_wanted_then_is_the_one_it_is_held_to(tmp_path):
    before = RULED.replace(
        "hot: [hot]",
        "hot: [hot], wanted_before: [{want: [0.090 mm, 0.100 mm], rule: A-R2, until: 2025-03-01, because: too loose}]",
    )
    (told,) = outcomes(tmp_path, running=RUNS, fits=before)
    assert (told.rule, told.counts) == ("A-R2", False), "0.065 mm was never what that rule wanted"


def test_one_engine_counts_once_however_many_of_its_fits_follow_the_rule(tmp_path):
    two = RULED + RULED.split("\n", 1)[1].replace("F1:", "F2:")
    build = load(tmp_path, fits=two, running=RUNS)
    worked_out = assess(build, shelf())
    assert [one.about for one in worked_out.outcomes if one.counts] == ["F1", "F2"]
    evidence = evidence_of_rules(shelf(), [(build, worked_out)])[RULE]
    (own,) = [club for club in evidence.clubs if club.club == "Test club"]
    assert (len(own.told), own.told[0].minutes, dict(own.results)) == (1, 660.0, {"running": 1})
    assert own.share is None, "who still runs proves nothing yet"
    assert [(after.minutes, after.at_risk) for after in evidence.after] == [(600.0, 1)], "it ran for ten hours"


def test_an_empty_build_and_one_without_runs_tell_nothing(tmp_path):
    assert findings(tmp_path).outcomes == ()
    (tmp_path / "b").mkdir()
    bare = {
        name.rpartition(".")[0].replace("/", "__").replace("-", "_"): None for name in FILES if name != "build.yaml"
    }
    assert findings(tmp_path / "b", **bare, running=RUNS).outcomes == ()
