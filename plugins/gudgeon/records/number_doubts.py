"""What is doubtful about the numbers of a row: one set of checks for the site, quick entry and import."""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import Literal

from gudgeon_calc.form import vee_sees
from gudgeon_calc.units import GRAIN, Measure, smallest_step

from gudgeon.records.build_file import Instrument
from gudgeon.records.mistyped import Mistyped, mistyped
from gudgeon.records.parts import DIAMETERS, Feature

JUST_PAST, BLIND = 0.005, 0.1
JUDGED = (  # common practice, no source; listed on the page "To be verified"
    (JUST_PAST, "share of a gauge's span by which a reading may lie past its end and still be read with it"),
    (BLIND, "share of the height of lobes below which a vee block counts as showing nothing of them"),
)

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


def vee_problems(
    ref: str,
    feature: Feature | None,
    instruments: Mapping[str, Instrument],
    gauge: str,
    reads: Sequence[Measure],
    lobes: int | None,
) -> Iterator[tuple[str, str]]:
    """(key of the row, what is wrong): a reading over a vee is of something round, not negative, and for lobes that it shows."""
    instrument = instruments.get(gauge)
    if instrument is None:
        return
    if instrument.vee is None:
        if lobes is not None:
            yield (
                "lobes",
                f'{gauge} is no vee block, so that nothing follows from "lobes". Remove it, or add "vee" to the instrument.',
            )
        return
    if feature and feature.is_length and feature.kind not in DIAMETERS:
        yield "gauge", f"{gauge} is a vee block, which shows lobes of a diameter. {ref} is a {feature.kind}."
    if any(float(read) < 0 for read in reads):
        yield "reads", "a vee block reads the full movement of the indicator over one turn, which must not be negative."
    if lobes is not None and vee_sees(lobes, float(instrument.vee)) < BLIND:
        yield "lobes", f"a vee of {instrument.vee} is blind to {lobes} lobes. Read it in a vee of another angle."


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
