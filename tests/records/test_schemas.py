"""The shipped JSON Schemas accept the demonstration build and refuse what the validator refuses."""

import functools
import json
from pathlib import Path

import jsonschema
import pytest
import yaml
from gudgeon.schemas import SCHEMAS

ROOT = Path(__file__).parent.parent.parent
WIRED = json.loads((ROOT / ".vscode" / "settings.json").read_text(encoding="utf-8"))["yaml.schemas"]
PAIRS = [
    (Path(name), path)
    for name, patterns in WIRED.items()
    for pattern in patterns
    for path in sorted(ROOT.glob(pattern))
]


class AsAnEditorReads(yaml.SafeLoader):
    """YAML 1.2 as editors read it: dates stay text."""


AsAnEditorReads.yaml_implicit_resolvers = {
    key: [(tag, pattern) for tag, pattern in found if tag != "tag:yaml.org,2002:timestamp"]
    for key, found in yaml.SafeLoader.yaml_implicit_resolvers.items()
}


@functools.cache
def validator(name: str) -> jsonschema.Draft202012Validator:
    made = json.loads((ROOT / "plugins" / "gudgeon" / "json_schemas" / name).read_text(encoding="utf-8"))
    jsonschema.Draft202012Validator.check_schema(made)
    return jsonschema.Draft202012Validator(made)


@pytest.mark.parametrize(("name", "path"), PAIRS, ids=[str(path.relative_to(ROOT)) for _, path in PAIRS])
def test_schema_accepts_the_records(name, path):
    data = yaml.load(path.read_text(encoding="utf-8"), Loader=AsAnEditorReads)  # noqa: S506 - our own files
    assert [error.message for error in validator(name.name).iter_errors(data)] == []


def test_schema_refuses_an_unknown_key_and_a_bare_kind():
    good = {
        "part": "x",
        "name": "X",
        "family": "piston",
        "material": "ci",
        "state": "s",
        "features": {"a": {"name": "A", "kind": "od"}},
    }
    assert validator("part.schema.json").is_valid(good)
    assert not validator("part.schema.json").is_valid({**good, "colour": "red"})
    assert not validator("part.schema.json").is_valid({**good, "features": {"a": {"name": "A", "kind": "odd"}}})


def test_findings_match_their_schema(harrow):
    assert [
        error.message for error in validator("findings.schema.json").iter_errors(json.loads(harrow.model_dump_json()))
    ] == []


@pytest.mark.slow
def test_all_schemas_are_sound():
    for name in SCHEMAS:
        validator(f"{name}.schema.json")
