"""Seeded maps of parts whose true diameters are known, assessed as a whole build: what the pages would say of them."""

import tempfile
from dataclasses import dataclass, replace
from fractions import Fraction
from pathlib import Path

import numpy as np
import small_build
from gudgeon.assess.build import assess
from gudgeon.records.model import Build, Knowledge
from gudgeon_calc.units import Measure
from surface_maps import ANGLES, AROUND, SHAPES

BORE, SKIRT = "cyl.bore", "piston.skirt"
MIDDLE = {BORE: 50.020, SKIRT: 49.950}  # mm at 20 °C, before the form
IRON, STEEL = 11.0e-6, 11.5e-6  # per kelvin: both parts; all gauges
PART, GAUGE = 26.0, 23.0  # °C, as read
THERMOMETER = 1.0  # K, ±: what nobody knows better of the one that read all rows of a day
UNSOAKED = 0.25 * (PART - GAUGE)  # K, ±: of a part that has not soaked, all of a day
SCALE, USE = 0.004, 0.003  # mm, expanded, of every gauge
DAYS = {BORE: "2025-02-02", SKIRT: "2025-02-04"}
# Gauges -> of each half, the instruments that read every place of it, and the scale that each reads with.
READ_WITH = {
    "one scale": {BORE: {"gauge": "mic"}, SKIRT: {"mic": "mic"}},
    "one for each half": {BORE: {"other": "other"}, SKIRT: {"mic": "mic"}},
    "two at each place": {BORE: {"gauge": "mic", "other": "other"}, SKIRT: {"mic": "mic", "other": "other"}},
}
_MIC = f"range: [25 mm, 75 mm], resolution: 0.001 mm, scale: {SCALE} mm, use: {USE} mm, cte: {STEEL * 1e6:g}e-6 /K"
INSTRUMENTS = f"""\
instruments:
  mic: {{name: micrometer, {_MIC}, checked: 2025-01-01, due: 2026-01-01}}
  other: {{name: another gauge, {_MIC}, checked: 2025-01-01, due: 2026-01-01}}
  gauge: {{name: bore gauge set in mic, resolution: 0.001 mm, scale_from: mic, use: {USE} mm, cte: {STEEL * 1e6:g}e-6 /K,
    checked: each session, due: each session}}
"""
PILOT = 10  # maps that tell how much is stated to be unknown of a clearance
BARE = Knowledge()  # no rules and materials of a club, and its usual judgement


@dataclass(frozen=True)
class Layout:
    """Bore and skirt of one shape, the places read, and with what."""

    shape: str
    stations: int
    angles: int
    gauges: str = "one scale"

    def __str__(self) -> str:
        return f"{self.shape}, {self.stations} × {self.angles} places, {self.gauges}"

    @property
    def along(self) -> np.ndarray:
        """The stations, −1 to 1."""
        return np.linspace(-1, 1, self.stations) if self.stations > 1 else np.zeros(1)

    def form(self, angles: np.ndarray) -> np.ndarray:
        """By how much true diameters at the stations differ from the middle size, mm: stations × angles."""
        return SHAPES[self.shape](self.along[:, None], angles[None, :])

    def truth(self) -> dict[str, float]:
        """The sizes that decide and the clearance, mm: over all angles where those read tell both directions of an ovality."""
        form = self.form(AROUND if self.angles > 2 else np.array(ANGLES[self.angles]))
        bore, skirt = MIDDLE[BORE] + float(form.min()), MIDDLE[SKIRT] + float(form.max())
        return {BORE: bore, SKIRT: skirt, "F1": bore - skirt}

    def allowed(self) -> tuple[float, float]:
        """Ovality and taper that a drawing may ask for and that the part keeps, just so: 2 µm at least, mm."""
        form = self.form(AROUND)
        taper = abs(2 * np.polyfit(self.along, form.mean(axis=1), 1)[0]) if self.stations > 1 else 0.0
        return max(0.002, float(np.ptp(form, axis=1).max())), max(0.002, float(taper))


@dataclass
class Counted:
    """Of so many maps: where the truth lay, and what was said that is not so.

    inside: share of maps where it lay inside ± U, of both sizes and the clearance. bias: the mean error in U, and its
    standard error. form_out: share of maps where a form that the part keeps was "out", the greatest of all forms.
    fit_out: share of maps where a good fit (the truth is inside by U) was "out" or "reads out". doubted: share of maps
    where sound readings were said to be wrong or of another state of the metal.
    """

    inside: dict[str, float]
    bias: dict[str, tuple[float, float]]
    form_out: float
    fit_out: float
    doubted: float


