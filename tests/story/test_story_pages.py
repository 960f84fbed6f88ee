"""The pages of the story: what was done between two instalments, how the build stands in five lines, and what was put right."""

import re
from datetime import date

import pytest
from full_story import write_everything
from gudgeon.assess.build import assess
from gudgeon.pages import history, story
from gudgeon.pages.new_file import new_file
from gudgeon.pages.on_site import OnSite
from gudgeon.pages.page import Renderer
from gudgeon.pages.view import View
from gudgeon.records.load_build import load_build
from gudgeon.story.so_far import so_far
from gudgeon.story.what_was_done import what_was_done
from small_build import FILES, bent, load, shelf

TURNED = """\
every_row: {date: 2025-02-04, by: ada, of: piston.skirt, gauge: mic, part_temp: 20 °C, gauge_temp: 20 °C}
rows:
  - {id: s0, station: 20 mm, reads: 49.985 mm, date: 2025-02-02}
  - {id: s1, station: 20 mm, reads: 49.965 mm, after: TURN}
  - {id: s2, station: 20 mm, reads: 49.955 mm, after: TURN, date: 2025-02-10, supersedes: s1}
  - {id: s3, station: 20 mm, reads: 49.900 mm, after: TURN, date: 2025-02-11}
  - {id: s4, withdraws: s3, because: misread by 50, date: 2025-02-12}
"""


def instalment(number: int, day: str, body: str = "x") -> str:
    return f"---\nnumber: {number}\ntitle: No {number}\ndate: {day}\nby: ada\nabout: [F1]\n---\n{body}\n"


def built(tmp_path, *days: str, **changes):
    folder = tmp_path / "small"
    load(tmp_path, **changes)
    (folder / "log").mkdir()
    for number, day in enumerate(days, start=1):
        (folder / f"log/{number:02d}-no.md").write_text(instalment(number, day), encoding="utf-8")
    build = load_build(folder, "builds/small", shelf())
    assert build.problems == []
    return build, assess(build, shelf())


def test_each_instalment_has_the_time_since_the_one_before(tmp_path):
    build, findings = built(tmp_path, "2025-02-01", "2025-02-03", "2025-02-03", "2025-02-05")
    done = [what_was_done(build, findings, told) for told in build.instalments]
    assert [list(of.operations) for of in done] == [["BORE"], ["TURN"], [], []], "of two of one day the first has it"
    assert [[row.id for row in of.rows] for of in done] == [[], ["b1", "b2"], [], ["s1"]]
    assert [of.stretch.after and of.stretch.after.day for of in done] == [None, 1, 3, 3]
    assert [(move.id, move.was, round(move.now, 3)) for move in done[3].moved] == [
        ("F1", None, 0.065),
        ("piston.skirt", None, 49.945),
    ]


def test_a_number_is_followed_from_one_instalment_to_the_next_and_what_was_put_right_is_told(tmp_path):
    build, findings = built(tmp_path, "2025-02-03", "2025-02-12", readings__2025_02_04_skirt=TURNED)
    first, second = (what_was_done(build, findings, told) for told in build.instalments)
    skirt = next(move for move in second.moved if move.id == "piston.skirt")
    assert (skirt.was, skirt.now) == (pytest.approx(49.985), pytest.approx(49.955)), "the withdrawn one does not count"
    assert [(one.kind, one.name) for one in second.corrections] == [
        ("reading put right", "s1"),
        ("reading withdrawn", "s3"),
    ]
    assert "s3" not in [row.id for row in second.rows] and first.corrections == first.put_right_since == ()


def test_an_instrument_found_wrong_later_is_told_where_it_was_read_with(tmp_path):
    off = bent(
        "instruments.yaml",
        "due: 2026-01-01",
        "due: 2026-01-01, found_off: {reads_high: 0.006 mm, found: 2025-03-01, how: a rod}",
    )
    build, findings = built(tmp_path, "2025-02-05", "2025-02-20", instruments=off)
    first, second = (what_was_done(build, findings, told) for told in build.instalments)
    assert [(one.kind, one.name, set(one.rows)) for one in first.put_right_since] == [
        ("instrument found off", "mic", {"b1", "b2", "s1"})
    ]
    assert second.put_right_since == ()
    fit = first.moved[0]
    assert (fit.id, fit.known_then) == ("F1", None), "both halves were read with it: nothing moves"


