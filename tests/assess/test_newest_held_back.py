"""A newest reading that is held back leaves an older size standing: nothing calls that one good without saying so."""

import pytest
from small_build import FILES, bent, findings, said

BORE, SKIRT = "readings/2025-02-02-bore.yaml", "readings/2025-02-04-skirt.yaml"
ROW = "reads: 49.945 mm}\n"
LATHE = "machines:\n  small: {name: Lathe, speeds: [50 rpm, 200 rpm], feeds: [0.05 mm], dial_reads: diameter, dial_division: 0.02 mm}\n"
OPEN = (
    "  FINISH: {part: piston, does: finish skirt, needs: [TURN], changes: [piston.skirt], machine: small, "
    "cutting: {length: 60 mm, surface_speed: 30 m/min, depth: 0.1 mm}}\n"
)


def after_skirt(*rows: str, first: str = ROW) -> dict[str, str]:
    return {"readings__2025_02_04_skirt": bent(SKIRT, ROW, first + "".join(f"  - {{{row}}}\n" for row in rows))}


@pytest.mark.parametrize(
    ("row", "words"),
    [
        ("id: s2, station: 20 mm, reads: 49.93 mm, part_temp: ", "of the part"),
        ("id: s2, station: 20 mm, reads: 499.30 mm", "10 times"),
        ("id: s2, reads: 499.30 mm", "10 times"),
        ("id: s2, station: 40 mm, reads: 499.30 mm", "10 times"),
    ],
)
def test_it_is_named_on_the_feature_and_in_every_fit(tmp_path, row, words):
    found = findings(tmp_path, **after_skirt(row))
    skirt, fit = found.features["piston.skirt"], found.fits["F1"]
    assert skirt.state == "reads in" and skirt.size == pytest.approx(49.945)
    assert "s2" in said(skirt.why) and words in said(skirt.why) and skirt.why in skirt.advice
    (told,) = [cause for cause in fit.causes if cause.code == "newest-held-back"]
    assert fit.look and "s2" in said(told) and words in said(told)


@pytest.mark.parametrize(
    "rows",
    [
        ("id: s2, station: 20 mm, reads: 499.30 mm", "id: s3, station: 20 mm, reads: 49.945 mm"),
        ("id: s2, station: 20 mm, reads: 499.30 mm", "id: s3, reads: 49.945 mm"),
        ("id: s2, station: 20 mm, reads: 499.30 mm", "id: s3, supersedes: s2, station: 20 mm, reads: 49.945 mm"),
        (
            "id: s2, station: 20 mm, reads: 499.30 mm",
            "id: s3, withdraws: s2, because: typed wrongly, date: 2025-02-04, by: ada",
        ),
    ],
)
def test_one_that_was_read_again_or_put_right_is_no_longer_told(tmp_path, rows):
    found = findings(tmp_path, **after_skirt(*rows))
    assert found.features["piston.skirt"].state == "in" and not found.fits["F1"].look


def test_one_against_limits_of_its_own(tmp_path):
    held = "  - {id: b3, station: 60 mm, angle: 0 deg, reads: 500.30 mm}\n"
    assert findings(tmp_path).features["cyl.bore"].state == "in"
    (tmp_path / "next").mkdir()
    bore = findings(tmp_path / "next", readings__2025_02_02_bore=FILES[BORE] + held).features["cyl.bore"]
    assert bore.state == "reads in" and "b3" in said(bore.why)


def test_the_lathe_hears_of_it_before_the_next_cut(tmp_path):
    rows = after_skirt("id: s2, station: 20 mm, reads: 50.145 mm, part_temp: ", first="reads: 50.345 mm}\n")
    (plan,) = findings(tmp_path, operations=FILES["operations.yaml"] + OPEN, machines=LATHE, **rows).cut_plans
    assert "newest-held-back" in [note.code for note in plan.warnings]


def test_one_read_before_a_recorded_cut_is_past(tmp_path):
    cut = "cuts:\n  - {id: c1, date: 2025-02-05, of: piston.skirt, machine: small, asked: 0.1 mm, tool: t, feed: 0.1 mm}\n"
    again = FILES[SKIRT].replace("2025-02-04", "2025-02-06").replace("s1", "s3")
    rows = after_skirt("id: s2, station: 40 mm, reads: 499.30 mm", first="reads: 50.045 mm}\n")
    found = findings(tmp_path, machines=LATHE, cuts=cut, readings__2025_02_06=again, **rows)
    assert found.features["piston.skirt"].state == "in" and not found.fits["F1"].look
