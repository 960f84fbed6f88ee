"""Nobody's reading or verdict goes unseen: what is withdrawn or renamed as it should be is told, what only goes is an error."""

import pytest
from club_repo import ClubRepo, review
from gudgeon.records.cuts import Cut
from gudgeon.records.edits import Edit
from gudgeon.records.running import Run, RunWithdrawal
from gudgeon.review.as_text import details_text, slip_text
from gudgeon.review.edited_records import in_words, name_in_words

VERDICT = "reviews:\n  - {date: 2025-02-22, who: ada, verdict: changes asked, about: [F1], says: too tight}\n"
TAKEN_BACK = VERDICT + "  - {date: 2025-02-23, who: ada, withdraws: 2025-02-22 ada, because: misread}\n"
WITHDRAWAL = "rows:\n  - {id: s3, withdraws: s2, because: twice, date: 2025-02-21, by: ada}\n"
REVIEWS, WITHDRAWN = "builds/small/reviews.yaml", "builds/small/readings/w.yaml"


@pytest.fixture
def repo(tmp_path):
    repo = ClubRepo(tmp_path / "club")
    repo.read("s2", "49.951", more=", after: TURN")
    repo.file(REVIEWS, VERDICT)
    repo.commit("the base")
    repo.git("checkout", "-q", "-b", "work")
    return repo


def on_main(repo):
    """What stands here is what the main branch has."""
    repo.commit("more of the base")
    repo.git("branch", "-f", "main")


def says(repo):
    return [blocker.says for blocker in review(repo.root).blockers]


def test_a_reading_is_withdrawn(repo):
    repo.file(WITHDRAWN, WITHDRAWAL)
    slip = review(repo.root)
    assert slip.blockers == [] and "Readings no longer valid (1): s2 (withdrawn: twice (s3, 2025-02-21))" in slip_text(
        slip
    )


def test_a_withdrawal_of_a_reading_stays(repo):
    repo.file(WITHDRAWN, WITHDRAWAL)
    on_main(repo)
    repo.file(WITHDRAWN, WITHDRAWAL.replace("twice", "in vain"))
    assert says(repo) == ["s3: the withdrawal of s2 was edited (because). Put it back as it was."]
    (repo.root / WITHDRAWN).unlink()
    (said,) = says(repo)
    assert said.startswith("s3: the withdrawal of s2 was deleted. Put it back")


def test_a_verdict_is_taken_back_by_who_gave_it(repo):
    repo.file(REVIEWS, TAKEN_BACK)
    slip = review(repo.root)
    assert slip.blockers == []
    (said,) = slip.reviews
    assert (said.who, said.verdict, said.says) == ("ada", "changes asked of 2025-02-22 withdrawn", "misread")
    assert "changes asked of 2025-02-22 withdrawn by ada, 2025-02-23, on F1" in slip_text(slip)
    assert "{" not in slip_text(slip) + details_text(slip)


def test_a_verdict_that_was_taken_back_stays_so(repo):
    repo.file(REVIEWS, TAKEN_BACK)
    on_main(repo)
    repo.file(REVIEWS, VERDICT)
    (said,) = says(repo)
    assert said.startswith("2025-02-23: the withdrawal of the verdict 2025-02-22 ada was deleted or rewritten.")


def test_a_verdict_may_be_given_an_id_and_nothing_else(repo):
    repo.change(REVIEWS, "{date", "{id: v1, date")
    slip = review(repo.root)
    assert slip.blockers == [] and slip.reviews == []
    on_main(repo)
    repo.change(REVIEWS, "id: v1", "id: v2")
    assert len(says(repo)) == 1


def test_what_names_a_renamed_person_is_no_edit(repo):
    repo.file(REVIEWS, TAKEN_BACK)
    repo.file(WITHDRAWN, WITHDRAWAL)
    on_main(repo)
    repo.change("builds/small/build.yaml", "{ada: {name: Ada}}", "{ada-b: {name: Ada, formerly: ada}}")
    for path in (repo.root / "builds/small").rglob("*.yaml"):
        text = path.read_text(encoding="utf-8")
        text = text.replace("by: ada", "by: ada-b").replace("who: ada", "who: ada-b").replace("22 ada", "22 ada-b")
        path.write_text(text, encoding="utf-8")
    slip = review(repo.root)
    assert slip.blockers == [] and slip.reviews == []


def test_who_commits_under_another_name_is_known_from_before_the_change(repo):
    def committed_by():
        repo.file(REVIEWS, VERDICT + "  - {date: 2025-02-24, who: pru, verdict: agreed, about: [F1], says: fine}\n")
        repo.commit("what pru says, committed by Ada")
        (said,) = review(repo.root).reviews
        return said.committed_by

    people = "{ada: {name: Ada}, pru: {name: Pru}}"
    repo.change("builds/small/build.yaml", "{ada: {name: Ada}}", people)
    on_main(repo)
    claimed = people.replace("name: Pru", "name: Pru, commits_as: [ada@example.org]")
    repo.change("builds/small/build.yaml", people, claimed)
    assert committed_by() == "Ada <ada@example.org>"
    repo.file(REVIEWS, VERDICT)
    on_main(repo)
    assert committed_by() is None


CUTS = """\
cuts:
  - {id: c4, date: 2025-02-12, of: piston.skirt, machine: small, asked: 0.01 mm, tool: HSS, feed: 0.1 mm, by: ada}
  - {id: c5, date: 2025-02-13, of: piston.skirt, machine: small, asked: 0.02 mm, tool: HSS, feed: 0.1 mm, by: ada}
  - {withdraws: c5, because: dial not moved, date: 2025-02-14, by: ada}
"""
LATHE = (
    "machines:\n  small: {name: L, speeds: [100 rpm], feeds: [0.1 mm], dial_reads: diameter, dial_division: 0.02 mm}\n"
)


def test_a_cut_and_its_withdrawal_in_one_request_move_no_size(repo):
    repo.file("builds/small/machines.yaml", LATHE)
    on_main(repo)
    repo.file("builds/small/cuts.yaml", CUTS)
    repo.read("s9", "49.940", name="2025-02-20-again", more=", after: TURN, after_cut: c4")
    repo.read("s10", "49.941", name="2025-02-20-twice", more=", after: TURN, after_cut: c4")
    slip = review(repo.root)
    (fit,) = slip.fits
    assert fit.causes and all("c5" not in told for cause in fit.causes for told in (cause.says, *cause.together_with))
    assert not any("0.02 mm dialled" in cause.says for cause in fit.causes)
    said = slip_text(slip) + details_text(slip)
    assert "{" not in said and "cut c5 withdrawn" in said


def test_no_entry_of_a_list_is_told_as_data():
    run = Run.model_validate({"date": "2025-03-01", "hours": "40 min"})
    edit = Edit("run", '{"date": "2025-03-01"}', None, run)
    assert in_words(edit, None) == "new run: 2025-03-01, 40 min" and name_in_words(edit) == "run of 2025-03-01"
    cut = Cut.model_validate(
        {"date": "2025-03-02", "of": "p.s", "machine": "m", "asked": "0.1 mm", "tool": "t", "feed": "0.1 mm"}
    )
    assert name_in_words(Edit("cut", "{}", None, cut)) == "the cut of 2025-03-02 (0.1 mm dialled)"
    back = RunWithdrawal.model_validate({"withdraws": "r1", "because": "twice", "date": "2025-03-03", "by": "ada"})
    assert name_in_words(Edit("withdrawal of a run", "{}", None, back)) == "withdrawal of the run r1"
