"""What a line is held against before it is written: each misreading that was once written in silence is asked about or refused."""

import datetime

import pytest
from click.testing import CliRunner
from gudgeon.cli import main
from gudgeon.entry.line import read_line
from gudgeon.entry.reading_ids import letters_of, reading_id
from gudgeon.entry.sizes import NotClear
from small_build import write

DAY = datetime.date(2025, 4, 6)


@pytest.fixture(scope="module")
def pond(club):
    return next(build for build in club.builds if build.id == "harrow-pond")


ASKED = [
    ("piston skirt 3.5 0 4.5590 24/16 om45", "grew", "302.5 thou more; cutting does not add metal"),
    ("piston skirt 3.5 0 4.2654 24/16 om45", "grew", "Two figures the other way round, 4.2564, would fit"),
    ("piston skirt 3.5 0 4.2259 24/16 om45", "past", "30.6 thou less, and 20.5 thou past its 4.2460 in"),
    ("piston skirt 0 3.5 4.2559 24/16 om45", "swapped", "planned are station 3.5 in and angle 0"),
    ("piston skirt 3.25 0 4.2559 24/16 om45", "not planned", "planned: stations 2, 3.5, 5, 6.6 in"),
    ("piston skirt 3.5 0 4.2563 4.2463 24/16 om45", "spread", "10 thou apart; om45 repeats to 0.2 thou"),
    ("piston skirt 3.5 0 4.2559 999c/999c om45", "temperature", "999 °C is hotter than a hand holds"),
    ("crank end_float 14 12/12 feel", "far off", "14 thou would be written 14thou"),
    ("cyl bore 0.75 0 4.2200 13/13 dbg", "grew", "cutting does not close it"),
    (
        "piston skirt 3.5 0 4.2565 16c/24c om45 on 2025-03-29",
        "temperatures swapped",
        "have the part at 24 °C and the gauge at 16",
    ),
    ("sebush od 1 0 1.1267 15/15 om12", "pressed", "A-SEB-30 pressed sebush.od into its mate, where no gauge reaches"),
    ("piston skirt 3.5 0 4.2559 24/16 om45 on 2015-04-06", "long before", "days before the first reading"),
]


@pytest.mark.parametrize(("line", "code", "words"), ASKED)
def test_what_does_not_fit_is_asked(pond, line, code, words):
    entered = read_line(pond, line, DAY, "odette")
    (doubt,) = [doubt for doubt in entered.doubts if doubt.code == code]
    assert words in doubt.words and f"asked: {doubt.sentence}" in entered.words


@pytest.mark.parametrize(
    "line",
    [
        "piston skirt 3.5 0 4.2559 24/16 om45",
        "piston skirt 3.5 0 4.2565 24/16 om45",
        "piston skirt 3.5 0 4.2565 25/16 om45 on 2025-03-29",
        "piston skirt 3.5 0 4.2480 24/16 om45",  # the finishing cut is open
        "crank crankpin 1 0 1.6238 14/14 om12",
        "ring1 gap 10.5 .0170 15/15 feel",
    ],
)
def test_what_fits_is_not(pond, line):
    assert read_line(pond, line, DAY, "odette").doubts == ()


def test_a_gap_is_read_at_its_station_in_whichever_way_it_is_said(pond):
    for line in ("ring1 gap 10.5 .0165 15c/15c feel", "ring1 gap .0165 at 10.5 15c/15c feel"):
        row = read_line(pond, line, DAY, "odette").row
        assert (row["station"], row["reads"]) == ("10.5 in", ".0165 in")


def test_a_day_to_come_is_refused(pond):
    with pytest.raises(NotClear, match="2031-01-01 is still to come: today is 2025-04-06"):
        read_line(pond, "piston skirt 3.5 0 4.2559 24/16 om45 on 2031-01-01", DAY, "odette", today=DAY)


