"""One line of quick entry, such as `piston skirt 3.5 0 4.2559 4.2560 4.2559 24c/16c om45`, to a row of readings.

The order is: part, feature, station, angle, readings, then temperatures of part and gauge, the gauge, and words.
A number without a unit is in the unit of the build's drawings. What could be read two ways is refused, with both ways.
"""

import datetime
import re
from dataclasses import dataclass

from gudgeon_calc.units import INCH, Measure, read_quantity

from gudgeon.entry.doubts import far_off, in_plain_words
from gudgeon.entry.how_read import as_held, lobes_of, thermometer_of
from gudgeon.entry.sizes import NUMBER, UNITS, NotClear, Words, take_size
from gudgeon.records.fields import ID, time_of_day
from gudgeon.records.mistyped import LARGE, expected, mistyped, room, within
from gudgeon.records.model import Build
from gudgeon.records.number_doubts import number_doubts
from gudgeon.records.parts import DIAMETERS, Feature
from gudgeon.records.problems import nearest, shown
from gudgeon.records.readings import together

LONGEST = 500  # characters
CUT_GOES = (
    "a cut is no reading: write it into cuts.yaml, such as "
    "- {date: 2025-03-29, of: piston.skirt, machine: big, asked: 0.0040 in, got: 0.0034 in}; then read what it left."
)
TEMPERATURES = re.compile(
    r"([+\-−]?[0-9]{1,3}(?:\.[0-9]{1,2})?)°?([cCfF])/([+\-−]?[0-9]{1,3}(?:\.[0-9]{1,2})?)°?([cCfF])"
)
ONE_TEMPERATURE = re.compile(r"[+\-−]?[0-9]{1,3}(?:\.[0-9]{1,2})?°?[cCfF]")
ANGLE = re.compile(r"([0-9]{1,3}(?:\.[0-9]{1,2})?)(?:deg|°)?")


@dataclass(frozen=True)
class Entered:
    """A row as it will be written, and the words in which it is read back."""

    row: dict[str, str | int | list[str]]
    words: str

    def text(self, key: str) -> str:
        """What the row says under a key that holds one text."""
        value = self.row[key]
        return " ".join(value) if isinstance(value, list) else str(value)


def read_line(
    build: Build, line: str, date: datetime.date, by: str | None = None, last: Entered | None = None
) -> Entered:
    """Read one line of quick entry for a build. Raises NotClear.

    date: the day it was read, unless the line says `on 2025-04-06`. by: who read it, unless the line says `by odette`.
    last: the line before it in the same session; what this one leaves out at its ends (the feature, the gauge, the
    temperatures) is as it was there, and is read back.
    """
    if len(line) > LONGEST:
        raise NotClear(f"a line is at most {LONGEST} characters. Found {len(line)}. Enter one row at a time.")
    line, _, note = line.partition("#")
    line, held = as_held(line)
    words = Words(line.split())
    if last and (words.peek() or "x")[0] in "0123456789.+-":
        ref = last.text("of")
        feature = build.features[ref]
        held = held or (last.text("as_held") if "as_held" in last.row else "")
    else:
        ref, feature = _feature(build, words)
    said, gauge, temps = _said(build, words, last)
    lobes = lobes_of(build, ref, feature, gauge, said.get("lobes"))
    thermometer = thermometer_of(
        build, said.get("thermometer"), last.text("thermometer") if last and "thermometer" in last.row else None
    )
    station = angle = None
    if has_station(feature):
        station = _station(words, build, ref, feature)
    if has_angle(feature):
        angle = _angle(words, ref)
    reads, typed = _readings(words, build, ref, feature, gauge)
    day = read_day(said["on"]) if "on" in said else date
    person = _person(build, said.get("by") or by)
    after, after_cut = _after(build, ref, said.get("after"), day)
    row: dict[str, str | int | list[str]] = {
        "id": _next_id(build),
        "of": ref,
        "date": day.isoformat(),
        "by": person,
        "gauge": gauge,
    }
    if station:
        row["station"] = station.text
    if angle:
        row["angle"] = angle.text
    row["reads"] = together([read.text for read in reads])
    if temps:
        row["part_temp"], row["gauge_temp"] = temps
        if thermometer:
            row["thermometer"] = thermometer
    if after:
        row["after"] = after
    if after_cut:
        row["after_cut"] = after_cut
    if "at" in said:
        row["time"] = read_time(said["at"])
    if lobes:
        row["lobes"] = lobes
    if held:
        row["as_held"] = held
    notes = [text for text in (note.strip(), f'typed "{typed}"' if typed else "") if text]
    if notes:
        row["note"] = "; ".join(notes)
    return Entered(row, _read_back(build, row, reads, feature, ref))