AGAIN = """\
every_row: {date: 2025-02-04, by: ada, of: piston.skirt, gauge: mic, part_temp: 20 °C, gauge_temp: 20 °C}
rows:
  - {id: s1, station: 20 mm, reads: 49.945 mm, after: TURN, date: 2025-02-04}
  - {id: s2, station: 20 mm, reads: 49.935 mm, after: TURN, date: 2025-02-20}
"""


def test_what_was_read_and_read_again_since_is_never_said_to_be_not_read(tmp_path):
    days = ("2025-02-03", "2025-02-05", "2025-02-25")
    build, findings = built(tmp_path, *days, readings__2025_02_04_skirt=AGAIN)
    done = [what_was_done(build, findings, told) for told in build.instalments]
    last = {change.id: (change.was, change.not_kept) for change in done[2].moved}
    assert last["F1"] == last["piston.skirt"] == (None, True), "both halves were read by 5 February"
    view = View(build, findings, shelf(), Renderer())
    stood = {day: [(of.was, of.not_kept) for of in history.since(view, date.fromisoformat(day))] for day in days}
    assert stood == {days[0]: [(None, False)], days[1]: [(None, True)], days[2]: []}, "the skirt was read on 4 February"
    second = story.pages(view)[2].text
    assert "read, number not kept" in second and "Read, number not kept: its readings have changed" in second
    assert "not read</span>" not in second.split("Fits whose number moved since then")[1]


def test_a_fit_that_moves_with_an_instrument_found_off_stood_as_it_was_known(tmp_path):
    off = bent(
        "instruments.yaml",
        "scale_from: mic, use",
        "found_off: {reads_high: 0.006 mm, found: 2025-03-01, how: a rod, since: 2025-01-31}, scale: 0.004 mm, use",
    )
    build, findings = built(tmp_path, "2025-02-10", "2025-03-02", instruments=off)
    view = View(build, findings, shelf(), Renderer())
    assert "F1" in findings.recalls[0].moves
    (since,) = history.since(view, date(2025, 2, 10))
    assert since.was == pytest.approx(since.now.clearance + 0.006) and not since.read
    assert [recall.instrument for recall in since.found_off] == ["gauge"]
    assert history.since(view, date(2025, 3, 1)) == [], "it was known by then"
    page = story.pages(view)[1].text
    assert "2025-03-01: bore gauge set in mic found off" in page


def test_a_range_given_up_is_the_one_wanted_before(tmp_path):
    was = bent(
        "fits.yaml",
        "hot: [hot]",
        "hot: [hot], wanted_before: [{want: [0.010 mm, 0.020 mm], until: 2025-02-10, because: too tight}]",
    )
    build, findings = built(tmp_path, "2025-02-05", "2025-02-20", fits=was)
    first, second = (what_was_done(build, findings, told) for told in build.instalments)
    assert (first.moved[0].low, first.moved[0].high) == (pytest.approx(0.010), pytest.approx(0.020))
    assert (
        [one.because for one in first.put_right_since] == [one.because for one in second.corrections] == ["too tight"]
    )


def test_five_lines_say_what_was_worked_out(tmp_path):
    build, findings = built(tmp_path, "2025-02-05")
    said = {line.asks: line.says for line in so_far(build, findings)}
    assert said == {
        "The engine": "Horizontal, bore 50.00 mm, stroke 60 mm, 500 rpm. It is invented, for demonstration.",
        "How far": "2 of 2 jobs are done.",
        "Closest to its limits": "Skirt in bore, the only fit that can be judged: 0.067 mm (2.6 thou), should have at most 0.080 mm: "
        "0.013 mm (0.5 thou) to spare.",
        "Went wrong last": "The records tell of no mishap.",
        "Comes next": "Nothing: all jobs that are written are done.",
    }


