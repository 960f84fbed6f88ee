"""What the merge would give, from real repositories in which the main branch has moved on and two people worked at once."""

import os
import subprocess

import gudgeon
import pytest
from club_repo import ENV, ClubRepo, review
from gudgeon.project.git import Repository
from gudgeon.project.merge import CannotTry, Scratch
from gudgeon.review.as_text import slip_text
from gudgeon.review.headline import headline

pytestmark = pytest.mark.slow  # a real repository with its history for every case

SKIRT = "builds/small/readings/2025-02-04-skirt.yaml"


@pytest.fixture
def repo(tmp_path):
    return ClubRepo(tmp_path / "club")


def parted(repo: ClubRepo, mine, theirs, uncommitted: bool = False):
    """The work on the branch `work`, and the main branch moved on since it was left."""
    repo.git("checkout", "-q", "-b", "work")
    repo.git("checkout", "-q", "main")
    theirs(repo)
    repo.commit("theirs")
    repo.git("checkout", "-q", "work")
    mine(repo)
    if not uncommitted:
        repo.commit("mine")


def state(repo: ClubRepo) -> dict[str, bytes]:
    return {os.fspath(path): path.read_bytes() for path in repo.root.rglob("*") if path.is_file()}


@pytest.mark.parametrize("uncommitted", [False, True])
def test_the_tip_is_compared_with_what_merging_gives_and_the_clone_is_as_it_was(repo, uncommitted):
    def theirs(repo):
        repo.read("t1", "49.953", name="2025-02-21-theirs")
        repo.change("builds/twin/fits.yaml", "rule: R1", "want: [0.010 mm, 0.020 mm], rule: R1")

    parted(repo, lambda repo: repo.read("s2", "49.952"), theirs, uncommitted)
    before = state(repo)
    slip = review(repo.root)
    assert state(repo) == before
    tip = repo.git("rev-parse", "--short=9", "main")
    assert slip.base == f"main ({tip})"
    assert slip.head == "what merging the work tree gives"
    # Of all that moved only what the work brings is told, and its size is that of three readings, the main branch's among them.
    assert [(fit.build, fit.id) for fit in slip.fits] == [("small", "F1")]
    assert [reading.row for reading in slip.readings] == ["s2"] and slip.blockers == [] and slip.notes == []
    assert slip.fits[0].was.clearance == pytest.approx(50.010 - (49.945 + 49.953) / 2)
    assert slip.fits[0].now.clearance == pytest.approx(50.010 - (49.945 + 49.953 + 49.952) / 3)
    if not uncommitted:
        told = review(repo.root, head="work", main="main")
        assert told.fits == slip.fits and told.head.startswith("what merging revision ")


def test_a_conflict_is_told_first_and_nothing_is_said_of_its_build(repo):
    def edit(size):
        return lambda repo: repo.change(
            SKIRT, "49.945 mm}\n", f"49.945 mm}}\n  - {{id: x, station: 20 mm, reads: {size} mm}}\n"
        )

    def mine(repo):
        edit("49.952")(repo)
        repo.change("builds/twin/fits.yaml", "rule: R1", "want: [0.010 mm, 0.020 mm], rule: R1")

    parted(repo, mine, edit("49.953"))
    slip = review(repo.root)
    assert [(told.kind, told.file) for told in slip.blockers] == [
        ("merge conflict", SKIRT),
        ("reading id twice", SKIRT),
    ]
    assert "changed the same lines" in slip.blockers[0].says
    assert slip.not_worked_out == ["small"] and {fit.build for fit in slip.fits} == {"twin"}
    assert headline(slip).startswith(
        "1 file in conflict with the main branch, 1 thing to put right before merging, 1 build not"
    )
    assert "No number moves" not in slip_text(slip)


def test_a_conflict_in_what_all_share_leaves_every_build(repo):
    parted(
        repo,
        lambda repo: repo.change("docs/knowledge/rules/R1.yaml", "0.0016", "0.0017"),
        lambda repo: repo.change("docs/knowledge/rules/R1.yaml", "0.0016", "0.0018"),
    )
    slip = review(repo.root)
    assert [told.kind for told in slip.blockers] == ["merge conflict"]
    assert slip.not_worked_out == ["small", "twin"] and slip.fits == [] and slip.assessed == []


