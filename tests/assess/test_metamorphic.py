"""What must not matter does not: each build once as it is and once told in another way, compared value by value."""

import random
import re
import shutil
from collections.abc import Callable
from dataclasses import dataclass, replace
from fractions import Fraction
from pathlib import Path

import pytest
from conftest import ROOT
from gudgeon.assess.build import assess
from gudgeon.assess.findings import BuildFindings
from gudgeon.ledger.difference import Move, differences
from gudgeon.ledger.values import Ledger, ledger_of
from gudgeon.records.load_build import load_build
from gudgeon.records.model import Build, Knowledge
from gudgeon.records.readings import Row
from gudgeon.records.renaming import with_new_names
from gudgeon_calc.units import Measure
from small_build import FILES, shelf, write

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


def moved(was: BuildFindings, now: BuildFindings) -> list[Move]:
    """What differs beyond rounding, words for people apart, and lists of names that are only in another order."""
    return moves_of(ledger_of(was), ledger_of(now))


def moves_of(was: Ledger, now: Ledger) -> list[Move]:
    """The same of two ledgers."""
    return [
        move
        for move in differences(was, now).values()
        if not move.is_text
        and not (isinstance(move.was, tuple) and isinstance(move.now, tuple) and sorted(move.was) == sorted(move.now))
    ]


# Decimals or fractions, one or several, before their unit; not a rate, an area or a volume.
LENGTHS = r"(?<![\w.,\-/])((?:[+\-−]?(?:\d+ )?\d+/\d+ |[+\-−]?\d+(?:\.\d+)? )+){unit}\b(?![/²³^])"


def in_another_unit(text: str, unit: str, other: str, factor: Fraction) -> str:
    """A file's text with every length in another unit, at full digits."""

    def one(length: re.Match[str]) -> str:
        whole = sum(Fraction(part) for part in length[0].replace("−", "-").split())
        return f"{float(whole * factor):.12f}"

    def all_of(lengths: re.Match[str]) -> str:
        return re.sub(r"[+\-−]?(?:\d+ )?\d+/\d+|[+\-−]?\d+(?:\.\d+)?", one, lengths[1]) + other

    return re.sub(LENGTHS.format(unit=unit), all_of, text)


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
    assert [move for move in moved(was, told.findings()) if not _of_digits(move)] == []


def _of_digits(move: Move) -> bool:
    """A cut is called by what was asked, as written; and how finely a want is meant, its digits say."""
    labels = [value for value in (move.was, move.now) if isinstance(value, str) and value.startswith("the cut of ")]
    return len(labels) == 2 or any(part.startswith("want-not-of-rule") for part in move.address)


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
    """Readings, instruments, operations, people, fits and parts under other names, in another order of the alphabet.

    Readings keep theirs: of two halves read on one day the later id says which of them moved the fit. A part that bears the
    name of its family keeps it: it is the one that sums of the family ask first.
    """
    build = told.build()
    stores = {
        "reading": [entry.id for entry in build.reading_entries],
        "instrument": build.instruments,
        "operation": build.operations,
        "person": build.head.people,
        "fit": build.fits,
        "part": [name for name, part in build.parts.items() if name != part.family],
    }
    former = {kind: {} for kind in build.former_names}
    for kind, names in stores.items():
        in_order = sorted(names, reverse=kind != "reading")
        former[kind] = {name: f"{kind}{number:03}x" for number, name in enumerate(in_order)}
    for ref in build.features:
        part, _, feature = ref.partition(".")
        former["feature"][ref] = f"{former['part'].get(part, part)}.{feature}"
    was, now = assess(build, told.knowledge), assess(with_new_names(build, former), told.knowledge)
    before = {new: old for kind in stores for old, new in former[kind].items()}

    def as_before(value):
        if isinstance(value, tuple):
            return tuple(as_before(entry) for entry in value)
        return re.sub(r"[a-z]+\d{3}x", lambda name: before[name[0]], value) if isinstance(value, str) else value

    ledger = {
        as_before(address): replace(value, address=as_before(address), value=as_before(value.value))
        for address, value in ledger_of(now).items()
    }
    assert moves_of(ledger_of(was), ledger) == []


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

    def root(gauge: str) -> str:
        set_in = build.instruments[gauge].scale_from
        return root(set_in) if set_in else gauge

    scales = {fit.shared_scale for fit in was.fits.values() if fit.shared_scale}
    assert scales
    for scale in scales:
        rows = [
            row.model_copy(update={"reads": tuple(_more(read) for read in row.reads)})
            if root(row.gauge) == scale
            else row
            for row in build.rows
        ]
        now = assess(replace(build, rows=rows), told.knowledge)
        by = {ref: {root(row.gauge) for row in build.rows if row.of == ref} for ref in build.features}
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


def _more(read: Measure) -> Measure:
    return replace(read, value=read.value + Fraction(7, 1000))


@over_all
def test_a_warmer_day(told):
    """Where instruments and parts are of one metal, a reading does not depend on how warm both were, only on how far apart."""
    build, alike = told.build(), {"cte": 11.5e-6, "cte_within": None}
    knowledge = replace(
        told.knowledge,
        materials={name: metal.model_copy(update=alike) for name, metal in told.knowledge.materials.items()},
    )
    build = replace(
        build,
        materials={name: metal.model_copy(update=alike) for name, metal in build.materials.items()},
        instruments={name: gauge.model_copy(update={"cte": 11.5e-6}) for name, gauge in build.instruments.items()},
    )
    warmer = replace(build, rows=[row.model_copy(update=_warmer(row)) for row in build.rows])
    of_sizes = [
        move
        for move in moved(assess(build, knowledge), assess(warmer, knowledge))
        if move.address[0] in ("feature", "fit", "reading", "cut made") and "soak" not in " ".join(move.address)
    ]
    assert of_sizes == []


def _warmer(row: Row) -> dict[str, Measure]:
    return {
        name: replace(temp, value=temp.value + 4)
        for name in ("part_temp", "gauge_temp")
        if (temp := getattr(row, name)) is not None
    }
