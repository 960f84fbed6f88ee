"""All pages and files of a club's site, in one list."""

from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass

from gudgeon.assess.findings import BuildFindings, ClubFindings
from gudgeon.assess.findings.told import NumberTold
from gudgeon.boundary import Failure
from gudgeon.feeds.head import Head
from gudgeon.pages import (
    bore_map,
    calculations,
    club_pages,
    due_pages,
    families,
    fit_page,
    history,
    made,
    outward,
    overview,
    part_page,
    phone_page,
    photos,
    reference,
    schedule,
    search,
    sharing,
    sheets,
    story,
    tables,
)
from gudgeon.pages.citations import Bibliography
from gudgeon.pages.new_file import NewFile
from gudgeon.pages.page import Asset, Page, Renderer, asset_text
from gudgeon.pages.view import View
from gudgeon.pictures.sizes import Kept
from gudgeon.records.model import Club

# Kinds of page of a build, in the order in which they are made, each with the page that says so where they fail together.
# A new kind is a module with pages(view) and a line here.
OF_A_BUILD = (
    (overview, "index.md"),
    (schedule, "work.md"),
    (sheets, "sheets/index.md"),
    (part_page, "parts/index.md"),
    (fit_page, "fits/index.md"),
    (history, "fits/history.md"),
    (bore_map, "maps/index.md"),
    (calculations, "sums.md"),
    (tables, "readings.md"),
    (due_pages, "due.md"),
    (story, "story/index.md"),
)
STYLE = "assets/gudgeon.css"
SCRIPTS = ("assets/print.js", "assets/folder.js", "assets/fit.js", "assets/folds.js")  # on every page


@dataclass(frozen=True)
class Rendered:
    """Pages, the files beside them, what could not be shown, what heads the home page that people write, and page -> what its head
    tells programs."""

    pages: list[Page]
    assets: list[Asset]
    failures: list[Failure]
    home_lead: str
    heads: dict[str, Head]


def _pages_of(view: View) -> list[Page]:
    return [page for kind, home in OF_A_BUILD for page in view.guarded_pages(home, kind.pages)]


def render(
    club: Club,
    outcomes: Mapping[str, BuildFindings | Failure],
    shared: ClubFindings,
    site_url: str | None = None,
    links: str = "folders",
    inputs: Mapping[str, Mapping[str, frozenset[tuple[str, str]]]] | None = None,
    keep: Callable[[Sequence[View], Callable[[View], list[Page]]], Mapping[str, list[Page]]] = lambda views, make: {
        view.build.id: make(view) for view in views
    },
    forge: NewFile | None = None,
    others: Iterable[Page] = (),
    kept_pictures: Kept | None = None,
    numbers: Mapping[str, tuple[NumberTold, ...]] | None = None,
) -> Rendered:
    """Pages and files for all builds that have findings, and pages that say what is wrong with the others.

    outcomes: build -> what it amounts to; a build whose records have problems is not in it. site_url: where the site will
    stand, ending in /; for addresses that leave the screen. links: how pages lead to one another, a key of page.LINKS.
    inputs: build -> address of a finding -> the records that it rests on; what is not there is not said. keep(views, make):
    the pages of each build by its id, made now or kept from before. forge: where the repository takes a new file.
    others: the pages that do not come from the records, for the search. kept_pictures: where copies of pictures are kept.
    numbers: folder of a build -> the tied numbers of its story, worked out; of what is not there nothing is said.
    """
    renderer = Renderer(Bibliography(club.knowledge.sources), links)
    views = [
        View(
            build,
            outcome,
            club.knowledge,
            renderer,
            site_url,
            inputs=(inputs or {}).get(build.id, {}),
            numbers=(numbers or {}).get(build.folder.name, ()),
            forge=forge,
            evidence=shared.evidence,
        )
        for build in club.builds
        if isinstance(outcome := outcomes.get(build.id), BuildFindings)
    ]
    failed = {name: outcome for name, outcome in outcomes.items() if isinstance(outcome, Failure)}
    pages_of_builds = keep(views, _pages_of)
    of_builds = [page for view in views for page in pages_of_builds[view.build.id]]
    assets = []
    for view in views:
        assets.append(Asset(f"{view.home}/findings.json", (view.findings.model_dump_json(indent=1) + "\n").encode()))
        assets += photos.assets(view, kept_pictures)
        assets += view.guarded_assets("phone/index.html", phone_page.assets, forge)
    pages = [
        *club_pages.pages(club, views, renderer, shared, failed),
        due_pages.club_page(views, renderer),
        *families.pages(club, renderer, shared),
        *reference.pages(renderer, club.knowledge.path),
        made.page(renderer, views),
        search.page(renderer, views),
    ]
    shared_pages, shared_assets = sharing.pages_and_assets(
        club.knowledge, renderer, site_url, shared.evidence.values(), club.builds
    )
    assets = [
        *families.assets(club),
        *shared_assets,
        Asset(STYLE, asset_text("gudgeon.css").encode()),
        *(Asset(script, asset_text(script.removeprefix("assets/")).encode()) for script in SCRIPTS),
        *(phone_page.shared_assets() if views else ()),
        *assets,
    ]
    assets += made.assets()
    out = outward.outward(views, kept_pictures)
    assets += out.assets
    assets += search.assets(renderer, club.knowledge, views, [*pages, *shared_pages, *of_builds], others)
    assets += outward.moved(views, renderer, [*pages, *shared_pages, *of_builds], assets)
    failures = [*failed.values(), *(failure for view in views for failure in view.failures)]
    lead = club_pages.home_lead(club, views, renderer, failed)
    return Rendered([*pages, *shared_pages, *of_builds], assets, failures, lead, out.heads)
