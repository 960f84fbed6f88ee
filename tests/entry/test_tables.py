"""Tables as people keep them: grids, merged cells, no headings, encodings of spreadsheets, days with times; and the checks of entry."""

import datetime

import pytest
from click.testing import CliRunner
from gudgeon.cli import main
from gudgeon.entry.table_days import day_and_time
from gudgeon.records.load_build import load_build
from small_build import shelf, write

GRID = """\
Bore map, evening of the 20th
Depth;0°;45 deg;90;remarks
10;50,011;50,012;50,013 50,012;tight here
60;50,012;;50,012;
"""
GRID_MAP = """\
columns: {Depth: station}
grid: true
ignore: [remarks]
skip_lines: 1
units: {station: mm, reads: mm}
every_row: {of: cyl.bore, by: ada, gauge: gauge, date: 2025-02-20, part_temp: 20 °C, gauge_temp: 20 °C}
decimal: ","
delimiter: ";"
"""
MERGED = """\
Feature,Taken,Pos,Reading
piston.skirt,2025-02-20,20,49.944
,,30,49.943
,,40,49.944
"""
MERGED_MAP = """\
columns: {Feature: of, Taken: date, Pos: station, Reading: reads}
fill_down: [Feature, Taken]
units: {station: mm, reads: mm}
every_row: {by: ada, gauge: mic, part_temp: 20 °C, gauge_temp: 20 °C}
"""
STREAM = "1;49,944;mm\n2;1,9663;in\n"
STREAM_MAP = """\
columns: {Value: reads, Unit: unit}
headings: [No, Value, Unit]
ignore: [No]
every_row: {of: piston.skirt, by: ada, gauge: mic, date: 2025-02-20, part_temp: 20 °C, gauge_temp: 20 °C}
decimal: ","
delimiter: ";"
"""


@pytest.fixture
def project(tmp_path):
    write(tmp_path / "builds" / "small")
    return tmp_path


def bring(project, table, columns, *words, name="table.csv"):
    (project / name).write_bytes(table if isinstance(table, bytes) else table.encode("utf-8"))
    (project / "map.yaml").write_text(columns, encoding="utf-8")
    given = ["import", "small", str(project / name), "--columns", str(project / "map.yaml"), "--root", str(project)]
    return CliRunner().invoke(main, [*given, *words])


def rows(project):
    build = load_build(project / "builds/small", "builds/small", shelf())
    assert build.problems == []
    return [
        (str(row.station or "-"), str(row.angle or "-"), " ".join(read.text for read in row.reads))
        for row in build.rows
        if row.date == datetime.date(2025, 2, 20)
    ]


def test_a_grid_gives_a_row_for_each_cell(project):
    done = bring(project, GRID, GRID_MAP)
    assert done.exit_code == 0, done.stderr
    assert sorted(rows(project)) == [
        ("10 mm", "0 deg", "50.011 mm"),
        ("10 mm", "45 deg", "50.012 mm"),
        ("10 mm", "90 deg", "50.013 mm 50.012 mm"),
        ("60 mm", "0 deg", "50.012 mm"),
        ("60 mm", "90 deg", "50.012 mm"),
    ]


def test_merged_cells_say_what_stands_above(project):
    assert bring(project, MERGED, MERGED_MAP.replace("fill_down: [Feature, Taken]\n", ""), "--dry-run").exit_code == 1
    done = bring(project, MERGED, MERGED_MAP)
    assert done.exit_code == 0, done.stderr
    assert [place for place, _, _ in sorted(rows(project))] == ["20 mm", "30 mm", "40 mm"]


def test_a_stream_without_headings_says_its_unit_in_a_column(project):
    done = bring(project, STREAM, STREAM_MAP)
    assert done.exit_code == 0, done.stderr
    assert sorted(read for _, _, read in rows(project)) == ["1.9663 in", "49.944 mm"]


@pytest.mark.parametrize("encoding", ["utf-8-sig", "utf-16", "utf-16-le", "utf-16-be", "cp1252"])
def test_what_spreadsheets_write_is_read(project, encoding):
    table = GRID.replace("tight here", "très serré").encode(encoding)
    done = bring(project, table, GRID_MAP)
    assert done.exit_code == 0 and len(rows(project)) == 5, done.stderr
    assert ("was read as" in done.stderr) == (encoding != "utf-8-sig")


