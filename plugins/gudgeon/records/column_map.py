"""The map of a CSV's columns, which people write for a digital gauge or a spreadsheet."""

from typing import TYPE_CHECKING, Annotated, Any, Literal

from gudgeon_calc.units import KINDS
from pydantic import BeforeValidator, Field, model_validator

from gudgeon.records.base import Record
from gudgeon.records.fields import Line
from gudgeon.records.readings import EveryRow, Row

QUANTITIES = {
    "station": "length",
    "reads": "length",
    "angle": "angle",
    "part_temp": "temperature",
    "gauge_temp": "temperature",
}
KEYS = tuple(name for name in Row.model_fields if name != "formerly")  # no gauge knows of an earlier id
DATES = {
    "year-month-day": r"(?P<y>\d{4})-(?P<m>\d{1,2})-(?P<d>\d{1,2})",
    "day.month.year": r"(?P<d>\d{1,2})\.(?P<m>\d{1,2})\.(?P<y>\d{4})",
    "day/month/year": r"(?P<d>\d{1,2})/(?P<m>\d{1,2})/(?P<y>\d{4})",
    "month/day/year": r"(?P<m>\d{1,2})/(?P<d>\d{1,2})/(?P<y>\d{4})",
}
# Ways in which a spreadsheet counts days -> the day before its first.
SERIALS = {"serial": "1899-12-30", "serial from 1904": "1904-01-01"}
UNIT = "unit"  # what a column may give besides the keys of a row: the unit of that row's readings
# A type checker reads plain words here; which ones there are stands above, once.
if TYPE_CHECKING:
    RowQuantity = str
    RowKey = str
    DateForm = str
else:
    RowQuantity = Literal[tuple(QUANTITIES)]
    RowKey = Literal[(*KEYS, UNIT)]
    DateForm = Literal[(*DATES, *SERIALS)]


def _tab(value: Any) -> Any:
    return "\t" if value == "tab" else value


class ColumnMap(Record):
    """How the columns of a CSV become readings: written once for each gauge or spreadsheet."""

    columns: dict[Line, RowKey] = Field(
        description="Heading -> key of a reading. Several headings may give reads: they are the repeats of one row."
    )
    ignore: tuple[Line, ...] = Field(default=(), description="Headings that are left out.")
    headings: tuple[Line, ...] = Field(
        default=(), description="Of a table that has no line of headings: what its columns are called here, in order."
    )
    fill_down: tuple[Line, ...] = Field(
        default=(), description="Headings whose empty cells say the same as the cell above, as merged cells do."
    )
    grid: bool = Field(
        default=False,
        description="Of a map of a bore, stations down and angles across: every heading that is not named here is an angle, and "
        "the cells below it are readings there.",
    )
    digits: int | None = Field(
        default=None,
        ge=0,
        le=8,
        description="Decimals of the readings, where a spreadsheet has dropped noughts at the end.",
    )
    encoding: Literal["utf-8", "utf-16", "cp1252"] | None = Field(
        default=None, description="How the file is encoded, where it is not found out rightly."
    )
    units: dict[RowQuantity, Line] = Field(
        default={}, description="Unit of a key's numbers, where the cells have none."
    )
    every_row: EveryRow | None = Field(default=None, description="What holds for every row and has no column.")
    names: dict[Literal["of", "by", "gauge", "after", "thermometer"], dict[Line, Line]] = Field(
        default={}, description="Names as the file has them -> names as the records have them."
    )
    dates: DateForm = Field(
        default="year-month-day", description="How the file writes a day; a time of day may stand behind it."
    )
    decimal: Literal[".", ","] = Field(default=".", description="The decimal mark of its numbers.")
    delimiter: Annotated[Literal[",", ";", "\t"], BeforeValidator(_tab)] = Field(
        default=",", description='What parts the cells: ",", ";" or tab.'
    )
    skip_lines: int = Field(default=0, ge=0, le=100, description="Lines above the heading.")
    first_id: Annotated[str, Field(pattern=r"^[A-Za-z][A-Za-z_-]{0,20}[0-9]{1,6}$")] | None = Field(
        default=None,
        description="Id of the first row where no column has one; counted on from there. Without it every row gets an id of its own.",
    )

    @model_validator(mode="after")
    def _has_what_a_row_needs(self):
        given = {*self.columns.values(), *(self.every_row.model_fields_set if self.every_row else ())}
        read = () if self.grid else ("reads",)
        missing = [key for key in ("of", "date", "by", "gauge", *read) if key not in given]
        if missing:
            raise ValueError(
                f'a reading needs {", ".join(missing)}. Name the column under "columns", or write it under "every_row".'
            )
        if self.grid and ("reads" in given or "angle" in given or "station" not in self.columns.values()):
            raise ValueError('in a grid one column gives "station"; angles and reads are its other columns.')
        once = [
            key for key in set(self.columns.values()) if key != "reads" and list(self.columns.values()).count(key) > 1
        ]
        if once:
            raise ValueError(f'two columns give "{once[0]}". Keep one; only "reads" may have several.')
        both = set(self.columns.values()) & (self.every_row.model_fields_set if self.every_row else set())
        if both:
            raise ValueError(f'"{sorted(both)[0]}" has a column and stands under "every_row" too. Keep one.')
        if lost := [name for name in self.fill_down if name not in self.columns]:
            raise ValueError(f'"fill_down" names "{lost[0]}", which is not under "columns".')
        for key, unit in self.units.items():
            if unit not in KINDS[QUANTITIES[key]]:
                raise ValueError(
                    f'"{unit}" is not a unit of {QUANTITIES[key]}. Known: {", ".join(KINDS[QUANTITIES[key]])}.'
                )
        return self
