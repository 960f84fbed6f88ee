"""A part pressed home closes on its bore; a bearing has its size with its cap at its working torque."""

import pytest
from small_build import FILES, all_said, bent, findings

BUSH = """\
part: bush
name: Bush
family: bush
material: ci
state: in work
features:
  od: {name: Outside, kind: od, nominal: 30 mm, metal_side: external}
  bore: {name: Bore, kind: bore, nominal: 25 mm, limits: [25.000 mm, 25.040 mm], metal_side: internal}
  length: {name: Length, kind: length, nominal: 40 mm}
"""
PRESS = "operations:\n  PRESS: {part: bush, does: press home, presses: [%s], done: 2025-02-10}\n"
READ = """\
every_row: {date: 2025-02-08, by: ada, gauge: gauge, part_temp: 20 °C, gauge_temp: 20 °C}
rows:
  - {id: p1, of: bush.od, reads: 30.020 mm}
  - {id: p2, of: bush.bore, reads: 25.020 mm}
  - {id: p3, of: bush.length, reads: 40.000 mm}
"""


def pressed(tmp_path, presses: str, **more):
    return findings(
        tmp_path,
        parts__bush=BUSH,
        operations=bent("operations.yaml", "operations:\n", PRESS % presses),
        readings__2025_02_08_bush=READ,
        **more,
    ).rows


def test_pressing_a_bush_home_closes_its_bore(tmp_path):
    rows = pressed(tmp_path, "bush.od")
    assert {name: rows[name].status for name in ("p1", "p2", "p3")} == {"p1": "frozen", "p2": "stale", "p3": "current"}


def test_what_is_pressed_into_closes_nothing_of_its_own(tmp_path):
    rows = pressed(tmp_path, "cyl.bore, bush.bore")
    assert rows["p2"].status == "frozen" and rows["p1"].status == "current"


BEARING = bent("fits.yaml", "kind: skirt", "kind: bearing")
BORE = "readings/2025-02-02-bore.yaml"


@pytest.mark.parametrize(
    ("held", "causes", "advice"),
    [
        ("", 0, 1),
        ("as_held: cap at 32 N.m, ", 0, 0),
        ("as_held: cap at working torque, ", 0, 0),
        ("as_held: solid bush, ", 0, 0),
        ("as_held: free, ", 1, 0),
        ("as_held: cap not tightened, ", 1, 0),
    ],
)
def test_a_bearing_not_read_at_its_working_torque_is_doubted(tmp_path, held, causes, advice):
    text = FILES[BORE].replace("every_row: {", "every_row: {" + held)
    fit = findings(tmp_path, fits=BEARING, readings__2025_02_02_bore=text).fits["F1"]
    assert len([cause for cause in fit.causes if cause.code == "held-otherwise"]) == causes
    assert len([note for note in fit.advice if note.code == "holding-unsaid"]) == advice
    assert fit.look == bool(causes)
    if advice:
        assert "working torque" in "".join(all_said(fit.advice)) and "b1" in "".join(all_said(fit.advice))


def test_only_a_bearing_asks_how_it_was_held(tmp_path):
    fit = findings(tmp_path).fits["F1"]
    assert not [note for note in (*fit.causes, *fit.advice) if note.code in ("held-otherwise", "holding-unsaid")]
