"""Golden review slips: what a slip says of one edit, in text, Markdown, JSON and SARIF, over the small club.

Set GUDGEON_WRITE_GOLDEN=1 to write the slips anew; read every line of the change before it is kept.
"""

import json
import os
import re
from pathlib import Path
from typing import get_args

import jsonschema
import pytest
from click.testing import CliRunner
from club_repo import ClubRepo, review
from gudgeon.cli import main
from gudgeon.review.as_markdown import ROWS, rows_on_a_phone, slip_markdown
from gudgeon.review.as_sarif import RULES, slip_sarif
from gudgeon.review.as_text import MOST, details_text, slip_text
from gudgeon.review.phrases import in_order
from gudgeon.review.slip import BlockerKind, Cause, ReviewSlip

HERE = Path(__file__).parent
GOLDEN = HERE / "golden"
SARIF = jsonschema.Draft202012Validator(
    json.loads((HERE / "sarif" / "sarif-schema-2.1.0.json").read_text(encoding="utf-8")),
    format_checker=jsonschema.FormatChecker(),
)
ATTACK = "<script>x()</script> **b** [a](javascript:x) @everyone | `c` https://evil.example/ www.evil.example"


def finish_cut(repo):
    repo.change(
        "builds/small/operations.yaml",
        "operations:\n",
        "operations:\n  LAST: {part: piston, does: finish the skirt, needs: [TURN], changes: [piston.skirt], done: 2025-02-18, estimate: [20 min, 30 min, 60 min], took: 40 min}\n  FIT: {part: piston, does: try it in the bore, needs: [LAST], estimate: [10 min, 20 min, 30 min]}\n",
    )
    repo.read("s2", "49.944", more=", after: LAST")


def nothing_but_a_note(repo):
    repo.change("builds/small/build.yaml", "stage: finishing", "stage: nearly done")


def puts_a_reading_right(repo):
    repo.read("s2", "49.951", more=", after: TURN, supersedes: s1, part_temp: 26 °C")


def rule_edited(repo):
    repo.change("docs/knowledge/rules/R1.yaml", "[0.001, 0.0016]", "[0.0014, 0.0016]")


def material_edited(repo):
    repo.change("builds/twin/materials.yaml", "11.0e-6", "12.5e-6")


def instrument_edited(repo):
    repo.change("builds/small/instruments.yaml", "use: 0.003 mm", "use: 0.012 mm")


def temperature_case_edited(repo):
    repo.change("builds/small/build.yaml", "shaft: 150 °C", "shaft: 280 °C")


def caution_cleared(repo):
    temperature_case_edited(repo)
    repo.commit("it closes up hot")
    repo.git("branch", "-f", "main")
    repo.change("builds/small/build.yaml", "shaft: 280 °C", "shaft: 150 °C")


def conceded(repo):
    repo.change("builds/small/fits.yaml", "rule: R1", "rule: R1, want: [0.080 mm, 0.090 mm]")
    repo.file(
        "builds/small/reviews.yaml",
        "reviews:\n  - {date: 2025-02-22, who: ada, verdict: concession, about: [F1], says: let it stand, allow: [0.050 mm, 0.090 mm], recheck: 2025-12-01}\n",
    )


def reading_edited(repo):
    repo.change("builds/small/readings/2025-02-04-skirt.yaml", "49.945", "49.955")


def hostile_text(repo):
    repo.change("builds/small/fits.yaml", "name: Skirt in bore", f"name: '{ATTACK}'")
    repo.read("s2", "49.951", more=f", note: '{ATTACK}'")


def broken_record(repo):
    repo.change("builds/small/fits.yaml", "kind: skirt", "kind: shirt")


def numbers_told(repo):
    """0.065 mm it was from 4 February on; on the 3rd the skirt had not been read."""
    for number, day, text in (
        (1, "2025-02-03", "[0.065 mm](fit:F1)"),
        (2, "2025-02-05", "[0.065 mm](fit:F1), I thought [0.060 mm](fit:F1)"),
    ):
        repo.file(
            f"builds/small/log/{number:02}-told.md",
            f"---\nnumber: {number}\ntitle: Told\ndate: {day}\nby: ada\n---\nIt came to {text}.\n",
        )


CASES = {
    each.__name__.replace("_", "-"): each
    for each in (
        finish_cut,
        nothing_but_a_note,
        puts_a_reading_right,
        rule_edited,
        material_edited,
        instrument_edited,
        temperature_case_edited,
        caution_cleared,
        conceded,
        reading_edited,
        hostile_text,
        broken_record,
        numbers_told,
    )
}


