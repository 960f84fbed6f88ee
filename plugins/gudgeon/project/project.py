"""The one door to a project: its builds, its knowledge, what they amount to, and what is wrong with them."""

import functools
from collections.abc import Iterable, Iterator, Sequence
from contextlib import contextmanager
from dataclasses import replace
from pathlib import Path
from typing import Any

from pydantic import TypeAdapter

from gudgeon.assess.build import assess, assess_with_inputs, assess_with_steps
from gudgeon.assess.findings import BuildFindings, ClubFindings
from gudgeon.assess.findings.told import NumberTold
from gudgeon.assess.knowledge_checks import check_knowledge
from gudgeon.assess.steps import Earlier, Input, Steps
from gudgeon.assess.told import numbers_told
from gudgeon.boundary import Failure, attempt
from gudgeon.project.cache import Cache, folder_digest, key_of
from gudgeon.project.cores import spread
from gudgeon.project.git import Repository, aside
from gudgeon.project.settings import Settings, find_settings
from gudgeon.records.load_build import load_build
from gudgeon.records.load_knowledge import load_knowledge
from gudgeon.records.model import Build, Club, Knowledge, Shelf
from gudgeon.records.problems import Problem, Where, nearest, seen
from gudgeon.records.shelf_layers import PACKAGE, package_path

TOLD = TypeAdapter(tuple[NumberTold, ...])


class NoBuild(Exception):
    """There is no build of this name; told to people."""


class NotWorkedOut(Exception):
    """A build has no findings: its records have problems, or the tool failed on it. problems: what is wrong."""

    def __init__(self, problems: list[Problem]):
        super().__init__("\n".join(str(problem) for problem in problems))
        self.problems = problems


