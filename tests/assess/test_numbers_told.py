"""Tied numbers of the story: what the records said at the end of their day, and what became of it. Sums beside each."""

import time
from dataclasses import replace

import pytest
from click.testing import CliRunner
from gudgeon.assess.build import assess
from gudgeon.assess.told import numbers_told
from gudgeon.cli import main
from gudgeon.records.as_it_stood import as_it_stood
from gudgeon.records.edits import problems_of
from gudgeon.records.model import Instalment
from gudgeon.records.written_length import NotALength, read_written
from gudgeon.story.numbers import NumbersOfStory
from small_build import FILES, bent, load, shelf, write

FINISH = "  FINISH: {part: piston, does: finish skirt, needs: [TURN], changes: [piston.skirt], estimate: [30 min, 60 min, 90 min], done: 2025-02-10}\n"
ROWS = (
    "every_row: {date: 2025-02-%s, by: ada, of: piston.skirt, gauge: mic, part_temp: 20 °C, gauge_temp: 20 °C}\nrows:\n"
)
BORED = {
    "operations": FILES["operations.yaml"] + FINISH,
    "readings__later": ROWS % "11" + "  - {id: s2, station: 20 mm, reads: 49.930 mm}\n",
}


def told(tmp_path, *texts: tuple[str, str], **changes):
    """Each text as an instalment of its day: what is said of the numbers in it, one a text."""
    build = load(tmp_path, **changes)
    assert build.problems == [], build.problems
    return numbers_in(build, texts)


def numbers_in(build, texts):
    build = replace(build, instalments=[instalment(number, *text) for number, text in enumerate(texts, start=1)])
    numbers = numbers_told(build, shelf(), assess(build, shelf()))
    assert len(numbers) == len(texts)
    words = NumbersOfStory(numbers, build.sound_head.units)
    return [words.in_words(number) for number in numbers]


def instalment(number: int, day: str, body: str) -> Instalment:
    from gudgeon.records.instalment_head import Instalment as Head

    head = Head.model_validate({"number": number, "title": "Told", "date": day, "by": "ada"})
    return Instalment(head, body, f"builds/small/log/{number:02}-told.md", f"{number:02}-told")


# Bore 50.010 at its least, skirt 49.945: 0.065 mm, which is 2.559 thou, from 4 February on.
@pytest.mark.parametrize(
    ("says", "agrees"),
    [
        ("0.065 mm", True),
        ("0.07 mm", True),  # a half goes up, as on every page
        ("0.06 mm", False),
        ("0.0650 mm", True),
        ("0.064 mm", False),
        ("65 µm", True),
        ("2.6 thou", True),
        ("2.5 thou", False),
        ("2 1/2 thou", True),  # to the half: 2.559 is nearer to 2.5 than to 3
        ("2½ thou", True),
        ("3 thou", True),
        ("26 tenths", True),
        ("about 0,07 mm", True),
        ("2 to 3 thou", True),
        ("3 to 4 thou", True),  # 2.559 is 3 to the thou
        ("4 to 5 thou", False),
        ("0.065 mm of clearance", True),
        ("0.065 mm of interference", False),
        ("−0.065 mm", False),
    ],
)
def test_a_number_agrees_to_the_digits_that_are_written(tmp_path, says, agrees):
    [number] = told(tmp_path, ("2025-02-04", f"It came to [{says}](fit:F1)."))
    assert number.agrees is agrees and number.number.then == pytest.approx(0.065)
    assert number.doubt.startswith("the records said 0.065 mm") is not agrees


def test_what_differs_in_a_digit_that_is_not_shown_is_told_with_that_digit(tmp_path):
    skirt = FILES["readings/2025-02-04-skirt.yaml"].replace("49.945", "49.9446")
    fit, size = told(
        tmp_path,
        ("2025-02-04", "[0.0650 mm](fit:F1)"),
        ("2025-02-04", "[49.9450 mm](size:piston.skirt)"),
        readings__2025_02_04_skirt=skirt,
    )
    assert fit.doubt == "the records said 0.0654 mm clearance on that day"
    assert size.doubt == "the records said 49.9446 mm on that day"


