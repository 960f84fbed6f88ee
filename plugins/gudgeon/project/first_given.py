"""Which of two rows that share an id had it first, as the revisions of the repository tell."""

from collections.abc import Callable, Collection, Sequence

from gudgeon.project.git import GitLacks
from gudgeon.project.project import Project
from gudgeon.records.cuts import Cut, CutWithdrawal
from gudgeon.records.edits import differing
from gudgeon.records.model import Build
from gudgeon.records.readings import ReadingWithdrawal, Row

Entry = Row | ReadingWithdrawal | Cut | CutWithdrawal


def standing_first(
    build: Build,
    project: Project,
    twice: Collection[str],
    kept_in: str | None,
    entries_of: Callable[[Build], Sequence[Entry]],
) -> dict[str, Entry]:
    """Of each id that stands twice the entry that had it first: in a revision that is named, else in the main branch, else in what
    was committed before. entries_of: the entries of a build. Raises gudgeon.GitLacks where the revision that is named is not here."""
    if not twice:
        return {}
    revisions = [kept_in] if kept_in else []
    try:
        if not kept_in:
            revisions = [*project.repository.mains(), "HEAD", "HEAD^1"]
        first: dict[str, Entry] = {}
        for revision in revisions:
            if len(first) == len(twice):
                break
            try:
                commit = project.repository.commit(revision)
            except GitLacks:
                if kept_in:
                    raise
                continue
            with project.at(commit, [build.id]) as there:
                was = there.build(build.id) if build.id in there.build_names() else None
            for one_id in set(twice) - set(first):
                alone = [entry for entry in (entries_of(was) if was else ()) if entry.id == one_id]
                here = [entry for entry in entries_of(build) if entry.id == one_id]
                same = [entry for entry in here if len(alone) == 1 and not differing(alone[0], entry)]
                if same:
                    first[one_id] = same[0]
    except GitLacks:
        if kept_in:
            raise
        return {}
    return first
