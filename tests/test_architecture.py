"""The shape of the house: which room may know of which, and that nothing lies about unlisted, undocumented or without a source."""

import ast
import dataclasses
import functools
import importlib
import inspect
import json
import pkgutil
import re
from pathlib import Path

import gudgeon_calc
import pytest
from gudgeon.export.package import Records
from gudgeon.records.model import Build
from gudgeon.records.record_files import BUILD_FILES, RECORD_FILES
from gudgeon.schemas import SCHEMAS, schema
from small_build import shelf

ROOT = Path(__file__).parent.parent
CODE = {"gudgeon_calc": ROOT / "calc" / "gudgeon_calc", "gudgeon": ROOT / "plugins" / "gudgeon"}
MODULES = [path for folder in CODE.values() for path in sorted(folder.rglob("*.py"))]
# Room -> the rooms it may import from. Findings are what pages are given; they know nothing of how they came about.
MAY = {
    "gudgeon_calc": set(),
    "gudgeon.wording": set(),
    "gudgeon.boundary": {"gudgeon.records"},
    "gudgeon.notes": {
        "gudgeon.assess.findings",
        "gudgeon.notes_of_due",
        "gudgeon.notes_of_form",
        "gudgeon.notes_of_heat",
        "gudgeon.notes_of_plans",
        "gudgeon.notes_of_rules",
        "gudgeon.notes_of_sums",
        "gudgeon.wording",
    },
    "gudgeon.notes_of_due": set(),
    "gudgeon.notes_of_form": set(),
    "gudgeon.notes_of_heat": set(),
    "gudgeon.notes_of_plans": set(),
    "gudgeon.notes_of_rules": set(),
    "gudgeon.notes_of_sums": set(),
    "gudgeon.quantities": {"gudgeon.assess.findings", "gudgeon.wording"},
    "gudgeon.danger_words": {"gudgeon.assess.findings", "gudgeon.notes", "gudgeon.quantities", "gudgeon.wording"},
    "gudgeon.due_words": {"gudgeon.assess.findings", "gudgeon.notes", "gudgeon.wording"},
    "gudgeon.ledger": {"gudgeon.assess.findings", "gudgeon.records"},
    "gudgeon.records": {"gudgeon_calc"},
    "gudgeon.assess": {"gudgeon.records", "gudgeon_calc"},
    "gudgeon.assess.findings": set(),
    "gudgeon.drawing": {"gudgeon.wording"},
    "gudgeon.story": {"gudgeon.assess.findings", "gudgeon.notes", "gudgeon.records", "gudgeon.wording"},
    "gudgeon.feeds": set(),
    "gudgeon.pictures": {"gudgeon.records"},
    "gudgeon.pages": {
        "gudgeon.story",
        "gudgeon.pictures",
        "gudgeon.bench",
        "gudgeon.drawing",
        "gudgeon.feeds",
        "gudgeon.due_words",
        "gudgeon.danger_words",
        "gudgeon.quantities",
        "gudgeon.boundary",
        "gudgeon.notes",
        "gudgeon.records",
        "gudgeon.assess.findings",
        "gudgeon.share",
        "gudgeon.wording",
    },
    "gudgeon.book": {
        "gudgeon.assess.findings",
        "gudgeon.pages",
        "gudgeon.pictures",
        "gudgeon.records",
        "gudgeon.story",
        "gudgeon.wording",
    },
    "gudgeon.bench": {"gudgeon.entry", "gudgeon.records", "gudgeon.assess.findings", "gudgeon.wording", "gudgeon_calc"},
    "gudgeon.export": {
        "gudgeon.due_words",
        "gudgeon.notes",
        "gudgeon.records",
        "gudgeon.assess.findings",
        "gudgeon.story",
        "gudgeon.wording",
    },
    "gudgeon.survey": {"gudgeon.export.package_format", "gudgeon.records", "gudgeon.wording"},
    "gudgeon.export.package_format": set(),
    "gudgeon.entry": {"gudgeon.records", "gudgeon_calc"},
    "gudgeon.upgrade": {
        "gudgeon.assess.findings",
        "gudgeon.boundary",
        "gudgeon.club",
        "gudgeon.ledger",
        "gudgeon.project",
        "gudgeon.records",
        "gudgeon.review",
    },
    "gudgeon.migrations": {"gudgeon.records", "gudgeon.project"},
    "gudgeon.share": {"gudgeon.records", "gudgeon.project"},
    "gudgeon.club": {"gudgeon.records"},
    "gudgeon.project": {
        "gudgeon.boundary",
        "gudgeon.pictures",
        "gudgeon.records",
        "gudgeon.assess",
        "gudgeon.ledger",
        "gudgeon_calc",
    },
    "gudgeon.review": {
        "gudgeon.danger_words",
        "gudgeon.notes",
        "gudgeon.ledger",
        "gudgeon.quantities",
        "gudgeon.records",
        "gudgeon.assess.findings",
        "gudgeon.story",
        "gudgeon.wording",
        "gudgeon_calc",
    },
}
OUTER = (
    "gudgeon.dating",
    "gudgeon.plugin",
    "gudgeon.press",
    "gudgeon.config",
    "gudgeon.content_policy",
    "gudgeon.cli",
    "gudgeon.commands",
    "gudgeon.schemas",
    "gudgeon.raw_records",
    "gudgeon.serving",
    "gudgeon.site",
    "gudgeon.theme_faults",
    "gudgeon.told_heads",
)
KNOW_MKDOCS = {"gudgeon.plugin", "gudgeon.press", "gudgeon.config", "gudgeon.serving"}