def test_the_line_sep_says_the_delimiter(project):
    done = bring(project, "sep=;\r\n" + GRID, GRID_MAP.replace('delimiter: ";"\n', ""))
    assert done.exit_code == 0 and len(rows(project)) == 5, done.stderr
    assert "the map says otherwise" in bring(project, "sep=,\n" + GRID, GRID_MAP).stderr
    assert (
        'table.csv:4:2: 0°: "5O.011" says'
        in bring(project, "sep=;\n" + GRID.replace("50,011", "5O,011"), GRID_MAP).stderr
    )


@pytest.mark.parametrize(
    ("columns", "said"),
    [
        (GRID_MAP.replace("skip_lines: 1\n", ""), "the headings stand in this line: write skip_lines: 1."),
        (GRID_MAP.replace('delimiter: ";"\n', ""), '";" seems to part the cells: write delimiter: ";".'),
        (
            GRID_MAP.replace("columns: {Depth: station}", "columns: {Depth: angle}"),
            'in a grid one column gives "station"',
        ),
    ],
)
def test_one_plain_reason_is_told_once(project, columns, said):
    done = bring(project, GRID, columns, "--dry-run")
    assert done.exit_code == 1 and said in done.stderr and done.stderr.count("\n") == 1, done.stderr


def test_noughts_that_a_spreadsheet_dropped_are_put_back_where_it_is_said(project):
    table = MERGED.replace("49.943", "49.94")
    assert "fewer digits" in bring(project, table, MERGED_MAP, "--dry-run").stderr
    assert bring(project, table, MERGED_MAP + "digits: 3\n").exit_code == 0
    assert "49.940 mm" in [read for _, _, read in rows(project)]


@pytest.mark.parametrize(
    ("text", "way", "is_"),
    [
        ("10.08.2025 14:32", "day.month.year", ("2025-08-10", "14:32")),
        ("10.08.2025 00:00:00", "day.month.year", ("2025-08-10", None)),
        ("2025-08-10T07:05:59.5", "year-month-day", ("2025-08-10", "07:05")),
        ("8/10/2025 2:32 PM", "month/day/year", ("2025-08-10", "14:32")),
        ("8/10/2025 12:05 AM", "month/day/year", ("2025-08-10", "00:05")),
        ("45879", "serial", ("2025-08-10", None)),
        ("45879,75", "serial", ("2025-08-10", "18:00")),
        ("44417", "serial from 1904", ("2025-08-10", None)),
    ],
)
def test_days_as_spreadsheets_write_them(text, way, is_):
    assert day_and_time(text, way) == is_


@pytest.mark.parametrize(
    ("text", "way", "said"),
    [
        ("45879", "day.month.year", "It looks like serial"),
        ("10.08.2025", "serial", "is no day as a spreadsheet counts them"),
        ("10.08.2025 25:00", "day.month.year", "no such time of day"),
        ("8/10/2025 14:32 PM", "month/day/year", "an hour from 1 to 12"),
    ],
)
def test_a_day_in_another_way_is_told(text, way, said):
    with pytest.raises(ValueError, match=said):
        day_and_time(text, way)


def test_what_entry_asks_import_asks_and_the_dry_run_tries_all_of_it(project):
    done = bring(project, MERGED, MERGED_MAP.replace("gauge: mic", "gauge: mike"), "--dry-run")
    assert done.exit_code == 1 and "is not in the gauge drawer" in done.stderr, "the dry run tries the records too"
    grown = MERGED.replace("49.944\n,,30", "50.044\n,,30")
    for words in (("--dry-run",), ()):
        done = bring(project, grown, MERGED_MAP, *words)
        assert done.exit_code == 1 and "0.099 mm more; cutting does not add metal" in done.stderr
        assert "written with --despite-doubts" in done.stderr and not list(project.rglob("2025-02-20*"))
    done = bring(project, grown, MERGED_MAP, "--despite-doubts")
    assert done.exit_code == 0 and "Doubtful: ad01-" in done.stderr


def test_a_row_is_held_against_those_above_it(project):
    done = bring(project, MERGED.replace(",,30,49.943", ",,20,49.999"), MERGED_MAP)
    assert done.exit_code == 1 and "0.055 mm more; cutting does not add metal" in done.stderr


def test_the_same_table_twice_is_told(project):
    assert bring(project, MERGED, MERGED_MAP).exit_code == 0
    done = bring(project, MERGED, MERGED_MAP, name="again.csv")
    assert done.exit_code == 1 and "all 3 rows stand in the build already" in done.stderr and len(rows(project)) == 3
