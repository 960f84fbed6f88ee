"""What the fuzz runs throw bytes at: every way in which a stranger's text gets into the program.

A target takes bytes and returns; what it raises is a find. Each is held to bounds of time by the run.
"""

import contextlib
import datetime
import functools
import sys
import tempfile
from collections.abc import Callable
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parent.parent))

from gudgeon.assess.build import assess
from gudgeon.entry.columns import read_by_map
from gudgeon.entry.line import NotClear, read_line
from gudgeon.records.column_map import ColumnMap
from gudgeon.records.load_build import load_build
from gudgeon.records.problems import Problems
from gudgeon.records.readings_csv import from_csv, table, to_csv, to_yaml
from gudgeon.records.validation import validate
from gudgeon.records.yaml_text import read_yaml
from gudgeon.records.yaml_writing import flow
from gudgeon.review.as_markdown import slip_markdown
from gudgeon.review.as_sarif import slip_sarif
from gudgeon.review.as_text import slip_text
from gudgeon.review.slip import ReviewSlip
from gudgeon.share.bring import Refused, read_item
from gudgeon_calc.expressions import CannotWorkOut, NotAnExpression, read_expression
from gudgeon_calc.units import KINDS, NotAQuantity, read_quantity
from small_build import FILES, shelf, write

HERE = Path(__file__).parent
NAMES = sorted(FILES)
FIGURES = {
    "size": 50.0,
    "bore": 50.0,
    "stroke": 60.0,
    "rod": 110.0,
    "speed": 500.0,
    "expansion_hole": 11e-6,
    "expansion_shaft": 11e-6,
}
MAP = {
    "columns": {"Feature": "of", "Pos": "station", "Value": "reads", "More": "reads", "Day": "date"},
    "ignore": ["Comment"],
    "units": {"station": "mm", "reads": "mm"},
    "every_row": {"by": "ada", "gauge": "mic"},
    "names": {"of": {"SKIRT": "piston.skirt"}},
    "dates": "day.month.year",
    "decimal": ",",
    "delimiter": ";",
    "first_id": "c001",
}


@functools.cache
def _club():
    """A shelf, and a folder with the small build, made once."""
    folder = Path(tempfile.mkdtemp(prefix="gudgeon-fuzz-")) / "small"
    write(folder)
    return shelf(), folder, load_build(folder, "builds/small", shelf())


def records(data: bytes) -> None:
    """Bytes as one of the files of a build: it loads with problems, or is assessed."""
    knowledge, folder, _ = _club()
    name = NAMES[data[0] % len(NAMES)] if data else NAMES[0]
    path = folder / name
    try:
        path.write_bytes(data[1:])
        build = load_build(folder, "builds/small", knowledge)
        for problem in build.problems:
            assert "\n" not in str(problem) and len(str(problem)) < 2000
        if not build.problems:
            assess(build, knowledge).model_dump_json()
    finally:
        path.write_text(FILES[name], encoding="utf-8")


def line(data: bytes) -> None:
    """Bytes as a line of quick entry: refused in words, or a row that reads back as it was read out."""
    build = _club()[2]
    with contextlib.suppress(NotClear):
        entered = read_line(build, data.decode("utf-8", "replace"), datetime.date(2025, 2, 20), "ada")
        problems = Problems()
        document = read_yaml(flow(entered.row), "x.yaml", problems)
        if document is None:  # an unseen character in a note: told when it is written
            assert problems
            return
        assert document.data == entered.row
        from gudgeon.records.readings import Row

        row = validate(Row, document, problems)
        assert row is not None or problems
        if row is not None:
            assert "\x1b" not in entered.words


def csv_table(data: bytes) -> None:
    """Bytes as a CSV: problems in words, or rows that go to YAML and back."""
    text = data.decode("utf-8", "replace")
    for rows in (_own(text), _mapped(text)):
        if rows:
            problems = Problems()
            document = read_yaml(to_yaml(rows), "x.yaml", problems)
            assert problems or document.data == {"rows": rows}


