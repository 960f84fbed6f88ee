"""Readings as CSV, and back: every text as it was written, so that nothing is lost either way."""

import csv
import io
from collections.abc import Iterable

from gudgeon_calc.units import Measure

from gudgeon.records.problems import Problems, Where, shown
from gudgeon.records.readings import ReadingWithdrawal, Row, together
from gudgeon.records.yaml_writing import flow

FIELDS = {**ReadingWithdrawal.model_fields, **Row.model_fields}
COLUMNS = tuple(dict.fromkeys((*Row.model_fields, *ReadingWithdrawal.model_fields)))
NEEDED = ("id", "date", "by", "reads")  # what a heading has to have, to be one of ours
TEXTS = ("as_held", "note", "because")  # free text: a spreadsheet must not take it for a formula
_FORMULA = (
    "=",
    "+",
    "-",
    "@",
    "\t",
    "\r",
    "\n",
    "'",
    "＝",
    "＋",
    "－",
    "＠",
)  # the wide ones too: some spreadsheets take them for the same
MOST_ROWS = 20_000


def to_csv(rows: Iterable[Row | ReadingWithdrawal]) -> str:
    """Rows as CSV with a heading, one line a row, in the order given.

    A free text that a spreadsheet would take for a formula gets an apostrophe before it, which `from_csv` takes off.
    """
    out = io.StringIO()
    writer = csv.writer(out, lineterminator="\n")
    writer.writerow(COLUMNS)
    writer.writerows([_cell(name, text) for name, text in as_texts(row).items()] for row in rows)
    return out.getvalue()


def as_texts(row: Row | ReadingWithdrawal) -> dict[str, str | None]:
    """Every field of a row as text, as its file has it; None where it is silent."""
    texts: dict[str, str | None] = {}
    for name in COLUMNS:
        value = getattr(row, name, None)
        if value is None or value == ():
            texts[name] = None
        elif name == "reads":
            texts[name] = reads_text(value)
        else:
            texts[name] = " ".join(value) if name == "formerly" else str(value)
    return texts


def reads_text(reads: tuple[Measure, ...]) -> str:
    """Readings in one cell: `4.2515 4.2516 in`; where they do not share a unit or are fractions, `1 51/64 in;`."""
    joined = together([read.text for read in reads])
    return joined if isinstance(joined, str) else "; ".join(joined) + (";" if len(joined) == 1 else "")


def reads_value(cell: str) -> str | list[str]:
    """A cell of readings as a readings file has it."""
    if ";" not in cell:
        return cell
    return [read.strip() for read in cell.removesuffix(";").split(";")]


def _cell(name: str, text: str | None) -> str:
    if text is None:
        return ""
    return no_formula(text) if name in TEXTS else text


def no_formula(text: str) -> str:
    """A text with an apostrophe before it where a spreadsheet would take it for a formula."""
    return f"'{text}" if text.startswith(_FORMULA) else text


def without_mark(cell: str) -> str:
    """A free text as it was before `no_formula`."""
    return cell.removeprefix("'")


def is_readings_csv(text: str) -> bool:
    """Whether a text begins with a heading that `to_csv` writes, or wrote before it knew all of today's columns."""
    headings = _headings(text)
    return set(NEEDED) <= set(headings) <= set(COLUMNS) and len(headings) == len(set(headings))


def _headings(text: str) -> list[str]:
    return text.lstrip("\ufeff").split("\n", 1)[0].strip().split(",")


def from_csv(text: str, file: str, problems: Problems) -> list[dict[str, str | int | list[str]]]:
    """Rows of a CSV that `to_csv` wrote, as a readings file has them. Problems are noted at line and column.

    Whether the texts are quantities and the names lead somewhere is checked when the readings file is read.
    """
    rows: list[dict[str, str | int | list[str]]] = []
    headings = _headings(text)
    for line, cells in table(text, file, problems):
        if len(cells) != len(headings):
            problems.add(
                Where(file, line), "", f"expected {len(headings)} cells, one for each heading. Found {len(cells)}."
            )
            continue
        row: dict[str, str | int | list[str]] = {}
        for name, cell in zip(headings, cells, strict=True):
            if name in TEXTS and cell.startswith("'"):
                cell = without_mark(cell)
            elif cell == "":
                continue
            if name == "lobes" and cell.isdecimal():
                row[name] = int(cell)
            else:
                row[name] = reads_value(cell) if name == "reads" else cell
        rows.append(row)
    return rows


def table(text: str, file: str, problems: Problems, delimiter: str = ",") -> list[tuple[int, list[str]]]:
    """(line, cells) of a CSV below its heading; empty lines are passed over. Bounded."""
    reader = csv.reader(io.StringIO(text.lstrip("\ufeff"), newline=""), delimiter=delimiter, strict=True)
    lines: list[tuple[int, list[str]]] = []
    try:
        next(reader, None)
        before = reader.line_num
        for cells in reader:
            if any(cell.strip() for cell in cells):
                lines.append((before + 1, cells))
            before = reader.line_num
            if len(lines) > MOST_ROWS:
                problems.add(Where(file, before), "", f"more than {MOST_ROWS} rows. Split the file.")
                return []
    except csv.Error as error:
        problems.add(
            Where(file, reader.line_num), "", f"this is not CSV: {shown(str(error))}. Look at the quotes here."
        )
        return []
    return lines


def to_yaml(rows: list[dict[str, str | int | list[str]]], comment: str = "") -> str:
    """A readings file of some rows, each on one line."""
    head = f"# {shown(comment, 200)}\n" if comment else ""
    return head + "rows:\n" + "".join(f"  - {flow(row)}\n" for row in rows)
