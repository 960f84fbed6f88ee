"""What is doubtful about the numbers of a row: one set of checks for the site, quick entry and import."""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import Literal

from gudgeon_calc.units import GRAIN, Measure, smallest_step

from gudgeon.records.build_file import Instrument
from gudgeon.records.mistyped import Mistyped, mistyped
from gudgeon.records.parts import Feature

JUST_PAST = 0.005  # share of a gauge's span by which a reading may lie past its end and still be read with it; practice

Kind = Literal["mistyped", "out of reach", "just past its reach", "fraction", "digits"]


@dataclass(frozen=True)
class NumberDoubt:
    """A doubt about one number of a row. gauge: the instrument that it speaks against; spoils: it cannot be counted."""

    kind: Kind
    read: Measure
    gauge: Instrument
    spoils: bool
    mistyped: Mistyped | None = None


def number_doubts(
    feature: Feature, instruments: Mapping[str, Instrument], gauge: str, reads: Sequence[Measure]
) -> list[NumberDoubt]:
    """What is doubtful about the readings of one row. Of the doubts that explain a wrong number only the first."""
    instrument = instruments[gauge]
    if instrument.vee is not None:  # a movement, no size
        return _coarse(instrument, reads)
    for read in reads:
        mistake = mistyped(feature, float(read), read.inches)
        if mistake:
            return [NumberDoubt("mistyped", read, instrument, True, mistake)]
    beyond = [
        NumberDoubt("just past its reach" if near else "out of reach", read, link, not near)
        for read in reads
        for link in set_in_each_other(instruments, gauge)
        if not link.can_reach(float(read))
        for near in [_just_past(link, float(read))]
    ]
    worst = sorted(beyond, key=lambda doubt: not doubt.spoils)[:1]
    return worst if worst and worst[0].spoils else [*worst, *_coarse(instrument, reads)]


def set_in_each_other(instruments: Mapping[str, Instrument], gauge: str) -> Iterator[Instrument]:
    """A gauge, the instrument that it is set in, the one that that is set in: a size has to lie in the range of each.

    Quick entry asks of builds that have problems too: what is set in itself, or in what is not there, ends the way.
    """
    name, passed = gauge, set[str]()
    while name is not None and name in instruments and name not in passed:
        passed.add(name)
        yield instruments[name]
        name = instruments[name].scale_from


def _just_past(gauge: Instrument, read: float) -> bool:
    assert gauge.range, "what states no range reaches everything"
    low, high = (float(end) for end in gauge.range)
    return max(low - read, read - high) <= JUST_PAST * (high - low) + GRAIN


def _coarse(gauge: Instrument, reads: Sequence[Measure]) -> list[NumberDoubt]:
    """Digits, or a fraction, that are coarser than the step that the gauge shows."""
    for read in reads:
        if float(smallest_step(read)) > float(gauge.resolution) + GRAIN:
            return [NumberDoubt("fraction" if "/" in read.text else "digits", read, gauge, False)]
    return []