def test_five_lines_of_a_build_without_anything_reassure_nobody(tmp_path):
    nothing = dict.fromkeys(
        ("instruments", "materials", "parts__cyl", "parts__piston", "fits", "operations")
        + ("readings__2025_02_02_bore", "readings__2025_02_04_skirt")
    )
    build = load(tmp_path, build=FILES["build.yaml"].partition("cases:")[0], **nothing)
    said = [line.says for line in so_far(build, assess(build, shelf()))]
    assert said[1:] == [
        "No jobs are written yet, so nobody can say.",
        "No fits are written yet.",
        "Nothing is recorded yet.",
        "No jobs are written yet.",
    ]


def test_a_fit_outside_is_not_said_to_be_close(tmp_path):
    tight = FILES["readings/2025-02-04-skirt.yaml"].replace("49.945", "49.985")
    build, findings = built(tmp_path, readings__2025_02_04_skirt=tight)
    line = so_far(build, findings)[2]
    assert line.asks == "Furthest from what it should be"
    assert line.says.endswith(": 0.025 mm (1.0 thou), should have at least 0.050 mm.")
    (tmp_path / "b").mkdir()
    unread = built(tmp_path / "b", readings__2025_02_04_skirt=None)
    assert so_far(*unread)[2].says == "No fit can be judged yet: none is read on both sides."


@pytest.mark.parametrize(
    ("cost", "says"),
    [
        ("{scrap: none yet, rework: nothing}", "The records tell of no mishap."),
        ("{scrap: none, rework: the bush bored again}", "5 February 2025: the bush bored again."),
    ],
)
def test_what_an_instalment_cost_is_a_mishap_where_something_was_lost(tmp_path, cost, says):
    load(tmp_path)
    (tmp_path / "small/log").mkdir()
    text = instalment(1, "2025-02-05").replace("about:", f"cost: {cost}\nabout:")
    (tmp_path / "small/log/01-no.md").write_text(text, encoding="utf-8")
    build = load_build(tmp_path / "small", "builds/small", shelf())
    assert so_far(build, assess(build, shelf()))[3].says == says


@pytest.fixture(scope="module")
def view(tmp_path_factory):
    folder = tmp_path_factory.mktemp("everything") / "small"
    folder.mkdir()
    build = load_build(write_everything(folder), "builds/small", shelf())
    assert build.problems == []
    forge = new_file("https://github.com/club/engines", "edit/main/docs/")
    return View(build, assess(build, shelf()), shelf(), Renderer(), "https://club.example/", forge=forge)


def test_an_instalment_is_talked_about_where_it_says_or_in_a_new_issue(view):
    from gudgeon.pages.story import pages

    index, first, second = (page.text for page in pages(view))
    assert 'href="https://example.org/talk"' in first and "Talk about it" in first
    issue = re.search(r'href="(https://github.com/club/engines/issues/new[^"]*)"', second)[1]
    assert "title=Small%20engine%2C%20instalment%202%3A%20Words%20alone" in issue
    assert "https%3A%2F%2Fclub.example%2Fbuilds%2Fsmall%2Fstory%2F02-words%2F" in issue
    assert index.count('class="g-cover"') == 1, "one without pictures has none"
    assert "lead.png" in first.split("g-story-body")[0] and "gone.webp" not in first + index
    assert not re.search(
        r"\n\s*\n", first.split('<div class="g-story-body">')[1].split('<div class="g-cost">')[0].strip()
    )


def test_the_pages_of_what_a_number_is_tied_to_lead_back(view):
    told = view.build.instalments[0]
    untold = next(fit for fit in view.findings.fits.values())
    assert told in view.told_of_fit(untold) and told in view.told_of_part("piston")


def test_a_film_that_is_not_known_leaves_its_words(view):
    from gudgeon.records.instalment_text import FilmShown
    from gudgeon.records.problems import Where

    made = OnSite(view, view.build.instalments[0], "builds/small/story/x.md").film(
        FilmShown("none", "a <run>", Where("x"))
    )
    assert made == "<p>a &lt;run&gt;</p>"
