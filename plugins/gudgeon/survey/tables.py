"""The tables of many packages as one frame of each kind. What is not as it should be is told by file and line, and left out."""

import csv
import io
from collections.abc import Sequence
from pathlib import Path
from typing import Any

import pandas

from gudgeon.records.problems import Problems, Where, seen, shown
from gudgeon.records.readings_csv import table, without_mark
from gudgeon.survey.packages import NotRead, Package, text_of

TEXT, NUMBER = "str", "float64"
KEY = ["package", "part"]  # what a part is known by in all packages together
# Table -> its columns and their types. A frame of any engine has them so: nothing is guessed from what stands in a column.
TABLES = {
    "parts": {
        "id": TEXT,
        "name": TEXT,
        "family": TEXT,
        "material": TEXT,
        "material_name": TEXT,
        "like": TEXT,
        "made_from": TEXT,
        "state": TEXT,
        "goes_with": NUMBER,
        "done": TEXT,
    },
    "features": {
        "part": TEXT,
        "ref": TEXT,
        "name": TEXT,
        "kind": TEXT,
        "state": TEXT,
        "size": NUMBER,
        "expanded": NUMBER,
        "nominal": NUMBER,
    },
    "outcomes": {
        "about": TEXT,
        "parts": TEXT,
        "result": TEXT,
        "minutes": NUMBER,
        "clearance": NUMBER,
        "last": TEXT,
    },
}
OPTIONAL = ("outcomes",)  # not every package has them: then nothing is known of them
RENAMED = {"parts": {"id": "part"}}  # a part's id is what other tables call it
LONGEST = 5_000  # letters of a cell
GREATEST = 1e9  # of a number


def columns_of(name: str) -> dict[str, str]:
    """The columns of a table's frame and their types."""
    renamed = RENAMED.get(name, {})
    return {"package": TEXT} | {renamed.get(column, column): kind for column, kind in TABLES[name].items()}


def empty(name: str) -> pandas.DataFrame:
    """A table without lines, in the types of its columns."""
    return _frame({column: [] for column in columns_of(name)}, columns_of(name))


def read(name: str, packages: Sequence[Package], problems: Problems) -> pandas.DataFrame:
    """One table of some packages: each line with the package that it is of."""
    wanted = TABLES[name]
    cells: dict[str, list[str]] = {column: [] for column in wanted}
    of_package: list[str] = []
    places: list[tuple[str, int]] = []
    for package in packages:
        path = package.folder / f"{name}.csv"
        if name in OPTIONAL and not path.is_symlink() and not path.exists():
            continue
        for line, by_column in _lines(path, list(wanted), problems):
            of_package.append(package.key)
            places.append((str(path), line))
            for column, cell in zip(wanted, by_column, strict=True):
                cells[column].append(cell)
    numbers = {
        column: _numbers(column, cells[column], places, problems) for column in wanted if wanted[column] == NUMBER
    }
    renamed = RENAMED.get(name, {})
    whole = {"package": of_package} | {
        renamed.get(column, column): numbers.get(column, cells[column]) for column in wanted
    }
    return _frame(whole, columns_of(name))


def _frame(cells, types: dict[str, str]) -> pandas.DataFrame:
    return pandas.DataFrame({column: pandas.Series(cells[column], dtype=kind) for column, kind in types.items()})


def _lines(path: Path, wanted: list[str], problems: Problems) -> list[tuple[int, list[str]]]:
    """(line, the cells that are wanted) of a file."""
    where = Where(str(path))
    try:
        text = text_of(path)
    except NotRead as lack:
        problems.add(where, "", str(lack))
        return []
    try:
        headings = next(csv.reader(io.StringIO(text, newline=""), strict=True), [])
    except csv.Error:
        headings = []
    lacks = [column for column in wanted if headings.count(column) != 1]
    if lacks:
        problems.add(
            where,
            "",
            f'its first line has no column "{lacks[0]}", or more than one: it was written by an older version of the program, '
            "or by another. Write it anew with gudgeon export.",
        )
        return []
    places = [headings.index(column) for column in wanted]
    lines = []
    for line, cells in table(text, where.file, problems):
        if len(cells) != len(headings):
            problems.add(
                Where(where.file, line),
                "",
                f"expected {len(headings)} cells, one for each heading. Found {len(cells)}.",
            )
        elif max(map(len, cells)) > LONGEST:
            problems.add(Where(where.file, line), "", f"a cell has more than {LONGEST} letters.")
        else:
            lines.append((line, [_as_written(cells[place]) for place in places]))
    return lines


def _as_written(cell: str) -> str:
    """A cell without the mark that keeps a spreadsheet from taking it for a formula, and with nothing unseen in it."""
    return seen(without_mark(cell))


def _numbers(column: str, cells: list[str], places: list[tuple[str, int]], problems: Problems) -> Any:
    """The numbers of a column; what is none, or no size of anything, is told and left out as not known."""
    texts = pandas.Series(cells, dtype=TEXT)
    read_as: Any = pandas.to_numeric(texts, errors="coerce")
    numbers = read_as.astype(NUMBER)
    sound = numbers.abs() < GREATEST
    for index in texts.index[~sound & (texts != "")]:
        file, line = places[index]
        problems.add(Where(file, line), "", f'{column}: expected a number. Found "{shown(cells[index])}".')
    return numbers.where(sound)