def test_how_many_agree_is_counted_of_those_that_were_worked_out(tmp_path):
    build = replace(load(tmp_path), instalments=[])
    for body, says in (
        ("[0.065 mm](fit:F1)", "The number in it that is tied to the records is what these said on that day."),
        (
            "[0.065 mm](fit:F1) [0.07 mm](fit:F1) [0.06 mm](fit:F1)",
            "2 of 3 numbers in it that are tied to the records are what these said on that day; "
            "why the other is not stands beside it.",
        ),
        ("nothing", ""),
    ):
        build.instalments = [instalment(1, "2025-02-04", body)]
        numbers = numbers_told(build, shelf(), assess(build, shelf()))
        assert NumbersOfStory(numbers, "mm").counted("01-told") == says


def test_before_it_was_read_nothing_is_said_to_agree(tmp_path):
    [fit, bore, reading] = told(
        tmp_path,
        ("2025-02-02", "[0.065 mm](fit:F1)"),
        ("2025-02-02", "[50.010 mm](size:cyl.bore)"),
        ("2025-02-03", "[49.945 mm](reading:s1)"),
    )
    assert [fit.number.verdict, bore.number.verdict, reading.number.verdict] == [
        "nothing read",
        "agrees",
        "nothing read",
    ]
    assert fit.doubt == "on that day nothing had been read of it" and fit.since == "since then: 0.065 mm"


def test_what_is_cut_later_moves_it_and_the_number_stays_right(tmp_path):
    """Cut on the 10th, read on the 11th: 50.010 − 49.930 = 0.080 mm."""
    before, of_the_day, after, size = told(
        tmp_path,
        ("2025-02-04", "[0.065 mm](fit:F1)"),
        ("2025-02-10", "[0.065 mm](fit:F1)"),
        ("2025-02-11", "[0.080 mm](fit:F1)"),
        ("2025-02-04", "[49.945 mm](size:piston.skirt)"),
        **BORED,
    )
    assert [number.agrees for number in (before, of_the_day, after, size)] == [True, False, True, True]
    assert before.since == "since then: 0.080 mm, 11 February 2025" and before.doubt == ""
    assert of_the_day.doubt == "something done by then had moved it since it was read"
    assert (after.since, after.moved) == ("", False)
    assert size.since == "since then: 49.930 mm, 11 February 2025"
    assert before.small_print == "On 4 February 2025 the records said 0.065 mm (2.6 thou)"


def test_cut_and_not_read_again_it_is_not_known(tmp_path):
    [number] = told(tmp_path, ("2025-02-04", "[0.065 mm](fit:F1)"), operations=BORED["operations"])
    assert number.agrees and number.moved and number.number.now is None
    assert number.since == "now not known: measured before a later job changed it: measure again"


def test_a_reading_withdrawn_or_put_right_later_was_right_on_its_day(tmp_path):
    """Put right on the 11th to 49.955: 50.010 − 49.955 = 0.055 mm."""
    put_right = ROWS % "11" + "  - {id: s2, station: 20 mm, reads: 49.955 mm, after: TURN, supersedes: s1}\n"
    (tmp_path / "a").mkdir()
    number, reading = told(
        tmp_path / "a",
        ("2025-02-04", "[0.065 mm](fit:F1)"),
        ("2025-02-04", "[49.945 mm](reading:s1)"),
        readings__later=put_right,
    )
    assert number.agrees and number.since == "since then: 0.055 mm, 11 February 2025, a reading withdrawn or put right"
    assert reading.agrees and reading.since == "since then: the reading was put right by a later one"
    (tmp_path / "b").mkdir()
    withdrawn = "rows:\n  - {id: w1, withdraws: s1, because: another piston, date: 2025-02-11, by: ada}\n"
    [number] = told(tmp_path / "b", ("2025-02-10", "[0.065 mm](fit:F1)"), readings__later=withdrawn)
    assert number.agrees and number.since == "now not known: no reading of it counts, a reading withdrawn or put right"


def test_an_instrument_found_off_later_is_told_as_since_then(tmp_path):
    """The mic read 0.010 high since January and was found so in March: 49.945 is 49.935. The bore gauge is set in it, so the
    clearance stays. What is told after that day has the correction in it."""
    off = bent(
        "instruments.yaml",
        "due: 2026-01-01}",
        "due: 2026-01-01, found_off: {reads_high: 0.010 mm, found: 2025-03-01, since: 2025-01-01, how: gauge block}}",
    )
    size, fit, later = told(
        tmp_path,
        ("2025-02-04", "[49.945 mm](size:piston.skirt)"),
        ("2025-02-04", "[0.065 mm](fit:F1)"),
        ("2025-03-01", "[49.935 mm](size:piston.skirt)"),
        instruments=off,
    )
    assert size.agrees and fit.agrees and later.agrees
    assert size.since == "since then: 49.935 mm, mic found wrong" and fit.since == later.since == ""
    assert (size.number.found_off_since, later.number.found_off_since) == (("mic",), ())  # on its day it was known


