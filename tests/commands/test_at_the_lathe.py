"""`gudgeon cut`, `enter` and `done` on an evening at the lathe: what is written, what is answered, what is refused."""

import pytest
import yaml
from click.testing import CliRunner
from gudgeon.assess.build import assess
from gudgeon.cli import main
from gudgeon.records.load_build import load_build
from gudgeon.wording import MEANS
from small_build import FILES, ROOT, bent, shelf, write

LATHE = """\
machines:
  small: {name: Lathe, speeds: [50 rpm, 100 rpm], feeds: [0.05 mm, 0.1 mm], dial_reads: radius, dial_division: 0.02 mm}
"""
OPEN = (
    "  # the last cuts\n  FINISH: {part: piston, does: finish skirt, needs: [TURN], changes: [piston.skirt], machine: small, "
    "cutting: {tool: honed, depth: 0.1 mm, feed: 0.1 mm}}   # slowly\n"
    "  FIT: {part: piston, does: try it in the bore, needs: [FINISH]}\n"
)


@pytest.fixture
def club(tmp_path):
    (tmp_path / "docs").mkdir()
    (tmp_path / "docs" / "knowledge").symlink_to(ROOT / "docs" / "knowledge")
    write(
        tmp_path / "builds" / "small",
        machines=LATHE,
        operations=FILES["operations.yaml"] + OPEN,
        readings__2025_02_04_skirt=bent(
            "readings/2025-02-04-skirt.yaml", "reads: 49.945 mm", "angle: 0 deg, reads: 50.145 mm"
        ),
    )
    return tmp_path


def run(club, *words, status=0, type_in=None):
    done = CliRunner().invoke(main, [*words, "--root", str(club)], input=type_in)
    assert done.exit_code == status, done.output
    return done.output


def of(club):
    build = load_build(club / "builds" / "small", "builds/small", shelf())
    assert build.problems == [], build.problems
    return build, assess(build, shelf())


def cut(club, *words, status=0, day="2025-02-05"):
    return run(club, "cut", "small", *words, "--on", day, "--yes", status=status)


def test_a_pass_and_its_reading_are_written_in_one_go_and_answered(club):
    said = cut(club, "piston", "skirt", "dial", "2.5", "reads", "50.046", "28c/13c")
    build, findings = of(club)
    made, row = build.cuts[0], build.rows[-1]
    assert (float(made.asked), made.tool, made.operation, made.machine) == (0.1, "honed", "FINISH", "small")
    assert row.after_cut == made.id and row.station.text == "20 mm" and row.gauge == "mic", (
        "the place and the gauge carry over"
    )
    size = findings.features["piston.skirt"].size
    assert f"{size:.3f} mm at 20 °C; {findings.features['piston.skirt'].stock.on_diameter:.3f} mm to go" in said
    assert "2.5 divisions of 0.02 mm on the radius: 0.1 mm asked on diameter" in said
    assert findings.rows["s1"].status == "past"
    again = cut(club, "skirt", "asked", "0.05", "reads", "20", "0", "49.996", "28c/13c")
    assert "1.2 divisions, of 0.02 mm on the radius" in again and len(of(club)[0].cuts) == 2
    assert of(club)[1].features["piston.skirt"].cells[0].rows == (of(club)[0].rows[-1].id,)


@pytest.mark.parametrize(
    ("words", "said"),
    [
        ("piston skirt reads 50.046 28c/13c", '"dial" is missing'),
        ("piston skirt dial 2", '"reads" is missing'),
        ("dial 2 reads 50.046", "the feature stands first"),
        ("piston skirt dial 2mm reads 50.046", "For a length on diameter write asked"),
        ("piston skirt dial two reads 50.046", "is no number of divisions"),
        ("piston skrit dial 2 reads 50.046", "Did you mean"),
        ("piston skirt dial 2 reads 50.046 28c/13c --machine big", 'no machine "big"'),
        ("piston skirt dial 2 reads 50.046 28c/13c --operation FINNISH", "Did you mean"),
    ],
)
def test_a_line_that_is_not_clear_is_refused_and_nothing_is_written(club, words, said):
    before = {path: path.read_bytes() for path in (club / "builds").rglob("*.yaml")}
    assert said in cut(club, *words.split(), status=1)
    assert {path: path.read_bytes() for path in (club / "builds").rglob("*.yaml")} == before


