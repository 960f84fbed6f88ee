"""Which two revisions a review compares: the main branch's tip with what merging the work into it gives, where it has moved on."""

import re
from dataclasses import dataclass, field
from pathlib import Path

from gudgeon.project.git import MAIN, GitLacks, Repository
from gudgeon.project.merge import CannotTry, Conflict, Scratch
from gudgeon.records.problems import seen, shown

_ID = re.compile(r"[0-9a-f]{7,64}")


@dataclass(frozen=True)
class Revisions:
    """What is compared with what. base, head: commits; a head of None is the work tree as it is.

    parted: where the work left the main branch, the work, and the main branch's tip, where that has moved on since; the work
    is None where it is the work tree as it is. conflicts: what git cannot merge by itself; notes: what could not be tried.
    repository: sees what was made for the comparison too.
    """

    repository: Repository
    base: str
    base_name: str
    head: str | None
    head_name: str
    parted: tuple[str, str | None, str] | None = None
    conflicts: tuple[Conflict, ...] = ()
    notes: list[str] = field(default_factory=list)


@dataclass(frozen=True)
class Parting:
    """Where some work left the main branch, that branch's tip, and its name."""

    base: str
    tip: str
    main: str


def what_is_compared(
    repository: Repository, base: str | None, main: str | None, head: str | None, folder: Path
) -> Revisions:
    """The revisions of a review. base: exactly this one; or the main branch, by name or as the usual ones are found.

    folder: for what a merge gives; it has to last as long as the comparison. Raises gudgeon.GitLacks.
    """
    head_commit = repository.commit(head) if head else None
    head_name = f"revision {head_commit[:9]}" if head_commit else "the work tree"
    if base:
        commit = repository.commit(base)
        return Revisions(repository, commit, f"{base} ({commit[:9]})", head_commit, head_name)
    parents = [head_commit] if head_commit else [repository.commit("HEAD"), *repository.merged_here()]
    parting = where_parted(repository, parents[0], main)
    left = f"where it left the main branch ({parting.base[:9]})"
    if any(repository.holds(parent, parting.tip) for parent in parents):
        # All of the main branch is in the work already, which is therefore what the merge gives.
        name = left if parting.base == parting.tip else f"{parting.main} ({parting.tip[:9]})"
        return Revisions(repository, parting.tip, name, head_commit, head_name)
    parted = (parting.base, head_commit, parting.tip)
    try:
        scratch = Scratch(repository, folder / "merge")
        work = head_commit or scratch.work_tree(parents)
        merge = scratch.merge(parting.tip, work)
    except (CannotTry, GitLacks) as why:
        note = (
            f"only the work itself was looked at, not what merging it into {parting.main} ({parting.tip[:9]}), which has moved "
            f"on since, would give: {why}"
        )
        return Revisions(repository, parting.base, left, head_commit, head_name, parted, notes=[note])
    return Revisions(
        scratch.clone,
        parting.tip,
        f"{parting.main} ({parting.tip[:9]})",
        merge.commit,
        f"what merging {head_name} gives",
        (parting.base, work, parting.tip),
        merge.conflicts,
    )


def where_parted(repository: Repository, head: str, main: str | None) -> Parting:
    """Where some work left the main branch; of several that may be meant the nearest, and of those as near the one further on.

    main: the main branch by name; without it the usual ones are looked for. Raises gudgeon.GitLacks.
    """
    mains = [main] if main else repository.mains()
    if not mains:
        raise GitLacks(
            f"no main branch is known here (looked for {', '.join(_short(branch) for branch in MAIN)}). "
            f"Name what to compare with: --base REVISION.{repository.shallow_words()}"
        )
    nearest: tuple[int, Parting] | None = None
    for branch in mains:
        tip = repository.commit(branch)
        base = repository.shared(tip, head)
        if base is None:
            continue
        parting = Parting(base, tip, _named(branch) if main else _short(branch))
        far = repository.count(base, head)
        if nearest is None or far < nearest[0] or (far == nearest[0] and repository.holds(tip, nearest[1].tip)):
            nearest = (far, parting)
    if nearest is None:
        raise GitLacks(
            f"the work here and {main or _short(mains[0])} share no commit that git has. "
            f"Name what to compare with: --base REVISION.{repository.shallow_words()}"
        )
    return nearest[1]


def _short(branch: str) -> str:
    """A branch as people call it."""
    return branch.removeprefix("refs/remotes/").removeprefix("refs/heads/")


def _named(main: str) -> str:
    """The main branch as it was given; by a number or HEAD, as a forge gives it, it has no name."""
    return "the main branch" if main == "HEAD" or _ID.fullmatch(main) else shown(seen(_short(main)), 80)
