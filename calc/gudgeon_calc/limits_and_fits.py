"""Limits of holes and shafts, and the fits they make.

The tables are the standards' own numbers as printed, never their formulas, which round otherwise.
They hold what was seen in print and no more: a grade, letter or size that is not there raises `NotInTable`.
"""

import csv
import functools
import re
from importlib import resources

from gudgeon_calc.units import formula


class NotInTable(LookupError):
    """The table as held here has no such grade, letter, class or size."""


@formula(("mm", "mm"), source="od1642", hole_least="mm", hole_most="mm", shaft_least="mm", shaft_most="mm")
def clearance_of_limits(hole_least, hole_most, shaft_least, shaft_most):
    """Least and most clearance that two pairs of limits allow.

    hole_least, hole_most, shaft_least, shaft_most [mm]: limits of size. Returns (least, most) [mm], diametral;
    negative is interference. Source: US Army subcourse OD1642, para 4. Valid: parts taken at random; not for
    parts that were paired by selection.
    """
    return hole_least - shaft_most, hole_most - shaft_least


def iso_tolerance(basic: float, grade: int) -> float:
    """Standard tolerance in mm of an ISO 286 grade for a basic size in mm.

    Raises NotInTable. Source: ISO 286 as reprinted. Valid: IT6 to IT9 over 3 to 120 mm as held.
    """
    for row in _table("iso286-grades"):
        if int(row["grade"]) == grade and float(row["over_mm"]) < basic <= float(row["to_mm"]):
            return float(row["tolerance_um"]) / 1000
    raise NotInTable(f"IT{grade} at {basic:g} mm")


def iso_deviations(basic: float, tolerance_class: str) -> tuple[float, float]:
    """Lower and upper deviation in mm of an ISO 286 class such as "H7" (hole) or "g6" (shaft).

    basic: mm. The letter's case tells hole from shaft. Raises NotInTable. Source: ISO 286-2 as reprinted.
    Valid: holes H; shafts f, g, h, p, s within the sizes held.
    """
    match = re.fullmatch(r"([A-Za-z])(\d{1,2})", tolerance_class)
    if not match:
        raise NotInTable(tolerance_class)
    letter, width = match[1], iso_tolerance(basic, int(match[2]))
    if letter == "H":
        return 0.0, width
    if letter == "h":
        return -width, 0.0
    for row in _table("iso286-shafts"):
        if row["letter"] == letter and float(row["over_mm"]) < basic <= float(row["to_mm"]):
            nearest = float(row["nearest_deviation_um"]) / 1000
            return (nearest, nearest + width) if nearest > 0 else (nearest - width, nearest)
    raise NotInTable(f"{tolerance_class} at {basic:g} mm")


def iso_fit(basic: float, fit: str) -> tuple[float, float]:
    """Least and most clearance in mm of an ISO 286 fit such as "H7/g6" at a basic size in mm.

    Raises NotInTable. Source: ISO 286-2 as reprinted. Valid: as `iso_deviations`.
    """
    hole, _, shaft = fit.partition("/")
    hole_low, hole_high = iso_deviations(basic, hole)
    shaft_low, shaft_high = iso_deviations(basic, shaft)
    return hole_low - shaft_high, hole_high - shaft_low


def inch_fit(basic: float, fit_class: str) -> tuple[float, float]:
    """Least and most clearance in inches of an ANSI B4.1 class such as "RC4" or "FN2" at a basic size in inches.

    Negative is interference. The classes are not ISO grades by number. Raises NotInTable.
    Source: ANSI B4.1 as reprinted in Machinery's Handbook. Valid: the size steps held.
    """
    for row in _table("b41-fits"):
        if row["class"] == fit_class and float(row["over_in"]) < basic <= float(row["to_in"]):
            return float(row["least_thou"]) / 1000, float(row["most_thou"]) / 1000
    raise NotInTable(f"{fit_class} at {basic:g} in")


@functools.cache
def _table(name: str) -> tuple[dict[str, str], ...]:
    text = resources.files("gudgeon_calc").joinpath("tables", f"{name}.csv").read_text(encoding="utf-8")
    return tuple(csv.DictReader(text.splitlines()))
