"""The surface of a round feature from diameters at stations and angles, and its least and greatest diameter.

d(z, a) = size + taper·x + barrel·x² + bell-mouth at either end + ovality (which may grow along x), with x = −1 at the
first and 1 at the last station read. The worst of many noisy readings is not the worst place of the part: chance has
made it worse. The worst of a fitted surface is so much less, and what is left of it is taken off.

What is stated is the mean over all the shapes that the readings allow (see `surface_shapes`), with their disagreement in
its uncertainty, so that the choice of a shape makes no error of its own.
"""

import functools
import math
from collections.abc import Sequence
from dataclasses import dataclass, field
from statistics import NormalDist

import numpy as np
from numpy.typing import ArrayLike

from gudgeon_calc.least_squares import Array, Errors, LeastSquares, chi_square_limit, generalised_least_squares, t_limit
from gudgeon_calc.surface_shapes import Mixture, Places, mixture, places_at
from gudgeon_calc.uncertainty import COVERAGE, Conformity, conformity, coverage_factor, standard_from_limits

SEED = 20_250_101  # fixed: the same readings give the same figures
DRAWS = 300  # behind a value and its uncertainty
DRAWS_OF_A_CHANCE = 2_000
LEVEL_OF_SCATTER = (
    0.05  # the stated use is taken as too small where its chi-square is passed as seldom as this by chance
)
LEVEL_OF_OUTLIER = 0.01  # chance that any reading of a sound map is said to stand off
DEGREES_OF_USE = 8  # of a stated uncertainty that is itself good to a quarter (JCGM 100:2008, G.4.2)
BORNE = 0.5  # share of the weight of all shapes
STEP = 1e-6  # mm: no reading is known better than this
AT_ONCE = 4_000_000  # diameters of drawn surfaces that are held at a time, so that many stations do not fill the memory
_NORMAL = NormalDist()


@dataclass(frozen=True)
class Extreme:
    """The least or greatest diameter of a surface, mm.

    value = weights·(diameters read) + correction: whatever error the readings share with those of another feature is so
    carried on, and cancels. standard: ± 2·standard covers 95 %, few degrees of freedom included. added: the part of it
    beside the stated uncertainty of weights·diameters: of the choice of shape, the correction, scatter past what is stated.
    station, angle: where it lies (None: anywhere). reading: number of the reading that decides alone as it stands off.
    """

    value: float
    standard: float
    weights: Array
    correction: float
    added: float
    station: float | None
    angle: float | None
    reading: int | None = None


@dataclass(frozen=True)
class FormSize:
    """Ovality or taper, mm: value ± expanded (95 %). angle: of the greatest diameter, degrees, where it is ovality."""

    value: float
    expanded: float
    angle: float | None = None

    def against(self, most: float) -> Conformity:
        """Where it stands against the most allowed, mm, up or down: "out" is outside by the whole uncertainty."""
        return conformity(abs(self.value), self.expanded, None, most)


