"""Readings: what was measured, as it was written down. They are added to, never changed."""

from gudgeon_calc.units import NotAQuantity, read_readings
from pydantic import Field

from gudgeon.records.record import (
    Angle,
    Date,
    FeatureRef,
    Id,
    Length,
    Line,
    PhotoName,
    Readings,
    Record,
    Temperature,
    Words,
)
from gudgeon.records.yaml_text import Document


class Row(Record):
    """One row of readings at one place."""

    id: Id
    of: FeatureRef = Field(description="Which feature: part.feature.")
    date: Date
    by: Id
    reads: Readings
    gauge: Id = Field(description="The instrument, by its id in instruments.yaml.")
    station: Length | None = None
    angle: Angle | None = None
    part_temp: Temperature | None = None
    gauge_temp: Temperature | None = None
    after: Id | None = Field(default=None, description="The operation after which it was read.")
    as_held: Line | None = Field(default=None, description="In the chuck, free, cap at torque, head on.")
    supersedes: Id | None = Field(
        default=None, description="The row that this one puts right; that row stays and is no longer used."
    )
    photo: PhotoName | None = None
    note: Words | None = None


class EveryRow(Record):
    """What holds for every row of a file unless the row says otherwise."""

    of: FeatureRef | None = None
    date: Date | None = None
    by: Id | None = None
    gauge: Id | None = None
    station: Length | None = None
    angle: Angle | None = None
    part_temp: Temperature | None = None
    gauge_temp: Temperature | None = None
    after: Id | None = None
    as_held: Line | None = None


class ReadingsFile(Record):
    """readings/<date>-<what>.yaml"""

    every_row: EveryRow | None = None
    rows: tuple[Row, ...] = Field(min_length=1)


def spread_every_row(document: Document) -> None:
    """Give each row of a readings file what `every_row` says, where the row is silent, with the place it stands at.

    A row that writes a key with nothing after it takes the shared value back: "part_temp:" means none was noted.
    """
    data = document.data
    if not (isinstance(data, dict) and isinstance(data.get("every_row"), dict) and isinstance(data.get("rows"), list)):
        return
    shared = {key: value for key, value in data["every_row"].items() if key in EveryRow.model_fields}
    for index, row in enumerate(data["rows"]):
        if not isinstance(row, dict):
            continue
        for key, value in shared.items():
            if key not in row:
                row[key] = value
                document.values["rows", index, key] = document.values["every_row", key]
            elif row[key] is None:
                del row[key]


def together(texts: list[str]) -> str | list[str]:
    """Readings as a file has them: `4.2515 4.2516 in` where they are decimals that share a unit, otherwise one by one."""
    parts = [each.rpartition(" ") for each in texts]
    plain = " ".join([*(number for number, _, _ in parts), parts[0][2]])
    try:
        return plain if [each.text for each in read_readings(plain)] == texts else texts
    except NotAQuantity:
        return texts
