"""Edits to the demonstration build, each with what the slip must say. An earlier review said "No number moves" to most of them."""

import re
import shutil
import subprocess

import pytest
from club_repo import ENV, review
from conftest import whole_shelf
from gudgeon.review.as_markdown import ROWS, rows_on_a_phone, slip_markdown
from gudgeon.review.as_text import MOST, details_text, slip_text
from small_build import ROOT

pytestmark = pytest.mark.slow  # a review of the whole demonstration build for every edit
POND = "builds/harrow-pond"


class Pond:
    """The demonstration build in a repository of its own, put back after every edit."""

    def __init__(self, root):
        self.root = root
        whole_shelf(root)
        shutil.copytree(ROOT / POND, root / POND)
        self.file(
            f"{POND}/reviews.yaml",
            (root / POND / "reviews.yaml").read_text()
            + "  - {date: 2025-03-20, who: pru, verdict: changes asked, about: [A-F01], says: 'read the skirt hot first'}\n",
        )
        self.git("init", "-q", "-b", "main")
        self.git("add", "-A")
        self.git("commit", "-q", "-m", "as it is")
        self.as_it_is = self.git("rev-parse", "HEAD").strip()

    def git(self, *words):
        return subprocess.run(
            ["git", *words], cwd=self.root, env=ENV, check=True, capture_output=True, text=True
        ).stdout

    def file(self, name, text):
        path = self.root / name
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_text(text, encoding="utf-8")

    def change(self, name, pattern, new):
        text = (self.root / name).read_text(encoding="utf-8")
        changed, times = re.subn(pattern, new, text, count=1, flags=re.MULTILINE | re.DOTALL)
        assert times == 1 and changed != text, f"{pattern!r} is not in {name}"
        self.file(name, changed)

    def back(self):
        self.git("reset", "-q", "--hard", self.as_it_is)
        self.git("clean", "-qfd")


@pytest.fixture(scope="module")
def pond(tmp_path_factory):
    root = tmp_path_factory.mktemp("pond") / "club"
    root.mkdir()
    return Pond(root)


@pytest.fixture(autouse=True)
def put_back(pond):
    yield
    pond.back()


def read(of, reads, gauge, more=""):
    def edit(pond):
        pond.file(
            f"{POND}/readings/2025-04-20-new.yaml",
            "rows:\n"
            f"  - {{id: a900, date: 2025-04-20, by: odette, of: {of}, gauge: {gauge}, reads: {reads}, "
            f"part_temp: 15 °C, gauge_temp: 15 °C{more}}}\n",
        )

    return edit


def change(name, pattern, new):
    return lambda pond: pond.change(name, pattern, new)


def remove_own_caution(pond):
    """One that only the club has: in place of another that is taken out, the tool's of that name stands again."""
    text = (pond.root / "docs/knowledge/cautions/flywheel-bursts.yaml").read_text(encoding="utf-8")
    pond.file("docs/knowledge/cautions/our-wheel.yaml", text.replace("caution: flywheel-bursts", "caution: our-wheel"))
    pond.git("add", "-A")
    pond.git("commit", "-q", "-m", "a caution of our own")
    (pond.root / "docs/knowledge/cautions/our-wheel.yaml").unlink()