@functools.cache
def _normals(draws: int, columns: int) -> Array:
    """Standard normals with a mean of exactly nought and a covariance of exactly one: what is linear is drawn exactly."""
    drawn = np.random.default_rng(SEED).standard_normal((draws // 2, columns))
    drawn = np.concatenate([drawn, -drawn])
    return drawn @ np.linalg.inv(np.linalg.cholesky(drawn.T @ drawn / draws)).T


@dataclass(frozen=True)
class Surface:
    """A surface fitted to diameters, mm. Made by `fit_surface`.

    off: numbers of the readings that stand off by more than chance allows; they are left out of the surface.
    excess: factor on the stated variance of use, 1 unless the scatter is beyond chance. degrees: of freedom behind it.
    chi_square, residual_degrees: of the readings about all terms.
    """

    off: tuple[int, ...]
    excess: float
    degrees: float
    chi_square: float
    residual_degrees: int
    _places: Places = field(repr=False)
    _mixture: Mixture = field(repr=False)
    _values: Array = field(repr=False)
    _stations: tuple[float | None, ...] = field(repr=False)
    _errors: Errors = field(repr=False)
    _of_use: Array = field(repr=False)
    _kept: tuple[int, ...] = field(repr=False)
    _unseen: float = field(repr=False)

    @property
    def shares(self) -> dict[str, float]:
        """Term -> share of the weight of all shapes that have it."""
        return self._mixture.shares

    @property
    def not_tested(self) -> tuple[str, ...]:
        """What the places read cannot tell: "ovality" (no two angles tell it), "ovality across" (only one direction of it was
        looked at), "taper", "barrel"."""
        return self._places.not_tested

    @property
    def borne(self) -> tuple[str, ...]:
        """The terms that the data bear."""
        return tuple(name for name, share in self.shares.items() if share > BORNE)

    def least(self, stations: Sequence[float | None] = ()) -> Extreme:
        """The least diameter, all around, at stations (at those read, where none are given)."""
        return self._extreme(-1, stations)

    def greatest(self, stations: Sequence[float | None] = ()) -> Extreme:
        """The greatest diameter, all around, at stations (at those read, where none are given)."""
        return self._extreme(1, stations)

    def size_at(self, station: float | None, angle: float | None) -> tuple[float, float]:
        """The diameter at a station, mm, and angle, degrees (None: the mean of the section), and its standard uncertainty, mm."""
        mean, oval, _ = self._places.rows([station])
        row = mean[0]
        if angle is not None and len(oval):
            turn = 2 * math.radians(angle)
            row = row + (self._places.directions @ np.array([math.cos(turn), math.sin(turn)])) @ oval[:, 0]
        sizes = self._mixture.coefficients @ row
        value = float(self._mixture.weights @ sizes)
        variances = ((row @ self._mixture.halves) ** 2).sum(axis=1) + (sizes - value) ** 2
        return value + float(self._values[list(self._kept)].mean()), math.sqrt(float(self._mixture.weights @ variances))

    def _drawn(self, sign: int, mean: Array, oval: Array, draws: int) -> tuple[Array, Array]:
        """Of each shape the extremes that the drawn surfaces have, and those that the part may have, M × draws."""
        mixture = self._mixture
        worst = _worst(sign, mixture.coefficients, mean, oval)
        surfaces = mixture.coefficients[:, None, :] + _normals(draws, mean.shape[1]) @ np.swapaxes(mixture.halves, 1, 2)
        drawn = _worst(sign, surfaces, mean, oval)
        # A drawn surface is worse than the fitted one by as much as that is worse than the true one: so turned about.
        return drawn, 2 * worst[:, None] - drawn

    def _extreme(self, sign: int, stations: Sequence[float | None]) -> Extreme:
        mean, oval, places = self._places.rows(stations)
        drawn, likely = self._drawn(sign, mean, oval, DRAWS)
        mixture = self._mixture
        value = float(mixture.weights @ likely.mean(axis=1))
        # How far the drawn surfaces themselves go from it: an ovality as small as the use, which turning about takes away
        # in the mean, is there all the same, and the readings do not rule it out.
        variance = float(mixture.weights @ ((drawn - value) ** 2).mean(axis=1))
        # How the extreme follows the readings: through the place where each shape has it.
        b = mixture.coefficients
        around = np.einsum("dsp,mp->mds", oval, b)
        radius = np.sqrt((around**2).sum(axis=1))
        where = np.argmax(sign * (b @ mean.T) + radius, axis=1)
        rows = mean[where]
        for shape, place in enumerate(where.tolist()):
            if radius[shape, place] > 0:
                rows[shape] += sign * around[shape, :, place] @ oval[:, place] / radius[shape, place]
        weights = np.zeros(len(self._values))
        weights[list(self._kept)] = mixture.weights @ np.einsum("mp,mpn->mn", rows, mixture.gains)
        stated = self._errors.variance(weights)
        certain = stated - float(weights**2 @ self._of_use)
        standard = math.sqrt(variance) * self._widened(variance, variance - certain)
        best = int(np.argmax(mixture.weights))
        place = int(where[best])
        angle = self._angle(sign, around[best, :, place])
        value += float(self._values[list(self._kept)].mean())
        if self._unseen and len(self._places.seen) < 2:
            # Anything from nothing to half of it, evenly, lies beyond the mean diameter.
            value += sign * self._unseen / 4
            standard = math.hypot(standard, standard_from_limits(self._unseen / 4))
        result = Extreme(
            value, standard, weights, value - float(weights @ self._values),
            math.sqrt(max(0.0, standard**2 - stated)), places[place], angle,
        )  # fmt: skip
        for number in self.off:
            size = float(self._values[number])
            if sign * size > sign * result.value and (not stations or self._stations[number] in stations):
                alone = np.zeros(len(self._values))
                alone[number] = 1
                result = Extreme(
                    size,
                    math.sqrt(self._errors.variance(alone)),
                    alone,
                    0.0,
                    0.0,
                    self._stations[number],
                    None,
                    number,
                )
        return result

    def _angle(self, sign: int, oval: Array) -> float | None:
        """Where around it lies, degrees; None where there is no ovality."""
        if not oval.any():
            return None
        c, s = oval @ self._places.directions
        return _direction(c, s, 90 if sign < 0 else 0)

    def _widened(self, variance: float, uncertain: float) -> float:
        """Factor for few degrees of freedom, on a part of the variance."""
        if math.isinf(self.degrees) or uncertain <= 0:
            return 1.0
        return coverage_factor(self.degrees * (variance / uncertain) ** 2, 0.9545) / COVERAGE

    def chance_below(self, low: float, stations: Sequence[float | None] = ()) -> float:
        """Chance, 0 to 1, that any place at the stations is below a diameter, mm."""
        return self._chance(-1, low, stations)

    def chance_above(self, high: float, stations: Sequence[float | None] = ()) -> float:
        """Chance, 0 to 1, that any place at the stations is above a diameter, mm."""
        return self._chance(1, high, stations)

    def _chance(self, sign: int, limit: float, stations: Sequence[float | None]) -> float:
        worst = self._extreme(sign, stations)
        if worst.reading is not None:
            return 1 - _NORMAL.cdf(sign * (limit - worst.value) / max(worst.standard, STEP))
        mean, oval, _ = self._places.rows(stations)
        _, likely = self._drawn(sign, mean, oval, DRAWS_OF_A_CHANCE)
        middle = float(self._mixture.weights @ likely.mean(axis=1))
        spread = math.sqrt(float(self._mixture.weights @ ((likely - middle) ** 2).mean(axis=1)))
        likely = worst.value + (likely - middle) * (worst.standard / spread)
        return min(1.0, float(self._mixture.weights @ (sign * (likely - limit) > STEP).mean(axis=1)))

    def taper(self) -> FormSize | None:
        """Taper over the length read, mm: the last station's diameter less the first's, of the best line; None if not tested."""
        if "taper" in self.not_tested:
            return None
        line = self._line()
        expanded = 2 * COVERAGE * math.sqrt(line.covariance[1, 1]) * self._widened(1, 1)
        return FormSize(2 * float(line.coefficients[1]), expanded)

    def ovality(self) -> FormSize | None:
        """Ovality, mm: greatest less least diameter around, one for the length; None where no two angles tell it.

        A vector's length is read too long by chance; its square is taken down by that. expanded reaches up to what was
        read and twice its standard uncertainty more.
        """
        directions = self._places.seen
        if not len(directions):
            return None
        line = self._line()
        vector, doubt = line.coefficients[-len(directions) :], line.covariance[-len(directions) :, -len(directions) :]
        square = float(vector @ vector)
        standard = math.sqrt(float(np.linalg.eigvalsh(doubt)[-1])) * self._widened(1, 1)
        value = math.sqrt(max(0.0, square - float(np.trace(doubt))))
        expanded = math.sqrt(square) + COVERAGE * standard - value
        c, s = vector @ directions
        return FormSize(2 * value, 2 * expanded, _direction(c, s))

    def _line(self) -> LeastSquares:
        """Size, taper and ovality alone."""
        kept = list(self._kept)
        errors = _scattered(self._errors.of(kept), self._of_use[kept], self.excess)
        return generalised_least_squares(self._places.line, self._values[kept] - self._values[kept].mean(), errors)


def _direction(c: float, s: float, turned: float = 0) -> float:
    """The angle of the greatest diameter, degrees, 0 to 180, turned on."""
    return round(math.degrees(math.atan2(s, c)) / 2 + turned, 6) % 180


def _worst(sign: int, coefficients: Array, mean: Array, oval: Array) -> Array:
    """The extreme of surfaces with coefficients (… × P)."""
    some = max(1, AT_ONCE // (coefficients.size // coefficients.shape[-1]))
    worst = np.full(coefficients.shape[:-1], -math.inf)
    for first in range(0, len(mean), some):
        level = sign * (coefficients @ mean[first : first + some].T)
        if len(oval):
            level = level + np.sqrt(sum((coefficients @ rows[first : first + some].T) ** 2 for rows in oval))
        worst = np.maximum(worst, level.max(axis=-1))
    return sign * worst


def fit_surface(
    values: ArrayLike,
    stations: Sequence[float | None],
    angles: Sequence[float | None],
    alone: ArrayLike,
    of_use: ArrayLike,
    shared: ArrayLike,
    unseen_ovality: float = 0.0,
) -> Surface:
    """Fit a surface to diameters.

    values [mm], stations [mm] and angles [degree], one of each a reading; None: no station; the mean of a section.
    alone: n, mm²: the variance that each reading shares with no other. of_use: n, mm²: the part of a reading's variance that is of
    use; that alone is scaled up where the scatter shows it to be too small. shared: n × k, mm: a column for each error that several
    readings have, how far a standard error of it moves each. unseen_ovality [mm]: what ovality there may be that the angles, or a
    three-point head, do not see; any up to it is taken as equally likely. Raises ValueError where they are not of one length
    or there are none, or a variance is negative.
    Source: JCGM 100:2008 and 101:2008; see the module. Valid: a part with two lobes or none; two-point gauges are blind to
    three, five or seven. The fewer the readings, and the nearer a form to what is just seen, the rougher.
    """
    y, d, u, s = (np.asarray(given, dtype=float) for given in (values, alone, of_use, shared))
    n = len(y)
    if not n or {len(stations), len(angles), len(d), len(u), len(s)} != {n}:
        raise ValueError(
            "a surface needs a station, an angle and an uncertainty for every reading, and one reading or more"
        )
    if min(d.min(), u.min()) < 0:
        raise ValueError("a variance must not be negative")
    stated, u = Errors(d + STEP**2, s), u + STEP**2
    kept = list(range(n))
    off: list[int] = []
    while True:
        read = places_at(tuple(stations[i] for i in kept), tuple(angles[i] for i in kept))
        errors = stated.of(kept)
        centred = y[kept] - y[kept].mean()
        white = errors.whitened(np.column_stack([read.design, centred]))
        q, _ = np.linalg.qr(white[:, :-1])
        residual = white[:, -1] - q @ (q.T @ white[:, -1])
        chi_square, degrees = float(residual @ residual), len(kept) - q.shape[1]
        worst = _stands_off(errors, q, residual, u[kept], degrees) if len(off) <= n // 10 else None
        if worst is None:
            break
        off.append(kept.pop(worst))
    excess = _excess(chi_square, degrees)
    return Surface(
        tuple(off), excess, math.inf if excess == 1 else degrees + DEGREES_OF_USE, chi_square, degrees,
        read, mixture(read, centred, _scattered(errors, u[kept], excess)), y, tuple(stations), stated, u, tuple(kept),
        unseen_ovality,
    )  # fmt: skip


def _scattered(errors: Errors, of_use: Array, excess: float) -> Errors:
    """With the variance of use as large as the scatter shows it to be."""
    return errors if excess == 1 else Errors(errors.alone + of_use * (excess - 1), errors.shared)


def _excess(chi_square: float, degrees: int) -> float:
    """By how much the variance of use is larger than stated: 1 unless the scatter is beyond chance."""
    if degrees < 1 or chi_square <= chi_square_limit(degrees, LEVEL_OF_SCATTER):
        return 1.0
    return chi_square / degrees


def _stands_off(errors: Errors, fitted: Array, residual: Array, of_use: Array, degrees: int) -> int | None:
    """The reading whose studentised deleted residual is beyond chance, or None.

    fitted: n × P, a base of all that a surface may be; residual: what it leaves of the readings; both whitened.
    """
    if degrees < 2:
        return None
    # Of each reading, how much of an error of its own the surface leaves.
    alone = np.maximum(errors.inverse_diagonal - (errors.weighed_back(fitted) ** 2).sum(axis=1), 0.0)
    lengths = np.sqrt(of_use * alone)
    off = np.sqrt(of_use) * np.abs(errors.weighed_back(residual[:, None])[:, 0]) / np.maximum(lengths, 1e-12)
    off[lengths < 0.1] = 0  # a reading that the surface has to follow anyway
    worst = int(np.argmax(off))
    if np.sum(off > off[worst] * (1 - 1e-6)) > 1:
        return None  # it cannot be told which of them
    left, level = degrees - 1, LEVEL_OF_OUTLIER / len(residual)
    more = _excess(max(float(residual @ residual) - float(off[worst]) ** 2, 0.0), left)
    limit = _NORMAL.inv_cdf(1 - level / 2) if more == 1 else math.sqrt(more) * t_limit(max(left, 3), level)
    return worst if off[worst] > limit else None
