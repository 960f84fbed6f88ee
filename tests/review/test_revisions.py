"""Two revisions, read from real git repositories: branches, merges, renames, shallow clones, linked work trees."""

import os
import shutil
import subprocess

import pytest
from click.testing import CliRunner
from club_repo import ENV, ClubRepo, review
from conftest import own
from gudgeon.cli import main
from gudgeon.project.git import GitLacks, Repository

pytestmark = pytest.mark.slow  # a real repository with its history for every case


@pytest.fixture
def repo(tmp_path):
    return ClubRepo(tmp_path / "club")


def run(root, *words):
    return CliRunner().invoke(main, ["review", "--root", str(root), *words])


def test_equal_trees_give_an_empty_slip(repo):
    slip = review(repo.root)
    assert slip.empty and slip.files == 0 and slip.assessed == []
    done = run(repo.root)
    assert done.exit_code == 0 and "No number moves. The records are the same." in done.stdout


def test_the_work_tree_with_files_that_git_does_not_know_yet(repo):
    repo.git("checkout", "-q", "-b", "work")
    repo.commit("nothing yet")
    repo.read("s2", "49.952")
    slip = review(repo.root)
    assert [(each.build, each.id) for each in slip.fits] == [("small", "F1")]
    assert [(each.row, each.of) for each in slip.readings] == [("s2", "piston.skirt")]
    assert slip.assessed == ["small"]  # the twin is out of reach
    assert slip.head == "the work tree"


def test_it_compares_with_where_the_branch_left_main_not_with_main_as_it_is(repo):
    repo.git("checkout", "-q", "-b", "work")
    repo.read("s2", "49.952")
    repo.commit("a reading")
    repo.git("checkout", "-q", "main")
    repo.change("builds/twin/fits.yaml", "rule: R1", "want: [0.010 mm, 0.020 mm], rule: R1")
    repo.commit("main moves on")
    repo.git("checkout", "-q", "work")
    assert {each.build for each in review(repo.root).fits} == {"small"}
    assert {each.build for each in review(repo.root, base="main").fits} == {"small", "twin"}


def test_nothing_is_touched(repo):
    repo.read("s2", "49.952")
    repo.git("add", "-N", ".")

    def state():
        index = (repo.root / ".git" / "index").read_bytes()
        files = {path: path.stat().st_mtime_ns for path in repo.root.rglob("*") if path.is_file()}
        return index, files, repo.git("status", "--porcelain")

    before = state()
    review(repo.root)
    review(repo.root, base="main", head="HEAD")
    index, files, status = state()
    assert (index, status) == (before[0], before[2]) and files == before[1]


def test_two_revisions_whatever_lies_in_the_work_tree(repo):
    repo.git("checkout", "-q", "-b", "work")
    repo.read("s2", "49.952")
    repo.commit("a reading")
    shutil.rmtree(repo.root / "builds")
    slip = review(repo.root, head="HEAD")
    assert [each.id for each in slip.fits] == ["F1"] and slip.blockers == []
    assert slip.fits[0].now.clearance == pytest.approx(50.010 - (49.945 + 49.952) / 2)


def test_a_detached_head_and_a_linked_work_tree(repo, tmp_path):
    repo.git("checkout", "-q", "-b", "work")
    repo.read("s2", "49.952")
    commit = repo.commit("a reading")
    repo.git("checkout", "-q", "--detach", commit)
    assert [each.id for each in review(repo.root).fits] == ["F1"]
    repo.git("worktree", "add", "-q", str(tmp_path / "linked"), "work")
    assert [each.id for each in review(tmp_path / "linked").fits] == ["F1"]


