"""Readings made up at random, each with what the Python side makes of it: what the page's scripts have to say word for word."""

import copy
import dataclasses
import datetime
import json
import random
from typing import Any

from gudgeon.bench.answer import answer
from gudgeon.bench.asked import asked_data
from gudgeon.bench.data import bench_data
from gudgeon.entry.doubts import doubts_of_row, far_off, in_plain_words
from gudgeon.records.build_file import FoundOff
from gudgeon.records.cuts import Cut
from gudgeon.records.mistyped import LARGE, expected, mistyped, room, within
from gudgeon.records.number_doubts import number_doubts
from gudgeon_calc.units import read_quantity


def answers(build, knowledge, findings, count: int, seed: int) -> dict[str, Any]:
    """One bench data with so many lists of events and what is answered to the last of each. Some of the data is bent."""
    draw = random.Random(seed)
    data = json.loads(json.dumps(bench_data(build, knowledge, findings)))
    refs = list(data["features"])
    cases = []
    for number in range(count):
        ref = draw.choice(refs)
        bent = _bent(draw, data, ref) if number % 3 else {}
        merged = _with(data, bent)
        events = [_event(draw, merged, ref) for _ in range(draw.choice((1, 1, 2, 3, 5)))]
        if "cut" in events[-1]:
            events.append(_reading(draw, merged, ref))
        cases.append({"bent": bent, "events": events, "words": answer(merged, events).words.split("\n")})
    return {"data": data, "cases": cases}


def _with(data: dict[str, Any], bent: dict[str, Any]) -> dict[str, Any]:
    """The data with a feature, and gauges, of its own."""
    whole = copy.copy(data)
    for key, changed in bent.items():
        whole[key] = {**data[key], **{name: {**data[key][name], **more} for name, more in changed.items()}}
    return whole


def _bent(draw: random.Random, data: dict[str, Any], ref: str) -> dict[str, Any]:
    """Changes that bring the rare cases: targets near the size, laws of the dial, gauges off, limits alone, plans with stops."""
    feature = data["features"][ref]
    size = feature["size"] or feature["expected"] or 20.0
    side = draw.choice(("external", "internal", None))
    low = size + draw.choice((-0.3, -0.05, -0.01, 0.0, 0.01, 0.2)) * draw.random()
    target = None
    if draw.random() < 0.8:
        target = {"low": low, "mid": low + 0.01, "high": low + 0.02, "shown": ["the low", "the high"], "turn_to": low, "from": "limits", "provisional": draw.random() < 0.2,
                  "expanded": draw.choice((0.002, 0.008)), "gauges": draw.sample(sorted(data["gauges"]), 2)}  # fmt: skip
    plan = None
    if draw.random() < 0.6:
        law = {"slope": draw.uniform(0.8, 1.1), "offset": draw.uniform(-0.01, 0.01), "scatter": draw.choice((0.0, 0.001, 0.004)),
               "cuts": draw.randint(4, 12), "middle": 0.1, "spread": 0.02}  # fmt: skip
        plan = {"operation": "X-1", "machine": draw.choice([None, *data["machines"]]), "left_on": draw.choice((0.0, 0.0, 0.05)),
                "stops": [{"kind": kind, "size_after": size - draw.random() * 0.2, "on_diameter": 0.05} for kind in ("finish", "spring")],
                "held_back": draw.choice((None, 0.0, 0.01)), "law": draw.choice((None, law)), "cuts_alike": draw.choice((None, 1, 2))}  # fmt: skip
    state = draw.choice((feature["state"], feature["state"], "frozen"))
    limits = draw.choice((None, [low, low + 0.05]))
    gauges = {
        name: {
            "checks_due": [[name, draw.choice(("2025-04-01", "2025-04-02", "2026-01-01"))]],
            "never_checked": draw.random() < 0.1,
            "off": draw.choice(
                (
                    None,
                    {
                        "by": draw.choice((0.01, -0.02)),
                        "since": "2025-01-01",
                        "until": draw.choice((None, "2025-04-02")),
                    },
                )
            ),
        }
        for name in data["gauges"]
    }
    return {
        "features": {
            ref: {
                "side": side,
                "state": state,
                "target": target,
                "plan": plan,
                "limits": limits,
                "limits_shown": limits and ["the least", "the most"],
                "no_target": "it has none",
            }
        },
        "gauges": gauges,
    }


