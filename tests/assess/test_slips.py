"""Each kind of slip, planted in a small build, is named with its cause and spoils no number."""

import pytest
from small_build import all_said, bent, findings, load, said

SKIRT, BORE = "readings/2025-02-04-skirt.yaml", "readings/2025-02-02-bore.yaml"
ROW = "reads: 49.945 mm}"

ROWS = [  # name, what the row reads instead, kind of slip, words of its cause
    ("inch-as-mm", "reads: 1.9663 mm}", "inch typed as millimetre", "1/25"),
    ("mm-as-inch", "reads: 49.945 in}", "millimetre typed as inch", "25 times"),
    ("tenfold", "reads: 499.45 mm}", "a nought slipped", "10 times"),
    ("tenth", "reads: 4.9945 mm}", "a nought slipped", "1/10 of"),
    ("hundredfold", "reads: 4994.5 mm}", "a nought slipped", "100 times"),
    ("radius", "reads: 24.972 mm}", "radius for diameter", "half of"),
    ("doubled", "reads: 99.89 mm}", "diameter doubled", "twice"),
    ("no-temperature", "reads: 49.945 mm, part_temp: }", "no temperature", "of the part"),
    ("no-gauge-temperature", "reads: 49.945 mm, gauge_temp: }", "no temperature", "of the instrument"),
    (
        "fahrenheit",
        "reads: 49.945 mm, part_temp: 59 °C, gauge_temp: 59 °C}",
        "Fahrenheit as Celsius",
        "59 °F would be 15 °C",
    ),
    ("out-of-range", "reads: 80.000 mm}", "instrument out of its range", "cannot reach 80.000 mm"),
]


@pytest.mark.parametrize(("name", "text", "kind", "words"), ROWS, ids=[row[0] for row in ROWS])
def test_number_that_cannot_be_trusted_is_held_back(tmp_path, name, text, kind, words):
    found = findings(tmp_path, readings__2025_02_04_skirt=bent(SKIRT, ROW, text))
    assert [(slip.kind, slip.row) for slip in found.mistakes] == [(kind, "s1")]
    assert words in said(found.mistakes[0].cause)
    assert found.rows["s1"].status == "held back" and found.features["piston.skirt"].state == "no reading"
    assert found.fits["F1"].state == "no reading" and found.fits["F1"].clearance is None


DOUBTED = [  # what the row reads instead, kind of slip, words of its cause
    ("reads: 49.95 mm}", "fewer digits than the instrument shows", "steps by 0.001 mm"),
    ("reads: 50 mm}", "fewer digits than the instrument shows", "50 mm has fewer digits"),
    ("reads: [1 31/32 in]}", "fraction from a fine instrument", "perhaps read with a rule"),
    ("reads: [49.945 mm, 49.95 mm]}", "fewer digits than the instrument shows", "49.95 mm has fewer digits"),
]


@pytest.mark.parametrize(("text", "kind", "words"), DOUBTED)
def test_digits_coarser_than_the_gauge_are_doubted_and_count(tmp_path, text, kind, words):
    found = findings(tmp_path, readings__2025_02_04_skirt=bent(SKIRT, ROW, text))
    assert [(slip.kind, slip.row) for slip in found.mistakes] == [(kind, "s1")]
    assert words in said(found.mistakes[0].cause)
    assert found.rows["s1"].status == "current"


@pytest.mark.parametrize("text", ["reads: 49.940 mm}", "reads: 1.96630 in}"])
def test_as_many_digits_as_the_gauge_shows_are_no_slip(tmp_path, text):
    assert findings(tmp_path, readings__2025_02_04_skirt=bent(SKIRT, ROW, text)).mistakes == ()


REACH = "range: [25 mm, 75 mm]"


@pytest.mark.parametrize(
    ("most", "kind", "status"),
    [
        ("49.945 mm", None, "current"),
        ("49.850 mm", "just past the range of the instrument", "current"),
        ("49.700 mm", "instrument out of its range", "held back"),
    ],
)
def test_just_past_the_end_of_a_range_is_doubted_and_not_thrown_away(tmp_path, most, kind, status):
    found = findings(tmp_path, instruments=bent("instruments.yaml", REACH, f"range: [25 mm, {most}]"))
    assert found.rows["s1"].status == status
    assert [slip.kind for slip in found.mistakes if slip.row == "s1"] == ([kind] if kind else [])


def test_a_gauge_reaches_no_further_than_what_it_is_set_in(tmp_path):
    found = findings(tmp_path, instruments=bent("instruments.yaml", REACH, "range: [25 mm, 49.800 mm]"))
    (slip,) = [slip for slip in found.mistakes if slip.row == "b1"]
    assert slip.kind == "instrument out of its range" and "outside mic 25-75 mm" in said(slip.cause)
    assert found.rows["b1"].status == "held back"


def test_one_reading_of_a_row_that_slipped_is_not_hidden_by_the_others(tmp_path):
    found = findings(tmp_path, readings__2025_02_04_skirt=bent(SKIRT, ROW, "reads: 49.945 499.45 49.944 mm}"))
    assert [slip.kind for slip in found.mistakes] == ["a nought slipped"] and found.rows["s1"].status == "held back"


def test_a_sound_build_has_no_slips(tmp_path):
    found = findings(tmp_path)
    assert found.mistakes == () and found.fits["F1"].state == "in"


def test_a_rough_casting_is_no_slip(tmp_path):
    found = findings(tmp_path, readings__2025_02_04_skirt=bent(SKIRT, ROW, "reads: 54.000 mm}"))
    assert found.mistakes == ()


