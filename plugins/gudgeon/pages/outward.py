"""What leaves a site for other programs: feeds, cards and what heads tell of them, and old addresses that lead on."""

from collections.abc import Iterable, Iterator
from dataclasses import dataclass

from gudgeon.feeds import redirects
from gudgeon.feeds.feed import Feed
from gudgeon.feeds.head import Head
from gudgeon.pages import following, shared_links
from gudgeon.pages.page import Asset, Page, Renderer
from gudgeon.pages.view import View
from gudgeon.pictures.sizes import Kept


@dataclass(frozen=True)
class Outward:
    """Files, and page -> what its head tells programs."""

    assets: list[Asset]
    heads: dict[str, Head]


def outward(views: list[View], kept: Kept | None = None) -> Outward:
    """What fails of one build is told as a failure of it, and the rest stands. kept: where cards are kept from run to run."""
    assets: list[Asset] = []
    heads: dict[str, Head] = {}
    feeds: list[tuple[View, Feed]] = []
    for view in views:
        feeds += [(view, feed) for feed in view.guarded_list("feed.xml", following.feeds)]
        links = view.guarded_list("cards", shared_links.links)
        engine = next(iter(view.guarded_list("cards", shared_links.engines)), None) if links else None
        for link in links:
            drawn = view.guarded_list(link.file.removeprefix(f"{view.home}/"), shared_links.assets, link, engine, kept)
            if drawn:
                assets += drawn
                heads[link.uri] = shared_links.head(view, link)
                if link.uri == f"{view.home}/index.md":  # the card of the build is that of its story, too
                    heads[f"{view.home}/story/index.md"] = shared_links.head(view, shared_links.of_story(view, link))
    for uri, lines in following.heads(feeds).items():
        heads[uri] = heads.get(uri, Head()).with_lines(lines)
    return Outward([*following.assets(feeds), *assets], heads)


def moved(views: Iterable[View], renderer: Renderer, pages: Iterable[Page], assets: Iterable[Asset]) -> list[Asset]:
    """Pages at old addresses of what was renamed, and its feeds there, which a reader's program goes on to ask for."""
    if renderer.links == "files":  # how the pages will be called is another tool's affair
        return []
    pages, assets, files = list(pages), list(assets), []
    folders = renderer.links == "folders"
    taken = {redirects.file_of(page.uri, folders) for page in pages} | {asset.uri for asset in assets}
    contents = {asset.uri: asset.content for asset in assets}
    of_builds: dict[str, list[str]] = {}
    for page in pages:
        of_builds.setdefault("/".join(page.uri.split("/")[:2]), []).append(page.uri)
    for view in views:
        pairs = list(_renamed(view))
        of_build = of_builds.get(view.home, [])
        for was in view.build.sound_head.formerly:
            home = f"builds/{was}"
            pairs += [(home + uri.removeprefix(view.home), uri) for uri in of_build]
            pairs += [(home + old.removeprefix(view.home), new) for old, new in _renamed(view)]
            files += [
                Asset(f"{home}/{name}", contents[f"{view.home}/{name}"])
                for name in (following.ATOM, following.JSON)
                if f"{view.home}/{name}" in contents
            ]
        leads = redirects.free(
            ((redirects.file_of(old, folders), new) for old, new in pairs), taken | {file.uri for file in files}
        )
        files += [
            Asset(old, redirects.page(old, redirects.file_of(new, folders), view.web(new)))
            for old, new in leads.items()
        ]
    return [file for file in files if file.uri not in taken]


def _renamed(view: View) -> Iterator[tuple[str, str]]:
    """Pages of a build that had another name: instalments, fits with their history, parts."""
    for told in view.build.instalments:
        yield from ((f"{view.home}/story/{was}.md", view.instalment_uri(told)) for was in told.head.formerly)
    for was, now in view.build.former_names["fit"].items():
        yield from ((view.fit_uri(was), view.fit_uri(now)), (view.history_uri(was), view.history_uri(now)))
    for was, now in view.build.former_names["part"].items():
        yield view.part_uri(was), view.part_uri(now)
