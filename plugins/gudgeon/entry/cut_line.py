"""A pass and what was read after it, in one line: `piston skirt dial 6 reads 4.2520 24c/16c om45`.

What stands before "dial" or "asked" names the feature; what stands behind "reads" is a line of quick entry without its feature.
"""

import datetime
import re
from collections.abc import Sequence
from dataclasses import dataclass, replace
from fractions import Fraction

from gudgeon_calc.at_the_lathe import divisions
from gudgeon_calc.units import INCH, Measure
from pydantic import ValidationError

from gudgeon.entry.line import Entered, has_angle, has_station, read_line, take_feature
from gudgeon.entry.sizes import NUMBER, NotClear, Words, take_size
from gudgeon.entry.starting import short
from gudgeon.records.build_file import Machine
from gudgeon.records.cuts import Cut
from gudgeon.records.model import Build
from gudgeon.records.operations import Operation
from gudgeon.records.problems import nearest, shown
from gudgeon.records.readings import Row
from gudgeon.records.work_kinds import by_heat_alone

HOW = (
    "Write what the dial was moved by, in its divisions, and what it reads now: "
    "piston skirt dial 6 reads 4.2520 24c/16c om45; or asked 0.012in, on diameter, in place of dial 6."
)


@dataclass(frozen=True)
class HowCut:
    """What a line leaves to the operation, the lathe or the cut before it; texts as records have them."""

    operation: str | None = None
    machine: str | None = None
    tool: str | None = None
    feed: str | None = None


class NotSaidHow(NotClear):
    """What nobody has said yet of how it is cut. lacks: the fields of HowCut."""

    def __init__(self, text: str, lacks: Sequence[str]):
        super().__init__(text)
        self.lacks = tuple(lacks)


@dataclass(frozen=True)
class EnteredCut:
    """A cut as it will be written, and the reading after it. asked: mm on diameter. remembered: keys that its operation gets, so
    that the next cut and the dial know how it is cut."""

    cut: dict[str, str]
    reading: Entered
    asked: float
    cut_words: str
    remembered: dict[str, str | dict[str, str]]

    @property
    def words(self) -> str:
        """Both as they are read back."""
        return f"{self.cut_words}\n{self.reading.words}"


def read_cut(
    build: Build,
    line: str,
    date: datetime.date,
    time: str | None,
    by: str | None,
    how: HowCut,
    today: datetime.date,
    hot: float,
) -> EnteredCut:
    """Read a pass with its reading. Raises NotClear. time: of the cut and of the reading, where the line says none; it tells
    what was read before the cut. how: what was said of the cut outside of the line."""
    head, dial, rest = _split(line)
    ref = _ref_of(build, head)
    operation = _operation(build, ref, how.operation)
    op = build.operations[operation] if operation else None
    name = _machine(build, ref, op, how.machine)
    asked, said = _asked(build, dial, build.machines[name])
    tool, feed = _tool_and_feed(build, ref, op, how)
    text, last = f"{ref} {_with_place(build, ref, rest)}", _last_of(build, ref, date)
    first = read_line(build, text, date, by, last, today=today, hot=hot, clock=time)
    cut = {"id": f"cut-{first.text('id')}"[:40], "date": first.text("date")}
    cut |= {"time": first.text("time")} if "time" in first.row else {}
    cut |= {"of": ref} | ({"operation": operation} if operation else {})
    cut |= {"machine": name, "asked": asked.text, "tool": tool, "feed": feed, "by": first.text("by")}
    try:
        made = Cut.model_validate(cut)
    except ValidationError as problem:
        first_error = problem.errors()[0]
        key, sentence = str(first_error["loc"][0]), first_error["msg"].removeprefix("Value error, ")
        raise NotClear(sentence if sentence.startswith(key) else f"{key}: {sentence}") from None
    if op and op.done and made.date > op.done:
        raise NotClear(
            f"{operation} was done on {op.done}, before this cut of {made.date}. Say --operation with the one that it is a cut of."
        )
    # What may have come off since the last reading is known only with the cut.
    with_cut = replace(build, cuts=(*build.cuts, made))
    reading = read_line(with_cut, text, date, by, last, today=today, hot=hot, clock=time)
    row = {key: value for key, value in reading.row.items() if key != "after_cut"} | {"after_cut": cut["id"]}
    remembered = _remembered(build, op, cut) if op else {}
    return EnteredCut(
        cut, replace(reading, row=row), float(asked), _read_back(build, cut, said, remembered), remembered
    )


def how_cut(build: Build, ref: str) -> dict[str, str | None] | None:
    """How a feature will be cut next, as far as the records say: operation, machine, tool and feed; None of what nobody cuts."""
    if build.features[ref].metal_side is None or not build.machines:
        return None
    operation = _operation(build, ref, None)
    op = build.operations[operation] if operation else None
    try:
        machine = _machine(build, ref, op, None)
    except NotClear:
        machine = None
    return {"operation": operation, "machine": machine, **_said_how(build, ref, op, HowCut())}


