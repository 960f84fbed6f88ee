"""Work to go: what to do tonight, how long the rest takes, how operations hang together."""

from gudgeon.pages import drawings
from gudgeon.pages.page import Page
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
            blocked=[operation for operation in still if operation.state in ("blocked", "waiting")],
            chart=drawings.operations_chart(view, still),
        )
    ]
