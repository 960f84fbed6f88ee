"""Form of round parts from readings at stations and angles: taper, ovality, bell-mouth, closure."""

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike

from gudgeon_calc.units import Number, formula

ANGLES = (0, 45, 90, 135)  # degrees; a two-point gauge sees the same at 180° on


@dataclass(frozen=True)
class Line:
    """A straight line by least squares, with its statistics (units are those of the data).

    slope, intercept; slope_sd, intercept_sd and residual_sd: standard deviations, nan below three points;
    r_squared: share of the variance explained.
    """

    slope: float
    intercept: float
    slope_sd: float
    intercept_sd: float
    residual_sd: float
    r_squared: float


def line_fit(x: ArrayLike, y: ArrayLike) -> Line:
    """Fit a straight line by ordinary least squares.

    x, y: sequences of one length, at least two different x. Raises ValueError otherwise.
    Source: NIST/SEMATECH e-Handbook; checked on NIST StRD Norris. Valid: errors in y alone, even over x.
    """
    x, y = np.asarray(x, dtype=float), np.asarray(y, dtype=float)
    if x.shape != y.shape or x.size < 2 or np.ptp(x) == 0:
        raise ValueError("a line needs two or more points at different places")
    n, mid = x.size, x.mean()
    spread = float(((x - mid) ** 2).sum())
    slope = float(((x - mid) * (y - y.mean())).sum()) / spread
    intercept = float(y.mean()) - slope * float(mid)
    residual = float(((y - intercept - slope * x) ** 2).sum())
    total = float(((y - y.mean()) ** 2).sum())
    sd = math.sqrt(residual / (n - 2)) if n > 2 else math.nan
    return Line(
        slope,
        intercept,
        sd / math.sqrt(spread),
        sd * math.sqrt(1 / n + float(mid) ** 2 / spread),
        sd,
        1 - residual / total if total else math.nan,
    )


@formula(("mm", "degree"), source="derived", d0="mm", d45="mm", d90="mm", d135="mm")
def ovality(d0: Number, d45: Number, d90: Number, d135: Number) -> tuple[Number, Number]:
    """Ovality and its direction from four diameters: 2·√[((D0−D90)/2)² + ((D45−D135)/2)²].

    d0, d45, d90, d135 [mm]: diameters at 0, 45, 90 and 135°. Returns ovality [mm] (greatest less least
    diameter of the two-lobed part) and the angle of the greatest diameter [degree], 0 to 180.
    Source: derived (second harmonic of the diameter). Valid: two-point readings; blind to odd lobes.
    """
    cosine, sine = (d0 - d90) / 2, (d45 - d135) / 2
    return 2 * math.hypot(cosine, sine), math.degrees(math.atan2(sine, cosine)) / 2 % 180


@formula("mm", source="derived", d0="mm", d45="mm", d90="mm", d135="mm")
def closure(d0: Number, d45: Number, d90: Number, d135: Number) -> Number:
    """How far four diameters fail to close: (D0 + D90) − (D45 + D135); far from nought means a misreading.

    d0, d45, d90, d135 [mm]. Returns [mm]. Source: derived. Valid: a part that is round or two-lobed.
    """
    return (d0 + d90) - (d45 + d135)


@formula("mm", source="derived", first="mm", middle="mm", last="mm")
def middle_over_ends(first: Number, middle: Number, last: Number) -> Number:
    """How much larger the middle is than the mean of the ends.

    first, middle, last [mm]: mean diameters at the end, middle and other end station. Returns [mm]: above
    nought a shaft is barrelled; below nought a bore is bell-mouthed at its ends. Source: derived.
    Valid: three or more stations.
    """
    return middle - (first + last) / 2


def two_point_sees(lobes: int) -> float:
    """How far a two-point reading shows lobes, as a share of the part's own diametral swing: 1 for even, 0 for odd.

    lobes: 2 or more. Source: derived. Valid: small lobes of even height; three-jaw work has three and needs a vee.
    """
    return 1.0 if lobes % 2 == 0 else 0.0


def vee_sees(lobes: int, angle: float) -> float:
    """How many times its radial swing an indicator over a vee block shows lobes: |1 + cos(n·(90° + β/2))/sin(β/2)|.

    lobes: 2 or more. angle: of the vee, degrees, 0 to 180. Source: derived. Valid: indicator on the vee's middle line.
    A 90° vee is blind to seven lobes, a 60° vee to two. The same is printed (decision 0028).
    """
    half = math.radians(angle / 2)
    return abs(1 + math.cos(lobes * (math.pi / 2 + half)) / math.sin(half))
