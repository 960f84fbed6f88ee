"""A line held against what is known of its place: what is asked before it is written, and never accepted in silence.

Plain numbers to sentences, so that every place where readings are entered asks alike. Lengths in millimetres.
"""

import datetime
from collections.abc import Sequence
from dataclasses import dataclass
from decimal import ROUND_HALF_UP, Decimal

from gudgeon.entry.known import KnownPlace, KnownReading

# From where on something is asked: common practice, no source. A question costs one key; each of these is a slip far more often
# than the truth.
WIDE = 2.5  # times the uncertainty of use that readings of one row may be apart; the site's own threshold stands in judgement.yaml
SMALL = 5.0  # mm: what is smaller is a gap or a play, which may be several times its nominal
TIMES = 8.0  # times over or under what it is meant to be, from which on a small size is asked about
PAST = 0.002  # share of a size by which it may be past what it is meant to be
MOVED = 0.002  # share of a size by which heat or a press may have moved it
ELSEWHERE = 0.003  # share of a size by which places of one feature may differ
COLD = -30.0  # °C
LATE = 366  # days
MIRRORED = 1.0  # K within which two temperatures are those of another reading the other way round
WARMER = 2.0  # K by which part and gauge differ at least where one is said to be the warmer


@dataclass(frozen=True)
class Doubt:
    """Something to ask before a line is written. code: which of the checks."""

    code: str
    words: str

    @property
    def sentence(self) -> str:
        """The words with their end."""
        return self.words if self.words.endswith("?") else f"{self.words}."


@dataclass(frozen=True)
class Line:
    """What a line says, in plain numbers. use: the uncertainty of use of its gauge, step: the smallest step that it shows."""

    reads: tuple[float, ...]
    texts: tuple[str, ...]
    now: KnownReading
    use: float
    step: float
    station: float | None
    angle: float | None
    ref: str
    gauge: str


def doubts_of(line: Line, known: KnownPlace) -> list[Doubt]:
    """Everything that speaks against a line, the weightiest first."""
    size = _size_doubt(line, known)
    told = [_pressed(line, known), size, _spread(line, known), _place(line, known), _day(line, known)]
    return [doubt for doubt in told if doubt]


def _pressed(line: Line, known: KnownPlace) -> Doubt | None:
    if known.pressed_by is None:
        return None
    return Doubt(
        "pressed",
        f"{known.pressed_by} pressed {line.ref} into its mate, where no gauge reaches: was another feature read?",
    )


def _size_doubt(line: Line, known: KnownPlace) -> Doubt | None:
    now, last = line.now, known.last
    small = _small(line, known)
    if small or last is None:
        return small or _elsewhere(line, known)
    more = now.size - last.size
    loose = (now.open**2 + last.open**2) ** 0.5
    was = f"was {_size(last.size, known.unit)}{' at 20 °C' if last.at_20 else ''} on {_day_words(last.day, now.day)}"
    differs = f"{was}: {amount(abs(more), known.unit)} {'more' if more > 0 else 'less'}"
    slip = _swapped(line, last.size, loose)
    on = more if known.outside else -more
    if known.outside is None:
        if abs(more) > loose and not known.may_be_cut and not known.may_have_moved:
            return Doubt("differs", f"{differs}; nothing is written that changed it since{slip}")
        return None
    if on > loose:
        if not known.may_have_moved or on > MOVED * last.size:
            return Doubt("grew", f"{differs}; cutting does not {'add metal' if known.outside else 'close it'}{slip}")
        return None
    off = -on
    if off <= loose:
        return None
    if not known.may_be_cut:
        return Doubt("nothing cut", f"{differs}; nothing is written to have come off since{slip}")
    if known.came_off is not None and off > 1.5 * known.came_off + loose:
        took = amount(known.came_off, known.unit)
        return Doubt("too much off", f"{differs}; the cuts since took {took}{slip}")
    past = _past(now.size, known)
    return Doubt("past", f"{differs}, and {past}{slip}") if past else None


