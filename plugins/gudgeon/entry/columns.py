"""Readings from the CSV of a digital gauge or a spreadsheet, by a map of its columns. What is ambiguous is refused."""

import re

from gudgeon_calc.units import NotAQuantity, read_quantity

from gudgeon.records.column_map import DATES, KEYS, QUANTITIES, ColumnMap
from gudgeon.records.problems import Problems, Where, nearest, shown
from gudgeon.records.readings import EveryRow, together
from gudgeon.records.readings_csv import table


def read_by_map(text: str, file: str, columns: ColumnMap, problems: Problems) -> list[dict[str, str | int | list[str]]]:
    """Rows as a readings file has them, of a CSV by its column map; problems are noted at line and column (of cells)."""
    lines = text.lstrip("\ufeff").splitlines(keepends=True)
    body = "".join(lines[columns.skip_lines :])
    heading = next(iter(table("\n" + body, file, problems, columns.delimiter)), None)
    if heading is None:
        problems.add(Where(file, columns.skip_lines + 1), "", "there is no heading. The first line names the columns.")
        return []
    headings = [name.strip() for name in heading[1]]
    if not _headings_known(headings, file, columns, problems):
        return []
    rows = []
    for number, (line, cells) in enumerate(table(body, file, problems, columns.delimiter)):
        at = line + columns.skip_lines
        if len(cells) != len(headings):
            problems.add(
                Where(file, at), "", f"expected {len(headings)} cells, one for each heading. Found {len(cells)}."
            )
            continue
        rows.append(_row(headings, cells, columns, number, file, at, problems))
    return rows


def _headings_known(headings: list[str], file: str, columns: ColumnMap, problems: Problems) -> bool:
    at = columns.skip_lines + 1
    sound = True
    for index, heading in enumerate(headings, 1):
        if headings.count(heading) > 1:
            problems.add(
                Where(file, at, index), heading, f'two columns are headed "{shown(heading)}". Rename one in the file.'
            )
            sound = False
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


def _row(headings, cells, columns: ColumnMap, number: int, file: str, line: int, problems: Problems) -> dict:
    row: dict[str, str | int | list[str]] = {}
    if columns.every_row:
        for key in EveryRow.model_fields:
            value = getattr(columns.every_row, key)
            if value is not None:
                row[key] = value if isinstance(value, int) else str(value)
    if columns.first_id:
        prefix, digits = re.split(r"(?=[0-9]+$)", columns.first_id, maxsplit=1)
        row["id"] = f"{prefix}{int(digits) + number:0{len(digits)}d}"
    reads = []
    for index, (heading, cell) in enumerate(zip(headings, cells, strict=True), 1):
        key, text = columns.columns.get(heading), cell.strip()
        if key is None or not text:
            continue
        try:
            value = _value(key, text, columns)
        except ValueError as error:
            problems.add(Where(file, line, index), heading, str(error))
            continue
        if key == "reads":
            reads.append(value)
        else:
            row[key] = value
    if reads:
        row["reads"] = together(reads)
    else:
        problems.add(Where(file, line), "reads", "no reading stands in this row. Remove the row, or fill it in.")
    order = [key for key in KEYS if key in row]
    return {key: row[key] for key in order}


def _value(key: str, text: str, columns: ColumnMap) -> str | int:
    """A cell as a readings file has it. Raises ValueError with the way to put it right."""
    if key == "lobes":
        if not re.fullmatch("[0-9]{1,2}", text):
            raise ValueError(f'expected how many lobes. Found "{shown(text)}". Write it like 3.')
        return int(text)
    if key == "date":
        return _date(text, columns.dates)
    if key in columns.names:
        known = columns.names[key]
        if text not in known:
            raise ValueError(
                f'nothing says what "{shown(text)}" is called in the records. Add it under "names: {key}".{nearest(text, known)}'
            )
        return known[text]
    if key not in QUANTITIES:
        return text
    return _quantity(key, text, columns)


def _quantity(key: str, text: str, columns: ColumnMap) -> str:
    kind = QUANTITIES[key]
    other = "," if columns.decimal == "." else "."
    if other in text:
        raise ValueError(
            f'"{shown(text)}" has a "{other}", and the decimal mark is said to be "{columns.decimal}". '
            f'It could be read two ways: write "decimal" in the column map, and take marks of thousands out of the file.'
        )
    text = text.replace(",", ".")
    own = re.search(r"[^\d\s.+\-−/].*$", text)
    unit = columns.units.get(key)
    if own and unit and own[0].strip() != unit:
        raise ValueError(f'"{shown(text)}" says {own[0].strip()}, and the column map says {unit}. Keep one.')
    if not own and unit is None:
        raise ValueError(
            f'"{shown(text)}" has no unit. Write it in the cell, or under "units: {key}" in the column map.'
        )
    number = text[: own.start()].strip() if own else text
    whole = f"{number} {own[0].strip() if own else unit}"
    try:
        return read_quantity(whole, kind).text
    except NotAQuantity as error:
        raise ValueError(str(error)) from None


def _date(text: str, way: str) -> str:
    day = re.fullmatch(DATES[way], text)
    if not day:
        fits = [name for name, pattern in DATES.items() if re.fullmatch(pattern, text)]
        hint = f' It looks like {" or ".join(fits)}: write "dates" in the column map.' if fits else ""
        raise ValueError(f'"{shown(text)}" is no day in the way {way}.{hint}')
    return f"{int(day['y']):04d}-{int(day['m']):02d}-{int(day['d']):02d}"
