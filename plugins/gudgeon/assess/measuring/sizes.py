"""Readings to sizes at 20 °C with their uncertainty."""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from types import MappingProxyType

from gudgeon_calc.at_the_lathe import size_at_20
from gudgeon_calc.uncertainty import COVERAGE, standard_from_use
from uncertainties import ufloat
from uncertainties.core import Variable

from gudgeon.assess.findings import Cell, Component
from gudgeon.assess.measuring.agreement import Hand, UncertainLength, agreed_size, hands, limits_of
from gudgeon.assess.measuring.materials import Materials
from gudgeon.assess.measuring.thermometers import Thermometers
from gudgeon.assess.steps import Steps
from gudgeon.records.build_file import Instrument
from gudgeon.records.judgement import Threshold
from gudgeon.records.model import Build
from gudgeon.records.readings import Row

ROUNDING = 1e-9  # mm: an uncertainty below it is what rounding leaves of an error that cancels


@dataclass(frozen=True)
class LocalSize:
    """A size at a station (mm) and angle (degrees), as a number with uncertainty in mm."""

    station: float | None
    angle: float | None
    size: UncertainLength
    rows: tuple[str, ...]
    hands: tuple[Hand, ...] = ()  # the gauges and people that read it
    fitted: int | None = None  # of a surface: how many places it was fitted to

    def __post_init__(self):
        # Laid out at once: otherwise the last digits of what is made of it depend on who asked for its uncertainty before.
        _ = self.size.derivatives

    @property
    def mm(self) -> float:
        """The size alone."""
        return self.size.nominal_value

    def finding(self) -> Cell:
        """As a finding."""
        return Cell(
            station=self.station,
            angle=self.angle,
            size=self.mm,
            expanded=expanded(self.size),
            rows=self.rows,
            fitted=self.fitted,
        )


def expanded(size: UncertainLength) -> float:
    """Expanded uncertainty, k = 2."""
    return COVERAGE * size.std_dev


def budget(size: UncertainLength) -> list[Component]:
    """The uncertainty line by line, the largest first; parts with one name are put together."""
    lines: dict[str, float] = {}
    for variable, part in size.error_components().items():
        lines[variable.tag] = lines.get(variable.tag, 0.0) + part**2
    return [
        Component(name=name, standard=square**0.5)
        for name, square in sorted(lines.items(), key=lambda line: (-line[1], line[0]))
        if square**0.5 > ROUNDING
    ]


class Scales:
    """One variable for each instrument's scale error, shared by all that are set in it.

    An instrument that was found off and put right has another error after that day than before it.
    """

    def __init__(self, instruments: dict[str, Instrument]):
        self._instruments = instruments
        self._errors: dict[tuple[str, str], Variable] = {}

    def root(self, gauge: str) -> str:
        """The instrument whose scale a gauge reads with."""
        while set_in := self._instruments[gauge].scale_from:
            gauge = set_in
        return gauge

    def off(self, gauge: str, day: date) -> bool:
        """Whether a gauge is known to have read wrong on a day."""
        instrument = self._instruments[self.root(gauge)]
        off = instrument.found_off
        if off is None:
            return False
        since = off.since or instrument.checked
        assert isinstance(since, date), "the loader asks for a day since when"
        return since <= day and (day < off.found or not off.was_reset)

    def reads_high(self, gauge: str, day: date) -> float:
        """How much a gauge is known to have read too high on a day, mm; nought where nothing is known of it."""
        off = self._instruments[self.root(gauge)].found_off
        return float(off.reads_high) if off is not None and self.off(gauge, day) else 0.0

    def scale(self, gauge: str) -> float:
        """Expanded uncertainty of the scale that a gauge reads with, mm."""
        scale = self._instruments[self.root(gauge)].scale
        assert scale is not None, "the loader asks for a scale, or for the instrument it is set in"
        return float(scale)

    def error(self, gauge: str, day: date) -> Variable:
        """The scale error of a gauge on a day, mm."""
        root = self.root(gauge)
        found_off = self._instruments[root].found_off
        if found_off is None:
            period = ""
        else:
            period = (
                ", while it was off"
                if self.off(gauge, day)
                else ", put right"
                if day >= found_off.found
                else ", before"
            )
        if (root, period) not in self._errors:
            self._errors[root, period] = ufloat(0, self.scale(root) / COVERAGE, tag=f"scale of {root}{period}")
        return self._errors[root, period]

    def shared_error(self, size: UncertainLength, other: UncertainLength) -> tuple[str, Variable] | None:
        """The instrument whose scale error two sizes have in common, and that error; or None."""
        common = set(size.derivatives) & set(other.derivatives)
        return next(((root, error) for (root, _), error in self._errors.items() if error in common), None)

    def known_error(self, size: UncertainLength) -> dict[str, float]:
        """Instrument found off -> how much of its known error was taken out of a size or clearance, mm.

        Nought where it cancels. The result as it was read is the result with all of them put back.
        """
        known = {}
        for (root, period), error in self._errors.items():
            if period == ", while it was off" and error in size.derivatives:
                off = self._instruments[root].found_off
                assert off is not None, "only an instrument found off has such a time"
                known[root] = size.derivatives[error] * float(off.reads_high)
        return known


