"""The shapes that a round feature may have, and how well the diameters read agree with each of them.

Which terms there are is not decided once: every shape that the places can tell has a weight by Schwarz's criterion
(Schwarz 1978, as weights in Raftery 1995, both from memory), which asks less where readings are few: a form that they cannot
rule out has its part in what is stated (decision 0042). A term is borne by the data where the shapes that have it
carry more than half of the weight.
"""

import functools
import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from gudgeon_calc.least_squares import Array, Errors

FEWEST = 4  # places; below them no form can be told from scatter
SLIGHT = 0.02  # shapes under this share of the greatest weight are left out
LEAST_PENALTY = 1.5  # in chi-square, of a column: of few places; Schwarz's own, the logarithm of the number of readings, where it is more
RARE = 2.0  # and of what is rarer than taper, ovality and a difference between places
RARER = ("barrel", "bell-mouth", "deep bell-mouth", "uneven bell-mouth", "growing ovality")
SEPARATE = 0.005  # mean square that is left of a column beside the others, where the places tell it from them
DIFFERENT = 1e-5  # and where two curves, of which a shape has one, differ at all


@dataclass(frozen=True)
class Places:
    """What the places read can tell.

    design: n × P, the size first. terms: name -> columns of the design beside the size. line: n × L, of size, taper (where
    there are two stations) and ovality alone. seen: D × 2, the directions of ovality that were looked at, over (cos 2a, sin 2a).
    at, angles: of the places. middle, half_length: of the length read, mm.
    """

    design: Array
    terms: dict[str, tuple[int, ...]]
    line: Array
    seen: Array
    not_tested: tuple[str, ...]
    at: tuple[float | None, ...]
    angles: tuple[float | None, ...]
    middle: float
    half_length: float

    @property
    def directions(self) -> Array:
        """The directions of ovality that the shapes have: those looked at, or none."""
        return self.seen if "ovality" in self.terms else self.seen[:0]

    @functools.cached_property
    def shapes(self) -> tuple[tuple[str, ...], ...]:
        """The terms of each shape that there may be."""
        return _shapes(tuple(self.terms))

    @functools.cached_property
    def masks(self) -> Array:
        """Shape by column, 1 where the shape has it."""
        masks = np.zeros((len(self.shapes), self.design.shape[1]))
        masks[:, 0] = 1
        for mask, shape in zip(masks, self.shapes, strict=True):
            for name in shape:
                mask[list(self.terms[name])] = 1
        return masks

    @functools.cached_property
    def penalties(self) -> Array:
        """What each shape has to be better by, in chi-square."""
        column = max(LEAST_PENALTY, math.log(len(self.at)))
        of_term = {name: len(columns) * column + RARE * (name in RARER) for name, columns in self.terms.items()}
        return np.array([sum(of_term[name] for name in shape) for shape in self.shapes])

    def rows(self, stations: Sequence[float | None]) -> tuple[Array, Array, tuple[float | None, ...]]:
        """Rows of the design for the mean diameter at stations, S × P; for ovality there, D × S × P; the stations."""
        if "place" in self.terms:
            picked = [i for i, z in enumerate(self.at) if not stations or z in stations] or range(len(self.at))
            return (
                self.design[list(picked)],
                np.zeros((0, len(picked), self.design.shape[1])),
                tuple(self.at[i] for i in picked),
            )
        places = tuple(dict.fromkeys(stations or self.at))
        x = np.array(
            [0.0 if z is None or not self.half_length else (z - self.middle) / self.half_length for z in places]
        )
        mean = np.zeros((len(places), self.design.shape[1]))
        mean[:, 0] = 1
        for name, values in _along(x).items():
            if name in self.terms:
                mean[:, self.terms[name][0]] = values
        oval = np.zeros((len(self.directions), len(places), self.design.shape[1]))
        for name, values in (("ovality", np.ones_like(x)), ("growing ovality", x)):
            for direction, column in enumerate(self.terms.get(name, ())):
                oval[direction, :, column] = values
        return mean, oval, places


def _along(x: Array) -> dict[str, Array]:
    """The terms of the mean diameter along the length."""
    first, last = (x <= -1 + 1e-9) * 1.0, (x >= 1 - 1e-9) * 1.0
    return {
        "taper": x,
        "barrel": x**2,
        "deep bell-mouth": x**4,
        "bell-mouth": first + last,
        "uneven bell-mouth": last - first,
    }


