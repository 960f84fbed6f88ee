"""Generalised least squares, errors that readings share, and the limits that its residuals are held against."""

import math
from dataclasses import dataclass
from functools import cached_property
from statistics import NormalDist

import numpy as np
from numpy.typing import ArrayLike, NDArray

_NORMAL = NormalDist()
Array = NDArray[np.float64]


def chi_square_limit(degrees: float, level: float) -> float:
    """What a chi-square passes with a chance of level, to about 3 %: ν·(1 − 2/(9ν) + z·√(2/(9ν)))³.

    degrees: 1 or more. level: 0 to 0.5. Source: Wilson and Hilferty, 1931 (from memory). Valid: checked from 1 degree up.
    """
    part = 2 / (9 * degrees)
    return degrees * (1 - part + _NORMAL.inv_cdf(1 - level) * math.sqrt(part)) ** 3


def t_limit(degrees: float, level: float) -> float:
    """What Student's t passes, up or down, with a chance of level, to about 5 %, further out by a tenth with 3 degrees: √(ν·(exp(c²z²/ν) − 1)), c = (8ν + 3)/(8ν + 1).

    degrees: 3 or more. level: 0 to 1, two-sided. Source: Wallace, 1959 (from memory).
    Valid: checked from 3 degrees up.
    """
    z = _NORMAL.inv_cdf(1 - level / 2) * (8 * degrees + 3) / (8 * degrees + 1)
    return math.sqrt(degrees * math.expm1(z * z / degrees))


@dataclass(frozen=True)
class Errors:
    """Errors of readings: what each has for itself, and what several share.

    alone: n, the variance that each shares with no other, over nought. shared: n × k, a column for each error that several have:
    how far a standard error of it moves each reading. Their covariance V = diag(alone) + shared·sharedᵀ is never made: its cost
    would grow with the cube of n, and here it grows with n.
    """

    alone: Array
    shared: Array

    def of(self, readings: list[int]) -> "Errors":
        """Of some of the readings."""
        return Errors(self.alone[readings], self.shared[readings])

    def variance(self, weights: Array) -> float:
        """The variance of weights·readings."""
        return float(weights**2 @ self.alone + ((weights @ self.shared) ** 2).sum())

    @cached_property
    def _directions(self) -> tuple[Array, Array]:
        """What is shared, in units of what is not: directions, n × k, and by how much whitening shrinks each, to a share of it."""
        directions, sizes, _ = np.linalg.svd(self.shared / np.sqrt(self.alone)[:, None], full_matrices=False)
        return directions, 1 / np.sqrt(1 + sizes**2)

    def _shrunk(self, columns: Array) -> Array:
        directions, shares = self._directions
        return columns - directions @ ((1 - shares)[:, None] * (directions.T @ columns))

    def whitened(self, columns: Array) -> Array:
        """W·columns, n × m, where WᵀW = V⁻¹: errors of readings so weighed are independent and of size one."""
        return self._shrunk(columns / np.sqrt(self.alone)[:, None])

    def weighed_back(self, columns: Array) -> Array:
        """Wᵀ·columns, n × m."""
        return self._shrunk(columns) / np.sqrt(self.alone)[:, None]

    @property
    def inverse_diagonal(self) -> Array:
        """The diagonal of V⁻¹."""
        directions, shares = self._directions
        return (1 - directions**2 @ (1 - shares**2)) / self.alone


@dataclass(frozen=True)
class LeastSquares:
    """Coefficients with their covariance, chi_square of the residuals and its degrees of freedom."""

    coefficients: Array
    covariance: Array
    chi_square: float
    degrees: int


def generalised_least_squares(design: ArrayLike, values: ArrayLike, errors: Errors) -> LeastSquares:
    """Coefficients b of values ≈ design·b, where the errors of the values hang together: (XᵀV⁻¹X)⁻¹XᵀV⁻¹y.

    design: n × p. values: n, one unit. errors: in that unit. Raises ValueError where a column follows from the others.
    Source: Aitken, 1935 (from memory); by singular values and QR; checked on NIST StRD Norris and Longley.
    Valid: covariance known and of full rank.
    """
    x = errors.whitened(np.asarray(design, dtype=float))
    y = errors.whitened(np.asarray(values, dtype=float)[:, None])[:, 0]
    lengths = np.linalg.norm(x, axis=0)
    if not lengths.all() or np.linalg.matrix_rank(x / lengths) < x.shape[1]:
        raise ValueError("a column of the design follows from the others")
    q, r = np.linalg.qr(x / lengths)
    back = np.linalg.inv(r) / lengths[:, None]
    b = back @ (q.T @ y)
    residual = y - x @ b
    return LeastSquares(b, back @ back.T, float(residual @ residual), len(y) - len(b))
