"""Reads and assesses the two sides of a review: only the builds that the edit can reach."""

import re
import tempfile
from collections import Counter
from collections.abc import Callable, Iterator
from pathlib import Path

from gudgeon.assess.build import assess
from gudgeon.project.git import Changed
from gudgeon.project.project import Project
from gudgeon.records.load_build import load_build
from gudgeon.records.load_knowledge import load_knowledge
from gudgeon.records.model import Build, Knowledge
from gudgeon.review.compare import Side, compare
from gudgeon.review.slip import ReviewSlip

CITES = re.compile(r"""(?:rule["']?\s*:\s*|^\s*)["']?$""")  # what stands before the name of a rule where a fit cites it


def review(
    project: Project,
    base: str | None = None,
    main: str | None = None,
    head: str | None = None,
    tell: Callable[[int, int], None] = lambda done, of: None,
) -> ReviewSlip:
    """The slip of two revisions.

    base: compare with exactly this one. main: or with where `head` left this one; without both, with where it left the
    main branch. head: a revision; without it the work tree as it is. tell(done, of): called as builds are worked out.
    Raises GitLacks.
    """
    repo, BUILDS, SHELF = project.repository, project.settings.builds, project.settings.knowledge
    root = project.root
    head_commit = repo.commit(head) if head else None
    tip = None
    if base:
        base_commit, base_name = repo.commit(base), base
    else:
        base_commit, tip = repo.merge_base(head_commit or repo.commit("HEAD"), main)
        base_name = "where it left the main branch"
    changed = repo.changed(base_commit, head_commit, (BUILDS, SHELF))
    with tempfile.TemporaryDirectory(prefix="gudgeon-") as folder:
        before, after, theirs = (Path(folder) / each for each in ("base", "head", "main"))
        here = root if head_commit is None else after
        there = repo.names(head_commit, BUILDS) if head_commit else set(project.build_names())
        was_there = repo.names(base_commit, BUILDS)
        renamed = _renamed(changed, was_there, there, BUILDS)
        reached = _reached(project, changed, head_commit) | set(renamed)
        now, old = sorted(reached & there), sorted({renamed.get(each, each) for each in reached} & was_there)
        shelf_differs = any(path.startswith(f"{SHELF}/") for each in changed for path in (each.path, each.was or ""))
        if head_commit:
            repo.extract(head_commit, [SHELF, *(f"{BUILDS}/{each}" for each in now)], after)
        repo.extract(base_commit, [*([SHELF] if shelf_differs else []), *(f"{BUILDS}/{each}" for each in old)], before)
        shelf = load_knowledge(here / SHELF, SHELF)
        head_side = Side(f"revision {head_commit[:9]}" if head_commit else "the work tree", shelf)
        base_side = Side(
            f"{base_name} ({base_commit[:9]})", load_knowledge(before / SHELF, SHELF) if shelf_differs else shelf
        )
        total = len(now) + len(old)
        for side, place, names in ((base_side, before, old), (head_side, here, now)):
            for name in names:
                side.builds[name] = build = _load(project, place, name, side.shelf)
                if not build.problems:
                    side.findings[name] = assess(build, side.shelf)
                tell(len(base_side.builds) + len(head_side.builds), total)
        return compare(
            base_side,
            head_side,
            files=len(changed),
            renamed=renamed,
            main=_main(project, base_commit, tip, reached, theirs, shelf),
        )


