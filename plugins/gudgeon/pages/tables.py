"""A build's log of readings, its rules, its gauges and its metals."""

from gudgeon.pages import drawings, rule_axis
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
            axes={
                kind: {
                    fits: rule_axis.in_lengths(of_size, view.fmt, f"{kind}-{'-'.join(fits)}")
                    for fits, of_size in rule_axis.by_size(rules).items()
                }
                for kind, rules in kinds.items()
            },
            axis=drawings.rule_axis(view.findings.rules),
        ),
        view.page("gauges.md", "gauges.md.j2", "instruments.yaml"),
        view.page("metals.md", "build_materials.md.j2", "materials.yaml"),
    ]