@pytest.fixture(scope="module")
def slips(tmp_path_factory):
    """The slip of each case, worked out once."""
    found = {}

    def of(case: str) -> ReviewSlip:
        if case not in found:
            repo = ClubRepo(tmp_path_factory.mktemp("club") / "club")
            repo.git("checkout", "-q", "-b", "work")
            CASES[case](repo)
            found[case] = review(repo.root)
        return found[case]

    return of


@pytest.mark.parametrize("case", CASES)
def test_golden_slips(case, slips):
    slip = slips(case)
    written = {
        "txt": slip_text(slip) + "\n" + details_text(slip),
        "md": slip_markdown(slip, "https://forge.example/club/blob/0123abc/"),
    }
    for ending, text in written.items():
        text = re.sub(r"\b[0-9a-f]{9}\b", "a revision", text)
        expected = GOLDEN / f"{case}.{ending}"
        if os.environ.get("GUDGEON_WRITE_GOLDEN"):
            GOLDEN.mkdir(exist_ok=True)
            expected.write_text(text, encoding="utf-8")
        assert text == expected.read_text(encoding="utf-8")


@pytest.mark.parametrize("case", CASES)
def test_a_slip_keeps_to_fifteen_lines_and_its_summary_to_one_screen_of_a_phone(case, slips):
    slip = slips(case)
    assert len(slip_text(slip).splitlines()) <= MOST == 15
    assert rows_on_a_phone(slip_markdown(slip).partition("<details>")[0].strip()) <= ROWS


def test_forty_fits_keep_to_fifteen_lines_and_none_is_lost(slips):
    slip = slips("finish-cut")
    many = slip.model_copy(
        update={
            "fits": [slip.fits[0].model_copy(update={"id": f"X{each}"}) for each in range(40)],
            "cautions_new": slips("temperature-case-edited").cautions_new,
        }
    )
    text = slip_text(many)
    assert len(text.splitlines()) <= MOST and "more changes: --details shows them all" in text
    assert all(f"small X{each} " in details_text(many) for each in range(40))
    summary, _, detail = slip_markdown(many).partition("<details>")
    assert rows_on_a_phone(summary.strip()) <= ROWS and "more in the detail below" in summary
    assert all(f"small X{each} " in detail for each in range(40))


@pytest.mark.slow
@pytest.mark.parametrize("case", CASES)
def test_sarif_is_valid_by_the_published_schema(case, slips):
    log = json.loads(json.dumps(slip_sarif(slips(case))))
    SARIF.validate(log)
    results = log["runs"][0]["results"]
    rules = [each["id"] for each in log["runs"][0]["tool"]["driver"]["rules"]]
    assert all(rules[each["ruleIndex"]] == each["ruleId"] in RULES for each in results)
    assert bool(results) is (case != "nothing-but-a-note")
    if case == "finish-cut":  # at the line that the request adds, and not at a fit that it does not touch
        uris = {at["physicalLocation"]["artifactLocation"]["uri"] for each in results for at in each["locations"]}
        assert not any("fits.yaml" in uri for uri in uris) and any("readings/" in uri for uri in uris)


def test_the_schema_check_can_fail(slips):
    log = slip_sarif(slips("finish-cut"))
    log["runs"][0]["results"][0]["level"] = "terrible"
    assert not SARIF.is_valid(json.loads(json.dumps(log)))


@pytest.mark.slow
@pytest.mark.parametrize("case", CASES)
def test_json_comes_back_as_it_went(case, slips):
    slip = slips(case)
    assert ReviewSlip.model_validate_json(slip.model_dump_json()) == slip


def test_a_rule_lists_every_fit_in_every_build(slips):
    slip = slips("rule-edited")
    assert [(each.build, each.id) for each in slip.fits] == [("small", "F1"), ("twin", "F1")]
    assert all(
        [cause.says for cause in each.causes]
        == ["rule R1: gives 0.001 to 0.0016 of the size → 0.0014 to 0.0016 of the size"]
        for each in slip.fits
    )


@pytest.mark.parametrize(
    ("case", "cause"),
    [
        ("finish-cut", ["new reading s2", "new operation LAST"]),
        (
            "puts-a-reading-right",
            ["new reading s2, puts s1 right (reads 49.945 mm → 49.951 mm, part temp 20 °C → 26 °C)"],
        ),
        ("material-edited", ["material ci: cte 11e-6 → 12.5e-6"]),
        ("instrument-edited", ["instrument mic: use 0.003 mm → 0.012 mm"]),
        ("temperature-case-edited", ["temperature case hot: shaft 150 °C → 280 °C"]),
        ("conceded", ["fit F1: want nothing → 0.080 mm to 0.090 mm", "concession by ada, 2025-02-22"]),
        ("hostile-text", ["new reading s2"]),  # that the fit's name was changed too moved nothing
    ],
)
def test_the_cause_is_the_record_that_changed(case, cause, slips):
    assert [[one.says for one in fit.causes] for fit in slips(case).fits] == [cause]


