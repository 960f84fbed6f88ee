"""The club's own pages: all builds, the rule shelf, the metal rack, cautions, sources, words."""

from gudgeon.assess.findings import ClubFindings
from gudgeon.boundary import Failure
from gudgeon.notes import all_in_words
from gudgeon.pages.build_cards import cards
from gudgeon.pages.citations import BASES
from gudgeon.pages.markup import MarkupFormatter
from gudgeon.pages.page import Page, Renderer
from gudgeon.pages.schedule import work_left
from gudgeon.pages.view import View
from gudgeon.records.knowledge import GROUNDS
from gudgeon.records.model import Build, Club
from gudgeon.wording import JOB_MEANS, MEANS, UnitFormatter

NO_LENGTHS = UnitFormatter("mm")  # for sentences in which no length stands


def pages(
    club: Club, views: list[View], renderer: Renderer, shared: ClubFindings, failed: dict[str, Failure]
) -> list[Page]:
    """Pages that belong to no one build. failed: builds that could not be worked out."""
    shelf, page = club.knowledge, renderer.page
    broken = [build for build in club.builds if build.problems]
    kinds: dict[str, list] = {}
    for rule in shelf.rules.values():
        kinds.setdefault(rule.kind, []).append(rule)
    made = [
        page(
            "builds/index.md",
            "builds_index.md.j2",
            None,
            cards=cards(views),
            broken=broken,
            failed=failed,
            problems=shelf.problems,
        ),
        page("work.md", "club_schedule.md.j2", None, views=views, work_left=work_left),
        page(
            "rules.md",
            "rules.md.j2",
            shelf.edited_in("rules"),
            kinds=kinds,
            shelf=shelf,
            evidence=shared.evidence,
            fmt=MarkupFormatter("mm"),
            mistakes=[(slip, all_in_words(slip.cause, NO_LENGTHS)) for slip in shared.copy_mistakes],
        ),
        page(
            "metals.md",
            "materials.md.j2",
            shelf.edited_in("materials"),
            materials=shelf.materials,
            shelf=shelf,
        ),
        page(
            "cautions.md",
            "cautions.md.j2",
            shelf.edited_in("cautions"),
            shelf=shelf,
            cautions=list(shelf.cautions.values()),
        ),
        page(
            "sources.md",
            "sources.md.j2",
            shelf.edited_in("sources/bibliography.json"),
            shelf=shelf,
            sources=shelf.sources,
            bibliography=renderer.bibliography,
            of_basis={
                basis: [key for key in shelf.sources if renderer.bibliography.basis(key) == basis]
                for basis in BASES
                if basis != "common practice"
            },
        ),
        page(
            "unverified.md",
            "unverified.md.j2",
            None,
            grounds=shared.grounds,
            shelf=shelf,
            bases=GROUNDS,
        ),
        page(
            "words.md",
            "words.md.j2",
            shelf.edited_in("glossary/words.yaml"),
            shelf=shelf,
            words=shelf.words,
            states=MEANS | JOB_MEANS,
        ),
    ]
    made += [
        page(f"builds/{build.id}/index.md", "broken.md.j2", f"{build.path}/build.yaml", build=build) for build in broken
    ]
    made += [
        page(
            f"builds/{name}/index.md",
            "failed.md.j2",
            None,
            failure=failure,
            local=[],
            at_home=True,
            build=_named(club, name),
        )
        for name, failure in failed.items()
    ]
    return made


def home_lead(club: Club, views: list[View], renderer: Renderer, failed: dict[str, Failure]) -> str:
    """What heads the home page of the site, which people write: its engines, and what is past a safety limit."""
    broken = [build for build in club.builds if build.problems]
    return renderer.text("index.md", "home_lead.md.j2", cards=cards(views), views=views, broken=broken, failed=failed)


def _named(club: Club, name: str) -> Build:
    return next(build for build in club.builds if build.id == name)
