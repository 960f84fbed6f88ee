"""Properties that hold for every input: quantities, CSV and YAML there and back, empty reviews, the order of files."""

import random
import shutil
import string
from fractions import Fraction

import pytest
from club_repo import ClubRepo, review
from conftest import ROOT
from gudgeon.assess.build import assess
from gudgeon.ledger.comparison import Comparison, Pair
from gudgeon.records.load_build import load_build
from gudgeon.records.problems import Problems
from gudgeon.records.readings import ReadingsFile
from gudgeon.records.readings_csv import as_texts, from_csv, reads_value, to_csv, to_yaml
from gudgeon.records.validation import validate
from gudgeon.records.yaml_text import UNSEEN, read_yaml
from gudgeon.records.yaml_writing import flow, scalar
from gudgeon.review.compare import slip_of
from gudgeon.wording import UnitFormatter, number
from gudgeon_calc.units import KINDS, NotAQuantity, read_quantity, read_readings, registry
from hypothesis import given, settings
from hypothesis import strategies as st
from small_build import FILES, bent, shelf, write

pytestmark = pytest.mark.slow

SLOW = settings(max_examples=25)
# Unit as written -> its name in pint's own registry, which has its figures from elsewhere than our table.
PINT = {
    "length": {"in": "inch", "thou": "thou", "ft": "foot", "mm": "mm", "cm": "cm", "m": "m", "µm": "um", "um": "um"},
    "pressure": {"MPa": "MPa", "GPa": "GPa", "psi": "psi", "bar": "bar", "kPa": "kPa"},
    "force": {"N": "N", "kN": "kN", "lbf": "lbf"},
    "torque": {"N.m": "N*m", "lbf.ft": "lbf*ft", "lbf.in": "lbf*inch"},
    "mass": {"kg": "kg", "g": "g", "lb": "lb"},
    "power": {"W": "W", "kW": "kW", "hp": "hp"},
    "energy": {"J": "J", "kJ": "kJ"},
    "velocity": {"m/s": "m/s", "m/min": "m/min", "ft/min": "ft/min", "ft/s": "ft/s"},
    "volume": {"cu in": "inch**3", "cm³": "cm**3", "L": "L"},
    "time": {"min": "min", "h": "hour", "day": "day"},
    "density": {"kg/m³": "kg/m**3", "lb/cu in": "lb/inch**3"},
}
BASES = {
    "length": "mm",
    "pressure": "MPa",
    "force": "N",
    "torque": "N*m",
    "mass": "kg",
    "power": "W",
    "energy": "J",
    "velocity": "m/s",
    "volume": "mm**3",
    "time": "min",
    "density": "kg/m**3",
}

decimals = st.from_regex(r"[0-9]{1,6}(\.[0-9]{1,6})?", fullmatch=True)
signs = st.sampled_from(["", "-", "+", "−", "- "])


@st.composite
def written_lengths(draw):
    """(text, exact millimetres) of a length in any form that may be written."""
    sign, unit = draw(signs), draw(st.sampled_from(sorted(KINDS["length"])))
    gap = draw(st.sampled_from(["", " ", "  "]))
    if draw(st.booleans()):
        figure = draw(decimals)
        value = Fraction(figure)
    else:
        over, under = draw(st.integers(1, 999)), draw(st.integers(1, 999))
        whole = draw(st.one_of(st.none(), st.integers(0, 999)))
        between = draw(st.sampled_from([" ", "-"]))
        figure = f"{over}/{under}" if whole is None else f"{whole}{between}{over}/{under}"
        value = (whole or 0) + Fraction(over, under)
    factor = {
        "in": Fraction(254, 10),
        "thou": Fraction(254, 10000),
        "tenth": Fraction(254, 100000),
        "tenths": Fraction(254, 100000),
        "ft": Fraction(3048, 10),
        "mm": 1,
        "cm": 10,
        "m": 1000,
    }.get(unit, Fraction(1, 1000))
    return f"{sign}{figure}{gap}{unit}", (-value if sign.strip() in ("-", "−") else value) * factor


