"""Which cautions belong on a page: where the danger is, and nowhere else."""

import re

from gudgeon.pages.view import View
from gudgeon.records.knowledge import Caution


def for_part(view: View, part: str) -> list[Caution]:
    """By the part's family, metal and operations, and by computed figures past their limit; those first."""
    record = view.build.parts[part]
    words = [op.does for op in view.build.operations.values() if op.part == part]
    own = view.build.materials.get(record.material)
    metal = (own.like if own else None) or record.material
    past = {danger.caution for danger in view.findings.dangers if danger.hit and danger.part == part}
    found = [
        each
        for each in view.shelf.cautions.values()
        if record.family in each.families or metal in each.materials or each.caution in past or _speaks_of(each, words)
    ]
    return sorted(found, key=lambda each: each.caution not in past)


def for_fit(view: View, kind: str) -> list[Caution]:
    """By the kind of fit."""
    return [each for each in view.shelf.cautions.values() if kind in each.fit_kinds]


def for_jobs(view: View, jobs: list[str]) -> list[Caution]:
    """By the words of the operations to be done next."""
    texts = [view.build.operations[job].does for job in jobs]
    return [each for each in view.shelf.cautions.values() if _speaks_of(each, texts)]


def _speaks_of(caution: Caution, texts: list[str]) -> bool:
    return any(
        re.search(rf"\b{re.escape(word)}", text, re.IGNORECASE) for word in caution.operation_words for text in texts
    )
