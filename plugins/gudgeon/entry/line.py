"""One line of quick entry, such as `piston skirt 3.5 0 4.2559 4.2560 4.2559 24c/16c om45`, to a row of readings.

The order is: part, feature, station, angle, readings, then temperatures of part and gauge, the gauge, and words.
A number without a unit is in the unit of the build's drawings. What could be read two ways is refused, with both ways.
"""

import datetime
import re
from dataclasses import dataclass

from gudgeon_calc.units import Measure, read_quantity

from gudgeon.entry.against_known import TIMES, Doubt
from gudgeon.entry.doubts import doubts_of_row, far_off, in_plain_words
from gudgeon.entry.how_read import as_held, lobes_of, thermometer_of
from gudgeon.entry.names_said import own_names, with_gauges, with_names, without_fillers
from gudgeon.entry.read_back import read_back
from gudgeon.entry.reading_ids import new_id
from gudgeon.entry.sizes import NUMBER, UNITS, NotClear, Words, take_size
from gudgeon.entry.spoken import in_figures
from gudgeon.entry.temperatures import ONE, both_temperatures, no_temperatures_among, usual_unit
from gudgeon.entry.typed import one_way_of_writing, words_and_list
from gudgeon.entry.who_and_when import after, not_to_come, person, read_day, read_time
from gudgeon.records.fields import ID
from gudgeon.records.judgement import Judgement
from gudgeon.records.mistyped import COPIED, LARGE, expected, mistyped, room, within
from gudgeon.records.model import Build
from gudgeon.records.number_doubts import number_doubts
from gudgeon.records.parts import DIAMETERS, Feature
from gudgeon.records.problems import nearest, shown
from gudgeon.records.readings import together

LONGEST = 500  # characters
CUT_GOES = "a cut is no reading of itself: gudgeon cut writes down the pass and what was read after it, in one line."
PLACE_WORDS = ("at", "station", "angle")
HOT = float(Judgement().thresholds()["hot_shop"])
ANGLE = re.compile(r"([0-9]{1,3}(?:\.[0-9]{1,2})?)(?:deg|°)?")


@dataclass(frozen=True)
class Entered:
    """A row as it will be written, the words in which it is read back, and what has to be asked before it is written."""

    row: dict[str, str | int | list[str]]
    words: str
    doubts: tuple[Doubt, ...] = ()

    def text(self, key: str) -> str:
        """What the row says under a key that holds one text."""
        value = self.row[key]
        return " ".join(value) if isinstance(value, list) else str(value)


