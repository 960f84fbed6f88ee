"""The Bench: a build's home. The engine, the next job, what reviewers ask, what needs a look; below it what blocks, readings, progress."""

from collections import Counter

from gudgeon.pages.drawn import progress
from gudgeon.pages.drawn.engine import engine
from gudgeon.pages.page import Page
from gudgeon.pages.part_states import WORST_FIRST
from gudgeon.pages.reviewing import open_requests
from gudgeon.pages.view import View

JOBS = 3
LATEST = 6
LEADING = (
    "swept-volume",
    "clearance-volume",
    "compression-ratio",
    "piston-speed",
    "power-every-charge",
    "brake-power",
    "rim-speed",
    "rim-speed-runaway",
    "rim-stress-runaway",
    "wheel-energy-runaway",
    "rim-mark-degree",
)


def pages(view: View) -> list[Page]:
    """The build's home."""
    findings, jobs = view.findings, view.findings.next_jobs
    blocked = [operation for operation in findings.operations.values() if operation.state == "blocked"]
    latest = sorted(view.build.rows, key=lambda row: (row.date, row.id), reverse=True)[:LATEST]
    stale = [feature for feature in findings.features.values() if feature.state == "stale"]
    soon = {name for job in jobs[:JOBS] for name in findings.cautions.operations[job]}
    uri = f"{view.home}/index.md"
    return [
        view.page(
            "index.md",
            "overview.md.j2",
            "build.yaml",
            picture=engine(
                view.build,
                view.part_states,
                "engine",
                lambda part: view.renderer.address(uri, view.part_uri(part)),
            ),
            plans=[plan for plan in findings.cut_plans if plan.operation in jobs[:1]],
            requests=open_requests(view.build),
            looks=sorted(view.looks, key=lambda fit: WORST_FIRST.index(fit.state)),
            jobs=[findings.operations[job] for job in jobs[:JOBS]],
            more_jobs=[findings.operations[job] for job in jobs[JOBS:]],
            blocked=blocked,
            latest=latest,
            counts=Counter(feature.state for feature in findings.features.values()),
            stale=stale,
            bar=progress.bar(findings.progress.share) if findings.progress.share is not None else None,
            cautions=view.cautions(name for name in view.shelf.cautions if name in soon),
            leading=[
                calculation
                for calculation in findings.calculations
                if calculation.id in LEADING and calculation.value is not None
            ],
        )
    ]
