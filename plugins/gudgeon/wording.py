"""How numbers and states are said, as plain text: no false digits, no negative nought. With markup: pages/markup.py."""

import datetime
import math
from collections.abc import Mapping
from decimal import ROUND_CEILING, ROUND_FLOOR, ROUND_HALF_UP, Decimal
from typing import SupportsFloat

INCH = 25.4
NANOMETRE = 1e-6  # mm; limits that lie nearer to each other are one size
MINUS = "−"

# State -> mark. A state is always its word with its mark, never a colour alone.
MARKS = {
    "in": "●",
    "reads in": "◐",
    "reads out": "◓",
    "out": "✕",
    "metal on": "▲",
    "no reading": "○",
    "no limit": "–",
    "stale": "↺",
    "frozen": "▣",
    "conceded": "§",
    "done": "●",
    "can start": "▶",
    "waiting": "◷",
    "blocked": "■",
}
MEANS = {
    "in": "inside, by more than the gauge can be off",
    "reads in": "in, but closer to the edge than the gauge can tell, or not all of it is measured yet",
    "reads out": "out, but closer to the edge than the gauge can tell",
    "out": "outside, by more than the gauge can be off",
    "metal on": "metal has still to come off: it can be cut to size",
    "no reading": "not measured yet, or no reading of it counts",
    "no limit": "measured, but nothing says what it should be",
    "stale": "measured before a later job changed it: measure again",
    "frozen": "measured before it was pressed in; it can never be measured again",
    "conceded": "outside, and let stand by a person for a stated reason",
}
JOB_MEANS = {
    "done": "the job is finished",
    "can start": "all that the job needs is done",
    "waiting": "what the job needs is done, but has still to rest, cool or come",
    "blocked": "something that the job needs is not done yet",
}


def state_count(state: str, count: int) -> str:
    """How many stand so: ✕ 2 out."""
    return f"{MARKS.get(state, '')} {count} {state}"


def number(value: float, places: int, sign: bool = False) -> str:
    """A figure to so many places, halves up, with a true minus and never a negative nought."""
    exact = Decimal(repr(round(value, places + 6))).quantize(Decimal(1).scaleb(-places), rounding=ROUND_HALF_UP)
    if exact == 0:
        return f"{abs(exact)}"
    return f"{MINUS if exact < 0 else '+' if sign else ''}{abs(exact)}"


def _to_step(value: float, places: int, rounding: str) -> Decimal:
    """A figure to so many places, up or down; what binary fractions leave beyond three places more decides nothing."""
    return Decimal(repr(round(value, places + 3))).quantize(Decimal(1).scaleb(-places), rounding=rounding)