def has_station(feature: Feature) -> bool:
    """Whether a line says a station of such a feature."""
    return feature.kind in DIAMETERS or bool(feature.extent) or bool(feature.plan and feature.plan.stations)


def has_angle(feature: Feature) -> bool:
    """Whether a line says an angle of such a feature."""
    return feature.kind in DIAMETERS or bool(feature.plan and feature.plan.angles)


def place_words(build: Build, ref: str, station: str, angle: str) -> str:
    """Station and angle as a line says them of a feature; "-" stands for none."""
    feature = build.features[ref]
    return " ".join([*([station] if has_station(feature) else []), *([angle] if has_angle(feature) else [])])


def _feature(build: Build, words: Words) -> tuple[str, Feature]:
    first = words.peek()
    if first is None:
        raise NotClear("nothing was typed. Write: part feature station angle readings temperatures gauge.")
    words.take()
    parts = {name.lower(): name for name in build.parts}
    part, _, name = first.lower().partition(".")
    if part not in parts:
        alone = [ref for ref in build.features if ref.partition(".")[2].lower() == first.lower()]
        if len(alone) == 1:
            return alone[0], build.features[alone[0]]
        if alone:
            raise NotClear(f'"{shown(first)}" could be {" or ".join(alone)}. Write the part before it.')
        if first.lower() == "cut":
            raise NotClear(CUT_GOES)
        raise NotClear(f'no part "{shown(first)}" in this build.{nearest(first.lower(), build.parts)}')
    part = parts[part]
    if not name:
        if words.peek() is None:
            raise NotClear(f"which feature of {part}? It has: {', '.join(build.parts[part].features)}.")
        name = words.take().lower()
    features = {feature_id.lower(): feature_id for feature_id in build.parts[part].features}
    if name not in features:
        raise NotClear(f'{part} has no feature "{shown(name)}".{nearest(name, features)}')
    ref = f"{part}.{features[name]}"
    if not build.features[ref].is_length:
        raise NotClear(f"{ref} is a {build.features[ref].kind}: no length is read of it.")
    return ref, build.features[ref]


def _said(build: Build, words: Words, last: Entered | None) -> tuple[dict[str, str], str, tuple[str, str] | None]:
    """What stands behind the readings: words with their values, the gauge and the two temperatures; taken out of the line."""
    said: dict[str, str] = {}
    gauges: list[str] = []
    temps: list[tuple[str, str]] = []
    left: list[str] = []
    names = {name.lower(): name for name in build.instruments}
    while words.peek() is not None:
        word = words.take()
        both = TEMPERATURES.fullmatch(word)
        if word.lower() in ("on", "at", "by", "after", "lobes", "thermometer"):
            if word.lower() in said or words.peek() is None:
                raise NotClear(
                    f'"{word}" stands {"twice" if word.lower() in said else "at the end with nothing behind it"}.'
                )
            said[word.lower()] = words.take()
        elif both:
            part, gauge = (
                f"{number.replace('−', '-')} °{unit.upper()}" for number, unit in (both.group(1, 2), both.group(3, 4))
            )
            temps.append((part, gauge))
        elif ONE_TEMPERATURE.fullmatch(word):
            raise NotClear(f'"{word}": of the part or of the gauge? Write both, part first: {word}/{word}.')
        elif word.lower() in names:
            gauges.append(names[word.lower()])
        else:
            left.append(word)
    words.left = left
    if len(temps) > 1 or len(gauges) > 1:
        twice = "temperatures stand" if len(temps) > 1 else f"gauges {' and '.join(gauges)} stand"
        raise NotClear(f"two {twice} in one line. Enter one row at a time.")
    over_vee = bool(gauges) and build.instruments[gauges[0]].vee is not None
    if last and not temps and "part_temp" in last.row and not over_vee:  # a movement has no temperature
        temps = [(last.text("part_temp"), last.text("gauge_temp"))]
    if last and not gauges:
        gauges = [last.text("gauge")]
    if not gauges:
        odd = next(
            (
                word
                for word in left
                if re.fullmatch(ID, word)
                and re.search("[A-Za-z]", word)
                and not NUMBER.fullmatch(word)
                and word not in UNITS
            ),
            None,
        )
        hint = nearest(odd.lower(), names) if odd else f" The gauge drawer has: {', '.join(build.instruments)}."
        raise NotClear(f"which gauge was it read with?{f' Found {shown(odd)!r}.' if odd else ''}{hint}")
    return said, gauges[0], temps[0] if temps else None


