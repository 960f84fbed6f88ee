"""Quick entry: what a line means, how it is read back, and what is refused with the way to write it."""

import datetime
import re
from dataclasses import replace

import pytest
import yaml
from click.testing import CliRunner
from gudgeon.cli import main
from gudgeon.entry.line import NotClear, read_line
from gudgeon.records.load_build import load_build
from gudgeon.records.yaml_writing import flow
from gudgeon_calc.units import read_quantity
from small_build import shelf, write

DAY = datetime.date(2025, 4, 6)


@pytest.fixture(scope="module")
def pond(club):
    return next(each for each in club.builds if each.id == "harrow-pond")


@pytest.fixture(scope="module")
def sundlia(club):
    return next(each for each in club.builds if each.id == "sundlia")


def row(build, line, **more):
    return read_line(build, line, DAY, **({"by": "odette"} if build.id == "harrow-pond" else {"by": "ilse"}) | more).row


def test_the_line_of_the_manual(pond):
    entered = read_line(pond, "piston skirt 3.5 0 4.2559 4.2560 4.2559 24c/16c om45", DAY, "odette")
    assert entered.row == {
        "id": entered.row["id"],
        "of": "piston.skirt",
        "date": "2025-04-06",
        "by": "odette",
        "gauge": "om45",
        "station": "3.5 in",
        "angle": "0 deg",
        "reads": "4.2559 4.2560 4.2559 in",
        "part_temp": "24 °C",
        "gauge_temp": "16 °C",
        "after": "A-PIS-70",
    }
    for words in (
        "Trunk piston, Skirt",
        "4.2559 in, 4.2560 in, 4.2559 in",
        "part at 24 °C, gauge at 16 °C",
        "outside mic 4-5 in",
        "Odette Farrow, 2025-04-06",
        "after A-PIS-70",
    ):
        assert words in entered.words


@pytest.mark.parametrize(
    ("typed", "reads"),
    [
        ("4.2559", "4.2559 in"),
        ("4.25590", "4.25590 in"),  # the digits as typed
        ("4 1/4", ["4 1/4 in"]),
        ("4 1/4 +5.9t", "4.25059 in"),
        ("4.2550 +6t", "4.2556 in"),
        ("4.2550 -2thou", "4.253 in"),
        ("+6 tenths from 4.2550", "4.2556 in"),
        ("-6t from 4.2550", "4.2544 in"),
        ("107.998mm", "107.998 mm"),
        ("107.998 mm", "107.998 mm"),
        ("4.2559in 4.2560in", "4.2559 4.2560 in"),
        ("4.2559 108.10mm", ["4.2559 in", "108.10 mm"]),
        ("4,2559", "4.2559 in"),
    ],
)
def test_forms_of_a_reading(pond, typed, reads):
    assert row(pond, f"piston skirt 3.5 0 {typed} 15c/15c om45")["reads"] == reads


def test_what_was_typed_is_kept_where_the_file_cannot(pond):
    assert (
        row(pond, "piston skirt 3.5 0 4 1/4 +5.9t 15c/15c om45 # cold hands")["note"]
        == 'cold hands; typed "4 1/4 +5.9t"'
    )
    assert row(pond, "piston skirt 3.5 0 +6 tenths from 4.2550 15c/15c om45")["note"] == 'typed "+6 tenths from 4.2550"'


def test_words_behind_and_other_orders(pond):
    found = row(pond, "PISTON.SKIRT 3 1/2 90deg om45 4.2559 -2C/50f after A-PIS-60 on 2025-03-30 by wim", by=None)
    assert (found["station"], found["angle"], found["after"], found["date"], found["by"]) == (
        "3 1/2 in",
        "90 deg",
        "A-PIS-60",
        "2025-03-30",
        "wim",
    )
    assert (found["part_temp"], found["gauge_temp"]) == ("-2 °C", "50 °F")


def test_a_feature_without_a_place(pond, sundlia):
    found = row(pond, "ring1 width 0.1857 0.1858 om01 15c/15c")
    assert "station" not in found and "angle" not in found and found["reads"] == "0.1857 0.1858 in"
    assert row(sundlia, "piston skirt - - 89.80 om75 20c/20c")["reads"] == "89.80 mm"


def test_without_temperatures_it_says_so(pond):
    entered = read_line(pond, "piston skirt 3.5 0 4.2559 om45", DAY, "odette")
    assert "part_temp" not in entered.row and "cannot be brought to 20 °C" in entered.words


def test_a_session_carries_over_what_a_line_leaves_out(pond):
    first = read_line(pond, "piston skirt 3.5 0 4.2559 24c/16c om45", DAY, "odette")
    second = read_line(pond, "5 90 4.2561", DAY, "odette", first)
    assert {key: second.row[key] for key in ("of", "gauge", "part_temp", "station", "reads")} == {
        "of": "piston.skirt",
        "gauge": "om45",
        "part_temp": "24 °C",
        "station": "5 in",
        "reads": "4.2561 in",
    }
    assert "part at 24 °C" in second.words
    with pytest.raises(NotClear, match="no part"):
        read_line(pond, "5 90 4.2561", DAY, "odette")