@given(written_lengths())
def test_every_form_of_a_length_is_read_exactly_and_kept_as_written(case):
    text, mm = case
    measure = read_quantity(text, "length")
    assert measure.value == mm and str(measure) == text
    assert read_quantity(str(measure), "length") == measure


@given(st.sampled_from([(kind, unit) for kind, units in PINT.items() for unit in units]), decimals, signs)
def test_every_unit_is_what_an_independent_library_says(case, figure, sign):
    kind, unit = case
    measure = read_quantity(f"{sign}{figure} {unit}", kind)
    value = float(figure) * (-1 if sign.strip() in ("-", "−") else 1)
    assert float(measure) == pytest.approx(
        registry.Quantity(value, PINT[kind][unit]).m_as(BASES[kind]), rel=1e-9, abs=1e-12
    )


def test_no_unit_that_the_library_knows_is_left_out():
    left = {kind: set(units) - set(PINT.get(kind, {})) for kind, units in KINDS.items() if kind in PINT}
    assert {kind: units for kind, units in left.items() if units} == {
        "length": {"tenth", "tenths", "μm"},
        "volume": {"cm3", "mm³", "mm3"},
        "time": {"days"},
        "density": {"kg/m3"},
        "torque": {"N·m", "lbf·ft", "lbf·in"},
        "energy": {"ft·lbf"},
    }


@given(st.text(max_size=80), st.sampled_from(sorted(KINDS)))
def test_any_text_is_a_quantity_or_refused_in_words(text, kind):
    try:
        assert read_quantity(text, kind).text == text.strip()
    except NotAQuantity as error:
        assert str(error)


@given(st.lists(decimals, min_size=1, max_size=8), st.sampled_from(["in", "mm", "thou"]))
def test_a_row_of_readings_keeps_every_digit(figures, unit):
    reads = read_readings(" ".join([*figures, unit]))
    assert [each.text for each in reads] == [f"{each} {unit}" for each in figures]


@given(st.floats(-1e5, 1e5), st.integers(0, 5))
def test_a_printed_figure_is_the_nearest_and_never_a_negative_nought(value, places):
    text = number(value, places)
    back = Fraction(text.replace("−", "-"))
    assert abs(back - Fraction(repr(value))) <= Fraction(1, 2 * 10**places) + Fraction(1, 10 ** (places + 6))
    assert not (text.startswith("−") and back == 0)


@given(st.floats(-100, 100))
def test_a_size_printed_and_read_again_prints_the_same(mm):
    for fmt in (UnitFormatter("in"), UnitFormatter("mm")):
        text = fmt.size_text(mm)
        assert fmt.size_text(float(read_quantity(text, "length"))) == text


ids = st.from_regex(r"[A-Za-z][A-Za-z0-9_-]{0,8}", fullmatch=True).filter(lambda each: each.lower() != "index")
texts = (
    st.text(st.characters(exclude_categories=["Cs", "Cc", "Cn"]), min_size=1, max_size=60)
    .map(str.strip)
    .filter(lambda each: each and not UNSEEN.search(each))
)


@st.composite
def rows(draw):
    """A row of readings as a readings file has it."""
    unit = draw(st.sampled_from(["in", "mm", "thou"]))
    if draw(st.booleans()):
        short = st.from_regex(r"[0-9]{1,2}(\.[0-9]{1,6})?", fullmatch=True)
        reads = " ".join([*draw(st.lists(short, min_size=1, max_size=4)), unit])
    else:
        sizes = written_lengths().filter(lambda each: abs(each[1]) <= 10_000)  # mm: no longer is ever read
        reads = draw(st.lists(sizes.map(lambda each: each[0]), min_size=1, max_size=4))
    row = {
        "id": draw(ids),
        "of": f"{draw(ids)}.{draw(ids)}",
        "date": "2025-02-20",
        "by": draw(ids),
        "reads": reads,
        "gauge": draw(ids),
    }
    for key, values in (
        ("station", written_lengths().filter(lambda each: abs(each[1]) <= 10_000).map(lambda each: each[0])),
        ("angle", st.integers(0, 359).map(lambda each: f"{each} deg")),
        ("part_temp", st.integers(-20, 90).map(lambda each: f"{each} °C")),
        ("after", ids),
        ("as_held", texts),
        (
            "note",
            st.one_of(
                texts,
                st.sampled_from(
                    [
                        "=1+1",
                        "'",
                        "''x",
                        "-",
                        "+5",
                        "@x",
                        "no",
                        "1:48",
                        "010",
                        "a: b # c",
                        "[x]",
                        "~",
                        '"',
                        "two\nlines",
                    ]
                ),
            ),
        ),
    ):
        if draw(st.booleans()):
            row[key] = draw(values)
    return row


