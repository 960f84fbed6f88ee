"""Targets that bend a build of one fit: the checks of its records alone, and the whole without pages with what must not matter."""

import copy
import json
import random
import re
from collections.abc import Iterator
from fractions import Fraction

from fuzz.fields import leaves
from fuzz.meaning import Bench, Case, Sound, no_constant, of_absurd, of_ledger, of_place, of_problems
from fuzz.mutations import Edit, apply
from fuzz.tiny_builds import TINY
from fuzz.whole_builds import Files
from gudgeon.assess.build import assess
from gudgeon.assess.findings import BuildFindings
from gudgeon.export.package import files as data_files
from gudgeon.ledger.difference import differences
from gudgeon.ledger.values import ledger_of, ledgers_where_unequal
from gudgeon.records.edits import edits_of_build, problems_of
from gudgeon.records.model import Build
from small_build import shelf
from told_again import (
    in_another_unit,
    moves_by_names,
    moves_of,
    moves_on_a_warmer_day,
    of_digits,
    scale_of,
    with_error_of_scale,
)

SPARE = {"name": "Spare", "family": "piston", "state": "raw", "features": {"od": {"name": "Outside", "kind": "od"}}}


class Records(Bench):
    """Loads a bent build with all checks and nothing more: an absurd figure is told at its line, and nothing falls."""

    def base(self, dice: random.Random) -> tuple[str, tuple[str, ...]]:
        return dice.choice(("small", "at-work", dice.choice(list(TINY)))), ()

    def _faults(self, case: Case, sound: Sound, files: Files) -> Iterator[str]:
        build = self.folders[case.name].load(files)
        yield from of_problems(build)
        for problem in build.problems:
            name = problem.where.file.removeprefix("builds/fuzz/")
            if name not in files and name not in ("builds/fuzz", *(file.partition("/")[0] for file in files)):
                yield f"told in a file that is not there: {problem.text[:80]}"
        if build.problems:
            self.counts["refused"] += 1
            if len(case.edits) == 1 and case.edits[0].absurd:
                yield from of_place(build, files, case.edits[0])
            return
        self.counts["sound"] += 1
        yield from of_absurd(case, files)
        if not edits_of_build(sound.build, build) and _records_differ(sound.files, files):
            yield f"an edit that is not told: {_where(case.edits)}"


class Tiny(Records):
    """Works a bent build out: its ledger, what differs from the sound one, its data and its review, and once told in another way."""

    def _faults(self, case: Case, sound: Sound, files: Files) -> Iterator[str]:
        yield from super()._faults(case, sound, files)
        build = self.folders[case.name].load(files)
        if build.problems:
            return
        dice = random.Random(repr(case.edits))
        findings = assess(build, shelf())
        was, now = ledgers_where_unequal(sound.findings, findings)
        yield from of_ledger(now)
        # In which order rows of a day were read says which of two halves moved a fit.
        moved = [address for address in differences(was, now) if "moves" not in address]
        if moved and not edits_of_build(sound.build, build):
            yield f"moved without an edit: {_where(case.edits)}"
        if dice.random() < 0.1:
            self.counts["with data"] += 1
            for name, content in data_files(build, findings).items():
                if name.endswith(".json"):
                    json.loads(content, parse_constant=no_constant)
        if dice.random() < 0.1:
            self.counts["reviewed"] += 1
            yield from self._of_review(sound, build, findings, ledger_of(findings))
        if dice.random() < 0.2:
            self.counts["without a reading"] += 1
            yield from self._of_removed_reading(build, findings)
        if dice.random() < 0.5:
            self.counts["told again"] += 1
            yield from dice.choice(TOLD_AGAIN)(self, case.name, files, build, findings)

    def moves(self, base: str, findings: BuildFindings, files: Files, way: str, but: str = "") -> Iterator[str]:
        """What moves where the build is told in a way; but: in what an address may have."""
        build = self.folders[base].load(files)
        if build.problems:
            yield f"{way}: refused: {build.problems[0].text[:120]}"
            return
        was, now = ledgers_where_unequal(findings, assess(build, shelf()))
        for move in moves_of(was, now):
            rounded = move.by is not None and abs(move.by) <= 1e-6 * max(abs(move.was), abs(move.now))
            if not of_digits(move) and not rounded and not (but and but in "".join(move.address)):
                yield f"{way}: moves {move.address[0]}.{'.'.join(move.address[2:])}"
                return