def _event(draw: random.Random, data: dict[str, Any], ref: str) -> dict[str, Any]:
    if draw.random() < 0.2 and data["machines"]:
        return {"of": ref, "cut": draw.random() * 0.2, "machine": draw.choice(list(data["machines"]))}
    return _reading(draw, data, ref)


def _reading(draw: random.Random, data: dict[str, Any], ref: str) -> dict[str, Any]:
    feature = data["features"][ref]
    size = feature["size"] or feature["expected"] or 20.0
    places = [(place["station"], place["angle"]) for place in feature["places"]] + [
        tuple(one) for one in feature["planned"]
    ]
    station, angle = (
        draw.choice(places)
        if places and draw.random() < 0.9
        else (draw.choice((None, 12.5)), draw.choice((None, 90.0)))
    )
    places_of = 5 if data["units"] == "in" else 3
    first = size + draw.choice((0.0, 0.001, -0.004, -0.08, 0.05, 3.0)) * draw.random()
    warm = draw.random() < 0.93
    celsius = [draw.choice((20.0, 14.0, 24.5, round(draw.uniform(-5, 45), 1))) for _ in range(2)]
    likely = [name for name, one in data["gauges"].items() if one["low"] is None or one["low"] <= size <= one["high"]]
    return {
        "of": ref, "station": station, "angle": angle,
        "reads": [round(first + draw.random() * 0.004, places_of) for _ in range(draw.choice((1, 1, 2, 3)))],
        "part_temp": celsius[0] if warm else None, "gauge_temp": celsius[1] if warm else None,
        "gauge": draw.choice(likely if likely and draw.random() < 0.9 else list(data["gauges"])),
        "by": draw.choice(list(data["people"])),
        "day": (datetime.date(2025, 4, 1) + datetime.timedelta(days=draw.randint(0, 3))).isoformat(),
        "thermometer": draw.choice([None, None, *data["thermometers"]]),
    }  # fmt: skip


NOTHING = " As it stands it would count for nothing."


def doubts(build, knowledge, count: int, seed: int) -> dict[str, Any]:
    """Lines about the places of a build, right and wrong, each with all that quick entry refuses them for or asks about them."""
    draw = random.Random(seed)
    newest = max(row.date for row in build.rows).isoformat()
    build = _with_a_gauge_found_off(_with_warm_parts(build, newest), newest)
    data = json.loads(
        json.dumps({"asked": asked_data(build, knowledge), "bench": {"units": build.sound_head.units, "as_of": None}})
    )
    refs = [ref for ref, feature in build.features.items() if feature.is_length]
    rows = [row for row in build.rows if build.instruments[row.gauge].vee is None]
    cases = []
    for _ in range(count):
        row = draw.choice(rows)
        ref = row.of if draw.random() < 0.8 else draw.choice(refs)
        feature = build.features[ref]
        size = float(row.reads[0]) if ref == row.of else expected(feature) or 20.0
        texts = [_text(draw, size) for _ in range(draw.choice((1, 1, 2, 3)))]
        station, angle = (row.station, row.angle) if draw.random() < 0.7 else _place(draw, feature)
        likely = [name for name, gauge in build.instruments.items() if gauge.vee is None]
        gauge = row.gauge if draw.random() < 0.8 else draw.choice(likely)
        temps = draw.choice((None, (16.0, 15.0), (24.0, 16.0), (16.0, 24.0), (90.0, 20.0), (20.0, -45.0)))
        day = draw.choice(("2026-04-01", "2025-12-24", newest))
        reads = [read_quantity(text, "length") for text in texts]
        written: dict[str, object] = {"of": ref, "gauge": gauge, "date": day}
        if temps:
            written |= {"part_temp": f"{temps[0]:g} °C", "gauge_temp": f"{temps[1]:g} °C"}
        refused = [
            in_plain_words(doubt, ref, feature, gauge) + (NOTHING if doubt.spoils else "")
            for doubt in number_doubts(feature, build.instruments, gauge, reads)
        ]
        cut = _cut(draw, ref, day) if feature.metal_side and draw.random() < 0.4 else None
        here = dataclasses.replace(build, cuts=(*build.cuts, cut)) if cut else build
        asked = doubts_of_row(here, written, reads, station, angle, data["asked"]["hot"])
        event = {
            "of": ref, "gauge": gauge, "day": day, "reads": [float(read) for read in reads],
            "station": float(station) if station else None, "angle": float(angle) if angle else None,
            "part_temp": temps[0] if temps else None, "gauge_temp": temps[1] if temps else None,
        }  # fmt: skip
        words = [
            *refused,
            *_out_of_order(reads, ref, feature),
            *(doubt.words for doubt in asked if doubt.code != "same"),
        ]
        earlier = [{"of": ref, "cut": float(cut.asked), "machine": cut.machine, "day": day}] if cut else []
        cases.append(
            {
                "event": event,
                "earlier": earlier,
                "texts": texts,
                "inches": [read.inches for read in reads],
                "words": words,
            }
        )
    return {"data": data, "cases": cases}


