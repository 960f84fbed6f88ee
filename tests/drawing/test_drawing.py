"""The drawing library: words stay words, and places follow from values."""

import datetime as dt
import xml.etree.ElementTree as ET

import pytest
from gudgeon.drawing import dimensions, hatching
from gudgeon.drawing.canvas import Canvas, at_angle
from gudgeon.drawing.legend import legend, wrapped
from gudgeon.drawing.scales import Axis, Broken, Days, apart, ticks

HOSTILE = '"><script>alert(1)</script>&<b>\x07\n'


def test_words_stay_words_wherever_they_stand():
    canvas = Canvas("a", HOSTILE, HOSTILE, 100, links=True)
    with canvas.link(f"?{HOSTILE}", HOSTILE), canvas.group(HOSTILE, turned=30, at=(1, 2)):
        canvas.text(1, 2, HOSTILE, css=HOSTILE)
    canvas.rect(0, 0, 5, 5, "g-metal", fill=hatching.hatch(canvas, "cut"))
    markup = str(canvas.markup())
    root = ET.fromstring(markup)
    assert [element.tag for element in root.iter()] == [
        "svg",
        "title",
        "desc",
        "a",
        "g",
        "text",
        "pattern",
        "line",
        "rect",
    ]
    assert "<script" not in markup and "\n" not in markup and "\x07" not in markup
    assert root.find("a/g/text").text.startswith('"><script>alert(1)</script>&<b>')


def test_a_drawing_names_and_describes_itself():
    root = ET.fromstring(Canvas("x", "Bore", "4.2500 in", 50).markup())
    assert root.get("role") == "img" and root.get("aria-labelledby") == "x-t x-d"
    assert (root.find("title").text, root.find("desc").text) == ("Bore", "4.2500 in")
    with pytest.raises(ValueError, match="links=True"), Canvas("y", "a", "b", 10).link("#", "c"):
        pass


def test_what_is_no_number_is_not_drawn():
    with pytest.raises(ValueError, match="cannot show"):
        Canvas("x", "a", "b", 10).line(0, float("nan"), 1, 1, "g-line")


def test_angles_run_clockwise_from_the_top():
    assert at_angle(10, 10, 5, 0) == pytest.approx((10, 5))
    assert at_angle(10, 10, 5, 90) == pytest.approx((15, 10))
    assert at_angle(10, 10, 5, 180) == pytest.approx((10, 15))


def test_an_arc_of_more_than_half_a_turn_goes_the_long_way():
    canvas = Canvas("x", "a", "b", 10)
    canvas.arc(50, 50, 10, 0, 90, "g-line")
    canvas.arc(50, 50, 10, 0, 270, "g-line")
    short, far = (path.get("d") for path in ET.fromstring(canvas.markup()).iter("path"))
    assert short == "M 50 40 A 10 10 0 0 1 60 50" and far == "M 50 40 A 10 10 0 1 1 40 50"


@pytest.mark.parametrize(
    ("low", "high", "labels"),
    [
        (0.0, 10.0, ["0", "2", "4", "6", "8", "10"]),
        (-0.004, 0.006, ["-0.004", "-0.002", "0.000", "0.002", "0.004", "0.006"]),
        (0.0, 0.05, ["0.00", "0.01", "0.02", "0.03", "0.04", "0.05"]),
        (990.0, 1010.0, ["990", "995", "1000", "1005", "1010"]),
        (1.0, 1.0, []),
    ],
)
def test_ticks_are_round_and_within(low, high, labels):
    assert [words.replace("−", "-") for _, words in ticks(low, high, 5)] == labels


def test_an_axis_runs_either_way():
    along, up = Axis(0, 10, 0, 100, margin=0), Axis(0, 10, 100, 0, margin=0)
    assert [along.at(value) for value in (0, 2.5, 10, 99)] == [0, 25, 100, 100]
    assert [up.at(value) for value in (0, 2.5, 10, -9)] == [100, 75, 0, 100]


def test_days_stand_as_far_apart_as_they_are():
    days = Days(dt.date(2025, 1, 1), dt.date(2025, 1, 11), 0, 100)
    assert [days.at(dt.date(2025, 1, day)) for day in (1, 2, 6, 11)] == [0, 10, 50, 100]
    assert days.at(dt.date(2025, 1, 1), 0.5) == 5
    assert Days(dt.date(2025, 1, 1), dt.date(2025, 1, 1)).last == dt.date(2025, 1, 8)


@pytest.mark.parametrize(
    ("last", "labels"),
    [
        (dt.date(2025, 1, 4), ["1 Jan", "2 Jan", "3 Jan", "4 Jan"]),
        (dt.date(2025, 1, 31), ["6 Jan", "13 Jan", "20 Jan", "27 Jan"]),
        (dt.date(2025, 5, 2), ["Jan 2025", "Feb 2025", "Mar 2025", "Apr 2025", "May 2025"]),
        (dt.date(2029, 5, 2), ["2025", "2026", "2027", "2028", "2029"]),
    ],
)
def test_ticks_of_days_are_days_weeks_months_or_years(last, labels):
    assert [words for _, words in Days(dt.date(2025, 1, 1), last).ticks()] == labels


@pytest.mark.parametrize("way", [1, -1])
def test_a_broken_axis_shows_the_last_stretch_large_and_never_turns_back(way):
    axis = Broken(near=0, far=way * 200, cut=way * 20, left=0, right=100, share=0.7)
    places = [axis.at(way * value) for value in (0, 10, 20, 20.001, 110, 200, 300)]
    assert places == sorted(places) and places[0] == 0 and places[-1] == places[-2] == 100
    assert places[1] == pytest.approx(places[2] / 2)
    assert places[2] < axis.break_at() < places[3]
    assert (places[2] - places[1]) / 10 > 10 * (places[5] - places[4]) / 90


def test_an_axis_without_a_far_stretch_is_not_broken():
    axis = Broken(near=0, far=12, cut=20, left=0, right=100)
    assert axis.break_at() is None and [axis.at(value) for value in (0, 6, 12)] == [0, 50, 100]


def test_labels_are_moved_apart_and_keep_their_order():
    assert apart([30, 10, 12, 60], 15) == [40, 10, 25, 60]


def test_words_fit_or_say_that_they_do_not():
    assert wrapped("one two three", 48) == ["one two", "three"]
    assert wrapped("one two three four five", 48, most=2) == ["one two", "three…"]


def test_a_dimension_too_short_for_its_arrows_has_them_outside():
    canvas = Canvas("x", "a", "b", 100)
    dimensions.across(canvas, 100, 104, 50, "5.5 thou")
    lines = [(float(line.get("x1")), float(line.get("x2"))) for line in ET.fromstring(canvas.markup()).iter("line")]
    assert lines == [(88, 100), (104, 116)]


def test_a_legend_goes_on_in_the_next_line_where_it_has_no_room():
    canvas = Canvas("x", "a", "b", 100)
    rows = [("g-metal", None, "all the words of a state")] * 3
    assert legend(canvas, rows, 4, 10) == 10 + 17 * 2
    assert legend(Canvas("x", "a", "b", 100), rows[:1], 4, 10) == 27