def test_what_counts_no_more_on_its_day_is_right_nowhere(tmp_path):
    """Cut on the 10th and not read after it; the reading itself withdrawn on the 9th. One answer for page, check and card."""
    withdrawn = "rows:\n  - {id: w1, withdraws: s1, because: another piston, date: 2025-02-09, by: ada}\n"
    for name, changes, tie, doubt in (
        ("cut", BORED, "fit:F1", "something done by then had moved it since it was read"),
        ("withdrawn", {"readings__later": withdrawn}, "reading:s1", "the reading was withdrawn"),
    ):
        (tmp_path / name).mkdir()
        text = f"[{'0.065 mm' if name == 'cut' else '49.945 mm'}]({tie})"
        [number] = told(tmp_path / name, ("2025-02-10", text), **changes)
        words = NumbersOfStory([number.number], "mm")
        assert (number.agrees, number.doubt, number.number.verdict) == (False, doubt, "agrees")
        assert words.counted("01-told").startswith("0 of 1 numbers") and doubt in number.warning
        assert number.in_other_unit == ""


def test_a_size_whose_reading_was_withdrawn_by_then_was_read_all_the_same(tmp_path):
    withdrawn = "rows:\n  - {id: w1, withdraws: s1, because: another piston, date: 2025-02-09, by: ada}\n"
    size, fit = told(
        tmp_path,
        ("2025-02-10", "[49.945 mm](size:piston.skirt)"),
        ("2025-02-10", "[0.065 mm](fit:F1)"),
        readings__later=withdrawn,
    )
    assert size.doubt == "on that day no reading of it counted"
    assert fit.doubt == "on that day no reading of one half counted"


def test_a_form_that_was_not_read_again_is_not_given_the_state_of_its_size(tmp_path):
    """Read at two stations, cut on the 10th, and read again at one."""
    skirt = FILES["readings/2025-02-04-skirt.yaml"] + "  - {id: s0, station: 60 mm, reads: 49.950 mm}\n"
    before, overtaken, size = told(
        tmp_path,
        ("2025-02-04", "[0.005 mm taper](form:piston.skirt)"),
        ("2025-02-10", "[0.005 mm taper](form:piston.skirt)"),
        ("2025-02-04", "[49.950 mm](size:piston.skirt@60)"),
        **{**BORED, "readings__2025_02_04_skirt": skirt},
    )
    assert before.since == "now not known: not read at enough stations"
    assert size.since == "now not known: not read there"
    assert overtaken.doubt == "something done by then had moved it since it was read" and not overtaken.agrees


def test_since_then_names_only_what_moved_the_number(tmp_path):
    """Withdrawn is 49.940 at another station, which does not decide; s3 moves it on the 12th, s4 of the 20th does not."""
    skirt = FILES["readings/2025-02-04-skirt.yaml"] + "  - {id: s0, station: 60 mm, reads: 49.940 mm}\n"
    later = (
        (ROWS % "12")
        + "  - {id: s3, station: 40 mm, reads: 49.955 mm}\n  - {id: s4, station: 60 mm, reads: 49.941 mm, date: 2025-02-20}\n"
        + "  - {id: w1, withdraws: s0, because: slip, date: 2025-02-13, by: ada}\n"
    )
    [number] = told(
        tmp_path,
        ("2025-02-04", "[49.945 mm](size:piston.skirt)"),
        readings__2025_02_04_skirt=skirt,
        readings__later=later,
    )
    assert number.since == "since then: 49.955 mm"


def test_a_number_read_twice_later_was_first_read_on_the_first_of_them(tmp_path):
    [number] = told(tmp_path, ("2025-02-03", "[49.945 mm](size:piston.skirt)"), **BORED)
    assert number.warning.endswith("on that day nothing had been read of it; it was read on 4 February 2025.")