def name_of(path: Path) -> str:
    for package, folder in CODE.items():
        if path.is_relative_to(folder):
            return ".".join((package, *path.relative_to(folder).with_suffix("").parts)).removesuffix(".__init__")
    raise AssertionError(path)


@functools.cache
def imports(path: Path) -> set[str]:
    found = set()
    for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
        if isinstance(node, ast.Import):
            found |= {alias.name for alias in node.names}
        elif isinstance(node, ast.ImportFrom):
            found |= {node.module} | {f"{node.module}.{alias.name}" for alias in node.names}
    return found


def room_of(module: str) -> str | None:
    return next(
        (room for room in sorted(MAY, key=len, reverse=True) if module == room or module.startswith(room + ".")), None
    )


def test_no_arrow_points_the_wrong_way():
    wrong = []
    for path in MODULES:
        module = name_of(path)
        if module == "gudgeon" or any(module == outer or module.startswith(outer + ".") for outer in OUTER):
            continue
        room = room_of(module)
        if not room:
            wrong.append(f"{module} lies in no room")
            continue
        wrong += [
            f"{module} may not know {target}"
            for target in imports(path)
            if (to := room_of(target)) and not allowed(room, to)
        ]
    assert wrong == []


def allowed(room: str, to: str) -> bool:
    return any(to == each or to.startswith(each + ".") for each in {room, *MAY[room]})


def test_only_the_plugin_knows_mkdocs():
    knowing = {
        name_of(path)
        for path in MODULES
        if any(name == "mkdocs" or name.startswith("mkdocs.") for name in imports(path))
    }
    assert sorted(knowing - KNOW_MKDOCS) == []


def test_the_arrow_test_can_fail(tmp_path):
    bad = tmp_path / "bad.py"
    bad.write_text("from gudgeon.pages.page import Page\nimport gudgeon.assess.fitting.fits\n")
    assert {room_of(each) for each in imports(bad)} == {"gudgeon.pages", "gudgeon.assess"}
    assert (
        not allowed("gudgeon_calc", "gudgeon.pages")
        and not allowed("gudgeon.pages", "gudgeon.assess")
        and allowed("gudgeon.assess", "gudgeon.assess.findings")
    )


def test_findings_are_no_part_of_how_they_came_about():
    for path in sorted((CODE["gudgeon"] / "assess" / "findings").glob("*.py")):
        assert not {room_of(each) for each in imports(path)} - {None, "gudgeon.assess.findings"}, path.name


def test_sizes_and_names():
    for path in MODULES:
        lines = len(path.read_text(encoding="utf-8").splitlines())
        assert lines <= (150 if path.name == "plugin.py" else 400), f"{path.name} has {lines} lines"
        assert path.stem not in ("utils", "helpers", "common", "misc")
    for source_root in ("calc", "plugins"):
        assert not (ROOT / source_root / "__init__.py").exists()


def test_top_level_holds_what_was_agreed():
    wanted = {
        "README.md",
        "DEVELOPERS.md",
        "mkdocs.yml",
        "builds",
        "plugins",
        "calc",
        "tests",
        "docs",
        "pyproject.toml",
        "requirements.lock",
        "requirements-test.lock",
        "requirements-book.lock",
        "LICENSE",
        "start.py",
    }
    there = {each.name for each in ROOT.iterdir() if not each.name.startswith(".")} - {"site"}
    assert there == wanted


FORMULAS = [
    (f"{module.name}.{name}", function)
    for module in pkgutil.iter_modules(gudgeon_calc.__path__)
    for name, function in vars(importlib.import_module(f"gudgeon_calc.{module.name}")).items()
    if inspect.isfunction(function)
    and not name.startswith("_")
    and function.__module__ == f"gudgeon_calc.{module.name}"
]