def _own(text: str) -> list:
    problems = Problems()
    rows = from_csv(to_csv([]) + text, "x.csv", problems)
    table(text, "x.csv", problems, ";")
    return [] if problems else rows


def _mapped(text: str) -> list:
    problems = Problems()
    rows = read_by_map("Feature;Pos;Value;More;Day;Comment\n" + text, "x.csv", ColumnMap.model_validate(MAP), problems)
    read_by_map(text, "x.csv", ColumnMap.model_validate(MAP), Problems())
    return [] if problems else rows


def expression(data: bytes) -> None:
    """Bytes as the expression of a rule of thumb: refused in words, or a number within bounds."""
    with contextlib.suppress(NotAnExpression, CannotWorkOut):
        value = read_expression(data.decode("utf-8", "replace")).value(FIGURES)
        assert abs(value) <= 1e6


def quantity(data: bytes) -> None:
    """Bytes as a quantity of every kind: refused in words, or a text that reads again as the same."""
    text = data.decode("utf-8", "replace")
    for kind in KINDS:
        with contextlib.suppress(NotAQuantity):
            measure = read_quantity(text, kind)
            assert read_quantity(measure.text, kind) == measure


def slip(data: bytes) -> None:
    """Bytes as a kept review slip or a thing that travels: refused in words, or written anew."""
    with contextlib.suppress(ValueError, RecursionError):
        found = ReviewSlip.model_validate_json(data)
        slip_text(found), slip_markdown(found, "https://forge.example/"), slip_sarif(found)
    with contextlib.suppress(Refused):
        read_item(data, "x.json")


TARGETS: dict[str, Callable[[bytes], None]] = {
    each.__name__: each for each in (records, line, csv_table, expression, quantity, slip)
}


def seeds(name: str) -> list[bytes]:
    """Sound inputs to begin from."""
    if name == "records":
        return [bytes([index]) + FILES[each].encode() for index, each in enumerate(NAMES)]
    if name == "slip":
        return [
            _slip(),
            (
                b'{"format": "gudgeon-share-1", "kind": "rule", "id": "R1", "title": "t", "club": "c", "licence": "CC0-1.0", "origin": null, "files": {"rules/R1.yaml": "rule: R1"}, "sources": []}'
            ),
        ]
    return {
        "line": [
            b"piston skirt 20 0 49.945 49.946 20c/20c mic",
            b"piston skirt - - 49,9450 -2.5C/50F mic by ada on 2025-02-21 after TURN # a note",
            b"cyl bore 10 90 1 31/32in 50.01mm gauge 20c/20c",
            b"piston skirt 20 0 1.9660in +3.5t 20c/20c mic",
            b"piston skirt 20 0 +6 tenths from 1.9660in 20c/20c mic",
            b"skirt 20 0 5 tenths mic",
        ],
        "csv_table": [
            b"s9,piston.skirt,2025-02-20,ada,49.945 49.946 mm,mic,20 mm,0 deg,20 \xc2\xb0C,20 \xc2\xb0C,TURN,,,,'=note\n",
            b'SKIRT;20,0;49,9450;"49,946";20.02.2025;warm\n',
            b's9,piston.skirt,2025-02-20,ada,1 51/64 in;,mic,,,,,,"a ""quoted""\nnote",,,\n',
        ],
        "expression": [
            b"0.0015 * size + 1 thou",
            b"max(2 thou, bore/1000, sqrt(stroke * rod)/500)",
            b"size * (expansion_shaft - expansion_hole) * 80 K ^ 1",
            b"-((((1 mm))))",
        ],
        "quantity": [
            b"4.2465 in",
            b"4-1/4 in",
            b"-0.5 thou",
            b"12 \xc2\xb5m",
            b"1:48",
            b"45 min",
            b"80 \xc2\xb0F",
            b"0,05 mm",
            b"16 lbf.ft",
        ],
    }[name]


def _slip() -> bytes:
    golden = HERE / "slip-seed.json"
    return golden.read_bytes()
