"""All pages and files of a club's site, in one list."""

from gudgeon.assess.findings import BuildFindings, ClubFindings
from gudgeon.pages import (
    bore_map,
    calculations,
    club_pages,
    families,
    fit_page,
    history,
    overview,
    part_page,
    photos,
    reference,
    schedule,
    sharing,
    sheets,
    story,
    tables,
)
from gudgeon.pages.citations import Bibliography
from gudgeon.pages.page import Asset, Page, asset_text
from gudgeon.pages.view import View
from gudgeon.records.model import Club

# Kinds of page of a build, in the order in which they are made. A new kind is a module with pages(view) and a line here.
OF_A_BUILD = (overview, schedule, sheets, part_page, fit_page, history, bore_map, calculations, tables, story)
STYLE = "assets/gudgeon.css"


def render(
    club: Club, findings: dict[str, BuildFindings], shared: ClubFindings, site_url: str | None = None
) -> tuple[list[Page], list[Asset]]:
    """Pages and files for all builds that have findings, and pages that name the problems of the others.

    site_url: where the site will stand, ending in /; for addresses that leave the screen.
    """
    bibliography = Bibliography(club.knowledge.sources)
    views = [
        View(build, findings[build.id], club.knowledge, bibliography, site_url)
        for build in club.builds
        if build.id in findings
    ]
    pages = [
        *club_pages.pages(club, views, bibliography, shared),
        *families.pages(club, bibliography, shared),
        *reference.pages(),
    ]
    shared_pages, shared_assets = sharing.pages_and_assets(club.knowledge, site_url)
    pages += shared_pages
    assets = [*families.assets(club), *shared_assets, Asset(STYLE, asset_text("gudgeon.css").encode())]
    for view in views:
        for kind in OF_A_BUILD:
            pages += kind.pages(view)
        assets.append(Asset(f"{view.home}/findings.json", (view.findings.model_dump_json(indent=1) + "\n").encode()))
        assets += photos.assets(view)
    return pages, assets
