"""Form, weights, conditions and slips at both sides of where they turn. Worked out by hand on the small build."""

from dataclasses import replace

import pytest
from assess.test_rules import rule
from assess.test_states import BORE, OPEN, SKIRT, bore_reads
from gudgeon.assess.knowledge_checks import copy_mistakes
from small_build import FILES, bent, findings, shelf


def rows(of, *read):
    """Readings at stations: (station, size)."""
    name = SKIRT if of == "skirt" else BORE
    return (
        FILES[name].partition("rows:\n")[0]
        + "rows:\n"
        + "".join(
            f"  - {{id: r{n}, station: {station} mm, reads: {size} mm}}\n" for n, (station, size) in enumerate(read)
        )
    )


def shape(folder, of, *read):
    changes = {"readings__2025_02_04_skirt" if of == "skirt" else "readings__2025_02_02_bore": rows(of, *read)}
    form = findings(folder, **changes).features["piston.skirt" if of == "skirt" else "cyl.bore"].form
    return [note.code for note in form.shape], form


@pytest.mark.parametrize(
    ("of", "sizes", "told"),
    [
        ("skirt", ("49.940", "49.960", "49.940", "49.940"), "barrelled"),
        ("skirt", ("49.940", "49.920", "49.940", "49.940"), "waisted"),
        ("skirt", ("49.940", "49.9425", "49.940", "49.940"), "no-shape-seen"),  # 2.5 µm, under the doubt of a difference
        ("skirt", ("49.940", "49.940", "49.960", "49.940"), "no-shape-seen"),  # the middle is at 60 mm, next to the second
        ("skirt", ("49.960", "49.940", "49.940", "49.940"), "waisted"),  # a shaft has no mouth
        ("bore", ("50.030", "50.010", "50.010", "50.010"), "bell-mouthed-first"),
        ("bore", ("50.010", "50.010", "50.010", "50.030"), "bell-mouthed-last"),
        ("bore", ("49.990", "50.010", "50.010", "50.010"), "barrelled"),  # a tight mouth is none
        ("bore", ("50.030", "50.010", "50.010", "50.030"), ["bell-mouthed-first", "bell-mouthed-last"]),
        ("bore", ("50.0125", "50.010", "50.010", "50.010"), "no-shape-seen"),
    ],
)  # fmt: skip
def test_what_a_profile_is_called(tmp_path, of, sizes, told):
    """At 10, 55, 85 and 110 mm; half way is 60. U of use is 0.003 outside and 0.004 inside."""
    codes, form = shape(tmp_path, of, *zip((10, 55, 85, 110), sizes, strict=True))
    assert codes == (told if isinstance(told, list) else [told]) and form.taper_length == 100
    assert form.taper_ends == pytest.approx(float(sizes[-1]) - float(sizes[0]))
    assert (form.least.size, form.greatest.size) == (min(map(float, sizes)), max(map(float, sizes)))


def test_three_sections_have_no_mouth_and_two_no_shape(tmp_path):
    (tmp_path / "two").mkdir()
    three, _ = shape(tmp_path, "bore", (10, "50.030"), (60, "50.010"), (110, "50.010"))
    assert three == ["waisted"] and shape(tmp_path / "two", "bore", (10, "50.03"), (60, "50.01"))[0] == []


def test_a_place_without_an_angle_stands_before_those_with_one(tmp_path):
    skirt = (
        FILES[SKIRT] + "  - {id: s2, station: 20 mm, angle: 90 deg, reads: 49.946 mm}\n  - {id: s3, reads: 49.944 mm}\n"
    )
    cells = findings(tmp_path, readings__2025_02_04_skirt=skirt).features["piston.skirt"].cells
    assert [(cell.station, cell.angle) for cell in cells] == [(None, None), (20, None), (20, 90)]


