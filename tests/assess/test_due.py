"""What is due: by the day, and by the hours of the running log; a concession by hours ends when they are run."""

import datetime

import pytest
from gudgeon.assess.build import assess
from gudgeon.assess.due import due_on
from gudgeon.records.load_build import load_build
from small_build import FILES, bent, load, shelf, write

HEAD = (
    FILES["build.yaml"]
    + "upkeep:\n  head: {does: tighten the head again, after: [1 h, 10 h], every: 20 h, since: TURN, from: habit}\n"
)


def day(text):
    return datetime.date.fromisoformat(text)


def log(*runs):
    return "runs:\n" + "".join(f"  - {{{run}}}\n" for run in runs)


def built(tmp_path, **files):
    build = load(tmp_path, **files)
    assert build.problems == [], build.problems
    return build


def the(listed, kind):
    (due,) = [due for due in listed if due.kind == kind]
    return due


@pytest.mark.parametrize(
    ("today", "state"), [("2025-12-31", "coming"), ("2026-01-01", "due"), ("2026-01-02", "overdue")]
)
def test_a_gauge_is_due_on_its_day_and_overdue_the_day_after(tmp_path, today, state):
    """What is set before each session is never on the list."""
    due = the(due_on(built(tmp_path), day(today)), "gauge check")
    assert (due.subject, due.state, due.day) == ("mic", state, "2026-01-01")


CONCESSION = """\
reviews:
  - {date: 2025-02-05, who: ada, verdict: concession, about: [F1], says: let it stand, allow: [0.04 mm, 0.09 mm], %s}
"""
TIGHT = bent("fits.yaml", "want: [0.050 mm, 0.080 mm]", "want: [0.070 mm, 0.080 mm]")


@pytest.mark.parametrize(
    ("ends", "runs", "open_still"),
    [
        ("recheck_after: 50 h", (), True),
        ("recheck_after: 50 h", ("date: 2025-02-06, hours: 49.9 h",), True),
        ("recheck_after: 50 h", ("date: 2025-02-06, hours: 49.9 h", "date: 2025-02-07, hours: 6 min"), False),
        ("recheck_after: 50 h", ("date: 2025-02-04, hours: 60 h",), True),  # before it was given
        ("recheck_after: 50 h", ("date: 2025-02-05, hours: 50 h",), False),  # of its day: nobody says which came first
        ("recheck: 2025-02-06, recheck_after: 50 h", ("date: 2025-02-06, hours: 1 h",), True),
        ("recheck: 2025-02-06, recheck_after: 50 h", ("date: 2025-02-07, hours: 1 h",), False),
        ("recheck: 2026-02-06, recheck_after: 50 h", ("date: 2025-02-07, hours: 50 h",), False),
    ],
)
def test_a_concession_ends_when_its_hours_are_run(tmp_path, ends, runs, open_still):
    more = {"running": log(*runs)} if runs else {}
    findings = assess(built(tmp_path, fits=TIGHT, reviews=CONCESSION % ends, **more), shelf())

    assert (findings.fits["F1"].state == "conceded") == open_still
    assert the(findings.due, "concession").state in (("coming", "due") if open_still else ("overdue",))


def test_hours_count_from_the_operation_and_anew_from_what_was_done(tmp_path):
    def upkeep(*runs, operations=FILES["operations.yaml"]):
        folder = tmp_path / str(len(list(tmp_path.iterdir())))
        folder.mkdir()
        more = {"running": log(*runs)} if runs else {}
        due = the(due_on(built(folder, build=HEAD, operations=operations, **more), day("2025-03-01")), "upkeep")
        return due.state, due.at, due.run

    not_done = FILES["operations.yaml"].replace("done: 2025-02-03, ", "")
    early, first = "date: 2025-02-02, hours: 5 h", "date: 2025-02-10, hours: 59 min"
    second, third = "date: 2025-02-11, hours: 1 min", "date: 2025-02-12, hours: 12 h"
    assert upkeep() == ("coming", 60, 0)
    assert upkeep(early, first) == ("coming", 60, 59)
    assert upkeep(first, second) == ("overdue", 60, 60)
    assert upkeep(first, second + ", did: [head]") == ("coming", 600, 60)
    assert upkeep(first, second, third + ", did: [head]") == ("coming", 780 + 1200, 780)
    # What was done before its hour had come is still to do at its hour.
    assert upkeep(first + ", did: [head]", second) == ("overdue", 60, 60)
    folder = tmp_path / "late"
    folder.mkdir()
    build = built(
        folder,
        build=HEAD,
        operations=not_done,
        readings__2025_02_04_skirt=None,
        running=log("date: 2025-02-10, hours: 9 h"),
    )
    due = the(due_on(build, day("2025-03-01")), "upkeep")
    assert (due.state, due.run, due.counts_from) == ("not yet", 0, "TURN")


def test_a_wait_is_over_on_its_day(tmp_path):
    operations = (
        FILES["operations.yaml"].replace("done: 2025-02-03, ", "done: 2025-02-03, wait: 2 days, ")
        + "  NEXT: {part: piston, does: bore it, needs: [TURN]}\n"
    )
    build = built(tmp_path, operations=operations)
    states = {text: the(due_on(build, day(text)), "wait").state for text in ("2025-02-04", "2025-02-05", "2025-02-06")}
    assert states == {"2025-02-04": "coming", "2025-02-05": "due", "2025-02-06": "due"}


def test_an_empty_build_has_nothing_due(tmp_path):
    build = load_build(write(tmp_path / "bare", **{key: None for key in (
        "instruments", "materials", "parts__cyl", "parts__piston", "fits", "operations", "readings__2025_02_02_bore",
        "readings__2025_02_04_skirt")}), "builds/bare", shelf())  # fmt: skip
    assert build.problems == [] and due_on(build, None) == []
    findings = assess(build, shelf())
    assert (findings.running.runs, findings.running.minutes, findings.running.last) == (0, 0, None)


def test_what_cannot_be_is_told_at_its_line(tmp_path):
    bad = log("date: 2025-02-06, hours: 1 h, did: [hed]", "date: 2025-02-06, hours: -1 h", "date: 2025-02-06, hours: 2")
    problems = [str(problem) for problem in load(tmp_path, build=HEAD, running=bad).problems]
    assert any("running.yaml:3" in text and "cannot be less than nought" in text for text in problems), problems
    assert any("running.yaml:4" in text and "needs a unit" in text for text in problems), problems
    problems = [str(problem) for problem in load_build(write(
        tmp_path / "again", build=HEAD, running=log("date: 2025-02-06, hours: 1 h, did: [hed]")), "builds/again", shelf()).problems]  # fmt: skip
    assert problems == [
        'builds/again/running.yaml:2:42: run 1: no upkeep "hed" (upkeep in build.yaml). Did you mean "head"?'
    ]
    upkeep = FILES["build.yaml"] + "upkeep:\n  a: {does: x}\n  b: {does: x, after: [10 h, 1 h]}\n"
    problems = [
        str(problem)
        for problem in load_build(write(tmp_path / "third", build=upkeep), "builds/third", shelf()).problems
    ]
    assert "nothing says when it is due" in problems[0] and 'the hours under "after" rise' in problems[1]
