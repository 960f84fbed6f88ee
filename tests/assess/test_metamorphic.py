"""What must not matter does not: each build once as it is and once told in another way, compared value by value."""

import random
import re
import shutil
from collections.abc import Callable
from dataclasses import dataclass
from fractions import Fraction
from pathlib import Path

import pytest
from conftest import ROOT
from gudgeon.assess.build import assess
from gudgeon.assess.findings import BuildFindings
from gudgeon.records.load_build import load_build
from gudgeon.records.model import Build, Knowledge
from small_build import FILES, shelf, write
from told_again import (
    in_another_unit,
    moved,
    moves_by_names,
    moves_on_a_warmer_day,
    of_digits,
    scale_of,
    with_error_of_scale,
)

DEMONSTRATIONS = [pytest.param(name, marks=pytest.mark.slow) for name in ("harrow-pond", "sundlia")]
BUILDS = [*DEMONSTRATIONS, "small-1", "small-2"]


@dataclass
class Told:
    """A build in a folder of its own, to be told in another way."""

    folder: Path
    knowledge: Knowledge

    def build(self) -> Build:
        build = load_build(self.folder, f"builds/{self.folder.name}", self.knowledge)
        assert build.problems == []
        return build

    def findings(self) -> BuildFindings:
        return assess(self.build(), self.knowledge)

    def rewrite(self, change: Callable[[str], str], files: str = "**/*.yaml") -> int:
        """How many files came out otherwise."""
        changed = 0
        for path in sorted(self.folder.glob(files)):
            text = path.read_text(encoding="utf-8")
            path.write_text(change(text), encoding="utf-8")
            changed += path.read_text(encoding="utf-8") != text
        return changed


@pytest.fixture
def told(request, tmp_path):
    name, folder = request.param, tmp_path / request.param
    if name.startswith("small"):
        _small(folder, random.Random(name))
    else:
        shutil.copytree(ROOT / "builds" / name, folder)
    return Told(folder, shelf())


over_all = pytest.mark.parametrize("told", BUILDS, indirect=True)


def _small(folder: Path, dice: random.Random) -> None:
    """A bore and a skirt read at drawn places with drawn sizes, all rows of a file on one evening and none of one place."""
    files = {}
    for key, row, middle in (
        ("readings/2025-02-02-bore.yaml", "b", 50.012),
        ("readings/2025-02-04-skirt.yaml", "s", 49.945),
    ):
        places = [(station, angle) for station in (10, 40.5, 80, 110) for angle in (0, 45, 90, 135)]
        rows = [
            f"  - {{id: {row}{number}, station: {station} mm, angle: {angle} deg, reads: {dice.gauss(middle, 0.002):.3f} mm}}"
            for number, (station, angle) in enumerate(dice.sample(places, dice.randint(6, 12)))
        ]
        files[key.removesuffix(".yaml").replace("/", "__").replace("-", "_")] = (
            FILES[key].partition("rows:")[0].replace("20 °C", f"{dice.randint(14, 25)} °C")
            + "rows:\n"
            + "\n".join(rows)
            + "\n"
        )
    write(folder, **files)


@over_all
def test_the_unit_that_lengths_are_written_in(told):
    """In inches what was in millimetres, or the other way about. What was held back as a slip of the pen stays as written."""
    was = told.findings()
    unit, other, factor = ("in", "mm", Fraction(254, 10)) if was.units == "in" else ("mm", "in", Fraction(10, 254))
    slips = [rf"id: {row.id}," for row in was.rows.values() if row.status == "held back"]

    def change(text: str) -> str:
        lines = text.splitlines(keepends=True)
        return "".join(
            line if any(slip in line for slip in slips) else in_another_unit(line, unit, other, factor)
            for line in lines
        )

    assert told.rewrite(change) >= 5
    assert [move for move in moved(was, told.findings()) if not of_digits(move)] == []


@over_all
def test_the_order_of_rows_in_a_file(told):
    """Rows of one day stand in the order in which they were read; where no two of a day are of one place, that of a feature's
    rows tells nothing. (Which of two halves was read last says which of them moved a fit: features keep their places.)
    """
    was, dice = told.findings(), random.Random(told.folder.name)
    times, places, days = set(), {}, {}
    for row in told.build().rows:
        place = (row.of, row.date, None if row.station is None else row.station.value, row.angle and row.angle.value)
        places.setdefault(place, []).append(row.where().file)
        days.setdefault(row.where().file, []).append(row.id)
        times |= {row.where().file} if row.time else set()
    fixed = times | {file for files in places.values() if len(files) > 1 for file in files}

    def change(text: str) -> str:
        head, *rows = re.split(r"(?m)^(?=  - )", text)
        of = [re.findall(r"\bof: ([\w.]+)", row)[:1] for row in rows]
        drawn = dice.sample(rows, len(rows))
        return head + "".join(drawn.pop(_first_of(feature, drawn)) for feature in of)

    free = [file.rpartition("/")[2] for file in days if file not in fixed]
    assert sum(told.rewrite(change, f"readings/{name}") for name in free) >= 2
    assert moved(was, told.findings()) == []


def _first_of(feature: list[str], rows: list[str]) -> int:
    return next(number for number, row in enumerate(rows) if re.findall(r"\bof: ([\w.]+)", row)[:1] == feature)


@over_all
def test_what_things_are_called(told):
    """Under other names, in another order of the alphabet."""
    build = told.build()
    assert moves_by_names(build, told.knowledge, assess(build, told.knowledge)) == []


@over_all
def test_a_part_that_nothing_touches(told):
    was = told.findings()
    material = next(iter(told.build().parts.values())).material
    part = f"part: spare\nname: Spare\nfamily: piston\nmaterial: {material}\nstate: raw\nfeatures:\n  od: {{name: Outside, kind: od}}\n"
    (told.folder / "parts" / "spare.yaml").write_text(part, encoding="utf-8")
    moves = moved(was, told.findings())
    assert [move for move in moves if "spare" not in "".join(move.address)] == []
    assert any(move.new for move in moves), "it is there"


@over_all
def test_a_common_error_of_a_scale(told):
    """Every row of one scale reads 7 µm more: sizes read with it move, clearances between two of them stand."""
    build = told.build()
    was = assess(build, told.knowledge)

    scales = {fit.shared_scale for fit in was.fits.values() if fit.shared_scale}
    assert scales
    for scale in scales:
        now = assess(with_error_of_scale(build, scale), told.knowledge)
        by = {ref: {scale_of(build, row.gauge) for row in build.rows if row.of == ref} for ref in build.features}
        stand = [
            name
            for name, fit in was.fits.items()
            if fit.shared_scale and fit.clearance is not None and by[fit.hole] == by[fit.shaft] == {scale}
        ]
        for name in stand:
            for value in ("clearance", "expanded", "tightest", "loosest"):
                assert getattr(now.fits[name], value) == pytest.approx(getattr(was.fits[name], value), abs=2e-6), name
            assert now.features[was.fits[name].hole].size - was.features[was.fits[name].hole].size == pytest.approx(
                0.007, abs=1e-5
            )


@over_all
def test_a_warmer_day(told):
    """Where instruments and parts are of one metal, a reading does not depend on how warm both were, only on how far apart."""
    assert moves_on_a_warmer_day(told.build(), told.knowledge) == []
