"""Builds of one fit that are read in a few milliseconds: the small one, one with work and figures around it, and one for each kind of fit."""

import re

from fits_of_every_kind import READS, WAYS, records
from small_build import FILES

FIGURES = """\
figures:
  peak_pressure: {is: 20 bar, least: 15 bar, most: 25 bar, from: a guess}
  indicated_pressure: {is: 4 bar, from: a guess}
  reciprocating_mass: {is: 1.2 kg, from: weighed}
  runaway_speed: {is: 900 rpm, from: a guess}
  brake_power: {is: 0.8 kW, from: a guess}
"""
MACHINES = """\
machines:
  lathe: {name: Lathe, speeds: [100 rpm, 200 rpm], feeds: [0.05 mm, 0.1 mm], dial_reads: radius, dial_division: 0.02 mm}
"""
CUTS = """\
cuts:
  - {id: c1, date: 2025-02-03, of: piston.skirt, machine: lathe, operation: TURN, asked: 0.20 mm, got: 0.19 mm, tool: t, feed: 0.1 mm}
  - {id: c2, date: 2025-02-03, of: piston.skirt, machine: lathe, operation: TURN, asked: 0.10 mm, got: 0.10 mm, tool: t, feed: 0.1 mm}
  - {id: c3, date: 2025-02-03, of: piston.skirt, machine: lathe, operation: TURN, asked: 0.06 mm, got: 0.05 mm, tool: t, feed: 0.05 mm}
"""
REVIEWS = """\
reviews:
  - {id: v1, date: 2025-02-05, who: ada, verdict: agreed, says: x, about: [F1]}
"""
LAST = """\
  LAST: {part: piston, does: finish skirt, needs: [TURN], changes: [piston.skirt], estimate: [30 min, 60 min, 90 min], wait_before: 1 day}
"""


def _at_work() -> dict[str, str]:
    """The small build with an operation to come, figures, a lathe, cuts and a verdict."""
    files = {**FILES, "figures.yaml": FIGURES, "machines.yaml": MACHINES, "cuts.yaml": CUTS, "reviews.yaml": REVIEWS}
    files["operations.yaml"] += LAST
    return files


def _of_kind(kind, pairing) -> dict[str, str]:
    """One fit of a kind, read."""
    texts = records({"T1": (kind, pairing)}, READS)
    files = {name: FILES[name] for name in ("build.yaml", "materials.yaml")}
    for key, text in texts.items():
        files[key.replace("__", "/") + ".yaml"] = re.sub(r"rule: R-[\w-]+, ", "", text)
    return files


TINY = {"small": FILES, "at-work": _at_work()}
TINY |= {f"{kind.id}-{pairing.id.replace(' ', '-')}": _of_kind(kind, pairing) for kind, pairing in WAYS}
