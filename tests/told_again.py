"""A build told in another way: what must not matter to its findings."""

import re
from dataclasses import replace
from fractions import Fraction

from gudgeon.assess.build import assess
from gudgeon.assess.findings import BuildFindings
from gudgeon.ledger.difference import Move, differences
from gudgeon.ledger.values import Ledger, ledger_of
from gudgeon.records.model import Build, Knowledge
from gudgeon.records.readings import Row
from gudgeon.records.renaming import with_new_names
from gudgeon_calc.units import Measure


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
    """A text with every length in another unit, at full digits."""

    def one(length: re.Match[str]) -> str:
        whole = sum(Fraction(part) for part in length[0].replace("−", "-").split())
        return f"{float(whole * factor):.12f}"

    def all_of(lengths: re.Match[str]) -> str:
        return re.sub(r"[+\-−]?(?:\d+ )?\d+/\d+|[+\-−]?\d+(?:\.\d+)?", one, lengths[1]) + other

    return re.sub(LENGTHS.format(unit=unit), all_of, text)


def of_digits(move: Move) -> bool:
    """A cut is called by what was asked, as written; and how finely a want is meant, its digits say."""
    labels = [value for value in (move.was, move.now) if isinstance(value, str) and value.startswith("the cut of ")]
    return len(labels) == 2 or any(part.startswith("want-not-of-rule") for part in move.address)


def moves_by_names(build: Build, knowledge: Knowledge, was: BuildFindings) -> list[Move]:
    """What moves under other names of readings, instruments, operations, people, fits and parts, in another order of the alphabet.

    Readings keep theirs: of two halves read on one day the later id says which of them moved the fit. A part that bears the
    name of its family keeps it: it is the one that sums of the family ask first.
    """
    stores = {
        "reading": [entry.id for entry in build.reading_entries],
        "instrument": build.instruments,
        "operation": build.operations,
        "person": build.sound_head.people,
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
    now = assess(with_new_names(build, former), knowledge)
    before = {new: old for kind in stores for old, new in former[kind].items()}

    def as_before(value):
        if isinstance(value, tuple):
            return tuple(as_before(entry) for entry in value)
        return re.sub(r"[a-z]+\d{3}x", lambda name: before[name[0]], value) if isinstance(value, str) else value

    ledger = {
        as_before(address): replace(value, address=as_before(address), value=as_before(value.value))
        for address, value in ledger_of(now).items()
    }
    return moves_of(ledger_of(was), ledger)


def scale_of(build: Build, gauge: str) -> str:
    """The instrument whose scale a gauge has."""
    set_in = build.instruments[gauge].scale_from
    return scale_of(build, set_in) if set_in else gauge


def with_error_of_scale(build: Build, scale: str) -> Build:
    """The build with 7 µm more in every row that was read by a scale."""
    rows = [
        row.model_copy(update={"reads": tuple(_more(read) for read in row.reads)})
        if scale_of(build, row.gauge) == scale
        else row
        for row in build.rows
    ]
    return replace(build, rows=rows)


def _more(read: Measure) -> Measure:
    return replace(read, value=read.value + Fraction(7, 1000))


def of_one_metal(build: Build, knowledge: Knowledge) -> tuple[Build, Knowledge]:
    """The build and the shelf with parts and instruments of one expansion."""
    alike = {"cte": 11.5e-6, "cte_within": None}
    knowledge = replace(
        knowledge,
        materials={name: metal.model_copy(update=alike) for name, metal in knowledge.materials.items()},
    )
    build = replace(
        build,
        materials={name: metal.model_copy(update=alike) for name, metal in build.materials.items()},
        instruments={name: gauge.model_copy(update={"cte": 11.5e-6}) for name, gauge in build.instruments.items()},
    )
    return build, knowledge


def moves_on_a_warmer_day(build: Build, knowledge: Knowledge) -> list[Move]:
    """What moves of sizes and fits where everything of one metal was 4 K warmer as it was read."""
    build, knowledge = of_one_metal(build, knowledge)
    warmer = replace(build, rows=[row.model_copy(update=_warmer(row)) for row in build.rows])
    return [
        move
        for move in moved(assess(build, knowledge), assess(warmer, knowledge))
        if move.address[0] in ("feature", "fit", "reading", "cut made")
        and "soak" not in " ".join(move.address)
        and "temperatures" not in move.address  # what a note says of the day
        and not (move.kind.name == "chance" and abs(move.by or 0) < 1e-4)  # expansion by expansion: a nanometre
    ]


def _warmer(row: Row) -> dict[str, Measure]:
    return {
        name: replace(temp, value=temp.value + 4)
        for name in ("part_temp", "gauge_temp")
        if (temp := getattr(row, name)) is not None
    }
