"""The register of checks against published values: one function for each row of check_values.yaml."""

from small_build import shelf

SHELF = shelf()
CHECKS = {}


def check(*names):
    """Register a function as the check of these rows."""

    def keep(function):
        for name in names:
            CHECKS[name] = function
        return function

    return keep


def near(value, expected, tolerance):
    """Fail unless a value is within a tolerance of what is expected."""
    assert abs(value - expected) <= tolerance, f"{value} is not {expected} within {tolerance}"