def coverage(layout: Layout, maps: int) -> Counted:
    """Draw so many maps of a layout, assess each as a build, and count."""
    true, chance = (
        layout.truth(),
        np.random.default_rng([20251126, layout.stations, layout.angles, *str(layout).encode()]),
    )
    base = _loaded(layout)
    stated = np.mean([assess(_read(base, layout, chance), BARE).fits["F1"].expanded for _ in range(PILOT)])
    want = (_mm(true["F1"] - stated), _mm(true["F1"] + 0.2))
    base = replace(base, fits={"F1": base.fits["F1"].model_copy(update={"want": want})})
    errors, doubts, forms = [], [], []
    fit_out = doubted = 0
    for _ in range(maps):
        findings = assess(_read(base, layout, chance), BARE)
        bore, skirt, fit = findings.features[BORE], findings.features[SKIRT], findings.fits["F1"]
        errors.append([bore.size - true[BORE], skirt.size - true[SKIRT], fit.clearance - true["F1"]])
        doubts.append([bore.expanded, skirt.expanded, fit.expanded])
        forms.append([form.verdict == "out" for form in (*bore.forms, *skirt.forms)])
        fit_out += fit.conformity in ("out", "reads out")
        doubted += bool(findings.mistakes) or any(row.status != "current" for row in findings.rows.values())
    error, doubt = np.array(errors), np.array(doubts)
    inside, mean = (np.abs(error) <= doubt).mean(axis=0), doubt.mean(axis=0)
    bias, of_bias = error.mean(axis=0) / mean, error.std(axis=0) / mean / np.sqrt(maps)
    return Counted(
        dict(zip(true, inside.tolist(), strict=True)),
        dict(zip(true, zip(bias.tolist(), of_bias.tolist(), strict=True), strict=True)),
        float(np.mean(forms, axis=0).max()),
        fit_out / maps,
        doubted / maps,
    )


def _loaded(layout: Layout) -> Build:
    oval, taper = layout.allowed()
    # Where the angles read tell one direction alone, an ovality that is allowed counts as one that there may be.
    forms = f"taper_most: {taper:.6f} mm" + (f", oval_most: {oval:.6f} mm" if layout.angles > 2 else "")
    # As parts of a family that asks for few sums, which are worked out for nothing here.
    part = small_build.bent("parts/cyl.yaml", "family: cylinder", "family: key")
    bore = part[: part.index("  bore:")] + f"  bore: {{name: Bore, kind: bore, metal_side: internal, {forms}}}\n"
    part = small_build.bent("parts/piston.yaml", "family: piston", "family: key")
    skirt = part[: part.index("  skirt:")] + f"  skirt: {{name: Skirt, kind: od, metal_side: external, {forms}}}\n"
    with tempfile.TemporaryDirectory() as folder:
        build = small_build.load(
            Path(folder),
            build=small_build.bent("build.yaml", "cases:\n  hot: {hole: 100 °C, shaft: 150 °C}\n", ""),
            fits=small_build.bent("fits.yaml", ", hot: [hot]", ""),
            instruments=INSTRUMENTS,
            parts__cyl=bore,
            parts__piston=skirt,
            readings__2025_02_02_bore=_file(layout, BORE, "BORE"),
            readings__2025_02_04_skirt=_file(layout, SKIRT, "TURN"),
        )
    assert build.problems == [], build.problems
    return build


def _file(layout: Layout, ref: str, after: str) -> str:
    """A file of readings: one gauge after the other goes over all places."""
    shared = f"date: {DAYS[ref]}, by: ada, of: {ref}, part_temp: {PART} °C, gauge_temp: {GAUGE} °C, after: {after}"
    rows = [
        f"  - {{id: {ref[0]}-{gauge}-{number}-{angle:g}, gauge: {gauge}, station: {50 + 50 * x:.4f} mm, angle: {angle} deg, reads: 50 mm}}"
        for gauge in READ_WITH[layout.gauges][ref]
        for number, x in enumerate(layout.along)
        for angle in ANGLES[layout.angles]
    ]
    return f"every_row: {{{shared}}}\nrows:\n" + "\n".join(rows) + "\n"


def _read(build: Build, layout: Layout, chance: np.random.Generator) -> Build:
    """The build with readings of the true part, with errors drawn from the budget that its records state."""
    n, scales = layout.stations * layout.angles, {}
    form = layout.form(np.array(ANGLES[layout.angles])).ravel()
    reads: list[float] = []
    for ref, gauges in READ_WITH[layout.gauges].items():
        thermometer, unsoaked = chance.uniform(-THERMOMETER, THERMOMETER), chance.uniform(-UNSOAKED, UNSOAKED)
        for scale in gauges.values():
            use = chance.normal(0, USE / 2, n)
            off = scales.setdefault(scale, chance.normal(0, SCALE / 2))
            warm = 1 + IRON * (PART + thermometer + unsoaked - 20)
            read = (MIDDLE[ref] + form) * warm / (1 + STEEL * (GAUGE + thermometer - 20)) + off + use
            reads += read.tolist()
    rows = [row.model_copy(update={"reads": (_mm(read),)}) for row, read in zip(build.rows, reads, strict=True)]
    return replace(build, rows=rows)


def _mm(size: float) -> Measure:
    text = f"{size:.7f}"
    return Measure(f"{text} mm", "length", Fraction(text), "mm")
