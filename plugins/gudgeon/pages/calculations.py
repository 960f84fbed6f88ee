"""Sums of a build: every calculation with this engine's numbers in it, and what the others still need."""

from gudgeon.assess.findings import Calculation
from gudgeon.pages.drawn.timing import circles
from gudgeon.pages.page import Page
from gudgeon.pages.rests_on import rests_on
from gudgeon.pages.view import View

WHOLE = "engine"


def pages(view: View) -> list[Page]:
    """The page of sums."""
    groups: dict[str, list[Calculation]] = {}
    for calculation in view.findings.calculations:
        groups.setdefault(calculation.family, []).append(calculation)
    return [
        view.page(
            "sums.md",
            "calculations.md.j2",
            "figures.yaml" if view.build.figures else "build.yaml",
            groups=[
                (
                    family,
                    "The whole engine" if family == WHOLE else view.family_name(family),
                    [calculation for calculation in calculations if calculation.value is not None],
                    [calculation for calculation in calculations if calculation.value is None],
                )
                for family, calculations in groups.items()
            ],
            timing=circles(view.findings, view.fmt),
            rests={family: _rests_on(view, calculations) for family, calculations in groups.items()},
        )
    ]


def _rests_on(view: View, calculations: list[Calculation]) -> list[tuple[str, list]]:
    """(what is worked out, the records behind it) of those calculations that have a value."""
    named = []
    for calculation in calculations:
        groups = rests_on(view, "calculation", f"{calculation.id} {calculation.part or '-'}")
        if calculation.value is not None and groups:
            part = f" ({view.build.parts[calculation.part].name})" if calculation.part else ""
            named.append((calculation.gives + part, groups))
    return named