# What was done; (what the summary must say), (what it may not say).
EDITS = {
    "a reading puts a finished feature out": (
        read("crank.end_float", "0.0300 in", "feel"),
        [
            "1 size WENT OUT",
            "harrow-pond crank.end_float End float: NOW READS OUT of 0.0050 in to 0.0120 in",
            "new reading a900",
            "0.0300 in by odette with feel",
            "a058",
        ],
    ),
    "a reading at a planned place that decides the loose end of a fit": (
        read("crank.crankpin", "1.6224 in", "om12", ", station: 1.70 in, angle: 0 deg"),
        [
            "crank.crankpin Crankpin: NOW OUT of 1.6232 in to 1.6242 in",
            "least place 1.6236 in → 1.6224 in",
            "[−1.2 thou]",
            "A-F09 Big end: NOW OUT; 2.5 ± 0.5 thou (0.063 mm); should have 1.6 to 2.6 thou (0.041 to 0.066 mm); reads out → out",
        ],
    ),
    "a skirt with metal on is cut past its size, and the engine is to run faster": (
        lambda pond: (
            read("piston.skirt", "4.2420 in", "om45", ", station: 6.60 in, angle: 90 deg")(pond),
            pond.change(f"{POND}/build.yaml", r"speed: 420 rpm", "speed: 600 rpm"),
        ),
        [
            "1 fit WENT OUT, 2 dangers NOW PAST THE LIMIT",
            "A-F01 Skirt in bore: NOW OUT;",
            "metal on (out) → out",
            "Speed of the wheel's edge, run away (fly_l): NOW PAST THE LIMIT of 6000 ft/min; value 5278 ft/min → 7540 ft/min",
        ],
    ),
    "a figure of a danger is gone": (
        change(f"{POND}/figures.yaml", r"^  engine_mass: [^\n]*\n", ""),
        ["1 danger NO LONGER WORKED OUT", "over that of the engine (skid): NO LONGER WORKED OUT; value 3.438 → none"],
    ),
    "a reading is withdrawn": (
        lambda pond: pond.file(
            f"{POND}/readings/2025-04-20-new.yaml",
            "rows:\n  - {id: a900, withdraws: a052, because: wrong shims, date: 2025-04-20, by: odette}\n",
        ),
        [
            "1 fit NO LONGER HAS A READING",
            "1 reading no longer valid",
            "cause: a900 withdraws a052 (wrong shims)",
            "operation A-RUN-10: hold point Big end (A-F09): reads out → none, hold point none → Big end (A-F09)",
            "a052 (withdrawn: wrong shims",
        ],
    ),
    "the scale of an instrument": (
        change(f"{POND}/instruments.yaml", r"(om12:\n.*?scale: )0\.0001 in", r"\g<1>0.0009 in"),
        ["sizes moved", "instrument om12: scale 0.0001 in → 0.0009 in"],
    ),
    "how well the thermometer is known": (
        change(f"{POND}/build.yaml", r"within: 0\.5 K", "within: 20 K"),
        ["sizes moved", "thermometer wall: within 0.5 K → 20 K"],
    ),
    "the engine's speed": (
        change(f"{POND}/build.yaml", r"speed: 420 rpm", "speed: 440 rpm"),
        ["sums moved", "dangers moved", "engine's speed 420 rpm → 440 rpm"],
    ),
    "the compression ratio": (
        change(f"{POND}/build.yaml", r"compression_ratio: 4\.6", "compression_ratio: 7.6"),
        ["sums moved", "engine's compression ratio 4.6 → 7.6"],
    ),
    "the stroke": (
        change(f"{POND}/build.yaml", r"stroke: [\d./ -]+ in", "stroke: 3.0 in"),
        ["sums moved", "engine's stroke"],
    ),
    "the limits of a finished feature": (
        change(f"{POND}/parts/crank.yaml", r"limits: \[[^\]]*\]", "limits: [1.6100 in, 1.6300 in]"),
        ["1 size moved", "spec crank."],
    ),
    "the unit of the drawings": (
        change(f"{POND}/build.yaml", r"^units: in", "units: mm"),
        ["build.yaml: units in → mm"],
    ),
    "an objection is deleted": (
        change(f"{POND}/reviews.yaml", r"  - \{date: 2025-03-20, who: pru, verdict: changes asked.*?\}\n", ""),
        ["1 thing to put right before merging", "changes asked by pru, 2025-03-20: this verdict was deleted"],
    ),
    "an objection is turned into consent": (
        change(
            f"{POND}/reviews.yaml",
            r"who: pru, verdict: changes asked, about: \[A-F01\]",
            "who: pru, verdict: agreed, about: [A-F01]",
        ),
        ["1 thing to put right before merging", "this verdict was rewritten (verdict)"],
    ),
    "the text of a caution": (
        change("docs/knowledge/cautions/flywheel-bursts.yaml", r"^hazard: [^\n]*", "hazard: nothing to see"),
        ["1 caution reworded or removed", "flywheel-bursts", '" → "nothing to see"'],
    ),
    "a caution is removed": (
        remove_own_caution,
        ["Cautions no longer watched for", "our-wheel"],
    ),
    "an operation loses what it needs": (
        change(f"{POND}/operations.yaml", r"(A-PIS-100:\n.*?)needs: \[[^\]]*\]", r"\g<1>needs: []"),
        ["operation A-PIS-100: needs"],
    ),
    "an instrument is found off": (
        change(
            f"{POND}/instruments.yaml",
            r"  om12:\n",
            "  om12:\n    found_off: {reads_high: 0.001 in, found: 2025-03-30, since: 2025-01-01, how: against a club set}\n",
        ),
        [
            "1 instrument NOW FOUND OFF",
            "instrument om12 2025-03-30: NOW FOUND OFF; new: reads high 1.0 thou",
            "was read without a known error → ",
            "the same, as the error of om12 cancels",
            "cause: instrument om12: found off (reads 0.001 in high, 2025-03-30)",
        ],
    ),
    "what the next cut may take": (
        change(f"{POND}/operations.yaml", r"(A-PIS-100:\n.*?leave: )0.004 in", r"\g<1>0.0004 in"),
        ["cut A-PIS-100 piston.skirt"],
    ),
    "a nominal": (
        change(f"{POND}/parts/crank.yaml", r"(crankpin:\n.*?nominal: )[\d.]+ in", r"\g<1>1.6350 in"),
        ["spec crank.crankpin: nominal"],
    ),
    "a rule": (
        change("docs/knowledge/rules/A-R1.yaml", r"per_length: 0\.001", "per_length: 0.002"),
        ["rule A-R1: gives"],
    ),
    "an operation is finished": (
        change(f"{POND}/operations.yaml", r"  A-PIS-100:\n", "  A-PIS-100:\n    done: 2025-04-20\n"),
        ["operation A-PIS-100 done 2025-04-20", "no longer valid"],
    ),
    "the time of an evening": (
        change(f"{POND}/build.yaml", r"length: 120 min", "length: 360 min"),
        ["forecast", "build.yaml: evenings"],
    ),
}
WORDS_ALONE = {
    "the name of an instrument": change(f"{POND}/instruments.yaml", r"name: outside mic 4-5", "name: the big mic"),
    "the words of the build": change(f"{POND}/build.yaml", r"^stage: [^\n]*", "stage: nearly there"),
    "a person's task": change(f"{POND}/build.yaml", r"(odette: \{name: [^},]*)", r"\g<1> F."),
}