class Project:
    """A project as its files stand in one folder: the work tree, or what was taken from one of its revisions.

    Everything is read when it is first asked for, and once: open the project again to see what was written since.
    """

    def __init__(self, settings: Settings, name: str = "the work tree", package: str | None = None):
        """package: where the package's shelf lies in the project, where that holds the tool's own source; looked for without."""
        self.settings = settings
        self.root = settings.root
        self.name = name
        self.package = package or package_path(settings.root)
        self._builds: dict[str, Build] = {}
        self._outcomes: dict[str, BuildFindings | Failure] = {}
        self._inputs: dict[str, dict[str, frozenset[Input]]] = {}
        self._told: dict[str, tuple[NumberTold, ...] | Failure] = {}
        self.cache = Cache.of_user() if settings.cache else Cache(None)
        self._digests: dict[str, str | None] = {}  # build -> of its folder, as it was read
        self._knowledge_digest: str | None = None  # of both shelves, where they were read from there

    @classmethod
    def open(cls, folder: Path | str = ".", *, new: bool = False, cache: bool = True) -> "Project":
        """The project that a folder lies in, found upwards as git does. new: an empty folder is a project too. cache: False
        works everything out anew and keeps nothing, whatever the settings say.

        Raises gudgeon.NoProject where there is none, or where its settings cannot be used.
        """
        settings = find_settings(Path(folder), new)
        return cls(settings if cache else replace(settings, cache=False))

    @property
    def shelves(self) -> tuple[str, ...]:
        """The folders of the project that shared knowledge is read from: the club's, and the package's where it lies here."""
        return (self.settings.knowledge, *([self.package] if self.package else []))

    @functools.cached_property
    def package_shelf(self) -> Shelf:
        """The package's shelf: as the project has it where it lies there, so that a revision has its own; or the installed one."""
        return Shelf(self.root / self.package, self.package) if self.package else PACKAGE

    @functools.cached_property
    def knowledge(self) -> Knowledge:
        """What is shared: the club's shelf over the package's. Its problems are in `problems`."""
        folder = self.root / self.settings.knowledge
        before = self._digest_of_shelves()
        knowledge = load_knowledge(folder, self.settings.knowledge, self.package_shelf)
        self._knowledge_digest = before if self._digest_of_shelves() == before else None  # edited meanwhile: not kept
        return knowledge

    def _digest_of_shelves(self) -> str | None:
        """A digest of both shelves; None where it cannot be told what a reader would see."""
        both = [self._digest_of(self.root / self.settings.knowledge), self._digest_of(self.package_shelf.folder)]
        return None if None in both else " ".join(digest or "" for digest in both)

    def _digest_of(self, folder: Path) -> str | None:
        return folder_digest(folder) if self.cache.keeps else None

    def build_names(self) -> list[str]:
        """Names of the folders that hold builds, in order."""
        folder = self.root / self.settings.builds
        if not folder.is_dir():
            return []
        return sorted(
            entry.name for entry in folder.iterdir() if (entry.is_dir() or entry.is_symlink()) and entry.name[0] != "."
        )

    def build(self, name: str) -> Build:
        """A build by its folder's name. Its problems are in `problems`. Raises gudgeon.NoBuild."""
        if name not in self._builds:
            if name not in self.build_names():
                near = nearest(seen(name), [seen(known) for known in self.build_names()])
                raise NoBuild(f'there is no build "{seen(name)[:60]}" in {self.settings.builds}/.{near}')
            folder = self.root / self.settings.builds / name
            before = self._digest_of(folder)
            self._builds[name] = self.read_build(name)
            self._digests[name] = before if self._digest_of(folder) == before else None  # edited meanwhile: not kept
        return self._builds[name]

    def key(self, name: str, *of_what: str, read_in: "Project | None" = None) -> str | None:
        """Under which key something that rests on a build and the knowledge is kept; None where it cannot be.

        read_in: the project in which the build was read, where its own files are the same here.
        """
        if not self.cache.keeps:
            return None
        places = (self.path_of(name), self.settings.knowledge, self.package_shelf.shown_as)
        return key_of((read_in or self)._digests.get(name), self._knowledge_digest, *places, *of_what)

    def kept(self, name: str, read_in: "Project | None" = None) -> BuildFindings | None:
        """What was worked out before of a build and the knowledge exactly as they stand here; None where nothing is kept."""
        entry = _kept(self.cache.get(self.key(name, "findings", read_in=read_in)))
        return entry[0] if entry else None

    def read_build(self, name: str, folder: Path | None = None) -> Build:
        """A build read anew, as its folder, or another that stands for it, has it now."""
        there = folder or self.root / self.settings.builds / name
        return load_build(there, self.path_of(name), self.knowledge)

    def as_it_stands(self, name: str) -> Build:
        """A build as its folder has it now: read anew unless nothing in it has changed since it was read first."""
        digest = self._digests.get(name)
        if digest is not None and digest == self._digest_of(self.root / self.settings.builds / name):
            return self._builds[name]
        return self.read_build(name)

    def path_of(self, name: str) -> str:
        """A build's folder from the project's root, with /."""
        return f"{self.settings.builds}/{name}"

    @functools.cached_property
    def starters(self) -> dict[str, Build]:
        """The starter of each part family."""
        starters = {}
        for family in self.knowledge.families:
            shelf = self.knowledge.place_of("family", family)
            if shelf is not None:
                folder, shown_as = shelf.folder / "families" / family, f"{shelf.shown_as}/families/{family}"
                starters[family] = load_build(folder / "starter", f"{shown_as}/starter", self.knowledge)
        return starters

    def club(self) -> Club:
        """All builds, the knowledge and the starters. Never raises for what a file says."""
        return Club([self.build(name) for name in self.build_names()], self.knowledge, self.starters)

    def outcome(self, name: str) -> BuildFindings | Failure | None:
        """What a build amounts to; a Failure where the tool failed on it, None where its records have problems."""
        build = self.build(name)
        if build.problems:
            return None
        if name not in self._outcomes:
            self._outcomes[name] = self.kept(name) or work_out(build, self.knowledge)
        return self._outcomes[name]

    def outcome_with_inputs(self, name: str) -> tuple[BuildFindings | Failure | None, dict[str, frozenset[Input]]]:
        """The same, and the records that each finding rests on, by its address: see `assess_with_inputs`."""
        build = self.build(name)
        if name not in self._inputs and not build.problems:
            key = self.key(name, "findings")
            outcome = _kept(self.cache.get(key)) or attempt(
                f"working out {build.id}", _head_of(build), self._work_out_and_keep, build, key
            )
            self._outcomes[name], self._inputs[name] = (outcome, {}) if isinstance(outcome, Failure) else outcome
        return self.outcome(name), self._inputs.get(name, {})

    def _work_out_and_keep(self, build: Build, key: str | None) -> tuple[BuildFindings, dict[str, frozenset[Input]]]:
        findings, inputs = assess_with_inputs(build, self.knowledge)
        if key is not None:
            listed = {address: sorted(noted) for address, noted in inputs.items()}
            self.cache.put(key, {"findings": findings.model_dump(mode="json"), "inputs": listed})
        return findings, inputs

    def numbers_told(self, name: str) -> tuple[NumberTold, ...] | Failure:
        """The tied numbers of a build's story beside what the records said on their days; none of a build without findings."""
        outcome = self.outcome(name)
        if not isinstance(outcome, BuildFindings):
            return ()
        if name not in self._told:
            build, key = self.build(name), self.key(name, "numbers told")
            try:
                self._told[name] = TOLD.validate_python(self.cache.get(key))
            except ValueError:
                told = attempt(
                    f"the numbers told in {build.id}", _head_of(build), numbers_told, build, self.knowledge, outcome
                )
                self._told[name] = told
                if not isinstance(told, Failure):
                    self.cache.put(key, TOLD.dump_python(told, mode="json"))
        return self._told[name]

    def work_out_all(self) -> None:
        """Read and work out all builds with the numbers that they tell, on all cores. Each then is as if it had been asked for."""
        names = [name for name in self.build_names() if name not in self._told]
        if len(names) < 2:
            return
        stores = (self._builds, self._digests, self._outcomes, self._inputs, self._told)
        _ = self.knowledge, self.key(names[0], "")  # what all need, once

        def share(names: Sequence[str]) -> list[dict[str, Any]]:
            for name in names:
                self.outcome_with_inputs(name)
                self.numbers_told(name)
            return [{name: store[name] for name in names if name in store} for store in stores]

        for worked_out in spread(share, names):
            for store, given in zip(stores, worked_out, strict=True):
                store.update(given)

    def findings(self, name: str) -> BuildFindings:
        """All findings of a build. Raises gudgeon.NoBuild, or gudgeon.NotWorkedOut with what is wrong."""
        outcome = self.outcome(name)
        if outcome is None:
            raise NotWorkedOut(self.build(name).problems)
        if isinstance(outcome, Failure):
            raise NotWorkedOut([outcome.problem()])
        return outcome

    def checks(self) -> ClubFindings:
        """What is computed for the club as a whole."""
        outcomes = {self.build(name).id: self.outcome(name) for name in self.build_names()}
        findings = {name: outcome for name, outcome in outcomes.items() if isinstance(outcome, BuildFindings)}
        return check_knowledge(self.club(), findings)

    def problems(self) -> list[Problem]:
        """Everything that is wrong with the records, in file order, and every build that could not be worked out."""
        outcomes = [self.outcome(name) for name in self.build_names()]
        failed = [outcome.problem() for outcome in outcomes if isinstance(outcome, Failure)]
        of_pictures = [problem for name in self.build_names() for problem in self.picture_problems(name)]
        return sorted(self.club().problems + failed + of_pictures)

    def picture_problems(self, name: str) -> list[Problem]:
        """What is to be put right with the pictures of a build, which does not keep it from being worked out."""
        from gudgeon.pictures.checks import (
            picture_problems,
        )  # its libraries are heavy, and most commands look at no picture

        return picture_problems(self.build(name))

    @functools.cached_property
    def repository(self) -> Repository:
        """The git repository that the project lies in. Raises gudgeon.GitLacks."""
        return Repository(self.root)

    @contextmanager
    def at(self, revision: str, builds: list[str] | None = None) -> Iterator["Project"]:
        """The project as it stood in a revision, for as long as the context lasts; no work tree is touched.

        builds: names of those that are needed; None for all. Raises gudgeon.GitLacks.
        """
        repository = self.repository
        commit = repository.commit(revision)
        names = sorted(repository.names(commit, self.settings.builds)) if builds is None else builds
        with aside() as root:
            repository.extract(commit, [*self.shelves, *(self.path_of(name) for name in names)], root)
            yield self.standing_in(root, f"revision {commit[:9]}")

    def standing_in(self, root: Path, name: str, knowledge: Knowledge | None = None) -> "Project":
        """The project with the same settings in another folder. knowledge: where it is the same, it is not read again."""
        settings = self.settings
        other = Project(replace(settings, root=root), name, self.package)
        if knowledge is not None:
            other.knowledge = knowledge
            if knowledge is self.__dict__.get("knowledge"):
                other._knowledge_digest = self._knowledge_digest
        return other


