"""`gudgeon withdraw`: what was entered by mistake stays, with the reason, and no longer counts; what moves by it is told."""

import pytest
from click.testing import CliRunner
from gudgeon.assess.build import assess
from gudgeon.assess.due import due_on
from gudgeon.cli import main
from gudgeon.records.load_build import load_build
from small_build import FILES, ROOT, shelf, write

CUTS = """\
cuts: [{id: c1, date: 2025-02-03, of: piston.skirt, machine: big, asked: 0.1 mm, got: 0.1 mm, tool: honed, feed: 0.1 mm}]
"""
RUNS = """\
runs:
  - {date: 2025-03-01, hours: 60 min}
  - {id: evening, date: 2025-03-02, hours: 2 h}
  - {date: 2025-03-02, hours: 1 h}
# more to come
"""
MACHINE = (
    "machines:\n  big: {name: Lathe, speeds: [50 rpm], feeds: [0.1 mm], dial_reads: radius, dial_division: 0.02 mm}\n"
)
HEAD = FILES["build.yaml"] + "upkeep:\n  head: {does: tighten it again, every: 2 h}\n"


@pytest.fixture
def club(tmp_path):
    (tmp_path / "docs").mkdir()
    (tmp_path / "docs" / "knowledge").symlink_to(ROOT / "docs" / "knowledge")
    write(tmp_path / "builds" / "small", cuts=CUTS, running=RUNS, machines=MACHINE, build=HEAD)
    return tmp_path


def withdraw(club, name, *words, status=0):
    given = ["withdraw", "small", name, "--because", "entered by mistake", "--on", "2025-03-05", "--by", "ada", *words]
    done = CliRunner().invoke(main, [*given, "--root", str(club)])
    assert done.exit_code == status, done.output
    return done.output


def of(club):
    build = load_build(club / "builds" / "small", "builds/small", shelf())
    assert build.problems == [], build.problems
    return build


def test_a_reading_no_longer_counts_and_what_moves_is_told(club):
    before = (club / "builds/small/readings/2025-02-04-skirt.yaml").read_text()
    assert "Say --yes" in withdraw(club, "s1", status=1) and of(club).withdrawn == {}, "nobody was asked"
    said = withdraw(club, "S1", "--yes")
    assert "Row s1 of piston.skirt, station 20.0 mm: 49.945 mm, mic, 2025-02-04, by ada." in said
    assert "Skirt (piston.skirt): was 49.945 mm, " in said and "; now no size, no reading." in said
    assert "Skirt in bore (F1): was 0.065 mm, in; now no clearance, no reading." in said
    build = of(club)
    assert build.withdrawn["s1"].because == "entered by mistake" and build.withdrawn["s1"].id.startswith("ad01-")
    assert (club / "builds/small/readings/2025-02-04-skirt.yaml").read_text() == before, "the row stays as it was"
    assert 's1 is withdrawn already: "entered by mistake"' in withdraw(club, "s1", "--yes", status=1)


def test_a_cut_and_a_run_too_however_their_files_are_laid_out(club):
    withdraw(club, "c1", "--yes")
    assert of(club).standing_cuts == ()
    said = withdraw(club, "2025-03-01", "--yes")
    assert "The engine ran 240 min by the log, now 180 min." in said
    assert (club / "builds/small/running.yaml").read_text().endswith("# more to come\n")
    assert "2 runs are of 2025-03-02" in withdraw(club, "2025-03-02", "--yes", status=1)
    assert "now 60 min" in withdraw(club, "evening", "--yes")
    assert "is withdrawn already" in withdraw(club, "evening", "--yes", status=1)
    build = of(club)
    assert [run.hours.text for run in build.standing_runs] == ["1 h"]
    (due,) = [due for due in due_on(build, build.newest_date) if due.kind == "upkeep"]
    assert (due.run, due.state, assess(build, shelf()).running.runs) == (60, "coming", 1)


@pytest.mark.parametrize(
    ("name", "said"),
    [("evning", "Did you mean"), ("zzz", 'no reading, cut, run or outcome "zzz"'), ("b1", "has put b1 right")],
)
def test_what_does_not_count_or_is_not_there_is_refused(club, name, said):
    path = club / "builds/small/readings/2025-02-02-bore.yaml"
    path.write_text(path.read_text() + "  - {id: b3, supersedes: b1, station: 10 mm, angle: 0 deg, reads: 50.011 mm}\n")
    assert said in withdraw(club, name, "--yes", status=1)


def test_a_withdrawal_of_several_runs_or_of_none_is_a_problem(tmp_path):
    more = "".join(
        f"  - {{date: 2025-03-05, by: ada, withdraws: {name}, because: x}}\n" for name in ("2025-03-02", "2025-03-09")
    )
    folder = write(tmp_path / "small", running=RUNS.replace("# more to come\n", more), machines=MACHINE, build=HEAD)
    told = [str(problem) for problem in load_build(folder, "builds/small", shelf()).problems]
    assert 'runs are of "2025-03-02"' in told[0] and 'no run of this id or day "2025-03-09"' in told[1]