def _station(words: Words, build: Build, ref: str, feature: Feature) -> Measure | None:
    if words.peek() == "-":
        words.take()
        return None
    if words.peek() is None:
        raise NotClear(f"{ref}: the station is missing. Write station, angle, readings; - where there is no station.")
    station, _ = take_size(words, build.sound_head.units, "station")
    extent = feature.extent
    if extent and not float(extent[0]) - 1e-6 <= float(station) <= float(extent[1]) + 1e-6:
        raise NotClear(
            f"{ref}: station {station} lies outside it ({extent[0]} to {extent[1]}). "
            "Write station, angle, readings; - where there is no station."
        )
    return station


def _angle(words: Words, ref: str) -> Measure | None:
    word = words.peek()
    if word == "-":
        words.take()
        return None
    typed = ANGLE.fullmatch(word or "")
    if not typed or not 0 <= float(typed[1]) < 360 or re.search(r"\.[0-9]{2}", typed[1]):
        raise NotClear(
            f"{ref}: expected an angle from 0 to 359 behind the station. Found {shown(word or 'nothing')!r}. "
            "Write station, angle, readings; - where there is no angle."
        )
    words.take()
    return read_quantity(f"{typed[1]} deg", "angle")


def _readings(words: Words, build: Build, ref: str, feature: Feature, gauge: str) -> tuple[list[Measure], str]:
    """The readings, and what was typed where it is not what will be written."""
    reads, typed = [], []
    while words.peek() is not None:
        measure, as_typed = take_size(words, build.sound_head.units, "reading")
        reads.append(measure)
        typed += [as_typed] if as_typed else []
    if not reads:
        raise NotClear(
            f"{ref}: no reading is left behind station and angle. Write station, angle, readings; - for none."
        )
    if len(reads) > 50:
        raise NotClear("a row holds at most 50 readings. Start another row.")
    if build.instruments[gauge].vee is None:
        for read in reads:
            _in_order(read, ref, feature)
    for doubt in number_doubts(feature, build.instruments, gauge, reads):
        if doubt.spoils:
            raise NotClear(in_plain_words(doubt, ref, feature, gauge))
    return reads, " ".join(typed)


def _in_order(read: Measure, ref: str, feature: Feature) -> None:
    """Refuse, of a size, what lies so far off that the words of the line stood in another order."""
    size = expected(feature)
    if size is None or size < LARGE or mistyped(feature, float(read), read.inches):
        return
    if not within(float(read) / size, room(size)):
        raise NotClear(
            f"{far_off(read.text, ref, feature)}. Write station, angle, readings in this order; "
            "if it was read so, write the row into a readings file by hand."
        )


def read_day(word: str) -> datetime.date:
    """A day such as 2025-04-06. Raises NotClear."""
    try:
        if not re.fullmatch(r"[0-9]{4}-[0-9]{2}-[0-9]{2}", word):
            raise ValueError
        return datetime.date.fromisoformat(word)
    except ValueError:
        raise NotClear(f'"{shown(word)}" is no day as it is written here. Write it like 2025-04-06.') from None


def _person(build: Build, name: str | None) -> str:
    people = build.sound_head.people
    if name is None:
        if len(people) == 1:
            return next(iter(people))
        raise NotClear(f"who read it? Write by and one of: {', '.join(people)}.")
    reader = {person.lower(): person for person in people}.get(name.lower())
    if reader is None:
        raise NotClear(f'no person "{shown(name)}" in build.yaml.{nearest(name.lower(), people)}')
    return reader