def work_out(build: Build, knowledge: Knowledge) -> BuildFindings | Failure:
    """The findings of a build whose records are without problems, or the Failure that working them out ended in."""
    return attempt(f"working out {build.id}", _head_of(build), assess, build, knowledge)


class WorksOutBothSides:
    """Works out a build under two knowledges of which only some rules differ: what these do not reach is worked out once."""

    def __init__(self, rules: Iterable[str]):
        self._changed = frozenset(("rule", name) for name in rules)
        self._steps: Steps | None = None

    def __call__(self, build: Build, knowledge: Knowledge) -> BuildFindings | Failure:
        """As `work_out`; the build is the same each time."""
        what, head = f"working out {build.id}", _head_of(build)
        if self._steps is not None:
            return attempt(what, head, assess, build, knowledge, Earlier(self._steps, self._changed))
        outcome = attempt(what, head, assess_with_steps, build, knowledge)
        if isinstance(outcome, Failure):
            return outcome
        findings, self._steps = outcome
        return findings


def _kept(entry: Any) -> tuple[BuildFindings, dict[str, frozenset[Input]]] | None:
    """Findings as they were kept, held to their model; None where they do not fit it."""
    try:
        findings = BuildFindings.model_validate(entry["findings"])
        noted = TypeAdapter(dict[str, frozenset[tuple[str, str]]]).validate_python(entry["inputs"])
    except (TypeError, KeyError, ValueError):
        return None
    return findings, noted


def _head_of(build: Build) -> Where:
    return Where(f"{build.path}/build.yaml")
