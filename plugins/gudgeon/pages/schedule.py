"""Work to go: jobs for tonight, the calendar, what is held up, progress over time, and what to cut."""

from collections import Counter

from gudgeon.assess.findings import BuildFindings
from gudgeon.pages.drawn.calendar import MOST, calendar, job_words
from gudgeon.pages.drawn.progress import over_time, worked_words
from gudgeon.pages.page import Page
from gudgeon.pages.rests_on import rests_on
from gudgeon.pages.view import View
from gudgeon.wording import about_days, about_days_between, about_evenings, about_hours, decides

LONGEST_EVENING = 180  # minutes; what fits it is a job for tonight


def pages(view: View) -> list[Page]:
    """The page of work to go."""
    operations, forecast = view.findings.operations, view.findings.forecast
    still = [operation for operation in operations.values() if operation.state != "done"]
    tonight = forecast.tonight[LONGEST_EVENING]
    not_known = {*forecast.unestimated, *forecast.overrun}
    uri = f"{view.home}/work.md"
    return [
        view.page(
            "work.md",
            "schedule.md.j2",
            "operations.yaml" if view.build.operations else "build.yaml",
            still=still,
            lead=work_left(view.findings),
            tonight=tonight,
            longer=[name for name in view.findings.next_jobs if name not in tonight and name not in not_known],
            not_known=[name for name in view.findings.next_jobs if name in not_known],
            counts=Counter(feature.state for feature in view.findings.features.values()),
            blocked=[operation for operation in still if operation.state in ("blocked", "waiting")],
            rests=_rests_of_plans(view),
            calendar=calendar(view.findings, lambda name: view.renderer.address(uri, view.sheet_uri(name))),
            not_drawn=max(0, len(forecast.plan) - MOST),
            deciding=[job.operation for job in forecast.plan if decides(job.spare)],
            spare=[(job.operation, job_words(view.findings, job)) for job in forecast.plan],
            over_time=over_time(view.findings),
            worked_words=worked_words,
        )
    ]


def work_left(findings: BuildFindings) -> tuple[str, str]:
    """(how much work is left, with evenings and waits, how far that may be off); empty where nothing is left to do.

    What nobody has estimated counts for nothing in it, and it is said of how many jobs.
    """
    forecast, left = findings.forecast, findings.progress.open
    if not left:
        return "", ""
    jobs = f"{left} job{'' if left == 1 else 's'} left"
    not_counted = len(forecast.unestimated) + len(forecast.overrun)
    if not_counted >= left:
        lacks = "has no estimate" if not forecast.overrun else "has no estimate, or is worked at for longer than that"
        return f"{jobs}; how long is not worked out: {'it' if left == 1 else 'each'} {lacks}.", ""
    about = "At least" if not_counted else "About"
    often, seldom = (
        [about_hours(forecast.minutes[which])]
        + ([about_evenings(forecast.evenings[which])] if forecast.evenings else [])
        + ([about_days(forecast.days[which])] if forecast.days else [])
        for which in (0, 1)
    )
    first = f"{about} {often[0]} of work left: {', '.join(often[1:])} with the waits."
    first += f" {jobs}" + (f", {not_counted} of them not counted: nothing tells how long." if not_counted else ".")
    between = about_days_between(*forecast.days_between)
    return (
        first,
        f"One time in five it takes more than {', '.join(seldom)}; nine times in ten it is done {between} from then.",
    )


def _rests_of_plans(view: View) -> list:
    """What each plan of a cut rests on, under the name of its feature."""
    named = []
    for plan in view.findings.cut_plans:
        groups = rests_on(view, "cut", f"{plan.operation} {plan.feature}")
        if groups:
            named.append((f"{view.name_of(plan.feature)}, {plan.operation}", groups))
    return named
