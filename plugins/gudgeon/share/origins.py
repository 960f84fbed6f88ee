"""origins.yaml: one entry for each thing that was brought, put in and made anew without touching the others."""

import re
from collections.abc import Mapping

from gudgeon.records.knowledge import Origin
from gudgeon.records.yaml_writing import flow, scalar

ORIGINS = "origins.yaml"  # below the shelf
_BEGIN = "# Where things on this shelf were brought from. Written by gudgeon bring.\norigins:\n"


def with_origins(text: str | None, entries: Mapping[str, Origin]) -> str:
    """The file with some entries more, or made anew. entries: "rule A-R1" -> where it was brought from."""
    kept = _BEGIN if text is None else text
    for key, origin in entries.items():
        entry = _entry(key, origin)
        there = re.compile(rf'^  "?{re.escape(key)}"?:\n(?:    .*\n)*', re.MULTILINE)
        if there.search(kept):
            kept = there.sub(lambda _, entry=entry: entry, kept, count=1)
        else:
            kept += ("" if kept.endswith("\n") else "\n") + entry
    return kept


def _entry(key: str, origin: Origin) -> str:
    lines = [f"  {scalar(key)}:"]
    for name, value in origin.model_dump(mode="json", exclude_none=True).items():
        if isinstance(value, dict):
            lines += [f"    {name}: {flow(value)}"] if value else []
        else:
            lines.append(f"    {name}: {scalar(str(value))}")
    return "\n".join(lines) + "\n"
