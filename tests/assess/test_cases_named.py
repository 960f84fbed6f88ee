"""What a fit of the cylinder does not name: a warm-up, a hopper at the boil; and what the bore's limits do to a ring's gap."""

import pytest
from small_build import FILES, findings, said

OF_CASES = ("no-case-named", "no-warm-up-named", "hopper-colder-than-boiling")


def told(folder, cases: str, hot: str, **changes) -> list[str]:
    head = FILES["build.yaml"].replace("cases:\n  hot: {hole: 100 °C, shaft: 150 °C}\n", f"cases:\n{cases}")
    head = head.replace("speed: 500 rpm", "speed: 500 rpm, cooling: hopper")
    fits = FILES["fits.yaml"].replace(", hot: [hot]", hot)
    folder.mkdir()
    fit = findings(folder, build=head, fits=fits, **changes).fits["F1"]
    return [note.code for note in fit.advice if note.code in OF_CASES]


HOT = "  hot: {hole: 100 °C, shaft: 150 °C}\n"
WARM = "  warm: {hole: 50 °C, shaft: 130 °C}\n"


@pytest.mark.parametrize(
    ("cases", "hot", "codes"),
    [
        (HOT, "", ["no-case-named"]),
        (HOT, ", hot: [hot]", ["no-warm-up-named"]),
        (HOT + WARM, ", hot: [hot, warm]", []),
        (
            "  hot: {hole: 60 °C, shaft: 150 °C}\n" + WARM,
            ", hot: [hot]",
            ["no-warm-up-named", "hopper-colder-than-boiling"],
        ),
        ("  hot: {hole: 99 °C, shaft: 150 °C}\n" + WARM, ", hot: [hot, warm]", ["hopper-colder-than-boiling"]),
    ],
)
def test_cases_that_are_not_named_are_asked_for(tmp_path, cases, hot, codes):
    assert told(tmp_path / "build", cases, hot) == codes


def test_a_hopper_high_up_boils_at_less(tmp_path):
    figures = "figures:\n  altitude: {is: 2000 m, from: map}\n"  # 93.3 °C there
    cases = "  hot: {hole: 95 °C, shaft: 150 °C}\n" + WARM
    assert told(tmp_path / "high", cases, ", hot: [hot, warm]", figures=figures) == []
    assert told(tmp_path / "sea", cases, ", hot: [hot, warm]") == ["hopper-colder-than-boiling"]


RING = """\
part: ring
name: Ring
family: ring
material: ci
state: finished
features:
  gap: {name: Gap, kind: gap, nominal: 0.20 mm, limits: [0.15 mm, 0.25 mm]}
"""
GAP = "  F2: {name: Gap, kind: ring_gap, hole: cyl.bore, gap: ring.gap, want: [0.15 mm, WIDE mm], because: test}\n"


def test_the_bore_s_limits_widen_a_ring_s_gap_by_pi_times_as_much(tmp_path):
    for wide, advised in (("0.27", True), ("0.28", False)):
        folder = tmp_path / wide
        folder.mkdir()
        changes = {
            "parts__ring": RING,
            "fits": FILES["fits.yaml"] + GAP.replace("WIDE", wide),
        }
        fit = findings(folder, **changes).fits["F2"]
        # limits 50.000 to 50.040 mm: π × 0.040 mm = 0.1257 mm
        assert fit.by_limits == (pytest.approx(0.15), pytest.approx(0.25 + 0.1256637))
        notes = [said(note) for note in fit.advice if note.code == "bore-limits-move-gap"]
        assert bool(notes) is advised
        if advised:
            assert "lie 0.040 mm (1.6 thou) apart" in notes[0] or "lie 0.040 mm apart" in notes[0]
