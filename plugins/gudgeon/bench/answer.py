"""The answer to a reading at the machine: one line, and what else has to be known before the next cut.

All sentences of it stand here, and every number is said by `UnitFormatter`: a size to a tenth of a thou or a micrometre, a
difference to a tenth of a thou or a micrometre, divisions to one place (two along a taper), halves up.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from typing import Any

from gudgeon_calc.at_the_lathe import (
    MetalOn,
    chance_of_scrap,
    gauge_shows,
    metal_on,
    taper_along,
)

from gudgeon.bench.lathe import Lathe
from gudgeon.bench.places import GRAIN, Metal, Place, Sized, metal_of, place_of, read_of_planned, sized
from gudgeon.wording import INCH, UnitFormatter, number, probability, upper_first


@dataclass
class Answer:
    """The line, what else is told, and the numbers in it by name: mm, divisions, 0 to 1."""

    line: str = ""
    more: list[str] = field(default_factory=list)
    values: dict[str, float] = field(default_factory=dict)

    @property
    def words(self) -> str:
        """All of it, a sentence a line."""
        return "\n".join([self.line, *self.more])


def answer(data: Mapping[str, Any], events: Sequence[Mapping[str, Any]]) -> Answer:
    """What is said to the last of some readings and cuts that were added since the bench data was made.

    data: `bench_data`. events: first to last; a reading is {of, station, angle, reads: [mm, ...], part_temp, gauge_temp, gauge,
    by, day, thermometer}, of which station, angle, temperatures and thermometer may be null or missing; a cut is {of, cut: mm
    asked on diameter, machine}. The last one is a reading.
    """
    reading = events[-1]
    ref = reading["of"]
    feature, gauge = data["features"][ref], data["gauges"][reading["gauge"]]
    told, fmt = Answer(), UnitFormatter(data["units"])
    taken = sized(data, reading)
    told.values["read"] = taken.read
    if gauge["vee"] is not None:
        told.line = f"{fmt.clearance_text(taken.read)} of movement over the vee: no size, and nothing to go by it."
        return told
    if taken.size is None or taken.expanded is None:
        told.line = (
            f"{fmt.size_text(taken.read)} as read; without the temperatures of part and gauge its size at 20 °C, what is to go "
            "and what the gauge will show are not known."
        )
        return told
    metal = metal_of(data, ref, events)
    here = metal.sizes[place_of(data, reading, metal)]
    told.values |= {"size": here, "expanded": taken.expanded}
    parts = [f"{fmt.size_text(here)} at 20 °C"]
    held = _out_of_reach(data, gauge, reading["gauge"], taken, fmt)
    if held:
        told.line, told.more = f"{parts[0]}, which does not count.", [held]
        return told
    machine = next((event["machine"] for event in reversed(events) if event["of"] == ref and "cut" in event), None)
    lathe = Lathe.of(data, feature, machine)
    target = feature["target"]
    pressed = feature["state"] == "frozen"
    if pressed:
        told.more.append("What is read now is not the size that its fit was made with.")
    if target is None or feature["side"] is None or pressed:
        parts.append(_against_limits(feature, metal, taken))
        if pressed:
            parts.append("nothing to cut: it was pressed since")
        elif feature["side"] is not None or feature["limits"] is None:
            parts.append(f"nothing to cut to: {feature['no_target']}")
    else:
        _tell_cut(told, parts, _Cut(data, feature, reading, metal, taken, lathe), fmt)
    told.line = "; ".join(part for part in parts if part) + "."
    told.more += _of_places(data, feature, metal, fmt, lathe, told)
    told.more += _of_reading(data, reading, taken, metal, place_of(data, reading, metal), fmt)
    return told


@dataclass(frozen=True)
class _Cut:
    """What the next cut is worked out from."""

    data: Mapping[str, Any]
    feature: Mapping[str, Any]
    reading: Mapping[str, Any]
    metal: Metal
    taken: Sized
    lathe: Lathe

    @property
    def on(self) -> MetalOn:
        """Metal on, by all places read in this state of the metal."""
        sizes, target = list(self.metal.sizes.values()), self.feature["target"]
        most, least = (max(sizes), min(sizes)) if self.outside else (min(sizes), max(sizes))
        return metal_on(self.feature["side"], most, least, target["low"], target["high"])

    @property
    def outside(self) -> bool:
        return self.feature["side"] == "external"

    @property
    def deciding(self) -> float:
        """The size with the most metal, mm."""
        return (max if self.outside else min)(self.metal.sizes.values())

    @property
    def differ(self) -> float:
        """How much the places differ, mm."""
        return max(self.metal.sizes.values()) - min(self.metal.sizes.values())

    @property
    def standard(self) -> float:
        """Standard uncertainty of the size against its limits, mm: as worked out for this gauge, else no less than that."""
        target = self.feature["target"]
        assert self.taken.expanded is not None, "a reading with a size"
        if self.reading["gauge"] in target["gauges"]:
            return target["expanded"] / 2
        return max(target["expanded"], self.taken.expanded) / 2

    def next_stop(self, final: float) -> float:
        """The size to stop at next, mm: the next one of the sheet, else the last one."""
        plan, sign = self.feature["plan"], 1 if self.outside else -1
        for stop in plan["stops"] if plan else ():
            ahead = sign * (self.deciding - stop["size_after"])
            if stop["kind"] != "spring" and ahead >= max(stop["on_diameter"] / 2, GRAIN):
                # Worked out before these places were read, it may lie past where their taper makes it stop.
                return (max if self.outside else min)(stop["size_after"], final)
        return final


def _tell_cut(told: Answer, parts: list[str], cut: _Cut, fmt: UnitFormatter) -> None:
    """What is to go, at which setting, and what the gauge shows at the next stop."""
    target, plan, on = cut.feature["target"], cut.feature["plan"], cut.on
    left = plan["left_on"] if plan else 0.0
    to_go, sign = on.on_diameter - left, 1 if cut.outside else -1
    told.values |= {"to_go": to_go, "to_last": on.to_last}
    if target["provisional"]:
        told.more.append("What is wanted may still move: its mate is not final.")
    if on.to_last < -GRAIN:
        past = fmt.clearance_text(-on.to_last)
        past = f"{past} past" if _shows(past) else "just past"
        sure = -on.to_last >= 2 * cut.standard
        last = target["shown"][0 if cut.outside else 1]
        parts.append(
            f"{past} the last limit, {last}: {'scrap' if sure else 'it reads scrap, within what the reading leaves open'}"
        )
        return
    if on.to_first <= GRAIN and not left:
        room = min(-on.to_first, on.to_last)
        wanted = f"{' to '.join(target['shown'])}{_where_read(cut.feature, cut.metal)}"
        parts.append(f"{'inside' if room >= 2 * cut.standard - GRAIN else 'reads inside'} what is wanted, {wanted}")
        if abs(to_go) > GRAIN:
            off = fmt.clearance_text(abs(to_go))
            parts.append(f"{off} {'to' if to_go > 0 else 'past'} the middle" if _shows(off) else "in the middle of it")
        told.more.append(_no_more(on, plan, fmt))
        return
    final = on.turn_to + sign * left
    if to_go <= GRAIN:
        parts.append(f"down to what {plan['operation']} leaves on, {fmt.clearance_text(left)}")
        return
    stop = cut.next_stop(final)
    takes = sign * (cut.deciding - stop)
    told.values |= {"stop": stop, "next_cut": takes}
    in_operation = f" in {plan['operation']}, which leaves {fmt.clearance_text(left)}" if left else ""
    parts.append(f"{fmt.clearance_text(to_go)} to go{in_operation}")
    several = abs(takes - to_go) > GRAIN
    if several:
        parts.append(f"next cut {fmt.clearance_text(takes)} to {fmt.size_text(stop)}")
    if plan is None and takes > 2 * cut.data["usual_depth"] + GRAIN:
        parts.append("no operation says in which passes, so no divisions")
    elif takes > on.to_last + GRAIN:
        wide = fmt.clearance_text(target["high"] - target["low"])
        parts.append(
            f"no straight cut brings all places inside: they differ by {fmt.clearance_text(cut.differ)}, and what is wanted is {wide} wide"
        )
        told.more.append(_no_more(on, plan, fmt))
        return
    else:
        parts.append(_setting(told, cut.lathe, takes))
    gauge = cut.data["gauges"][cut.reading["gauge"]]
    shows = gauge_shows(
        stop,
        cut.reading["part_temp"],
        cut.reading["gauge_temp"],
        cut.feature["part_cte"],
        gauge["cte"],
        cut.taken.reads_high,
    )
    told.values["shows"] = shows
    parts.append(f"your {gauge['spoken']} will show {fmt.size_text(shows)} there now")
    if on.stops_short:
        told.more.append(
            "It stops short of the middle, because the taper would make scrap of the smallest place."
            if cut.outside
            else "It stops short of the middle, because the taper would make scrap of the largest place."
        )
    told.more.append(_no_more(on, plan, fmt))
    open_ones = [name for name, op in cut.data["operations"].items() if cut.reading["of"] in op["changes"]]
    if not left and len(open_ones) > 1:
        told.more.append(
            f"To the finished size: {', '.join(open_ones)} have still to cut it, and what {open_ones[0]} leaves on is not written."
        )
    told.more.append(_chance(told, cut, on, takes))


def _setting(told: Answer, lathe: Lathe, takes: float) -> str:
    """The dial for a cut, in divisions."""
    if lathe.missing:
        return lathe.missing
    ask = lathe.ask(takes)
    if ask <= 0:
        return "no infeed: the tool takes that as it stands"
    told.values |= {"ask": ask, "divisions": lathe.divisions(ask)}
    words = f"{number(told.values['divisions'], 1)} divisions"
    if lathe.reads == "radius":
        words += " on the radius"
    return words if lathe.law else f"{words} if the dial takes what it says"


def _chance(told: Answer, cut: _Cut, on: MetalOn, takes: float) -> str:
    """How likely the next cut makes scrap, where the dial is known."""
    law, plan = cut.lathe.law, cut.feature["plan"]
    if law is None:
        made, few = (plan["cuts_alike"] if plan else None), cut.data["few_cuts"]
        logged = (
            f"{made or 'no'} {'cut like it is' if (made or 1) == 1 else 'cuts like it are'} logged, {few} are needed"
        )
        known = logged if plan else "no open operation says how it is cut"
        return f"What the dial really takes is not known ({known}), so the chance of passing scrap is not worked out."
    chance = chance_of_scrap(on.to_last, max(0.0, law.ask(takes)), law, cut.standard)
    told.values["chance"] = chance
    if chance >= 0.5:
        return "At this setting it is as likely as not that it passes scrap, or likelier."
    return f"Chance of passing scrap at this setting: {'' if chance < 0.001 else 'at most '}{probability(chance)}."


def _no_more(on: MetalOn, plan: Mapping[str, Any] | None, fmt: UnitFormatter) -> str:
    """What must not be taken: what the sheet says in its largest type, of the metal that is on now."""
    room = fmt.clearance_text(on.to_last)
    scrap = (
        f"past {room} on diameter some place read is scrap"
        if _shows(room)
        else "any more makes scrap of some place read"
    )
    if plan is None:
        return f"{upper_first(scrap)}."
    most = on.to_last - (plan["held_back"] or 0.0)
    if plan["left_on"]:
        most = min(most, on.on_diameter - plan["left_on"])
    return f"Take no more{f' than {fmt.clearance_text(most)}' if most > GRAIN else ''}: {scrap}."


def _where_read(feature: Mapping[str, Any], metal: Metal) -> str:
    """What "inside" and "outside" are said of, where planned places have not been read: the others may be otherwise."""
    done, planned = read_of_planned(feature, metal)
    return ", where it was read" if done < planned else ""


def _against_limits(feature: Mapping[str, Any], metal: Metal, taken: Sized) -> str:
    """Where a feature without a target stands against its own limits."""
    if feature["limits"] is None:
        return ""
    low, high = feature["limits"]
    assert taken.expanded is not None, "a reading with a size"
    room = min(min(metal.sizes.values()) - low, high - max(metal.sizes.values()))
    between = f"its limits, {' to '.join(feature['limits_shown'])}{_where_read(feature, metal)}"
    sure = "" if abs(room) >= taken.expanded - GRAIN else "reads "
    return f"{sure}{'inside' if room >= -GRAIN else 'outside'} {between}"


def _of_places(
    data: Mapping[str, Any], feature: Mapping[str, Any], metal: Metal, fmt: UnitFormatter, lathe: Lathe, told: Answer
) -> list[str]:
    """How many of the planned places were read in this state of the metal, and the taper that they show."""
    words = []
    done, planned = read_of_planned(feature, metal)
    if planned:
        told.values |= {"places_read": done, "places_planned": planned}
    if done < planned:
        rest = "the other is" if planned - done == 1 else "the others are"
        words.append(f"{done} of {planned} planned places read; {rest} not known.")
    if feature["target"] is not None and len(metal.sizes) >= data["few_places"]:
        words.append(
            f"By the single readings: from {data['few_places']} places on the pages go by the surface through them."
        )
    sections: dict[float, list[float]] = {}
    at_angles: dict[float, list[float | None]] = {}
    for (station, angle), size in metal.sizes.items():
        if station is not None:
            sections.setdefault(station, []).append(size)
            at_angles.setdefault(station, []).append(angle)
    taper = taper_along([(station, sum(sizes) / len(sizes)) for station, sizes in sorted(sections.items())])
    if taper is None or abs(taper.over_all) < data["least_taper"]:
        return words
    told.values |= {"taper": taper.over_all, "taper_length": taper.length}
    large = max(sections) if taper.slope > 0 else min(sections)
    said = (
        f"Taper {fmt.clearance_text(abs(taper.over_all))} in {fmt.station_text(taper.length)}, larger at station "
        f"{fmt.station_text(large)}"
    )
    if not lathe.missing and feature["side"] is not None:
        along = INCH if fmt.inch else 10.0
        told.values["taper_divisions"] = lathe.divisions(abs(taper.slope) * along)
        said += f": {number(told.values['taper_divisions'], 2)} divisions {'an inch' if fmt.inch else 'every 10 mm'} along the cut"
    words.append(f"{said}.")
    if len({frozenset(angles) for angles in at_angles.values()}) > 1:
        words.append("Not the same angles were read at every station: part of that may be ovality.")
    return words


def _of_reading(
    data: Mapping[str, Any], reading: Mapping[str, Any], taken: Sized, metal: Metal, place: Place, fmt: UnitFormatter
) -> list[str]:
    """What is doubtful about the reading itself."""
    words = []
    gauge, soak = data["gauges"][reading["gauge"]], data["limits_of_soak"]
    if metal.guessed is not None:
        words.append(
            f"{fmt.clearance_text(metal.guessed)} less metal than before at this place: taken as read after a cut that is not written "
            "down. The places read before it no longer count."
        )
    if metal.rows[place] > 1:
        words.append(
            "Several gauges or people read this place: the pages weigh their readings, and this is the newest alone."
            if place in metal.several
            else f"The mean of {metal.rows[place]} readings at this place in this state of the metal; this one alone is "
            f"{fmt.size_text(taken.size or 0.0)}."
        )
    if taken.reads_high:
        high = "high" if taken.reads_high > 0 else "low"
        words.append(
            f"{reading['gauge']} is known to read {fmt.clearance_text(abs(taken.reads_high))} {high}: taken out of the size, and left "
            "in what it will show."
        )
    words += [
        f"The check of {name} is overdue: it was due on {due}."
        for name, due in gauge["checks_due"]
        if reading["day"] > due
    ]
    if gauge["never_checked"]:
        words.append(f"{gauge['scale_of']} was never checked against anything: what it shows is not known to be true.")
    apart, off = abs(reading["part_temp"] - reading["gauge_temp"]), abs(reading["part_temp"] - 20.0)
    if apart > soak["gap"] + GRAIN or off > soak["part"] + GRAIN:
        said = (
            f"Part and gauge are {_kelvin(apart)} apart"
            if apart > soak["gap"] + GRAIN
            else f"The part is {_kelvin(off)} off 20 °C"
        )
        words.append(f"{said}: let them soak before the last cut.")
    return words


def _shows(amount: str) -> bool:
    """Whether an amount that is said is more than nought."""
    return float(amount.split()[0]) != 0


def _kelvin(difference: float) -> str:
    return f"{number(difference, 1).removesuffix('.0')} °C"


def _out_of_reach(
    data: Mapping[str, Any], gauge: Mapping[str, Any], name: str, taken: Sized, fmt: UnitFormatter
) -> str:
    """Why a reading cannot have been read with its gauge; empty where it can."""
    low, high = gauge["low"], gauge["high"]
    if low is None or high is None:
        return ""
    past = max(low - taken.read, taken.read - high)
    if past <= data["past_end"] * (high - low) + GRAIN:
        return ""
    return f"{name} reaches from {fmt.size_text(low)} to {fmt.size_text(high)}: was it another gauge, or another unit?"
