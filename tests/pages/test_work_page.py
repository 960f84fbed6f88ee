"""Work to go as it is seen: what is drawn is what is worked out, and what is not known is not drawn to a size."""

import re

import pytest
from gudgeon.assess.build import assess
from gudgeon.pages.drawn.calendar import calendar
from gudgeon.pages.drawn.progress import over_time
from gudgeon.pages.schedule import work_left
from gudgeon.wording import about_days_between
from small_build import FILES, load, shelf

BEFORE = FILES["operations.yaml"]


def found(tmp_path, operations, **changes):
    build = load(tmp_path, operations=operations, **changes)
    assert build.problems == []
    return assess(build, shelf())


def drawn(findings):
    return str(calendar(findings, lambda name: f"sheets/{name}"))


def test_every_job_to_go_is_a_link_to_its_sheet_with_what_it_can_wait(harrow):
    text = drawn(harrow)
    for job in harrow.forecast.plan:
        assert text.count(f'href="sheets/{job.operation}"') == 2, "once for a phone, once for a desk"
    deciding = [job.operation for job in harrow.forecast.plan if job.spare is not None and job.spare < 1]
    assert 0 < len(deciding) < len(harrow.forecast.plan), "a mark that marks everything marks nothing"
    assert text.count('class="g-chain"') == 2 * (len(deciding) + 1), "each of them and the legend"


def test_what_nobody_estimated_has_no_length_and_what_comes_before_it_no_slack(tmp_path):
    more = "  DIG: {part: cyl, does: dig, estimate: [1 h, 2 h, 3 h]}\n  PAINT: {part: cyl, does: paint, needs: [DIG]}\n"
    findings = found(tmp_path, BEFORE + more)
    assert [(job.operation, job.spare) for job in findings.forecast.plan] == [("DIG", None), ("PAINT", None)]
    text = drawn(findings)
    assert "cannot wait" not in re.sub(r">cannot wait</text>", "", text)
    assert "no estimate, how long it can wait is not known" in text and text.count(">?</text>") == 2
    assert work_left(findings)[0].startswith("At least 119 min of work left: 1 evening, ")
    assert "1 of them not counted: nothing tells how long" in work_left(findings)[0]


def test_without_any_estimate_no_time_is_told(tmp_path):
    findings = found(tmp_path, BEFORE + "  PAINT: {part: cyl, does: paint}\n")
    assert work_left(findings) == ("1 job left; how long is not worked out: it has no estimate.", "")


def test_a_finished_build_has_no_calendar_and_no_lead(tmp_path):
    findings = found(tmp_path, BEFORE)
    assert calendar(findings, str) is None and work_left(findings) == ("", "")


def test_hours_are_counted_in_the_week_in_which_a_job_was_finished(tmp_path):
    """BORE was finished on a Saturday and TURN on the Monday after."""
    findings = found(tmp_path, BEFORE.replace("BORE: {", "BORE: {took: 80 min, ", 1))
    weeks = findings.progress.weeks
    assert [(week.monday, week.worked, week.untimed) for week in weeks] == [("2025-01-27", 80, 0), ("2025-02-03", 0, 1)]
    assert [(day.day, day.expected_done) for day in findings.progress.days] == [("2025-02-01", 60), ("2025-02-03", 120)]
    text = str(over_time(findings))
    assert "from 2025-01-27 80 min; from 2025-02-03 0 min, 1 job of unknown time" in text and ">?</text>" in text


def test_nothing_finished_draws_no_progress(tmp_path):
    assert over_time(found(tmp_path, re.sub(r", done: [\d-]+", "", BEFORE))) is None


@pytest.mark.parametrize(
    ("days", "said"),
    [
        ((34.0, 45.0), "5 to 6 weeks"),
        ((40.0, 43.0), "about 6 weeks"),
        ((1.2, 3.0), "1 to 3 days"),
        ((9.0, 20.0), "9 days to 3 weeks"),
        ((0.1, 0.6), "under a day to 1 day"),
    ],
)
def test_how_far_off_the_end_is_said_in_one_unit_where_it_can(days, said):
    assert about_days_between(*days) == said


def test_a_job_that_ran_over_its_estimate_is_not_said_to_be_nearly_done(tmp_path):
    findings = found(tmp_path, BEFORE + "  X: {part: cyl, does: x, estimate: [1 min, 2 min, 3 min], took: 5 h}\n")
    assert work_left(findings)[0].startswith(
        "1 job left; how long is not worked out: it has no estimate, or is worked at"
    )
    assert drawn(findings).count(">?</text>") == 2 and "0 min" not in drawn(findings)
