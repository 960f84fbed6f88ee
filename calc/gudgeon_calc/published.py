"""The published tables, kept as CSV with a source and a basis in every row."""

import csv
import functools
import json
from importlib import resources


@functools.cache
def table(name: str) -> tuple[dict[str, str], ...]:
    """A table by its name in tables/, row by row as text."""
    return tuple(csv.DictReader(_text(f"{name}.csv").splitlines()))


def titles() -> dict[str, str]:
    """Name of each table held here -> its title."""
    return {resource["name"]: resource["title"] for resource in json.loads(_text("datapackage.json"))["resources"]}


def _text(name: str) -> str:
    return resources.files("gudgeon_calc").joinpath("tables", name).read_text(encoding="utf-8")
