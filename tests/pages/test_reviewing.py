"""The reviewer's page: what is asked and not answered, who has said what, what is new since, no fit drawn as fine that was not worked out."""

import html
import re

import pytest
from gudgeon.assess.build import assess
from gudgeon.pages import reviewing
from gudgeon.pages.drawn import fit_strip
from gudgeon.pages.fits_list import worst_first
from gudgeon.records.model import Club
from gudgeon.wording import UnitFormatter
from small_build import FILES, load, rendered, shelf

PEOPLE = ("people: {ada: {name: Ada}}", "people: {ada: {name: Ada}, bea: {name: Bea}, cy: {name: Cy}}")


def reviewed(tmp_path, text: str, **more):
    """The small build with verdicts."""
    tmp_path.mkdir(exist_ok=True)
    build = load(tmp_path, build=FILES["build.yaml"].replace(*PEOPLE), reviews=f"reviews:\n{text}", **more)
    assert build.problems == []
    return build


def entry(day: str, who: str, verdict: str = "agreed", about: str = "F1", more: str = "") -> str:
    return f"  - {{date: {day}, who: {who}, verdict: {verdict}, about: [{about}], says: because{more}}}\n"


def test_a_request_is_open_until_who_asked_says_otherwise(tmp_path):
    asked = entry("2025-02-05", "bea", "changes asked")
    others = asked + entry("2025-02-06", "cy")
    cases = {
        asked: ["bea"],
        others: ["bea"],
        asked + entry("2025-02-06", "bea"): [],
        asked + entry("2025-02-06", "bea", about="piston"): ["bea"],
        asked + "  - {date: 2025-02-06, who: bea, withdraws: 2025-02-05 bea, because: mistaken}\n": [],
        entry("2025-02-04", "bea") + asked: ["bea"],
        entry("2025-02-05", "bea", "changes asked", "F1, piston") + entry("2025-02-06", "bea"): ["bea"],
    }
    for number, (text, who) in enumerate(cases.items()):
        build = reviewed(tmp_path / str(number), text)
        requests = reviewing.open_requests(build)
        assert [request.review.who for request in requests] == who, text
    (partly,) = requests
    assert partly.about == ("piston",)
    (request,) = reviewing.open_requests(reviewed(tmp_path / "others", others))
    assert [other.who for other in request.since] == ["cy"]


def test_what_is_new_since_a_verdict(tmp_path):
    """The bore was read on 2 February, the skirt turned on the 3rd and read on the 4th."""
    for day, readings, jobs, same_day in (
        ("2025-02-01", ("b1", "b2", "s1"), ("TURN",), ()),
        ("2025-02-02", ("s1",), ("TURN",), ("b1", "b2")),
        ("2025-02-03", ("s1",), (), ()),
        ("2025-02-04", (), (), ("s1",)),
        ("2025-02-05", (), (), ()),
    ):
        build = reviewed(tmp_path / day, entry(day, "bea"))
        findings = assess(build, shelf())
        (said,) = reviewing.said_of(build, findings.fits["F1"])
        assert (said.news.readings, said.news.jobs, said.news.same_day) == (readings, jobs, same_day), day
        assert bool(said.news) == bool(readings or jobs or same_day)


def test_a_range_that_was_given_up_is_new(tmp_path):
    before = "wanted_before: [{want: [0.02 mm, 0.04 mm], until: 2025-02-06, because: 'too tight'}], because: test"
    build = reviewed(tmp_path, entry("2025-02-05", "bea"), fits=FILES["fits.yaml"].replace("because: test", before))
    (said,) = reviewing.said_of(build, assess(build, shelf()).fits["F1"])
    assert said.news.wanted and not said.news.readings


def test_the_line_to_paste_is_refused_until_a_person_fills_it_in(tmp_path):
    line = reviewing.verdict_line("F1", "agreed")
    for folder in ("bare", "filled"):
        (tmp_path / folder).mkdir()
    assert load(tmp_path / "bare", reviews=f"reviews:\n  {line}\n").problems
    filled = line.replace("date: ", "date: 2025-02-05").replace("who: ", "who: ada").replace("''", "'Fine.'")
    assert load(tmp_path / "filled", reviews=f"reviews:\n  {filled}\n").problems == []


def place(drawing, css: str) -> list[float]:
    """Where marks of a strip stand."""
    return [float(x) for x in re.findall(rf'<text x="([-\d.]+)"[^>]*class="{css}', drawing)]


def test_a_fit_stands_on_its_line_by_its_share_of_the_band(harrow, club):
    build = next(build for build in club.builds if build.id == "harrow-pond")
    fmt, low, high = UnitFormatter("in"), *fit_strip.BAND
    for fit in harrow.fits.values():
        drawing = fit_strip.strip(fit, build.fits[fit.id].of_kind, fmt)
        if build.fits[fit.id].of_kind.stated:
            assert drawing is None, "one figure alone has no band"
            continue
        (x,) = place(drawing, "g-strip-mark")
        share = (fit.clearance - fit.want_low) / (fit.want_high - fit.want_low)
        share = min(max(share, -fit_strip.BEYOND), 1 + fit_strip.BEYOND)
        assert x == pytest.approx(low + share * (high - low), abs=0.1), fit.id
    skirt = fit_strip.strip(harrow.fits["A-F01"], build.fits["A-F01"].of_kind, fmt)
    assert "further off than the line is long" in skirt and "g-arrow" in skirt


def test_what_is_not_measured_has_no_mark_and_one_limit_has_no_band(tmp_path):
    build = load(tmp_path, readings__2025_02_04_skirt=None)
    fit = assess(build, shelf()).fits["F1"]
    drawing = fit_strip.strip(fit, build.fits["F1"].of_kind, UnitFormatter("mm"))
    assert "not measured yet" in drawing and not place(drawing, "g-strip-mark") and "g-whisker" not in drawing
    one_end = fit.model_copy(update={"want_high": None})
    assert fit_strip.strip(one_end, build.fits["F1"].of_kind, UnitFormatter("mm")) is None


def test_worst_first_and_metal_on_last(harrow):
    order = [fit.id for fit in worst_first(list(harrow.fits.values()))]
    states = [harrow.fits[name].state for name in order]
    assert states[:3] == ["out"] * 3 and states[-2:] == ["metal on"] * 2
    looks = [harrow.fits[name].look for name in order if harrow.fits[name].state != "metal on"]
    assert looks == sorted(looks, reverse=True)
    assert order.index("A-F05") < order.index("A-F07") < order.index("A-F10"), (
        "by the chance that the dangerous end is past"
    )


@pytest.mark.slow
def test_the_list_names_what_is_asked_and_what_is_new(tmp_path):
    build = reviewed(tmp_path, entry("2025-02-03", "bea", "changes asked"))
    page = next(
        page.text
        for page in rendered(Club([build], shelf()), {build.id: assess(build, shelf())})[0]
        if page.uri.endswith("/fits/index.md")
    )
    text = " ".join(html.unescape(re.sub(r"<[^>]+>", "", page)).split())
    assert "Changes asked by Bea, 2025-02-03, of Skirt in bore: “because”" in text
    assert "Changes asked: Bea, 2025-02-03; since then 1 reading" in text
