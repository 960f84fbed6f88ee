"""Lobes that two-point gauges do not see: what a vee block shows of them, and what it makes of a size in a fit.

Over a vee an indicator moves a known number of times as much as the radius does (`form.vee_sees`), so its full movement
over one turn, divided by that, is the out-of-roundness: greatest less least radius. A form of an odd number of lobes and
radius R + h·cos(nθ) measures 2R across everywhere; the smallest circle round it is 2R + 2h and the largest in it 2R − 2h,
and 2h is its out-of-roundness. So a shaft works larger than two points read by its out-of-roundness, a bore smaller.
"""

from collections.abc import Sequence
from dataclasses import dataclass, replace

from gudgeon_calc.form import two_point_sees, vee_sees
from gudgeon_calc.uncertainty import COVERAGE, standard_from_use
from uncertainties import ufloat

from gudgeon.assess.findings import LobingFinding, Note
from gudgeon.assess.measuring.agreement import UncertainLength
from gudgeon.assess.measuring.sizes import LocalSize, Scales, expanded, mean_reading
from gudgeon.records.model import Build
from gudgeon.records.readings import Row


@dataclass(frozen=True)
class Lobing:
    """The lobes of a feature. out_of_round: greatest less least radius, mm, as a number with uncertainty."""

    out_of_round: UncertainLength
    lobes: int
    vee: float  # degrees
    rows: tuple[str, ...]

    def __post_init__(self):
        _ = self.out_of_round.derivatives  # laid out at once, as the size of a place is

    @property
    def unseen(self) -> bool:
        """Whether two points do not see it, so that the size works otherwise than it reads."""
        return two_point_sees(self.lobes) == 0

    def note(self, ref: str, internal: bool) -> Note:
        """What it makes of the size of a feature in a fit."""
        lengths = {"out_of_round": self.out_of_round.nominal_value, "expanded": expanded(self.out_of_round)}
        rows, lobes, vee = {"rows": self.rows}, {"lobes": self.lobes}, {"vee": f"{self.vee:g}°"}
        if not self.unseen:
            return Note(code="lobes-seen", subject=ref, names=rows, lengths=lengths, counts=lobes, words=vee)
        if internal:
            return Note(code="lobes-work-smaller", subject=ref, names=rows, lengths=lengths, counts=lobes, words=vee)
        return Note(code="lobes-work-larger", subject=ref, names=rows, lengths=lengths, counts=lobes, words=vee)

    def finding(self) -> LobingFinding:
        """As a finding."""
        return LobingFinding(
            out_of_round=self.out_of_round.nominal_value,
            expanded=expanded(self.out_of_round),
            lobes=self.lobes,
            vee=self.vee,
            rows=self.rows,
            works=self.unseen,
        )


def lobing_of(build: Build, scales: Scales, rows: Sequence[Row]) -> Lobing | None:
    """The worst lobing that rows of one feature and state show, those that two points miss before others."""
    shown = [
        Lobing(_out_of_round(build, scales, row, angle, row.lobes), row.lobes, angle, (row.id,))
        for row in rows
        if row.lobes is not None and (vee := build.instruments[row.gauge].vee) is not None
        for angle in [float(vee)]
    ]
    if not shown:
        return None
    worst = max(shown, key=lambda lobing: (lobing.unseen, lobing.out_of_round.nominal_value))
    return replace(worst, rows=tuple(row for lobing in shown if lobing.lobes == worst.lobes for row in lobing.rows))


def _out_of_round(build: Build, scales: Scales, row: Row, vee: float, lobes: int) -> UncertainLength:
    """A movement has no zero and no temperature; the scale counts with all that it may be off over so short a way."""
    instrument = build.instruments[row.gauge]
    use = standard_from_use(float(instrument.use), float(instrument.resolution))
    moved: UncertainLength = ufloat(mean_reading(row), use, tag=f"use of {row.gauge}")
    moved += ufloat(0, scales.scale(row.gauge) / COVERAGE, tag=f"scale of {row.gauge}, in the lobing")
    return moved / vee_sees(lobes, vee)


def works_by(lobing: Lobing | None, internal: bool) -> UncertainLength | float:
    """How much larger than two points read a feature works in a fit, mm; a bore smaller, so less than nought."""
    if lobing is None or not lobing.unseen:
        return 0.0
    return -lobing.out_of_round if internal else lobing.out_of_round


def working(place: LocalSize, lobing: Lobing | None, internal: bool) -> LocalSize:
    """A place as it works in a fit."""
    return replace(place, size=place.size + works_by(lobing, internal)) if lobing and lobing.unseen else place
