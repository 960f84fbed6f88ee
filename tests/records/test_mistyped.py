"""One detector of numbers in the wrong unit, for the site, quick entry and the shelf; both sides of each tolerance."""

import pytest
from gudgeon.entry.line import read_line
from gudgeon.entry.sizes import NotClear
from gudgeon.records.build_file import Instrument
from gudgeon.records.graphs import reached
from gudgeon.records.mistyped import mistyped, slipped_by
from gudgeon.records.parts import Feature
from small_build import FILES, bent, findings, load


def feature(kind: str, nominal: str, **more) -> Feature:
    return Feature(name="Feature", kind=kind, nominal=nominal, **more)


@pytest.mark.parametrize(
    ("kind", "nominal", "read", "inches", "says"),
    [
        ("od", "100 mm", 3.94, False, "inch typed as millimetre"),
        ("od", "100 mm", 3.94, True, None),  # written in inches, it is no millimetre
        ("od", "4 in", 101.6 * 25.4, True, "millimetre typed as inch"),
        ("od", "100 mm", 1000.0, False, "a nought slipped"),
        ("od", "100 mm", 50.0, False, "radius for diameter"),
        ("od", "100 mm", 200.0, False, "diameter doubled"),
        ("od", "100 mm", 205.9, False, "diameter doubled"),
        ("od", "100 mm", 180.0, False, None),  # a blank
        ("length", "100 mm", 200.0, False, None),  # a length has no radius
        # A part in work has up to a fifth of metal on, and is mistyped all the same.
        ("od", "100 mm", 119.9 / 25.4, False, "inch typed as millimetre"),
        ("od", "100 mm", 120.1 / 25.4, False, None),
        ("od", "100 mm", 1199.0, False, "a nought slipped"),
        ("od", "100 mm", 1201.0, False, None),
        # A gap or a play wears to several times its nominal: only what comes within 3 percent is a slip.
        ("gap", "0.1 mm", 1.029, False, "a nought slipped"),
        ("gap", "0.1 mm", 1.031, False, None),
        ("gap", "0.1 mm", 0.9, False, None),
    ],
)
def test_both_sides_of_each_tolerance(kind, nominal, read, inches, says):
    mistake = mistyped(feature(kind, nominal), read, inches)
    assert (mistake and mistake.kind) == says


def test_a_rule_is_copied_to_the_digit():
    assert slipped_by(10.29, (10.0,)) == 10.0 and slipped_by(10.31, (10.0,)) is None
    assert slipped_by(1 / 25.4, (10.0, 25.4)) == 1 / 25.4


@pytest.mark.parametrize("read", ["1.966", "2.35", "499.45", "24.97", "49.945", "51.0", "58.0"])
def test_entry_refuses_what_the_site_holds_back(tmp_path, read):
    """The skirt of 49.94 mm: the line is refused as mistyped exactly where the row would be held back."""
    rows = FILES["readings/2025-02-04-skirt.yaml"].replace("49.945", read)
    slips = {slip.kind for slip in findings(tmp_path, readings__2025_02_04_skirt=rows).mistakes}
    slips &= {"inch typed as millimetre", "radius for diameter", "diameter doubled", "a nought slipped"}
    (tmp_path / "again").mkdir()
    build = load(tmp_path / "again")
    try:
        read_line(build, f"piston skirt 20 - {read} 20c/20c mic", build.newest_date)
        refused = ""
    except NotClear as error:
        refused = str(error)
    assert ("far from" in refused) == bool(slips), (refused, slips)


@pytest.mark.parametrize(
    ("size", "reached_by_it"), [(75.0000009, True), (75.0000011, False), (25.0, True), (24.99, False)]
)
def test_one_reach_of_an_instrument(tmp_path, size, reached_by_it):
    """A nanometre is within binary rounding, as everywhere; the site and quick entry ask the same instrument."""
    mic: Instrument = load(tmp_path).instruments["mic"]
    assert mic.can_reach(size) == reached_by_it


def test_one_size_of_a_feature_decides():
    """Of a gap that a file widens the least decides, for pages and sums alike; so of a gap that says no metal side."""
    sizes = [0.30, 0.35]
    assert feature("gap", "0.3 mm", metal_side="internal").deciding(sizes, float) == 0.30
    assert feature("gap", "0.3 mm").deciding(sizes, float) == 0.30
    assert feature("bore", "50 mm", metal_side="external").deciding(sizes, float) == 0.35
    assert feature("od", "50 mm").deciding(sizes, float) == 0.35


def test_all_features_of_a_part_are_spelled_out_in_one_place(tmp_path):
    build = load(tmp_path)
    assert build.spelled_out(["cyl.*", "piston.skirt", "cyl.bore"]) == ["cyl.bore", "piston.skirt"]


def test_a_material_is_what_it_is_like(tmp_path):
    like = bent("materials.yaml", "name: grey iron", "like: grey-iron, name: grey iron")
    build = load(tmp_path, materials=like)
    assert (build.club_material("ci"), build.club_material("brass")) == ("grey-iron", "brass")


def test_a_walk_ends_in_a_circle():
    leads = {"a": ["b"], "b": ["a", "c"], "c": []}
    assert reached(["a"], leads.__getitem__) == ["a", "b", "c"]
