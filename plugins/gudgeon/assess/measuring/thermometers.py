"""Temperatures of part and instrument with their uncertainty: one thermometer is one error, shared by all that it read."""

from collections.abc import Mapping
from typing import Any

from gudgeon_calc.uncertainty import standard_from_limits
from uncertainties import ufloat

from gudgeon.records.build_file import Thermometer
from gudgeon.records.judgement import Threshold
from gudgeon.records.model import Build
from gudgeon.records.readings import Row

# A number with uncertainty, °C: the library makes its operators at run time, where a type checker does not see them.
UncertainTemperature = Any


class Thermometers:
    """One variable for each thermometer's error: what it read high of a part it read high of the instrument too.

    Where none is named, the readings of one day in one hand share one.
    """

    def __init__(self, build: Build, judgement: Mapping[str, Threshold]):
        self._build, self._judgement = build, judgement
        self._unsoaked: dict[str, UncertainTemperature] = {}  # the same of a part on a day
        self._errors: dict[
            tuple[str, ...], UncertainTemperature
        ] = {}  # in units of the standard uncertainty of the thermometer

    def of_part_and_instrument(self, row: Row) -> tuple[UncertainTemperature, UncertainTemperature]:
        """Both temperatures of a row, °C."""
        assert row.part_temp is not None and row.gauge_temp is not None, "rows without both have no size"
        part, instrument, error = float(row.part_temp), float(row.gauge_temp), self._error(row)
        return part + error + self._uneven(row, abs(part - instrument)), instrument + error

    def _uneven(self, row: Row, apart: float) -> UncertainTemperature:
        """A part that has not soaked is not at the temperature read on it: nought where part and instrument are at one.

        It is one error of the part and the day, however often the part is read meanwhile.
        """
        if not apart:
            return 0.0
        part, day = row.of.partition(".")[0], row.date.isoformat()
        tag = f"{part} not soaked, {day}"
        if tag not in self._unsoaked:
            self._unsoaked[tag] = ufloat(0, 1, tag=tag)
        return standard_from_limits(float(self._judgement["uneven_part"]) * apart) * self._unsoaked[tag]

    def _error(self, row: Row) -> UncertainTemperature:
        head = self._build.sound_head
        name = row.thermometer or head.thermometer
        stated = self._build.instruments[row.gauge].temp_within
        if name:
            thermometer: Thermometer = head.thermometers[name]
            key, within, tag = (name,), float(thermometer.within), f"thermometer {name}"
        else:
            key = (row.date.isoformat(), row.by)
            within = float(self._judgement["thermometer"] if stated is None else stated)
            tag = f"thermometer of {row.by}, {row.date}"
            if stated is None:
                key, tag = (*key, "usual"), f"{tag} (±{within:g} K, as is usual)"
        if not within:
            return 0.0
        if key not in self._errors:
            self._errors[key] = ufloat(0, 1, tag=tag)
        return standard_from_limits(within) * self._errors[key]
