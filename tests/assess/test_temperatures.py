"""One thermometer is one error, shared by what it read; a spread that nobody states is not nought; a hot case carries its own."""

import numpy as np
import pytest
from small_build import FILES, bent, findings, load

SKIRT, BORE = "readings/2025-02-04-skirt.yaml", "readings/2025-02-02-bore.yaml"
BORE_MM, SKIRT_MM, USE = 50.010, 49.945, (0.002, 0.0015)  # of the small build; standard uncertainties of use
IRON, ALUMINIUM, STEEL = 11e-6, 23e-6, 11.5e-6
THERMOMETERS = "thermometers:\n  wall: {name: spirit, within: 2 K}\n  lab: {name: mercury, within: 2 K}\n"


def cold_shop(tmp_path, cte: float, skirt_by: str, head: str = THERMOMETERS):
    """The skirt's fit, read at 11 °C: the bore by the wall thermometer, the skirt by another or the same."""

    def cold(name, thermometer):
        named = f"every_row: {{thermometer: {thermometer}, " if thermometer else "every_row: {"
        return FILES[name].replace("20 °C", "11 °C").replace("every_row: {", named)

    made = findings(
        tmp_path,
        build=FILES["build.yaml"] + head,
        materials=bent("materials.yaml", "cte: 11.0e-6", f"cte: {IRON * 1e6}e-6")
        + f"  other: {{name: the skirt's, cte: {cte * 1e6:.1f}e-6 /K}}\n",
        parts__piston=bent("parts/piston.yaml", "material: ci", "material: other"),
        readings__2025_02_02_bore=cold(BORE, head and "wall"),
        readings__2025_02_04_skirt=cold(SKIRT, skirt_by),
    )
    return made.fits["F1"]


def simulated(cte: float, shared: bool, draws: int = 100_000) -> float:
    """U of the clearance by drawing the errors of both readings and of ± 2 K, through the sum itself (JCGM 101)."""
    draw = np.random.default_rng(11)
    bore_off, other_off = draw.uniform(-2, 2, (2, draws))
    sizes = [
        (read + draw.normal(0, use, draws)) * (1 + STEEL * (11 + off - 20)) / (1 + metal * (11 + off - 20))
        for read, use, metal, off in (
            (BORE_MM, USE[0], IRON, bore_off),
            (SKIRT_MM, USE[1], cte, bore_off if shared else other_off),
        )
    ]
    return 2 * float(np.std(sizes[0] - sizes[1]))


@pytest.mark.parametrize("cte", [IRON, ALUMINIUM])
@pytest.mark.parametrize("skirt_by", ["wall", "lab"])
def test_what_one_thermometer_read_shares_its_error(tmp_path, cte, skirt_by):
    fit = cold_shop(tmp_path, cte, skirt_by)
    assert fit.expanded == pytest.approx(simulated(cte, skirt_by == "wall"), rel=0.01)
    if cte == ALUMINIUM:
        assert {line.name for line in fit.budget} >= {f"thermometer {name}" for name in {"wall", skirt_by}}
    elif skirt_by == "wall":
        assert fit.expanded == pytest.approx(0.005, abs=1e-5), "iron in iron: an error of ± 2 K cancels"


def test_one_thermometer_for_the_whole_build(tmp_path):
    named = cold_shop(tmp_path, ALUMINIUM, "wall").expanded
    folder = tmp_path / "whole"
    folder.mkdir()
    made = findings(
        folder,
        build=FILES["build.yaml"] + THERMOMETERS + "thermometer: wall\n",
        materials=FILES["materials.yaml"] + "  other: {name: the skirt's, cte: 23.0e-6 /K}\n",
        parts__piston=bent("parts/piston.yaml", "material: ci", "material: other"),
        readings__2025_02_02_bore=FILES[BORE].replace("20 °C", "11 °C"),
        readings__2025_02_04_skirt=FILES[SKIRT].replace("20 °C", "11 °C"),
    )
    assert made.fits["F1"].expanded == pytest.approx(named)


