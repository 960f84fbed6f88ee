"""Readings made up at random, each with what the Python side makes of it: what the page's scripts have to say word for word."""

import copy
import datetime
import json
import random
from typing import Any

from gudgeon.bench.answer import answer
from gudgeon.bench.data import bench_data
from gudgeon.entry.against_known import doubts_of  # noqa: F401


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
        target = {"low": low, "mid": low + 0.01, "high": low + 0.02, "turn_to": low, "from": "limits", "provisional": draw.random() < 0.2,
                  "expanded": draw.choice((0.002, 0.008)), "gauges": draw.sample(sorted(data["gauges"]), 2)}  # fmt: skip
    plan = None
    if draw.random() < 0.6:
        law = {"slope": draw.uniform(0.8, 1.1), "offset": draw.uniform(-0.01, 0.01), "scatter": draw.choice((0.0, 0.001, 0.004)),
               "cuts": draw.randint(4, 12), "middle": 0.1, "spread": 0.02}  # fmt: skip
        plan = {"operation": "X-1", "machine": draw.choice([None, *data["machines"]]), "left_on": draw.choice((0.0, 0.0, 0.05)),
                "stops": [{"kind": kind, "size_after": size - draw.random() * 0.2, "on_diameter": 0.05} for kind in ("finish", "spring")],
                "held_back": draw.choice((None, 0.0, 0.01)), "law": draw.choice((None, law)), "cuts_alike": draw.choice((None, 2))}  # fmt: skip
    limits = draw.choice((None, [low, low + 0.05]))
    gauges = {
        name: {
            "overdue": draw.random() < 0.3,
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
        "features": {ref: {"side": side, "target": target, "plan": plan, "limits": limits, "no_target": "it has none"}},
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