def read_rows(text):
    problems = Problems()
    document = read_yaml(text, "x.yaml", problems)
    record = validate(ReadingsFile, document, problems) if document else None
    assert record is not None, problems.in_order()
    return list(record.rows)


@given(st.lists(rows(), min_size=1, max_size=4))
def test_rows_go_to_yaml_to_csv_and_back_without_loss(given_rows):
    first = read_rows(to_yaml(given_rows))
    text = to_csv(first)
    problems = Problems()
    back = from_csv(text, "x.csv", problems)
    assert not problems
    second = read_rows(to_yaml(back))
    assert [as_texts(row) for row in second] == [as_texts(row) for row in first]
    assert to_csv(second) == text
    for row, each in zip(first, given_rows, strict=True):
        wanted = (
            each["reads"] if isinstance(each["reads"], list) else [read.text for read in read_readings(each["reads"])]
        )
        assert [read.text for read in row.reads] == [read.strip() for read in wanted]
        assert row.note == each.get("note") and row.as_held == each.get("as_held")


@given(st.dictionaries(ids, st.one_of(texts, st.lists(texts, min_size=1, max_size=3)), min_size=1, max_size=5))
def test_what_is_written_as_yaml_reads_as_it_was(values):
    problems = Problems()
    document = read_yaml(f"a: {flow(values)}\n", "x.yaml", problems)
    assert document is not None, problems.in_order()
    assert document.data == {"a": values}


@given(st.text(st.characters(exclude_categories=["Cs"]), max_size=40))
def test_any_text_is_one_scalar_on_one_line(text):
    written = scalar(text)
    assert "\n" not in written
    problems = Problems()
    document = read_yaml(f"a: {written}\n", "x.yaml", problems)
    assert problems if document is None else document.data["a"] == text


def test_a_cell_of_readings_is_split_only_where_it_says_so():
    assert reads_value("4.25 4.26 in") == "4.25 4.26 in" and reads_value("1 51/64 in;") == ["1 51/64 in"]


@given(st.integers(49_900, 49_999), st.integers(49_990, 50_030))
@SLOW
def test_a_review_of_equal_trees_is_empty(tmp_path_factory, skirt, bore):
    folder = tmp_path_factory.mktemp("equal")
    changed = {
        "readings__2025_02_04_skirt": bent("readings/2025-02-04-skirt.yaml", "49.945", f"{skirt / 1000:.3f}"),
        "readings__2025_02_02_bore": bent("readings/2025-02-02-bore.yaml", "50.010 50.010", f"{bore / 1000:.3f}"),
    }
    write(folder / "small", **changed)
    knowledge = shelf()
    was, now = (load_build(folder / "small", "builds/small", knowledge) for _ in range(2))
    found_was, found = (None if build.problems else assess(build, knowledge) for build in (was, now))
    pair = Pair("small", was, now, found_was, found)
    slip = slip_of(Comparison("one", "other", knowledge, knowledge, [lambda: pair]))
    assert slip.empty or (slip.blockers and not (slip.fits or slip.stale or slip.work))


def test_a_review_of_a_revision_with_itself_is_empty(tmp_path):
    repo = ClubRepo(tmp_path / "club")
    dice = random.Random(5)
    for _ in range(5):
        repo.read(
            f"r{dice.randrange(100, 999)}", f"49.{dice.randrange(900, 999)}", name=f"2025-02-2{dice.randrange(9)}-skirt"
        )
        repo.commit("a step")
        assert review(repo.root, base="HEAD", head="HEAD").empty and review(repo.root, base="HEAD").empty


