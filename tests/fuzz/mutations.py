"""Edits that keep a build's records well-formed and change what they mean. An edit sets or drops one value at its path."""

import copy
import datetime
import functools
import random
import re
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

from fuzz.fields import Leaf, Path, leaves, records
from fuzz.whole_builds import NAMES, Files, read
from gudgeon.records.base import Record
from gudgeon_calc.units import KINDS

DROP = "(drop)"  # in the place of a value: the key, or the entry, goes


@dataclass(frozen=True)
class Edit:
    """One value set, or dropped. absurd: no engine, shop or calendar has it, so it has to be told."""

    file: str
    path: Path
    value: Any
    absurd: bool = False


# Of each kind of quantity what nobody has, whatever it is a length or a time of.
ABSURD = {
    "length": ("50000 m", "-50000 m", "999999999.123456789012 mm", "99999 ft"),
    "temperature": ("1500 °C", "-300 °C", "99999 °F"),
    "temperature difference": ("5000 K",),
    "time": ("99999999 days", "-3 h"),
    "angle": ("4000 deg", "-999999 °"),
    "speed": ("999999999 rpm", "-400 rpm"),
    "velocity": ("99999 m/s",),
    "density": ("999999999 kg/m³", "0 kg/m³"),
    "pressure": ("99999999 GPa",),
    "volume": ("999999999 L",),
    "force": ("999999999 kN",),
    "torque": ("999999999 N.m",),
    "mass": ("999999999 kg", "-1 kg"),
    "energy": ("999999999 kJ",),
    "power": ("999999999 kW",),
    "ratio": ("999999:0.000001",),
    "drip rate": ("999999999 drops/min",),
    "expansion": ("999.9e-0 /K", "500e-1 /K"),
    "day": ("2199-12-31", "2140-06-01"),
}
# What can be by its kind, and is far from anything that somebody meant.
EXTREME = (
    "0",
    "-1",
    "0.000000000001",
    "0.001",
    "1",
    "7",
    "90",
    "1000",
    "999999999",
    "1e30",
    "9" * 30,
    "NaN",
    "inf",
    "-0",
)
NUMBERS = ("0", "-1", "0.000001", "0.5", "1", "2", "100", "999999999", "1e30", "9" * 30, "nan", "inf", "-inf", "1e-300")
TEXTS = ("x", "25 H7/g6", "RC4", "45 H7", "25 kg", "1:96", "0 mm", "9" * 30, "1e400", "<b>", "|", "[a](b)", "{{ x }}")


@functools.cache
def pool() -> dict[tuple[str, str], list[Any]]:
    """What the builds write: by kind ("", kind) and by record and field."""
    values: dict[tuple[str, str], list[Any]] = {}
    for name in NAMES:
        for leaf in leaves(read(name)):
            values.setdefault(("", leaf.kind), []).append(leaf.value)
        for _, _, model, data in records(read(name)):
            for key, value in data.items():
                values.setdefault((model.__name__, key), []).append(value)
    return values


def draw(files: Files, dice: random.Random) -> list[Edit]:
    """One change of meaning, as the edits that make it."""
    kinds = (
        (_another_value, 6),
        (_absurd, 3),
        (_extreme, 4),
        (_scaled, 4),
        (_another_unit, 2),
        (_dropped_key, 4),
        (_added_key, 3),
        (_list_changed, 4),
        (_days_apart, 2),
        (_half_read, 2),
        (_mixed_angles, 1),
        (_states, 2),
        (_twin, 1),
    )
    make = dice.choices([kind for kind, _ in kinds], [weight for _, weight in kinds])[0]
    return make(files, dice)


def apply(files: Files, edits: Sequence[Edit]) -> Files:
    """The files with the edits made; what is no longer there is passed over."""
    changed = {
        name: copy.deepcopy(files[name]) if any(edit.file == name for edit in edits) else files[name] for name in files
    }
    for edit in edits:
        at, last = _reach(changed.get(edit.file), edit.path)
        if isinstance(at, dict):
            if edit.value == DROP:
                at.pop(last, None)
            else:
                at[last] = copy.deepcopy(edit.value)
        elif isinstance(at, list) and isinstance(last, int) and last < len(at):
            if edit.value == DROP:
                del at[last]
            else:
                at[last] = copy.deepcopy(edit.value)
    return changed


def _reach(data: Any, path: Path) -> tuple[Any, Any]:
    """What the last step of a path is taken in, and that step."""
    for step in path[:-1]:
        if isinstance(data, dict):
            data = data.get(step)
        elif isinstance(data, list) and isinstance(step, int) and step < len(data):
            data = data[step]
        else:
            return None, None
    return data, path[-1] if path else None