@pytest.mark.parametrize(("name", "function"), FORMULAS, ids=[name for name, _ in FORMULAS])
def test_formula_says_its_units_source_and_range(name, function):
    text = inspect.getdoc(function) or ""
    assert text, f"{name} has no docstring"
    if not hasattr(function, "units"):
        return
    for argument, unit in function.units.items():
        stated = re.search(rf"\b{argument}(?:, \w+)* \[([^\]]*)\]|\b(?:\w+, )*{argument}(?:, \w+)* \[([^\]]*)\]", text)
        assert stated, f"{name}: the docstring gives no unit for {argument}"
        assert unit in (stated[1], stated[2]), (
            f"{name}: {argument} is declared in {unit!r}, documented in {stated[0]!r}"
        )
    assert "Returns" in text and "Source:" in text and "Valid:" in text, name
    sources = shelf().sources
    assert function.source in sources or function.source in ("derived", "common practice", "from memory"), (
        f"{name}: {function.source} is not in the bibliography"
    )


@pytest.mark.parametrize("name", SCHEMAS)
def test_shipped_schema_is_the_model(name):
    shipped = (ROOT / "plugins" / "gudgeon" / "json_schemas" / f"{name}.schema.json").read_text(encoding="utf-8")
    assert shipped == schema(name), "run: gudgeon schemas"


def test_editor_is_wired_to_every_schema_of_a_record():
    wired = json.loads((ROOT / ".vscode" / "settings.json").read_text(encoding="utf-8"))["yaml.schemas"]
    in_yaml = {file.schema: file for file in RECORD_FILES if file.schema != "instalment"}
    assert {Path(name).name for name in wired} == {f"{name}.schema.json" for name in in_yaml}
    for name, file in in_yaml.items():
        where = file.name.format(knowledge="docs/knowledge") if file.store is None else f"builds/*/{file.name}"
        pattern = "**/*.columns.yaml" if name == "columns" else re.sub(r"<[^/.]+>", "*", where).replace("*-*", "*")
        assert pattern in wired[f"./plugins/gudgeon/json_schemas/{name}.schema.json"]


def test_every_file_of_a_build_is_kept_and_given_away():
    """A new kind of file that is read into a build goes into the open data too."""
    stores = {file.store for file in BUILD_FILES}
    of_a_file = {
        "reading_withdrawals",
        "review_withdrawals",
        "cut_withdrawals",
        "run_withdrawals",
        "outcome_withdrawals",
    }  # from a file that has a store of its own
    assert {field.name for field in dataclasses.fields(Build)} == (
        stores | of_a_file | {"id", "folder", "path", "problems", "unread"}
    )
    named_otherwise = {"head": "build", "rows": "readings", "instalments": "story"}
    assert set(Records.model_fields) == {named_otherwise.get(store, store) for store in stores | of_a_file}


def test_every_field_of_the_findings_is_described():
    from gudgeon.assess import findings
    from gudgeon.pages.reference import MODELS

    shown = set(MODELS)
    for name, model in vars(findings).items():
        if inspect.isclass(model) and issubclass(model, findings.Finding) and model is not findings.Finding:
            assert name in shown, f"{name} is not on the page of findings"
            assert model.__doc__


def test_every_kind_of_page_is_listed():
    from gudgeon.pages.site import OF_A_BUILD

    made = {
        path.stem
        for path in (CODE["gudgeon"] / "pages").glob("*.py")
        if "def pages(view: View)" in path.read_text(encoding="utf-8")
    }
    assert made == {kind.__name__.rpartition(".")[2] for kind, _ in OF_A_BUILD}


def test_every_dependency_is_justified():
    text = (ROOT / "DEVELOPERS.md").read_text(encoding="utf-8")
    named = re.findall(r'^\s+"([a-z0-9-]+)[><=]', (ROOT / "pyproject.toml").read_text(encoding="utf-8"), re.MULTILINE)
    named += re.findall(r'"([a-z0-9-]+)>=', (ROOT / "pyproject.toml").read_text(encoding="utf-8"))
    for name in {*named, "axe-core"}:
        assert f"| {name} |" in text, f"DEVELOPERS.md does not say why {name}"


@pytest.mark.slow
def test_the_picture_of_the_house_is_that_of_its_imports():
    import house

    text = (ROOT / "DEVELOPERS.md").read_text(encoding="utf-8")
    assert house.picture() in text, "write it anew: tests/house.py --write"
    assert "calc" in house.arrows()["assess"] and "mkdocs" not in str(house.arrows())