class UnitFormatter:
    """Says lengths in a build's own unit. All arguments are mm. names: how readers call what has an id, such as piston.skirt."""

    def __init__(self, units: str, names: Mapping[str, str] | None = None):
        self.inch = units == "in"
        self._names = names or {}

    def named(self, name: str) -> str:
        """A record as readers call it, where somebody said how; else its id."""
        return self._names.get(name, name)

    def size_text(self, mm: float) -> str:
        """A size: four places of an inch, or three of a millimetre."""
        return f"{number(mm / INCH, 4)} in" if self.inch else f"{number(mm, 3)} mm"

    def limits_text(self, least: float | None, most: float | None) -> str:
        """Limits to work to, never wider than they are: the least is rounded up and the most down. None: open at that end."""
        low, high = (f"{end} {'in' if self.inch else 'mm'}" for end in self._inward(least, most))
        if least is None and most is None:
            return "not said"
        return f"at most {high}" if least is None else f"at least {low}" if most is None else f"{low} to {high}"

    def tolerance_text(self, least: float | None, most: float | None) -> str:
        """How far apart limits are, as they are shown."""
        low, high = self._inward(least, most)
        if low is None or high is None:
            return "open"
        return f"{(high - low).scaleb(3)} thou" if self.inch else f"{high - low} mm"

    def shown_limits(self, least: float | None, most: float | None) -> tuple[float | None, float | None]:
        """The limits as they are shown, mm."""
        low, high = (
            None if end is None else float(end) * (INCH if self.inch else 1) for end in self._inward(least, most)
        )
        return low, high

    def _inward(self, least: float | None, most: float | None) -> tuple[Decimal | None, Decimal | None]:
        """Limits in the shown unit, to the step of a size; finer where that step would leave nothing between them."""
        per, places = (INCH, 4) if self.inch else (1.0, 3)
        if least is not None and most is not None and most - least < NANOMETRE:
            size = _to_step(least / per, places, ROUND_HALF_UP)
            return size, size
        low = high = None
        for finer in range(4):
            low = None if least is None else _to_step(least / per, places + finer, ROUND_CEILING)
            high = None if most is None else _to_step(most / per, places + finer, ROUND_FLOOR)
            if low is None or high is None or low < high:
                break
        return low, high

    def long_text(self, mm: float) -> str:
        """A size with one place more, where a sum would not show otherwise."""
        return f"{number(mm / INCH, 5)} in" if self.inch else f"{number(mm, 4)} mm"

    def clearance_text(self, mm: float, sign: bool = False) -> str:
        """A clearance, stock or uncertainty: tenths of a thou, or micrometres' place of a millimetre."""
        return f"{number(mm / INCH * 1000, 1, sign)} thou" if self.inch else f"{number(mm, 3, sign)} mm"

    def tilt_text(self, share: float) -> str:
        """A lean of an axis, length over length: thou an inch, or millimetres over 100."""
        return f"{number(share * 1000, 2)} thou an inch" if self.inch else f"{number(share * 100, 3)} mm over 100 mm"

    def at_most_text(self, mm: float) -> str:
        """A clearance or stock that is a most: never rounded up."""
        per, places = (INCH / 1000, 1) if self.inch else (1.0, 3)
        return self.clearance_text(float(_to_step(mm / per, places, ROUND_FLOOR)) * per)

    def plus_minus(self, mm: float, expanded: float) -> str:
        """A clearance or stock with its uncertainty."""
        value, unit = self.clearance_text(mm).split()
        return f"{value} ± {self.clearance_text(expanded).split()[0]} {unit}"

    def range_text(self, low: float | None, high: float | None) -> str:
        """A wanted range in the build's unit."""
        if low is None:
            return "not said"
        if high is None:
            return f"{self.clearance_text(low)} or more"
        unit = " thou" if self.inch else " mm"
        return f"{self.clearance_text(low).removesuffix(unit)} to {self.clearance_text(high)}"

    def station_text(self, mm: float | None) -> str:
        """A distance along the axis."""
        if mm is None:
            return "no station"
        return f"{number(mm / INCH, 2)} in" if self.inch else f"{number(mm, 1)} mm"

    def place_text(self, station: float | None, angle: float | None) -> str:
        """A station and angle in words; empty where neither was noted."""
        words = [f"station {self.station_text(station)}"] if station is not None else []
        words += [f"{angle:g}°"] if angle is not None else []
        return ", ".join(words)

    def factor(self) -> tuple[float, str, int]:
        """(mm per shown unit, unit, places) for small lengths in drawings."""
        return (INCH / 1000, "thou", 1) if self.inch else (1.0, "mm", 3)


def hotter(low: float, high: float) -> str:
    """By how much one part is hotter than another, °C and °F; a difference under nought is colder. low, high: K."""
    if high < low:
        low, high = high, low
    way = "colder" if high < 0 else "hotter"
    ends = sorted((abs(low), abs(high))) if high < 0 else [low, high]
    said = []
    for unit, per in (("°C", 1.0), ("°F", 1.8)):
        least, most = (number(end * per, 0) for end in ends)
        said.append(f"{least} {unit}" if least == most else f"{least} to {most} {unit}")
    return f"{said[0]} ({said[1]}) {way}"


def probability(share: float | None) -> str:
    """A chance in words that do not pretend."""
    if share is None:
        return "not known"
    if share < 0.001:
        return "under 0.1 %"
    if share > 0.999:
        return "over 99.9 %"
    percent = share * 100
    return f"{number(percent, 1 if percent < 10 or percent > 99 else 0)} %"


def minutes(value: float | None) -> str:
    """Minutes, from two hours on in hours."""
    if value is None:
        return "no estimate"
    return f"{number(value, 0)} min" if value < 120 else f"{number(value / 60, 1)} h"


def about_hours(value: float) -> str:
    """Minutes of work as one would say them of a whole job: hours without a fraction, from two hours on."""
    return f"{number(value, 0)} min" if value < 120 else f"{number(value / 60, 0)} h"


def about_days(value: float) -> str:
    """Days as one would say them: weeks from a fortnight on, years from two of them on."""
    unit, days = ("year", 365.25) if value >= 731 else ("week", 7.0) if value >= 14 else ("day", 1.0)
    count = number(value / days, 0)
    return f"under a {unit}" if count == "0" else f"{count} {unit}{'' if count == '1' else 's'}"


def about_days_between(least: float, most: float) -> str:
    """A range of days as one would say it."""
    first, last = about_days(least), about_days(most)
    if first == last:
        return f"about {first}"
    count, _, unit = first.partition(" ")
    return f"{count} to {last}" if unit.rstrip("s") == last.partition(" ")[2].rstrip("s") else f"{first} to {last}"


def about_evenings(value: float) -> str:
    """Evenings of work as one would say them."""
    count = number(value, 0)
    return "under an evening" if count == "0" else f"{count} evening{'' if count == '1' else 's'}"