def test_a_shallow_clone_says_what_it_lacks(repo, tmp_path):
    repo.git("checkout", "-q", "-b", "work")
    repo.read("s2", "49.952")
    repo.commit("a reading")
    repo.git("checkout", "-q", "main")
    repo.commit("main moves on")
    there = tmp_path / "shallow"
    subprocess.run(
        ["git", "clone", "-q", "--depth=1", "--branch=work", f"file://{repo.root}", str(there)], check=True, env=ENV
    )
    done = run(there)
    assert done.exit_code == 3
    assert "no main branch is known here" in done.stderr and "This clone is shallow: it holds 1 commit." in done.stderr
    assert "git fetch --unshallow" in done.stderr and "--base REVISION" in done.stderr
    subprocess.run(
        ["git", "fetch", "-q", "--depth=1", "origin", "main:refs/remotes/origin/main"], cwd=there, check=True, env=ENV
    )
    done = run(there)
    assert done.exit_code == 3 and "share no commit that git has" in done.stderr
    assert [each.id for each in review(there, base="origin/main").fits] == ["F1"]
    subprocess.run(["git", "fetch", "-q", "--unshallow", "origin"], cwd=there, check=True, env=ENV)
    assert [each.id for each in review(there).fits] == ["F1"]


def test_what_git_lacks_is_told_plainly(repo, tmp_path):
    (tmp_path / "young/builds").mkdir(parents=True)
    subprocess.run(["git", "init", "-q"], cwd=tmp_path / "young", check=True, env=ENV)
    done = run(tmp_path / "young")
    assert done.exit_code == 3 and "nothing is committed in this repository yet" in done.stderr
    done = run(repo.root, "--base", "v9")
    assert done.exit_code == 3 and 'there is no revision "v9" here' in done.stderr
    done = run(repo.root, "--base", "--upload-pack=x")
    assert done.exit_code == 3 and "there is no revision" in done.stderr
    (tmp_path / "plain/builds").mkdir(parents=True)
    done = run(tmp_path / "plain")
    assert done.exit_code == 3 and "in no git repository" in done.stderr
    (tmp_path / "empty").mkdir()
    done = run(tmp_path / "empty")
    assert done.exit_code == 3 and "there is no project in" in done.stderr
    assert run(repo.root, "--base", "main", "--main", "main").exit_code == 2
    repo.git("branch", "-m", "main", "trunk")
    repo.git("checkout", "-q", "-b", "work")
    done = run(repo.root)
    assert done.exit_code == 3 and "looked for origin/main, origin/master, main, master" in done.stderr
    assert run(repo.root, "--main", "trunk").exit_code == 0


def test_a_repository_without_a_commit(tmp_path):
    subprocess.run(["git", "init", "-q", str(tmp_path)], check=True, env=ENV)
    (tmp_path / "builds").mkdir()
    done = run(tmp_path)
    assert done.exit_code == 3 and "nothing is committed in this repository yet" in done.stderr


def test_a_project_in_a_folder_of_a_larger_repository(tmp_path):
    (tmp_path / "all").mkdir()
    repo = ClubRepo(tmp_path / "all" / "engines")
    shutil.rmtree(repo.root / ".git")
    subprocess.run(["git", "init", "-q", "-b", "main", str(tmp_path / "all")], check=True, env=ENV)
    repo.commit("all of it")
    repo.git("checkout", "-q", "-b", "work")
    repo.read("s2", "49.952")
    repo.commit("a reading")
    for slip in (review(repo.root), review(repo.root, head="HEAD")):
        assert [(each.build, each.source.file) for each in slip.fits] == [("small", "builds/small/fits.yaml")]


def test_attributes_hide_nothing(repo):
    repo.file(".gitattributes", "builds/** export-ignore\n*.yaml -diff filter=none diff=none\n")
    repo.commit("attributes")
    repo.git("checkout", "-q", "-b", "work")
    repo.read("s2", "49.952")
    repo.commit("a reading")
    assert [each.id for each in review(repo.root, head="HEAD").fits] == ["F1"]


def test_renamed_files_and_a_renamed_build_move_no_number(repo):
    repo.git("checkout", "-q", "-b", "work")
    repo.git("mv", "builds/small/readings/2025-02-04-skirt.yaml", "builds/small/readings/2025-02-04-piston.yaml")
    repo.git("mv", "builds/twin", "builds/zwilling")
    repo.commit("other names")
    slip = review(repo.root)
    assert (slip.fits, slip.blockers, slip.readings, slip.stale, slip.work) == ([], [], [], [], [])
    assert slip.notes == ["the build zwilling was called twin before"]
    repo.read("s2", "49.952", build="zwilling")
    assert [[cause.says for cause in fit.causes] for fit in review(repo.root).fits] == [["new reading s2"]]