def test_fahrenheit_written_as_fahrenheit_is_fine(tmp_path):
    found = findings(
        tmp_path, readings__2025_02_04_skirt=bent(SKIRT, ROW, "reads: 49.945 mm, part_temp: 68 °F, gauge_temp: 68 F}")
    )
    assert found.mistakes == () and found.features["piston.skirt"].size == pytest.approx(49.945, abs=1e-9)


def test_instrument_overdue_through_the_one_it_is_set_in(tmp_path):
    found = findings(tmp_path, instruments=bent("instruments.yaml", "due: 2026-01-01", "due: 2025-02-03"))
    assert [(slip.kind, slip.row) for slip in found.mistakes] == [("instrument overdue", "s1")]
    late = findings(tmp_path_of(tmp_path), instruments=bent("instruments.yaml", "due: 2026-01-01", "due: 2025-01-31"))
    assert [slip.rows for slip in late.mistakes] == [("b1", "b2", "s1")], "the bore gauge is set in the overdue mic"
    assert late.fits["F1"].clearance is not None, "an overdue check does not throw the number away"


def tmp_path_of(tmp_path):
    other = tmp_path / "other"
    other.mkdir()
    return other


def test_too_coarse_is_advice_with_the_number_kept(tmp_path):
    found = findings(tmp_path, instruments=bent("instruments.yaml", "use: 0.004 mm", "use: 0.020 mm"))
    assert any("over a quarter of the wanted range" in words for words in all_said(found.fits["F1"].advice))
    assert "coarse-for-limits" in [note.code for note in found.features["cyl.bore"].advice]
    assert found.mistakes == ()


def test_read_before_the_operation_it_names(tmp_path):
    found = findings(tmp_path, readings__2025_02_04_skirt=bent(SKIRT, "date: 2025-02-04", "date: 2025-02-02"))
    assert [slip.kind for slip in found.mistakes] == ["before the operation"]


def test_read_after_an_operation_that_is_not_done(tmp_path):
    found = findings(tmp_path, operations=bent("operations.yaml", "done: 2025-02-03, ", ""))
    assert [slip.kind for slip in found.mistakes] == ["before the operation"]


POLISH = "  POLISH: {part: piston, does: polish skirt, needs: [TURN], changes: [piston.skirt], done: 2025-02-03}\n"


def test_names_an_earlier_operation_than_the_last(tmp_path):
    found = findings(tmp_path, operations=bent("operations.yaml", "operations:\n", "operations:\n" + POLISH))
    assert [slip.kind for slip in found.mistakes] == ["before the final operation"]
    assert found.rows["s1"].status == "stale"


def test_operation_before_what_it_needs(tmp_path):
    found = findings(tmp_path, operations=bent("operations.yaml", "done: 2025-02-01", "done: 2025-02-10"))
    assert ("done before what it needs", "TURN") in [(slip.kind, slip.operation) for slip in found.mistakes]


def test_operation_done_although_its_need_is_open(tmp_path):
    found = findings(tmp_path, operations=bent("operations.yaml", "done: 2025-02-01, ", ""))
    assert "BORE, which it needs, is not done" in next(
        said(slip.cause) for slip in found.mistakes if slip.operation == "TURN"
    )


HOLDING = """\
operations:
  A: {part: piston, does: rough, holding: H, done: 2025-02-01}
  B: {part: piston, does: bore pin, needs: [A], done: 2025-02-02}
  C: {part: piston, does: finish, needs: [A], holding: H, changes: [piston.skirt], done: 2025-02-03}
"""


def test_holding_broken_by_a_finished_operation(tmp_path):
    found = findings(
        tmp_path,
        operations=HOLDING,
        readings__2025_02_04_skirt=bent(SKIRT, "after: TURN", "after: C"),
        readings__2025_02_02_bore=bent(BORE, ", after: BORE", ""),
    )
    assert [(slip.kind, slip.operation) for slip in found.mistakes] == [("holding broken", "C")]


def test_bore_and_shaft_swapped(tmp_path):
    skirt = bent("parts/piston.yaml", "nominal: 49.94 mm", "nominal: 49.60 mm")
    found = findings(
        tmp_path,
        parts__piston=skirt,
        readings__2025_02_04_skirt=bent(SKIRT, "49.945", "50.005"),
        readings__2025_02_02_bore=bent(BORE, "50.010 50.010", "49.601").replace("50.012 50.012", "49.602"),
    )
    assert "bore and shaft swapped" in [slip.kind for slip in found.mistakes]


def test_limits_reversed_are_refused(tmp_path):
    build = load(tmp_path, parts__cyl=bent("parts/cyl.yaml", "[50.000 mm, 50.040 mm]", "[50.040 mm, 50.000 mm]"))
    assert [problem.text for problem in build.problems] == [
        "limits reversed. Found 50.040 mm then 50.000 mm. Write the least first: [50.000 mm, 50.040 mm]."
    ]


def test_a_holding_kept_is_no_slip_and_the_open_cut_after_a_break_is_told(tmp_path):
    kept = HOLDING.replace("  B: {part: piston, does: bore pin, needs: [A], done: 2025-02-02}\n", "")
    later = (
        "  D: {part: piston, does: drill, needs: [C], done: 2025-02-04}\n  E: {part: piston, does: last, holding: H}\n"
    )
    skirt = bent(SKIRT, "after: TURN", "after: C")
    bore = bent(BORE, ", after: BORE", "")
    found = findings(
        tmp_path, operations=kept + later, readings__2025_02_04_skirt=skirt, readings__2025_02_02_bore=bore
    )
    assert found.mistakes == ()
    (note,) = found.operations["E"].advice
    assert (note.code, note.names) == ("holding-broken", {"holding": ("H",), "by": ("D",)})