def _leaf(files: Files, dice: random.Random, *kinds: str) -> Leaf | None:
    """A value of one of some kinds; every kind of thing comes up as often as every other, however few there are."""
    by_kind: dict[str, list[Leaf]] = {}
    for leaf in leaves(files):
        if isinstance(leaf.value, str) and (not kinds or leaf.kind in kinds):
            by_kind.setdefault(f"{leaf.kind} {leaf.owner}.{leaf.field}", []).append(leaf)
    return dice.choice(by_kind[dice.choice(sorted(by_kind))]) if by_kind else None


def _set(leaf: Leaf | None, value: Any, absurd: bool = False) -> list[Edit]:
    return [] if leaf is None else [Edit(leaf.file, leaf.path, value, absurd)]


def _another_value(files: Files, dice: random.Random) -> list[Edit]:
    """What another record of the same kind says: a swapped value, a name of another record, another word."""
    leaf = _leaf(files, dice)
    if leaf is None:
        return []
    if leaf.choices and dice.random() < 0.8:
        return _set(leaf, dice.choice(leaf.choices))
    own = [other.value for other in leaves(files) if other.kind == leaf.kind]
    others = own if dice.random() < 0.7 else pool()["", leaf.kind]
    return _set(leaf, dice.choice(others))


def _absurd(files: Files, dice: random.Random) -> list[Edit]:
    leaf = _leaf(files, dice, *ABSURD)
    if leaf is None:
        return []
    future = leaf.kind != "day" or leaf.field not in ("due", "recheck")
    return _set(leaf, dice.choice(ABSURD[leaf.kind]), absurd=future)


def _units(kind: str) -> list[str]:
    return list(KINDS.get(kind) or {}) or [""]


def _extreme(files: Files, dice: random.Random) -> list[Edit]:
    leaf = _leaf(files, dice, *KINDS, "readings", "whole", "number", "text", "day", "expansion", "time of day", "id")
    if leaf is None:
        return []
    if leaf.kind in ("whole", "number"):
        return _set(leaf, dice.choice(NUMBERS))
    if leaf.kind == "readings":
        many = [
            dice.choice(("0", "-1", "0.0001", "1", "999", leaf.value.split()[0]))
            for _ in range(dice.choice((1, 2, 3, 50)))
        ]
        return _set(leaf, " ".join([*many, dice.choice(("mm", "in"))]))
    if leaf.kind == "day":
        return _set(leaf, dice.choice(("1970-01-01", "2024-02-29", "2023-02-29", "2025-01-01", "2026-11-01")))
    if leaf.kind == "expansion":
        return _set(leaf, dice.choice(("0e-6 /K", "0.0001e-9 /K", "100e-6 /K", "11.0e-6 /F")))
    if leaf.kind == "time of day":
        return _set(leaf, dice.choice(("0:00", "23:59", "24:00")))
    if leaf.kind in ("text", "id"):
        return _set(leaf, dice.choice(TEXTS))
    return _set(leaf, f"{dice.choice(EXTREME)} {dice.choice(_units(leaf.kind))}".strip())


NUMBER = re.compile(r"\d+(?:\.\d+)?")


def _scaled(files: Files, dice: random.Random) -> list[Edit]:
    leaf = _leaf(files, dice, *KINDS, "readings", "number")
    factor = dice.choice((-1, 0, 0.5, 0.99, 1.001, 1.01, 2, 10, 25.4, 1 / 25.4, 1000))
    return _set(leaf, NUMBER.sub(lambda number: f"{float(number[0]) * factor:.6f}"[:12], leaf.value) if leaf else None)


def _another_unit(files: Files, dice: random.Random) -> list[Edit]:
    """The same figure with another unit: mm for in."""
    leaf = _leaf(files, dice, *(kind for kind, units in KINDS.items() if units), "readings")
    if leaf is None:
        return []
    units = _units("length" if leaf.kind == "readings" else leaf.kind)
    return _set(leaf, re.sub(r"[^\d\s.]+[^\d]*$", dice.choice(units), leaf.value))


def _record(files: Files, dice: random.Random) -> tuple[str, Path, type[Record], dict[str, Any]]:
    by_model: dict[str, list[Any]] = {}
    for entry in records(files):
        by_model.setdefault(entry[2].__name__, []).append(entry)
    return dice.choice(by_model[dice.choice(sorted(by_model))])


def _dropped_key(files: Files, dice: random.Random) -> list[Edit]:
    file, path, model, data = _record(files, dice)
    optional = [key for key in data if not _field(model, key).is_required()] if dice.random() < 0.9 else list(data)
    if not optional:
        return []
    return [Edit(file, (*path, dice.choice(optional)), DROP)]


