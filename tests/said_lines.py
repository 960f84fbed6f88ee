"""The lines of lines.yaml, read for the demonstration builds: for the tests, and as vectors for whatever else reads such lines.

    python tests/said_lines.py > vectors.json

Each vector has the line, its build, day and person; then either why it is refused, or the row, what has to be asked, and, where
sizes are compared, the plain numbers that the questions follow from (`numbers` held against `known`; lengths in millimetres).
"""

import datetime
import json
import sys
from collections.abc import Iterator, Mapping
from dataclasses import asdict
from pathlib import Path
from typing import Any

import yaml
from gudgeon.entry.doubts import numbers_of
from gudgeon.entry.known import known_place
from gudgeon.entry.line import read_line
from gudgeon.entry.sizes import NotClear
from gudgeon.project.project import Project
from gudgeon.records.model import Build
from gudgeon.records.readings import Row

HERE = Path(__file__).parent / "entry"
BY = {"harrow-pond": ("odette", datetime.date(2025, 4, 6)), "sundlia": ("ilse", datetime.date(2025, 8, 10))}
NOT_SAID = ("id", "date", "by", "gauge", "after")
STEPS = (0.0, 0.0002, -0.0003, 0.0021, -0.0018, 0.05, -0.05)  # inches from what was read there


def lines() -> dict[str, list[dict[str, Any]]]:
    """Build -> its lines, each with what it is read as, or why it is refused."""
    return yaml.safe_load((HERE / "lines.yaml").read_text(encoding="utf-8"))


def read(build: Build, line: str) -> dict[str, Any]:
    """What becomes of a line, as lines.yaml has it."""
    by, day = BY[build.id]
    try:
        entered = read_line(build, line, day, by)
    except NotClear as problem:
        return {"says": line, "refused": str(problem)}
    said = [
        ", ".join(value) if isinstance(value, list) else str(value)
        for key, value in entered.row.items()
        if key not in NOT_SAID
    ]
    result: dict[str, Any] = {"says": line, "is": " | ".join(said)}
    if entered.doubts:
        result["asked"] = [f"{doubt.code}: {doubt.words}" for doubt in entered.doubts]
    return result


def vectors(builds: Mapping[str, Build]) -> Iterator[dict[str, Any]]:
    """Every line of lines.yaml, and every place that was read, read again a little off."""
    for name, said in lines().items():
        for entry in said:
            yield _vector(builds[name], entry["says"])
        for line in _again(builds[name]):
            yield _vector(builds[name], line)


def _again(build: Build) -> Iterator[str]:
    inches = build.sound_head.units == "in"
    seen = set()
    for row in build.rows:
        place = (row.of, row.station, row.angle)
        if place in seen or build.instruments[row.gauge].vee is not None or not row.part_temp or not row.gauge_temp:
            continue
        seen.add(place)
        for number, step in enumerate(STEPS):
            if (len(seen) + number) % 2 and number:
                continue
            mm = float(row.reads[0]) + step * 25.4
            size = f"{mm / 25.4:.4f}in" if inches else f"{mm:.3f}mm"
            if mm > 0:
                yield f"{row.of} {_place(build, row)} {size} {float(row.part_temp):g}c/{float(row.gauge_temp):g}c {row.gauge}"


def _place(build: Build, row: Row) -> str:
    station = f"at {str(row.station).replace(' in', 'in').replace(' mm', 'mm')}" if row.station else ""
    angle = f"{float(row.angle):g}deg" if row.angle else ""
    return f"{station} {angle}" if station or angle else "- -"


def _vector(build: Build, line: str) -> dict[str, Any]:
    by, day = BY[build.id]
    head = {"build": build.id, "line": line, "day": day.isoformat(), "by": by}
    try:
        entered = read_line(build, line, day, by)
    except NotClear as problem:
        return head | {"refused": str(problem)}
    vector: dict[str, Any] = head | {"row": entered.row, "asked": [asdict(doubt) for doubt in entered.doubts]}
    row = Row.model_validate({**entered.row})
    if build.instruments[row.gauge].vee is None:
        numbers = numbers_of(build, entered.row, row.reads, row.station, row.angle)
        vector["numbers"] = asdict(numbers)
        vector["known"] = asdict(known_place(build, row.of, numbers.station, numbers.angle, row.date))
    return vector


if __name__ == "__main__":
    project = Project.open(HERE, cache=False)
    json.dump(list(vectors({name: project.build(name) for name in BY})), sys.stdout, ensure_ascii=False, indent=1)
