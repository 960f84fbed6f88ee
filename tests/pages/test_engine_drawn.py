"""The engine drawn: held to the sizes of the records, each part in it once and in its state, and nothing made up unsaid."""

import dataclasses
import math
import re
from xml.etree import ElementTree

import pytest
from gudgeon.assess.build import assess
from gudgeon.pages.build_cards import last_done
from gudgeon.pages.drawn.engine import engine
from gudgeon.pages.drawn.states import PATTERNS
from gudgeon.pages.part_states import WORST_FIRST, part_states
from gudgeon.wording import MARKS, MEANS
from gudgeon_calc.units import read_quantity

SVG = "{http://www.w3.org/2000/svg}"


@pytest.fixture(scope="module")
def states(club, harrow):
    """Of the parts of both builds."""
    builds = {build.id: build for build in club.builds}
    sundlia = assess(builds["sundlia"], club.knowledge)
    return {
        name: part_states(builds[name], findings) for name, findings in (("harrow-pond", harrow), ("sundlia", sundlia))
    }


def the(club, name):
    return next(build for build in club.builds if build.id == name)


def changed(build, **figures):
    """The build with other leading figures of its engine; lengths in words."""
    given = {
        name: read_quantity(value, "length") if name in ("bore", "stroke", "rod_centres") and value else value
        for name, value in figures.items()
    }
    head = build.head.model_copy(update={"engine": build.head.engine.model_copy(update=given)})
    return dataclasses.replace(build, head=head)


def drawn(build, states, small=False):
    return engine(build, states, "engine", None if small else lambda part: f"parts/{part}/", small)


def elements(markup):
    return ElementTree.fromstring(str(markup).replace("<svg ", '<svg xmlns="http://www.w3.org/2000/svg" ', 1))


def link_of(root, name):
    return next(link for link in root.iter(f"{SVG}a") if f" {name}: " in link.get("aria-label"))


def middles(root, name):
    rounds = [it for it in link_of(root, name).iter(f"{SVG}circle") if "g-part" in it.get("class")]
    return [(float(it.get("cx")), float(it.get("cy"))) for it in rounds]


def measured(build, states):
    """Bore, throw and rod as they are drawn."""
    root = elements(drawn(build, states).drawing)
    one, other = (
        it for it in link_of(root, build.parts["cyl"].name).iter(f"{SVG}line") if it.get("class") == "g-known"
    )
    (journal, crankpin), (pin,) = middles(root, "Crankshaft"), middles(root, "Gudgeon pin")
    return abs(float(one.get("y1")) - float(other.get("y1"))), math.dist(journal, crankpin), math.dist(crankpin, pin)


@pytest.mark.parametrize("stroke", ["6.375 in", "12.75 in"])
def test_crank_rod_and_bore_are_drawn_to_one_scale_and_close(club, states, stroke):
    build = changed(the(club, "harrow-pond"), stroke=stroke)
    bore, throw, rod = measured(build, states["harrow-pond"])
    assert throw / bore == pytest.approx(float(stroke.split()[0]) / 2 / 4.250, rel=0.015)
    assert rod / bore == pytest.approx(13.750 / 4.250, rel=0.015)


@pytest.mark.parametrize("name", ["harrow-pond", "sundlia"])
def test_every_part_is_a_link_once_or_named_beside_the_picture(club, states, name):
    build = the(club, name)
    made = drawn(build, states[name])
    hrefs = re.findall(r'href="parts/([^/]*)/"', made.drawing)
    assert sorted(hrefs + made.others) == sorted(build.parts) and len(made.others) < len(hrefs)
    for number, part in enumerate(made.shown, 1):
        link = link_of(elements(made.drawing), build.parts[part].name)
        assert link.get("aria-label") == f"{number} {build.parts[part].name}: {states[name][part]}"
        fills = {it.get("fill") for it in link.iter() if it.get("fill")}
        assert f"url(#engine-{states[name][part].replace(' ', '-')})" in fills
    for state in set(states[name].values()):
        assert f"{MARKS[state]} {list(states[name].values()).count(state)} {state}" in made.patterns


def test_every_state_has_a_pattern_of_its_own():
    assert set(PATTERNS) == set(WORST_FIRST) == set(MEANS)
    assert len({(make, str(given)) for make, given in PATTERNS.values()}) == len(PATTERNS)


def test_a_part_stands_as_the_worst_of_its_sizes_and_fits(club, harrow, states):
    assert states["harrow-pond"]["piston"] == "out"  # its skirt has metal on, its top land's fit is out
    assert harrow.features["piston.skirt"].state == "metal on"
    assert states["harrow-pond"]["invalve"] == "in"
    assert states["harrow-pond"]["rod"] == "no reading"  # its eye is frozen, its centres nobody has measured


def test_upright_and_horizontal_and_neither(club, states):
    flat, tall = drawn(the(club, "harrow-pond"), states["harrow-pond"]), drawn(the(club, "sundlia"), states["sundlia"])
    assert (flat.upright, tall.upright) == (False, True) and flat.how_it_stands and tall.how_it_stands
    neither = drawn(changed(the(club, "sundlia"), layout="four-stroke"), states["sundlia"])
    assert neither.drawing and not neither.how_it_stands


@pytest.mark.parametrize(
    ("figures", "lacks"),
    [
        ({"stroke": None}, "the records do not say its stroke"),
        ({"rod_centres": "3 in"}, "its rod is written no longer than its throw, with which it could not turn"),
    ],
)
def test_what_cannot_be_drawn_is_said_and_its_parts_are_listed(club, states, figures, lacks):
    build = changed(the(club, "harrow-pond"), **figures)
    made = drawn(build, states["harrow-pond"])
    assert (made.drawing, made.lacks, made.others) == (None, lacks, list(build.parts))


def test_what_no_record_says_is_dashed_and_an_empty_build_has_no_links(club):
    build = changed(dataclasses.replace(the(club, "harrow-pond"), parts={}), rod_centres=None)
    made = drawn(build, {})
    assert made.guessed and made.shown == [] and "<a " not in made.drawing and made.patterns is None
    assert {it.get("class") for it in elements(made.drawing).iter(f"{SVG}polygon")} == {"g-part g-guessed", "g-void"}


@pytest.mark.parametrize("bore", ["0.02 in", "90 in"])
def test_hostile_names_and_sizes_stay_words_and_numbers(club, states, bore):
    build = changed(the(club, "harrow-pond"), bore=bore)
    parts = {
        name: part.model_copy(update={"name": '<script>alert("1")</script>'}) for name, part in build.parts.items()
    }
    made = drawn(dataclasses.replace(build, parts=parts), states["harrow-pond"])
    assert "<script" not in made.drawing and "nan" not in made.drawing
    assert elements(made.drawing) is not None


def test_what_happened_last_is_the_newest_day_of_the_work(club):
    day, done = last_done(the(club, "harrow-pond"))
    assert (day.isoformat(), done[-1]) == ("2025-03-31", "1 reading")
    assert last_done(dataclasses.replace(the(club, "harrow-pond"), instalments=[], operations={}, rows=[])) is None