def test_a_build_that_is_new_and_one_that_is_gone(repo):
    repo.git("checkout", "-q", "-b", "work")
    shutil.rmtree(repo.root / "builds" / "twin")
    from small_build import write

    write(repo.root / "builds" / "third", build=None)
    (repo.root / "builds" / "third" / "build.yaml").write_text(
        (repo.root / "builds" / "small" / "build.yaml").read_text().replace("Small", "A third, quite another")
    )
    slip = review(repo.root)
    assert ("third", None) in [(each.build, each.was) for each in slip.fits]
    assert any("twin is gone: its 3 readings" in note for note in slip.notes) or any(
        "third was called twin" in note for note in slip.notes
    )


def test_edited_and_deleted_readings_are_errors_with_the_way_out(repo):
    repo.git("checkout", "-q", "-b", "work")
    repo.change("builds/small/readings/2025-02-04-skirt.yaml", "49.945", "49.955")
    repo.change(
        "builds/small/readings/2025-02-02-bore.yaml",
        "  - {id: b2, station: 60 mm, angle: 0 deg, reads: 50.012 50.012 mm}\n",
        "",
    )
    done = run(repo.root)
    assert done.exit_code == 1
    slip = review(repo.root)
    assert [(each.kind, each.file, each.line) for each in slip.blockers] == [
        ("reading removed", "builds/small/readings/2025-02-02-bore.yaml", 4),
        ("reading edited", "builds/small/readings/2025-02-04-skirt.yaml", 3),
    ]
    assert '"supersedes: b2"' in slip.blockers[0].says
    assert "reads was 49.945 mm, now 49.955 mm" in slip.blockers[1].says and '"supersedes: s1"' in slip.blockers[1].says


@pytest.mark.parametrize(
    ("old", "new", "wrong"),
    [
        ("reads: 49.945 mm}", "reads: 49.945 mm, note: 'by the window'}", False),
        ("part_temp: 20 °C", "part_temp: 21 °C", True),
        ("reads: 49.945 mm}", "reads: 49.9450 mm}", True),
        ("every_row: {date", "# a word beside it\nevery_row: {date", False),
    ],
)
def test_a_note_may_be_added_and_nothing_else(repo, old, new, wrong):
    repo.git("checkout", "-q", "-b", "work")
    repo.change("builds/small/readings/2025-02-04-skirt.yaml", old, new)
    assert bool(review(repo.root).blockers) is wrong


def test_a_note_that_is_changed_is_an_edit(repo):
    repo.change("builds/small/readings/2025-02-04-skirt.yaml", "49.945 mm}", "49.945 mm, note: before}")
    repo.commit("a note")
    repo.git("checkout", "-q", "-b", "work")
    repo.change("builds/small/readings/2025-02-04-skirt.yaml", "note: before", "note: after")
    assert [each.kind for each in review(repo.root).blockers] == ["reading edited"]


def test_a_reading_moved_to_another_file_is_the_same_reading(repo):
    repo.git("checkout", "-q", "-b", "work")
    text = (repo.root / "builds/small/readings/2025-02-04-skirt.yaml").read_text()
    (repo.root / "builds/small/readings/2025-02-04-skirt.yaml").unlink()
    repo.file("builds/small/readings/2025-02-04-all.yaml", text)
    assert review(repo.root).blockers == []


def test_two_branches_that_give_one_reading_id(repo):
    repo.git("checkout", "-q", "-b", "work")
    repo.read("s2", "49.952", name="2025-02-20-mine")
    repo.commit("mine")
    repo.git("checkout", "-q", "main")
    repo.read("s2", "49.947", name="2025-02-21-theirs")
    repo.commit("theirs")
    repo.git("checkout", "-q", "work")
    slip = review(repo.root)
    assert [(each.kind, each.file) for each in slip.blockers] == [
        ("reading id twice", "builds/small/readings/2025-02-20-mine.yaml")
    ]
    assert "builds/small/readings/2025-02-21-theirs.yaml:3:10" in slip.blockers[0].says
    # merged all the same, the records themselves say so
    repo.git("merge", "-q", "--no-edit", "main")
    slip = review(repo.root, base="main")
    assert [each.kind for each in slip.blockers] == ["record"] and "this reading id stands already" in slip.blockers[
        0
    ].says