def test_the_numbers_are_those_of_the_records(slips):
    """Worked out again by hand: bore 50.010 at its smallest, both at 20 °C; the skirt as read."""
    (fit,) = slips("finish-cut").fits
    assert fit.was.clearance == pytest.approx(50.010 - 49.945) and fit.now.clearance == pytest.approx(50.010 - 49.944)
    assert [each.rows for each in fit.now.at] == [["b1"], ["s2"]]
    hot = 50.010 * (1 + 11e-6 * 80) - 49.944 * (1 + 11e-6 * 130)
    assert fit.now.hot_least == pytest.approx(hot, abs=1e-9) and fit.now.hot_case == "hot"
    (work,) = slips("finish-cut").work
    assert work.ready == ["FIT"] and work.was == 0 and work.now == pytest.approx((10 + 4 * 20 + 30) / 6)
    assert [each.row for each in slips("finish-cut").stale] == ["s1"]
    (caution,) = slips("temperature-case-edited").cautions_new
    assert (caution.kind, caution.about) == ("hot", "F1")
    (cleared,) = slips("caution-cleared").cautions_cleared
    assert (cleared.kind, cleared.about) == ("hot", "F1") and slips("caution-cleared").cautions_new == []
    (was_and_now,) = slips("rule-edited").fits[:1]
    assert (was_and_now.was.want_low, was_and_now.now.want_low) == (
        pytest.approx(0.05),
        pytest.approx(0.0014 * 50),
    )


def test_a_number_is_told_with_its_instalment_and_not_when_a_later_record_moves_it(slips, tmp_path):
    told = slips("numbers-told").told_otherwise
    assert [(one.instalment, one.says, one.source.line, one.column) for one in told] == [
        ("01-told", "0.065 mm", 7, 23),
        ("02-told", "0.060 mm", 7, 53),
    ]
    repo = ClubRepo(tmp_path / "club")
    numbers_told(repo)
    repo.commit("the story")
    repo.read("s2", "49.951", more=", after: TURN, supersedes: s1")
    slip = review(repo.root, base="HEAD")
    assert slip.fits and not slip.told_otherwise


def test_hostile_text_has_no_markup_left(slips):
    text = slip_markdown(slips("hostile-text"), "https://forge.example/")
    for bad in ("<script", "**b**", "](javascript", "@everyone", "`c`", "https://evil", "www.evil", "| `"):
        assert bad not in text
    assert not any(line.startswith("|") for line in text.splitlines())  # no table: it does not fit a phone


def test_a_kept_slip_is_written_anew_and_a_forged_one_refused(slips, tmp_path):
    slip = slips("finish-cut")
    (tmp_path / "slip.json").write_text(slip.model_dump_json())
    run = CliRunner()
    done = run.invoke(main, ["review", "--again", str(tmp_path / "slip.json"), "--form", "markdown"])
    assert done.exit_code == 0 and done.stdout == slip_markdown(slip)
    for text in ("[" * 100_000, "{}", "\xff", slip.model_dump_json().replace('"build":', '"<b>":')):
        (tmp_path / "slip.json").write_text(text)
        done = run.invoke(main, ["review", "--again", str(tmp_path / "slip.json")])
        assert done.exit_code == 1 and "this is no review slip" in done.stderr and "Traceback" not in done.output


def test_no_verdict_is_computed(slips):
    for case in CASES:
        text = slip_text(slips(case)) + slip_markdown(slips(case))
        assert "approve" not in text.lower() and ("agreed" not in text or slips(case).reviews)


def test_a_long_list_of_causes_is_counted_in_the_summary_and_whole_in_the_detail(slips):
    slip = slips("finish-cut")
    says = [*(f"new reading q{each}" for each in range(30)), *(f"operation O{each} done" for each in range(9))]
    causes = [Cause(record=each, says=each, together_with=[], by=None, expanded_by=None, source=None) for each in says]
    slip = slip.model_copy(update={"fits": [slip.fits[0].model_copy(update={"causes": causes})]})
    assert "new reading q0; new reading q1; new reading q2; new reading q3; and 35 more" in slip_text(slip)
    assert "q29" in details_text(slip) and "operation O8 done" in details_text(slip)
    summary, _, detail = slip_markdown(slip).partition("<details>")
    assert "q29" not in summary and "q29" in detail