def without_places(found) -> dict:
    """Findings without the file and line that each stands in."""

    def bare(node):
        if isinstance(node, dict):
            return {key: bare(each) for key, each in node.items() if key != "source"}
        return [bare(entry) for entry in node] if isinstance(node, list | tuple) else node

    return bare(found.model_dump())


@pytest.mark.parametrize("name", ["harrow-pond", "sundlia"])
@pytest.mark.parametrize("seed", range(3))
def test_the_order_of_files_changes_no_finding(tmp_path, club, name, seed):
    build = next(each for each in club.builds if each.id == name)
    folder = tmp_path / name
    shutil.copytree(ROOT / "builds" / name, folder)
    dice = random.Random(seed)
    for path in sorted((folder / "readings").glob("*.yaml")):
        path.rename(path.with_name(f"{''.join(dice.choices(string.ascii_lowercase, k=6))}-{path.name}"))
    again = load_build(folder, f"builds/{name}", club.knowledge)
    assert again.problems == []
    assert without_places(assess(again, club.knowledge)) == without_places(assess(build, club.knowledge))


@given(st.permutations(range(6)))
@SLOW
def test_the_order_of_readings_among_files_changes_no_finding(tmp_path_factory, order):
    """Six rows at six places, spread over files in every order."""
    folder = tmp_path_factory.mktemp("order")
    places = [
        f"{{id: p{index}, of: cyl.bore, date: 2025-02-0{index + 2}, by: ada, gauge: gauge, part_temp: 20 °C, gauge_temp: 20 °C, after: BORE, station: {20 + 10 * (index % 3)} mm, angle: {90 * (index // 3)} deg, reads: 50.0{11 + index} mm}}"
        for index in range(6)
    ]
    found = []
    for arrangement in (range(6), order):
        there = write(folder / f"small{len(found)}")
        for file, index in enumerate(arrangement):
            (there / "readings" / f"{file}.yaml").write_text(f"rows:\n  - {places[index]}\n", encoding="utf-8")
        knowledge = shelf()
        build = load_build(there, "builds/small", knowledge)
        assert build.problems == []
        dump = without_places(assess(build, knowledge))
        dump.pop("build")
        found.append(dump)
    assert found[0] == found[1]


def test_these_properties_can_fail(tmp_path):
    build = load_build(
        write(
            tmp_path / "small",
            **{"readings__2025_02_04_skirt": FILES["readings/2025-02-04-skirt.yaml"].replace("49.945", "49.944")},
        ),
        "builds/small",
        shelf(),
    )
    other = load_build(write(tmp_path / "other" / "small"), "builds/small", shelf())
    assert without_places(assess(build, shelf())) != without_places(assess(other, shelf()))


@given(decimals, signs, st.sampled_from(["°C", "C", "°F", "F"]))
def test_every_temperature_is_read_exactly(figure, sign, unit):
    measure = read_quantity(f"{sign}{figure} {unit}", "temperature")
    value = Fraction(figure) * (-1 if sign.strip() in ("-", "−") else 1)
    assert measure.value == (value if unit.endswith("C") else (value - 32) * Fraction(5, 9))
    difference = read_quantity(f"{sign}{figure} {unit}", "temperature difference")
    assert difference.value == (value if unit.endswith("C") else value * Fraction(5, 9))


@given(st.integers(1, 999_999), st.integers(1, 999_999))
def test_every_taper_is_read_exactly(rise, run):
    assert read_quantity(f"{rise}:{run}", "ratio").value == Fraction(rise, run)


@given(
    decimals, signs, st.sampled_from([("angle", "deg"), ("angle", "°"), ("speed", "rpm"), ("drip rate", "drops/min")])
)
def test_units_that_are_their_own_base_keep_the_figure(figure, sign, case):
    kind, unit = case
    value = Fraction(figure) * (-1 if sign.strip() in ("-", "−") else 1)
    assert read_quantity(f"{sign}{figure} {unit}", kind).value == value
