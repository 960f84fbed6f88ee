"""How a part stands: as the worst of its features and of the fits that they are in. All pages read it here."""

from collections.abc import Mapping

from gudgeon.assess.findings import BuildFindings
from gudgeon.records.model import Build

# A part with a size that nobody has measured is not known to be in, whatever its other sizes say.
WORST_FIRST = (
    "out",
    "reads out",
    "metal on",
    "stale",
    "no reading",
    "conceded",
    "reads in",
    "no limit",
    "frozen",
    "in",
)


def worst_first(counts: Mapping[str, int]) -> list[tuple[str, int]]:
    """How many stand so, the worst state first."""
    return sorted(counts.items(), key=lambda counted: WORST_FIRST.index(counted[0]))


def part_states(build: Build, findings: BuildFindings) -> Mapping[str, str]:
    """The state of each part of a build."""
    standing: dict[str, list[str]] = {part: [] for part in build.parts}
    for ref, feature in findings.features.items():
        standing[ref.partition(".")[0]].append(feature.state)
    for fit in findings.fits.values():
        for part in {ref.partition(".")[0] for ref in (fit.hole, fit.shaft) if ref}:
            if part in standing:
                standing[part].append(fit.state)
    return {part: min(states, key=WORST_FIRST.index, default="no reading") for part, states in standing.items()}