def test_the_tightest_of_several_hot_cases_is_told(tmp_path):
    repo = ClubRepo(tmp_path / "club")
    repo.change("builds/small/build.yaml", "cases:\n", "cases:\n  warm: {hole: 60 °C, shaft: 60 °C}\n")
    repo.change("builds/small/fits.yaml", "hot: [hot]", "hot: [warm, hot]")
    repo.commit("two cases")
    repo.read("s2", "49.951", more=", after: TURN, supersedes: s1")
    (fit,) = review(repo.root).fits
    assert fit.now.hot_case == "hot"
    assert fit.now.hot_least == pytest.approx(50.010 * (1 + 11e-6 * 80) - 49.951 * (1 + 11e-6 * 130), abs=2e-4)


def test_a_note_that_moved_is_told_once_and_by_its_sentence(tmp_path):
    repo = ClubRepo(tmp_path / "club")
    repo.change("builds/small/operations.yaml", "done: 2025-02-03, ", "")
    repo.change("builds/small/instruments.yaml", "use: 0.003 mm", "use: 0.012 mm")
    slip = review(repo.root, base="HEAD")
    values = {change.id: change.values for change in slip.subjects if change.build == "small"}
    (why,) = [value for value in values["TURN"] if value.label.startswith("why")]
    assert (why.label, why.was, why.now) == ("why", "done on 2025-02-03", "all that it needs is done")
    (fit,) = [fit for fit in slip.fits if fit.build == "small"]
    assert [label for label in fit.moved if label.startswith("advice")] == ["advice coarse-for-want"]


def test_two_needs_that_an_operation_did_not_wait_for_are_two_cautions(tmp_path):
    repo = ClubRepo(tmp_path / "club")
    more = "operations:\n  CAST: {part: piston, does: cast it}\n"
    repo.change("builds/small/operations.yaml", "operations:\n", more)
    repo.change("builds/small/operations.yaml", "done: 2025-02-01, ", "")
    repo.change("builds/small/operations.yaml", "needs: [BORE]", "needs: [BORE, CAST]")
    new = [caution.says for caution in review(repo.root, base="HEAD").cautions_new if caution.about == "TURN"]
    assert [need for need in ("BORE", "CAST") if any(f"but {need}, which it needs" in says for says in new)] == [
        "BORE",
        "CAST",
    ]


def test_what_asks_for_a_look_stands_first_and_the_likeliest_to_hurt_before_the_others(slips):
    (fit,) = slips("finish-cut").fits
    made = [
        fit.model_copy(
            update={"id": name, "now": fit.now.model_copy(update={"look": look, "chance_dangerous": chance})}
        )
        for name, look, chance in (
            ("calm", False, 0.01),
            ("risky", False, 0.2),
            ("asks", True, 0.0),
            ("asks-more", True, 0.5),
        )
    ]
    slip = slips("finish-cut").model_copy(update={"fits": made})
    assert [each.id for each in in_order(slip)] == ["asks-more", "asks", "risky", "calm"]


@pytest.mark.parametrize(
    "forge",
    [
        lambda slip: slip["fits"][0].update(was=None, now=None),
        lambda slip: slip["fits"][0]["now"].update(expanded=None),
        lambda slip: slip["fits"][0]["now"].update(hot_case=None),
        lambda slip: slip["fits"][0]["now"].update(clearance=1e300),
        lambda slip: slip["fits"][0]["now"].update(chance_out=7),
        lambda slip: slip["fits"][0].update(name="red \x1b[31m"),
        lambda slip: slip["work"][0].update(now=None),
        lambda slip: slip.update(html="<b>"),
    ],
)
def test_a_forged_slip_is_refused_in_words(slips, tmp_path, forge):
    slip = json.loads(slips("finish-cut").model_dump_json())
    forge(slip)
    (tmp_path / "slip.json").write_text(json.dumps(slip))
    for form in ("text", "markdown", "sarif"):
        done = CliRunner().invoke(main, ["review", "--again", str(tmp_path / "slip.json"), "--form", form])
        assert done.exit_code == 1 and "this is no review slip" in done.stderr and done.stdout == ""


def test_every_kind_of_blocker_has_a_rule_of_the_log():
    assert {kind.replace(" ", "-") for kind in get_args(BlockerKind)} <= set(RULES)
