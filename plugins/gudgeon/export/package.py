"""A build as a data package: tables as CSV with Table Schema, everything as JSON, and a descriptor of them all.

Data Package v2 and Table Schema (datapackage.org), so that readings and findings can be used without this program.
"""

import csv
import io
import json
import types
import typing
from collections.abc import Mapping
from importlib.metadata import version

from pydantic import Field

from gudgeon.assess.findings import (
    BuildFindings,
    FeatureFinding,
    Finding,
    FitFinding,
    Note,
    OperationFinding,
    OutcomeFinding,
    RowFinding,
    SuspectedMistake,
)
from gudgeon.assess.findings.base import bare
from gudgeon.export.package_format import DATA_FORMAT
from gudgeon.export.part_table import MORE, PART_FIELDS, PARTS, more_cells, part_lines
from gudgeon.notes import in_words
from gudgeon.records import build_file, instalment_head, parts
from gudgeon.records.cuts import Cut, CutWithdrawal
from gudgeon.records.figures import Figure
from gudgeon.records.fits import Fit
from gudgeon.records.knowledge import ClubMaterial
from gudgeon.records.model import Build
from gudgeon.records.operations import Operation
from gudgeon.records.outcomes import Outcome, OutcomeWithdrawal
from gudgeon.records.pictures import Film, Picture
from gudgeon.records.readings import ReadingWithdrawal, Row
from gudgeon.records.readings_csv import COLUMNS, FIELDS, TEXTS, no_formula, to_csv
from gudgeon.records.running import Run, RunWithdrawal
from gudgeon.story.citation import citation_file
from gudgeon.wording import UnitFormatter

_PROFILES = "https://datapackage.org/profiles/2.0"
# Table -> (model of a line, what it holds, key that no two lines share).
TABLES = {
    "rows": (RowFinding, "What became of each row of readings, and its size at 20 °C", "id"),
    "features": (FeatureFinding, "Each feature as it is: the size that decides, its state", "ref"),
    "fits": (FitFinding, "Each fit as it is: clearance, wanted range, chances", "id"),
    "operations": (OperationFinding, "Each operation as it stands", "id"),
    "outcomes": (OutcomeFinding, "What became of each fit that ran, and of parts, as said or by the running log", None),
    "mistakes": (SuspectedMistake, "Probable mistakes in the records, with their likely causes", None),
}
SINGLE = "single-readings"


class Story(Finding):
    """An instalment of the story."""

    head: instalment_head.Instalment
    body: str = Field(description="Markdown, as its author wrote it.")


class Records(Finding):
    """The records of a build, every text as it was written."""

    build: build_file.BuildFile
    parts: dict[str, parts.Part]
    fits: dict[str, Fit]
    readings: list[Row]
    reading_withdrawals: list[ReadingWithdrawal]
    operations: dict[str, Operation]
    cuts: list[Cut]
    cut_withdrawals: list[CutWithdrawal]
    instruments: dict[str, build_file.Instrument]
    machines: dict[str, build_file.Machine]
    materials: dict[str, build_file.Material]
    reviews: list[build_file.Review]
    review_withdrawals: list[build_file.ReviewWithdrawal]
    figures: dict[str, Figure]
    photos: dict[str, Picture]
    films: dict[str, Film]
    runs: list[Run]
    run_withdrawals: list[RunWithdrawal]
    outcomes: list[Outcome]
    outcome_withdrawals: list[OutcomeWithdrawal]
    story: list[Story]


class BuildData(Finding):
    """Everything of one build: what was written down, and what was computed from it."""

    format: typing.Literal["gudgeon-build-1"] = "gudgeon-build-1"
    version: str = Field(description="Version of the program that wrote it.")
    records: Records
    findings: BuildFindings


def build_data(build: Build, findings: BuildFindings) -> BuildData:
    """Everything of a build as one record."""
    records = Records.model_construct(
        build=_without_addresses(build.sound_head),
        parts=build.parts,
        fits=build.fits,
        readings=build.rows,
        reading_withdrawals=build.reading_withdrawals,
        operations=build.operations,
        cuts=list(build.cuts),
        cut_withdrawals=list(build.cut_withdrawals),
        instruments=build.instruments,
        machines=build.machines,
        materials=build.materials,
        reviews=list(build.reviews),
        review_withdrawals=list(build.review_withdrawals),
        figures=build.figures,
        photos=build.photos,
        films=build.films,
        runs=list(build.runs),
        run_withdrawals=list(build.run_withdrawals),
        outcomes=list(build.outcomes),
        outcome_withdrawals=list(build.outcome_withdrawals),
        story=[Story.model_construct(head=instalment.head, body=instalment.body) for instalment in build.instalments],
    )
    return BuildData.model_construct(version=version("gudgeon"), records=records, findings=findings)