def test_metal_that_grew_is_asked_about_and_not_written_by_yes_alone(club):
    said = cut(club, "piston", "skirt", "dial", "2", "reads", "50.346", "20c/20c", status=1)
    assert "cutting does not add metal" in said and of(club)[0].cuts == ()


def test_what_was_entered_before_a_cut_of_the_same_day_is_past_by_it(club):
    """Written down in one go, from a notebook: a day, and no time of it."""
    run(club, "enter", "small", "piston skirt 40 0 50.140 20c/20c mic by ada", "--on", "2025-02-05", "--yes")
    said = cut(club, "skirt", "dial", "2", "reads", "20", "0", "50.060", "20c/20c")
    assert "Nothing says" not in said
    _, findings = of(club)
    statuses = [row.status for row in findings.rows.values() if row.of == "piston.skirt"]
    assert statuses.count("current") == 1 and findings.features["piston.skirt"].size == pytest.approx(50.060)
    # What is added to it is of the metal after the cut; what stood there before has no say any more.
    said = run(club, "enter", "small", "skirt 40 0 50.061 20c/20c mic by ada", "--on", "2025-02-05", "--yes")
    assert f"{findings.features['piston.skirt'].stock.on_diameter + 0.001:.3f} mm to go" in said


def test_several_lines_in_quotes_are_entered_one_after_the_other(club):
    lines = ("piston skirt 40 0 50.140 20c/20c mic by ada", "piston skirt 60 0 50.141 by ada")
    said = run(club, "enter", "small", *lines, "--on", "2025-02-05", "--yes")
    assert said.count("at 20 °C; ") == 2, "each is answered"
    rows = of(club)[0].rows[-2:]
    assert [(row.station.text, row.gauge) for row in rows] == [("40 mm", "mic"), ("60 mm", "mic")], (
        "the gauge carries over"
    )
    run(
        club,
        "enter",
        "small",
        lines[0],
        "piston skirt 60 0 50.141 by ada nonsense",
        "--on",
        "2025-02-06",
        "--yes",
        status=1,
    )


def test_enter_answers_too_line_by_line(club):
    said = run(
        club,
        "enter",
        "small",
        "--on",
        "2025-02-05",
        "--yes",
        type_in="piston skirt 60 0 50.150 20c/20c mic\n20 0 50.144\n",
    )
    assert said.count(" at 20 °C; ") == 2 and said.count("your outside mic 25-75 mm will show") == 2
    bare = run(
        club, "enter", "small", "piston skirt 60 90 50.150 mic", "--on", "2025-02-05", "--yes", "--despite-doubts"
    )
    assert "its size at 20 °C, what is to go and what the gauge will show are not known" in bare


def test_a_casting_is_answered_at_its_first_reading(club):
    (club / "builds" / "small" / "readings" / "2025-02-04-skirt.yaml").unlink()
    said = run(
        club,
        "enter",
        "small",
        "piston skirt 20 0 50.145 20c/20c mic",
        "--on",
        "2025-02-05",
        "--yes",
        "--despite-doubts",
    )
    assert " to go; " in said, "the mate is known, so what it is to come to is too"


def test_done_marks_it_in_its_place_and_tells_what_follows(club):
    cut(club, "piston", "skirt", "dial", "2.5", "reads", "50.046", "20c/20c")
    path = club / "builds" / "small" / "operations.yaml"
    before = path.read_text()
    said = run(club, "done", "small", "finish", "--took", "95", "--found", "a little chatter", "--on", "2025-02-05")
    was = before.splitlines()
    assert [line for line in path.read_text().splitlines() if "FINISH:" not in line] == [
        line for line in was if "FINISH:" not in line
    ]
    operation = yaml.safe_load(path.read_text())["operations"]["FINISH"]
    assert (operation["took"], str(operation["done"]), operation["note"]) == (
        "95 min",
        "2025-02-05",
        "a little chatter",
    )
    assert path.read_text().count("# slowly") == 1
    assert (
        "Stale now, to be read again: Skirt (piston.skirt)." in said
        and "Can start now: FIT, try it in the bore." in said
    )
    assert "is done already" in run(club, "done", "small", "FINISH", status=1)


