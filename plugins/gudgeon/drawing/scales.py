"""From values to places on a sheet: an even axis, one of days, and one that is broken to show its last stretch large."""

import datetime as dt
import math
from collections.abc import Sequence

from gudgeon.wording import number

LEFT, RIGHT = 14.0, 346.0  # of a sheet 360 wide, with a margin


class Axis:
    """An even axis from low at `left` to high at `right`, with a margin of values at both ends, and round ticks.

    right may be less than left: the axis then runs the other way, or up the page. places: of decimals of its labels.
    """

    def __init__(
        self, low: float, high: float, left: float = LEFT, right: float = RIGHT, ticks: int = 5, margin: float = 0.08
    ):
        spread = (high - low) or abs(high) or 1.0
        self.low, self.high = low - spread * margin, high + spread * margin
        self._left, self._right, self._ticks = left, right, ticks

    def at(self, value: float) -> float:
        """Where a value stands, to a tenth of a unit; what lies beyond an end stands at the end."""
        share = (min(max(value, self.low), self.high) - self.low) / (self.high - self.low)
        return round(self._left + share * (self._right - self._left), 1)

    def ticks(self) -> list[tuple[float, str]]:
        """Round values with their labels."""
        return ticks(self.low, self.high, self._ticks)


def ticks(low: float, high: float, most: int) -> list[tuple[float, str]]:
    """About so many round values from low to high, a step of 1, 2 or 5 apart, with labels of the decimals that the step needs."""
    rough = (high - low) / most
    if not (rough > 0 and math.isfinite(rough)):
        return []
    power = 10.0 ** math.floor(math.log10(rough))
    step = next(power * factor for factor in (1, 2, 5, 10) if power * factor >= rough * (1 - 1e-9))
    places = max(0, -math.floor(math.log10(step) + 1e-9))
    first, last = math.ceil(low / step - 1e-9), math.floor(high / step + 1e-9)
    return [(count * step, number(count * step, places)) for count in range(first, last + 1)]


class Days:
    """An axis of days. first, last: the days at its ends; a last day that is the first has a week of its own."""

    def __init__(self, first: dt.date, last: dt.date, left: float = LEFT, right: float = RIGHT):
        self.first, self.last = first, last if last > first else first + dt.timedelta(days=7)
        self._left, self._right = left, right

    def at(self, day: dt.date, share: float = 0.0) -> float:
        """Where a day begins; share: how far through it."""
        part = ((day - self.first).days + share) / (self.last - self.first).days
        return round(self._left + min(max(part, 0.0), 1.0) * (self._right - self._left), 1)

    def ticks(self, most: int = 6) -> list[tuple[dt.date, str]]:
        """Not more than so many days with their labels: days, weeks (Mondays), first days of months or of years."""
        days = (self.last - self.first).days
        for step in (1, 2, 7, 14):
            if days / step <= most:
                first = self.first
                if step >= 7:
                    first += dt.timedelta(days=-first.weekday() % 7)
                stops = [first + dt.timedelta(days=step * number) for number in range(days // step + 1)]
                return [(stop, f"{stop.day} {stop:%b}") for stop in stops if stop <= self.last]
        for months in (1, 2, 3, 6, 12, 24, 60, 120):
            stops = _firsts_of_months(self.first, self.last, months)
            if len(stops) <= most:
                break
        return [(stop, f"{stop:%Y}" if months >= 12 else f"{stop:%b %Y}") for stop in stops]


def _firsts_of_months(first: dt.date, last: dt.date, step: int) -> list[dt.date]:
    """The first days of every so many months from one day to another."""
    number = first.year * 12 + first.month - 1 + (first.day > 1)
    number += -number % step
    stops = []
    while (stop := dt.date(number // 12, number % 12 + 1, 1)) <= last:
        stops.append(stop)
        number += step
    return stops


class Broken:
    """An axis with a break: the stretch from `near` to `cut` is drawn large, that from `cut` to `far` short beyond it.

    near and far: values at `left` and `right`; either may be the greater. share: of the length for the stretch near.
    Where far lies no further than cut there is no break, and the whole length is for the stretch near.
    """

    def __init__(
        self,
        near: float,
        far: float,
        cut: float,
        left: float = LEFT,
        right: float = RIGHT,
        share: float = 0.7,
        gap: float = 10.0,
    ):
        way = 1.0 if far >= near else -1.0
        self.near, self.far, self._way = near, far, way
        self.broken = (far - cut) * way > 0.0
        self.cut = cut if self.broken else far
        sense = 1.0 if right >= left else -1.0
        length = abs(right - left)
        self._left, self._sense = left, sense
        self._large = (length - gap) * share if self.broken else length
        self._small = length - gap - self._large
        self._gap = gap

    def at(self, value: float) -> float:
        """Where a value stands, to a tenth of a unit; what lies beyond an end stands at the end."""
        along, whole = (value - self.near) * self._way, abs(self.cut - self.near) or 1.0
        if along <= whole or not self.broken:
            at = max(along, 0.0) / whole * self._large
            return round(self._left + self._sense * min(at, self._large), 1)
        share = min((along - whole) / (abs(self.far - self.cut) or 1.0), 1.0)
        return round(self._left + self._sense * (self._large + self._gap + share * self._small), 1)

    def break_at(self) -> float | None:
        """Where the break is drawn: the middle of the gap."""
        return round(self._left + self._sense * (self._large + self._gap / 2), 1) if self.broken else None

    def ticks(self, most: int = 5) -> list[tuple[float, str]]:
        """Round values of the stretch near, with their labels."""
        return ticks(min(self.near, self.cut), max(self.near, self.cut), most)


def apart(positions: Sequence[float], least: float) -> list[float]:
    """Positions moved on, where they have to be, so that each is at least so far from the one before it, in the order given
    by their size; the answer stands in the order of the question."""
    moved, last = [0.0] * len(positions), -math.inf
    for index in sorted(range(len(positions)), key=lambda index: positions[index]):
        last = max(positions[index], last + least)
        moved[index] = round(last, 1)
    return moved
