"""Readings from the CSV of a gauge or a spreadsheet by a column map: units said, digits kept, ambiguity refused."""

import pytest
from click.testing import CliRunner
from gudgeon.cli import main
from gudgeon.records.load_build import load_build
from small_build import shelf, write

GAUGE = """\
Digital gauge No. 7;;;;;
Feature;Pos;Value 1;Value 2;Taken;Operator comment
SKIRT;20,0;49,9450;49,946;20.02.2025;warm
SKIRT;30,0;49,9440;;20.02.2025;
"""
MAP = """\
columns: {Feature: of, Pos: station, Value 1: reads, Value 2: reads, Taken: date}
ignore: [Operator comment]
units: {station: mm, reads: mm}
every_row: {by: ada, gauge: mic, part_temp: 20 °C, gauge_temp: 19 °C}
names: {of: {SKIRT: piston.skirt}}
dates: day.month.year
decimal: ","
delimiter: ";"
skip_lines: 1
first_id: c001
"""


@pytest.fixture
def project(tmp_path):
    write(tmp_path / "builds" / "small")
    return tmp_path


def bring(project, table=GAUGE, columns=MAP, *words):
    (project / "gauge.csv").write_text(table, encoding="utf-8")
    given = ["import", "small", str(project / "gauge.csv"), "--root", str(project), *words]
    if columns:
        (project / "map.yaml").write_text(columns, encoding="utf-8")
        given += ["--columns", str(project / "map.yaml")]
    return CliRunner().invoke(main, given)


def test_a_gauge_s_table_becomes_readings(project):
    done = bring(project)
    assert done.exit_code == 0, done.stderr
    build = load_build(project / "builds/small", "builds/small", shelf())
    assert build.problems == []
    first, second = build.rows[-2:]
    assert (first.id, first.of, first.date.isoformat(), str(first.station)) == (
        "c001",
        "piston.skirt",
        "2025-02-20",
        "20.0 mm",
    )
    assert [each.text for each in first.reads] == ["49.9450 mm", "49.946 mm"] and str(first.gauge_temp) == "19 °C"
    assert second.id == "c002" and [each.text for each in second.reads] == ["49.9440 mm"]


def test_a_dry_run_shows_and_writes_nothing(project):
    done = bring(project, GAUGE, MAP, "--dry-run")
    assert done.exit_code == 0 and "reads: 49.9450 49.946 mm" in done.stdout
    assert not list((project / "builds/small/readings").glob("2025-02-20*"))


def test_it_is_not_written_twice(project):
    assert bring(project).exit_code == 0
    done = bring(project)
    assert done.exit_code == 1 and "not written over" in done.stderr


@pytest.mark.parametrize(
    ("table", "columns", "said"),
    [
        (
            GAUGE,
            MAP.replace("units: {station: mm, reads: mm}", "units: {station: mm}"),
            'gauge.csv:3:3: Value 1: "49.9450" has no unit',
        ),
        (
            GAUGE,
            MAP.replace('decimal: ","\n', ""),
            'gauge.csv:3:2: Pos: "20,0" has a ",", and the decimal mark is said to be "."',
        ),
        (GAUGE.replace("49,946", "1.049,946"), MAP, 'gauge.csv:3:4: Value 2: "1.049,946" has a "."'),
        (GAUGE.replace("49,946", "49,946 in"), MAP, "says in, and the column map says mm"),
        (GAUGE, MAP.replace("dates: day.month.year\n", ""), 'It looks like day.month.year: write "dates"'),
        (GAUGE.replace("20.02.2025", "03/04/2025"), MAP, "It looks like day/month/year or month/day/year"),
        (GAUGE.replace("SKIRT;20", "SKRT;20"), MAP, 'nothing says what "SKRT" is called'),
        (GAUGE, MAP.replace("ignore: [Operator comment]\n", ""), 'nothing says what the column "Operator comment" is'),
        (GAUGE.replace("Value 2", "Value 1"), MAP, 'two columns are headed "Value 1"'),
        (GAUGE.replace("Pos;", "Position;"), MAP, 'gauge.csv:2:1: Pos: the file has no column "Pos".'),
        (GAUGE.replace(";warm", ";warm;9"), MAP, "gauge.csv:3:1: expected 6 cells, one for each heading. Found 7."),
        (GAUGE.replace("49,9440", ""), MAP, "gauge.csv:4:1: reads: no reading stands in this row"),
        (GAUGE.replace("49,9440", "over"), MAP, "gauge.csv:4:3"),
        (GAUGE, MAP.replace("reads: mm", "reads: mil"), 'map.yaml:1:1: "mil" is not a unit of length'),
        (GAUGE, MAP.replace("gauge: mic, ", ""), "a reading needs gauge"),
        (GAUGE, MAP.replace("Value 2: reads", "Value 2: station"), 'two columns give "station"'),
        (GAUGE, MAP.replace("first_id: c001", "first_id: b1"), "this reading id stands already"),
        (GAUGE, MAP.replace("gauge: mic", "gauge: mike"), "is not in the gauge drawer"),
        ('\na;"b\n', MAP, "this is not CSV"),
        ("", MAP, "no heading"),
    ],
)
def test_what_is_ambiguous_is_refused_and_nothing_is_written(project, table, columns, said):
    before = sorted(project.joinpath("builds").rglob("*"))
    done = bring(project, table, columns)
    assert done.exit_code == 1 and said in done.stderr, done.stderr
    assert sorted(project.joinpath("builds").rglob("*")) == before


def test_headings_of_its_own_need_a_map(project):
    done = bring(project, GAUGE, None)
    assert done.exit_code == 1 and "--columns" in done.stderr
    done = CliRunner().invoke(main, ["import", "small", str(project / "none.csv"), "--root", str(project)])
    assert done.exit_code == 3 and "there is no file" in done.stderr
