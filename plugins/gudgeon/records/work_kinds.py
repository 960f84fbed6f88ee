"""What kinds of work an operation is, by the words of `does` and `kind`: its shop sheet holds what such work needs."""

import re

from gudgeon.records.operations import Operation

# Kind -> words that tell it, each at the beginning of a word.
KIND_WORDS = {
    "turning": ("turn", "skim", "rough", "semi-finish", "finish", "face", "groove", "re-true"),
    "boring": ("bore", "boring", "ream", "hone", "drill"),
    "lapping": ("lap", "grind", "polish", "cut seat"),
    "key": ("key", "keyway", "keyseat"),
    "measuring": ("measure", "re-measure", "remeasure", "map", "survey", "sizes", "check"),
    "timing": ("time", "timing", "dead cent", "ignition", "magneto", "mesh and mark"),
    "assembly": ("assembl", "trial", "erect", "press", "shrink", "tighten", "torque", "gap ring"),
    "running": ("start", "first start", "running", "run in", "run-in", "retorque", "brake test"),
    "casting": ("cast", "pour", "mould", "mold", "pattern", "ram up"),
    "making": (
        "make",
        "made",
        "file",
        "forge",
        "weld",
        "set up",
        "cut",
        "fit",
        "fabricate",
        "harden",
        "stress relieve",
    ),
    "testing": ("test", "leak", "crack test", "fill-test"),
}
_PATTERNS = {
    kind: re.compile("|".join(rf"\b{re.escape(word)}" for word in words), re.IGNORECASE)
    for kind, words in KIND_WORDS.items()
}


# What changes sizes by heat alone, and takes nothing off.
_HEAT = re.compile(r"\b(?:stress[- ]reliev|harden|anneal|normali[sz]e|temper|soak|age\b)", re.IGNORECASE)


def by_heat_alone(operation: Operation) -> bool:
    """Whether an operation's words tell that it moves sizes by heat and cuts nothing; what says how it is cut does cut."""
    if operation.cutting or operation.cutting_of or operation.leaves:
        return False
    return _HEAT.search(operation.does) is not None and set(kinds_of_work(operation)) <= {"making"}


def kinds_of_work(operation: Operation) -> tuple[str, ...]:
    """The kinds whose words it has, in the order of the table; none where its words tell none."""
    text = f"{operation.kind or ''} {operation.does}"
    return tuple(kind for kind, pattern in _PATTERNS.items() if pattern.search(text))
