"""An outcome in a line at the bench, and the command that writes it down."""

import pytest
from click.testing import CliRunner
from gudgeon.cli import main
from gudgeon.entry.outcome_line import OutcomeSaid, read_outcome
from gudgeon.entry.sizes import NotClear
from gudgeon.records.load_build import load_build
from small_build import ROOT, bent, shelf, write


@pytest.mark.parametrize(
    ("line", "said"),
    [
        ("ran free 40 h", OutcomeSaid("ran_free", "40 h", None, None)),
        ("Ran free for 1 1/2 hours", OutcomeSaid("ran_free", "1 1/2 h", None, None)),
        ("still running", OutcomeSaid("running", None, None, None)),
        ("nipped after 20 min at 0.003 in", OutcomeSaid("nipped", "20 min", "0.003 in", None)),
        ("came loose with -0.02 mm, at  full load", OutcomeSaid("came_loose", None, "-0.02 mm", "at full load")),
        ("worn out 900 hrs", OutcomeSaid("worn_out", "900 h", None, None)),
        ("tight, ran hot for 3 h", OutcomeSaid("tight", None, None, "ran hot for 3 h")),
    ],
)
def test_a_line_is_read_in_its_forms(line, said):
    assert read_outcome(line) == said


@pytest.mark.parametrize(
    ("line", "told"),
    [
        ("", "is no outcome"),
        ("niped 4 h", 'Did you mean "nipped"'),
        ("ran free 40", "hours with their unit"),
        ("nipped at 0.003", "clearance"),
        ("nipped at 3 bananas", "bananas"),
        ("ran free 4 h 5 h", '"5 h" is neither'),
        ("ran free 4,5 h", "neither a time"),
    ],
)
def test_what_is_not_clear_is_asked_and_never_guessed(line, told):
    with pytest.raises(NotClear, match=told):
        read_outcome(line)


@pytest.fixture
def club(tmp_path):
    (tmp_path / "docs").mkdir()
    (tmp_path / "docs" / "knowledge").symlink_to(ROOT / "docs" / "knowledge")
    runs = "runs:\n  - {date: 2025-02-10, hours: 11 h}\n"
    write(tmp_path / "builds" / "small", running=runs, fits=bent("fits.yaml", "because: test,", "rule: A-R1,"))
    return tmp_path


def new(club, *words, status=0):
    done = CliRunner().invoke(main, ["new", "outcome", "small", *words, "--root", str(club)])
    assert done.exit_code == status, done.output
    return done.output


def test_the_command_writes_it_down_and_tells_what_it_is_evidence_of(club):
    said = new(club, "f1", "nipped, at full load", "--on", "2025-02-12")
    assert "F1: nipped, after 11 h, with 0.065 mm." in said and "It counts for rule A-R1." in said
    said = new(club, "F1", *["ran", "free", "2", "h", "at", "0.01", "mm", "by", "ada"], "--on", "2025-02-14")
    assert "It does not count for rule A-R1: it ran with 0.010 mm, outside what was wanted by the rule." in said
    assert "It is evidence of no rule" in new(club, "piston", "scuffed", "--on", "2025-02-15")
    build = load_build(club / "builds/small", "builds/small", shelf())
    assert build.problems == [] and [(one.about, one.result, one.by) for one in build.outcomes] == [
        ("F1", "nipped", "ada"),
        ("F1", "ran_free", "ada"),
        ("piston", "scuffed", "ada"),
    ]
    assert build.outcomes[0].note == "at full load"


@pytest.mark.parametrize(
    ("words", "told"),
    [
        (("F9", "nipped"), 'no fit, feature or part "F9"'),
        (("F1", "nipped", "--by", "eve"), 'no person "eve"'),
        (("F1", "nipped", "--rule", "Z-9"), 'no rule "Z-9"'),
        (("F1", "nipped", "--on", "2999-01-01"), "still to come"),
        (("F1", "fine"), "is no outcome"),
        (("F1", "nipped \x1b[31mred"), "[31mred"),
    ],
)
def test_what_does_not_do_writes_nothing(club, words, told):
    output = new(club, *words, status=1)
    assert told in output and "\x1b" not in output
    assert not (club / "builds/small/outcomes.yaml").exists()
