"""Which cautions belong on a page: where the danger is, and nowhere else."""

import re

from gudgeon.records.folder import Build
from gudgeon.records.knowledge import Caution
from gudgeon.records.shelf import Knowledge


def for_part(shelf: Knowledge, build: Build, part: str) -> list[Caution]:
    """By the part's family and the words of its operations."""
    words = [op.does for op in build.operations.values() if op.part == part]
    return [
        each for each in shelf.cautions.values() if build.parts[part].family in each.families or _speaks_of(each, words)
    ]


def for_fit(shelf: Knowledge, kind: str) -> list[Caution]:
    """By the kind of fit."""
    return [each for each in shelf.cautions.values() if kind in each.fit_kinds]


def for_jobs(shelf: Knowledge, build: Build, jobs: list[str]) -> list[Caution]:
    """By the words of the operations to be done next."""
    return [each for each in shelf.cautions.values() if _speaks_of(each, [build.operations[job].does for job in jobs])]


def _speaks_of(caution: Caution, texts: list[str]) -> bool:
    return any(
        re.search(rf"\b{re.escape(word)}", text, re.IGNORECASE) for word in caution.operation_words for text in texts
    )
