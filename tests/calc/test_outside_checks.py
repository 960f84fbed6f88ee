"""Formulas that no published value is held against: listed, so that the list only shrinks."""

import re
from pathlib import Path

from test_architecture import FORMULAS

HERE = Path(__file__).parent
LIST = HERE / "no-outside-check.txt"
CHECKS = (
    *sorted(HERE.parent.glob("*_checks.py")),
    HERE.parent / "test_check_values.py",
    *sorted(HERE.glob("test_*.py")),
)


def test_a_formula_is_held_against_something_outside_or_is_listed():
    """Held against: named by a check of a published value, a library or a printed table. The rest is geometry and plain sums, tested by hand."""
    words = {word for path in CHECKS for word in re.findall(r"\w+", path.read_text(encoding="utf-8"))}
    without = sorted(
        name for name, function in FORMULAS if hasattr(function, "units") and name.rpartition(".")[2] not in words
    )
    listed = LIST.read_text(encoding="utf-8").splitlines()
    assert without == listed, f"new: {sorted({*without} - {*listed})}; held now: {sorted({*listed} - {*without})}"