def read_time(text: str) -> str:
    """A time of day as a row has it. Raises NotClear."""
    try:
        return time_of_day(text)
    except ValueError as problem:
        raise NotClear(str(problem)) from None


def _after(build: Build, ref: str, name: str | None, day: datetime.date) -> tuple[str | None, str | None]:
    """The operation and the cut that the reading follows: as typed, or the last operation done on the feature by then."""
    if name is not None:
        operation = {op_id.lower(): op_id for op_id in build.operations}.get(name.lower())
        if operation is not None:
            return operation, None
        cuts = {cut.id.lower(): cut.id for cut in build.standing_cuts if cut.id}
        if name.lower() not in cuts:
            known = [*build.operations, *cuts.values()]
            raise NotClear(f'no operation and no cut "{shown(name)}".{nearest(name, known)}')
        cut = cuts[name.lower()]
        return _after(build, ref, None, day)[0], cut
    done = [
        (op.done, index, op_id)
        for index, (op_id, op) in enumerate(build.operations.items())
        if op.done and op.done <= day and ref in build.touched_by(op)
    ]
    return (max(done)[2] if done else None), None


def _next_id(build: Build) -> str:
    """The next free id in the series that the build's rows follow."""
    series: dict[str, list[str]] = {}
    for row_id in (*(row.id for row in build.reading_entries), *build.former_names["reading"]):
        numbered = re.fullmatch(r"(.*?)([0-9]{1,6})", row_id)
        if numbered:
            series.setdefault(numbered[1], []).append(numbered[2])
    if not series:
        return "r001"
    prefix, numbers = max(series.items(), key=lambda one_series: (len(one_series[1]), one_series[0]))
    return f"{prefix}{max(int(number) for number in numbers) + 1:0{max(len(number) for number in numbers)}d}"


def _read_back(build: Build, row: dict, reads: list[Measure], feature: Feature, ref: str) -> str:
    part = build.parts[ref.partition(".")[0]]
    where = [f"station {row['station']}" if "station" in row else "", f"{row['angle']}" if "angle" in row else ""]
    mean = sum(read.value for read in reads) / len(reads)
    spread = max(read.value for read in reads) - min(read.value for read in reads)
    gauge = build.instruments[row["gauge"]]
    over_vee = gauge.vee is not None
    thermometer = f", thermometer {row['thermometer']}" if "thermometer" in row else ""
    lines = [
        f"{part.name}, {feature.name} ({ref}){''.join(', ' + place for place in where if place)}",
        f"  reads {', '.join(read.text for read in reads)}",
        f"  mean {float(mean / INCH):.5f} in, {float(mean):.4f} mm; spread {float(spread / INCH * 1000):.1f} thou, {float(spread):.3f} mm",
        f"  part at {row['part_temp']}, gauge at {row['gauge_temp']}{thermometer}"
        if "part_temp" in row
        else "  a movement over a vee block, which needs no temperatures"
        if over_vee
        else "  no temperatures: the size cannot be brought to 20 °C, and the row is held back until it has both",
        *(
            [
                f"  for {row['lobes']} lobes"
                if "lobes" in row
                else "  for how many lobes is not said: it counts for nothing until it is"
            ]
            if over_vee
            else []
        ),
        *([f"  as held: {row['as_held']}"] if "as_held" in row else []),
        f"  {gauge.name} ({row['gauge']})",
        f"  after {row['after']}: {build.operations[row['after']].does}" if "after" in row else "  after no operation",
        *([f"  after the cut {row['after_cut']}"] if "after_cut" in row else []),
        f"  {build.sound_head.people[row['by']].name}, {row['date']}{' at ' + row['time'] if 'time' in row else ''}, as row {row['id']}",
    ]
    doubts = number_doubts(feature, build.instruments, row["gauge"], reads)
    lines += [f"  doubtful: {in_plain_words(doubt, ref, feature, row['gauge'])}" for doubt in doubts]
    return "\n".join([*lines, *([f"  note: {row['note']}"] if "note" in row else [])])