@pytest.mark.parametrize(("resolution", "few"), [("0.0069", True), ("0.0070", False)])
def test_few_readings_count_only_where_they_vary_by_more_than_the_step(tmp_path, resolution, few):
    """Use 0.004 at k = 2 against the step's 0.0069/2/√3 = 0.00199 or 0.0070/2/√3 = 0.00202: what the step decides is known."""
    gauge = bent(
        "instruments.yaml",
        "resolution: 0.001 mm, scale_from: mic, use: 0.004 mm",
        f"resolution: {resolution} mm, scale_from: mic, use: 0.004 mm, use_readings: 3",
    )
    fit = findings(tmp_path, instruments=gauge.replace("use: 0.003 mm", "use: 0.0003 mm")).fits["F1"]
    assert (fit.coverage is not None) is few


def test_between_what_sizes_a_half_is_right_with_its_mate_as_read(tmp_path):
    """Bore 50.010 to 50.012, skirt 49.945, wanted 0.050 to 0.080."""
    fit = findings(tmp_path).fits["F1"]
    assert fit.size_for("hole") == pytest.approx((49.995, 50.025))
    assert fit.size_for("shaft") == pytest.approx((49.932, 49.960))
    (tmp_path / "conical").mkdir()
    conical = findings(tmp_path / "conical", readings__2025_02_02_bore=bore_reads("50.010", "50.041")).fits["F1"]
    assert conical.size_for("shaft") is None, "the bore is 0.031 conical, and 0.030 is all that is left open"
    assert conical.size_for("hole") == pytest.approx((49.995, 50.025))
    (tmp_path / "unread").mkdir()
    assert findings(tmp_path / "unread", readings__2025_02_04_skirt=None).fits["F1"].size_for("hole") is None


@pytest.mark.parametrize(
    ("limits", "advice", "target"),
    [("[49.940 mm, 50.000 mm]", ["size-for-all"], (49.940, 49.960)), ("[49.900 mm, 49.920 mm]", ["no-size-for-all"], (49.900, 49.920))],
)  # fmt: skip
def test_a_target_is_within_the_fit_and_the_limits_or_says_that_none_is(tmp_path, limits, advice, target):
    """The fit wants 49.932 to 49.960; where that and the limits leave nothing, the limits stand and it is said."""
    piston = bent("parts/piston.yaml", "nominal: 49.94 mm", f"nominal: 49.94 mm, limits: {limits}")
    skirt = bent(SKIRT, "49.945", "50.200")
    fit = findings(tmp_path, operations=OPEN, parts__piston=piston, readings__2025_02_04_skirt=skirt).fits["F1"]
    assert [note.code for note in fit.advice if "size-for-all" in note.code] == advice
    assert (fit.target.target_low, fit.target.target_high) == pytest.approx(target)


def test_a_want_that_is_not_of_its_class_is_told_by_the_end_that_differs(tmp_path):
    """50 H7/g6 is 0.009 to 0.050; 0.010 is another figure, 0.05 the same in fewer digits."""
    fits = bent("fits.yaml", "want: [0.050 mm, 0.080 mm], because: test", "want: [0.010 mm, 0.05 mm], class: 50 H7/g6")
    (told,) = [note for note in findings(tmp_path, fits=fits).fits["F1"].advice if note.code == "want-not-of-class"]
    assert dict(told.words) == {"least": "0.010 mm"} and dict(told.lengths) == {"least": pytest.approx(0.009)}


def test_limits_of_a_tolerance_class_say_so_and_a_slip_is_told_against_them(tmp_path):
    cyl = bent("parts/cyl.yaml", "limits: [50.000 mm, 50.040 mm]", "tolerance: 50 H7")
    made = findings(tmp_path, parts__cyl=cyl, readings__2025_02_02_bore=bore_reads("500.10"))
    bore = made.features["cyl.bore"]
    assert bore.limits == pytest.approx((50.000, 50.025)) and bore.limits_from.code == "limits-of-tolerance"
    (slip,) = [slip for slip in made.mistakes if slip.row == "b1"]
    assert (slip.cause.code, slip.cause.because.code) == ("a-nought-too-many", "spec-tolerance")