def _with_warm_parts(build, day: str):
    """The build with all parts warm and all gauges cold on a day."""
    warm = {key: read_quantity(text, "temperature") for key, text in (("part_temp", "24 °C"), ("gauge_temp", "16 °C"))}
    rows = [row.model_copy(update=warm) if row.date.isoformat() == day and row.part_temp else row for row in build.rows]
    return dataclasses.replace(build, rows=rows)


def _cut(draw: random.Random, ref: str, day: str) -> Cut:
    """A pass that was made just before the reading."""
    asked = draw.choice(("0.05 mm", "0.3 mm", "0.0010 in", "0.02 in"))
    how = {"machine": "m", "tool": "t", "feed": "0.1 mm", "time": "19:40", "id": "made-now"}
    return Cut.model_validate({**how, "date": day, "of": ref, "asked": asked})


def _with_a_gauge_found_off(build, day: str):
    """The build with the gauge of its newest reading found off on a day."""
    off = FoundOff.model_validate({"reads_high": "0.02 mm", "found": day, "since": "2024-01-01", "how": "a check"})
    name = max(build.rows, key=lambda row: row.date).gauge
    name = build.instruments[name].scale_from or name
    gauge = build.instruments[name].model_copy(update={"found_off": off})
    return dataclasses.replace(build, instruments={**build.instruments, name: gauge})


def _out_of_order(reads, ref, feature) -> list[str]:
    """As entry/line.py refuses a number that is no reading of its feature."""
    size = expected(feature)
    if size is None or size < LARGE:
        return []
    odd = [
        read for read in reads
        if not mistyped(feature, float(read), read.inches) and not within(float(read) / size, room(size))
    ]  # fmt: skip
    return [f"{far_off(odd[0].text, ref, feature)}."] if odd else []


def _text(draw: random.Random, size: float) -> str:
    """A reading of a size in mm as somebody writes it: right, a little off, or with a slip of the pen."""
    unit, factor, places = draw.choice((("in", 25.4, 4), ("mm", 1.0, 3), ("in", 25.4, 4)))
    slip = draw.choice((1, 1, 1, 1, 1, 1, 10, 0.1, 2, 0.5, 25.4, 1 / 25.4))
    off = draw.choice((0.0, 0.0, 0.01, -0.01, -0.08, 0.3, -0.5, 5.0))
    number = f"{max(size * slip + off, 0.0001) / factor:.{draw.choice((places, places, places - 1, places + 1))}f}"
    if draw.random() < 0.05:
        return "1 51/64 in"
    if draw.random() < 0.1:
        at = draw.randrange(len(number) - 1)
        swap = number[:at] + number[at + 1] + number[at] + number[at + 2 :]
        number = swap if not swap.startswith(".") and not swap.endswith(".") else number
    return f"{number} {unit}"


def _place(draw: random.Random, feature):
    stations = [*(feature.plan.stations if feature.plan else ()), read_quantity("0.9 in", "length"), None]
    angles = [*(feature.plan.angles if feature.plan else ()), read_quantity("33 deg", "angle"), None]
    return draw.choice(stations), draw.choice(angles)
