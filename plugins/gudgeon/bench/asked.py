"""What quick entry asks by, as plain data, so that a script asks the same before it keeps a reading.

Lengths are millimetres, angles degrees; null: not known. `entry/known.py` and `entry/doubts.py` say what each of it means.

    hot          °C from which on a part is hotter than a hand holds
    warmth       {day, pairs: [[°C of the part, °C of the gauge]]} of the newest day with readings, or null
    gauges       id -> {use, step, step_text, scale, cte, vee, found_off: null or {day, words}, reach: [{name, low, high, span, room}] (itself and what it is set in)}
    features     "part.feature" -> what follows
        far                          how a number that does not fit is begun with, after the number
        cte                          per K, where the part's material says it
        round, play, expected, room  what is judged by when a number was mistyped; plausible, allowed: [least, most]
        cut                          null or {operation, machine, tool, feed} of its next cut, as far as the records say
        outside, least, most, wanted, stations, angles, depends, open, pressed_by
        places       {station, angle, last: null or {size, open, day, at_20}, timed, came_off, cut_since, may_be_cut, may_have_moved};
                     timed: whether its last reading has a time of day
"""

import dataclasses
import datetime
from typing import Any

from gudgeon.entry.cut_line import how_cut
from gudgeon.entry.doubts import far_off, found_off_on
from gudgeon.entry.known import known_by, newest_readings, warmth_of
from gudgeon.records.build_file import Instrument
from gudgeon.records.mistyped import expected, room
from gudgeon.records.model import Build, Knowledge
from gudgeon.records.number_doubts import JUST_PAST, set_in_each_other
from gudgeon.records.parts import DIAMETERS

FOR_A_PLACE = ("came_off", "cut_since", "may_be_cut", "may_have_moved")


def asked_data(build: Build, knowledge: Knowledge) -> dict[str, Any]:
    """Everything that a reading is held against before it is kept; see the head of this module."""
    return {
        "hot": float(knowledge.judgement["hot_shop"]),
        "warmth": _warmth(build),
        "gauges": {name: _gauge(build, name, gauge) for name, gauge in build.instruments.items()},
        "features": {ref: _feature(build, ref) for ref, feature in build.features.items() if feature.is_length},
    }


def _warmth(build: Build) -> dict[str, Any] | None:
    day = max((row.date for row in build.rows), default=None)
    return None if day is None else {"day": day.isoformat(), "pairs": [list(pair) for pair in warmth_of(build, day)]}


def _gauge(build: Build, name: str, gauge: Instrument) -> dict[str, Any]:
    links = list(set_in_each_other(build.instruments, name))
    off = found_off_on(build, name)
    return {
        "use": float(gauge.use),
        "step": float(gauge.resolution),
        "step_text": gauge.resolution.text,
        "scale": max((float(link.scale) for link in links if link.scale), default=0.0),
        "cte": float(gauge.cte),
        "vee": gauge.vee is not None,
        "found_off": None if off is None else {"day": off[0].isoformat(), "words": off[1].words},
        "reach": [
            {
                "name": link.name,
                "low": float(link.range[0]),
                "high": float(link.range[1]),
                "span": f"{link.range[0]} to {link.range[1]}",
                "room": JUST_PAST * (float(link.range[1]) - float(link.range[0])),
            }
            for link in links
            if link.range
        ],
    }


def _feature(build: Build, ref: str) -> dict[str, Any]:
    feature = build.features[ref]
    material = build.materials.get(build.parts[ref.partition(".")[0]].material)
    size = expected(feature)
    day = datetime.date.max
    newest = newest_readings(build, ref, day)
    never = known_by(build, ref, (-1.0, -1.0), None, (), day)  # a place that nobody can have read
    read = {
        (round(float(row.station), 4) if row.station else None, round(float(row.angle), 4) if row.angle else None)
        for row in build.rows
        if row.of == ref
    }
    return {
        "far": far_off("", ref, feature).strip(),
        "cte": float(material.cte) if material and material.cte else None,
        "round": feature.kind in DIAMETERS,
        "play": feature.kind == "play",
        "expected": size,
        "room": None if size is None else room(size),
        "plausible": [float(end) for end in feature.plausible] if feature.plausible else None,
        "allowed": list(feature.allowed) if feature.allowed else None,
        "outside": never.outside,
        "least": never.least,
        "most": never.most,
        "wanted": never.wanted,
        "stations": list(never.stations),
        "angles": list(never.angles),
        "depends": never.may_have_moved,
        "open": never.may_be_cut,
        "pressed_by": never.pressed_by,
        "cut": how_cut(build, ref),
        "places": [
            {
                "station": station,
                "angle": angle,
                "last": dataclasses.asdict(known.last) if known.last else None,
                "timed": bool((station, angle) in newest and newest[station, angle].time),
                **{key: getattr(known, key) for key in FOR_A_PLACE},
            }
            for station, angle in sorted(read, key=lambda place: (place[0] or 0.0, place[1] or 0.0))
            for known in [known_by(build, ref, (station, angle), newest.get((station, angle)), (), day)]
        ],
    }