@pytest.mark.parametrize(
    ("line", "said"),
    [
        ("", "nothing was typed"),
        ("x" * 501, "at most 500 characters"),
        ("cut piston skirt 4t 3.4t", "gudgeon cut writes down the pass"),
        ("pistn skirt 3.5 0 4.2559 om45", 'no part "pistn" in this build. Did you mean "piston"?'),
        ("piston", "which feature of piston?"),
        ("piston skit 3.5 0 4.2559 om45", 'Did you mean "skirt"?'),
        ("bore 3.5 0 4.2559 dbg", "could be "),
        ("piston skirt 3.5 0 4.2559 15c/15c", "which gauge was it read with?"),
        ("piston skirt 3.5 0 4.2559 om54", 'Did you mean "om45"?'),
        ("piston skirt 3.5 0 4.2559 om45 om12", "two gauges om45 and om12"),
        ("piston skirt 3.5 0 4.2559 15c om45", "of the part or of the gauge? Write both, part first: 15c/15c."),
        ("piston skirt 3.5 0 om45", "no reading is left behind station and angle"),
        ("piston skirt om45", "the station is missing"),
        (
            "piston skirt 4.2559 4.2560 4.2559 om45",
            "expected an angle from 0 to 359 behind the station. Found '4.2560'",
        ),
        ("piston skirt 3.5 360 4.2559 om45", "expected an angle from 0 to 359"),
        ("piston skirt 3.5 0 107.998 om45", "it would fit as millimetres: write the unit, 107.998mm"),
        ("piston skirt 3.5 0 4.2559mm om45", "it would fit as inches: write the unit, 4.2559in"),
        ("piston skirt 3.5 0 2.1279 om45", "it would fit as a radius"),
        ("piston skirt 3.5 0 42.559 om45", "a point has slipped"),
        ("piston skirt 3.5 0 5 tenths om45", '"5 tenths" could be 0.0005 in'),
        ("piston skirt 3.5 0 4,256 om45", '"4,256" could be 4.256 or 4256'),
        ("piston skirt 3.5 0 +6 tenths om45", '"+6 tenths" of what?'),
        ("piston skirt 3.5 0 4.2550 +6 om45", "tenths or thou?"),
        ("piston skirt 3.5 0 107.998mm +6t om45", "tenths and thou are of an inch"),
        ("piston skirt 3.5 0 5.01 om45", "outside what om45 can reach"),
        ("piston skirt 3.5 0 4 1/0 om45", "over nought"),
        ("piston skirt 3.5 0 4.2559 om45 on 06.04.2025", "Write it like 2025-04-06"),
        ("piston skirt 3.5 0 4.2559 om45 by nobody", 'no person "nobody"'),
        ("piston skirt 3.5 0 4.2559 om45 after A-PIS-7", 'Did you mean "A-PIS-70"'),
        ("piston skirt 3.5 0 4.2559 om45 by", "at the end with nothing behind it"),
        ("piston skirt 3.5 0 4.2559 om45 <script>", "expected a reading"),
        ("piston skirt 3.5 0 " + "4.2559 " * 51 + "om45", "at most 50 readings"),
        ("flywheel rim_speed 3 om45", "no part"),
    ],
)
def test_what_is_not_clear_is_refused(pond, line, said):
    with pytest.raises(NotClear) as refused:
        read_line(pond, line, DAY, "odette")
    assert said in str(refused.value)


def test_a_fraction_needs_its_unit_in_a_build_in_millimetres(sundlia):
    with pytest.raises(NotClear, match="Write its unit"):
        row(sundlia, "piston skirt 10 0 3 1/2 20c/20c om75")


def test_who_read_it_is_never_guessed(pond):
    with pytest.raises(NotClear, match="who read it"):
        read_line(pond, "piston skirt 3.5 0 4.2559 om45", DAY)


@pytest.fixture
def project(tmp_path):
    write(tmp_path / "builds" / "small")
    return tmp_path


def enter(project, *words, typed=None):
    return CliRunner().invoke(
        main, ["enter", "small", *words, "--root", str(project), "--on", "2025-02-20"], input=typed
    )


def test_the_command_reads_back_and_writes_only_when_told(project):
    done = enter(project, "piston", "skirt", "20", "-", "49.9450", "mic", "20c/20c")
    assert done.exit_code == 1 and "Piston, Skirt" in done.stdout and "--yes" in done.stderr
    assert not list((project / "builds/small/readings").glob("2025-02-20*"))
    done = enter(project, "piston skirt 20 - 49.9450 mic 20c/20c", "--yes")
    assert done.exit_code == 0
    build = load_build(project / "builds/small", "builds/small", shelf())
    assert (
        build.problems == []
        and build.rows[-1].reads[0].text == "49.9450 mm"
        and re.fullmatch("ad01-[a-z0-9]{4}", build.rows[-1].id)
    )


