"""A part from a starter has the sizes that follow the engine's, so that a slip of the pen in its first reading is told."""

import pytest
from gudgeon.assess.build import assess
from gudgeon.entry.doubts import MEANT
from gudgeon.entry.starting import new_part
from gudgeon.notes import in_words
from gudgeon.records.load_build import load_build
from gudgeon.records.parts import FAMILIES
from gudgeon.wording import UnitFormatter
from small_build import FILES, load, shelf, write

MAIN = {
    "cylinder": ("bore", "4.250 in"),
    "piston": ("skirt", "4.250 in"),
    "pin": ("od", "0.935 in"),
    "crankshaft": ("crankpin", "1.785 in"),
    "bearing": ("bore", "1.913 in"),
    "bush": ("bore", "0.935 in"),
    "rod": ("centres", "13.75 in"),
    "ring": ("wall", "0.170 in"),
    "valve": ("stem", "0.383 in"),
    "head": ("ex_guide", "0.383 in"),
    "flywheel": ("bore", "1.913 in"),
}
ENGINE = "engine: {layout: horizontal, bore: 4.250 in, stroke: 6.375 in, rod_centres: 13.75 in}"
HEAD = FILES["build.yaml"].replace(FILES["build.yaml"].splitlines()[3], ENGINE).replace("units: mm", "units: in")


def added(tmp_path, club, family: str, head: str, readings: str | None = None):
    """The small build with a part from a starter; its id is "new"."""
    (tmp_path / "small").mkdir()
    folder = write(tmp_path / "small", build=head)
    texts = new_part(
        load_build(folder, "builds/small", shelf()), club.starters[family], shelf().families[family], "new", "New", "ci"
    )
    for name, text in texts.items():
        (folder / name).write_text(text, encoding="utf-8")
    if readings:
        (folder / "readings" / "2025-02-10-new.yaml").write_text(readings, encoding="utf-8")
    build = load_build(folder, "builds/small", shelf())
    assert build.problems == [], build.problems
    return build


@pytest.mark.parametrize("family", sorted(MAIN))
def test_the_main_size_of_a_part_follows_the_engine(tmp_path, club, family):
    feature, nominal = MAIN[family]
    part = added(tmp_path, club, family, HEAD).parts["new"]
    assert part.features[feature].nominal == nominal
    for name, words in shelf().families[family].features.items():
        assert (part.features[name].nominal is not None) == (words.nominal is not None)
        if words.nominal and words.nominal.times not in (1, 0.5):
            assert "common practice, no source" in (part.features[name].note or ""), (
                "a share says its ground on the page"
            )


@pytest.mark.parametrize(
    ("family", "feature", "stations"),
    [
        ("cylinder", "bore", ["0.30 in", "1.90 in", "3.50 in", "5.10 in", "6.70 in"]),
        ("piston", "skirt", ["2.10 in", "3.20 in", "4.25 in"]),
        ("crankshaft", "crankpin", ["0.20 in", "0.85 in", "1.50 in"]),
    ],
)
def test_bore_skirt_and_crankpin_plan_their_stations(tmp_path, club, family, feature, stations):
    planned = added(tmp_path, club, family, HEAD).parts["new"].features[feature].plan
    assert [station.text for station in planned.stations] == stations and planned.angles


def test_a_slip_in_the_first_reading_of_a_new_part_is_told(tmp_path, club):
    row = "rows:\n  - {id: n1, of: new.crankpin, date: 2025-02-10, by: ada, gauge: gauge, reads: 41.2 in, part_temp: 20 °C, gauge_temp: 20 °C}\n"
    found = assess(added(tmp_path, club, "crankshaft", HEAD, row), shelf())
    assert [mistake.kind for mistake in found.mistakes if mistake.row == "n1"] == ["millimetre typed as inch"]
    assert found.rows["n1"].status == "held back"


# Sizes that follow no size of the engine: what pipe, jet or level happens to be.
FREE = {"cooling.vent", "mixer.lift", "oiler.hole", "oiler.level", "head.t"}
# What wears to several times its size: a range would hold an honest reading back.
WEARS = ("play", "gap", "flat", "thread")


@pytest.mark.parametrize("family", FAMILIES)
def test_a_slip_in_any_size_of_a_new_part_can_be_told(tmp_path, club, family):
    features = added(tmp_path, club, family, HEAD).parts["new"].features
    sizes = {name for name, of in features.items() if of.is_length and (of.kind not in WEARS or name == "free_gap")}
    told = {name for name, of in features.items() if of.nominal or of.plausible}
    assert sizes - told == {ref.partition(".")[2] for ref in FREE if ref.startswith(f"{family}.")}
    for name in told:
        rules = shelf().families[family].features[name]
        assert rules.nominal is None or rules.plausible is None, "one rule of a size"


def test_the_demonstration_engines_lie_where_the_families_say(club):
    tried = 0
    for build in club.builds:
        for part in build.parts.values():
            for name, feature in part.features.items():
                words = club.knowledge.families[part.family].features.get(name)
                size = sum(feature.allowed) / 2 if feature.allowed else feature.size
                if words and words.plausible and size:
                    leading = float(getattr(build.sound_head.engine, words.plausible.of))
                    least, most = (share * leading for share in words.plausible.times)
                    assert least < size < most, (build.folder.name, part.part, name)
                    tried += 1
    assert tried >= 10


@pytest.mark.parametrize(
    ("read", "kind"),
    [
        ("0.25 in", None),
        ("0.30 in", None),  # an honest thick crown
        ("1.1 in", None),  # far off, but no slip explains it
        ("6.3 in", "millimetre typed as inch"),
        ("0.25 mm", "inch typed as millimetre"),
        ("2.5 in", "a nought slipped"),
        ("0.025 in", "a nought slipped"),
    ],
)
def test_a_crown_is_known_only_roughly_and_its_slips_are_told(tmp_path, club, read, kind):
    row = (
        "rows:\n  - {id: n1, of: new.crown, date: 2025-02-10, by: ada, gauge: gauge, "
        f"reads: {read}, part_temp: 20 °C, gauge_temp: 20 °C}}\n"
    )
    build = added(tmp_path, club, "piston", HEAD, row)
    found = assess(build, shelf())
    slips = [mistake for mistake in found.mistakes if mistake.row == "n1" and mistake.kind in MEANT]
    assert [mistake.kind for mistake in slips] == ([kind] if kind else [])
    if kind:
        assert "0.128 in to 0.935 in in which it can lie" in in_words(slips[0].cause, UnitFormatter("in"))
    assert build.features["new.crown"].size is None, "no sum takes a guess for a size"


def test_a_span_that_tells_nothing_is_refused(tmp_path):
    text = FILES["parts/piston.yaml"].replace("nominal: 49.94 mm", "plausible: [1 mm, 9 mm]")
    assert "at most 8 times the least" in str(load(tmp_path, parts__piston=text).problems[0])


def test_what_the_engine_does_not_state_is_said_in_the_file(tmp_path, club):
    bare = HEAD.replace(", bore: 4.250 in, stroke: 6.375 in, rod_centres: 13.75 in", "")
    build = added(tmp_path, club, "cylinder", bare)
    assert build.features["new.bore"].nominal is None
    text = (tmp_path / "small/parts/new.yaml").read_text(encoding="utf-8")
    assert (
        "# nominal: build.yaml states no bore of the engine" in text
        and "# stations: build.yaml states no stroke" in text
    )