def _past(size: float, known: KnownPlace) -> str:
    """How far cutting has gone past what the size is meant to be."""
    if known.outside and known.least is not None:
        return f"past its least size {_size(known.least, known.unit)}" if size < known.least else ""
    if not known.outside and known.most is not None:
        return f"past its greatest size {_size(known.most, known.unit)}" if size > known.most else ""
    if known.wanted is None:
        return ""
    past = (known.wanted - size) if known.outside else (size - known.wanted)
    return (
        f"{amount(past, known.unit)} past its {_size(known.wanted, known.unit)}" if past > PAST * known.wanted else ""
    )


def _small(line: Line, known: KnownPlace) -> Doubt | None:
    """A gap or a play that is many times what it is meant to be."""
    wanted = known.most if known.most is not None else known.wanted
    if not wanted or wanted >= SMALL or not line.now.size:
        return None
    ratio = line.now.size / wanted
    if 1 / TIMES <= ratio <= TIMES or (known.least == 0 and ratio < 1):
        return None
    times = f"{ratio:.0f} times" if ratio > 1 else f"1/{1 / ratio:.0f} of"
    thou = (
        f"; {line.texts[0].partition(' ')[0]} thou would be written {line.texts[0].partition(' ')[0]}thou"
        if ratio > 100
        else ""
    )
    return Doubt("far off", f"{line.texts[0]} is {times} the {_size(wanted, known.unit)} of {line.ref}{thou}")


def _elsewhere(line: Line, known: KnownPlace) -> Doubt | None:
    """Far from every other place of its feature, where nothing was read here yet."""
    if not known.elsewhere or line.now.size < SMALL:
        return None
    nearest = min(known.elsewhere, key=lambda reading: abs(reading.size - line.now.size))
    apart = line.now.size - nearest.size
    cut_to = known.may_be_cut and known.outside is not None and (apart < 0) == known.outside
    if abs(apart) <= ELSEWHERE * nearest.size or (cut_to and not _past(line.now.size, known)):
        return None
    slip = _swapped(line, nearest.size, ELSEWHERE * nearest.size)
    words = f"the nearest size read of {line.ref} elsewhere was {_size(nearest.size, known.unit)} on {_day_words(nearest.day, line.now.day)}"
    return Doubt(
        "unlike the rest", f"{words}: this is {amount(abs(apart), known.unit)} {'more' if apart > 0 else 'less'}{slip}"
    )


def _spread(line: Line, known: KnownPlace) -> Doubt | None:
    apart = max(line.reads) - min(line.reads)
    if apart <= WIDE * max(line.use, line.step) + 1e-9:
        return None
    return Doubt(
        "spread",
        f"the readings are {amount(apart, known.unit)} apart; {line.gauge} repeats to {amount(line.use, known.unit)}",
    )


def _place(line: Line, known: KnownPlace) -> Doubt | None:
    """A place that is not on the plan and was never read."""
    if known.read_before:
        return None
    odd_station = line.station is not None and known.stations and not _among(line.station, known.stations)
    odd_angle = line.angle is not None and known.angles and not _among(line.angle, known.angles)
    if not odd_station and not odd_angle:
        return None
    unit = 25.4 if known.unit == "in" else 1.0
    if line.station is not None and line.angle is not None:
        swapped = _among(line.angle * unit, known.stations) and _among(line.station / unit, known.angles)
        if swapped:
            return Doubt(
                "swapped",
                f"station and angle look swapped: planned are station {_number(line.angle)} {known.unit} and "
                f"angle {_number(line.station / unit)}",
            )
    planned = [
        f"stations {', '.join(_number(station / unit) for station in known.stations)} {known.unit}"
        if odd_station
        else "",
        f"angles {', '.join(_number(angle) for angle in known.angles)}" if odd_angle else "",
    ]
    return Doubt(
        "not planned", f"this place is not planned and was not read before; planned: {'; '.join(filter(None, planned))}"
    )