@pytest.mark.parametrize(
    ("allow", "state"), [("[49.980 mm, 50.040 mm]", "conceded"), ("[49.981 mm, 50.040 mm]", "out")]
)
def test_a_feature_stands_by_a_concession_as_far_as_it_goes(tmp_path, allow, state):
    review = (
        "reviews:\n  - {date: 2025-02-05, who: ada, verdict: concession, about: [cyl.bore], allow: ALLOW, "
        "recheck: 2025-06-01, says: run it in gently}\n"
    ).replace("ALLOW", allow)
    bore = findings(tmp_path, reviews=review, readings__2025_02_02_bore=bore_reads("49.980")).features["cyl.bore"]
    assert bore.state == state


def knows(*rules):
    return replace(shelf(), rules={one.rule: one for one in rules})


def share(name, *ends, **more):
    return rule(name, gives={"per_length": list(ends) if len(ends) > 1 else ends[0]}, **more)


@pytest.mark.parametrize(
    ("copy", "codes"),
    [
        (("0.0010", "0.0020"), None),
        (("0.0100", "0.0200"), ["copied-with-slip"]),
        (("0.0254", "0.0508"), ["copied-with-slip"]),
        (("0.0011", "0.0020"), ["copied-least-otherwise"]),
        (("0.0010", "0.0021"), ["copied-least-otherwise"]),
        (("0.0010",), ["copied-least-otherwise", "copied-without-most"]),
        (("0.0100",), ["copied-with-slip", "copied-without-most"]),
    ],
)
def test_a_copy_that_differs_is_told_by_how(copy, codes):
    """Of a rule of 1 to 2 in a thousand."""
    mistakes = copy_mistakes(knows(share("T1", "0.0010", "0.0020"), share("T2", *copy, copied_from="T1")))
    assert ([[note.code for note in slip.cause] for slip in mistakes] or [None]) == [codes]
    assert all((slip.rule, slip.like) == ("T2", "T1") for slip in mistakes)


def test_a_copy_of_one_figure_lacks_no_most():
    mistakes = copy_mistakes(knows(share("T1", "0.0010"), share("T2", "0.0020", copied_from="T1")))
    assert [note.code for note in mistakes[0].cause] == ["copied-least-otherwise"]


def test_a_copy_of_another_shape_is_told_without_a_figure():
    steps = [{"up_to": "50 mm", "per_length": "0.001"}, {"per_length": "0.002"}]
    wider = [{"up_to": "60 mm", "per_length": "0.001"}, {"per_length": "0.002"}]
    for of_copy, told in ((steps, []), (wider, ["copied-otherwise"])):
        mistakes = copy_mistakes(
            knows(rule("T1", gives={"steps": steps}), rule("T2", gives={"steps": of_copy}, copied_from="T1"))
        )
        assert [note.code for slip in mistakes for note in slip.cause] == told


@pytest.mark.parametrize(
    ("rate", "kinds", "told"),
    [
        ("0.010", ("skirt", "skirt"), True),  # ten times two rules of its kind
        ("0.0001", ("skirt", "skirt"), True),
        ("0.0254", ("skirt", "skirt"), True),
        ("0.007", ("skirt", "skirt"), False),  # odd, but no nought and no unit
        ("0.010", ("skirt", "pin"), False),  # one rule of its kind says nothing of what is usual
    ],
)
def test_a_rate_far_from_all_others_of_its_kind_by_a_nought_or_a_unit(rate, kinds, told):
    others = [share(f"T{n}", "0.001", kind=kind) for n, kind in enumerate(kinds, start=2)]
    mistakes = copy_mistakes(knows(share("T1", rate), *others))
    assert [slip.rule for slip in mistakes] == (["T1"] if told else [])
