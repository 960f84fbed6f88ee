"""A vee block, a thermometer and how a part was held, by quick entry and by import: with the site's own checks, read back in words."""

import datetime

import pytest
import yaml
from click.testing import CliRunner
from gudgeon.cli import main
from gudgeon.entry.line import NotClear, read_line
from gudgeon.records.load_build import load_build
from gudgeon.records.yaml_writing import flow
from small_build import FILES, bent, shelf, write

DAY = datetime.date(2025, 2, 20)
VEE = "  vee: {name: indicator over a vee, resolution: 0.001 mm, scale: 0.002 mm, use: 0.002 mm, cte: 11.5e-6 /K, checked: each session, due: each session, vee: 60 deg}\n"
HEAD = "people: {ada: {name: Ada}}\nthermometers: {tin: {name: In a biscuit tin, within: 0.5 K}}\n"
LAND = "  land: {name: Land, kind: length, nominal: 3 mm}\n"


@pytest.fixture
def build(tmp_path):
    folder = write(
        tmp_path / "builds" / "small",
        build=bent("build.yaml", "people: {ada: {name: Ada}}\n", HEAD),
        instruments=FILES["instruments.yaml"] + VEE,
        parts__piston=FILES["parts/piston.yaml"] + LAND,
    )
    loaded = load_build(folder, "builds/small", shelf())
    assert loaded.problems == []
    return loaded


def test_a_vee_block_is_read_by_the_line(build):
    entered = read_line(build, "piston skirt 20 - 0.012 0.013 vee lobes 3", DAY, "ada")
    assert entered.row["lobes"] == 3 and entered.row["reads"] == "0.012 0.013 mm"
    assert "for 3 lobes" in entered.words and "needs no temperatures" in entered.words
    assert yaml.safe_load(flow(entered.row))["lobes"] == 3
    unsaid = read_line(build, "piston skirt 20 - 0.012 vee", DAY, "ada")
    assert "lobes" not in unsaid.row and "for how many lobes is not said" in unsaid.words


def test_a_thermometer_and_how_it_was_held(build):
    line = "cyl bore 60 0 50.012 24c/16c gauge thermometer TIN held cap at working torque, head on # by the window"
    entered = read_line(build, line, DAY, "ada")
    held = "cap at working torque, head on"
    assert (entered.row["thermometer"], entered.row["as_held"], entered.row["note"]) == ("tin", held, "by the window")
    assert "gauge at 16 °C, thermometer tin" in entered.words and f"as held: {held}" in entered.words
    after = read_line(build, "60 90 50.013", DAY, "ada", entered)
    assert (after.row["thermometer"], after.row["as_held"]) == ("tin", held), (
        "carried over with its temperatures and feature"
    )
    other = read_line(build, "piston skirt 20 - 49.945 mic", DAY, "ada", entered)
    assert "as_held" not in other.row


@pytest.mark.parametrize(
    ("line", "words"),
    [
        ("piston skirt 20 - 49.945 20c/20c mic lobes 3", "mic is no vee block"),
        ("piston skirt 20 - 0.012 vee lobes 3.5", "write how many a turn shows"),
        ("piston skirt 20 - 0.012 vee lobes 31", "from 2 to 30"),
        ("piston skirt 20 - 0.012 vee lobes 5", "blind to 5 lobes"),
        ("piston land 0.012 vee lobes 3", "shows lobes of a diameter"),
        ("piston skirt 20 - 49.945 20c/20c mic thermometer tim", "Did you mean"),
        ("piston skirt 20 - 49.945 20c/20c mic held", "nothing behind it"),
        ("piston skirt 20 - 49.945 20c/20c mic thermometer", "nothing behind it"),
    ],
)
def test_what_the_site_calls_wrong_is_refused(build, line, words):
    with pytest.raises(NotClear, match=words):
        read_line(build, line, DAY, "ada")


def test_import_takes_them_by_its_map(build, tmp_path):
    (tmp_path / "map.yaml").write_text(
        "columns: {Feature: of, Pos: station, Value: reads, Lobes: lobes, T: thermometer, Held: as_held}\n"
        "units: {station: mm, reads: mm}\nnames: {thermometer: {box: tin}}\n"
        "every_row: {by: ada, gauge: vee, date: 2025-02-20}\nfirst_id: c001\n"
    )
    table, given = tmp_path / "read.csv", ["import", "small", str(tmp_path / "read.csv"), "--root", str(tmp_path)]
    given += ["--columns", str(tmp_path / "map.yaml")]
    table.write_text("Feature,Pos,Value,Lobes,T,Held\npiston.skirt,20,0.012,three,box,free\n")
    done = CliRunner().invoke(main, given)
    assert done.exit_code == 1 and "expected how many lobes" in done.stderr
    table.write_text("Feature,Pos,Value,Lobes,T,Held\npiston.skirt,20,0.012,5,box,free\n")
    done = CliRunner().invoke(main, given)
    assert done.exit_code == 1 and "blind to 5 lobes" in done.stderr
    table.write_text("Feature,Pos,Value,Lobes,T,Held\npiston.skirt,20,0.012,3,box,free\n")
    done = CliRunner().invoke(main, given)
    assert done.exit_code == 0, done.stderr
    row = load_build(build.folder, "builds/small", shelf()).rows[-1]
    assert (row.id, row.lobes, row.thermometer, row.as_held) == ("c001", 3, "tin", "free")
