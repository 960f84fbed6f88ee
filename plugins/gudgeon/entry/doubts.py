"""Doubts about numbers in the words of quick entry and import, which say what to write instead."""

import datetime
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from typing import Any, Literal

from gudgeon_calc.units import Measure, read_quantity
from pydantic import ValidationError

from gudgeon.entry.against_known import Doubt, Line, amount, doubts_of, swapped_warmth, temperature_doubt
from gudgeon.entry.known import at_20, known_place, warmth_of
from gudgeon.records.model import Build
from gudgeon.records.number_doubts import NumberDoubt, number_doubts, set_in_each_other
from gudgeon.records.parts import Feature
from gudgeon.records.readings import Row
from gudgeon.records.readings_csv import as_texts

MEANT = {  # what a reading would fit as
    "inch typed as millimetre": "it would fit as inches: write the unit, {number}in",
    "millimetre typed as inch": "it would fit as millimetres: write the unit, {number}mm",
    "radius for diameter": "it would fit as a radius: write the diameter",
    "diameter doubled": "it is twice that: write one diameter",
    "a nought slipped": "a point has slipped",
}


def in_plain_words(doubt: NumberDoubt, ref: str, feature: Feature, gauge: str) -> str:
    """A doubt as one says it to whoever types. gauge: the id of the gauge that the row names."""
    read, name = doubt.read, doubt.gauge.name
    if doubt.mistyped:
        meant = MEANT[doubt.mistyped.kind].format(number=read.text.rpartition(" ")[0])
        return f"{far_off(doubt.read.text, ref, feature)}: {meant}."
    if doubt.gauge.range and doubt.kind in ("out of reach", "just past its reach"):
        span = f"{doubt.gauge.range[0]} to {doubt.gauge.range[1]}"
        if doubt.spoils:
            return f"{read} is outside what {gauge} can reach ({name}: {span}). Another gauge, or another unit?"
        return f"{read} lies just past what {gauge} can reach ({name}: {span}); it counts, and is told as doubtful."
    if doubt.kind == "fraction":
        return f"{read} is a fraction, and {gauge} steps by {doubt.gauge.resolution}: was it read with a rule?"
    return f"{read} has fewer digits than {gauge} shows, which steps by {doubt.gauge.resolution}: was it rounded?"


def far_off(read: str, ref: str, feature: Feature) -> str:
    """How a number that does not fit a feature is begun with."""
    if feature.nominal or feature.limits:
        limits = f"limits {feature.limits[0]} to {feature.limits[1]}" if feature.limits else ""
        return f"{read} is far from the {feature.nominal or limits} of {ref}"
    if feature.plausible and not feature.tolerance:
        least, most = feature.plausible
        return f"{read} is far from where {ref} can lie, {least} to {most}"
    return f"{read} is far from the size of {ref}"


@dataclass(frozen=True)
class RowDoubt:
    """A doubt about a row of a file. weight: the site would hold it back; it is asked before it is written; it is told."""

    row: str
    weight: Literal["held back", "asked", "told"]
    words: str
    code: str = ""

    def __str__(self) -> str:
        return f"{self.row}: {self.words}"


def doubts_of_rows(build: Build, rows: Iterable[Mapping[str, Any]], hot: float) -> list[RowDoubt]:
    """Doubts about the rows of a file, each held against the build and against the rows of the file before it, as quick entry
    holds a line; what a row lacks is told where it is read."""
    told: list[RowDoubt] = []
    of_build: dict[str, list[Row]] = {}
    for row in build.rows:
        of_build.setdefault(row.of, []).append(row)
    of_file: dict[str, dict[tuple[object, ...], Row]] = {}
    for values in sorted(rows, key=lambda values: (str(values.get("date", "")), str(values.get("time", "")))):
        try:
            row = Row.model_validate({**values, "id": values.get("id") or "row"})
        except ValidationError:
            continue
        if row.of not in build.features or row.gauge not in build.instruments or not build.features[row.of].is_length:
            continue
        feature, name = build.features[row.of], str(values.get("id") or f"{row.of}, {row.date}")
        spoilt = False
        for doubt in number_doubts(feature, build.instruments, row.gauge, row.reads):
            spoilt = spoilt or doubt.spoils
            words = in_plain_words(doubt, row.of, feature, row.gauge)
            told.append(RowDoubt(name, "held back" if doubt.spoils else "told", words))
        before = of_file.setdefault(row.of, {})
        here = replace(build, rows=[*of_build.get(row.of, ()), *before.values()])
        asked = doubts_of_row(here, as_written(row), row.reads, row.station, row.angle, hot) if not spoilt else []
        told += [RowDoubt(name, "asked", doubt.words, doubt.code) for doubt in asked]
        before[row.station and float(row.station), row.angle and float(row.angle)] = row
    return told