@pytest.mark.parametrize("edit", EDITS)
def test_what_the_slip_must_say(pond, edit):
    do, says = EDITS[edit]
    do(pond)
    slip = review(pond.root)
    text = slip_text(slip)
    assert len(text.splitlines()) <= MOST
    for words in says:
        assert words in text, text
    if "caution" not in edit:
        assert "No number moves" not in text and not slip.nothing_moved, text
    summary = slip_markdown(slip).partition("<details>")[0].strip()
    assert rows_on_a_phone(summary) <= ROWS, summary
    shown = [fit.alarm.upper() in summary and fit.id in summary for fit in slip.fits if fit.alarm]
    assert all(shown[:2]), "what turned for the worse is not left out of the phone's summary for something lighter"
    assert all(change.causes and not change.unproved for change in (*slip.fits, *slip.subjects)), details_text(slip)


@pytest.mark.parametrize("edit", WORDS_ALONE)
def test_words_alone_move_nothing_and_are_named(pond, edit):
    WORDS_ALONE[edit](pond)
    slip = review(pond.root)
    text = slip_text(slip)
    assert slip.nothing_moved and "No number moves. 1 file of records differ" in text
    assert "Changed, and moves nothing (1)" in text


def test_a_cause_is_told_with_how_much_it_made_and_words_are_never_one(pond):
    """Two readings, an instrument, a name: what each made of the move, worked out again here by putting it back by hand."""
    pond.file(
        f"{POND}/readings/2025-04-20-new.yaml",
        "every_row: {date: 2025-04-20, by: odette, part_temp: 15 °C, gauge_temp: 15 °C}\n"
        "rows:\n"
        "  - {id: a901, of: crank.end_float, gauge: feel, reads: 0.0100 in}\n",
    )
    pond.change(f"{POND}/instruments.yaml", r"(  feel:\n.*?    use: )[\d.]+ in", r"\g<1>0.0040 in")
    pond.change(f"{POND}/instruments.yaml", r"name: outside mic 4-5", "name: the big mic")
    slip = review(pond.root)
    (size,) = [change for change in slip.subjects if (change.subject, change.id) == ("feature", "crank.end_float")]
    assert {cause.record for cause in size.causes} == {"reading a901", "instrument feel"}
    assert [idle.record for idle in slip.idle] == ["instrument om45"]
    made = {cause.record: (cause.by, cause.expanded_by) for cause in size.causes}
    now = {value.label: value.now for value in size.values}
    (pond.root / POND / "readings/2025-04-20-new.yaml").unlink()
    without = review(pond.root, base="HEAD")
    assert not [change for change in without.subjects if (change.subject, change.id) == ("feature", "crank.end_float")]
    before = {value.label: value.was for value in size.values}
    assert made["reading a901"][0] == pytest.approx(now["size"] - before["size"], abs=1e-9)


