"""The surface of a feature from its places: its least and greatest size, as sizes with all that they share with others."""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Literal

import numpy as np
from gudgeon_calc.surface import Extreme, FormSize, Surface, fit_surface
from gudgeon_calc.uncertainty import Conformity
from uncertainties import ufloat
from uncertainties.core import Variable

from gudgeon.assess.measuring.sizes import LocalSize, UncertainLength

OF_USE = "use of "  # how the part of a reading's uncertainty is named that it shares with no other

FormVerdict = Conformity | Literal["not tested"]


@dataclass(frozen=True)
class FeatureSurface:
    """A surface and the places that it was fitted to."""

    surface: Surface
    places: tuple[LocalSize, ...]

    def least(self, stations: Sequence[float | None] = ()) -> LocalSize:
        """The least size at stations, mm (at those read, where none are given): where it lies and the rows it rests on."""
        return self._size(self.surface.least(stations))

    def greatest(self, stations: Sequence[float | None] = ()) -> LocalSize:
        """The greatest size, likewise."""
        return self._size(self.surface.greatest(stations))

    @property
    def stand_off(self) -> tuple[LocalSize, ...]:
        """The places that stand off the surface by more than chance allows: to be measured again."""
        return tuple(self.places[number] for number in self.surface.off)

    def ovality_against(self, most: float) -> FormVerdict:
        """Where its ovality stands against the most allowed, mm. Angles that see one direction alone can find it out, never in."""
        return self._against(self.surface.ovality(), most, whole="ovality across" not in self.surface.not_tested)

    def taper_against(self, most: float) -> FormVerdict:
        """Where its taper over the length read stands against the most allowed, mm."""
        return self._against(self.surface.taper(), most, whole=True)

    @staticmethod
    def _against(form: FormSize | None, most: float, whole: bool) -> FormVerdict:
        verdict: FormVerdict = "not tested" if form is None else form.against(most)
        return "not tested" if verdict in ("in", "reads in") and not whole else verdict

    def _size(self, extreme: Extreme) -> LocalSize:
        if extreme.reading is not None:
            return self.places[extreme.reading]
        size: UncertainLength = extreme.correction
        if extreme.added > 0:
            size = ufloat(extreme.correction, extreme.added, tag="form and scatter of the surface")
        for weight, place in zip(extreme.weights.tolist(), self.places, strict=True):
            if weight:
                size = size + weight * place.size
        nearest = min(self.places, key=lambda place: _apart(place, extreme))
        angle = None if extreme.angle is None else round(extreme.angle, 1) % 180
        return LocalSize(extreme.station, angle, size, nearest.rows, fitted=len(self.places))


def _apart(place: LocalSize, extreme: Extreme) -> tuple[float, float]:
    """How far a place is from where a surface has its extreme: along, mm, and around, degrees."""
    along = abs((place.station or 0.0) - (extreme.station or 0.0))
    if place.angle is None or extreme.angle is None:
        return along, 0.0
    around = abs(place.angle - extreme.angle) % 180
    return along, min(around, 180 - around)


def surface_of(places: Sequence[LocalSize], unseen_ovality: float = 0.0) -> FeatureSurface | None:
    """The surface through places of one feature, in one state of the metal; None where there are none.

    unseen_ovality: what ovality there may be, mm, that the angles read or a three-point head do not see.
    """
    if not places:
        return None
    alone, of_use, shared = _errors(places)
    return FeatureSurface(
        fit_surface(
            [place.mm for place in places],
            [place.station for place in places],
            [place.angle for place in places],
            alone,
            of_use,
            shared,
            unseen_ovality,
        ),
        tuple(places),
    )


def _errors(places: Sequence[LocalSize]) -> tuple[np.ndarray, np.ndarray, np.ndarray]:
    """What is unknown of the places' sizes: the variance that each shares with no other, mm², the part of each one's variance that
    is of use, and a column for each error that several share, mm."""
    parts: dict[Variable, list[tuple[int, float]]] = {}
    for number, place in enumerate(places):
        for variable, derivative in place.size.derivatives.items():
            parts.setdefault(variable, []).append((number, derivative * variable.std_dev))
    alone, of_use = np.zeros(len(places)), np.zeros(len(places))
    several = [moved for moved in parts.values() if len(moved) > 1]
    shared = np.zeros((len(places), len(several)))
    for column, moved in enumerate(several):
        for number, part in moved:
            shared[number, column] = part
    for variable, moved in parts.items():
        for number, part in moved:
            if len(moved) == 1:
                alone[number] += part**2
            if (variable.tag or "").startswith(OF_USE):
                of_use[number] += part**2
    return alone, of_use, shared