def _field(model: type[Record], key: str) -> Any:
    return (
        next((field for name, field in model.model_fields.items() if key in (name, field.alias)), None) or _Required()
    )


class _Required:
    def is_required(self) -> bool:
        return True


def _added_key(files: Files, dice: random.Random) -> list[Edit]:
    """A key that the record leaves out, with what another record says under it."""
    file, path, model, data = _record(files, dice)
    keys = [field.alias or name for name, field in model.model_fields.items()]
    known = [key for key in keys if key not in data and (model.__name__, key) in pool()]
    if not known:
        return []
    key = dice.choice(known)
    return [Edit(file, (*path, key), dice.choice(pool()[model.__name__, key]))]


def _lists(data: Any, path: Path) -> Any:
    if isinstance(data, list):
        yield path, data
    if isinstance(data, (dict, list)):
        for key, inner in data.items() if isinstance(data, dict) else enumerate(data):
            yield from _lists(inner, (*path, key))


def _list_changed(files: Files, dice: random.Random) -> list[Edit]:
    """An entry twice, one less, another order, none at all."""
    every = [(file, path, held) for file, data in files.items() for path, held in _lists(data, ()) if held]
    if not every:
        return []
    file, path, held = dice.choice(every)
    place = dice.randrange(len(held))
    ways = (
        held[:place] + held[place + 1 :],
        [*held, held[place]],
        dice.sample(held, len(held)),
        held[::-1],
        [held[place]],
        [],
        [held[place]] * len(held),
    )
    return [Edit(file, path, dice.choice(ways))]


def _days_apart(files: Files, dice: random.Random) -> list[Edit]:
    leaf = _leaf(files, dice, "day")
    if leaf is None or not re.fullmatch(r"\d{4}-\d\d-\d\d", leaf.value):
        return []
    days = dice.choice((-4000, -365, -30, -1, 1, 7, 30, 365))
    return _set(leaf, (datetime.date.fromisoformat(leaf.value) + datetime.timedelta(days)).isoformat())


def _rows(files: Files, dice: random.Random) -> tuple[str, list[dict[str, Any]]] | None:
    names = [file for file, data in files.items() if file.startswith("readings/") and data.get("rows")]
    if not names:
        return None
    file = dice.choice(names)
    return file, files[file]["rows"]


def _half_read(files: Files, dice: random.Random) -> list[Edit]:
    """A map of which only some places were read."""
    drawn = _rows(files, dice)
    if drawn is None:
        return []
    kept = [row for row in drawn[1] if dice.random() < dice.choice((0.1, 0.5, 0.8))]
    return [Edit(drawn[0], ("rows",), kept or drawn[1][:1])]


def _mixed_angles(files: Files, dice: random.Random) -> list[Edit]:
    """Angles that do not lie square to each other, or are left out here and there; stations that do not agree."""
    drawn = _rows(files, dice)
    if drawn is None:
        return []
    rows = copy.deepcopy(drawn[1])
    for row in rows:
        key, values = dice.choice(
            (
                ("angle", ("0 deg", "30 deg", "45 deg", "90 deg", "180 deg", "359 deg")),
                ("station", ("0 mm", "1 mm", "3.00 in")),
            )
        )
        if dice.random() < 0.3:
            row.pop(key, None)
        else:
            row[key] = dice.choice(values)
    return [Edit(drawn[0], ("rows",), rows)]


def _states(files: Files, dice: random.Random) -> list[Edit]:
    """An operation is done, or not; an estimate stands the other way round, or is one figure three times."""
    operations = files.get("operations.yaml", {}).get("operations", {})
    if not operations:
        return []
    path = ("operations", dice.choice(sorted(operations)))
    held = operations[path[-1]].get("estimate")
    if held and len(held) == 3 and dice.random() < 0.4:
        likely = dice.choice(held)
        ways = ([*held[::-1]], [likely] * 3, ["0 min", likely, likely], ["0 min"] * 3, [held[0], held[2], held[1]])
        return [Edit("operations.yaml", (*path, "estimate"), list(dice.choice(ways)))]
    done = DROP if "done" in operations[path[-1]] else dice.choice(pool()["", "day"])
    return [Edit("operations.yaml", (*path, "done"), done)]


def _twin(files: Files, dice: random.Random) -> list[Edit]:
    """A record a second time under another id."""
    file, path, _, data = _record(files, dice)
    if not path:
        return []
    above, last = _reach(files[file], path)
    if isinstance(above, dict):
        return [Edit(file, (*path[:-1], f"{last}x"[:40]), data)]
    twin = {**data, "id": f"{data.get('id', 'x')}x"}
    return [Edit(file, path[:-1], [*above, twin])] if isinstance(above, list) else []
