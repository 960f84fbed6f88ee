"""Limits of fits as numbers, by what the product reads them with."""

from gudgeon_calc.limits_and_fits import read_fit_class, read_tolerance
from gudgeon_calc.units import INCH


def iso_deviations(basic, name):
    """Lower and upper deviation in mm of a class such as H7 at a basic size in mm."""
    limits = read_tolerance(f"{basic:.4f} {name}")
    return round(limits.low - basic, 9), round(limits.high - basic, 9)


def iso_tolerance(basic, grade):
    """Standard tolerance in mm of a grade at a basic size in mm."""
    return iso_deviations(basic, f"H{grade}")[1]


def iso_fit(basic, name):
    """Least and most clearance in mm of a fit such as H7/g6 at a basic size in mm."""
    clearance = read_fit_class(f"{basic:.4f} {name}").clearance
    return clearance.low, clearance.high


def inch_fit(basic, name):
    """Least and most clearance in inches of a class such as RC4 at a basic size in inches."""
    clearance = read_fit_class(f"{basic:.4f} in {name}").clearance
    return clearance.low / float(INCH), clearance.high / float(INCH)
