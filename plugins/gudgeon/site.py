"""Everything of a club's site before any generator sees it: pages, and the files beside them."""

import time
from collections.abc import Callable
from dataclasses import dataclass, field
from pathlib import Path

from gudgeon.assess.build import assess
from gudgeon.assess.knowledge_checks import check_knowledge
from gudgeon.commands.manual import manual
from gudgeon.export.package import files as data_files
from gudgeon.pages.page import Asset, Page
from gudgeon.pages.site import render
from gudgeon.records.load_build import load_club
from gudgeon.records.model import Club


@dataclass
class Site:
    """A club with its pages and files. seconds: what each step took."""

    club: Club
    pages: list[Page]
    assets: list[Asset]
    seconds: dict[str, float] = field(default_factory=dict)


def make_site(
    root: Path, builds: str = "builds", knowledge: str = "docs/knowledge", address: str | None = None
) -> Site:
    """Read a project, assess it and write its pages. Never raises for what a file says.

    address: where the site will stand, for what leaves the screen.
    """
    seconds: dict[str, float] = {}

    def timed(what: str, do: Callable, *args):
        began = time.perf_counter()
        result = do(*args)
        seconds[what] = time.perf_counter() - began
        return result

    club = timed("load", load_club, root, builds, knowledge)
    sound = [build for build in club.builds if not build.problems]
    findings = timed("assess", lambda: {build.id: assess(build, club.knowledge) for build in sound})
    shared = timed("assess the shelf", check_knowledge, club)
    pages, assets = timed("write pages", render, club, findings, shared, address)
    data = timed(
        "write data",
        lambda: [
            Asset(f"builds/{build.id}/data/{name}", content)
            for build in sound
            for name, content in data_files(build, findings[build.id]).items()
        ],
    )
    return Site(club, [*pages, manual()], [*assets, *data], seconds)
