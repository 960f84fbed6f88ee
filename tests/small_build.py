"""A small sound build in a temporary folder, for tests to bend. Invented; millimetres."""

import functools
from collections.abc import Iterable
from pathlib import Path

import gudgeon
import pytest
from gudgeon.assess.build import assess
from gudgeon.assess.findings import BuildFindings, Note
from gudgeon.assess.knowledge_checks import check_knowledge
from gudgeon.notes import in_words
from gudgeon.pages.site import render
from gudgeon.records.load_build import load_build
from gudgeon.records.model import Build, Knowledge
from gudgeon.wording import UnitFormatter

ROOT = Path(__file__).parent.parent

FILES = {
    "build.yaml": """\
name: Small engine
units: mm
stage: finishing
engine: {layout: horizontal, bore: 50.00 mm, stroke: 60 mm, speed: 500 rpm}
club: {name: Test club, invented: true}
people: {ada: {name: Ada}}
cases:
  hot: {hole: 100 °C, shaft: 150 °C}
""",
    "instruments.yaml": """\
instruments:
  mic: {name: outside mic 25-75 mm, range: [25 mm, 75 mm], resolution: 0.001 mm, scale: 0.004 mm, use: 0.003 mm, cte: 11.5e-6 /K, checked: 2025-01-01, due: 2026-01-01}
  gauge: {name: bore gauge set in mic, resolution: 0.001 mm, scale_from: mic, use: 0.004 mm, cte: 11.5e-6 /K, checked: each session, due: each session}
""",
    "materials.yaml": "materials:\n  ci: {name: grey iron, cte: 11.0e-6 /K, valid: [20 °C, 200 °C]}\n",
    "parts/cyl.yaml": """\
part: cyl
name: Cylinder
family: cylinder
material: ci
state: finished
features:
  bore: {name: Bore, kind: bore, nominal: 50.00 mm, limits: [50.000 mm, 50.040 mm], metal_side: internal, mates: [piston.skirt], extent: [0 mm, 120 mm]}
""",
    "parts/piston.yaml": """\
part: piston
name: Piston
family: piston
material: ci
state: in work
features:
  skirt: {name: Skirt, kind: od, nominal: 49.94 mm, metal_side: external, mates: [cyl.bore]}
""",
    "fits.yaml": """\
fits:
  F1: {name: Skirt in bore, kind: skirt, hole: cyl.bore, shaft: piston.skirt, want: [0.050 mm, 0.080 mm], because: test, hot: [hot]}
""",
    "operations.yaml": """\
operations:
  BORE: {part: cyl, does: finish bore, changes: [cyl.bore], done: 2025-02-01, estimate: [30 min, 60 min, 90 min]}
  TURN: {part: piston, does: turn skirt, needs: [BORE], changes: [piston.skirt], done: 2025-02-03, estimate: [30 min, 60 min, 90 min]}
""",
    "readings/2025-02-02-bore.yaml": """\
every_row: {date: 2025-02-02, by: ada, of: cyl.bore, gauge: gauge, part_temp: 20 °C, gauge_temp: 20 °C, after: BORE}
rows:
  - {id: b1, station: 10 mm, angle: 0 deg, reads: 50.010 50.010 mm}
  - {id: b2, station: 60 mm, angle: 0 deg, reads: 50.012 50.012 mm}
""",
    "readings/2025-02-04-skirt.yaml": """\
every_row: {date: 2025-02-04, by: ada, of: piston.skirt, gauge: mic, part_temp: 20 °C, gauge_temp: 20 °C, after: TURN}
rows:
  - {id: s1, station: 20 mm, reads: 49.945 mm}
""",
}


def write(folder: Path, **changes: str | None) -> Path:
    """Write the small build. changes: file with / as __ and without its ending -> new text, or None to leave it out."""
    files = dict(FILES)
    for key, text in changes.items():
        name = next(
            (each for each in files if each.rpartition(".")[0].replace("/", "__").replace("-", "_") == key),
            key.replace("__", "/") + ".yaml",
        )
        files[name] = text
    for name, text in files.items():
        if text is not None:
            path = folder / name
            path.parent.mkdir(parents=True, exist_ok=True)
            path.write_text(text, encoding="utf-8")
    return folder


@functools.cache
def shelf() -> Knowledge:
    """The club's shelf as it is: read once, because reading its files takes longer than most tests. No test may change it."""
    return gudgeon.open(ROOT).knowledge


def load(folder: Path, **changes) -> Build:
    """Write and load; the build's problems are for the test to look at."""
    (folder / "small").mkdir()
    return load_build(write(folder / "small", **changes), "builds/small", shelf())


def findings(folder: Path, **changes) -> BuildFindings:
    """Write, load without problems, and assess."""
    build = load(folder, **changes)
    assert build.problems == [], build.problems
    return assess(build, shelf())


def said(note: Note, units: str = "mm") -> str:
    """A note as its reader sees it."""
    return in_words(note, UnitFormatter(units))


def all_said(notes: Iterable[Note], units: str = "mm") -> list[str]:
    """Notes as their reader sees them."""
    return [said(note, units) for note in notes]


def seeds(number: int) -> list:
    """Seeds for a test that draws at random; the first few are enough for every edit, the others are slow."""
    return [seed if seed < 6 else pytest.param(seed, marks=pytest.mark.slow) for seed in range(number)]


def bent(name: str, old: str, new: str) -> str:
    """The text of a file of the small build with one thing changed."""
    assert old in FILES[name], f"{old} is not in {name}"
    return FILES[name].replace(old, new)


def rendered(club, findings):
    """Pages and files of a club, with what is computed for the club as a whole."""
    made = render(club, findings, check_knowledge(club, findings))
    assert made.failures == []
    return made.pages, made.assets