def test_a_review_writes_nothing_into_the_clone(repo):
    """Not even into git's index, where files were touched: somebody may be adding to it."""
    for path in (repo.root / "builds").rglob("*.yaml"):
        os.utime(path, (1, 1))
    file = repo.root / "builds/small/readings/2025-02-04-skirt.yaml"
    file.write_text(file.read_text().replace("49.945 mm", "49.946 mm"))
    index = (repo.root / ".git/index").read_bytes()
    slip = review(repo.root, base="HEAD")
    assert slip.files == 1 and (repo.root / ".git/index").read_bytes() == index


def test_two_branches_that_withdraw_one_reading(repo):
    """Both would stay for good, because nothing is taken out of what is on the main branch."""
    row = "rows:\n  - {{id: {}, withdraws: s1, because: {}, date: 2025-02-20, by: ada}}\n"
    repo.git("checkout", "-q", "-b", "work")
    repo.file("builds/small/readings/2025-02-20-mine.yaml", row.format("w1", "warm"))
    repo.commit("mine")
    assert review(repo.root).blockers == []
    repo.git("checkout", "-q", "main")
    repo.file("builds/small/readings/2025-02-21-theirs.yaml", row.format("w2", "chips"))
    repo.commit("theirs")
    repo.git("checkout", "-q", "work")
    (told,) = review(repo.root).blockers
    assert (told.kind, told.file) == ("withdrawn twice", "builds/small/readings/2025-02-20-mine.yaml")
    assert "readings/2025-02-21-theirs.yaml:2:" in told.says and '"chips"' in told.says
    # merged all the same, what is not on the main branch yet is told
    repo.git("merge", "-q", "--no-edit", "main")
    assert [(told.kind, told.file) for told in review(repo.root, base="main").blockers] == [
        ("withdrawn twice", "builds/small/readings/2025-02-20-mine.yaml")
    ]


def test_a_new_reading_is_set_beside_the_last_that_counts(repo):
    repo.read("s2", "499.52", name="2025-02-20-slip")
    repo.commit("a nought too many")
    repo.read("s3", "49.947", name="2025-02-21-again")
    (reading,) = review(repo.root).readings
    assert reading.row == "s3" and reading.before.row == "s1"


WITHDRAWN = "  - {id: c2, withdraws: c1, because: not this lathe, date: 2025-02-20, by: ada}\n"
SECOND = "  - {id: c2, date: 2025-02-20, of: piston.skirt, machine: lathe, asked: 0.2 mm, tool: t, feed: 0.1 mm}\n"


@pytest.mark.parametrize(
    ("mine", "theirs", "kinds"),
    [
        (SECOND, SECOND.replace("0.2 mm", "0.3 mm"), ["merge conflict", "cut id twice"]),
        (SECOND, WITHDRAWN, ["merge conflict", "cut id twice"]),
        (WITHDRAWN, SECOND.replace("2025-02-20", "2025-02-21"), ["merge conflict", "cut id twice"]),
        (SECOND, SECOND, []),
        (SECOND, SECOND.replace("c2", "c3"), ["merge conflict"]),
    ],
)
def test_two_branches_that_give_one_cut_id(repo, mine, theirs, kinds):
    repo.file(
        "builds/small/machines.yaml",
        "machines:\n  lathe: {name: Lathe, speeds: [50 rpm], feeds: [0.1 mm], dial_reads: diameter, dial_division: 0.02 mm}\n",
    )
    cuts = "cuts:\n" + SECOND.replace("c2", "c1")
    repo.file("builds/small/cuts.yaml", cuts)
    repo.commit("a first cut")
    repo.git("checkout", "-q", "-b", "work")
    repo.file("builds/small/cuts.yaml", cuts + mine)
    repo.commit("mine")
    repo.git("checkout", "-q", "main")
    repo.file("builds/small/cuts.yaml", cuts + theirs)
    repo.commit("theirs")
    repo.git("checkout", "-q", "work")
    slip = review(repo.root)
    assert [blocker.kind for blocker in slip.blockers] == kinds
    assert all("builds/small/cuts.yaml:3:10" in told.says for told in slip.blockers if told.kind == "cut id twice")


