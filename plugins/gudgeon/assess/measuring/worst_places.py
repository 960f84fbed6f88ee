"""The least and the greatest size of a feature from the places that were read, honestly.

The worst of many noisy readings is not the worst place of the part: chance has made it worse. From some places on, the
surface through them decides; where they are fewer, the worst reading does, the safe way.
"""

import functools
from collections.abc import Sequence
from typing import Literal

import numpy as np
from gudgeon_calc.surface import SEED
from gudgeon_calc.units import GRAIN
from uncertainties import covariance_matrix

from gudgeon.assess.measuring.sizes import LocalSize
from gudgeon.assess.measuring.surfaces import FeatureSurface, surface_of

DRAWS = 4_000
End = Literal["least", "greatest"]


class WorstPlaces:
    """The places of one feature in one state of the metal, and the surface through them.

    few: how many places there have to be for the surface to decide. unseen_ovality: what ovality there may be, mm, that
    the angles read or a three-point head do not see.
    """

    def __init__(self, places: Sequence[LocalSize], few: int, unseen_ovality: float = 0.0):
        self.places = tuple(places)
        self._few, self._unseen_ovality = few, unseen_ovality
        self._ends: dict[tuple[End, tuple[float | None, ...]], LocalSize] = {}

    @functools.cached_property
    def surface(self) -> FeatureSurface | None:
        """The surface through the places; None where there are none."""
        return surface_of(self.places, self._unseen_ovality)

    @functools.cached_property
    def _decides(self) -> bool:
        if len(self.places) >= self._few:
            return True
        return self._unseen_ovality > 0 and self.surface is not None and "ovality" in self.surface.surface.not_tested

    @property
    def fitted(self) -> FeatureSurface | None:
        """The surface, where it decides."""
        return self.surface if self._decides else None

    def at(self, end: End, among: Sequence[LocalSize] | None = None) -> LocalSize:
        """The least or the greatest size. among: only at the stations of these places."""
        sizes = self.places if among is None else tuple(among)
        if not self._decides or self.surface is None:
            return (min if end == "least" else max)(sizes, key=lambda place: place.mm)
        stations = () if among is None else tuple(dict.fromkeys(place.station for place in sizes))
        if (end, stations) not in self._ends:
            self._ends[end, stations] = (self.surface.least if end == "least" else self.surface.greatest)(stations)
        return self._ends[end, stations]

    def chances(self, low: float | None, high: float | None) -> tuple[float, float]:
        """The chances, 0 to 1, that any of several places is below the least and above the greatest size wanted, mm."""
        if self._decides and self.surface is not None:
            fitted = self.surface.surface
            return (
                fitted.chance_below(low) if low is not None else 0.0,
                fitted.chance_above(high) if high is not None else 0.0,
            )
        covariance = np.asarray(covariance_matrix([place.size for place in self.places]))
        values, vectors = np.linalg.eigh(covariance)
        drawn = np.random.default_rng(SEED).standard_normal((DRAWS, len(values)))
        sizes = np.array([place.mm for place in self.places]) + (drawn * np.sqrt(np.clip(values, 0, None))) @ vectors.T
        below = float(np.mean(sizes.min(axis=1) < low - GRAIN)) if low is not None else 0.0
        above = float(np.mean(sizes.max(axis=1) > high + GRAIN)) if high is not None else 0.0
        return below, above