def test_a_spread_that_nobody_states_is_the_usual_one_and_is_named(tmp_path):
    lines = {line.name: line.standard for line in cold_shop(tmp_path, ALUMINIUM, "", head="").budget}
    name = "thermometer of ada, 2025-02-04 (±1 K, as is usual)"
    assert lines[name] == pytest.approx(SKIRT_MM * (ALUMINIUM - STEEL) / 3**0.5, rel=1e-3)


def test_a_part_warmer_than_its_gauge_is_not_known_exactly(tmp_path):
    warm = (
        FILES[SKIRT].replace("part_temp: 20 °C", "part_temp: 28 °C")
        + "  - {id: s2, station: 20 mm, reads: 49.945 mm}\n"
    )
    lines = {
        line.name: line.standard
        for line in findings(tmp_path, readings__2025_02_04_skirt=warm).features["piston.skirt"].budget
    }
    # Reading the warm part twice makes it no more even.
    assert lines["piston not soaked, 2025-02-04"] == pytest.approx(SKIRT_MM * IRON * 2 / 3**0.5, rel=1e-3)


@pytest.mark.parametrize(
    ("case", "spreads"),
    [
        ("hole: 100 ± 20 °C, shaft: 150 ± 10 °C", (20, 10)),
        ("hole: 100 °C, shaft: 150 ± 10 K, within: 20 °C", None),
        ("hole: 212 ± 36 F, shaft: 150 +/- 10 °C", (20, 10)),
        ("hole: 100 °C, shaft: 150 °C, within: 5 °C", (5, 5)),
        ("hole: 100 °C, shaft: 150 °C", (12, 19.5)),
    ],
)
def test_a_hot_case_carries_how_well_it_is_known(tmp_path, case, spreads):
    text = bent("build.yaml", "hole: 100 °C, shaft: 150 °C", case)
    if spreads is None:
        problems = load(tmp_path, build=text).problems
        assert len(problems) == 1 and '"K" is not a unit of temperature' in str(problems[0])
        return
    (hot,) = findings(tmp_path, build=text).fits["F1"].hot
    draw = np.random.default_rng(5)
    outer, inner = (draw.uniform(-spread, spread, 100_000) for spread in spreads)
    cold = (BORE_MM + draw.normal(0, USE[0], 100_000), SKIRT_MM + draw.normal(0, USE[1], 100_000))
    clearance = cold[0] * (1 + IRON * (80 + outer)) - cold[1] * (1 + IRON * (130 + inner))
    assert (hot.hole_within, hot.shaft_within) == pytest.approx(spreads)
    assert hot.expanded == pytest.approx(2 * np.std(clearance), rel=0.01)
    assert hot.chance_closed == pytest.approx(np.mean(clearance <= 0), abs=0.02)
    assert hot.usual_spread == ("±" not in case and "+/-" not in case and "within" not in case)


@pytest.mark.parametrize("text", ["155 ± °C", "155 ± -5 °C", "± 20 °C", "155 ± 20", "155 ± 5 ± 5 °C"])
def test_a_spread_that_cannot_be_read_is_told(tmp_path, text):
    problems = load(tmp_path, build=bent("build.yaml", "shaft: 150 °C", f"shaft: {text}")).problems
    assert len(problems) == 1 and problems[0].where.line == 8, problems


def test_a_thermometer_that_nobody_has_is_told(tmp_path):
    for where, changed in (
        (
            "readings",
            {"readings__2025_02_04_skirt": FILES[SKIRT].replace("gauge: mic", "gauge: mic, thermometer: wal")},
        ),
        ("build", {"build": FILES["build.yaml"] + "thermometer: wal\n"}),
    ):
        folder = tmp_path / where
        folder.mkdir()
        problems = load(folder, **changed).problems
        assert len(problems) == 1 and 'no thermometer "wal"' in str(problems[0]), problems
