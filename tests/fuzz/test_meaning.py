"""Records that are bent stay sound or are told, and sums give numbers or none; what was found once stays mended."""

import pytest
from fuzz.__main__ import TARGETS
from fuzz.meaning import FOUND, Bench, Case
from fuzz.mutations import Edit
from fuzz.runs import run

pytestmark = pytest.mark.slow
KEPT = sorted(FOUND.glob("*/*.json"))
INPUTS = {"whole": 12, "records": 60, "tiny": 60, "sums": 200, "formulas": 300, "lines": 200}


@pytest.fixture(scope="module")
def targets():
    return {name: make() for name, make in TARGETS.items()}


@pytest.mark.parametrize("path", KEPT, ids=lambda path: f"{path.parent.name}-{path.stem}")
def test_what_was_found_stays_mended(targets, path):
    target = targets[path.parent.name]
    assert target.faults(target.read(path.read_text(encoding="utf-8"))) == []


@pytest.mark.parametrize("name", TARGETS)
def test_bent_records_stay_sound_or_are_told(targets, name):
    assert run(targets[name], INPUTS[name], seed=1) == {}


def test_what_must_hold_can_fail(monkeypatch):
    """An exception, an absurd figure that nobody tells: the fuzz sees them."""
    from fuzz import meaning

    bench = Bench()
    absurd = Case("small", (), (Edit("build.yaml", ("cases", "hot", "hole"), "1500 °C", True),))
    assert bench.faults(absurd) == []
    fine = Case("small", (), (Edit("build.yaml", ("cases", "hot", "hole"), "120 °C", True),))
    assert any("not told" in fault for fault in bench.faults(fine))
    monkeypatch.setattr(meaning, "assess_with_inputs", lambda *_: 1 / 0)
    assert any(fault.startswith("ZeroDivisionError") for fault in bench.faults(fine))


def test_what_must_not_matter_can_fail(targets, monkeypatch):
    """A size that depends on what else stands in the build, a sum that gives no number, a formula that is off by its unit: seen."""
    from fuzz import sums, tiny

    case = Case("small", (), (Edit("build.yaml", ("name",), "Other"),))
    bench = targets["tiny"]
    files = tiny.apply(bench.sound("small", ()).files, case.edits)
    build = bench.folders["small"].load(files)
    findings = tiny.assess(build, tiny.shelf())
    for told in tiny.TOLD_AGAIN:
        assert list(told(bench, "small", files, build, findings)) == [], told.__name__
    other = tiny.assess(bench.sound("at-work", ()).build, tiny.shelf())
    for told in tiny.TOLD_AGAIN[:4]:
        assert list(told(bench, "small", files, build, other)), f"{told.__name__} sees nothing"
    target = targets["sums"]
    monkeypatch.setattr(sums, "worked_out", lambda *_: sums.exact(float("inf")))
    assert target.faults(target.draw(1))
