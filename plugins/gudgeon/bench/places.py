"""What the places of a feature measure once some readings and cuts have been added to what the bench data tells of it."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from typing import Any

from gudgeon_calc.at_the_lathe import Doubts, expanded_of_reading, size_at_20

Place = tuple[float | None, float | None]  # station, mm; angle, degrees
NEAR = 1e-4  # mm and degrees: a place is the same as it is written
GRAIN = 1e-7  # mm: less is what rounding leaves


@dataclass(frozen=True)
class Sized:
    """A reading brought to 20 °C, mm. size: None without both temperatures, and of a movement over a vee block."""

    read: float
    size: float | None
    expanded: float | None
    reads_high: float


@dataclass
class Metal:
    """The sizes of one state of the metal of a feature, place by place, mm.

    since_cut: whether a cut since the last build ended the state before it; guessed: no cut was written down, but metal has come
    off. several: places that several gauges or people read, of which the page weighs the readings.
    """

    sizes: dict[Place, float] = field(default_factory=dict)
    rows: dict[Place, int] = field(default_factory=dict)
    read_by: dict[Place, set[tuple[str, str]]] = field(default_factory=dict)
    doubt: dict[Place, float] = field(default_factory=dict)
    since_cut: bool = False
    guessed: float | None = None
    several: set[Place] = field(default_factory=set)


def sized(data: Mapping[str, Any], reading: Mapping[str, Any]) -> Sized:
    """The size at 20 °C of one reading, and its expanded uncertainty, mm."""
    feature, gauge = data["features"][reading["of"]], data["gauges"][reading["gauge"]]
    read = sum(reading["reads"]) / len(reading["reads"])
    high = reads_high(gauge, reading["day"])
    part_temp, gauge_temp = reading.get("part_temp"), reading.get("gauge_temp")
    if part_temp is None or gauge_temp is None or gauge["vee"] is not None:
        return Sized(read, None, None, high)
    warmth = (part_temp, gauge_temp, feature["part_cte"], gauge["cte"])
    doubts = Doubts(
        gauge["use"],
        gauge["scale"],
        _thermometer(data, gauge, reading.get("thermometer")),
        data["uneven"],
        feature["part_cte_within"] or 0.0,
    )
    return Sized(read, size_at_20(read - high, *warmth), expanded_of_reading(read - high, *warmth, doubts=doubts), high)


def reads_high(gauge: Mapping[str, Any], day: str) -> float:
    """How much a gauge is known to read too high on a day, mm."""
    off = gauge["off"]
    if off is None or day < off["since"] or (off["until"] is not None and day >= off["until"]):
        return 0.0
    return off["by"]


def _thermometer(data: Mapping[str, Any], gauge: Mapping[str, Any], name: str | None) -> float:
    name = name or data["thermometer"]
    if name:
        return data["thermometers"][name]
    return data["usual_thermometer"] if gauge["thermometer"] is None else gauge["thermometer"]


def metal_of(data: Mapping[str, Any], ref: str, events: Sequence[Mapping[str, Any]]) -> Metal:
    """The state of the metal after some readings and cuts of a feature, first to last."""
    metal = Metal()
    for place in data["features"][ref]["places"]:
        key = (place["station"], place["angle"])
        metal.sizes[key], metal.rows[key], metal.doubt[key] = place["size"], len(place["rows"]), place["expanded"]
        metal.read_by[key] = {(gauge, by) for gauge in place["gauges"] for by in place["by"]}
    for event in events:
        if event["of"] != ref:
            continue
        if "cut" in event:
            metal = Metal(since_cut=True)
            continue
        taken = sized(data, event)
        if taken.size is None or taken.expanded is None:
            continue
        place = place_of(data, event, metal)
        off = _came_off(data, ref, event, metal, place, taken)
        if off is not None:
            metal = Metal(since_cut=True, guessed=off)
        _add(metal, place, (event["gauge"], event["by"]), taken)
    return metal


def place_of(data: Mapping[str, Any], event: Mapping[str, Any], metal: Metal) -> Place:
    """Where a reading was taken; a three-point head reads a section, whatever the angle."""
    angle = None if data["gauges"][event["gauge"]]["contacts"] == 3 else event.get("angle")
    place = (event.get("station"), angle)
    return next((known for known in metal.sizes if same_place(known, place)), place)


def same_place(one: Place, other: Place) -> bool:
    """Whether two places are one."""
    return all(
        (first is None) == (second is None) and abs((first or 0.0) - (second or 0.0)) <= NEAR
        for first, second in zip(one, other, strict=True)
    )


def read_of_planned(feature: Mapping[str, Any], metal: Metal) -> tuple[int, int]:
    """How many of the planned places of a feature were read in a state of the metal, and how many are planned."""
    planned = [(station, angle) for station, angle in feature["planned"]]
    return sum(any(_covers(place, plan) for place in metal.sizes) for plan in planned), len(planned)


def _covers(place: Place, planned: Place) -> bool:
    """Whether a place that was read is a planned one, which may leave its station or angle open."""
    return same_place(
        (place[0] if planned[0] is not None else None, place[1] if planned[1] is not None else None), planned
    )


def _came_off(
    data: Mapping[str, Any], ref: str, event: Mapping[str, Any], metal: Metal, place: Place, taken: Sized
) -> float | None:
    """What came off at a place since it was read, where that is beyond what both readings leave open; else None."""
    assert taken.size is not None and taken.expanded is not None, "a reading with a size"
    before = metal.sizes.get(place)
    if before is None:
        return None
    less = data["features"][ref]["decides"] == "least"
    off = taken.size - before if less else before - taken.size
    same = {data["gauges"][gauge]["scale_of"] for gauge, _ in metal.read_by[place]} == {
        data["gauges"][event["gauge"]]["scale_of"]
    }
    # What one scale has wrong it has wrong of both readings.
    shared = data["gauges"][event["gauge"]]["scale"] if same else 0.0
    both = max(0.0, taken.expanded**2 - shared**2) + max(0.0, metal.doubt[place] ** 2 - shared**2)
    return off if off > both**0.5 + GRAIN else None


def _add(metal: Metal, place: Place, hand: tuple[str, str], taken: Sized) -> None:
    """Repeats in one hand with one gauge count alike; where several read a place, the newest stands here."""
    assert taken.size is not None and taken.expanded is not None, "a reading with a size"
    hands = metal.read_by.get(place, {hand})
    rows = metal.rows.get(place, 0)
    if hands == {hand}:
        metal.sizes[place] = (metal.sizes.get(place, 0.0) * rows + taken.size) / (rows + 1)
    else:
        metal.sizes[place] = taken.size
        metal.several.add(place)
    metal.rows[place], metal.read_by[place], metal.doubt[place] = rows + 1, {*hands, hand}, taken.expanded