def test_what_was_read_after_the_last_cut_stays_where_nothing_was_cut_since(club):
    cut(club, "piston", "skirt", "dial", "2.5", "reads", "50.046", "20c/20c")
    said = run(club, "done", "small", "FINISH", "--on", "2025-02-05", "--nothing-since")
    build, findings = of(club)
    assert "Put down again as read after it" in said and "No reading was made stale by it." in said
    assert findings.features["piston.skirt"].state != "stale" and build.rows[-1].after == "FINISH"
    assert build.rows[-1].supersedes == build.rows[-2].id and [slip.kind for slip in findings.mistakes] == []


def test_done_asks_where_something_it_needs_is_not_done(club):
    said = run(club, "done", "small", "FIT", status=1)
    assert "FIT needs what is not done: FINISH." in said and of(club)[0].operations["FIT"].done is None
    run(club, "done", "small", "FIT", "--yes", "--on", "2025-02-05")
    assert "still to come" in run(club, "done", "small", "FINISH", "--on", "2099-01-01", status=1)
    assert 'Did you mean "FINISH"' in run(club, "done", "small", "FINISHH", status=1)


def test_a_gauge_a_lathe_and_a_fit_are_written_behind_those_that_are_there(club):
    gauge = ("new", "gauge", "small", "rule", "--name", "steel rule", "--step", "0.5", "--use", "0.5 mm")
    assert "Written" in run(club, *gauge, "--scale", "0.1", "--range", "0, 300 mm")
    said = run(club, *gauge[:3], "ball", *gauge[4:], type_in="set in mic\n")
    assert "Written" in said
    build, _ = of(club)
    assert [float(end) for end in build.instruments["rule"].range] == [0, 300] and build.instruments[
        "ball"
    ].scale_from == "mic"
    assert float(build.instruments["rule"].cte) == pytest.approx(11.5e-6)
    assert "already has rule" in run(club, *gauge, "--scale", "0.1", status=1)
    assert "when its next check is due" in run(
        club, *gauge[:3], "b", *gauge[4:], "--scale", "1", "--checked", "2025-01-01", status=1
    )
    lathe = ("new", "lathe", "small", "old", "--name", "old lathe", "--speeds", "50, 100 rpm", "--feeds", "0.05, 0.1")
    run(club, *lathe, "--dial", "diameter", "--division", "0.05")
    assert [float(feed) for feed in of(club)[0].machines["old"].feeds] == [0.05, 0.1]
    assert of(club)[0].machines["old"].dial_reads == "diameter"
    fit = ("new", "fit", "small", "F2", "--kind", "skirt", "--hole", "cyl.bore")
    run(club, *fit, "--shaft", "piston.skirt", "--want", "0.05, 0.08", "--because", "a second look")
    assert of(club)[0].fits["F2"].name == "Skirt in bore"
    assert 'Did you mean "piston.skirt"' in run(
        club, *fit[:3], "F3", *fit[4:], "--shaft", "piston.skrit", "--want", "1, 2 mm", status=1
    )


def test_a_build_begins_with_what_is_known_of_its_engine(club):
    words = (
        "new",
        "build",
        "mill",
        "--name",
        "Mill",
        "--units",
        "in",
        "--layout",
        "vertical",
        "--person",
        "Ann",
        "--club",
        "Ours",
    )
    run(club, *words, "--bore", "5 1/4", "--stroke", "7.5 in", "--speed", "420")
    engine = load_build(club / "builds" / "mill", "builds/mill", shelf()).sound_head.engine
    assert (engine.bore.text, engine.stroke.text, engine.speed.text) == ("5 1/4 in", "7.5 in", "420 rpm")
    run(club, *words[:2], "quern", *words[3:])
    assert load_build(club / "builds" / "quern", "builds/quern", shelf()).sound_head.engine.bore is None


def test_a_cut_that_no_dial_makes_and_one_of_work_that_is_over_are_refused(club):
    before = (club / "builds" / "small" / "operations.yaml").read_bytes()
    said = cut(club, "skirt", "dial", "99999", "reads", "20", "0", "50.046", "20c/20c", status=1)
    assert "Not written: asked cannot be 3999.96 mm. Expected at most 100 mm." in said
    over = ("--operation", "TURN", "--tool", "honed", "--feed", "0.1 mm")
    said = cut(club, "skirt", "dial", "2", "reads", "20", "0", "50.046", "20c/20c", *over, status=1)
    assert "TURN was done on 2025-02-03, before this cut of 2025-02-05" in said and of(club)[0].cuts == ()
    said = cut(club, "skirt", "dial", "2", "reads", "20", "0", "50.046", "20c/20c", status=1, day="2099-01-01")
    assert "2099-01-01 is still to come" in said
    assert (club / "builds" / "small" / "operations.yaml").read_bytes() == before