def test_a_cut_that_was_withdrawn_later_is_told_as_since_then(tmp_path):
    cuts = (
        "cuts:\n  - {id: k1, date: 2025-02-10, of: piston.skirt, operation: FINISH, machine: lathe, asked: 0.1 mm, got: 0.1 mm,"
        " tool: t, feed: 0.1 mm}\n"
        "  - {withdraws: k1, because: not made, date: 2025-02-11, by: ada}\n"
    )
    lathe = "machines:\n  lathe: {name: Lathe, speeds: [100 rpm], feeds: [0.1 mm], dial_reads: diameter, dial_division: 0.02 mm}\n"
    changes = {"operations": BORED["operations"].replace(", done: 2025-02-10", ""), "cuts": cuts, "machines": lathe}
    [number] = told(tmp_path, ("2025-02-10", "[0.065 mm](fit:F1)"), **changes)
    assert number.doubt == "something done by then had moved it since it was read" and not number.agrees
    assert number.since == "since then: the cut was withdrawn"


def test_an_interference_is_told_with_a_word_or_where_nothing_else_is_wanted(tmp_path):
    """Skirt 50.030 in 50.010: −0.020 mm."""
    skirt = FILES["readings/2025-02-04-skirt.yaml"].replace("49.945", "50.030")
    ties = [("2025-02-04", f"[{says}](fit:F1)") for says in ("0.020 mm of interference", "−0.020 mm", "0.020 mm")]
    (tmp_path / "a").mkdir()
    told_of_running_fit = told(tmp_path / "a", *ties, readings__2025_02_04_skirt=skirt)
    assert [number.agrees for number in told_of_running_fit] == [True, True, False]
    (tmp_path / "b").mkdir()
    press = (
        bent("fits.yaml", "kind: skirt", "kind: press")
        .replace("[0.050 mm, 0.080 mm]", "[-0.030 mm, -0.010 mm]")
        .replace(", hot: [hot]", "")
    )
    # Of a press fit the loose end hurts: 50.012 − 50.030 = −0.018 mm.
    ties = [(day, says.replace("0.020", "0.018")) for day, says in ties]
    told_of_press = told(tmp_path / "b", *ties, readings__2025_02_04_skirt=skirt, fits=press)
    assert [number.agrees for number in told_of_press] == [True, True, True]
    assert (
        told_of_press[0].small_print
        == "On 4 February 2025 the records said 0.018 mm interference (0.7 thou interference)"
    )


def test_what_is_at_the_least_interference_is_no_clearance_from_nought_on(tmp_path):
    """Skirt 50.0103 in 50.010: −0.0003 mm, which is nought to the digits written."""
    skirt = FILES["readings/2025-02-04-skirt.yaml"].replace("49.945", "50.0103")
    ties = [("2025-02-04", f"[{says}](fit:F1)") for says in ("0 to 0.02 mm of clearance", "0.000 mm of clearance")]
    assert [number.agrees for number in told(tmp_path, *ties, readings__2025_02_04_skirt=skirt)] == [False, True]


def test_where_nought_is_wanted_a_number_is_no_interference(club, harrow):
    """The key of 1 in 100 in a keyway of 1 in 96 stands off 1.46 thou over 3 1/2 in: what is wanted is nought."""
    build = next(one for one in club.builds if one.id == "harrow-pond")
    build = replace(build, instalments=[instalment(1, "2025-03-24", "[1.5 thou](fit:A-F16)")])
    assert [number.verdict for number in numbers_told(build, club.knowledge, harrow)] == ["agrees"]


def test_a_form_is_one_of_two(tmp_path):
    build = replace(load(tmp_path), instalments=[instalment(1, "2025-02-04", "[oval taper 0.002 mm](form:cyl.bore)")])
    assert [problem.text.startswith("which form?") for problem in problems_of(build, shelf())] == [True]


def test_a_renamed_fit_or_feature_is_still_tied(tmp_path):
    numbers = told(
        tmp_path,
        ("2025-02-04", "[0.065 mm](fit:OLD)"),
        ("2025-02-04", "[50.012 mm](size:cyl.hole@60)"),
        ("2025-02-04", "[50.0100 mm](reading:b1)"),
        fits=bent("fits.yaml", "kind: skirt", "kind: skirt, formerly: [OLD]"),
        parts__cyl=bent("parts/cyl.yaml", "name: Bore", "name: Bore, formerly: [hole]"),
    )
    assert [number.agrees for number in numbers] == [True] * 3
    assert [number.number.about for number in numbers] == ["F1", "cyl.bore", "b1"]


