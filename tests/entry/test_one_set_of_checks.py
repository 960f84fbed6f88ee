"""A number is doubted alike by the site, by quick entry and by import: what one holds back the others refuse."""

import datetime

import pytest
from click.testing import CliRunner
from gudgeon.assess.build import assess
from gudgeon.cli import main
from gudgeon.entry.line import NotClear, read_line
from gudgeon.records.load_build import load_build
from small_build import bent, shelf, write

NUMBERS = [  # as read, with its unit; what the site does with it; words that quick entry and import say
    ("49.944 mm", "sound", ""),
    ("1.9663 mm", "held back", "it would fit as inches"),
    ("499.44 mm", "held back", "a point has slipped"),
    ("24.972 mm", "held back", "it would fit as a radius"),
    ("54.000 mm", "held back", "is outside what mic can reach (outside mic 25-75 mm: 25 mm to 50.000 mm)"),
    ("50.040 mm", "doubted", "lies just past what mic can reach"),
    ("49.94 mm", "doubted", "has fewer digits than mic shows, which steps by 0.001 mm"),
]


@pytest.mark.parametrize(("read", "is_", "words"), NUMBERS)
def test_site_entry_and_import_agree(tmp_path, read, is_, words):
    instruments = bent("instruments.yaml", "range: [25 mm, 75 mm]", "range: [25 mm, 50.000 mm]")
    skirt = f"rows:\n  - {{id: s2, station: 30 mm, reads: {read}, date: 2025-02-20, by: ada, of: piston.skirt, gauge: mic, part_temp: 20 °C, gauge_temp: 20 °C}}\n"
    site = write(tmp_path / "site" / "small", instruments=instruments, readings__2025_02_20_skirt=skirt)
    found = assess(load_build(site, "builds/small", shelf()), shelf())
    assert (found.rows["s2"].status == "held back") == (is_ == "held back")
    assert any(slip.row == "s2" for slip in found.mistakes) == (is_ != "sound")

    folder = write(tmp_path / "builds" / "small", instruments=instruments)
    build = load_build(folder, "builds/small", shelf())
    line = f"piston skirt 30 - {read.replace(' ', '')} 20c/20c mic"
    if is_ == "held back":
        with pytest.raises(NotClear) as refused:
            read_line(build, line, datetime.date(2025, 2, 20), "ada")
        assert words in str(refused.value)
    else:
        said = read_line(build, line, datetime.date(2025, 2, 20), "ada").words
        assert words in said and ("doubtful" in said) == (is_ == "doubted")

    table = tmp_path / "read.csv"
    table.write_text(f"{READ_HEAD}{READ_ROW.format(read=read)}", encoding="utf-8")
    given = ["import", "small", str(table), "--columns", str(column_map(tmp_path)), "--root", str(tmp_path)]
    done = CliRunner().invoke(main, given)
    assert done.exit_code == (1 if is_ == "held back" else 0), done.stderr
    assert words in done.stderr and ("Doubtful" in done.stderr) == (is_ == "doubted")
    if is_ == "held back":
        assert not list((folder / "readings").glob("2025-02-20*"))
        assert CliRunner().invoke(main, [*given, "--held-back-too"]).exit_code == 0


READ_HEAD, READ_ROW = "Feature,Pos,Value,Taken\n", "piston.skirt,30,{read},2025-02-20\n"


def column_map(folder):
    path = folder / "map.yaml"
    path.write_text(
        "columns: {Feature: of, Pos: station, Value: reads, Taken: date}\nunits: {station: mm, reads: mm}\n"
        "every_row: {by: ada, gauge: mic, part_temp: 20 °C, gauge_temp: 20 °C}\nfirst_id: c001\n",
        encoding="utf-8",
    )
    return path


@pytest.mark.parametrize("set_in", ["gauge", "nobody"])
def test_a_gauge_that_is_set_in_itself_or_in_nothing_ends_the_way(tmp_path, set_in):
    text = bent("instruments.yaml", "scale_from: mic", f"scale_from: {set_in}")
    (tmp_path / "small").mkdir()
    build = load_build(write(tmp_path / "small", instruments=text), "builds/small", shelf())
    assert build.problems and read_line(build, "cyl bore 20 0 50.012 20c/20c gauge", datetime.date(2025, 2, 20), "ada")
