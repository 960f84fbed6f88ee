"""JSON Schemas for editors and for readers of findings.json, made from the same models as the validator."""

import json
from pathlib import Path

from gudgeon.assess.findings import BuildFindings
from gudgeon.export.package import BuildData
from gudgeon.records import build_file, column_map, figures, fits, knowledge, operations, parts, readings
from gudgeon.review.slip import ReviewSlip

# File name of the schema -> (model, title). .vscode/settings.json maps the files of a build to these.
SCHEMAS = {
    "build": (build_file.BuildFile, "build.yaml"),
    "part": (parts.Part, "parts/<part>.yaml"),
    "fits": (fits.FitsFile, "fits.yaml"),
    "readings": (readings.ReadingsFile, "readings/<date>-<what>.yaml"),
    "operations": (operations.OperationsFile, "operations.yaml"),
    "cuts": (operations.CutsFile, "cuts.yaml"),
    "instruments": (build_file.InstrumentsFile, "instruments.yaml"),
    "machines": (build_file.MachinesFile, "machines.yaml"),
    "materials": (build_file.MaterialsFile, "materials.yaml"),
    "reviews": (build_file.ReviewsFile, "reviews.yaml"),
    "figures": (figures.FiguresFile, "figures.yaml"),
    "instalment": (build_file.Instalment, "head of log/<nn>-<title>.md"),
    "rule": (knowledge.Rule, "knowledge/rules/<rule>.yaml"),
    "caution": (knowledge.Caution, "knowledge/cautions/<caution>.yaml"),
    "club-material": (knowledge.ClubMaterial, "knowledge/materials/<material>.yaml"),
    "family": (knowledge.Family, "knowledge/families/<family>/family.yaml"),
    "habits": (knowledge.Habits, "knowledge/habits.yaml"),
    "glossary": (knowledge.Glossary, "knowledge/glossary/words.yaml"),
    "columns": (column_map.ColumnMap, "the column map of gudgeon import"),
    "sharing": (knowledge.Sharing, "knowledge/sharing.yaml"),
    "origins": (knowledge.OriginsFile, "knowledge/origins.yaml"),
    "findings": (BuildFindings, "findings.json"),
    "build-data": (BuildData, "data/build.json of a build"),
    "review-slip": (ReviewSlip, "gudgeon review --form json"),
}
WRITTEN = ("findings", "build-data", "review-slip")  # what the product writes; everything else is written by people


def schema(name: str) -> str:
    """One schema as JSON text."""
    model, title = SCHEMAS[name]
    made = model.model_json_schema(mode="serialization" if name in WRITTEN else "validation")
    if name == "readings":
        _loosen_rows(made)
    if name not in WRITTEN:
        _accept_plain_scalars(made)
    return (
        json.dumps(
            {"$schema": "https://json-schema.org/draft/2020-12/schema", **made, "title": title},
            indent=1,
            ensure_ascii=False,
            sort_keys=True,
        )
        + "\n"
    )


def write_schemas(folder: Path) -> list[Path]:
    """Write all schemas into a folder."""
    folder.mkdir(parents=True, exist_ok=True)
    paths = []
    for name in SCHEMAS:
        path = folder / f"{name}.schema.json"
        path.write_text(schema(name), encoding="utf-8")
        paths.append(path)
    return paths


def _loosen_rows(made: dict) -> None:
    """A row may leave to every_row what the file says once."""
    made["$defs"]["Row"]["required"] = ["id", "reads"]
    made["$defs"]["ReadingWithdrawal"]["required"] = ["id", "withdraws", "because"]


def _accept_plain_scalars(node) -> None:
    """An editor's YAML reader turns 2025-03-18 or 4.6 into a date or number before the schema sees it; here text is text."""
    if isinstance(node, dict):
        if node.get("type") == "string":
            node["type"] = ["string", "number", "integer"]
        for each in node.values():
            _accept_plain_scalars(each)
    elif isinstance(node, list):
        for each in node:
            _accept_plain_scalars(each)
