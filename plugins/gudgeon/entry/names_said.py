"""Parts, features and gauges as people call them, to the ids of the records."""

import re
from collections.abc import Iterable

from gudgeon.records.model import Build

LONGEST = 8  # words that a part's and a feature's name have together
FILLERS = frozenset(
    [
        "feature",
        "reads",
        "reading",
        "readings",
        "read",
        "is",
        "was",
        "dia",
        "diameter",
        "size",
        "with",
        "using",
        "gauge",
        "temp",
        "temps",
        "temperature",
        "temperatures",
        "then",
    ]
)


def own_names(build: Build) -> frozenset[str]:
    """Every id that a word of a line may be, in small letters."""
    features = (ref.partition(".")[2] for ref in build.features)
    head = build.sound_head
    names = (build.parts, features, build.instruments, head.people, head.thermometers, build.operations)
    return frozenset(name.lower() for some in names for name in some)


def without_fillers(words: Iterable[str], names: frozenset[str]) -> list[str]:
    """The words without those that say nothing of their own."""
    return [word for word in words if word.lower() not in FILLERS or word.lower() in names]


def with_names(build: Build, words: list[str]) -> list[str]:
    """The words with a feature that stands in front by its name, "top land", as part.feature; else as they are."""
    called: dict[str, set[str]] = {}
    for ref, feature in build.features.items():
        part_id, _, feature_id = ref.partition(".")
        part = build.parts[part_id]
        for of_part in ("", part_id, part.name, part.also or ""):
            for of_feature in (feature_id, feature.name):
                called.setdefault(_plain(of_part + of_feature), set()).add(ref)
    for count in range(min(LONGEST, len(words)), 0, -1):
        refs = called.get(_plain("".join(words[:count])), set())
        if len(refs) == 1 and _plain(words[count - 1]):
            return [*refs, *words[count:]]
    return words


def with_gauges(build: Build, words: list[str]) -> list[str]:
    """The words with a gauge that is spelled, "om 45" or "o m 45", as its id; else as they are."""
    gauges = {name.lower(): name for name in build.instruments}
    at = 0
    out: list[str] = []
    while at < len(words):
        count = next(
            (n for n in (4, 3, 2) if "".join(words[at : at + n]).lower() in gauges and at + n <= len(words)), 1
        )
        out.append(gauges["".join(words[at : at + count]).lower()] if count > 1 else words[at])
        at += count
    return out


def _plain(text: str) -> str:
    return re.sub(r"[^a-z0-9]", "", text.lower())
