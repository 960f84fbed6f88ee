"""Sizes of the demonstration's engines, read from their records, in inches."""

from fractions import Fraction
from pathlib import Path

import yaml

BUILDS = Path(__file__).resolve().parents[3] / "builds"
INCHES = {"in": 1.0, "mm": 1 / 25.4}


def _inches(words):
    """ "4.246 in" or "92.285 mm" as inches; None for what is no length."""
    number, _, unit = str(words).partition(" ")
    if unit not in INCHES:
        return None
    return float(Fraction(number)) * INCHES[unit]


def sizes(build):
    """Nominal lengths of a build by "part.feature"; the engine's own under "engine.bore" and the like."""
    folder = BUILDS / build
    lengths = {}
    for path in sorted((folder / "parts").glob("*.yaml")):
        part = yaml.safe_load(path.read_text(encoding="utf-8"))
        for name, feature in (part.get("features") or {}).items():
            length = _inches(feature.get("nominal", ""))
            if length is not None:
                lengths[f"{part['part']}.{name}"] = length
    engine = yaml.safe_load((folder / "build.yaml").read_text(encoding="utf-8"))["engine"]
    figures = yaml.safe_load((folder / "figures.yaml").read_text(encoding="utf-8"))["figures"]
    for name, words in [("engine." + k, v) for k, v in engine.items()] + [(k, f["is"]) for k, f in figures.items()]:
        length = _inches(words)
        if length is not None:
            lengths[name] = length
    return lengths
