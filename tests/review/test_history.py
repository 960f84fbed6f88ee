"""How a number moved: from commit to commit by the command, and on the pages by the readings and since an instalment."""

from datetime import date

from click.testing import CliRunner
from club_repo import ClubRepo
from gudgeon.cli import main
from gudgeon.pages.history import events, since
from gudgeon.pages.view import View


def history(root, *words):
    return CliRunner().invoke(main, ["history", "--root", str(root), *words])


def test_commits_that_moved_a_fit_and_what_caused_it(tmp_path):
    repo = ClubRepo(tmp_path / "club")
    repo.file("docs/index.md", "# nothing to do with it\n")
    repo.commit("a page")
    repo.change("docs/knowledge/rules/R1.yaml", "[0.001, 0.0016]", "[0.0012, 0.0016]")
    repo.commit("a wider rule \x1b[31mred")
    repo.file("builds/small/fits.yaml", "fits: [broken\n")
    repo.commit("broken")
    repo.git("checkout", "-q", "HEAD~1", "--", "builds/small/fits.yaml")
    repo.commit("put right")
    repo.read("s2", "49.951", more=", after: TURN, supersedes: s1")
    repo.commit("read again")
    done = history(repo.root, "small", "F1")
    assert done.exit_code == 0
    heads = [line.split(" ", 2)[2] for line in done.stdout.splitlines() if not line.startswith(" ")]
    assert heads == ["the club", "a wider rule [31mred", "read again"]
    assert "cause: rule R1: gives 0.001 to 0.0016 of the size → 0.0012 to 0.0016 of the size" in done.stdout
    assert "0.065 ± 0.005 mm (2.6 thou) → 0.059 ± 0.005 mm (2.3 thou)" in done.stdout
    assert "\x1b" not in done.stdout
    # Cut off after a commit, with the one before it readable and not: the fit was there already, and is not said to be new.
    for most in ("1", "2"):
        told = history(repo.root, "small", "F1", "--most", most).stdout
        assert told.splitlines()[0].endswith("read again") and "new:" not in told


def test_a_name_that_is_not_there(tmp_path):
    repo = ClubRepo(tmp_path / "club")
    for words in (("nowhere",), ("small", "F9")):
        done = history(repo.root, *words)
        assert done.exit_code == 1 and "no commit here moved" in done.stderr


def test_the_page_tells_what_moved_a_fit_in_the_order_of_days(club):
    build, view = view_of(club, "sundlia")
    found = events(view, view.findings.fits["B-F01"])
    assert [each.date for each in found] == sorted(each.date for each in found)
    assert [each.move.rows for each in found if each.move] == [("b035", "b036"), ("b037", "b038", "b039", "b040")]
    said = " ".join(each.says for each in found)
    for words in (
        "wanted 0.085 to 0.100 mm until then",
        "changes asked, Pauli Hietamaa",
        "found reading 0.006 mm high: it cancels here",
    ):
        assert words in said


def test_numbers_that_moved_since_a_day(club):
    build, view = view_of(club, "sundlia")
    first = next(each for each in since(view, date(2025, 7, 13)) if each.fit.id == "B-F01")
    before = next(move for move in first.fit.moves if move.rows == ("b035", "b036"))
    assert (first.was, first.now.rows) == (before.clearance, ("b037", "b038", "b039", "b040"))
    assert since(view, build.newest_date) == []
    new = next(each for each in since(view, date(2025, 7, 13)) if each.fit.id == "B-F02")
    assert new.was is None and not new.not_kept


def view_of(club, name):
    from gudgeon.assess.build import assess
    from gudgeon.pages.citations import Bibliography
    from gudgeon.pages.page import Renderer

    build = next(each for each in club.builds if each.id == name)
    return build, View(
        build, assess(build, club.knowledge), club.knowledge, Renderer(Bibliography(club.knowledge.sources))
    )


def test_what_was_read_on_the_day_itself_counts_as_known_then(club):
    _, view = view_of(club, "harrow-pond")
    skirt = next(each for each in since(view, date(2025, 3, 23)) if each.fit.id == "A-F01")
    on_the_day = next(move for move in skirt.fit.moves if (move.date, move.rows) == ("2025-03-23", ("a025",)))
    assert (skirt.was, skirt.now.date) == (on_the_day.clearance, "2025-03-29")
