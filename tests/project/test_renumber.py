"""Two branches that gave one id: every row is kept, the main branch's keeps the id, references follow, and all is told."""

import pytest
from click.testing import CliRunner
from club_repo import ClubRepo
from gudgeon.cli import main
from gudgeon.records.load_build import load_build
from small_build import shelf, write

ANN = "readings/2025-02-19-skirt.yaml"
BEA = "readings/2025-02-20-bore.yaml"
SKIRT = """\
# Ann's, with a comment that stays
rows:
  - {id: s2, of: piston.skirt, date: 2025-02-19, by: ada, gauge: mic, station: 30 mm, reads: 49.944 mm, part_temp: 20 °C, gauge_temp: 20 °C}
"""
BORE = """\
every_row: {of: cyl.bore, date: 2025-02-20, by: ada, gauge: gauge, part_temp: 20 °C, gauge_temp: 20 °C}
rows:
  - {id: "s2", station: 30 mm, angle: 0 deg, reads: 50.112 mm}
  - {id: s3, station: 30 mm, angle: 0 deg, reads: 50.012 mm, supersedes: s2}
  - {id: s4, withdraws: s2, because: slip of the pen, date: 2025-02-20, by: ada}
"""


def renumber(root, *words):
    return CliRunner().invoke(main, ["renumber", "small", "--root", str(root), *words])


@pytest.fixture
def folder(tmp_path):
    write(tmp_path / "builds/small")
    for name, text in ((ANN, SKIRT), (BEA, BORE)):
        (tmp_path / "builds/small" / name).write_text(text, encoding="utf-8")
    return tmp_path


def test_rows_are_kept_and_references_follow(folder):
    tried = renumber(folder, "--dry-run")
    assert tried.exit_code == 0 and f"builds/small/{BEA}:3:10: s2 would be ad01-" in tried.stdout
    assert (folder / "builds/small" / BEA).read_text() == BORE
    done = renumber(folder)
    assert done.exit_code == 0 and f"{ANN}:3:10 keeps it" in done.stdout, done.output
    build = load_build(folder / "builds/small", "builds/small", shelf())
    new_id = next(row.id for row in build.rows if str(row.reads[0]) == "50.112 mm")
    assert build.problems == [] and len(build.rows) == 6 and new_id != "s2"
    assert (folder / "builds/small" / ANN).read_text() == SKIRT
    assert (folder / "builds/small" / BEA).read_text() == BORE.replace("s2", new_id)
    assert "No id stands twice" in renumber(folder).stdout


def test_a_reference_that_could_mean_either_is_left_and_told(folder):
    other = folder / "builds/small/readings/2025-02-21-other.yaml"
    other.write_text("rows:\n  - {id: s9, withdraws: s2, because: slip, date: 2025-02-21, by: ada}\n")
    done = renumber(folder)
    assert (
        done.exit_code == 1 and "which of them is not sure; it stays with" in done.stderr and "s2" in other.read_text()
    )


@pytest.mark.slow
def test_the_main_branch_keeps_its_id_and_the_review_has_nothing_against_it(tmp_path):
    repo = ClubRepo(tmp_path / "club")
    repo.git("checkout", "-qb", "ann")
    repo.file(f"builds/small/{ANN}", SKIRT)  # the earlier by day
    repo.commit("Ann's reading")
    repo.git("checkout", "-q", "main")
    repo.file(f"builds/small/{BEA}", BORE)
    repo.commit("Bea's readings")
    repo.git("checkout", "-q", "ann")
    repo.git("merge", "-q", "main")
    done = renumber(repo.root)
    assert done.exit_code == 0 and f"{ANN}:3:10: s2 is now ad01-" in done.stdout, done.output
    assert (repo.root / "builds/small" / BEA).read_text() == BORE
    repo.commit("an id each")
    review = CliRunner().invoke(main, ["review", "--root", str(repo.root)])
    assert "reading edited" not in review.output and "was edited" not in review.output and review.exit_code == 0, (
        review.output
    )


@pytest.mark.slow
def test_a_main_branch_that_has_both_is_mended_in_a_request_without_a_blocker(tmp_path):
    repo = ClubRepo(tmp_path / "club")
    for name, text in ((BEA, BORE), (ANN, SKIRT)):
        repo.file(f"builds/small/{name}", text)
        repo.commit(name)
    repo.git("checkout", "-qb", "mend")
    assert f"{ANN}:3:10: s2 is now ad01-" in renumber(repo.root).stdout, "what was committed first keeps it"
    repo.commit("an id each")
    review = CliRunner().invoke(main, ["review", "--root", str(repo.root)])
    assert "was edited" not in review.output and "was deleted" not in review.output, review.output


CUT = "{id: c1, date: 2025-02-0%d, of: piston.skirt, machine: big, asked: 0.1 mm, got: 0.1 mm, tool: x, feed: 0.1 mm, by: %s}"


def test_cuts_of_one_id_get_one_each_and_what_was_read_after_them_follows(tmp_path):
    from gudgeon.entry.renumbering import renumbered_texts, renumbering
    from gudgeon.records.load_build import load_build
    from small_build import FILES, shelf, write

    cuts = f"cuts:\n  - {CUT % (4, 'ada')}\n  - {CUT % (5, 'bob')}\n"
    row = "  - {id: s%d, date: 2025-02-0%d, by: %s, of: piston.skirt, gauge: mic, station: 20 mm, reads: 49.945 mm, after_cut: c1}\n"
    rows = "rows:\n" + row % (1, 4, "ada") + row % (2, 5, "bob")
    folder = write(
        tmp_path / "small",
        cuts=cuts,
        machines="machines:\n  big: {name: Lathe, speeds: [50 rpm], feeds: [0.1 mm], dial_reads: radius, dial_division: 0.02 mm}\n",
        readings__2025_02_04_skirt=rows,
        build=FILES["build.yaml"].replace("people: {", "people: {bob: {name: Bob}, "),
    )
    build = load_build(folder, "builds/small", shelf())
    plan = renumbering(build, {}, {})
    assert [(rename.entry.by, rename.new_id) for rename in plan.renamed] == [("bob", "c1-2")]
    texts = renumbered_texts(build, plan, lambda name: (folder / name.removeprefix("builds/small/")).read_text())
    for name, text in texts.items():
        (folder / name).write_text(text)
    again = load_build(folder, "builds/small", shelf())
    assert again.problems == [], again.problems
    assert [(row.id, row.after_cut) for row in again.rows if row.after_cut] == [("s1", "c1"), ("s2", "c1-2")]
