"""A build's log of readings, its rules, its gauges and its metals."""

import datetime as dt

from gudgeon.assess.findings import FitFinding
from gudgeon.pages.drawn import rules as rules_drawn
from gudgeon.pages.page import Page
from gudgeon.pages.view import View
from gudgeon.records.readings import Row

STAND_OPEN = 12  # rows of readings; earlier days are folded


def pages(view: View) -> list[Page]:
    """readings, rules, gauges, metals."""
    rows = sorted(view.build.rows, key=lambda row: (row.date, row.id), reverse=True)
    kinds: dict[str, list] = {}
    for rule in view.findings.rules:
        kinds.setdefault(rule.kind, []).append(rule)
    first = view.build.rows[0].where().file.removeprefix(f"{view.build.path}/") if view.build.rows else "build.yaml"
    return [
        view.page("readings.md", "readings.md.j2", first, rows=rows, days=_by_day(rows), open_days=_open(rows)),
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


def _by_day(rows: list[Row]) -> dict[dt.date, list[Row]]:
    """Rows by their days, in the order of the rows."""
    days: dict[dt.date, list[Row]] = {}
    for row in rows:
        days.setdefault(row.date, []).append(row)
    return days


def _open(rows: list[Row]) -> set[dt.date]:
    """The newest days, as many as stay within the rows that stand open; at least one."""
    days, shown = set(), 0
    for day, of_day in _by_day(rows).items():
        shown += len(of_day)
        if days and shown > STAND_OPEN:
            break
        days.add(day)
    return days
