"""Data packages of made-up builds of made-up clubs, as large a union as wanted. The same seed gives the same files."""

import csv
import io
import json
import random
from pathlib import Path

from gudgeon.records.problems import Problems
from gudgeon.survey.packages import Package
from gudgeon.survey.tables import TABLES, empty, read

CLUB_OF = 25  # builds
MATERIALS = [
    ("ci", "grey iron, own melt", "grey-iron"),
    ("sg", "spheroidal iron, bought bar", ""),
    ("st", "steel", "carbon-steel"),
]
# Part of a build -> its family and its features: id, kind, share of the bore.
PARTS = {
    "cyl": ("cylinder", [("bore", "bore", 1.0), ("wall", "thickness", 0.09)]),
    "piston": ("piston", [("skirt", "od", 0.999), ("groove", "slot", 0.044), ("length", "length", 1.6)]),
    "crank": ("crankshaft", [("crankpin", "od", 0.4), ("journal", "od", 0.42), ("web", "thickness", 0.2)]),
    "rod": ("rod", [("bigend", "bore", 0.41), ("centres", "length", 3.5)]),
    "pin": ("pin", [("od", "od", 0.2)]),
    **{
        f"ring{number}": ("ring", [("width", "thickness", 0.044), ("wall", "thickness", 0.04), ("gap", "gap", 0.004)])
        for number in (1, 2, 3)
    },
    **{
        f"{family}{number}": (family, [("bore", "bore", 0.2), ("wall", "thickness", 0.02), ("length", "length", 0.5)])
        for family in ("bush", "bearing", "oiler", "valve")
        for number in (1, 2, 3)
    },
}
RESULTS = ["ran_free"] * 6 + ["running"] * 3 + ["nipped", "stuck"]


# As long as the description of a real package's tables.
RESOURCES = [
    {
        "fields": [
            {"name": f"column{number}", "type": "string", "description": "What it holds. " * 6} for number in range(130)
        ]
    }
]


def table(name: str, lines: list[dict]) -> str:
    out = io.StringIO()
    writer = csv.DictWriter(out, [*TABLES[name], "file", "line"], restval="", lineterminator="\n")
    writer.writeheader()
    writer.writerows(lines)
    return out.getvalue()


def descriptor(build: str, club: str, **more) -> str:
    return json.dumps(
        {
            "name": build,
            "title": f"Engine {build}",
            "version": "2025-01-01",
            "resources": RESOURCES,
            "licenses": [{"name": "CC-BY-4.0"}],
            "gudgeon": {"format": "gudgeon-data-1", "club": club, "invented": True, "units": "in", **more},
        }
    )


def write_package(folder: Path, parts: list[dict], features: list[dict], outcomes: list[dict] | None, **said) -> Path:
    """One package with these lines. outcomes: None where it has no such table."""
    folder.mkdir(parents=True)
    (folder / "datapackage.json").write_text(
        descriptor(said.pop("build", folder.name), said.pop("club", "Made up"), **said)
    )
    for name, lines in (("parts", parts), ("features", features), ("outcomes", outcomes)):
        if lines is not None:
            (folder / f"{name}.csv").write_text(table(name, lines))
    return folder


def made_up(folder: Path, count: int, seed: int = 17) -> Path:
    """So many builds below a folder, a folder for each club."""
    drawn = random.Random(seed)
    for number in range(count):
        club = number // CLUB_OF
        bore = round(drawn.uniform(20, 250), 2)
        parts, features, outcomes = [], [], []
        for part, (family, surfaces) in PARTS.items():
            material, named, like = drawn.choice(MATERIALS)
            parts.append(
                {"id": part, "name": part.capitalize(), "family": family, "material": material, "material_name": named}
                | {"like": like, "made_from": "bar", "state": "finished", "goes_with": bore if family == "ring" else ""}
                | {
                    "done": "rough out; stress relieve at 550 C; finish turn; split; gap at the smallest bore",
                    "file": f"builds/b{number}/parts/{part}.yaml",
                    "line": 1,
                }
            )
            for surface, kind, share in surfaces:
                size = "" if drawn.random() < 0.2 else round(bore * share + drawn.gauss(0, 0.01), 5)
                features.append(
                    {
                        "part": part,
                        "ref": f"{part}.{surface}",
                        "name": surface,
                        "kind": kind,
                        "state": "in",
                        "size": size,
                    }
                    | {"expanded": "" if size == "" else 0.004, "nominal": round(bore * share, 4), "line": 1}
                )
            if drawn.random() < 0.4:
                outcomes.append(
                    {"about": f"F-{part}", "parts": f"cyl {part}", "result": drawn.choice(RESULTS)}
                    | {"minutes": drawn.choice(["", 90, 6000]), "clearance": 0.05, "last": "2024-05-01"}
                )
        where = folder / f"club-{club:05d}" / f"b{number:06d}" / "data"
        write_package(
            where, parts, features, outcomes if drawn.random() < 0.7 else None, build=f"b{number}", club=f"Club {club}"
        )
    return folder


def distributed(name: str, packages: list[Package], batch: int):
    """A table as a frame whose partitions are read where the work is done, so many packages in each."""
    import dask.dataframe  # the survey's own tests with pandas do without it

    batches = [packages[first : first + batch] for first in range(0, len(packages), batch)]
    return dask.dataframe.from_map(lambda some: read(name, some, Problems()), batches, meta=empty(name))