def mean_reading(row: Row) -> float:
    """Mean of a row's readings, mm."""
    return float(sum(reading.value for reading in row.reads) / len(row.reads))


def spread(row: Row) -> float:
    """Greatest less least reading of a row, mm."""
    values = [reading.value for reading in row.reads]
    return float(max(values) - min(values))


def sizes_at_reference(
    build: Build,
    materials: Materials,
    scales: Scales,
    judgement: Mapping[str, Threshold],
    rows: Iterable[Row],
    steps: Steps,
) -> list["SizedReading"]:
    """Rows with their sizes at 20 °C, the known errors of instruments found off taken out. rows: those with both temperatures."""
    sized, thermometers = [], Thermometers(build, judgement)
    for row in rows:
        with steps.step(f"reading/{row.id}", row):
            sized.append(_sized(build, materials, scales, thermometers, row))
    return sized


@dataclass(frozen=True)
class SizedReading:
    """A row with its size at 20 °C: mm, a number with uncertainty. section: read at three points, the mean of a section and not a
    diameter. station: mm; angle: degrees."""

    id: str
    of: str
    by: str
    gauge: str
    section: bool
    station: float | None
    angle: float | None
    size: UncertainLength


def _sized(build: Build, materials: Materials, scales: Scales, thermometers: Thermometers, row: Row) -> SizedReading:
    instrument = build.instruments[row.gauge]
    use = standard_from_use(float(instrument.use), float(instrument.resolution))
    read = _read(row, use) - scales.reads_high(row.gauge, row.date) + scales.error(row.gauge, row.date)
    part_temp, gauge_temp = thermometers.of_part_and_instrument(row)
    return SizedReading(
        row.id,
        row.of,
        row.by,
        row.gauge,
        instrument.contacts == 3,
        None if row.station is None else float(row.station),
        None if row.angle is None else float(row.angle),
        size_at_20(read, part_temp, gauge_temp, materials.cte(materials.of_part(row.of)), instrument.cte),
    )


def _read(row: Row, use: float) -> UncertainLength:
    return ufloat(mean_reading(row), use, tag=f"use of {row.gauge}")


Against = Mapping[str, Sequence[UncertainLength]]  # row -> the sizes of readings that it cannot be right with
NOTHING: Against = MappingProxyType({})


def local_sizes(rows: list, against: Against = NOTHING) -> list[LocalSize]:
    """Sized readings of one feature and state gathered by station and angle to one size each.

    A three-point head gives the mean of a section and no diameter at an angle: where diameters were read at the same
    station, its rows stay apart (see `comparisons`); where it alone was there, the section stands for all angles.
    """
    groups: dict[tuple, list] = {}
    diameters = {row.station for row in rows if not row.section}
    for row in rows:
        if not row.section:
            groups.setdefault((row.station, row.angle), []).append(row)
        elif row.station not in diameters:
            groups.setdefault((row.station, None), []).append(row)
    return _in_order(groups, against)


def _in_order(groups: dict[tuple, list], against: Against = NOTHING) -> list[LocalSize]:
    by_hand = {place: hands(rows) for place, rows in groups.items()}
    limits = limits_of(by_hand.values())
    places = [
        LocalSize(
            station,
            angle,
            agreed_size(read, limits, _against(rows, against)),
            tuple(row.id for row in rows),
            tuple(read),
        )
        for (station, angle), rows in groups.items()
        for read in [by_hand[station, angle]]
    ]
    return sorted(
        places,
        key=lambda place: (
            place.station is not None,
            place.station or 0.0,
            place.angle is not None,
            place.angle or 0.0,
        ),
    )


def _against(rows: list, against: Against) -> list[UncertainLength]:
    """The sizes that the rows of one place cannot be right with, and theirs."""
    return [size for row in rows for others in [against.get(row.id)] if others for size in (*others, row.size)]


def comparisons(rows: list) -> list[tuple[list[LocalSize], list[LocalSize]]]:
    """Sections that were read both as diameters and at three points: (diameters, three-point readings), by station."""
    sections: dict[float | None, tuple[dict, dict]] = {}
    for row in rows:
        diameters, three_point = sections.setdefault(row.station, ({}, {}))
        (three_point if row.section else diameters).setdefault((row.station, row.angle), []).append(row)
    return [
        (_in_order(diameters), _in_order(three_point))
        for _, (diameters, three_point) in sorted(sections.items(), key=lambda by_station: by_station[0] or 0.0)
        if diameters and three_point
    ]