def _split(line: str) -> tuple[str, tuple[str, str], str]:
    """The feature's words, (dial or asked, what stands behind it), what stands behind "reads"."""
    body, hash_mark, note = line.partition("#")
    match = re.fullmatch(r"(?is)\s*(.+?)\s+(dial|asked)\s+(.+?)\s+reads?\s+(.+)", body)
    if match is None:
        lacks = "the feature stands first" if re.match(r"(?i)\s*(dial|asked)\s", body) else ""
        lacks = lacks or next((f'"{word}" is missing' for word in ("dial", "reads") if word not in body.lower()), "")
        raise NotClear(f"{lacks or 'it is not clear what was cut'}. {HOW}")
    return match[1], (match[2].lower(), match[3]), match[4] + hash_mark + note


def _ref_of(build: Build, head: str) -> str:
    """The feature that stands in front, as lines of quick entry name it."""
    words = Words(head.split())
    ref, _ = take_feature(build, words)
    if words.left:
        raise NotClear(f'"{shown(" ".join(words.left))}" stands behind {ref}, where nothing is expected. {HOW}')
    if build.features[ref].metal_side is None:
        raise NotClear(
            f"{ref} does not say on which side metal comes off. Write metal_side: external or internal into its part's file."
        )
    return ref


def _operation(build: Build, ref: str, name: str | None) -> str | None:
    """The operation that it is a cut of: as said, else the next open one that cuts the feature."""
    open_ones = [op_id for op_id, op in build.operations.items() if not op.done and ref in build.touched_by(op)]
    if name is None:
        # Nobody cuts at a stress relief: the pass is of the next one that cuts.
        return next((op_id for op_id in open_ones if not by_heat_alone(build.operations[op_id])), None)
    known = {op_id.lower(): op_id for op_id in build.operations}
    if name.lower() not in known:
        raise NotClear(f'no operation "{shown(name)}" in this build.{nearest(name, build.operations)}')
    return known[name.lower()]


def _machine(build: Build, ref: str, op: Operation | None, name: str | None) -> str:
    if name is not None:
        if name not in build.machines:
            raise NotClear(f'no machine "{shown(name)}" in machines.yaml.{nearest(name, build.machines)}')
        return name
    before = [cut.machine for cut in build.standing_cuts if cut.of == ref]
    machine = (op.machine if op else None) or (next(iter(build.machines)) if len(build.machines) == 1 else None)
    machine = machine or (before[-1] if before else None)
    if machine is not None and machine not in build.machines:
        raise NotClear(
            f'the lathe "{shown(machine)}" of the operation is not in machines.yaml. Say --machine, or write it down there.'
        )
    if machine is None:
        lacks = f"one of: {', '.join(build.machines)}" if build.machines else "gudgeon new lathe writes one down"
        raise NotClear(f"on which lathe was it cut? Say --machine, {lacks}.")
    return machine


def _asked(build: Build, dial: tuple[str, str], machine: Machine) -> tuple[Measure, str]:
    """What was asked on diameter, and how that was said."""
    kind, text = dial
    if kind == "asked":
        words = Words(text.split())
        asked, _ = take_size(words, build.sound_head.units, "size")
        if words.left:
            raise NotClear(f'"{shown(" ".join(words.left))}" stands behind what was asked. {HOW}')
        number = divisions(float(asked), float(machine.dial_division), machine.dial_reads)
        return asked, f"{number:.1f} divisions, of {machine.dial_division} on the {machine.dial_reads}"
    number = NUMBER.fullmatch(text.strip().removesuffix("divisions").removesuffix("div").strip())
    if number is None or number[2]:
        raise NotClear(
            f'"{shown(text)}" is no number of divisions. {HOW}'
            if number is None
            else f'"{shown(text)}": the dial is said in its divisions, of {machine.dial_division}. For a length on diameter write asked {text}.'
        )
    per_side = machine.dial_division.value * (2 if machine.dial_reads == "radius" else 1)
    value = per_side * Fraction(number[1])
    inches = machine.dial_division.inches
    size = value / INCH if inches else value
    measure, _ = take_size(
        Words([f"{float(size):.6f}".rstrip("0").rstrip(".") or "0", "in" if inches else "mm"]), "in", "size"
    )
    return (
        measure,
        f"{number[1]} division{'' if number[1] == '1' else 's'} of {machine.dial_division} on the {machine.dial_reads}",
    )


def _tool_and_feed(build: Build, ref: str, op: Operation | None, how: HowCut) -> tuple[str, str]:
    """Tool and feed: as said, else of the operation, else of the cut before it."""
    said = _said_how(build, ref, op, how)
    tool, feed = said["tool"], said["feed"]
    lacks = [f"--{name}" for name in ("tool", "feed") if not said[name]]
    if lacks:
        raise NotSaidHow(
            f"neither the operation nor a cut before it says the {' and the '.join(name[2:] for name in lacks)}. "
            f"Say {' and '.join(lacks)}, once: the next cut takes it over.",
            [name[2:] for name in lacks],
        )
    assert tool and feed, "told above"
    return tool, feed


