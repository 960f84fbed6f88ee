"""A build's log of readings, its rules, its gauges and its metals."""

from gudgeon.assess.findings import FitFinding
from gudgeon.pages.drawn import rules as rules_drawn
from gudgeon.pages.page import Page
from gudgeon.pages.view import View


def pages(view: View) -> list[Page]:
    """readings, rules, gauges, metals."""
    rows = sorted(view.build.rows, key=lambda row: (row.date, row.id), reverse=True)
    kinds: dict[str, list] = {}
    for rule in view.findings.rules:
        kinds.setdefault(rule.kind, []).append(rule)
    first = view.build.rows[0].where().file.removeprefix(f"{view.build.path}/") if view.build.rows else "build.yaml"
    return [
        view.page("readings.md", "readings.md.j2", first, rows=rows),
        view.page(
            "rules.md",
            "build_rules.md.j2",
            "fits.yaml",
            kinds=kinds,
            sizes={
                kind: [
                    (fits, rules_drawn.in_lengths(of_size, view.fmt, f"{kind}-{'-'.join(fits)}", _one_want(view, fits)))
                    for fits, of_size in rules_drawn.by_size(rules).items()
                ]
                for kind, rules in kinds.items()
            },
        ),
        view.page("gauges.md", "gauges.md.j2", "instruments.yaml"),
        view.page("metals.md", "build_materials.md.j2", "materials.yaml"),
    ]


def _one_want(view: View, fits: tuple[str, ...]) -> FitFinding | None:
    return rules_drawn.alike([view.findings.fits[fit] for fit in fits])
