"""Which cautions apply: where the danger is, and nowhere else."""

import functools
import re

from gudgeon.assess.findings import ApplyingCautions, DangerFinding
from gudgeon.records.knowledge import Caution
from gudgeon.records.model import Build, Knowledge


def applying_cautions(build: Build, shelf: Knowledge, dangers: list[DangerFinding]) -> ApplyingCautions:
    """The cautions of every part, fit and operation of a build."""
    past = {
        part: tuple(
            name
            for name in shelf.cautions
            if any(d.state in ("past", "may be past") and (d.caution, d.part) == (name, part) for d in dangers)
        )
        for part in build.parts
    }
    parts = {part: _of_part(build, shelf, past[part], part) for part in build.parts}
    # What names no work holds for all work on a part; what names some stands on the sheets of that work alone.
    standing = {
        part: tuple(name for name in names if name in past[part] or not shelf.cautions[name].operation_words)
        for part, names in parts.items()
    }
    fits = {
        fit_id: tuple(name for name, caution in shelf.cautions.items() if fit.kind in caution.fit_kinds)
        for fit_id, fit in build.fits.items()
    }
    operations = {
        operation_id: tuple(name for name, caution in shelf.cautions.items() if _speaks_of(caution, operation.does))
        for operation_id, operation in build.operations.items()
    }
    watching = {danger.caution for danger in dangers if danger.state != "not worked out"}
    applying = watching.union(*parts.values(), *fits.values(), *operations.values())
    return ApplyingCautions(
        parts=parts,
        standing=standing,
        fits=fits,
        operations=operations,
        past_limit={part: names for part, names in past.items() if names},
        texts={
            name: (caution.hazard, caution.what, caution.why, caution.do)
            for name, caution in shelf.cautions.items()
            if name in applying
        },
    )


def _of_part(build: Build, shelf: Knowledge, past: tuple[str, ...], part_id: str) -> tuple[str, ...]:
    """By the part's family, metal and operations, and by computed figures past their limit; those first."""
    part = build.parts[part_id]
    does = [operation.does for operation in build.operations.values() if operation.part == part_id]
    metal = build.club_material(part.material)
    applying = [
        name
        for name, caution in shelf.cautions.items()
        if part.family in caution.families
        or metal in caution.materials
        or name in past
        or any(_speaks_of(caution, words) for words in does)
    ]
    return tuple(sorted(applying, key=lambda name: name not in past))


def _speaks_of(caution: Caution, does: str) -> bool:
    other, pattern = _pattern(caution.other_words), _pattern(caution.operation_words)
    return pattern is not None and pattern.search(other.sub("", does) if other else does) is not None


@functools.lru_cache(maxsize=1024)
def _pattern(words: tuple[str, ...]) -> re.Pattern[str] | None:
    """Any of some words, at the beginning of a word."""
    return re.compile("|".join(rf"\b{re.escape(word)}" for word in words), re.IGNORECASE) if words else None