def _said_how(build: Build, ref: str, op: Operation | None, how: HowCut) -> dict[str, str | None]:
    """Tool and feed as far as they are said."""
    layers = [layer for layer in ((op.cutting_of.get(ref), op.cutting) if op else ()) if layer]
    before = [cut for cut in build.standing_cuts if cut.of == ref]
    tool = (
        how.tool or next((layer.tool for layer in layers if layer.tool), None) or (before[-1].tool if before else None)
    )
    feed = how.feed or next((layer.feed.text for layer in layers if layer.feed), None)
    feed = feed or (before[-1].feed.text if before else None)
    return {"tool": tool, "feed": feed}


def _remembered(build: Build, op: Operation, cut: dict[str, str]) -> dict[str, str | dict[str, str]]:
    """What an operation that does not say how it is cut is given of its first cut: without it no cut teaches its dial."""
    if op.cutting or op.cutting_of or op.done:
        return {}
    several = len(build.machines) > 1 and op.machine is None
    return ({"machine": cut["machine"]} if several else {}) | {"cutting": {key: cut[key] for key in ("tool", "feed")}}


def _last_of(build: Build, ref: str, date: datetime.date) -> Entered | None:
    """The newest reading of a feature, for what a line leaves out: its gauge; its temperatures too, where it is of the same day."""
    rows = _standing_rows(build, ref)
    if not rows:
        return None
    row = max(rows, key=_when)
    carried: dict[str, str | int | list[str]] = {"of": ref, "gauge": row.gauge}
    if row.date == date and row.part_temp and row.gauge_temp:
        carried |= {"part_temp": row.part_temp.text, "gauge_temp": row.gauge_temp.text}
    return Entered(carried, "")


def _standing_rows(build: Build, ref: str) -> list[Row]:
    """Readings of a feature that nobody took back."""
    return [row for row in build.rows if row.of == ref and row.id not in build.withdrawn]


def _when(row: Row) -> tuple:
    return row.date, row.time or "", row.where()


def _with_place(build: Build, ref: str, rest: str) -> str:
    """What was read, with the place of the last reading in front where one size stands alone."""
    feature = build.features[ref]
    words = rest.split()
    numbers = 0
    while numbers < len(words) and (NUMBER.fullmatch(words[numbers]) or words[numbers] == "-"):
        numbers += 1
    if (
        numbers != 1
        or not (has_station(feature) or has_angle(feature))
        or re.search(r"(?i)(^|\s)(at [0-9.]+(?!\S*:)|station|angle)\s", rest)
    ):
        return rest
    rows = _standing_rows(build, ref)
    if not rows:
        raise NotClear(f"{ref} was not read before: write station and angle before the reading; - where there is none.")
    row = max(rows, key=_when)
    place = [(row.station.text.replace(" ", "") if row.station else "-")] if has_station(feature) else []
    place += [(f"{float(row.angle):g}" if row.angle else "-")] if has_angle(feature) else []
    return " ".join([*place, rest])


def _read_back(build: Build, cut: dict[str, str], said: str, remembered: dict[str, str | dict[str, str]]) -> str:
    part, _, feature = cut["of"].partition(".")
    lines = [
        f"Cut of {build.parts[part].name}, {build.features[cut['of']].name} ({cut['of']}) on {cut['machine']}",
        f"  {said}: {cut['asked']} asked on diameter",
        f"  tool {cut['tool']}, feed {cut['feed']}{', ' + cut['operation'] if 'operation' in cut else ''}",
        f"  {cut['date']}{' at ' + cut['time'] if 'time' in cut else ''}",
    ]
    waits = [] if "operation" not in cut else build.operations[cut["operation"]].needs
    waits = [name for name in waits if name in build.operations and not build.operations[name].done]
    if waits:
        lines.append(f"  {cut['operation']} needs what is not done: {', '.join(waits)}; gudgeon done marks it")
    if remembered:
        lines.append(f"  {cut['operation']} says from now on that it is cut so; mend it in operations.yaml")
    return "\n".join(lines)


def order_unknown(build: Build, ref: str, cut: dict[str, str]) -> Sequence[str]:
    """Readings of the day of a cut of which nothing says that they came before it: the pages take them as read after it.

    Those in the file that the reading after the cut is added to stand above it there, and so came before.
    """
    continued = f"/{cut['date']}-{short(ref)}.yaml"
    return [
        row.id
        for row in build.rows
        if row.of == ref
        and row.date.isoformat() == cut["date"]
        and row.after_cut is None
        and not (row.time and row.time != cut.get("time", row.time))
        and not row.where().file.endswith(continued)
    ]