def test_a_second_row_goes_into_the_same_file_and_leaves_the_first_as_it_was(project):
    enter(project, "piston skirt 20 - 49.9450 mic 20c/20c", "--yes")
    (path,) = (project / "builds/small/readings").glob("2025-02-20*")
    before = path.read_text()
    done = enter(project, "--yes", typed="piston skirt 30 - 49.9460 mic 20c/20c\n40 - 49.9470\nnonsense\n")
    assert done.exit_code == 1 and 'no part "nonsense"' in done.stderr
    assert path.read_text().startswith(before) and path.read_text().count("- {id") == 3
    assert load_build(project / "builds/small", "builds/small", shelf()).problems == []


def test_a_file_that_cannot_be_continued_is_left_and_another_begun(project):
    path = project / "builds/small/readings/2025-02-20-piston-skirt.yaml"
    path.write_text("rows: [{id: x1, of: piston.skirt, date: 2025-02-20, by: ada, gauge: mic, reads: 49.945 mm}]\n")
    before = path.read_text()
    done = enter(project, "piston skirt 20 - 49.9450 mic 20c/20c", "--yes")
    assert done.exit_code == 0 and "piston-skirt-2.yaml" in done.stdout and path.read_text() == before


def test_nothing_is_written_into_records_that_would_break(project):
    write(project / "builds" / "small", operations="operations: {}\n")
    before = {path: path.read_bytes() for path in (project / "builds").rglob("*") if path.is_file()}
    done = enter(project, "piston skirt 20 - 49.9450 mic 200c/20c", "--yes", "--despite-doubts")
    assert done.exit_code == 1 and "200 °C" in done.stderr
    assert {path: path.read_bytes() for path in (project / "builds").rglob("*") if path.is_file()} == before


def test_no_such_build(project):
    done = CliRunner().invoke(main, ["enter", "smal", "x", "--root", str(project)])
    assert done.exit_code == 3 and 'Did you mean "small"' in done.stderr


def test_rows_are_written_so_that_any_yaml_reader_sees_text():
    assert (
        flow({"id": "a1", "reads": ["1 51/64 in"], "note": "no: # yes"})
        == '{id: a1, reads: [1 51/64 in], note: "no: # yes"}'
    )


def test_hazards_of_yaml_stay_text_for_every_reader():
    words = [
        "no",
        "yes",
        "on",
        "NULL",
        "true",
        "010",
        "1e5",
        "0x1f",
        "1_000",
        "12",
        "4.25",
        "~",
        "1:48",
        "=1",
        "- x",
        "",
    ]
    for word in words:
        assert yaml.safe_load(flow({"a": word})) == {"a": word}
        assert yaml.safe_load(flow({"a": [word]})) == {"a": [word]}


def test_a_line_says_when_and_after_which_cut(tmp_path):
    (tmp_path / "small").mkdir()
    cuts = "cuts:\n  - {id: c7, date: 2025-02-03, of: piston.skirt, machine: big, asked: 0.20 mm, tool: HSS, feed: 0.1 mm}\n"
    machines = "machines: {big: {name: Lathe, speeds: [100 rpm], feeds: [0.1 mm], dial_division: 0.02 mm, dial_reads: diameter}}\n"
    build = load_build(write(tmp_path / "small", cuts=cuts, machines=machines), "builds/small", shelf())
    entered = read_line(build, "piston skirt 20 - 49.945 20c/20c mic at 9:05 after C7", DAY, "ada")
    assert (entered.row["time"], entered.row["after_cut"], entered.row["after"]) == ("09:05", "c7", "TURN")
    assert "after the cut c7" in entered.words and "2025-04-06 at 09:05" in entered.words
    with pytest.raises(NotClear, match='expected a time of day. Found "25:00"'):
        read_line(build, "piston skirt 20 - 49.945 20c/20c mic at 25:00", DAY, "ada")
    with pytest.raises(NotClear, match='no operation and no cut "c8"'):
        read_line(build, "piston skirt 20 - 49.945 20c/20c mic after c8", DAY, "ada")


def test_bare_temperatures_are_in_the_unit_of_all_the_rows_or_in_none(pond):
    other = replace(pond, rows=[])
    with pytest.raises(NotClear, match="in °C or in °F"):
        row(other, "piston skirt 3.5 0 4.2559 24/16 om45")
    warm = row(pond, "piston skirt 3.5 0 4.2559 75f/61f om45")["part_temp"]
    assert warm == "75 °F"
    in_fahrenheit = pond.rows[-1].model_copy(update={"part_temp": read_quantity("70 °F", "temperature")})
    with pytest.raises(NotClear, match="in °C or in °F"):
        row(replace(pond, rows=[*pond.rows, in_fahrenheit]), "piston skirt 3.5 0 4.2559 24/16 om45")
    only = replace(pond, rows=[in_fahrenheit])
    assert row(only, "piston skirt 3.5 0 4.2559 75/61 om45")["gauge_temp"] == "61 °F"
    with pytest.raises(NotClear, match="in °F is frost"):
        row(only, "piston skirt 3.5 0 4.2559 24/16 om45")
