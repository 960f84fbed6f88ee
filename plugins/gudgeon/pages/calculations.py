"""Sums of a build: every calculation with this engine's numbers in it, and what the others still need."""

from gudgeon.assess.findings import Calculation
from gudgeon.pages.page import Page
from gudgeon.pages.view import View

WHOLE = "engine"


def pages(view: View) -> list[Page]:
    """The page of sums."""
    groups: dict[str, list[Calculation]] = {}
    for each in view.findings.calculations:
        groups.setdefault(each.family, []).append(each)
    return [
        view.page(
            "sums.md",
            "calculations.md.j2",
            "figures.yaml" if view.build.figures else "build.yaml",
            groups=[
                (
                    family,
                    "The whole engine" if family == WHOLE else view.family_name(family),
                    [each for each in found if each.value is not None],
                    [each for each in found if each.value is None],
                )
                for family, found in groups.items()
            ],
        )
    ]
