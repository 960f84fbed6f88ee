"""Everything of a project's site before any generator sees it: pages, and the files beside them."""

import time
from collections.abc import Callable, Iterable, Sequence
from contextlib import suppress
from dataclasses import dataclass, field

from pydantic import TypeAdapter

from gudgeon.assess.findings import BuildFindings
from gudgeon.boundary import Failure, attempt
from gudgeon.export.icalendar import calendar
from gudgeon.export.package import files as data_files
from gudgeon.feeds.head import Head
from gudgeon.pages.new_file import NewFile
from gudgeon.pages.page import Asset, Page
from gudgeon.pages.site import render
from gudgeon.pages.view import View
from gudgeon.project.cores import spread
from gudgeon.project.project import Project
from gudgeon.records.model import Build, Club, Knowledge
from gudgeon.records.problems import Problem, Where

KEPT_PAGES = TypeAdapter(list[tuple[str, str, str | None]])  # uri, text, edit


@dataclass
class Site:
    """A club with its pages and files, and everything that is wrong.

    home_lead: what heads the home page, which people write. heads: page -> what its head tells programs. seconds: what each
    step took.
    """

    club: Club
    pages: list[Page]
    assets: list[Asset]
    problems: list[Problem]
    home_lead: str = ""
    heads: dict[str, Head] = field(default_factory=dict)
    seconds: dict[str, float] = field(default_factory=dict)

    def cost(self, whole: float) -> str:
        """What it took, in words. whole: seconds of the whole build, the generator's with it."""
        own = sum(self.seconds.values())
        parts = ", ".join(f"{what} {seconds:.2f} s" for what, seconds in self.seconds.items())
        return f"whole build {whole:.2f} s; Gudgeon's own share {own:.2f} s, {100 * own / whole:.0f} % ({parts})"

    def changed(self) -> dict[str, str]:
        """Page of a build, or of all builds -> the newest day of its records. Of other pages no record tells when they changed."""
        days = {build.id: build.newest_date.isoformat() for build in self.club.builds if build.newest_date}
        changed = {
            page.uri: day
            for page in self.pages
            if page.uri.startswith("builds/") and (day := days.get(page.uri.split("/")[1]))
        }
        return {**changed, **({"builds/index.md": max(days.values())} if days else {})}


def make_site(
    project: Project,
    address: str | None = None,
    more_pages: Iterable[Page] = (),
    links: str = "folders",
    forge: NewFile | None = None,
    by_hand: Iterable[Page] = (),
) -> Site:
    """Work a project out and write its pages. Never raises for what a file says: what fails becomes a page and a problem.

    address: where the site will stand, for what leaves the screen. more_pages: pages that do not come from the records.
    links: how pages lead to one another, a key of pages.page.LINKS. forge: where the repository takes a new file.
    by_hand: pages that people write, for the search alone.
    """
    more_pages = list(more_pages)
    seconds: dict[str, float] = {}

    def timed(what: str, do: Callable, *given):
        began = time.perf_counter()
        result = do(*given)
        seconds[what] = time.perf_counter() - began
        return result

    timed("read and work out", project.work_out_all)
    club = project.club()
    worked_out = {
        build.id: project.outcome_with_inputs(build.folder.name) for build in club.builds if not build.problems
    }
    outcomes = {name: outcome for name, (outcome, _) in worked_out.items()}
    inputs = {name: noted for name, (_, noted) in worked_out.items()}
    told = {name: project.numbers_told(name) for name in project.build_names()}
    numbers = {name: of_build for name, of_build in told.items() if not isinstance(of_build, Failure)}
    shared = timed("assess the shelf", project.checks)
    rendered = timed(
        "write pages",
        render,
        club,
        outcomes,
        shared,
        address,
        links,
        inputs,
        _keeper(project, address, links, forge),
        forge,
        [*more_pages, *by_hand],
        project.cache if project.cache.keeps else None,
        numbers,
    )
    not_told = [of_build for of_build in told.values() if isinstance(of_build, Failure)]
    data, not_written = timed("write data", _data, club, outcomes, address)
    problems = club.problems + [failure.problem() for failure in (*rendered.failures, *not_written, *not_told)]
    problems += timed(
        "look at pictures",
        lambda: [problem for name in project.build_names() for problem in project.picture_problems(name)],
    )
    if not club.builds:
        problems.append(no_builds(project))
    return Site(
        club,
        [*rendered.pages, *more_pages],
        [*rendered.assets, *data],
        sorted(problems),
        rendered.home_lead,
        rendered.heads,
        seconds,
    )


