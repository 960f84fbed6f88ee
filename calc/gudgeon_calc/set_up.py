"""Where work stands in a chuck, from an indicator over a turn of it: offset, tilt, and which jaw by how much. Plain numbers.

An indicator on a round surface, read at angles over one turn, shows twice the offset from one side to the other. What follows
once a turn is offset; what follows twice a turn is out of round, and no jaw takes it out.
"""

import math
from collections.abc import Sequence
from dataclasses import dataclass


@dataclass(frozen=True)
class _Across:
    """Something across the axis. along, across: toward 0° and toward 90°."""

    along: float
    across: float

    @property
    def size(self) -> float:
        """How much it is in all: of an offset half of what the indicator moves over a turn."""
        return math.hypot(self.along, self.across)

    @property
    def direction(self) -> float:
        """Toward which angle, 0 to 360 degrees: the high side of an offset."""
        return round(math.degrees(math.atan2(self.across, self.along)), 9) % 360.0


@dataclass(frozen=True)
class Offset(_Across):
    """Where the centre of one section stands. along, across: toward 0° and toward 90°, in the unit of the readings.

    left: root mean square of what the offset does not explain, out of round and slips of reading; None where nothing is left
    to tell it by.
    """

    left: float | None


def offset_of(angles: Sequence[float], readings: Sequence[float]) -> Offset:
    """The offset of a section: the first harmonic r = m + a·cos θ + b·sin θ by least squares; a toward 0°, b toward 90°.

    angles: degrees, three or more that differ. readings: of the indicator there, greater where the work is high, one unit of
    length. Returns that unit. Raises ValueError where the angles tell no offset. Source: derived; for an offset that is small
    beside the radius it is the centre of the least squares circle. Valid: the indicator points at the axis.
    """
    count = len(readings)
    if count != len(angles) or count < 3:
        raise ValueError("an offset needs a reading at each of three angles or more")
    cosines = [math.cos(math.radians(angle)) for angle in angles]
    sines = [math.sin(math.radians(angle)) for angle in angles]
    cos_mean, sin_mean, mean = sum(cosines) / count, sum(sines) / count, sum(readings) / count
    cc = sum((c - cos_mean) ** 2 for c in cosines)
    ss = sum((s - sin_mean) ** 2 for s in sines)
    cs = sum((c - cos_mean) * (s - sin_mean) for c, s in zip(cosines, sines, strict=True))
    cr = sum((c - cos_mean) * (r - mean) for c, r in zip(cosines, readings, strict=True))
    sr = sum((s - sin_mean) * (r - mean) for s, r in zip(sines, readings, strict=True))
    whole = cc * ss - cs * cs
    if whole < 1e-6:
        raise ValueError("three different angles are needed to tell an offset")
    along, across = (cr * ss - sr * cs) / whole, (sr * cc - cr * cs) / whole
    if count == 3:
        return Offset(along, across, None)
    rest = sum(
        (r - mean - along * (c - cos_mean) - across * (s - sin_mean)) ** 2
        for c, s, r in zip(cosines, sines, readings, strict=True)
    )
    return Offset(along, across, math.sqrt(rest / (count - 3)))


def offset_expanded(reading: float, count: int) -> float:
    """Expanded uncertainty of an offset along one direction from readings evenly round: U·√(2/n).

    reading: U of one reading. count: how many. Returns the unit of the reading. Source: derived (JCGM 100:2008, 5.1.2, of the
    first harmonic). Valid: angles evenly round.
    """
    return reading * math.sqrt(2 / count)


@dataclass(frozen=True)
class Tilt(_Across):
    """How the axis of the work leans, in length per length. along, across: toward 0° and toward 90° as the station grows."""


def tilt_of(first: Offset, last: Offset, apart: float) -> Tilt:
    """The tilt between two sections. apart: from the first to the last along the axis, the unit of the offsets, not nought.

    Source: derived.
    """
    return Tilt((last.along - first.along) / apart, (last.across - first.across) / apart)


def jaw_moves(offset: Offset, jaws: int) -> tuple[float, ...]:
    """By how much each jaw of an independent chuck goes in (over nought) or is let out (under it) to bring a section to the axis.

    offset: of the section at the jaws. jaws: 4, the first at 0° and the others evenly round, as the angles are counted. Returns
    the unit of the offset. Source: derived: a jaw goes in by what its side is high. Valid: jaws that are set each on its own.
    """
    turns = [math.radians(360.0 * jaw / jaws) for jaw in range(jaws)]
    return tuple(offset.along * math.cos(turn) + offset.across * math.sin(turn) for turn in turns)
