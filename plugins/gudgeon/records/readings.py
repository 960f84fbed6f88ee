"""Readings: what was measured, as it was written down. They are added to, never changed."""

from typing import Annotated, Any

from gudgeon_calc.units import NotAQuantity, read_readings
from pydantic import Discriminator, Field, Tag, model_validator

from gudgeon.records.base import Record
from gudgeon.records.fields import (
    Angle,
    Date,
    FormerIds,
    Id,
    Length,
    Line,
    Readings,
    Temperature,
    TimeOfDay,
    Words,
)
from gudgeon.records.plain_data import is_list, is_map
from gudgeon.records.refs import (
    CutRef,
    FeatureRef,
    GaugeRef,
    OperationRef,
    PersonRef,
    PhotoName,
    ReadingRef,
    ThermometerRef,
)
from gudgeon.records.withdrawals import key_of_entry, model_chosen
from gudgeon.records.yaml_text import Document

MOST_LOBES = 30  # more than a lathe or a reamer leaves; beyond them it is roughness


class OneRow(Record):
    """What every row of readings says for itself."""

    id: Id
    reads: Readings


class EveryRow(Record):
    """What holds for every row of a file unless the row says otherwise."""

    of: FeatureRef | None = Field(default=None, description="Which feature: part.feature.")
    date: Date | None = Field(default=None, description="The day on which it was read.")
    time: TimeOfDay | None = Field(
        default=None,
        description="When, on a clock of 24 hours. Without it the rows of a day follow each other as they stand.",
    )
    by: PersonRef | None = Field(default=None, description="Who read it.")
    gauge: GaugeRef | None = Field(default=None, description="The instrument, by its id in instruments.yaml.")
    station: Length | None = None
    angle: Angle | None = None
    part_temp: Temperature | None = None
    gauge_temp: Temperature | None = None
    thermometer: ThermometerRef | None = Field(
        default=None,
        description="What both temperatures were read with, by its id among the thermometers of build.yaml.",
    )
    after: OperationRef | None = Field(default=None, description="The operation after which it was read.")
    after_cut: CutRef | None = Field(
        default=None,
        description="The cut after which it was read, by its id in cuts.yaml. Rows of the day above the first one that says so were read before that cut.",
    )
    lobes: int | None = Field(
        default=None,
        ge=2,
        le=MOST_LOBES,
        description="Of a reading over a vee block: how many lobes it was read for, which a turn shows as many times: 3, 5, 7.",
    )
    as_held: Line | None = Field(default=None, description="In the chuck, free, cap at torque, head on.")


class Row(EveryRow, OneRow):
    """One row of readings at one place."""

    # What a file may leave to every_row, a row has to have. No record can be changed, so nobody can take it out again;
    # a type checker does not see that from the configuration of the models.
    of: FeatureRef = Field(description="Which feature: part.feature.")  # pyright: ignore[reportIncompatibleVariableOverride]
    date: Date = Field(description="The day on which it was read.")  # pyright: ignore[reportIncompatibleVariableOverride]
    by: PersonRef = Field(description="Who read it.")  # pyright: ignore[reportIncompatibleVariableOverride]
    gauge: GaugeRef = Field(description="The instrument, by its id in instruments.yaml.")  # pyright: ignore[reportIncompatibleVariableOverride]
    supersedes: ReadingRef | None = Field(
        default=None, description="The row that this one puts right; that row stays and is no longer used."
    )
    photo: PhotoName | None = None
    note: Words | None = None
    formerly: FormerIds = ()


class ReadingWithdrawal(Record):
    """A row that withdraws another one, which was entered by mistake: that row stays, with the reason, and is not used."""

    id: Id
    withdraws: ReadingRef = Field(description="The row that was entered by mistake.")
    because: Words = Field(description="Why it is withdrawn.")
    date: Date
    by: PersonRef
    note: Words | None = None
    formerly: FormerIds = ()

    @model_validator(mode="before")
    @classmethod
    def _has_no_reading(cls, data: Any) -> Any:
        if "supersedes" in data:
            raise ValueError('a row either puts another one right or withdraws it. Keep "supersedes" or "withdraws".')
        if key := key_of_entry(Row, cls, data):
            raise ValueError(
                f'a row that withdraws another has no reading of its own. Take out "{key}", or write "supersedes" '
                'in place of "withdraws" and "because" where this row puts the other one right.'
            )
        return data


AnyRow = Annotated[
    Annotated[Row, Tag(Row.__name__)] | Annotated[ReadingWithdrawal, Tag(ReadingWithdrawal.__name__)],
    Discriminator(model_chosen(Row, ReadingWithdrawal)),
]


class ReadingsFile(Record):
    """readings/<date>-<what>.yaml"""

    every_row: EveryRow | None = None
    rows: tuple[AnyRow, ...] = Field(min_length=1)


def spread_every_row(document: Document) -> None:
    """Give each row of a readings file what `every_row` says, where the row is silent, with the place it stands at.

    A row that writes a key with nothing after it takes the shared value back: "part_temp:" means none was noted.
    """
    data = document.data
    if not (is_map(data) and is_map(every := data.get("every_row")) and is_list(rows := data.get("rows"))):
        return
    shared = {key: value for key, value in every.items() if key in EveryRow.model_fields}
    for index, row in enumerate(rows):
        if not is_map(row):
            continue
        for key, value in shared.items():
            if "withdraws" in row and key not in ReadingWithdrawal.model_fields:
                continue
            if key not in row:
                row[key] = value
                document.values["rows", index, key] = document.values["every_row", key]
            elif row[key] is None:
                del row[key]


def row_texts(row: Row) -> dict[str, str | int | list[str]]:
    """What a row says, key by key, as it would be written down again."""
    texts: dict[str, str | int | list[str]] = {}
    for key in Row.model_fields:
        value = getattr(row, key)
        if value is None or key == "formerly":
            continue
        if key == "reads":
            texts[key] = together([read.text for read in row.reads])
        else:
            texts[key] = value if isinstance(value, int | str) else getattr(value, "text", None) or str(value)
    return texts


def together(texts: list[str]) -> str | list[str]:
    """Readings as a file has them: `4.2515 4.2516 in` where they are decimals that share a unit, otherwise one by one."""
    parts = [text.rpartition(" ") for text in texts]
    plain = " ".join([*(number for number, _, _ in parts), parts[0][2]])
    try:
        return plain if [measure.text for measure in read_readings(plain)] == texts else texts
    except NotAQuantity:
        return texts
