"""The timing circle: what the records say stands where they say it, and what they leave open stands nowhere."""

import re

import pytest
from gudgeon.assess.build import assess
from gudgeon.pages.drawn.timing import circles
from gudgeon.wording import UnitFormatter
from small_build import load, shelf

GEARS = """\
part: gears
name: Gears
family: gears
material: ci
state: finished
features:
  ex_opens: {name: Exhaust opens, kind: angle, nominal: 40 deg}
  ex_shuts: {name: Exhaust shuts, kind: angle, nominal: 8 deg}
"""
IGNITION = """\
part: ign
name: Igniter
family: ignition
material: ci
state: finished
features:
  run: {name: NAME, kind: angle, nominal: 18 deg}
"""


def found(tmp_path, **parts):
    build = load(tmp_path, **{f"parts__{name}": text for name, text in parts.items()})
    assert build.problems == []
    return assess(build, shelf())


def test_the_settings_of_the_records_with_their_lengths_along_the_rim(harrow):
    """A rim of 24 in: 40° along it is π × 24 × 40 ÷ 360 = 8.378 in."""
    own, *printed = circles(harrow, UnitFormatter("in"))
    text = " ".join(re.sub(r"<[^>]*>", " ", str(own[1])).split())
    assert own[0] is None and "exhaust opens 40° before outer dead centre, 8.378 in along the rim" in text
    assert "spark, starting 5° after inner dead centre, 1.047 in along the rim" in text
    assert {mark.source for mark, _ in printed} == {"rathbun-1916", "kansas-timing"}
    assert "35 to 45° before outer dead centre, 7.330 to 9.425 in along the rim" in str(printed[1][1])


def test_the_exhaust_stands_open_from_where_it_opens_to_where_it_shuts_and_no_inlet_is_made_up(tmp_path):
    findings = found(tmp_path, gears=GEARS)
    assert [setting.mark for setting in findings.timing_settings] == [None, None], "no rim is known"
    text = str(circles(findings, UnitFormatter("mm"))[0][1])
    assert "exhaust open</text>" in text and "inlet" not in text and "along the rim" not in text
    # 40° before the outer dead centre is 140° round: right of the middle and below it; 8° after the inner nearly on top.
    start = re.search(r'<path d="M ([\d.]+) ([\d.]+) A 50 50 0 1 1 ([\d.]+) ([\d.]+)" class="g-exhaust-open"', text)
    assert [float(end) for end in start.groups()] == pytest.approx([116.1, 134.3, 91.0, 46.5])


@pytest.mark.parametrize(
    ("name", "place"),
    [
        ("Advance before inner dead centre", ("inner", "before")),
        ("Setting ATDC", ("inner", "after")),
        ("Advance", (None, None)),
        ("Before or after", (None, None)),
        ("Before bottom dead centre", (None, None)),
    ],
)
def test_a_spark_stands_on_the_side_that_its_words_say_and_nowhere_else(tmp_path, name, place):
    findings = found(tmp_path, ign=IGNITION.replace("NAME", name))
    (setting,) = findings.timing_settings
    assert (setting.centre, setting.side) == place
    text = str(circles(findings, UnitFormatter("mm"))[0][1])
    assert ("on which side of dead centre is not clear" in text) == (place == (None, None))
    assert text.count('class="g-dot"') == (place != (None, None))


def test_words_that_say_otherwise_than_the_sum_are_not_drawn(tmp_path):
    text = GEARS.replace("name: Exhaust opens,", "name: Exhaust opens after outer dead centre,")
    assert found(tmp_path, gears=text).timing_settings[0].side is None