@pytest.mark.parametrize(
    ("mine", "theirs", "what"),
    [
        (
            lambda repo: (repo.root / SKIRT).unlink(),
            lambda repo: repo.change(SKIRT, "49.945", "49.946"),
            "one side deleted this file, the other changed it",
        ),
        (
            lambda repo: repo.git("mv", "builds/small", "builds/klein"),
            lambda repo: repo.read("t1", "49.953", name="2025-02-21-theirs"),
            "one side renamed this folder, the other added a file to it under its old name",
        ),
        (
            lambda repo: repo.file("builds/small/reviews.yaml", "reviews: []\n"),
            lambda repo: repo.file("builds/small/reviews.yaml", "reviews:\n  - {date: 2025-02-06}\n"),
            "each added a file of this name",
        ),
    ],
)
def test_what_kind_of_conflict_it_is(repo, mine, theirs, what):
    parted(repo, mine, theirs)
    slip = review(repo.root)
    assert [told.kind for told in slip.blockers] == ["merge conflict"] and what in slip.blockers[0].says
    assert slip.fits == [] and "gone" not in " ".join(slip.notes) and slip.new_builds == 0


def test_a_renamed_build_takes_what_the_main_branch_edited_in_it_along(repo):
    parted(
        repo,
        lambda repo: repo.git("mv", "builds/small", "builds/klein"),
        lambda repo: repo.change("builds/small/fits.yaml", "Skirt in bore", "Skirt in the bore"),
    )
    slip = review(repo.root)
    assert slip.notes == ["the build klein was called small before"] and slip.blockers == [] and slip.fits == []


def test_a_feature_renamed_here_and_read_there_under_its_old_name(repo):
    def rename(repo):
        repo.change("builds/small/parts/piston.yaml", "skirt: {", "body: {formerly: skirt, ")
        for name in ("parts/cyl.yaml", "fits.yaml", "operations.yaml", SKIRT.removeprefix("builds/small/")):
            repo.change(f"builds/small/{name}", "piston.skirt", "piston.body")

    parted(repo, rename, lambda repo: repo.read("t1", "49.953", name="2025-02-21-theirs"))
    (told, *_) = review(repo.root).blockers
    assert (told.kind, told.file) == ("record", "builds/small/readings/2025-02-21-theirs.yaml") and "skirt" in told.says


def test_an_unfinished_merge_is_looked_at_as_it_stands(repo):
    """What was resolved and not committed yet is no conflict any more."""
    row = "49.945 mm}}\n  - {{id: {}, station: 20 mm, reads: 49.952 mm}}\n"
    parted(
        repo,
        lambda repo: repo.change(SKIRT, "49.945 mm}\n", row.format("mine")),
        lambda repo: repo.change(SKIRT, "49.945 mm}\n", row.format("theirs")),
    )
    assert [told.kind for told in review(repo.root).blockers] == ["merge conflict"]
    repo.git("merge", "main", check=False)
    text = (repo.root / SKIRT).read_text(encoding="utf-8")
    repo.file(
        SKIRT, "".join(line for line in text.splitlines(keepends=True) if line[:7] not in ("<" * 7, "=" * 7, ">" * 7))
    )
    slip = review(repo.root)
    assert [reading.row for reading in slip.readings] == ["mine"] and slip.blockers == []


def test_of_a_stale_main_here_and_the_fetched_one_the_one_further_on_counts(repo, tmp_path):
    there = tmp_path / "clone"
    subprocess.run(["git", "clone", "-q", str(repo.root), str(there)], check=True, env=ENV)
    repo.read("s2", "49.953", name="2025-02-21-theirs")
    repo.commit("main moves on")
    clone = ClubRepo.__new__(ClubRepo)
    clone.root = there
    clone.git("checkout", "-q", "-b", "work")
    clone.read("s2", "49.952")
    clone.commit("mine, of the same name")
    assert review(there).blockers == []  # nobody has fetched
    clone.git("fetch", "-q", "origin")
    slip = review(there)
    assert [told.kind for told in slip.blockers] == ["reading id twice"] and slip.base.startswith("origin/main (")
    clone.git("branch", "-f", "main", "origin/main")
    clone.git("update-ref", "refs/remotes/origin/main", "work~1")
    assert review(there).base.startswith("main (")  # and the other way round


