"""What this shelf gives away, and what was brought onto it from elsewhere."""

from collections.abc import Iterable

from gudgeon.assess.findings import EngineTold, RuleEvidence
from gudgeon.pages.page import Asset, Page, Renderer
from gudgeon.records.knowledge import SHARED_KINDS
from gudgeon.records.licences import terms_of
from gudgeon.records.model import Build, Knowledge
from gudgeon.records.outcomes import OutcomeElsewhere
from gudgeon.share import outcomes
from gudgeon.share.index import INDEX, index
from gudgeon.share.item import offered
from gudgeon.share.outcomes import may_be_told
from gudgeon.wording import MINUS, UnitFormatter


def told_by_builds(
    shelf: Knowledge, evidence: Iterable[RuleEvidence], builds: Iterable[Build]
) -> list[OutcomeElsewhere]:
    """What the engines of this site's builds tell of rules, as records, of those builds whose licence lets it be given on."""
    if shelf.sharing is None:
        return []
    open_builds = {build.id: build for build in builds if not build.problems and may_be_told(build, shelf.sharing)}
    return [
        _as_record(rule.rule, engine, UnitFormatter(open_builds[engine.build].sound_head.units))
        for rule in evidence
        for club in rule.clubs
        for engine in club.told
        if engine.here and engine.build in open_builds
    ]


def _as_record(rule: str, engine: EngineTold, fmt: UnitFormatter) -> OutcomeElsewhere:
    said = {
        "rule": rule,
        "engine": engine.engine,
        "result": engine.result,
        "hours": None if engine.minutes is None else f"{engine.minutes:g} min",
        "size": None if engine.size is None else fmt.size_text(engine.size),
        "clearance": None if engine.clearance is None else fmt.clearance_text(engine.clearance).replace(MINUS, "-"),
        "load": engine.load,
        "date": engine.day,
        "said_by": engine.said_by,
        "club": engine.club,
        "build": engine.build,
        "fit": engine.fit if engine.fit and "." not in engine.fit else None,
        "since": engine.since,
        "note": " ".join(engine.note.split())[:300] if engine.note else None,
    }
    return OutcomeElsewhere.model_validate({name: value for name, value in said.items() if value is not None})


def pages_and_assets(
    shelf: Knowledge,
    renderer: Renderer,
    site_url: str | None,
    evidence: Iterable[RuleEvidence] = (),
    builds: Iterable[Build] = (),
) -> tuple[list[Page], list[Asset]]:
    """The page, the list for programs, and a file for each thing that travels. evidence: of rules, by engines of builds too."""
    items = offered(shelf, outcomes.items(shelf, told_by_builds(shelf, evidence, builds)))
    kinds = {kind: [offer for offer in items if offer.item.kind == kind] for kind in SHARED_KINDS}
    page = renderer.page(
        "share.md",
        "share.md.j2",
        f"{shelf.path}/sharing.yaml" if shelf.sharing else None,
        kinds=kinds,
        shelf=shelf,
        site=site_url or "https://…/",
        terms=terms_of,
    )
    assets = [Asset(offer.path, offer.content) for offer in items]
    # A list with nothing in it is one too: it tells what was taken back.
    return [page], [*assets, Asset(INDEX, index(shelf, items))] if shelf.sharing else []
