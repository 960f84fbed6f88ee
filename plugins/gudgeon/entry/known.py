"""What is known of a place before it is read again: plain numbers, from the records as they stand.

Lengths are millimetres at 20 °C, as nearly as the temperatures noted tell; angles degrees.
"""

import datetime
import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from gudgeon_calc.at_the_lathe import size_at_20
from gudgeon_calc.units import Measure, smallest_step

from gudgeon.records.cuts import Cut
from gudgeon.records.graphs import reached
from gudgeon.records.mistyped import expected
from gudgeon.records.model import Build
from gudgeon.records.number_doubts import number_doubts, set_in_each_other
from gudgeon.records.parts import Feature
from gudgeon.records.readings import Row

IRON = 12e-6  # per K, where the part's material does not say: near iron and steel; what it may be off is left open
ONE_KELVIN = 1.0  # how far each of two temperatures may be off; common practice, no source


@dataclass(frozen=True)
class KnownReading:
    """A reading with its size brought to 20 °C. open: how far it may be off, for k = 2. at_20: both temperatures were noted."""

    size: float
    open: float
    day: str
    at_20: bool = True


@dataclass(frozen=True)
class KnownPlace:
    """What is known of one place of a feature on a day.

    outside: cutting makes it smaller (True), larger (False), or nothing is said. last: its newest reading there by then. elsewhere:
    the newest of each other place. came_off: what cuts took since, where that is written. cut_since: the same, nought where none
    was made; None where it is not known. may_be_cut, may_have_moved: an operation
    that cuts it is under way or done since; something may have moved it otherwise. least, most: its limits. wanted: the size it
    is meant to have. stations, angles: those of the plan. read_before: whether somebody read there already. pressed_by: the operation
    that pressed it into its mate, where nothing was done to it since.
    """

    unit: str
    outside: bool | None
    last: KnownReading | None
    elsewhere: tuple[KnownReading, ...]
    came_off: float | None
    cut_since: float | None
    may_be_cut: bool
    may_have_moved: bool
    least: float | None
    most: float | None
    wanted: float | None
    stations: tuple[float, ...]
    angles: tuple[float, ...]
    read_before: bool
    first_day: str | None
    pressed_by: str | None = None


def known_place(build: Build, ref: str, station: float | None, angle: float | None, day: datetime.date) -> KnownPlace:
    """What the records say of a place (mm and degrees, None where there is none) on a day."""
    newest = newest_readings(build, ref, day)
    place = (_rounded(station), _rounded(angle))
    here = newest.get(place)
    return known_by(build, ref, place, here, [row for row in newest.values() if row is not here], day)


def newest_readings(build: Build, ref: str, day: datetime.date) -> dict[tuple[float | None, float | None], Row]:
    """The newest reading at each place of a feature by a day."""
    newest: dict[tuple[float | None, float | None], Row] = {}
    for row in sorted(_that_count(build, ref), key=lambda row: (row.date, row.time or "")):
        if row.date <= day:
            newest[_place(row)] = row
    return newest


def known_by(
    build: Build,
    ref: str,
    place: tuple[float | None, float | None],
    here: Row | None,
    others: Iterable[Row],
    day: datetime.date,
) -> KnownPlace:
    """What is known of a place by its newest reading, and by those of other places."""
    feature = build.features[ref]
    of_it = [cut for cut in build.standing_cuts if cut.of == ref and here and here.date <= cut.date <= day]
    came_after = [(cut, _came_after(build, cut, here)) for cut in of_it if here]
    cuts = [cut for cut, after in came_after if after is not False]
    surely = [cut for cut, after in came_after if after]
    came_off = sum(float(cut.got if cut.got is not None else cut.asked) for cut in surely)
    done, open_ops = _operations_since(build, ref, here, day)
    all_told = len(surely) == len(cuts) and not done
    allowed = feature.allowed
    plan = feature.plan
    return KnownPlace(
        unit=build.sound_head.units,
        outside=_outside(feature),
        last=known_reading(build, here) if here else None,
        elsewhere=tuple(known_reading(build, row) for row in others),
        came_off=came_off if surely and all_told else None,
        cut_since=came_off if all_told else None,
        may_be_cut=bool(done or open_ops or cuts),
        may_have_moved=done or bool(feature.depends_on),
        least=allowed[0] if allowed else None,
        most=allowed[1] if allowed else None,
        wanted=expected(feature),
        stations=tuple(float(planned) for planned in plan.stations) if plan else (),
        angles=tuple(float(planned) for planned in plan.angles) if plan else (),
        read_before=place in {_place(row) for row in build.rows if row.of == ref},
        first_day=min((row.date for row in build.rows), default=day).isoformat(),
        pressed_by=_pressed_by(build, ref, day),
    )