@functools.lru_cache(maxsize=512)
def places_at(at: tuple[float | None, ...], angles: tuple[float | None, ...]) -> Places:
    """What places at stations, mm, and angles, degrees, can tell; None is no station, and the mean of a section."""
    n = len(at)
    read = sorted({z for z in at if z is not None})
    middle, half = ((read[0] + read[-1]) / 2, (read[-1] - read[0]) / 2) if read else (0.0, 0.0)
    x = np.array([0.0 if z is None or not half else (z - middle) / half for z in at])
    around = np.array(
        [(0.0, 0.0) if a is None else (math.cos(math.radians(2 * a)), math.sin(math.radians(2 * a))) for a in angles]
    )
    one = np.ones((n, 1))
    seen = _apart(around, np.column_stack([one, x]))
    not_tested = [] if len(seen) == 2 else ["ovality" if len(seen) == 0 else "ovality across"]
    if not len(_apart(x[:, None], np.column_stack([one, around]))):
        not_tested.append("taper")
    if len(read) < 3:
        not_tested.append("barrel")
    k = around @ seen.T
    line = np.column_stack([one, *([x] if half else []), k])
    if n < FEWEST:
        # Each place a size of its own, against one size for all.
        places, terms = np.column_stack([one, np.eye(n)[:, 1:]]), {"place": tuple(range(1, n))}
        return Places(places, terms, line, seen, tuple(not_tested), at, angles, middle, half)
    columns = [one]
    terms: dict[str, tuple[int, ...]] = {}
    along = _along(x)
    offered = [
        ("taper", along["taper"][:, None], len(read) > 1),
        ("ovality", k, len(seen) > 0),
        ("barrel", along["barrel"][:, None], len(read) > 2),
    ]
    offered += [(name, along[name][:, None], len(read) > 3) for name in ("bell-mouth", "uneven bell-mouth")]
    offered += [("deep bell-mouth", along["deep bell-mouth"][:, None], len(read) > 5)]
    offered += [("growing ovality", k * x[:, None], len(seen) > 0 and len(read) > 2)]
    width = 1
    for name, column, wanted in offered:
        spare = 0 if name in ("taper", "ovality") else 1
        if not wanted or width + column.shape[1] + spare > n:
            continue
        if len(_apart(column, np.column_stack(columns), DIFFERENT)) == column.shape[1]:
            terms[name] = tuple(range(width, width + column.shape[1]))
            columns.append(column)
            width += column.shape[1]
    return Places(np.column_stack(columns), terms, line, seen, tuple(not_tested), at, angles, middle, half)


def _apart(columns: Array, others: Array, least: float = SEPARATE) -> Array:
    """The directions (rows) in which columns say something that the others do not."""
    if not columns.shape[1]:
        return np.zeros((0, 0))
    q, r = np.linalg.qr(others)
    q = q[:, np.abs(np.diag(r)) > 1e-9 * max(1.0, float(np.abs(r).max()))]
    free = columns - q @ (q.T @ columns)
    _, sizes, directions = np.linalg.svd(free, full_matrices=False)
    directions = directions[sizes**2 > least * len(columns)]
    if len(directions) == columns.shape[1]:
        return np.eye(columns.shape[1])
    # One way round and not the other, whatever the order of the readings.
    return directions * np.where(directions.sum(axis=1, keepdims=True) < 0, -1, 1)


@functools.cache
def _shapes(terms: tuple[str, ...]) -> tuple[tuple[str, ...], ...]:
    """The shapes that can be made of terms."""
    curves = [(), ("barrel",), ("deep bell-mouth",), ("bell-mouth",), ("bell-mouth", "uneven bell-mouth"), ("place",)]
    along = [
        (*straight, *curve) for straight in ((), ("taper",)) for curve in curves if {*straight, *curve} <= {*terms}
    ]
    around = [
        (),
        *([("ovality",)] if "ovality" in terms else []),
        *([("ovality", "growing ovality")] if "growing ovality" in terms else []),
    ]
    return tuple((*shape, *oval) for shape in along for oval in around)


@dataclass(frozen=True)
class Mixture:
    """The shapes that count.

    weights: M, adding up to one. coefficients: M × P, nought where a shape has no such term. halves: M × P × P, Cholesky
    factors of their covariances. gains: M × P × n, what makes coefficients of readings. shares: term -> share of the weight
    of all shapes that have it.
    """

    weights: Array
    coefficients: Array
    halves: Array
    gains: Array
    shares: dict[str, float]


def mixture(places: Places, readings: Array, errors: Errors) -> Mixture:
    """The shapes with their weights. readings: n, mm, from any datum, with their errors."""
    masks, names = places.masks, places.shapes
    white, y = errors.whitened(places.design), errors.whitened(readings[:, None])[:, 0]
    p = white.shape[1]
    both = masks[:, :, None] * masks[:, None, :]
    normal = (white.T @ white) * both + np.eye(p) * (1 - masks)[:, :, None]
    covariances = np.linalg.inv(normal) * both
    right = white.T @ y
    coefficients = covariances @ right
    fits = coefficients @ right  # what each shape takes off the sum of squares
    score = fits - places.penalties
    weights = np.exp((score - score.max()) / 2)
    weights[weights < SLIGHT] = 0
    weights /= weights.sum()
    shares = {
        name: float(sum(w for w, shape in zip(weights, names, strict=True) if name in shape)) for name in places.terms
    }
    kept = np.flatnonzero(weights)
    covariances = covariances[kept]
    halves = np.linalg.cholesky(covariances + np.eye(p) * (1 - masks[kept])[:, :, None]) * both[kept]
    gains = covariances @ errors.weighed_back(white).T
    return Mixture(weights[kept], coefficients[kept], halves, gains, shares)