def _keeper(
    project: Project, address: str | None, links: str, forge: NewFile | None
) -> Callable[[Sequence[View], Callable[[View], list[Page]]], dict[str, list[Page]]]:
    """What hands out the pages of each build: as they were kept, or made now on all cores, and kept where all could be made."""

    def keep(views: Sequence[View], make: Callable[[View], list[Page]]) -> dict[str, list[Page]]:
        keys = {
            view.build.id: project.key(
                view.build.folder.name, "pages", address or "", links, repr(forge), _told_by_engines(view)
            )
            for view in views
        }
        pages: dict[str, list[Page]] = {}
        for view in views:
            with suppress(ValueError):
                pages[view.build.id] = [
                    Page(*kept) for kept in KEPT_PAGES.validate_python(project.cache.get_packed(keys[view.build.id]))
                ]
        here = {view.build.id: view for view in views}

        def make_share(names: Sequence[str]) -> list[tuple[str, list[Page], list[Failure]]]:
            made = []
            for name in names:
                of_build = make(here[name])
                if not here[name].failures:
                    project.cache.put_packed(keys[name], [(page.uri, page.text, page.edit) for page in of_build])
                made.append((name, of_build, here[name].failures))
            return made

        for share in spread(make_share, [name for name in here if name not in pages]):
            for name, of_build, failures in share:
                pages[name], here[name].failures = of_build, failures
        return pages

    return keep


def _told_by_engines(view: View) -> str:
    """What engines tell of the rules on a build's pages, in one text: those of other builds among them, so the pages rest on it."""
    rules = dict.fromkeys(rule.rule for rule in view.findings.rules)
    return "".join(view.evidence[rule].model_dump_json() for rule in rules if rule in view.evidence)


def no_builds(project: Project) -> Problem:
    """That nothing was found is told: it is more often a wrong folder than an empty club."""
    return Problem(
        Where(project.settings.builds),
        "",
        f"no build was found: the folder {project.settings.builds}/ of {project.root.name}/ holds none. Start one with "
        "gudgeon new build, or set builds: of the plugin in mkdocs.yml.",
    )


def _data(
    club: Club, outcomes: dict[str, BuildFindings | Failure], address: str | None
) -> tuple[list[Asset], list[Failure]]:
    """Each build as open data, and what of it could not be written."""
    assets: list[Asset] = []
    failures: list[Failure] = []
    for build in club.builds:
        findings = outcomes.get(build.id)
        if not isinstance(findings, BuildFindings):
            continue
        page = f"{address.rstrip('/')}/builds/{build.id}/" if address else None
        written = attempt(
            f"the data of {build.id}",
            Where(f"{build.path}/build.yaml"),
            _data_of,
            build,
            findings,
            club.knowledge,
            page,
        )
        if isinstance(written, Failure):
            failures.append(written)
        else:
            assets += written
    worked_out = [findings for findings in outcomes.values() if isinstance(findings, BuildFindings)]
    assets.append(Asset("due.ics", calendar((findings, findings.due) for findings in worked_out)))
    return assets, failures


def _data_of(build: Build, findings: BuildFindings, shelf: Knowledge, page: str | None) -> list[Asset]:
    written = data_files(build, findings, shelf.materials, page)
    data = [Asset(f"builds/{build.id}/data/{name}", content) for name, content in written.items()]
    return [*data, Asset(f"builds/{build.id}/due.ics", calendar([(findings, findings.due)]))]