def known_reading(build: Build, row: Row) -> KnownReading:
    """A row of the records as a known reading."""
    temps = (float(row.part_temp), float(row.gauge_temp)) if row.part_temp and row.gauge_temp else None
    return at_20(build, row.of, row.gauge, row.reads, temps, row.date)


def at_20(
    build: Build, ref: str, gauge: str, reads: Sequence[Measure], temps: tuple[float, float] | None, day: datetime.date
) -> KnownReading:
    """The mean of some readings brought to 20 °C by the temperatures of part and gauge, with what it leaves open."""
    mean = sum(float(read) for read in reads) / len(reads)
    rounded = max(float(smallest_step(read)) for read in reads) / 2
    instrument = build.instruments[gauge]
    scale = max((float(link.scale) for link in set_in_each_other(build.instruments, gauge) if link.scale), default=0.0)
    material = build.materials.get(build.parts[ref.partition(".")[0]].material)
    said = material.cte if material else None
    of_part, of_gauge = float(said) if said else IRON, float(instrument.cte)
    unsure = mean * (ONE_KELVIN * math.hypot(of_part, of_gauge) if temps else 20 * IRON)
    if temps and not said:
        unsure += mean * of_part * abs(temps[0] - 20)
    size = size_at_20(mean, *temps, of_part, of_gauge) if temps else mean
    return KnownReading(
        size,
        math.sqrt(scale**2 + float(instrument.use) ** 2 + unsure**2 + rounded**2),
        day.isoformat(),
        temps is not None,
    )


def _that_count(build: Build, ref: str) -> Iterable[Row]:
    """Rows of sizes that nobody put right or took back, and that are no slip of the pen."""
    put_right = {row.supersedes for row in build.rows}
    return (
        row
        for row in build.rows
        if row.of == ref
        and row.id not in put_right
        and row.id not in build.withdrawn
        and row.gauge in build.instruments
        and build.instruments[row.gauge].vee is None
        and not any(
            doubt.spoils for doubt in number_doubts(build.features[ref], build.instruments, row.gauge, row.reads)
        )
    )


def _place(row: Row) -> tuple[float | None, float | None]:
    return _rounded(float(row.station) if row.station else None), _rounded(float(row.angle) if row.angle else None)


def _rounded(coordinate: float | None) -> float | None:
    return None if coordinate is None else round(coordinate, 4)


def _outside(feature: Feature) -> bool | None:
    if feature.metal_side is not None:
        return feature.metal_side == "external"
    return {"od": True, "bore": False, "slot": False}.get(feature.kind)


def _came_after(build: Build, cut: Cut, row: Row) -> bool | None:
    """Whether a cut came after a reading: by their days, by their times, else by the cut that the reading was taken after; None
    where nothing tells.

    A cut that no reading names yet is the one that is being entered: what was read by then came before it.
    """
    if cut.date != row.date:
        return cut.date > row.date
    if cut.time and row.time and cut.time != row.time:
        return cut.time > row.time
    order = {made.id: index for index, made in enumerate(build.cuts) if made.id}
    if row.after_cut in order and cut.id in order:
        return order[cut.id] > order[row.after_cut]
    named = any(other.after_cut == cut.id for other in build.rows)
    return True if cut.time and row.time and cut.id and not named else None


def _pressed_by(build: Build, ref: str, day: datetime.date) -> str | None:
    """The newest operation done on a feature by a day, where it is the one that pressed it into its mate."""
    done = [
        (op.done, index, op_id)
        for index, (op_id, op) in enumerate(build.operations.items())
        if op.done and op.done <= day and ref in build.touched_by(op)
    ]
    newest = max(done)[2] if done else None
    return newest if newest is not None and ref in build.operations[newest].presses else None


def warmth_of(build: Build, day: datetime.date) -> list[tuple[float, float]]:
    """The temperatures of part and gauge, °C, that the readings of a day have; each pair once."""
    pairs = (
        (float(row.part_temp), float(row.gauge_temp))
        for row in build.rows
        if row.date == day and row.part_temp and row.gauge_temp and row.id not in build.withdrawn
    )
    return list(dict.fromkeys(pairs))


def _operations_since(build: Build, ref: str, row: Row | None, day: datetime.date) -> tuple[bool, bool]:
    """Whether an operation that touches the feature, or what it depends on, was done since a reading, and whether one is open."""
    moving = set(reached([ref], lambda name: build.features[name].depends_on if name in build.features else ()))
    done = open_ops = False
    for op_id, op in build.operations.items():
        if not moving.intersection(build.touched_by(op)):
            continue
        if op.done is None:
            open_ops = True
        elif row and row.after != op_id and row.date <= op.done <= day:
            done = True
    return done, open_ops
