"""The published tables, kept as CSV with a source and a basis in every row."""

import csv
import functools
import json
from importlib import resources


@functools.cache
def table(name: str) -> tuple[dict[str, str], ...]:
    """A table by its name in tables/, row by row as text."""
    return tuple(csv.DictReader(_text(f"{name}.csv").splitlines()))


@functools.cache
def bases() -> dict[str, str]:
    """Every word for the ground of a row -> what it means, the strongest first."""
    return json.loads(_text("datapackage.json"))["bases"]


def weakest(*grounds: str) -> str:
    """A number is no better founded than the weakest row behind it."""
    return max(grounds, key=tuple(bases()).index)


def titles() -> dict[str, str]:
    """Name of each table held here -> its title."""
    return {resource["name"]: resource["title"] for resource in json.loads(_text("datapackage.json"))["resources"]}


def _text(name: str) -> str:
    return resources.files("gudgeon_calc").joinpath("tables", name).read_text(encoding="utf-8")