def test_an_operation_is_not_done_before_its_own_last_cut(club):
    cut(club, "piston", "skirt", "dial", "2.5", "reads", "50.046", "20c/20c")
    said = run(club, "done", "small", "FINISH", "--on", "2025-02-04", "--yes", status=1)
    assert "FINISH was still cut on 2025-02-05" in said and of(club)[0].operations["FINISH"].done is None


def test_a_row_is_given_nothing_that_nobody_said_of_it(club):
    file = club / "builds" / "small" / "readings" / "2025-02-05-piston-skirt.yaml"
    file.write_text(
        "every_row: {date: 2025-02-05, by: ada, of: piston.skirt, gauge: mic, part_temp: 24 °C, gauge_temp: 16 °C, after: TURN}\n"
        "rows:\n  - {id: x1, station: 20 mm, angle: 90 deg, reads: 50.140 mm}\n"
    )
    before = file.read_text()
    line = "piston skirt 20 0 50.140 mic"
    said = run(club, "enter", "small", line, "--on", "2025-02-05", "--yes", "--despite-doubts")
    assert "50.140 mm as read; without the temperatures" in said
    assert [row.part_temp for row in of(club)[0].rows if row.date.day == 5 and row.id != "x1"] == [None]
    assert file.read_text() == before


def test_a_lathe_that_the_operation_names_and_nobody_wrote_down_is_told(club):
    (club / "builds" / "small" / "machines.yaml").unlink()
    said = cut(club, "piston", "skirt", "dial", "2", "reads", "50.046", "20c/20c", status=1)
    assert 'the lathe "small" of the operation is not in machines.yaml' in said


def test_a_second_reading_of_what_is_not_to_be_cut_counts_once(club):
    path = club / "builds" / "small" / "operations.yaml"
    path.write_text(FILES["operations.yaml"])
    line = ("piston", "skirt", "20", "0", "50.147", "20c/20c", "mic")
    said = run(club, "enter", "small", *line, "--on", "2025-02-05", "--yes", "--despite-doubts")
    assert (
        "50.146 mm at 20 °C; nothing to cut to: Skirt in bore (F1) gives it none: no open operation is to cut it."
        in said
    )
    assert "The mean of 2 readings at this place in this state of the metal; this one alone is 50.147 mm." in said


def test_what_was_pressed_is_not_to_be_cut(club):
    path = club / "builds" / "small" / "operations.yaml"
    path.write_text(
        path.read_text()
        + "  PRESS: {part: piston, does: press it in, presses: [piston.skirt, cyl.bore], done: 2025-02-05}\n"
    )
    line = ("enter", "small", "piston", "skirt", "20", "0", "50.145", "20c/20c", "mic", "--on", "2025-02-06", "--yes")
    assert "PRESS pressed piston.skirt into its mate, where no gauge reaches" in run(club, *line, status=1)
    said = run(club, *line, "--despite-doubts")
    assert "50.145 mm at 20 °C; nothing to cut: it was pressed since." in said and " to go" not in said


def test_a_lone_line_carries_gauge_and_temperatures_from_the_same_evening_and_no_other(club):
    run(club, "enter", "small", "piston skirt 60 0 50.150 20c/20c mic by ada", "--on", "2025-02-05", "--yes")
    said = run(club, "enter", "small", "piston skirt 40 0 50.149 by ada", "--on", "2025-02-05", "--yes")
    row = of(club)[0].rows[-1]
    assert (row.gauge, row.part_temp.text) == (
        "mic",
        "20 °C",
    ) and "temperatures, where they are not said, as in row" in said
    assert "which gauge" in run(club, "enter", "small", "piston skirt 40 90 50.149", "--on", "2025-02-06", status=1)
    on = "piston skirt 40 90 50.149 on 2025-02-06"
    assert "which gauge" in run(club, "enter", "small", on, "--on", "2025-02-05", status=1), "a line of another day"