def as_written(row: Row) -> dict[str, str]:
    """The texts of a row."""
    return {key: text for key, text in as_texts(row).items() if text is not None}


def _says_the_same(build: Build, line: Line, row: Mapping[str, object]) -> Doubt | None:
    """A row of the build that says the same of the same day."""
    day, place = day_of(row), (line.station, line.angle)
    for other in build.rows:
        if (other.of, other.date, other.gauge) != (line.ref, day, line.gauge) or other.id == row.get("id"):
            continue
        there = (other.station and float(other.station), other.angle and float(other.angle))
        if (
            there == place
            and tuple(float(read) for read in other.reads) == line.reads
            and other.id not in build.withdrawn
        ):
            return Doubt("same", f"row {other.id} of that day says the same: was it entered twice?")
    return None


def doubts_of_row(
    build: Build,
    row: Mapping[str, object],
    reads: Sequence[Measure],
    station: Measure | None,
    angle: Measure | None,
    hot: float,
) -> list[Doubt]:
    """What has to be asked before a row is written that can be read."""
    temps = _temperatures(row)
    told: list[Doubt | None] = (
        [temperature_doubt(temps, hot), swapped_warmth(temps, warmth_of(build, day_of(row)))] if temps else []
    )
    off = found_off_on(build, str(row["gauge"]))
    told += [off[1] if off and off[0] == day_of(row) else None]
    if build.instruments[str(row["gauge"])].vee is None:
        line = numbers_of(build, row, reads, station, angle)
        told += [_says_the_same(build, line, row)]
        told += doubts_of(line, known_place(build, line.ref, line.station, line.angle, day_of(row)))
    return [doubt for doubt in told if doubt]


def found_off_on(build: Build, gauge: str) -> tuple[datetime.date, Doubt] | None:
    """The day on which a gauge, or what it is set in, was found off, and what to ask of a reading of that day, where nobody says
    whether it was put right first: such a reading counts as sound."""
    for link in set_in_each_other(build.instruments, gauge):
        off = link.found_off
        if off is not None and "was_reset" not in off.model_fields_set:
            by = amount(abs(float(off.reads_high)), build.sound_head.units)
            words = (
                f"{link.name} was found to read {by} {'high' if off.reads_high.value > 0 else 'low'} on this day, and counts as put "
                "right before anything was read: was it? was_reset in instruments.yaml says so for good"
            )
            return off.found, Doubt("found off", words)
    return None


def cost_of_warmth(build: Build, row: Mapping[str, object], reads: Sequence[Measure]) -> str | None:
    """What the temperatures of a row make of its size; None where they move it by less than its gauge can show."""
    temps = _temperatures(row)
    if temps is None:
        return None
    ref, gauge, unit = str(row["of"]), str(row["gauge"]), build.sound_head.units
    mean = sum(float(read) for read in reads) / len(reads)
    warmer = (temps[0] + 1.0, temps[1])
    size, if_warmer = (at_20(build, ref, gauge, reads, so_warm, day_of(row)).size for so_warm in (temps, warmer))
    if abs(size - mean) < float(build.instruments[gauge].resolution) / 2:
        return None
    apart = temps[0] - temps[1]
    said = (
        f"part and gauge {abs(apart):.3g} °C apart"
        if apart
        else f"part and gauge {abs(temps[0] - 20):.3g} °C off 20 °C"
    )
    moved = f"{amount(abs(size - mean), unit)} {'more' if size > mean else 'less'} at 20 °C"
    per_kelvin = abs(if_warmer - size)
    each = f"{1000 * per_kelvin:.2g} µm" if unit == "mm" else f"{per_kelvin / 0.0254:.2g} thou"
    return f"{said}: {moved}, and {each} for each °C that the part is off"


def day_of(row: Mapping[str, object]) -> datetime.date:
    """The day of a row as it is written."""
    return datetime.date.fromisoformat(str(row["date"]))


def _temperatures(row: Mapping[str, object]) -> tuple[float, float] | None:
    if "part_temp" not in row or "gauge_temp" not in row:
        return None
    of_part, of_gauge = (float(read_quantity(str(row[key]), "temperature")) for key in ("part_temp", "gauge_temp"))
    return of_part, of_gauge


def numbers_of(
    build: Build, row: Mapping[str, object], reads: Sequence[Measure], station: Measure | None, angle: Measure | None
) -> Line:
    """A row in plain numbers, as it is held against what is known of its place."""
    ref, gauge = str(row["of"]), str(row["gauge"])
    instrument = build.instruments[gauge]
    return Line(
        reads=tuple(float(read) for read in reads),
        texts=tuple(read.text for read in reads),
        now=at_20(build, ref, gauge, reads, _temperatures(row), day_of(row)),
        use=float(instrument.use),
        step=float(instrument.resolution),
        station=float(station) if station else None,
        angle=float(angle) if angle else None,
        ref=ref,
        gauge=gauge,
    )
