"""How well a result is known, with the degrees of freedom that instruments state for theirs."""

import math
from dataclasses import dataclass

from gudgeon_calc.uncertainty import COVERAGE, chance_outside, coverage_of, effective_degrees, standard_from_limits

from gudgeon.assess.measuring.measured_build import MeasuredBuild
from gudgeon.assess.measuring.sizes import UncertainLength, budget
from gudgeon.assess.measuring.surfaces import OF_USE
from gudgeon.records.build_file import Instrument


@dataclass(frozen=True)
class Doubt:
    """The uncertainty of a result: standard uncertainty in mm, and its degrees of freedom where few readings are behind it."""

    standard: float
    degrees: float | None

    @property
    def coverage(self) -> float:
        """The factor from the standard to the expanded uncertainty."""
        return coverage_of(self.degrees)

    @property
    def expanded(self) -> float:
        """U, mm."""
        return self.coverage * self.standard

    def chance_outside(self, value: float, low: float | None, high: float | None) -> tuple[float, float]:
        """The chances that what reads value, mm, is truly below low and above high."""
        return chance_outside(value, self.expanded, low, high, self.degrees)


def doubt_of(context: MeasuredBuild, size: UncertainLength) -> Doubt:
    """The uncertainty of a size or clearance. Degrees are None where no instrument in it says how many readings it rests on."""
    known = {}
    for name in {variable.tag for variable in size.derivatives if (variable.tag or "").startswith(OF_USE)}:
        instrument = context.build.instruments[name.removeprefix(OF_USE)]
        if instrument.use_readings and _use_counts(instrument):
            known[name] = float(instrument.use_readings - 1)
    if not known:
        return Doubt(size.std_dev, None)
    degrees = effective_degrees([(line.standard, known.get(line.name, math.inf)) for line in budget(size)])
    return Doubt(size.std_dev, degrees)


def _use_counts(instrument: Instrument) -> bool:
    """Whether the readings of an instrument vary by more than its step, which is known beyond doubt."""
    return float(instrument.use) / COVERAGE >= standard_from_limits(float(instrument.resolution) / 2)


def correlation(one: UncertainLength, other: UncertainLength) -> float:
    """How far two results err together, -1 to 1; 1 where one of them has no uncertainty."""
    if not one.std_dev or not other.std_dev:
        return 1.0
    shared = sum(
        derivative * other.derivatives[variable] * variable.std_dev**2
        for variable, derivative in one.derivatives.items()
        if variable in other.derivatives
    )
    return shared / (one.std_dev * other.std_dev)
