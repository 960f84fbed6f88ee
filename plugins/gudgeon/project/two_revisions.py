"""Two revisions of a project, compared: reads and works out both sides of what an edit can reach, and proves the causes."""

import functools
import json
import re
from collections import Counter
from collections.abc import Callable, Iterable, Iterator
from contextlib import contextmanager
from dataclasses import replace
from pathlib import Path

from gudgeon.assess.findings import BuildFindings
from gudgeon.assess.told import numbers_told
from gudgeon.boundary import Failure, attempt
from gudgeon.ledger.causes import Refused, Trial, prove
from gudgeon.ledger.comparison import Comparison, Pair, Sides
from gudgeon.ledger.values import ledger_of
from gudgeon.project.git import Changed, Repository, aside
from gudgeon.project.project import Project, WorksOutBothSides, work_out
from gudgeon.project.revisions import Revisions, what_is_compared
from gudgeon.records.edits import (
    Edit,
    edits_of_build,
    edits_of_knowledge,
    moving_no_number,
    problems_of,
    problems_of_knowledge,
    put_back,
    put_back_in_knowledge,
)
from gudgeon.records.model import Build, Knowledge
from gudgeon.records.problems import Where, seen
from gudgeon.records.renaming import with_new_names

# How often builds are worked out again to prove causes, about a fifth of a second each: of a whole review, and of one build.
MOST_TRIALS, LEAST_TRIALS = 60, 6
Tell = Callable[[int, int], None]
Work = Callable[[Build, Knowledge], "BuildFindings | Failure"]


