"""Whole builds that are bent stay sound or are told; what was found once stays mended."""

import pytest
from fuzz.meaning import FOUND, Bench, Case, run

pytestmark = pytest.mark.slow
KEPT = sorted(FOUND.glob("*.json"))


@pytest.fixture(scope="module")
def bench():
    return Bench()


@pytest.mark.parametrize("path", KEPT, ids=lambda path: path.stem)
def test_what_was_found_stays_mended(bench, path):
    assert bench.faults(Case.from_json(path.read_text(encoding="utf-8"))) == []


def test_bent_builds_stay_sound_or_are_told():
    assert run(12, seed=1) == {}


def test_what_must_hold_can_fail(bench, monkeypatch):
    """An exception, an absurd figure that nobody tells: the fuzz sees them."""
    from fuzz import meaning
    from fuzz.mutations import Edit

    absurd = Case("small", (), (Edit("build.yaml", ("cases", "hot", "hole"), "1500 °C", True),))
    assert bench.faults(absurd) == []
    fine = Case("small", (), (Edit("build.yaml", ("cases", "hot", "hole"), "120 °C", True),))
    assert any("not told" in fault for fault in bench.faults(fine))
    monkeypatch.setattr(meaning, "assess_with_inputs", lambda *_: 1 / 0)
    assert any(fault.startswith("ZeroDivisionError") for fault in bench.faults(fine))
