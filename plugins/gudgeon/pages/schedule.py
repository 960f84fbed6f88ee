"""Work to go: what to do tonight, how long the rest takes, how operations hang together."""

from collections import Counter

from gudgeon.pages import drawings
from gudgeon.pages.page import Page
from gudgeon.pages.rests_on import rests_on
from gudgeon.pages.view import View


def pages(view: View) -> list[Page]:
    """The page of work to go."""
    operations = view.findings.operations
    still = [operation for operation in operations.values() if operation.state != "done"]
    return [
        view.page(
            "work.md",
            "schedule.md.j2",
            "operations.yaml" if view.build.operations else "build.yaml",
            still=still,
            counts=Counter(feature.state for feature in view.findings.features.values()),
            blocked=[operation for operation in still if operation.state in ("blocked", "waiting")],
            rests=_rests_of_plans(view),
            chart=drawings.operations_chart(view, still),
        )
    ]


def _rests_of_plans(view: View) -> list:
    """What each plan of a cut rests on, under the name of its feature."""
    named = []
    for plan in view.findings.cut_plans:
        groups = rests_on(view, "cut", f"{plan.operation} {plan.feature}")
        if groups:
            named.append((f"{view.name_of(plan.feature)}, {plan.operation}", groups))
    return named