@contextmanager
def compare_revisions(
    project: Project, base: str | None = None, main: str | None = None, head: str | None = None
) -> Iterator[Comparison]:
    """What differs between two revisions of a project, and what that moves; for as long as the context lasts.

    base: compare `head` with exactly this one. Without it the main branch's tip is compared with what merging `head` into it
    gives. main: the main branch, where it is not one of the usual ones. head: a revision; without it the work tree as it is.
    Raises gudgeon.GitLacks.
    """
    builds, shelves = project.settings.builds, project.shelves
    with aside() as folder:
        revisions = what_is_compared(project.repository, base, main, head, folder)
        repository, base_commit, head_commit = revisions.repository, revisions.base, revisions.head
        changed = repository.changed(base_commit, head_commit, (builds, *shelves))
        paths = [path for change in changed for path in (change.path, change.was or "")]
        shelf_differs = any(_on(shelves, path) for path in paths)
        conflicted = [path for conflict in revisions.conflicts for path in (conflict.path, *conflict.others)]
        in_conflict = _builds_of(builds, conflicted)
        shelf_in_conflict = any(_on(shelves, path) for path in conflicted)
        now = project
        if head_commit:
            now = project.standing_in(folder / "head", revisions.head_name)
            repository.extract(base_commit if shelf_in_conflict else head_commit, [*shelves], now.root)
        same_knowledge = None if shelf_differs and not shelf_in_conflict else now.knowledge
        was = now.standing_in(folder / "base", revisions.base_name, same_knowledge)
        if shelf_differs:
            repository.extract(base_commit, [*shelves], was.root)
        there = repository.names(head_commit, builds) if head_commit else set(project.build_names())
        was_there = repository.names(base_commit, builds)
        reach = _Reach(project, repository, changed, head_commit, was_there, there, (was.knowledge, now.knowledge))
        in_conflict |= {reach.renamed[name] for name in in_conflict & set(reach.renamed)}
        if shelf_in_conflict:
            in_conflict = there | was_there
        names = [name for name in reach.now() if name not in in_conflict]
        old_names = [name for name in reach.was() if name not in in_conflict]
        if head_commit:
            repository.extract(
                head_commit, [project.path_of(name) for name in names if name not in reach.differs], now.root
            )
            whole = [project.path_of(name) for name in names if name in reach.differs]
            repository.extract(head_commit, whole, now.root, pictures=True)
        # A build whose own files are the same is read once, and held to either revision's knowledge.
        repository.extract(
            base_commit, [project.path_of(name) for name in old_names if name in reach.differs], was.root
        )
        pairs = [(name, reach.renamed.get(name, name)) for name in names]
        pairs += [(None, name) for name in old_names if name not in {old for _, old in pairs}]
        # The same for every build, so that neither their order nor the number of processors decides what is proved.
        trials = max(LEAST_TRIALS, MOST_TRIALS // max(1, len(pairs)))

        edited_rules = _only_rules(was.knowledge, now.knowledge)

        def pair(name: str | None, old: str) -> Pair:
            # Where all that differs is rules, what they do not reach is worked out once for both sides, and for the trials.
            rules = edited_rules if name in old_names and old not in reach.differs else None
            work = WorksOutBothSides(rules) if rules else work_out
            made = _pair(was, now, name, old if old in old_names else None, old in reach.differs, work)
            _prove(made, now.knowledge, trials, work)
            if (
                name is not None and name in reach.differs
            ):  # pictures are looked at where the edit can have touched them
                made.pictures = now.picture_problems(name)
            return made

        yield Comparison(
            was.name,
            now.name,
            was.knowledge,
            now.knowledge,
            [functools.partial(pair, name, old) for name, old in pairs],
            files=len(changed),
            other_files=_others(project, repository, base_commit, head_commit),
            renamed={seen(new): seen(old) for new, old in reach.renamed.items()},
            sides=_both_sides(project, revisions, folder / "sides", now.knowledge),
            conflicts=[(seen(conflict.path), conflict.what) for conflict in revisions.conflicts],
            not_worked_out=[seen(name) for name in sorted((there & was_there) - set(names))] if shelf_differs else [],
            in_conflict=sorted(seen(name) for name in in_conflict & (there | was_there)),
            notes=list(revisions.notes),
            author_of=lambda file, line: repository.author(head_commit, file, line),
        )


def steps(
    project: Project, build: str, head: str, most: int, tell: Tell = lambda done, of: None
) -> Iterator[tuple[str, str, str, Comparison]]:
    """(commit, day, subject, comparison) of each commit along the main line that touched a build or what all share, oldest
    first: with the commit before it in which the build could be read.

    The first is the commit in which the build is first found, or the oldest of the `most` that are told; it is compared with
    the one before it, so that nothing is said to be new that is only older than what is looked at.
    """
    repository = project.repository
    folders = (project.path_of(build), *project.shelves)
    commits = list(reversed(repository.log(repository.commit(head), folders, most + 1)))
    # Where history goes further back than is told, the first commit that can be read is only compared with.
    comparable = len(commits) <= most
    before, pair_before = Knowledge(), Pair(seen(build), None, None)
    for done, (commit, day, subject) in enumerate(commits, 1):
        with project.at(commit, [build] if build in repository.names(commit, project.settings.builds) else []) as now:
            pair = Pair(seen(build), pair_before.now, None, pair_before.found)
            if build in now.build_names():
                pair.now, pair.found = now.build(build), _found(now.build(build), now.knowledge, pair)
                pair.edits = _edits(pair, before, now.knowledge)
            _prove(pair, now.knowledge, MOST_TRIALS)
            tell(done, len(commits))
            if comparable:
                yield commit, day, subject, Comparison("", commit[:9], before, now.knowledge, [lambda pair=pair: pair])
            if pair.found or pair.now is None:
                before, pair_before = now.knowledge, pair  # one in which the build could not be read is passed over
                comparable = True


def _on(folders: tuple[str, ...], path: str) -> bool:
    """Whether a path lies below one of some folders."""
    return path.startswith(tuple(f"{folder}/" for folder in folders))


def _only_rules(was: Knowledge, now: Knowledge) -> set[str]:
    """The rules that differ, where nothing else of the knowledge does and none is new or gone; else nothing."""
    edits = edits_of_knowledge(was, now)
    only = all(edit.what == "rule" and edit.was is not None and edit.now is not None for edit in edits)
    return {edit.id for edit in edits} if only else set()


def _pair(was: Project, now: Project, name: str | None, old: str | None, differs: bool, work: Work) -> Pair:
    """A build in both revisions, worked out as far as it can be."""
    pair = Pair(seen(name or old or ""), None, None)
    if name is not None:
        pair.now = now.build(name)
        pair.found = _found(pair.now, now.knowledge, pair, functools.partial(now.kept, name), work)
    if old is not None:
        kept = functools.partial(was.kept, old, now)  # where its own files are the same, `now` has read them
        if differs or pair.now is None:
            pair.was = was.build(old)
            kept = functools.partial(was.kept, old)
            if pair.now is not None and any(pair.now.former_names.values()):
                pair.was, kept = with_new_names(pair.was, pair.now.former_names), _nothing
        else:
            pair.was = replace(pair.now)
            if was.knowledge is not now.knowledge:
                pair.was.problems = (
                    was.read_build(old, pair.now.folder).problems
                    if pair.now.problems
                    else problems_of(pair.now, was.knowledge)
                )
        same = pair.was.problems == [] and not differs and was.knowledge is now.knowledge
        pair.found_was = pair.found if same else _found(pair.was, was.knowledge, None, kept, work)
    pair.edits = _edits(pair, was.knowledge, now.knowledge)
    _tell_numbers(pair, now.knowledge)
    return pair


def _tell_numbers(pair: Pair, knowledge: Knowledge) -> None:
    """Work out the tied numbers of the instalments that are new or edited; what others tell was looked at with them."""
    if pair.now is None or pair.found is None:
        return
    if pair.was is None:
        slugs = {told.slug for told in pair.now.instalments}
    else:
        slugs = {edit.id for edit in pair.edits if edit.what == "instalment" and edit.now is not None}
    doing, where = f"the numbers told in {pair.name}", Where(f"{pair.now.path}/build.yaml")
    told = attempt(doing, where, numbers_told, pair.now, knowledge, pair.found, slugs)
    if isinstance(told, Failure):
        pair.failed = pair.failed or told.problem()
    else:
        pair.told = told


def _nothing() -> None:
    """What is kept of a build as it stands in no revision, such as one with new names: nothing."""


def _found(
    build: Build,
    knowledge: Knowledge,
    pair: Pair | None,
    kept: Callable[[], BuildFindings | None] = _nothing,
    work: Work = work_out,
) -> BuildFindings | None:
    """The findings of a build without problems; what the tool failed on is noted in the pair.

    kept: gives what was worked out of the same before, if anything.
    """
    if build.problems:
        return None
    outcome = kept() or work(build, knowledge)
    if isinstance(outcome, Failure):
        if pair is not None:
            pair.failed = outcome.problem()
        return None
    return outcome


def _edits(pair: Pair, knowledge_was: Knowledge, knowledge: Knowledge) -> list[Edit]:
    if pair.was is None or pair.now is None:
        return []
    return [*edits_of_build(pair.was, pair.now), *edits_of_knowledge(knowledge_was, knowledge)]


def _prove(pair: Pair, knowledge: Knowledge, most: int, work: Work = work_out) -> None:
    """Prove the causes of what moved in a pair, in at most so many trials."""
    if pair.found is None or pair.found_was is None or pair.now is None:
        return
    one_record = len(pair.edits) < 2  # which then moved whatever moved: nothing has to be tried
    was, now = ({}, {}) if one_record else pair.ledgers
    shown = moving_no_number(pair.edits, pair.was, pair.now) if pair.was else ()
    pair.proof = prove(pair.edits, pair.moves, was, now, trial_of(pair.now, knowledge, work), most, shown)


def trial_of(build: Build, knowledge: Knowledge, work: Work = work_out) -> Trial:
    """Works a build out with some records put back, in memory."""

    def trial(edits: tuple[Edit, ...]):
        shared = [edit for edit in edits if edit.shared]
        own = [edit for edit in edits if not edit.shared]
        texts: list[str] = []
        shelf = knowledge
        if shared:
            shelf = put_back_in_knowledge(knowledge, shared)
            texts += [str(problem) for problem in problems_of_knowledge(shelf) if problem not in knowledge.problems]
        there = put_back(build, own) if own else build
        texts += [str(problem) for problem in problems_of(there, shelf)]
        if texts:
            return Refused(tuple(texts))
        outcome = work(there, shelf)
        return Refused() if isinstance(outcome, Failure) else ledger_of(outcome)

    return trial


class _Reach:
    """Which builds the changed files can reach, on either side."""

    def __init__(
        self,
        project: Project,
        repository: Repository,
        changed: list[Changed],
        head: str | None,
        was_there: set[str],
        there: set[str],
        knowledge: tuple[Knowledge, Knowledge],
    ):
        self.project, self.repository, self.was_there, self.there = project, repository, was_there, there
        paths = {path for change in changed for path in (change.path, change.was) if path}
        self.differs = {name for path in paths if (name := self._build_of(path))}
        self.renamed = self._renamed(changed)
        self.reached = self.differs | self._through_knowledge(paths, head, knowledge)

    def now(self) -> list[str]:
        """Builds to be worked out as they are now."""
        return sorted((self.reached | set(self.renamed)) & self.there)

    def was(self) -> list[str]:
        """Builds to be worked out as they were, by their names then."""
        names = self.reached | set(self.renamed)
        return sorted({self.renamed.get(name, name) for name in names} & self.was_there)

    def _build_of(self, path: str | None) -> str | None:
        """The build that a file lies in."""
        below = (path or "").removeprefix(f"{self.project.settings.builds}/")
        return below.split("/")[0] if path and below != path else None

    def _renamed(self, changed: list[Changed]) -> dict[str, str]:
        """Builds whose folder got another name: name now -> name before, told by where most of their files went."""
        moves = Counter((self._build_of(change.path), self._build_of(change.was)) for change in changed if change.was)
        renamed: dict[str, str] = {}
        for (now, was), _ in sorted(moves.items(), key=lambda move: (-move[1], str(move[0]))):
            gone_and_come = was in self.was_there - self.there and now in self.there - self.was_there
            if now and was and gone_and_come and now not in renamed and was not in renamed.values():
                renamed[now] = was
        return renamed

    def _through_knowledge(self, paths: set[str], head: str | None, knowledge: tuple[Knowledge, Knowledge]) -> set[str]:
        """Builds that name a changed rule or material, or one that names it; all of them where something else that is shared
        changed. A rule also stands in the tables of builds that do not name it: those are told as not worked out."""
        shelves, builds = self.project.shelves, self.project.settings.builds
        named = re.compile(rf"(?:{'|'.join(map(re.escape, shelves))})/(?:rules|materials)/([^/]+)\.yaml")
        words: set[str] = set()
        for path in paths:
            if not _on(shelves, path):
                continue
            match = named.fullmatch(path)
            if match is None:
                return self.there & self.was_there
            words.add(match[1])
        if not words:
            return set()
        words = _naming(words, knowledge)
        mentions = self.repository.mentions(sorted(words), head, builds)
        return {name for path in mentions if (name := self._build_of(path))}


def _naming(words: set[str], knowledge: tuple[Knowledge, Knowledge]) -> set[str]:
    """Rules and materials by name, with those of the knowledge that name them."""
    texts = {
        name: json.dumps(record.model_dump(mode="json"), default=str)
        for shelf in knowledge
        for store in (shelf.rules, shelf.materials)
        for name, record in store.items()
    }
    while further := {
        name for name, text in texts.items() if name not in words and any(f'"{word}"' in text for word in words)
    }:
        words = words | further
    return words


def _others(project: Project, repository: Repository, base: str, head: str | None) -> list[str]:
    """Files of the project outside its records that differ: code, settings, workflows, words."""
    ours = (project.settings.builds, *project.shelves)
    paths = {change.path for change in repository.changed(base, head, (".",))}
    return sorted(seen(path) for path in paths if not _on(ours, path))


def _builds_of(builds: str, paths: Iterable[str]) -> set[str]:
    """The builds that some files lie in."""
    return {path.removeprefix(f"{builds}/").split("/")[0] for path in paths if path.startswith(f"{builds}/")}


def _both_sides(project: Project, revisions: Revisions, folder: Path, knowledge: Knowledge) -> dict[str, Sides]:
    """The builds that both the work and the main branch changed since they parted, as they stood then, in the work, and on
    the main branch."""
    if revisions.parted is None:
        return {}
    repository, builds = revisions.repository, project.settings.builds
    before, work, tip = revisions.parted

    def moved(head: str | None) -> set[str]:
        changes = repository.changed(before, head, (builds,))
        return _builds_of(builds, (path for change in changes for path in (change.path, change.was or "")))

    both = sorted(moved(work) & moved(tip))
    sides = []
    for name, commit in (("parted", before), ("work", work), ("main", tip)):
        there = project
        if commit:
            there = project.standing_in(folder / name, name, knowledge)
            standing = [build for build in both if build in repository.names(commit, builds)]
            repository.extract(commit, [project.path_of(build) for build in standing], there.root)
        at_all = set(there.build_names())
        sides.append({build: there.read_build(build) for build in both if build in at_all})
    return {seen(name): (sides[0].get(name), sides[1].get(name), sides[2].get(name)) for name in both}