@pytest.mark.slow
@pytest.mark.parametrize("name", ["harrow-pond", "sundlia"])
def test_what_a_tie_says_is_what_the_history_of_its_fit_says(club, name):
    """Of every day of an instalment and every fit, as known on that day, but where a reading was withdrawn or put right since."""
    build = next(one for one in club.builds if one.id == name)
    findings = assess(build, club.knowledge)
    days = sorted({told.head.date.isoformat() for told in build.instalments})[::4]
    texts = [(day, f"[1 mm](fit:{fit})") for day in days for fit in findings.fits]
    build = replace(build, instalments=[instalment(number, *text) for number, text in enumerate(texts, start=1)])
    compared = 0
    for number in numbers_told(build, club.knowledge, findings):
        moves = [move for move in findings.fits[number.about].moves if move.date <= number.day]
        if moves and not number.gone_since:
            stood = moves[-1].clearance if moves[-1].known_then is None else moves[-1].known_then
            found = [recall.found for recall in findings.recalls if moves[-1].date < recall.found <= number.day]
            assert number.then == pytest.approx(moves[-1].clearance if found else stood, abs=1e-9), number
            compared += 1
        elif not findings.fits[number.about].moves:
            assert number.then in (None, number.now)
    assert compared > 3


@pytest.mark.parametrize(
    "says",
    [
        "",
        "5.5",
        "under 5 thou",
        "not 5 thou",
        "5 thou a side",
        "half a thou",
        "5 ± 1 thou",
        "6 to 5 thou",
        "5 mm to 6 thou",
        "107,998 mm",
        "1/0 in",
        "<b>5 thou</b>",
        "5 thou\u202e",
        "٣ thou",
        "1e5 thou",
        "-2 to 1 thou",
        "9" * 100_000,
        "1 " * 50_000,
    ],
)
def test_what_is_not_sure_to_mean_one_length_is_refused(says):
    with pytest.raises(NotALength):
        read_written(says)


def test_nothing_of_a_build_as_it_stood_is_dated_later(club):
    """Every record that is dated, of both demonstration builds, at a day in the middle of each."""
    for build in club.builds:
        days = sorted(day for day, _ in build.dated())
        middle = days[len(days) // 2]
        stood = as_it_stood(build, middle)
        assert {id(record) for day, record in build.dated() if day > middle}  # there is something to leave out
        assert [day for day, _ in stood.dated() if day > middle] == []
        assert as_it_stood(build, days[-1]).rows == build.rows


def test_a_story_of_many_ties_is_read_and_worked_out_in_step_with_their_number(tmp_path):
    ties = "[0.065 mm](fit:F1) [0.065 mm](fit:F2) [49.945 mm](size:piston.skirt@20) " * 700
    build = load(tmp_path)
    build.instalments = [instalment(1, "2025-02-04", ties)]
    began = time.process_time()
    assert len(problems_of(build, shelf())) == 700  # of the fit that there is not
    assert len(numbers_told(build, shelf(), assess(build, shelf()))) == 1400
    assert time.process_time() - began < 5


@pytest.mark.slow
def test_check_tells_the_line_and_leaves_its_exit_status(tmp_path):
    """A warning and no problem of the records: the text is a person's."""
    head = "---\nnumber: 1\ntitle: Told\ndate: 2025-02-05\nby: ada\n---\n"
    write(tmp_path / "builds" / "small")
    log = tmp_path / "builds" / "small" / "log" / "01-told.md"
    log.parent.mkdir()
    for body, said, counted in (
        ("It is [0.065 mm](fit:F1).\n", "", "0 problems"),
        (
            "It is [0.060 mm](fit:F1).\n",
            'builds/small/log/01-told.md:7:18: instalment of 5 February 2025, "0.060 mm" tied to fit F1: the records said 0.065 mm on that day.',
            "1 number of the story is not what counted in the records on its day.",
        ),
    ):
        log.write_text(head + body, encoding="utf-8")
        done = CliRunner().invoke(main, ["check", str(tmp_path)])
        assert done.exit_code == 0 and said in done.stdout and counted in done.stderr
        assert ("of the story" in done.stderr) is bool(said)
