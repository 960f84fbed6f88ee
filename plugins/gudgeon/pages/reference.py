"""Reference pages made from the models themselves: how to write records, and what stands in findings.json."""

import re

import gudgeon.assess.findings as findings
from gudgeon.assess.findings.base import bare
from gudgeon.pages.page import Page, Renderer
from gudgeon.records.record_files import RECORD_FILES

# In the order in which the page shows them; a test fails when one is missing.
MODELS = (
    "BuildFindings",
    "FeatureFinding",
    "FitFinding",
    "RowFinding",
    "SuspectedMistake",
    "OperationFinding",
    "RuleFinding",
    "RingFinding",
    "GaugeFinding",
    "MetalFinding",
    "Calculation",
    "Term",
    "DangerFinding",
    "ApplyingCautions",
    "TimingMark",
    "TimingSetting",
    "PatternSize",
    "ClubFindings",
    "CopyMistake",
    "SumOffered",
    "Ground",
    "OutcomeFinding",
    "RuleEvidence",
    "ClubEvidence",
    "EngineTold",
    "HeldShare",
    "HeldAfter",
    "Progress",
    "ProgressDay",
    "WorkedWeek",
    "CutPlan",
    "KindFactor",
    "PlannedJob",
    "CutFinding",
    "Pass",
    "ShownAt",
    "SetUpFinding",
    "SetUpSection",
    "JawMove",
    "DueFinding",
    "RunningFinding",
    "TakeAt",
    "Forecast",
    "Note",
    "Stock",
    "HotCase",
    "Form",
    "FormVerdict",
    "LobingFinding",
    "SectionForm",
    "Comparison",
    "AsRead",
    "CrossReading",
    "EarlierWant",
    "NearClass",
    "PlannedLimits",
    "DirectReading",
    "Recall",
    "Cell",
    "Component",
    "Generation",
    "Formula",
    "FitEnd",
    "FitMove",
    "Source",
)

WORDS = {
    "string": "text",
    "integer": "whole number",
    "number": "number",
    "boolean": "true or false",
    "object": "keys with values",
    "array": "list",
}


def pages(renderer: Renderer, knowledge: str) -> list[Page]:
    """records and findings. knowledge: the folder of the club's knowledge, as it is shown."""
    return [
        renderer.page(
            "records.md",
            "records.md.j2",
            None,
            files=[(file.name.format(knowledge=knowledge), tables(file.model)) for file in RECORD_FILES],
        ),
        renderer.page(
            "findings.md",
            "findings.md.j2",
            None,
            models=[(name, getattr(findings, name)) for name in MODELS],
            annotation=_annotation,
        ),
    ]


def tables(model) -> list[tuple[str, str, list[tuple[str, bool, str, str]]]]:
    """A record and the records inside it: (name, what it is, [(key, needed, what to write, meaning)])."""
    made = model.model_json_schema()
    inner = made.get("$defs", {})
    records, waiting = [], [made]
    while waiting:
        record = waiting.pop(0)
        needed = record.get("required", [])
        records.append(
            (
                record["title"],
                record.get("description", ""),
                [
                    (key, key in needed, _said(field), field.get("description", ""))
                    for key, field in record["properties"].items()
                ],
            )
        )
        named = [name for field in record["properties"].values() for name in _names(field) if name in inner]
        waiting += [inner.pop(name) for name in dict.fromkeys(named)]
    return records


def _names(node) -> list[str]:
    """The records that a field's schema points to."""
    if isinstance(node, dict):
        own = [node["$ref"].rpartition("/")[2]] if "$ref" in node else []
        return own + [name for nested in node.values() for name in _names(nested)]
    return [name for nested in node for name in _names(nested)] if isinstance(node, list) else []


def _said(field: dict) -> str:
    """What to write for a field."""
    if "enum" in field or "const" in field:
        return "one of: " + ", ".join(str(value) for value in field.get("enum", [field.get("const")]))
    if "examples" in field:
        return "such as " + ", ".join(str(example) for example in field["examples"])
    if "anyOf" in field:
        return " or ".join(dict.fromkeys(_said(kind) for kind in field["anyOf"] if kind.get("type") != "null"))
    if field.get("format") == "date":
        return "such as 2025-03-18"
    if field.get("type") == "array":
        items = field.get("prefixItems") or [field.get("items", {})]
        return f"list{f' of {len(items)}' if 'prefixItems' in field else ''}: {_said(items[0])}" if items[0] else "list"
    return WORDS.get(field.get("type", ""), "see below")


def _annotation(field) -> str:
    """The type of a finding's field in words that a spreadsheet user understands."""
    text = re.sub(r"gudgeon\.assess\.findings\.\w+\.", "", str(bare(field.annotation))).replace("typing.", "")
    for old, new in (
        ("<class '", ""),
        ("'>", ""),
        ("NoneType", "null"),
        ("None", "null"),
        ("float", "number"),
        ("str", "text"),
        ("bool", "true or false"),
        ("int", "whole number"),
        (" | ", " or "),
    ):
        text = text.replace(old, new)
    return re.sub(r"tuple\[((?:[^\[\]]|\[[^\[\]]*\])*), \.\.\.\]", r"list[\1]", text)