def _in_other_units(bench: Tiny, base: str, files: Files, build: Build, findings: BuildFindings) -> Iterator[str]:
    """Lengths in inches that were in millimetres. What is held back as a slip of the pen stays as written."""
    lengths = [leaf for leaf in leaves(files) if leaf.kind in ("length", "readings") and isinstance(leaf.value, str)]
    at_its_bound = any(re.fullmatch(r"\D*10000(\.0*)? mm", leaf.value) for leaf in lengths)  # rounded it lies beyond
    if at_its_bound or any(row.status == "held back" for row in findings.rows.values()):
        return
    told = apply(
        files,
        [
            Edit(leaf.file, leaf.path, in_another_unit(leaf.value, "mm", "in", Fraction(10, 254)))
            for leaf in leaves(files)
            if leaf.kind in ("length", "readings") and isinstance(leaf.value, str)
        ],
    )
    yield from bench.moves(base, findings, told, "in inches", but="mistake")  # how finely it was read, the digits say


def _in_another_order(bench: Tiny, base: str, files: Files, build: Build, findings: BuildFindings) -> Iterator[str]:
    """Files of readings under other names, and rows in another order where no two are of one place and day."""
    names = [name for name in files if name.startswith("readings/")]
    told = {name: data for name, data in files.items() if name not in names}
    places = [
        (row.of, row.date, row.station and row.station.value, row.angle and row.angle.value) for row in build.rows
    ]
    free = len(set(places)) == len(places) and not any(row.time for row in build.rows)
    for number, name in enumerate(reversed(names)):
        data = files[name]
        of = {row.get("of") for row in data["rows"]}
        if free and len(of) == 1:
            data = {**data, "rows": data["rows"][::-1]}
        told[f"readings/2000-01-01-{number}.yaml"] = data
    yield from bench.moves(base, findings, told, "in another order")


def _beside_another_part(bench: Tiny, base: str, files: Files, build: Build, findings: BuildFindings) -> Iterator[str]:
    if "parts/spare.yaml" in files or not any(part.family == SPARE["family"] for part in build.parts.values()):
        return  # the first piston of a build is not one more: the sums of pistons come with it
    material = next(iter(build.parts.values())).material if build.parts else "ci"
    told = {**files, "parts/spare.yaml": {"part": "spare", **copy.deepcopy(SPARE), "material": material}}
    yield from bench.moves(base, findings, told, "beside another part", but="spare")


def _renamed(bench: Tiny, base: str, files: Files, build: Build, findings: BuildFindings) -> Iterator[str]:
    for move in moves_by_names(build, shelf(), findings)[:1]:
        yield f"under other names: moves {move.address[0]}.{'.'.join(move.address[2:])}"


def _warmer(bench: Tiny, base: str, files: Files, build: Build, findings: BuildFindings) -> Iterator[str]:
    for move in moves_on_a_warmer_day(build, shelf())[:1]:
        yield f"on a warmer day: moves {move.address[0]}.{'.'.join(move.address[2:])}"


def _of_another_scale(bench: Tiny, base: str, files: Files, build: Build, findings: BuildFindings) -> Iterator[str]:
    """A clearance between two sizes that one scale read stands, where the scale is off."""
    for fit_id, fit in findings.fits.items():
        if not fit.shared_scale or fit.clearance is None or fit.hole is None or fit.shaft is None:
            continue
        by = {scale_of(build, row.gauge) for row in build.rows if row.of in (fit.hole, fit.shaft)}
        if by != {fit.shared_scale}:
            continue
        off = with_error_of_scale(build, fit.shared_scale)
        if problems_of(off, shelf()):
            return
        now = assess(off, shelf())
        if {name: row.status for name, row in now.rows.items()} != {
            name: row.status for name, row in findings.rows.items()
        }:
            return
        other = now.fits[fit_id].clearance
        # What 7 µm expand by between the temperatures of the two is left out.
        if other is None or abs(other - fit.clearance) > 7e-3 * 300e-6 * 100:
            yield "with an error of the scale: moves a clearance"


TOLD_AGAIN = (
    _in_other_units,
    _in_another_order,
    _beside_another_part,
    _renamed,
    _warmer,
    _of_another_scale,
)


def _records_differ(was: Files, now: Files) -> bool:
    """Whether two builds differ in more than the order of their lists and what a row says that every row says."""
    return _canonical(was) != _canonical(now)


def _canonical(files: Files) -> str:
    def plain(data, path=()):
        if isinstance(data, dict):
            return {key: plain(inner, (*path, key)) for key, inner in sorted(data.items()) if inner is not None}
        if isinstance(data, list):
            entries = [plain(inner, path) for inner in data]
            return sorted(entries, key=json.dumps) if path in (("rows",), ("cuts",), ("reviews",)) else entries
        return data

    spread = {}
    for name, data in files.items():
        if name.startswith("readings/") and isinstance(data, dict):
            every = data.get("every_row") or {}
            data = {"rows": [{**every, **row} for row in data.get("rows") or ()]}
        spread[name] = plain(data)
    return json.dumps(spread, sort_keys=True)


def _where(edits: tuple[Edit, ...]) -> str:
    return ", ".join(
        f"{edit.file.partition('/')[0]} {'.'.join(str(step) for step in edit.path if not isinstance(step, int))}"
        for edit in edits[:2]
    )
