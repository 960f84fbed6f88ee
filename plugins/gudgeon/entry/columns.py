"""Readings from the CSV of a digital gauge or a spreadsheet, by a map of its columns. What is ambiguous is refused."""

import re

from gudgeon_calc.units import NotAQuantity, read_quantity

from gudgeon.entry.table_days import day_and_time
from gudgeon.records.column_map import KEYS, QUANTITIES, UNIT, ColumnMap
from gudgeon.records.problems import Problems, Where, nearest, shown
from gudgeon.records.readings import EveryRow, together
from gudgeon.records.readings_csv import table

Rows = list[dict[str, str | int | list[str]]]
ANGLE = re.compile(r"([0-9]{1,3}(?:[.,][0-9])?)\s*(?:°|deg|degrees)?")


def read_by_map(
    text: str, file: str, columns: ColumnMap, problems: Problems, above: int = 0, said: str | None = None
) -> Rows:
    """Rows as a readings file has them, of a CSV by its column map; problems are noted at line and column (of cells).

    Rows that the map gives no id have an empty one: whoever writes them gives it. above: lines that were taken off in front of
    the text. said: the delimiter, where the file itself says it.
    """
    delimiter = columns.delimiter
    if said is not None and said != delimiter:
        if "delimiter" in columns.model_fields_set:
            problems.add(
                Where(file),
                "",
                f'its first line says that "{said}" parts the cells, and the map says otherwise.',
            )
            return []
        delimiter = said
    lines = text.lstrip("\ufeff").splitlines(keepends=True)
    body = "".join(lines[columns.skip_lines :])
    if columns.headings:
        headings, body, heading_line = list(columns.headings), "\n" + body, above + columns.skip_lines
    else:
        heading = next(iter(table("\n" + body, file, problems, delimiter)), None)
        if heading is None:
            problems.add(
                Where(file, above + columns.skip_lines + 1),
                "",
                "there is no heading. The first line names the columns.",
            )
            return []
        headings, heading_line = [name.strip() for name in heading[1]], above + columns.skip_lines + 1
    if _stands_elsewhere(headings, lines, above, file, columns, delimiter, problems):
        return []
    if not _headings_known(headings, file, heading_line, columns, problems):
        return []
    rows: Rows = []
    before: list[str] | None = None
    for line, cells in table(body, file, problems, delimiter):
        at = line + heading_line - 1
        if len(cells) != len(headings):
            problems.add(
                Where(file, at), "", f"expected {len(headings)} cells, one for each heading. Found {len(cells)}."
            )
            continue
        if before is not None:
            cells = [
                above_it if name in columns.fill_down and not cell.strip() else cell
                for name, cell, above_it in zip(headings, cells, before, strict=True)
            ]
        before = cells
        row = _Row(headings, cells, columns, file, at, problems)
        made = row.of_grid() if columns.grid else [row.with_reads()]
        for values in made:
            if columns.first_id:
                prefix, digits = re.split(r"(?=[0-9]+$)", columns.first_id, maxsplit=1)
                values["id"] = f"{prefix}{int(digits) + len(rows):0{len(digits)}d}"
            ordered = {key: values[key] for key in KEYS if key in values}
            rows.append(ordered if "id" in ordered else {"id": "", **ordered})
    return rows


def _stands_elsewhere(
    headings: list[str],
    lines: list[str],
    above: int,
    file: str,
    columns: ColumnMap,
    delimiter: str,
    problems: Problems,
) -> bool:
    """Whether the map's headings are not here for one plain reason, which is told: another delimiter, or lines above them."""
    named = list(columns.columns)
    if any(name in headings for name in columns.columns):
        return False
    for number, line in enumerate(lines[:30]):
        cells = [cell.strip().strip('"') for cell in line.strip().split(delimiter)]
        if number != columns.skip_lines and all(name in cells for name in named):
            problems.add(
                Where(file, above + number + 1), "", f"the headings stand in this line: write skip_lines: {number}."
            )
            return True
    other = next(
        (mark for mark in (";", ",", "\t") if mark != delimiter and any(mark in name for name in headings)), None
    )
    if len(headings) == 1 and other:
        written = "tab" if other == "\t" else other
        problems.add(
            Where(file, above + columns.skip_lines + 1),
            "",
            f'"{written}" seems to part the cells: write delimiter: "{written}".',
        )
        return True
    return False


def _headings_known(headings: list[str], file: str, at: int, columns: ColumnMap, problems: Problems) -> bool:
    sound = True
    for index, heading in enumerate(headings, 1):
        if headings.count(heading) > 1:
            problems.add(
                Where(file, at, index), heading, f'two columns are headed "{shown(heading)}". Rename one in the file.'
            )
            sound = False
        elif columns.grid and ANGLE.fullmatch(heading):
            continue
        elif heading not in columns.columns and heading not in columns.ignore:
            known = [name for name in columns.columns if name not in headings]
            problems.add(
                Where(file, at, index),
                heading,
                f'nothing says what the column "{shown(heading)}" is. Name it under "columns", or under "ignore".{nearest(heading, known) if known else ""}',
            )
            sound = False
    for column in columns.columns:
        if column not in headings:
            problems.add(
                Where(file, at), column, f'the file has no column "{shown(column)}".{nearest(column, headings)}'
            )
            sound = False
    return sound