def decides(spare: float | None) -> bool:
    """Whether a job cannot be put off by a day without the plan ending later. spare: days; None where that is not known."""
    return spare is not None and spare < 1


def can_wait(spare: float | None) -> str:
    """By how many whole days a job can be put off before the plan ends later."""
    if spare is None:
        return "how long it can wait is not known"
    days = math.floor(spare)
    return "cannot wait" if decides(spare) else f"can wait {days} day{'' if days == 1 else 's'}"


def outcomes(evidence, few: SupportsFloat) -> str:
    """What engines tell of a rule, club by club: honest about few of them, with those still running counted apart.

    evidence: of one rule. few: told from which on one may conclude (a threshold of judgement).
    """
    clubs = [(club.club, outcomes_of_club(club, few)) for club in evidence.clubs]
    told = [(club, words) for club, words in clubs if words]
    if len(told) < 2:
        return told[0][1] if told else "no reports yet"
    return "; ".join(f"{club}: {words}" for club, words in told)


def outcomes_of_club(club, few: SupportsFloat) -> str:
    """The same of one club; empty where it tells nothing."""
    counts = dict(club.results)
    running = counts.pop("running", 0)
    told = sum(counts.values())
    called = {name: name.replace("_", " ") for name in counts}
    if club.untimed:
        called["ran_free"] += (
            " (hours not given)" if club.untimed == counts["ran_free"] else f" (hours not given of {club.untimed})"
        )
    words = ", ".join(f"{count} {called[name]}" for name, count in counts.items() if count)
    reports = "report" if told == 1 else "reports"
    if words:
        words += f" ({told} {reports}; too few to conclude)" if told < float(few) else f" ({told} {reports})"
    if running:
        minutes = club.running_minutes
        so_far = f", {hours_run(minutes)} so far" if minutes else ""
        words += f"{'; ' if words else ''}{running} still running{so_far}, not counted"
    return words


def hours_run(minutes: float) -> str:
    """Hours of running: whole ones from ten on, with a tenth below."""
    hours = minutes / 60
    return f"{number(hours, 0 if hours >= 9.95 else 1)} h"


def share_that_held(share) -> str:
    """How many held of how many, with the shares between which the true one lies."""
    return f"{share.held} of {share.told}: {_percent(share.low)} to {_percent(share.high)} %"


def held_after(after) -> str:
    """The share that had still held after a time."""
    if after.share == 1:
        least = f", so at least {_percent(after.low)} % would" if after.low is not None else ""
        return f"none had failed by {hours_run(after.minutes)}, of {after.at_risk} that ran so long{least}"
    words = f"{_percent(after.share)} % still held after {hours_run(after.minutes)}"
    if after.low is not None:
        words += f" ({_percent(after.low)} to {_percent(after.high)} %)"
    return f"{words}; {after.at_risk} ran so long"


def _percent(share: float) -> str:
    """A share as percent, whole ones: no more is known of it. Nearly none and nearly all are never said as none and all."""
    said = f"{100 * share:.0f}"
    if said == "0" and share > 0:
        return "under 1"
    return "over 99" if said == "100" and share < 1 else said


def as_read(reads) -> str:
    """A row's readings with every digit as written, the unit once where they share it."""
    units = {reading.unit for reading in reads}
    if len(units) > 1:
        return " · ".join(reading.text for reading in reads)
    return " · ".join(reading.text.removesuffix(reading.unit).strip() for reading in reads) + f" {units.pop()}"


def upper_first(text: str) -> str:
    """The text with a capital at its start."""
    return text[:1].upper() + text[1:]


def best_first(rules: list) -> list:
    """Rules in the order in which they help: cited, in their range, unsaid, outside it, withdrawn."""

    def rank(rule) -> tuple:
        return (rule.grade == "withdrawn", not rule.cited_by, {True: 0, None: 1, False: 2}[rule.within])

    return sorted(rules, key=rank)


def lower_first(text: str) -> str:
    """The text with a small letter at its start, but for an abbreviation."""
    return text if text[1:2].isupper() else text[:1].lower() + text[1:]


MONTHS = (
    *("January", "February", "March", "April", "May", "June", "July"),
    *("August", "September", "October", "November", "December"),
)


def day_in_words(day: datetime.date) -> str:
    """A day as one would tell it."""
    return f"{day.day} {MONTHS[day.month - 1]} {day.year}"


def days_in_words(first: datetime.date, last: datetime.date) -> str:
    """From one day to another, the month and the year once where they are the same."""
    if first == last:
        return f"on {day_in_words(last)}"
    begins = day_in_words(first)
    if first.year == last.year:
        begins = str(first.day) if first.month == last.month else f"{first.day} {MONTHS[first.month - 1]}"
    return f"from {begins} to {day_in_words(last)}"


def slug(ref: str) -> str:
    """A part.feature or id as the name of a page."""
    return ref.lower()
