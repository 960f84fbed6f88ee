"""What this shelf gives away, and what was brought onto it from elsewhere."""

from gudgeon.pages.page import Asset, Page, Renderer
from gudgeon.records.knowledge import SHARED_KINDS
from gudgeon.records.model import Knowledge
from gudgeon.share.item import INDEX, index, offered


def pages_and_assets(shelf: Knowledge, renderer: Renderer, site_url: str | None) -> tuple[list[Page], list[Asset]]:
    """The page, the list for programs, and a file for each thing that travels."""
    items = offered(shelf)
    kinds = {kind: [offer for offer in items if offer.item.kind == kind] for kind in SHARED_KINDS}
    page = renderer.page(
        "share.md",
        "share.md.j2",
        f"{shelf.path}/sharing.yaml" if shelf.sharing else None,
        kinds=kinds,
        shelf=shelf,
        site=site_url or "https://…/",
    )
    assets = [Asset(offer.path, offer.content) for offer in items]
    return [page], [*assets, Asset(INDEX, index(shelf, items))] if items else []