class _Row:
    """One line of a table."""

    def __init__(
        self, headings: list[str], cells: list[str], columns: ColumnMap, file: str, line: int, problems: Problems
    ):
        self.columns, self.file, self.line, self.problems = columns, file, line, problems
        self.cells = [
            (index, heading, cell.strip()) for index, (heading, cell) in enumerate(zip(headings, cells, strict=True), 1)
        ]
        unit = next((cell for _, heading, cell in self.cells if columns.columns.get(heading) == UNIT), None)
        self.unit = unit or columns.units.get("reads")
        self.row: dict[str, str | int | list[str]] = {}
        if columns.every_row:
            for key in EveryRow.model_fields:
                value = getattr(columns.every_row, key)
                if value is not None:
                    self.row[key] = value if isinstance(value, int) else str(value)
        for index, heading, cell in self.cells:
            key = columns.columns.get(heading)
            if key in (None, "reads", UNIT) or not cell:
                continue
            self._put(key, index, heading, cell)

    def _put(self, key: str, index: int, heading: str, cell: str) -> None:
        try:
            if key == "date":
                self.row["date"], time = day_and_time(cell, self.columns.dates)
                if time and "time" not in self.columns.columns.values():
                    self.row.setdefault("time", time)
            else:
                self.row[key] = _value(key, cell, self.columns)
        except ValueError as error:
            self._tell(index, heading, str(error))

    def with_reads(self) -> dict[str, str | int | list[str]]:
        """The row of a table whose columns are the repeats of one place."""
        named = [
            (index, heading, cell)
            for index, heading, cell in self.cells
            if self.columns.columns.get(heading) == "reads"
        ]
        self._reads(named)
        return self.row

    def of_grid(self) -> list[dict[str, str | int | list[str]]]:
        """The rows of one station of a grid: one for each angle that was read."""
        rows = []
        station = self.row
        for index, heading, cell in self.cells:
            angle = ANGLE.fullmatch(heading)
            if not angle or not cell or heading in self.columns.columns or heading in self.columns.ignore:
                continue
            self.row = {**station, "angle": f"{angle[1].replace(',', '.')} deg"}
            self._reads([(index, heading, cell)])
            rows.append(self.row)
        return rows

    def _reads(self, cells: list[tuple[int, str, str]]) -> None:
        reads = []
        for index, heading, cell in cells:
            several = cell.split()
            numbers = several if all(re.fullmatch(r"[0-9.,]+", number) for number in several) else [cell]
            for number in numbers:
                try:
                    reads.append(_quantity("reads", number, self.columns, self.unit))
                except ValueError as error:
                    self._tell(index, heading, str(error))
        if reads:
            self.row["reads"] = together(reads)
        elif not any(cell for _, _, cell in cells):
            text = "no reading stands in this row. Remove the row, or fill it in."
            self.problems.add(Where(self.file, self.line), "reads", text)

    def _tell(self, column: int, heading: str, text: str) -> None:
        self.problems.add(Where(self.file, self.line, column), heading, text)


def _value(key: str, text: str, columns: ColumnMap) -> str | int:
    """A cell as a readings file has it. Raises ValueError with the way to put it right."""
    if key == "lobes":
        if not re.fullmatch("[0-9]{1,2}", text):
            raise ValueError(f'expected how many lobes. Found "{shown(text)}". Write it like 3.')
        return int(text)
    if key in columns.names:
        known = columns.names[key]
        if text not in known:
            raise ValueError(
                f'nothing says what "{shown(text)}" is called in the records. Add it under "names: {key}".{nearest(text, known)}'
            )
        return known[text]
    if key not in QUANTITIES:
        return text
    return _quantity(key, text, columns, columns.units.get(key))


def _quantity(key: str, text: str, columns: ColumnMap, unit: str | None) -> str:
    kind = QUANTITIES[key]
    other = "," if columns.decimal == "." else "."
    if other in text:
        raise ValueError(
            f'"{shown(text)}" has a "{other}", and the decimal mark is said to be "{columns.decimal}". '
            f'It could be read two ways: write "decimal" in the column map, and take marks of thousands out of the file.'
        )
    text = text.replace(",", ".")
    own = re.search(r"[^\d\s.+\-−/].*$", text)
    if own and unit and _same_unit(own[0].strip()) != _same_unit(unit):
        raise ValueError(f'"{shown(text)}" says {own[0].strip()}, and the column map says {unit}. Keep one.')
    if not own and unit is None:
        raise ValueError(
            f'"{shown(text)}" has no unit. Write it in the cell, or under "units: {key}" in the column map.'
        )
    number = text[: own.start()].strip() if own else text
    if key == "reads" and columns.digits and re.fullmatch(r"[0-9]+(?:\.[0-9]*)?", number):
        whole, _, decimals = number.partition(".")
        number = f"{whole}.{decimals:0<{columns.digits}}"
    whole = f"{number} {own[0].strip() if own else unit}"
    try:
        return read_quantity(whole, kind).text
    except NotAQuantity as error:
        raise ValueError(str(error)) from None


def _same_unit(unit: str) -> str:
    """° and deg are one unit, °C and C too."""
    return {"°": "deg", "°C": "C", "°F": "F"}.get(unit, unit)