def steps(
    project: Project, build: str, head: str, most: int, tell: Callable[[int, int], None] = lambda done, of: None
) -> Iterator[tuple[str, str, str, ReviewSlip]]:
    """(commit, day, subject, slip) of each commit along the main line that moved a number of one build, oldest first.

    The first is the commit in which the build is first found, or the oldest of the `most` that are looked at.
    """
    repo, BUILDS, SHELF = project.repository, project.settings.builds, project.settings.knowledge
    commits = list(reversed(repo.log(repo.commit(head), (f"{BUILDS}/{build}", SHELF), most)))
    before = Side("nothing", Knowledge())
    for done, (commit, day, subject) in enumerate(commits, 1):
        with tempfile.TemporaryDirectory(prefix="gudgeon-") as folder:
            place = Path(folder)
            repo.extract(commit, [SHELF, f"{BUILDS}/{build}"], place)
            side = Side(commit[:9], load_knowledge(place / SHELF, SHELF))
            if (place / BUILDS / build).is_dir():
                side.builds[build] = found = _load(project, place, build, side.shelf)
                if not found.problems:
                    side.findings[build] = assess(found, side.shelf)
        tell(done, len(commits))
        slip = compare(before, side, files=0)
        if slip.fits:
            yield commit, day, subject, slip
        if side.findings or not side.builds:
            before = side  # a commit in which the build could not be read is passed over


def _load(project: Project, place: Path, name: str, shelf: Knowledge) -> Build:
    return load_build(place / project.path_of(name), project.path_of(name), shelf)


def _build_of(path: str | None, BUILDS: str) -> str | None:
    """The build that a file lies in."""
    below = (path or "").removeprefix(f"{BUILDS}/")
    return below.split("/")[0] if path and below != path else None


def _renamed(changed: list[Changed], was_there: set[str], there: set[str], BUILDS: str) -> dict[str, str]:
    """Builds whose folder got another name: name now -> name before, told by where most of their files went."""
    moves = Counter((_build_of(each.path, BUILDS), _build_of(each.was, BUILDS)) for each in changed if each.was)
    found: dict[str, str] = {}
    for (now, was), _ in sorted(moves.items(), key=lambda each: (-each[1], str(each[0]))):
        gone_and_come = was in was_there - there and now in there - was_there
        if now and was and gone_and_come and now not in found and was not in found.values():
            found[now] = was
    return found


def _reached(project: Project, changed: list[Changed], head: str | None) -> set[str]:
    """The builds that the changed files can reach."""
    repo, BUILDS, SHELF = project.repository, project.settings.builds, project.settings.knowledge
    REACHES_ALL = (f"{SHELF}/cautions/", f"{SHELF}/habits.yaml")
    paths = {path for each in changed for path in (each.path, each.was) if path}
    found = {name for path in paths if (name := _build_of(path, BUILDS))}
    if any(path.startswith(REACHES_ALL) for path in paths):
        names = repo.names(head, BUILDS) if head else set(project.build_names())
        return found | names
    rules, materials = (
        sorted(path.rpartition("/")[2].removesuffix(".yaml") for path in paths if path.startswith(f"{SHELF}/{kind}/"))
        for kind in ("rules", "materials")
    )
    if materials:
        found |= {name for path, _ in repo.mentions(materials, head, BUILDS) if (name := _build_of(path, BUILDS))}
    if rules:
        for path, line in repo.mentions(rules, head, BUILDS):
            # A rule moves the fits that cite it; that its name stands in somebody's words moves nothing.
            cited = any(
                CITES.search(line[: each.start()]) for rule in rules for each in re.finditer(re.escape(rule), line)
            )
            if path.endswith("/fits.yaml") and cited and (name := _build_of(path, BUILDS)):
                found.add(name)
    return found


def _main(
    project: Project, base: str, tip: str | None, reached: set[str], folder: Path, shelf: Knowledge
) -> dict[str, Build] | None:
    """The reached builds as the main branch has them by now, where it has moved on."""
    repo, BUILDS = project.repository, project.settings.builds
    if tip is None or tip == base:
        return None
    changed = repo.changed(base, tip, (BUILDS,))
    moved = {name for each in changed if not each.gone and (name := _build_of(each.path, BUILDS))} & reached
    repo.extract(tip, [f"{BUILDS}/{each}" for each in sorted(moved)], folder)
    return {name: _load(project, folder, name, shelf) for name in sorted(moved)}