def test_the_same_row_taken_over_from_main_is_not_twice(repo):
    repo.git("checkout", "-q", "-b", "work")
    repo.read("s2", "49.952")
    repo.commit("mine")
    repo.git("checkout", "-q", "main")
    repo.git("cherry-pick", "work")
    repo.commit("more on main")
    repo.git("checkout", "-q", "work")
    assert review(repo.root).blockers == []


def test_a_merge_half_done_is_told_as_such(repo):
    for branch, size in (("work", "49.952"), ("other", "49.953")):
        repo.git("checkout", "-q", "-b", branch, "main")
        repo.change(
            "builds/small/readings/2025-02-04-skirt.yaml",
            "49.945 mm}\n",
            f"49.945 mm}}\n  - {{id: {branch}, station: 20 mm, reads: {size} mm}}\n",
        )
        repo.commit(branch)
    repo.git("merge", "work", check=False)
    done = run(repo.root)
    assert done.exit_code == 1 and "2025-02-04-skirt.yaml:4:1: a merge stands here half done" in done.stdout


def test_a_clean_merge_keeps_both_readings(repo):
    repo.git("checkout", "-q", "-b", "work")
    repo.read("s2", "49.952", name="2025-02-20-mine")
    repo.commit("mine")
    repo.git("checkout", "-q", "main")
    repo.read("s3", "49.953", name="2025-02-21-theirs")
    repo.commit("theirs")
    repo.git("checkout", "-q", "work")
    repo.git("merge", "-q", "--no-edit", "main")
    slip = review(repo.root)
    assert [each.row for each in slip.readings] == ["s2"] and slip.blockers == []


def test_links_giants_and_submodules_in_a_tree_are_not_followed(repo, tmp_path):
    secret = tmp_path / "secret.yaml"
    secret.write_text("part: secret\n")
    repo.git("checkout", "-q", "-b", "work")
    (repo.root / "builds/small/parts/evil.yaml").symlink_to(secret)
    (repo.root / "builds/linked").symlink_to(tmp_path)
    repo.file("builds/small/readings/2025-02-27-giant.yaml", "# padding\n" * 200_000)
    repo.file("builds/small/photos/a.jpg", "x")
    repo.commit("links")
    commit = repo.git("rev-parse", "HEAD")
    repo.git("update-index", "--add", "--cacheinfo", f"160000,{commit},builds/small/parts/module")
    repo.git("commit", "-q", "-m", "a submodule")
    for slip in (review(repo.root, head="HEAD"), review(repo.root)):
        said = [each.says for each in slip.blockers]
        assert "links are not followed. Put the file itself here." in said
        assert "links are not followed. Put the folder itself here." in said
        assert "the file is 2.0 MB; the most is 1 MB. Split it into several files." in said
        assert not any("secret" in each for each in said)


def test_a_commit_extracts_what_stood_there(repo, tmp_path):
    Repository(repo.root).extract("HEAD", ["builds/small"], tmp_path / "out")
    there = {path.relative_to(repo.root): path.read_bytes() for path in (repo.root / "builds/small").rglob("*.yaml")}
    got = {
        path.relative_to(tmp_path / "out"): path.read_bytes()
        for path in (tmp_path / "out").rglob("*")
        if path.is_file()
    }
    assert got == there and len(got) > 5


def test_without_git_on_the_path(repo, monkeypatch):
    monkeypatch.setenv("PATH", os.devnull)
    with pytest.raises(GitLacks, match="git is not on the path"):
        Repository(repo.root)