def read_line(
    build: Build,
    line: str,
    date: datetime.date,
    by: str | None = None,
    last: Entered | None = None,
    today: datetime.date | None = None,
    hot: float = HOT,
    clock: str | None = None,
) -> Entered:
    """Read one line of quick entry for a build. Raises NotClear.

    date: the day it was read, unless the line says `on 2025-04-06`. by: who read it, unless the line says `by odette`.
    last: the line before it in the same session; what this one leaves out at its ends (the feature, the gauge, the
    temperatures) is as it was there, and is read back. today: the day on which it is entered, where that is another. hot: the
    temperature in °C from which on a part is hotter than a hand holds. clock: the time of a line that is entered as it is read and
    says neither time nor day: it tells which cuts came before.
    """
    if len(line) > LONGEST:
        raise NotClear(f"a line is at most {LONGEST} characters. Found {len(line)}. Enter one row at a time.")
    line, _, note = line.partition("#")
    line, held = as_held(line)
    names = own_names(build)
    listed, commas = words_and_list(one_way_of_writing(" ".join(in_figures(line.split(), names))))
    words = Words(without_fillers(with_gauges(build, listed), names))
    first = (words.peek() or "x").lower()
    if last and (first[0] in "0123456789.+-" or first in PLACE_WORDS):
        ref = last.text("of")
        feature = build.features[ref]
        held = held or (last.text("as_held") if "as_held" in last.row else "")
    else:
        ref, feature = take_feature(build, words)
    said = _said(build, words, last, hot)
    gauge, temps = said.gauge, said.temps
    lobes = lobes_of(build, ref, feature, gauge, said.words.get("lobes"))
    thermometer = thermometer_of(
        build, said.words.get("thermometer"), last.text("thermometer") if last and "thermometer" in last.row else None
    )
    station = angle = None
    placed = has_station(feature) and not (said.station is None and _begins_with_reading(words, build, feature))
    if said.station is None and placed:
        station = _station(words, build, ref)
    else:
        station = said.station or _station_of_a_gap(words, build, feature)
    _within(station, ref, feature)
    if said.angle is None and has_angle(feature) and (placed or said.station is not None):
        angle = _angle(words, ref)
    elif said.angle is not None:
        angle = _angle(Words([said.angle]), ref)
    while words.peek() == "-" and not (has_station(feature) and has_angle(feature)):
        words.take()
    reads, typed = _readings(words, build, ref, feature, said, commas)
    day = not_to_come(read_day(said.words["on"]) if "on" in said.words else date, today or date)
    reader = person(build, said.words.get("by") or by)
    follows, after_cut = after(build, ref, said.words.get("after"), day)
    row: dict[str, str | int | list[str]] = {
        "id": "",
        "of": ref,
        "date": day.isoformat(),
        "by": reader,
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
    if follows:
        row["after"] = follows
    if after_cut:
        row["after_cut"] = after_cut
    if "at" in said.words:
        row["time"] = read_time(said.words["at"])
    elif clock and "on" not in said.words:
        row["time"] = clock
    if lobes:
        row["lobes"] = lobes
    if held:
        row["as_held"] = held
    notes = [text for text in (note.strip(), f'typed "{typed}"' if typed else "") if text]
    if notes:
        row["note"] = "; ".join(notes)
    row["id"] = new_id(build, row)
    asked = doubts_of_row(build, row, reads, station, angle, hot)
    return Entered(row, read_back(build, row, reads, feature, ref, asked), tuple(asked))


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


def features_of(build: Build, part: str) -> set[str]:
    """Ids of a part's features, in small letters."""
    return {name.lower() for name in build.parts[part].features}


def take_feature(build: Build, words: Words) -> tuple[str, Feature]:
    """The feature that a line begins with, from the front of its words. Raises NotClear."""
    first = words.peek()
    if first is None:
        raise NotClear("nothing was typed. Write: part feature station angle readings temperatures gauge.")
    words.take()
    parts = {name.lower(): name for name in build.parts}
    part, _, name = first.lower().partition(".")
    if part not in parts or not (name or (words.peek() or "").lower() in features_of(build, parts[part])):
        words.left = with_names(build, [first, *words.left])
        first = words.take()
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


@dataclass(frozen=True)
class _Said:
    """What stands beside the size. words: said with a word before it, such as by and on. temps_here: on this very line."""

    words: dict[str, str]
    gauge: str
    temps: tuple[str, str] | None
    temps_here: bool
    station: Measure | None
    angle: str | None


def _said(build: Build, words: Words, last: Entered | None, hot: float) -> _Said:
    """What stands beside the readings, taken out of the line."""
    said: dict[str, str] = {}
    gauges: list[str] = []
    temps: list[tuple[str, str]] = []
    left: list[str] = []
    station: Measure | None = None
    angles: list[str] = []
    names = {name.lower(): name for name in build.instruments}
    unit = usual_unit(build, last.text("part_temp") if last and "part_temp" in last.row else None)
    while words.peek() is not None:
        word = words.take()
        is_place = word.lower() in PLACE_WORDS and ":" not in (words.peek() or "")
        both = (
            None if is_place else both_temperatures(word, left[-1] if left else None, unit, hot, build.sound_head.units)
        )
        if is_place:
            if words.peek() is None:
                raise NotClear(f'"{word}" stands at the end with nothing behind it.')
            if word.lower() == "angle":
                angles.append(words.take())
            elif station is not None:
                raise NotClear(f'two stations: "{word}" stands twice.')
            else:
                station, _ = take_size(words, build.sound_head.units, "station")
        elif word.lower() in ("on", "at", "by", "after", "lobes", "thermometer"):
            if word.lower() in said or words.peek() is None:
                raise NotClear(
                    f'"{word}" stands {"twice" if word.lower() in said else "at the end with nothing behind it"}.'
                )
            said[word.lower()] = words.take()
        elif both:
            temps.append(both)
        elif ONE.fullmatch(word):
            raise NotClear(f'"{word}": of the part or of the gauge? Write both, part first: {word}/{word}.')
        elif word.lower() in names:
            gauges.append(names[word.lower()])
        elif word.startswith("--"):
            raise NotClear(f'there is no option "{shown(word)}".')
        elif ANGLE.fullmatch(word) and word.endswith("deg"):
            angles.append(word)
        else:
            left.append(word)
    words.left = left
    if len(temps) > 1 or len(gauges) > 1 or len(angles) > 1:
        twice = (
            "temperatures stand"
            if len(temps) > 1
            else f"gauges {' and '.join(gauges)} stand"
            if len(gauges) > 1
            else "angles stand"
        )
        raise NotClear(f"two {twice} in one line. Enter one row at a time.")
    here = bool(temps)
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
    return _Said(said, gauges[0], temps[0] if temps else None, here, station, angles[0] if angles else None)


def _station(words: Words, build: Build, ref: str) -> Measure | None:
    if words.peek() == "-":
        words.take()
        return None
    if words.peek() is None:
        raise NotClear(f"{ref}: the station is missing. Write station, angle, readings; - where there is no station.")
    station, _ = take_size(words, build.sound_head.units, "station")
    return station


def _begins_with_reading(words: Words, build: Build, feature: Feature) -> bool:
    """Whether a line names no place, of a feature that has neither a plan nor an extent: then it begins with its size."""
    size = expected(feature)
    if feature.plan or feature.extent or size is None or words.peek() in (None, "-"):
        return False
    ahead = Words(list(words.left))
    try:
        first, _ = take_size(ahead, build.sound_head.units, "reading")
    except NotClear:
        return False
    behind = ahead.peek()
    return within(float(first) / size, COPIED) and behind != "-" and not (behind and ANGLE.fullmatch(behind))


def _within(station: Measure | None, ref: str, feature: Feature) -> None:
    extent = feature.extent
    if station and extent and not float(extent[0]) - 1e-6 <= float(station) <= float(extent[1]) + 1e-6:
        raise NotClear(
            f"{ref}: station {station} lies outside it ({extent[0]} to {extent[1]}). "
            "Write station, angle, readings; - where there is no station."
        )


def _station_of_a_gap(words: Words, build: Build, feature: Feature) -> Measure | None:
    """The station at which a gap was read, where the line begins with a number many times over what a gap is."""
    size = expected(feature)
    if feature.kind != "gap" or size is None or size >= LARGE or len(words.left) < 2:
        return None
    if words.peek() == "-":
        return None
    before = list(words.left)
    first, _ = take_size(words, build.sound_head.units, "station")
    if float(first) > TIMES * size and words.left:
        return first
    words.left = before
    return None


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


def _readings(
    words: Words, build: Build, ref: str, feature: Feature, said: _Said, commas: bool
) -> tuple[list[Measure], str]:
    """The readings, and what was typed where it is not what will be written. commas: a list, whose last unit is for all."""
    reads, typed = [], []
    gauge = said.gauge
    units = build.sound_head.units
    if commas and words.left:
        last = re.search("(?:in|mm|thou|µm|um)$", words.left[-1])
        others = [word for word in words.left[:-1] if re.search("[a-zµ]", word)]
        units = last[0] if last and (not others or last[0] == words.left[-1]) else units
    while words.peek() is not None:
        measure, as_typed = take_size(words, units, "reading")
        reads.append(measure)
        typed += [as_typed] if as_typed else []
    if not reads:
        raise NotClear(
            f"{ref}: no reading is left behind station and angle. Write station, angle, readings; - for none."
        )
    if len(reads) > 50:
        raise NotClear("a row holds at most 50 readings. Start another row.")
    no_temperatures_among(reads, said.temps_here)
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