def test_temperatures_are_not_carried_for_longer_than_a_shop_keeps_them(club):
    from gudgeon.entry.carried import carried_over

    run(club, "enter", "small", "piston skirt 60 0 50.150 20c/20c mic by ada at 18:00", "--on", "2025-02-05", "--yes")
    build, day = of(club)[0], of(club)[0].rows[-1].date
    assert "part_temp" in carried_over(build, day, "ada", "21:00")[0].row
    assert "part_temp" not in carried_over(build, day, "ada", "21:01")[0].row, "the gauge alone"
    assert carried_over(build, day, "bert", "18:01") is None


def test_a_record_that_cannot_be_read_is_told_and_nothing_else_is_asked(club):
    (club / "builds" / "small" / "instruments.yaml").write_text("instruments:\n  mic: {name: [}\n")
    for words in (("enter", "small", "skirt 60 0 50.150 mic"), ("cut", "small", "skirt dial 1 reads 60 0 50.1 mic")):
        said = run(club, *words, "--on", "2025-02-05", "--yes", status=1)
        assert "builds/small/instruments.yaml:2:" in said and "which gauge" not in said and "gauge drawer" not in said


def test_an_operation_learns_from_its_first_cut_how_it_is_cut(club):
    """A part from a starter says nothing of tools: without it no cut would teach the dial."""
    file = club / "builds" / "small" / "operations.yaml"
    file.write_text(
        file.read_text().replace(", machine: small, cutting: {tool: honed, depth: 0.1 mm, feed: 0.1 mm}", "")
    )
    said = cut(club, "skirt", "dial", "2.5", "reads", "20", "0", "50.046", "20c/20c", "mic", status=1)
    assert "Say --tool and --feed, once" in said
    said = cut(
        club,
        *["skirt", "dial", "2.5", "reads", "20", "0", "50.046", "20c/20c", "mic", "--tool", "honed", "--feed"],
        "0.1 mm",
    )
    assert "no operation says in which passes" not in said and "(1 cut like it is logged, 3 are needed)" in said
    assert "FINISH says from now on that it is cut so" in said and "   # slowly" in file.read_text()
    assert (of(club)[0].operations["FINISH"].cutting.tool, len(of(club)[0].cuts)) == ("honed", 1)
    with (club / "builds" / "small" / "cuts.yaml").open("a") as cuts:
        cuts.write("# below stands what comes\n")
    for divisions, size in (("1", "50.006"), ("0.8", "49.975")):
        cut(club, "skirt", "dial", divisions, "reads", "20", "0", size, "20c/20c", "--despite-doubts")
    assert (club / "builds" / "small" / "cuts.yaml").read_text().endswith("what comes\n")
    assert [plan.law_cuts for plan in of(club)[1].cut_plans] == [3], "the dial is learnt"


def test_a_size_misread_in_the_minute_of_its_cut_is_asked_about(club, monkeypatch):
    """What was read before and what was cut since are known though both have one time."""
    import datetime

    class Clock(datetime.datetime):
        @classmethod
        def now(cls, tz=None):
            return cls(2025, 2, 5, 19, 40)

    class Today(datetime.date):
        @classmethod
        def today(cls):
            return cls(2025, 2, 5)

    monkeypatch.setattr("gudgeon.commands.enter.datetime.datetime", Clock)
    monkeypatch.setattr("gudgeon.commands.options.datetime.date", Today)
    run(club, "enter", "small", "piston skirt 20 0 50.140 20c/20c mic by ada", "--yes")
    assert of(club)[0].rows[-1].time == "19:40"
    said = run(club, "cut", "small", "skirt dial 1 reads 20 0 50.000 20c/20c by ada", "--yes", status=1)
    assert "0.140 mm less; the cuts since took 0.040 mm" in said
    run(club, "cut", "small", "skirt dial 1 reads 20 0 50.100 20c/20c by ada", "--yes")
    said = run(club, "cut", "small", "skirt dial 1 reads 20 0 49.960 20c/20c by ada", "--yes", status=1)
    assert "0.140 mm less; the cuts since took 0.040 mm" in said, "of the second cut too"