def test_only_what_the_edit_can_reach_is_worked_out(repo):
    repo.change("builds/small/fits.yaml", "rule: R1", "want: [0.050 mm, 0.080 mm], because: wider than R1")
    repo.file("builds/cites/fits.yaml", "")
    shutil.copytree(repo.root / "builds/twin", repo.root / "builds/cites", dirs_exist_ok=True)
    repo.change("builds/cites/fits.yaml", "rule: R1", "rule:\n      R1")
    own(repo.root, "materials/grey-iron.yaml")
    repo.change("builds/twin/materials.yaml", "cte: 11.0e-6 /K, valid: [20 °C, 200 °C]", "like: grey-iron")
    repo.commit("three builds")
    edits = {
        # small names the rule in words alone: it is worked out, and no fit of it moves
        "docs/knowledge/rules/R1.yaml": ("0.0016", "0.0018", {"cites", "twin", "small"}),
        "docs/knowledge/materials/grey-iron.yaml": ("cte: ", "cte: 1", {"twin"}),
        "builds/small/instruments.yaml": ("use: 0.003 mm", "use: 0.004 mm", {"small"}),
        "docs/index.md": ("", "# words\n", set()),
    }
    repo.file("docs/index.md", "\n")
    repo.commit("a page")
    for name, (old, new, reached) in edits.items():
        before = (repo.root / name).read_text()
        repo.file(name, before.replace(old, new, 1))
        slip = review(repo.root)
        assert set(slip.assessed) == reached, name
        assert {fit.build for fit in slip.fits} == reached - ({"small"} if "rules" in name else set()), name
        repo.file(name, before)


@pytest.mark.slow
def test_a_caution_reaches_every_build(repo):
    own(repo.root, "cautions/scald.yaml")
    assert set(review(repo.root).assessed) == {"small", "twin"}


def test_readings_that_the_main_branch_moved_to_another_file_are_not_twice(repo):
    repo.git("checkout", "-q", "-b", "work")
    repo.read("s2", "49.952")
    repo.commit("mine")
    repo.git("checkout", "-q", "main")
    repo.git("mv", "builds/small/readings/2025-02-04-skirt.yaml", "builds/small/readings/2025-02-04-piston.yaml")
    repo.commit("another name")
    repo.git("checkout", "-q", "work")
    assert review(repo.root).blockers == []


def test_of_a_stale_main_here_and_the_remote_s_the_nearer_counts(repo, tmp_path):
    there = tmp_path / "clone"
    subprocess.run(["git", "clone", "-q", str(repo.root), str(there)], check=True, env=ENV)
    repo.read("s7", "49.952")
    repo.commit("main moves on")

    def git(*words):
        subprocess.run(["git", *words], cwd=there, check=True, env=ENV, capture_output=True)

    git("fetch", "-q", "origin")
    git("checkout", "-q", "-b", "work", "origin/main")
    assert review(there).empty  # the local main knows nothing of s7, the remote's does
    git("branch", "-f", "main", "work")
    git("update-ref", "refs/remotes/origin/main", "work~1")
    assert review(there).empty  # and the other way round


@pytest.mark.slow
def test_names_of_files_that_cannot_be_written_down_are_shown_as_they_are_coded(repo):
    """Names in no encoding, with escapes for a terminal, with a line break: told, and nothing falls over."""
    for name in (
        b"builds/small/parts/\xff.yaml",
        b"builds/small/readings/\x1b[31m.yaml",
        b"builds/small/log/1\n2.md",
        b"builds/\xfe/build.yaml",
    ):
        path = os.path.join(os.fsencode(repo.root), name)
        os.makedirs(os.path.dirname(path), exist_ok=True)
        with open(path, "wb") as file:
            file.write(b"part: x\n")
    repo.git("checkout", "-q", "-b", "work")
    repo.commit("odd names")
    for form in ("text", "markdown", "json", "sarif"):
        for words in (["--base", "main"], ["--base", "main", "--head", "HEAD"]):
            done = run(repo.root, "--form", form, *words)
            assert done.exit_code == 1 and done.exception.__class__ is SystemExit, done.exception
            assert "\x1b" not in done.stdout and "udcf" in done.stdout
    done = CliRunner().invoke(main, ["check", str(repo.root)])
    assert done.exit_code == 1 and "\x1b" not in done.stdout
    done = CliRunner().invoke(main, ["pages", "--root", str(repo.root), "--to", str(repo.root.parent / "pages")])
    assert done.exit_code == 1 and done.exception.__class__ is SystemExit, done.exception


