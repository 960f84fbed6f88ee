"""The outline of a part: drawn of every family whatever is known, to the sizes of the findings, every size drawn or told as not drawn."""

import xml.etree.ElementTree as ET

import pytest
from gudgeon.pages.drawn import part_outline
from gudgeon.pages.drawn.outline_sketch import LEFT
from gudgeon.records.load_build import load_build
from gudgeon.records.parts import FAMILIES
from gudgeon.wording import MARKS, UnitFormatter
from small_build import findings, shelf

MM = UnitFormatter("mm")
KINDS = {
    "bore": "bore, nominal: 20 mm, metal_side: internal",
    "od": "od, nominal: 49.94 mm, metal_side: external, plan: {stations: [10 mm, 60 mm], angles: [0 deg, 90 deg]}",
    "groove1_w": "slot, nominal: 3 mm",
    "length": "length, nominal: 80 mm",
    "comp_h": "length, nominal: 30 mm",
    "pin_bore": "bore, nominal: 12 mm",
    "wall": "thickness, nominal: 4 mm",
    "gap": "gap",
    "throw": "radius",
    "taper": "taper, nominal: '1:96'",
    "face": "flat",
    "water": "vessel",
}


def drawn(tmp_path, family, features):
    """The outline of a part of a family with features, none of which was read."""
    text = f"part: one\nname: A part\nfamily: {family}\nmaterial: ci\nstate: in work\nfeatures:\n" + "".join(
        f"  {key}: {{name: The {key}, kind: {KINDS[key]}}}\n" for key in features
    )
    made = findings(tmp_path, parts__one=text)
    part = load_build(tmp_path / "small", "builds/small", shelf()).parts["one"]
    return part, part_outline.outline(
        part, {ref: finding for ref, finding in made.features.items() if ref[:4] == "one."}, MM
    )


@pytest.mark.parametrize("family", FAMILIES)
def test_every_feature_is_drawn_or_told_as_not_drawn(tmp_path, family):
    part, outline = drawn(tmp_path, family, KINDS)
    numbers = {
        text.text.rstrip(MARKS["no reading"]) for text in ET.fromstring(outline.drawing).iter("text") if text.text
    }
    for number, spec in enumerate(part.features.values(), start=1):
        shown = str(number) in numbers or any(words.startswith(f"{number}: ") for words in numbers)
        assert shown != (spec.name in outline.left_out), spec.name
    assert "read" not in " ".join(numbers).replace("angles", ""), "nothing was read"


@pytest.mark.parametrize("family", FAMILIES)
def test_what_nobody_knows_is_told(tmp_path, family):
    _, outline = drawn(tmp_path, family, ["water"])
    assert outline.guessed and outline.left_out == ("The water",)
    assert "no record" in outline.scale or outline.scale.startswith("Not to scale")


def test_a_piston_stands_to_scale_with_its_stations_and_pin(tmp_path):
    _, outline = drawn(tmp_path, "piston", ["od", "length", "comp_h", "pin_bore"])
    root = ET.fromstring(outline.drawing)
    body = next(box for box in root.iter("rect") if box.get("class") == "g-metal")
    scale = float(body.get("width")) / 80
    assert float(body.get("height")) == pytest.approx(49.94 * scale, abs=0.2)
    pin = next(circle for circle in root.iter("circle") if "g-face" in circle.get("class"))
    assert float(pin.get("cx")) == pytest.approx(LEFT + 30 * scale, abs=0.2)
    assert float(pin.get("r")) == pytest.approx(6 * scale, abs=0.2)
    stations = [float(line.get("x1")) for line in root.iter("line") if line.get("class") == "g-nought"]
    assert stations == pytest.approx([LEFT + 10 * scale, LEFT + 60 * scale], abs=0.2)
    assert outline.guessed == () and outline.scale.startswith("To scale")


def test_words_of_an_outline_stand_clear_of_each_other_and_of_its_walls(tmp_path):
    """The words on 0° beside the dimension up the sheet; the distances of stations within or below, not on the wall."""
    _, outline = drawn(tmp_path, "cylinder", ["bore", "od"])
    root = ET.fromstring(outline.drawing)
    words = {text.text: float(text.get("x")) for text in root.iter("text") if text.text}
    upright = next(at for said, at in words.items() if said.startswith("1: ⌀"))
    said = [line for line in words if any(part in line for part in ("what 0°", "no record", "says"))]
    assert "".join(said).replace(" ", "") == "what0°is,norecordsays"
    assert all(words[line] - 3 * len(line) > upright + 5 and words[line] + 3 * len(line) <= 360 for line in said)
    boxes = [box for box in root.iter("rect") if box.get("class") == "g-section"]
    walls = [(float(box.get("y")), float(box.get("y")) + float(box.get("height"))) for box in boxes]
    stations = {line.get("x1") for line in root.iter("line") if line.get("class") == "g-nought"}
    labels = [float(text.get("y")) for text in root.iter("text") if text.get("x") in stations]
    assert len(labels) == 2 and not [y for y in labels for top, end in walls if y > top and y - 9 < end]


def test_numbers_lead_to_the_sizes_and_say_their_state(tmp_path):
    made = findings(tmp_path)
    part = load_build(tmp_path / "small", "builds/small", shelf()).parts["piston"]
    outline = part_outline.outline(part, {"piston.skirt": made.features["piston.skirt"]}, MM)
    (link,) = ET.fromstring(outline.drawing).iter("a")
    assert link.get("href") == "#piston.skirt"
    state = made.features["piston.skirt"].state
    assert link.get("aria-label") == f"1{MARKS[state]} Skirt: {state}, 49.945 mm", "its name holds what it shows"
    assert f"1: ⌀ {MM.size_text(made.features['piston.skirt'].size)} read" in outline.drawing


def test_zero_is_what_the_plan_says():
    assert part_outline.zero_of_angle("stations from the crown; 0 deg = thrust") == "thrust"
    assert part_outline.zero_of_angle("z from head face, 0 = thrust") == "thrust"
    for silent in (None, "z from crown", "stations from 10 deg = top", "90 = top"):
        assert part_outline.zero_of_angle(silent) is None
