"""JSON Schemas for editors and for readers of findings.json, made from the same models as the validator."""

import functools
import json

from gudgeon.assess.findings import BuildFindings
from gudgeon.export.package import BuildData
from gudgeon.records.record_files import RECORD_FILES
from gudgeon.review.slip import ReviewSlip

# Name of the schema -> (model, title): what people write, then what the product writes.
WRITTEN = {
    "findings": (BuildFindings, "findings.json"),
    "build-data": (BuildData, "data/build.json of a build"),
    "review-slip": (ReviewSlip, "gudgeon review --form json"),
}
SCHEMAS = {
    **{file.schema: (file.model, file.name.format(knowledge="knowledge")) for file in RECORD_FILES},
    **WRITTEN,
}


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


@functools.cache
def schema_files() -> dict[str, bytes]:
    """All schemas, by the name of their file."""
    return {f"{name}.schema.json": schema(name).encode("utf-8") for name in SCHEMAS}


def _loosen_rows(made: dict) -> None:
    """A row may leave to every_row what the file says once."""
    made["$defs"]["Row"]["required"] = ["id", "reads"]
    made["$defs"]["ReadingWithdrawal"]["required"] = ["id", "withdraws", "because"]


def _accept_plain_scalars(node) -> None:
    """An editor's YAML reader turns 2025-03-18 or 4.6 into a date or number before the schema sees it; here text is text."""
    if isinstance(node, dict):
        if node.get("type") == "string":
            node["type"] = ["string", "number", "integer"]
        for child in node.values():
            _accept_plain_scalars(child)
    elif isinstance(node, list):
        for child in node:
            _accept_plain_scalars(child)