def test_what_is_renamed_moves_nothing_and_no_reading_of_it_was_edited(repo):
    """A feature, a part, an instrument, an operation, a person, a fit and a reading, all at once."""
    repo.file(
        "builds/small/reviews.yaml",
        "reviews:\n  - {date: 2025-02-06, who: ada, verdict: agreed, about: [F1], says: good}\n",
    )
    repo.git("add", "-A")
    repo.commit("a verdict")
    repo.git("checkout", "-q", "-b", "work")
    small = "builds/small"
    repo.git("mv", f"{small}/parts/piston.yaml", f"{small}/parts/trunk.yaml")
    for name, changes in {
        f"{small}/parts/trunk.yaml": [
            ("part: piston", "part: trunk\nformerly: piston"),
            ("skirt: {", "body: {formerly: skirt, "),
        ],
        f"{small}/parts/cyl.yaml": [("piston.skirt", "trunk.body")],
        f"{small}/fits.yaml": [("piston.skirt", "trunk.body"), ("F1: {", "FIT-1: {formerly: F1, ")],
        f"{small}/instruments.yaml": [("mic: {", "om: {formerly: mic, "), ("scale_from: mic", "scale_from: om")],
        f"{small}/operations.yaml": [
            ("TURN: {part: piston,", "SKIRT: {part: trunk, formerly: TURN,"),
            ("piston.skirt", "trunk.body"),
        ],
        f"{small}/build.yaml": [("ada: {name: Ada}", "adele: {name: Ada, formerly: ada}")],
        f"{small}/reviews.yaml": [("who: ada", "who: adele"), ("[F1]", "[FIT-1]")],
        f"{small}/readings/2025-02-02-bore.yaml": [("by: ada", "by: adele")],
        f"{small}/readings/2025-02-04-skirt.yaml": [
            ("by: ada", "by: adele"),
            ("piston.skirt", "trunk.body"),
            ("gauge: mic", "gauge: om"),
            ("after: TURN", "after: SKIRT"),
            ("id: s1", "id: s1b, formerly: s1"),
        ],
    }.items():
        for old, new in changes:
            repo.change(name, old, new)
    slip = review(repo.root)
    assert (slip.blockers, slip.fits, slip.subjects, slip.readings, slip.stale, slip.reviews) == (
        [],
        [],
        [],
        [],
        [],
        [],
    )
    assert slip.nothing_moved and slip.assessed == ["small"]
    assert {idle.record for idle in slip.idle} >= {"feature trunk.body", "part trunk", "instrument om", "fit FIT-1"}
    # the same without the word that they were called otherwise is what it looks like
    repo.change(f"{small}/parts/trunk.yaml", "formerly: skirt, ", "")
    assert {blocker.kind for blocker in review(repo.root).blockers} == {"reading edited"}


def test_a_new_build_without_anything_in_it_is_not_said_to_have_stood_still(repo):
    head = (repo.root / "builds/small/build.yaml").read_text()
    repo.file("builds/empty/build.yaml", head)
    done = run(repo.root)
    assert "1 new build." in done.stdout and "No number moves" not in done.stdout and "No fit moved" not in done.stdout


def test_a_picture_that_gives_away_a_place_stops_the_review_in_the_work_tree_and_in_a_commit(repo):
    """A pull request of a fork is looked at as a commit, without its files in the work tree."""
    from seeded_pictures import JPEGS

    repo.git("checkout", "-q", "-b", "work")
    folder = repo.root / "builds" / "small" / "photos"
    folder.mkdir()
    (folder / "skirt.jpg").write_bytes(JPEGS["EXIF"])
    (folder.parent / "photos.yaml").write_text("photos:\n  skirt.jpg: {shows: A skirt, licence: CC-BY-4.0}\n")
    lines = [blocker.says for blocker in review(repo.root).blockers]
    assert len(lines) == 1 and "the place where it was taken" in lines[0]
    repo.commit("a picture")
    assert [blocker.says for blocker in review(repo.root, head="work").blockers] == lines
    done = run(repo.root, "--head", "work")
    assert done.exit_code == 1 and "the place where it was taken" in done.stdout
