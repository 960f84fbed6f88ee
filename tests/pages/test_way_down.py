"""The way of a feature down to its size: what is drawn is the findings', on an axis that runs on over its break."""

import xml.etree.ElementTree as ET

import pytest
from gudgeon.pages.drawn import way_down
from gudgeon.records.load_build import load_build
from gudgeon.wording import INCH, UnitFormatter
from small_build import FILES, findings, shelf

MM, IN = UnitFormatter("mm"), UnitFormatter("in")
READ_TWICE = (
    FILES["readings/2025-02-04-skirt.yaml"].replace("after: TURN", "after: ROUGH").replace("49.945", "52.000")
    + "  - {id: s2, station: 20 mm, reads: 50.120 mm, after: TURN}\n"
)
OPERATIONS = FILES["operations.yaml"] + (
    "  ROUGH: {part: piston, does: rough the skirt, changes: [piston.skirt], done: 2025-02-02, estimate: [30 min, 60 min, 90 min]}\n"
    "  FINISH: {part: piston, does: finish the skirt, needs: [TURN], changes: [piston.skirt], estimate: [30 min, 60 min, 90 min]}\n"
)


@pytest.fixture
def skirt(tmp_path):
    """A skirt that was roughed and turned and has metal on; and its spec."""
    made = findings(tmp_path, operations=OPERATIONS, readings__2025_02_04_skirt=READ_TWICE)
    return made.features["piston.skirt"], load_build(tmp_path / "small", "builds/small", shelf()).features[
        "piston.skirt"
    ]


def test_the_axis_runs_one_way_and_on_over_its_break(skirt):
    feature, spec = skirt
    for fmt, last in ((MM, 0.5), (IN, 0.020 * INCH)):
        axis = way_down.axis_of(feature, spec, [], fmt)
        stop = way_down.wanted(feature, spec).stop
        assert axis.broken and axis.cut == pytest.approx(stop + last)
        sizes = [axis.near + (axis.far - axis.near) * step / 400 for step in range(401)]
        places = [axis.at(size) for size in sizes]
        assert all(after <= before for before, after in zip(places, places[1:], strict=False))
        before, beyond = axis.at(axis.cut - 1e-9), axis.at(axis.cut + 1e-9)
        assert beyond < axis.break_at() < before and before - beyond == pytest.approx(
            10, abs=0.2
        )  # the gap of the break


def test_states_stand_at_their_sizes_with_their_doubt(skirt):
    feature, spec = skirt
    assert [state.after for state in feature.history] == ["ROUGH", "TURN"]
    axis = way_down.axis_of(feature, spec, [], MM)
    root = ET.fromstring(way_down.way_down(feature, spec, [], {"ROUGH": "rough the skirt"}, MM))
    assert [float(dot.get("cx")) for dot in root.iter("circle") if dot.get("class") == "g-dot"] == [
        axis.at(state.decides) for state in feature.history
    ]
    doubts = [box for box in root.iter("rect") if box.get("class") == "g-doubt"]
    ends = [float(doubts[1].get("x")), float(doubts[1].get("x")) + float(doubts[1].get("width"))]
    now = feature.history[-1]
    assert now.expanded == feature.expanded
    assert ends == pytest.approx([axis.at(now.decides + now.expanded), axis.at(now.decides - now.expanded)], abs=2)
    scrap = next(box for box in root.iter("rect") if box.get("class") == "g-danger")
    assert float(scrap.get("x")) == axis.at(feature.stock.target_low)
    words = [text.text for text in root.iter("text")]
    assert f"{MM.size_text(52.0)}, 2025-02-04: rough the skirt" in words
    assert any(" now, " in (line or "") for line in words)


def test_metal_lies_at_the_left_of_a_bore_too(tmp_path):
    made = findings(tmp_path)
    spec = load_build(tmp_path / "small", "builds/small", shelf()).features["cyl.bore"]
    axis = way_down.axis_of(made.features["cyl.bore"], spec, [], MM)
    assert axis.at(50.000) < axis.at(50.040)
    root = ET.fromstring(way_down.way_down(made.features["cyl.bore"], spec, [], {}, MM))
    scrap = next(box for box in root.iter("rect") if box.get("class") == "g-danger")
    assert float(scrap.get("x")) == axis.at(50.040)


def test_what_nothing_says_the_size_of_has_no_scrap_and_says_so(tmp_path):
    bare = FILES["parts/piston.yaml"].replace(", metal_side: external, mates: [cyl.bore]", "")
    made = findings(tmp_path, parts__piston=bare, fits=None)
    feature = made.features["piston.skirt"]
    spec = load_build(tmp_path / "small", "builds/small", shelf()).features["piston.skirt"]
    drawing = way_down.way_down(feature, spec, [], {}, MM)
    assert way_down.wanted(feature, spec) is None
    assert "do not say what it should come to" in drawing and "scrap" not in drawing and "g-wanted" not in drawing


def test_nothing_read_is_nothing_drawn(tmp_path):
    made = findings(tmp_path, readings__2025_02_04_skirt=None)
    spec = load_build(tmp_path / "small", "builds/small", shelf()).features["piston.skirt"]
    assert way_down.way_down(made.features["piston.skirt"], spec, [], {}, MM) is None