def test_a_fraction_that_may_be_temperatures_is_neither(pond):
    with pytest.raises(NotClear, match="could be a size or two temperatures"):
        read_line(pond, "piston skirt 3.5 0 4.2559 4 1/4 15/16 om45", DAY, "odette")


def test_people_and_devices_give_no_id_twice():
    people = ["odette", "odd", "wim", "ed", "edna"]
    assert [letters_of(person, people) for person in people] == ["ode", "odd", "wi", "ed", "edn"]
    given = set()
    for person in people:
        for device in range(2):  # each counts for itself
            for number in range(1, 41):
                row = {
                    "of": "piston.skirt",
                    "by": person,
                    "date": "2025-04-06",
                    "reads": f"4.2{number + 50 * device:03d} in",
                }
                given.add(reading_id(row, people, number, ()))
    assert len(given) == 400 and all(len(one_id) <= 10 for one_id in given)
    row = {"of": "piston.skirt", "by": "wim", "date": "2025-04-06", "reads": "4.25 in"}
    first = reading_id(row, people, 1, ())
    assert first == reading_id(row, people, 1, ()) != reading_id(row, people, 1, {first})


@pytest.fixture
def project(tmp_path):
    write(tmp_path / "builds/small")
    return tmp_path


def enter(project, *words, typed=None):
    return CliRunner().invoke(
        main, ["enter", "small", *words, "--root", str(project), "--on", "2025-02-20"], input=typed
    )


GREW = "piston skirt 20 - 50.200 mic 20c/20c"


def test_a_doubt_is_not_written_by_yes_alone(project):
    done = enter(project, GREW, "--yes")
    assert done.exit_code == 1 and "0.255 mm more; cutting does not add metal" in done.stderr
    assert "Say --yes and --despite-doubts" in done.stderr and not list(project.rglob("2025-02-20*"))
    assert enter(project, GREW, "--yes", "--despite-doubts").exit_code == 0 and list(project.rglob("2025-02-20*"))


def test_undo_puts_the_file_back_as_it_was(project):
    before = {path: path.read_bytes() for path in (project / "builds").rglob("*.yaml")}
    lines = "piston skirt 20 - 49.944 mic 20c/20c\npiston skirt 30 - 49.943\nundo\nundo\nundo\nq\npiston skirt 20 - 49.9 mic\n"
    done = enter(project, "--yes", typed=lines)
    assert done.exit_code == 1 and "has written nothing that could be taken back" in done.stderr
    assert done.stdout.count("Taken back: row ad0") == 2 and done.stdout.count("Written to") == 2
    assert {path: path.read_bytes() for path in (project / "builds").rglob("*.yaml")} == before


def test_an_offset_below_needs_no_quotes(project):
    done = enter(
        project, "piston", "skirt", "20", "-", "1", "31/32in", "-2.4thou", "mic", "20c/20c", "--yes", "--despite-doubts"
    )
    assert done.exit_code == 0 and "1.96635 in" in done.stdout, done.output
    assert "No such option '--yess'" in enter(project, "piston skirt 20 - 49.944 mic 20c/20c", "--yess").stderr


@pytest.mark.parametrize(
    ("temps", "told"),
    [
        # Cast iron 11.0e-6, steel 11.5e-6 /K: 4.2559 in · (11.5·(16 − 20) − 11·(29 − 20))e-6 = −0.62 thou; a kelvin 0.047.
        (
            "29c/16c",
            "part and gauge 13 °C apart: 0.6 thou less at 20 °C, and 0.047 thou for each °C that the part is off",
        ),
        ("20c/20c", None),
        ("21c/21c", None),
    ],
)
def test_what_warmth_costs_is_told_before_a_line_is_written(pond, temps, told):
    words = read_line(pond, f"piston skirt 3.5 0 4.2559 {temps} om45", DAY, "odette").words
    assert (f"  {told}\n" in words) if told else ("for each °C" not in words)