def _day(line: Line, known: KnownPlace) -> Doubt | None:
    if known.first_day is None:
        return None
    before = (datetime.date.fromisoformat(known.first_day) - datetime.date.fromisoformat(line.now.day)).days
    if before <= LATE:
        return None
    return Doubt("long before", f"{line.now.day} is {before} days before the first reading of this build")


def _swapped(line: Line, meant: float, loose: float) -> str:
    """A hint where two neighbouring figures, put the other way round, bring the first reading to what it is meant to be."""
    number, _, unit = line.texts[0].partition(" ")
    factor = {"in": 25.4, "mm": 1.0}.get(unit)
    if factor is None or "/" in number:
        return ""
    shift = line.now.size - line.reads[0]
    for at in range(len(number) - 1):
        other = number[:at] + number[at + 1] + number[at] + number[at + 2 :]
        if other == number or "." in number[at : at + 2]:
            continue
        if abs(float(other) * factor + shift - meant) <= max(loose, 5 * line.step):
            return f". Two figures the other way round, {other}, would fit"
    return ""


def temperature_doubt(celsius: Sequence[float], hot: float) -> Doubt | None:
    """Temperatures that no shop has. hot: from which on a part is hotter than a hand holds."""
    odd = [temp for temp in celsius if temp >= hot or temp < COLD]
    if not odd:
        return None
    return Doubt(
        "temperature",
        f"{_number(round(odd[0], 1))} °C is {'hotter than a hand holds' if odd[0] >= hot else 'colder than any shop'}",
    )


def swapped_warmth(temps: Sequence[float], others: Sequence[Sequence[float]]) -> Doubt | None:
    """Temperatures of part and gauge the other way round than all of the day. others: [part, gauge], °C, of its other readings."""
    part, gauge = temps
    if abs(part - gauge) < WARMER or any((one - other) * (part - gauge) > 0 for one, other in others):
        return None
    twin = next((pair for pair in others if max(abs(pair[0] - gauge), abs(pair[1] - part)) <= MIRRORED), None)
    if twin is None:
        return None
    of_part, of_gauge = (_number(round(temp, 1)) for temp in twin)
    return Doubt(
        "temperatures swapped",
        f"the day's other readings have the part at {of_part} °C and the gauge at {of_gauge} °C: are they swapped here?",
    )


def _among(value: float, planned: Sequence[float]) -> bool:
    return any(abs(value - one) <= 1e-3 for one in planned)


def amount(mm: float, unit: str) -> str:
    """A difference of sizes in the unit of the build: thousandths of an inch, or millimetres."""
    if unit == "mm":
        return f"{_to_places(mm, 3)} mm"
    return f"{_to_places(mm / 25.4, 3)} in" if mm >= 25.4 else _to_places(mm / 0.0254, 1).removesuffix(".0") + " thou"


def _size(mm: float, unit: str) -> str:
    return f"{_to_places(mm, 3)} mm" if unit == "mm" else f"{_to_places(mm / 25.4, 4)} in"


def _to_places(value: float, places: int) -> str:
    """A number with so many decimal places, halves up, as the script on the phone writes it."""
    return f"{Decimal(value).quantize(Decimal(1).scaleb(-places), ROUND_HALF_UP):f}"


def _number(value: float) -> str:
    return f"{value:.4f}".rstrip("0").removesuffix(".")


def _day_words(day: str, today: str) -> str:
    """29 March; with the year where it is another."""
    date = datetime.date.fromisoformat(day)
    months = [
        "January",
        "February",
        "March",
        "April",
        "May",
        "June",
        "July",
        "August",
        "September",
        "October",
        "November",
        "December",
    ]
    year = "" if day[:4] == today[:4] else f" {date.year}"
    return f"{date.day} {months[date.month - 1]}{year}"