def test_what_is_found_goes_behind_a_note_of_several_lines(club):
    file = club / "builds" / "small" / "operations.yaml"
    block = "  FINISH:\n    part: piston\n    does: finish skirt\n    note: |\n      first line\n      second line\n\n    # for later\n    changes: [piston.skirt]\n"
    file.write_text("operations:\n" + block + FILES["operations.yaml"].partition("operations:\n")[2])
    run(club, "done", "small", "FINISH", "--found", "chatter at\nthe end", "--on", "2025-02-05", "--yes")
    assert "      second line\n      chatter at the end\n\n    # for later\n" in file.read_text()
    assert of(club)[0].operations["FINISH"].note == "first line\nsecond line\nchatter at the end\n"


def test_done_tells_that_nothing_was_measured_and_where_the_fits_stand(club):
    file = club / "builds" / "small" / "operations.yaml"
    file.write_text(file.read_text() + "  MAP: {part: piston, does: map the skirt, needs: [TURN]}\n")
    said = run(club, "done", "small", "MAP", "--on", "2025-03-01", "--yes")
    assert "Nothing of Piston" not in said, "s1 was read after what it needs"
    said = run(club, "done", "small", "FINISH", "--on", "2025-03-02", "--yes")
    assert f"Skirt in bore (F1): stale: {MEANS['stale']}." in said
    said = run(
        club,
        "enter",
        "small",
        "skirt 20 0 49.945 20c/20c mic by ada",
        "--on",
        "2025-03-03",
        "--yes",
        "--despite-doubts",
    )
    fit = next(iter(of(club)[1].fits.values()))
    assert f"({fit.id}): {fit.state}; " in said and "wanted" in said


def test_done_tells_that_nothing_was_measured(club):
    file = club / "builds" / "small" / "operations.yaml"
    file.write_text(file.read_text() + "  MAP: {part: piston, does: map the skirt, needs: [TURN]}\n")
    (club / "builds" / "small" / "readings" / "2025-02-04-skirt.yaml").unlink()
    said = run(club, "done", "small", "MAP", "--on", "2025-03-01", "--yes")
    assert "Nothing of Piston was read: its places stay as they were before." in said


@pytest.mark.parametrize("with_default", [True, False])
def test_an_answer_that_nobody_can_give_is_its_default_or_named(club, with_default):
    words = ["new", "part", "small", "p2", *(["--family", "piston"] if with_default else ["--material", "grey-iron"])]
    said = run(club, *words, type_in="", status=0 if with_default else 2)
    assert "Aborted" not in said and ("Written" in said if with_default else "say --family" in said)


def test_passes_are_taken_one_after_the_other_and_one_that_is_refused_ends_nothing(club):
    """Without a line: a pass each; a line that begins with the dial is of the feature before it."""
    lines = "skirt dial 2.5 reads 20 0 50.046 20c/20c mic by ada\ndial 1 reads 60.006 by ada\n\ndial 1 reads 50.006 by ada\nq\nx\n"
    said = run(club, "cut", "small", "--on", "2025-02-05", "--yes", type_in=lines, status=1)
    assert [float(made.asked) for made in of(club)[0].cuts] == [0.1, 0.04] and said.count("Written to") == 2
    assert "Not written: 60.006 mm is far from" in said
    assert float(of(club)[0].rows[-1].reads[0]) == 50.006


def test_a_pass_is_of_the_next_operation_that_cuts_and_not_of_a_stress_relief(club):
    file = club / "builds" / "small" / "operations.yaml"
    relief = "  # the last cuts\n  HEAT: {part: piston, does: stress relieve, needs: [TURN], changes: ['piston.*']}\n"
    file.write_text(
        file.read_text()
        .replace("  # the last cuts\n", relief)
        .replace("needs: [TURN], changes: [piston.skirt]", "needs: [HEAT], changes: [piston.skirt]")
    )
    said = cut(club, "skirt", "dial", "1", "reads", "20", "0", "50.106", "20c/20c", "mic")
    assert (
        of(club)[0].cuts[0].operation == "FINISH"
        and "FINISH needs what is not done: HEAT; gudgeon done marks it" in said
    )


def test_what_stays_the_same_is_told_once_in_a_run_and_what_makes_scrap_each_time(club):
    lines = "piston skirt 60 0 50.150 20c/20c mic\n20 0 50.150\n40 0 50.150\n"
    said = run(club, "enter", "small", "--on", "2025-02-05", "--yes", "--despite-doubts", type_in=lines)
    assert said.count("What the dial really takes is not known") == 1 and said.count("some place read is scrap") == 3