def _without_addresses(head: build_file.BuildFile) -> build_file.BuildFile:
    """The head of a build without the addresses of its people, which nobody needs who uses its data."""
    people = {name: person.model_copy(update={"commits_as": ()}) for name, person in head.people.items()}
    return head.model_copy(update={"people": people})


def files(
    build: Build,
    findings: BuildFindings,
    materials: Mapping[str, ClubMaterial] | None = None,
    address: str | None = None,
) -> dict[str, bytes]:
    """Name -> content of the files of a data package. The same records give the same bytes.

    materials: those of the shelf, for the names of what parts are made of. address: of the build's page, where it is known.
    """
    texts = {
        "readings.csv": to_csv(build.reading_entries),
        f"{SINGLE}.csv": _single(build),
        "build.json": build_data(build, findings).model_dump_json(indent=1, by_alias=True) + "\n",
        "CITATION.cff": citation_file(build, findings),
    }
    lines = {
        "rows": list(findings.rows.values()),
        "features": list(findings.features.values()),
        "fits": list(findings.fits.values()),
        "operations": list(findings.operations.values()),
        "outcomes": findings.outcomes,
        "mistakes": findings.mistakes,
    }
    parts_of_it = part_lines(build, findings, materials or {})
    texts[f"{PARTS}.csv"] = _csv({name: [_cell(line[name]) for line in parts_of_it] for name in _names(PART_FIELDS)})
    for name, (model, _, _) in TABLES.items():
        texts[f"{name}.csv"] = _table(name, model, lines[name], build, UnitFormatter(findings.units))
    texts["datapackage.json"] = json.dumps(_descriptor(build, address), indent=1, ensure_ascii=False) + "\n"
    return {name: text.encode("utf-8") for name, text in texts.items()}


def _scalar_type(annotation) -> str | None:
    """Table Schema's type of a field that holds one value, or None."""
    if typing.get_origin(annotation) in (types.UnionType, typing.Union):
        kinds = {_scalar_type(member) for member in typing.get_args(annotation) if member is not type(None)}
        return kinds.pop() if len(kinds) == 1 else None
    if typing.get_origin(annotation) is typing.Literal:
        return "string"
    return {str: "string", float: "number", int: "integer", bool: "boolean", Note: "string"}.get(annotation)


def _fields(table: str, model) -> list[dict]:
    """The columns of a table: every field of a finding that holds one value, then where the record stands."""
    columns = []
    for name, field in model.model_fields.items():
        kind = _scalar_type(bare(field.annotation))
        if kind:
            column = {"name": name, "type": kind}
            if field.description:
                column["description"] = field.description
            columns.append(column)
    return [
        *columns,
        *MORE.get(table, ("", []))[1],
        {"name": "file", "type": "string", "description": "File of the record, from the project's root."},
        {"name": "line", "type": "integer", "description": "Line of the record."},
    ]


def _names(fields: list[dict]) -> list[str]:
    return [field["name"] for field in fields]


def _table(table: str, model, lines, build: Build, fmt: UnitFormatter) -> str:
    about, more_fields = MORE.get(table, ("", []))
    added = _names(more_fields)
    more = [more_cells(build, table, getattr(line, about)) for line in lines] if added else []
    names = [name for name in _names(_fields(table, model))[:-2] if name not in added]
    columns = {name: [_said(getattr(line, name), fmt) for line in lines] for name in names}
    columns |= {name: [_cell(cells[name]) for cells in more] for name in added}
    columns |= {"file": [line.source.file for line in lines], "line": [line.source.line for line in lines]}
    return _csv(columns)


def _csv(columns: Mapping[str, list]) -> str:
    import pandas  # read when a table is written: a reading at the lathe need not wait for it

    return pandas.DataFrame(columns, dtype=object).to_csv(index=False, lineterminator="\n")


def _said(cell, fmt: UnitFormatter) -> str:
    return _cell(in_words(cell, fmt) if isinstance(cell, Note) else cell)


def _cell(value) -> str:
    if value is None:
        return ""
    if isinstance(value, bool):
        return str(value).lower()
    if isinstance(value, float):
        return repr(value + 0.0)  # never a negative nought
    return no_formula(str(value))