def test_a_new_limit_that_was_never_worked_out_is_not_one_that_no_longer_is(pond):
    pond.change(
        "docs/knowledge/cautions/engine-walks.yaml",
        r"^(dangers:\n)",
        r"\1  - {figure: stud-clamp-ratio, under: '2', basis: common practice}\n",
    )
    slip = review(pond.root)
    (limit,) = [change for change in slip.subjects if change.subject == "danger"]
    assert limit.is_new and limit.alarm is None and "NO LONGER WORKED OUT" not in slip_text(slip)


def test_a_half_read_map_is_told_by_the_places_that_are_no_longer_missing(pond):
    read("crank.crankpin", "1.6238 in", "om12", ", after: A-CRK-60, station: 1.70 in, angle: 0 deg")(pond)
    assert "missing cells no longer station 1.70 in 0°" in slip_text(review(pond.root))


def test_files_outside_the_records_are_named(pond):
    pond.file("start.py", "import os\n")
    pond.file(".github/workflows/publish.yml", "on: push\n")
    pond.file("mkdocs.yml", "plugins: [gudgeon]\n")
    text = slip_text(review(pond.root))
    assert "No number moves. The records are the same. 3 files outside the records." in text
    assert "Files outside the records (3): .github/workflows/publish.yml; mkdocs.yml; start.py" in text


def test_who_commits_a_verdict_of_somebody_else_is_named(pond):
    pond.git("checkout", "-q", "-b", "work")
    try:
        with (pond.root / POND / "reviews.yaml").open("a", encoding="utf-8") as file:
            file.write("  - {date: 2025-04-20, who: pru, verdict: agreed, about: [A-F01], says: fine by me}\n")
        pond.git("commit", "-qam", "pru agrees")
        text = slip_text(review(pond.root))
        assert "agreed by pru, 2025-04-20, on A-F01, COMMITTED BY Ada <ada@example.org>" in text
    finally:
        pond.git("checkout", "-q", "main")


def test_a_build_that_the_tool_cannot_work_out_is_not_said_to_have_stood_still(pond, monkeypatch):
    from gudgeon.project import project

    def fails(build, knowledge):
        raise ZeroDivisionError("float division by zero")

    pond.change(f"{POND}/build.yaml", r"speed: 420 rpm", "speed: 440 rpm")
    monkeypatch.setattr(project, "assess", fails)
    slip = review(pond.root)
    text = slip_text(slip)
    assert "1 thing to put right before merging, 1 build not worked out" in text and "ZeroDivisionError" in text
    assert "No number moves" not in text and "No fit moved" not in text