def test_a_repair_of_the_main_branch_is_not_told_as_new(repo):
    """Merged all the same, an id stood twice: the request that gives one of the rows its own moves no number that was known."""
    repo.read("s1", "49.952", name="2025-02-21-again")
    repo.commit("an id twice")
    parted(
        repo,
        lambda repo: repo.change("builds/small/readings/2025-02-21-again.yaml", "id: s1", "id: s2"),
        lambda repo: repo.change("builds/twin/fits.yaml", "Skirt in bore", "Skirt in the bore"),
    )
    slip = review(repo.root)
    assert slip.blockers == [] and slip.fits == [] and slip.work == [] and slip.new_builds == 0
    assert slip.not_worked_out == ["small"] and "new build" not in slip_text(slip)
    assert "could not be worked out in main" in slip.notes[0]


def test_an_older_git_says_that_only_the_work_was_looked_at(repo, monkeypatch):
    parted(
        repo, lambda repo: repo.read("s2", "49.952"), lambda repo: repo.read("s2", "49.953", name="2025-02-21-theirs")
    )

    def old(self, main, work):
        raise CannotTry("this git (2.30.2) is older than 2.38")

    monkeypatch.setattr(Scratch, "merge", old)
    slip = review(repo.root)
    assert [told.kind for told in slip.blockers] == ["reading id twice"]
    assert slip.head == "the work tree" and slip.base.startswith("where it left the main branch")
    assert "only the work itself was looked at" in slip.notes[0] and "2.30.2" in slip.notes[0]


def test_no_driver_or_filter_of_anybody_runs_and_nobody_s_name_is_in_it(repo, tmp_path, monkeypatch):
    """Not of the clone, not of the attributes that either side brings, and not of the person who runs it."""
    trap = tmp_path / "trap"
    trap.write_text(f"#!/bin/sh\ntouch '{tmp_path}/ran'\ncat\n", encoding="utf-8")
    trap.chmod(0o755)
    own = tmp_path / "own-settings"
    for key in ("merge.trap.driver", "filter.trap.clean", "filter.trap.smudge"):
        repo.git("config", key, os.fspath(trap))
    own.write_text(f'[merge "trap"]\n\tdriver = {trap}\n[merge]\n\tdefault = trap\n', encoding="utf-8")
    monkeypatch.setenv("GIT_CONFIG_GLOBAL", os.fspath(own))
    repo.file(".gitattributes", "* merge=trap filter=trap\n")
    (repo.root / ".git/info/attributes").write_text("* merge=trap\n", encoding="utf-8")
    operations = (repo.root / "builds/small/operations.yaml").read_text(encoding="utf-8")

    def mine(repo):
        repo.read("s2", "49.952")
        repo.file("builds/small/operations.yaml", f"# mine\n{operations}")

    parted(
        repo, mine, lambda repo: repo.file("builds/small/operations.yaml", f"{operations}# theirs\n"), uncommitted=True
    )
    (tmp_path / "ran").unlink(missing_ok=True)
    slip = review(repo.root)
    assert slip.head == "what merging the work tree gives" and [reading.row for reading in slip.readings] == ["s2"]
    assert slip.blockers == []
    assert not (tmp_path / "ran").exists()


def test_a_verdict_in_work_that_is_not_committed_has_no_other_hand(repo):
    line = "reviews:\n  - {date: 2025-02-06, who: ada, verdict: agreed, about: [F1], says: good}\n"
    parted(
        repo,
        lambda repo: repo.file("builds/small/reviews.yaml", line),
        lambda repo: repo.read("t1", "49.953", name="2025-02-21-theirs"),
        uncommitted=True,
    )
    (said,) = review(repo.root).reviews
    assert said.committed_by is None


def test_a_folder_with_odd_signs_lends_its_objects(tmp_path):
    repo = ClubRepo(tmp_path / 'a "club": #1')
    parted(
        repo, lambda repo: repo.read("s2", "49.952"), lambda repo: repo.read("t1", "49.953", name="2025-02-21-theirs")
    )
    slip = review(repo.root)
    assert [reading.row for reading in slip.readings] == ["s2"] and slip.notes == []


def test_objects_that_are_not_here_are_told_as_such(repo, tmp_path):
    parted(
        repo, lambda repo: repo.read("s2", "49.952"), lambda repo: repo.read("t1", "49.953", name="2025-02-21-theirs")
    )
    Repository(repo.root)  # it opens
    tree = repo.git("rev-parse", "main:builds/small")
    (repo.root / ".git/objects" / tree[:2] / tree[2:]).unlink()
    with pytest.raises(gudgeon.GitLacks):
        review(repo.root)
