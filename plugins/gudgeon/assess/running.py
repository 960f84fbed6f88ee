"""How long the engine has run by its log, and which concessions that ends."""

import datetime
from collections.abc import Callable

from gudgeon_calc.units import reaches

from gudgeon.assess.findings import RunningFinding
from gudgeon.assess.steps import picked_rows
from gudgeon.records.build_file import Review
from gudgeon.records.model import Build
from gudgeon.records.running import Run


def runs_that_count(build: Build, test: Callable[[Run], bool] = lambda run: True) -> list[Run]:
    """The runs that pass a test on nothing but the run itself, and that nobody has withdrawn."""
    runs = picked_rows(build.runs, test)
    names = {name for run in runs for name in run.names}
    withdrawn = {
        entry.withdraws for entry in picked_rows(build.run_withdrawals, lambda entry: entry.withdraws in names)
    }
    return [run for run in runs if withdrawn.isdisjoint(run.names)]


def minutes_run(build: Build, since: datetime.date | None = None) -> float:
    """How long the engine has run by its log; of a day or later. A run of the very day counts: nobody writes down which came first."""
    return sum(float(run.hours) for run in runs_that_count(build, lambda run: since is None or run.date >= since))


def running(build: Build) -> RunningFinding:
    """How long the engine has run by its log."""
    runs = [run for run in runs_that_count(build) if float(run.hours) > 0]
    last = max((run.date for run in runs), default=None)
    return RunningFinding(runs=len(runs), minutes=minutes_run(build), last=last.isoformat() if last else None)


def concession_is_open(build: Build, review: Review, today: datetime.date | None) -> bool:
    """Whether a concession still lets stand what it is about: up to its day, and until its hours have been run."""
    if review.recheck is not None and today is not None and today > review.recheck:
        return False
    return review.recheck_after is None or not reaches(minutes_run(build, review.date), float(review.recheck_after))
