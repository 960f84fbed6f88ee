"""Seeded last cuts whose true sizes are known, planned by the whole product: how often the cut it asks for passes the scrap limit."""

import tempfile
from pathlib import Path

import numpy as np
from small_build import FILES, findings

SLOPE, OFFSET = 0.96, -0.01  # of the true dial, mm on diameter
USE = 0.003  # mm, expanded, of both gauges; their scale is one, and cancels in the clearance
BORE, METAL_ON = 50.010, 0.25  # mm: true bore; metal to the scrap limit
WANT = (0.050, 0.052)  # mm: so narrow that the scrap limit and not the middle decides
GAUGES = f"""\
instruments:
  mic: {{name: mic, range: [25 mm, 75 mm], resolution: 0.0001 mm, scale: 0.004 mm, use: {USE} mm, temp_within: 0 K, cte: 11.5e-6 /K, checked: 2025-01-01, due: 2026-01-01}}
  gauge: {{name: bore gauge set in mic, resolution: 0.0001 mm, scale_from: mic, use: {USE} mm, temp_within: 0 K, cte: 11.5e-6 /K, checked: each session, due: each session}}
"""
LATHE = """\
machines:
  small: {name: Lathe, speeds: [100 rpm], feeds: [0.1 mm], dial_reads: diameter, dial_division: 0.02 mm}
"""
FINISH = FILES["operations.yaml"] + (
    "  FINISH: {part: piston, does: finish skirt, needs: [TURN], changes: [piston.skirt], machine: small, cutting: {tool: honed, "
    "length: 60 mm, surface_speed: 10 m/min, depth: 1 mm, leave: 1 mm, finish_passes: 1, spring_passes: 0, feed: 0.1 mm, risk: %s}}\n"
)
CUT = "  - {{date: 2025-02-01, of: piston.skirt, machine: small, tool: honed, feed: 0.1 mm, asked: {:.5f} mm, got: {:.5f} mm}}\n"
READ = "rows:\n  - {{id: {}, of: {}, date: {}, by: ada, after: {}, gauge: {}, reads: {:.4f} mm, part_temp: 20 °C, gauge_temp: 20 °C}}\n"


def share_past_scrap(risk: float, cuts: int, scatter: float, draws: int, seed: int = 11) -> float:
    """Share of draws in which the cut that the plan asks for goes past the scrap limit.

    cuts: how many teach the dial. scatter: standard deviation of one cut, mm.
    """
    chance = np.random.default_rng(seed + cuts)
    fits = FILES["fits.yaml"].replace("0.050 mm, 0.080 mm", "{} mm, {} mm".format(*WANT)).replace(", hot: [hot]", "")
    skirt = BORE - WANT[1] + METAL_ON
    passed = 0
    for _ in range(draws):
        asked = np.linspace(0.05, 0.5, cuts) + chance.uniform(0, 0.05, cuts)
        got = SLOPE * asked + OFFSET + chance.normal(0, scatter, cuts)
        bore_read, skirt_read = (size + chance.normal(0, USE / 2) for size in (BORE, skirt))
        with tempfile.TemporaryDirectory() as folder:
            found = findings(
                Path(folder),
                instruments=GAUGES,
                machines=LATHE,
                fits=fits,
                operations=FINISH % risk,
                cuts="cuts:\n" + "".join(CUT.format(*one) for one in zip(asked, got, strict=True)),
                readings__2025_02_02_bore=READ.format("b1", "cyl.bore", "2025-02-02", "BORE", "gauge", bore_read),
                readings__2025_02_04_skirt=READ.format("s1", "piston.skirt", "2025-02-04", "TURN", "mic", skirt_read),
            )
        (plan,) = found.cut_plans
        assert plan.risk_worked_out and plan.risk == risk and len(plan.passes) == 1
        passed += SLOPE * plan.next_ask + OFFSET + chance.normal(0, scatter) > METAL_ON
    return passed / draws
