"""Formulas that no published value is held against: listed, so that the list only shrinks."""

import ast
from pathlib import Path

from test_architecture import FORMULAS

HERE = Path(__file__).parent
LIST = HERE / "no-outside-check.txt"
CHECKS = (
    *sorted(HERE.parent.glob("*_checks.py")),
    HERE.parent / "test_check_values.py",
    *sorted(HERE.glob("test_*.py")),
)
MODULES = {name.partition(".")[0] for name, _ in FORMULAS}


def formulas_named(code):
    """Every module.function of the calculation package that the code names; a word in a comment or a text is no check."""
    named = set()
    for node in ast.walk(ast.parse(code)):
        if isinstance(node, ast.Attribute) and isinstance(node.value, ast.Name) and node.value.id in MODULES:
            named.add(f"{node.value.id}.{node.attr}")
        elif isinstance(node, ast.ImportFrom) and (node.module or "").startswith("gudgeon_calc."):
            module = node.module.removeprefix("gudgeon_calc.")
            named |= {f"{module}.{imported.name}" for imported in node.names}
    return named


def test_a_formula_is_held_against_something_outside_or_is_listed():
    """Held against: named by a check of a published value, a library or a printed table. The rest is geometry and plain sums, tested by hand."""
    named = set().union(*(formulas_named(path.read_text(encoding="utf-8")) for path in CHECKS))
    without = sorted(name for name, function in FORMULAS if hasattr(function, "units") and name not in named)
    lines = LIST.read_text(encoding="utf-8").splitlines()
    listed = [line for line in lines if not line.startswith("#")]
    assert without == listed, f"new: {sorted({*without} - {*listed})}; held now: {sorted({*listed} - {*without})}"


def test_only_a_name_in_code_counts():
    text = '"""flywheels.runaway"""\n# flywheels.mean_radius\nfrom gudgeon_calc.form import closure\nrings.own(1)\nother.closure'
    assert formulas_named(text) == {"form.closure", "rings.own"}
