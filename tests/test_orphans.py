"""Formulas that nothing reaches: tested and documented, but no page, no calculation and no command uses them."""

import ast
from pathlib import Path

import pytest
from test_architecture import FORMULAS, MODULES, name_of

CALC = "gudgeon_calc"
KNOWN = Path(__file__).parent / "calc" / "orphans.txt"


def named(code: ast.AST, module: str, whole: ast.Module) -> set[str]:
    """What some code of a module names of calc, each as module.name."""
    imported = {}  # name in this module -> module of calc, or module.name
    for node in ast.walk(whole):
        if isinstance(node, ast.ImportFrom) and node.module and node.module.partition(".")[0] == CALC:
            imported |= {alias.asname or alias.name: f"{node.module}.{alias.name}" for alias in node.names}
    names = set()
    for node in ast.walk(code):
        if isinstance(node, ast.Attribute) and isinstance(node.value, ast.Name):
            names.add(f"{imported.get(node.value.id, '')}.{node.attr}")
        elif isinstance(node, ast.Name):
            names.add(imported.get(node.id, f"{module}.{node.id}"))
    return names


def reached(sources: dict[str, str]) -> set[str]:
    """What the product names of calc, and what that names in its turn. sources: module -> its text."""
    definitions, reached_names = {}, set()
    for module, text in sources.items():
        whole = ast.parse(text)
        if module.partition(".")[0] != CALC:
            reached_names |= named(whole, module, whole)
            continue
        for statement in whole.body:
            names = named(statement, module, whole)
            if isinstance(statement, ast.FunctionDef | ast.ClassDef):
                definitions[f"{module}.{statement.name}"] = names
            elif isinstance(statement, ast.Assign | ast.AnnAssign):
                targets = statement.targets if isinstance(statement, ast.Assign) else [statement.target]
                definitions |= {f"{module}.{name.id}": names for name in targets if isinstance(name, ast.Name)}
    ahead = list(reached_names)
    while ahead:
        for name in definitions.get(ahead.pop(), set()) - reached_names:
            reached_names.add(name)
            ahead.append(name)
    return reached_names


@pytest.mark.slow
def test_no_new_formula_is_without_a_use_and_the_list_only_shrinks():
    """A new formula is used by a page, a calculation or a command; one on the list that is used now leaves the list."""
    known = KNOWN.read_text(encoding="utf-8").splitlines()
    used = reached({name_of(path): path.read_text(encoding="utf-8") for path in MODULES})
    orphans = sorted(name for name, _ in FORMULAS if f"{CALC}.{name}" not in used)
    assert orphans == known, f"new: {sorted({*orphans} - {*known})}; used now: {sorted({*known} - {*orphans})}"


def test_what_is_reached_is_followed_through_calc():
    code = {
        f"{CALC}.rods": "from gudgeon_calc.units import formula\ndef load(x):\n    return area(x)\n"
        "def area(x):\n    return x * TABLE\nTABLE = read()\ndef read():\n    return 2\ndef alone(x):\n    return load(x)\n",
        "gudgeon.pages.fit": "from gudgeon_calc import rods\nrods.load(1)\n",
    }
    assert {name.rpartition(".")[2] for name in reached(code) if name.startswith(f"{CALC}.rods")} >= {
        "load",
        "area",
        "TABLE",
        "read",
    }
    assert f"{CALC}.rods.alone" not in reached(code)