def _single(build: Build) -> str:
    """Every single reading in millimetres, with where and how it was taken."""
    out = io.StringIO()
    writer = csv.writer(out, lineterminator="\n")
    writer.writerow([column["name"] for column in _SINGLE_FIELDS])
    for row in build.rows:
        place = [
            None if measure is None else float(measure)
            for measure in (row.station, row.angle, row.part_temp, row.gauge_temp)
        ]
        for index, reading in enumerate(row.reads, 1):
            writer.writerow(
                [row.id, index, row.of, row.date, row.gauge, *(_cell(one) for one in place), _cell(float(reading))]
            )
    return out.getvalue()


_SINGLE_FIELDS = [
    {"name": "id", "type": "string", "description": "Row of readings."},
    {"name": "number", "type": "integer", "description": "Which reading of the row, from 1."},
    {"name": "of", "type": "string", "description": "part.feature."},
    {"name": "date", "type": "date"},
    {"name": "gauge", "type": "string", "description": "Instrument."},
    {"name": "station", "type": "number", "description": "Distance along the axis, mm."},
    {"name": "angle", "type": "number", "description": "Angle round the axis, degrees."},
    {"name": "part_temp", "type": "number", "description": "°C."},
    {"name": "gauge_temp", "type": "number", "description": "°C."},
    {"name": "reads", "type": "number", "description": "As read, mm, uncorrected."},
]


def _readings_fields() -> list[dict]:
    columns = []
    for name in COLUMNS:
        column = {"name": name, "type": "date" if name == "date" else "string"}
        description = FIELDS[name].description
        if name == "reads":
            description = "As read, every digit kept, the unit after the last; where they share no unit or are fractions, each with its own and a semicolon after it."
        elif name in ("station", "part_temp", "gauge_temp", "angle"):
            description = "As written, with its unit."
        elif name in TEXTS:
            description = (
                description or "Free text."
            ) + " An apostrophe at its start keeps a spreadsheet from taking it for a formula, and is no part of it."
        if description:
            column["description"] = description
        columns.append(column)
    return columns


def _resource(name: str, title: str, fields: list[dict], key: list[str], links: list[tuple[str, str, str]]) -> dict:
    schema = {"$schema": f"{_PROFILES}/tableschema.json", "fields": fields}
    if key:
        schema["primaryKey"] = key
    if links:
        schema["foreignKeys"] = [
            {"fields": [field], "reference": {"resource": resource, "fields": [other]}}
            for field, resource, other in links
        ]
    return {
        "$schema": f"{_PROFILES}/dataresource.json",
        "name": name,
        "type": "table",
        "path": f"{name}.csv",
        "title": title,
        "format": "csv",
        "mediatype": "text/csv",
        "encoding": "utf-8",
        "schema": schema,
    }


def _descriptor(build: Build, address: str | None) -> dict:
    """datapackage.json: what each file holds, under which licence, by whom."""
    head = build.sound_head
    resources = [
        _resource(
            "readings",
            "Readings as written down; this table can be read back without loss",
            _readings_fields(),
            ["id"],
            [("supersedes", "readings", "id"), ("withdraws", "readings", "id")],
        ),
        _resource(
            SINGLE,
            "Every single reading in millimetres",
            _SINGLE_FIELDS,
            ["id", "number"],
            [("id", "readings", "id"), ("of", "features", "ref")],
        ),
    ]
    resources.append(
        _resource(PARTS, "Each part: its family, material and what was done to it", PART_FIELDS, ["id"], [])
    )
    links = {
        "rows": [("id", "readings", "id"), ("of", "features", "ref")],
        "features": [("part", PARTS, "id")],
        "operations": [("part", PARTS, "id")],
    }
    for name, (model, title, key) in TABLES.items():
        resources.append(_resource(name, title, _fields(name, model), [key] if key else [], links.get(name, [])))
    resources.append(
        {
            "$schema": f"{_PROFILES}/dataresource.json",
            "name": "everything",
            "path": "build.json",
            "title": "All records and findings as JSON",
            "format": "json",
            "mediatype": "application/json",
            "encoding": "utf-8",
        }
    )
    package = {
        "$schema": f"{_PROFILES}/datapackage.json",
        "name": build.id,
        "title": head.name,
        "version": build.newest_date.isoformat() if build.newest_date else "0",
        "contributors": [
            {"title": person.name, "roles": [person.does] if person.does else []} for person in head.people.values()
        ],
        "resources": resources,
        "gudgeon": {
            "format": DATA_FORMAT,
            "version": version("gudgeon"),
            "club": head.club.name,
            "invented": head.club.invented,
            "units": head.units,
        },
    }
    if address:
        package["homepage"] = address
    if head.about:
        package["description"] = head.about
    if head.licences and head.licences.data:
        package["licenses"] = [{"name": head.licences.data}]
    return package
