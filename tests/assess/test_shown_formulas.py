"""Every formula that a page shows is read as it is written there, worked out with made-up inputs, and held against the code's own."""

import csv
import math
import random
import re
from importlib import resources

import numpy as np
import pytest
from gudgeon.assess.calculations import REGISTRY
from gudgeon_calc.cylinders import REBORING
from gudgeon_calc.units import QUANTITY_KINDS, quantity, unit

DRAWS = 12
# Worked example of each input by its name: SI, turns a second, radians. Every draw takes each up to a seventh more or less.
EXAMPLE = {
    **{"bore": 0.1, "stroke": 0.12, "rod": 0.27, "speed": 8.0, "swept": 9e-4, "clearance": 2.5e-4, "ratio": 4.5},
    **{"pressure": 5e5, "hits": 20.0, "cycles": 50.0, "area": 7e-3, "strokes": 4.0, "tight": 200.0, "slack": 40.0},
    **{"diameter": 0.08, "torque": 30.0, "brake": 2000.0, "indicated": 2600.0, "stress": 2e7, "ring_wall": 0.004},
    **{"load": 9000.0, "thrust": 900.0, "length": 0.07, "larger": 0.02, "smaller": 0.004, "size": 0.1, "part": 0.004},
    **{"stiffness": 1.1e11, "opening": 0.012, "wall": 0.0095, "mass": 4.0, "turning": 3.0, "cap": 0.8, "suction": 5e4},
    **{"worn": 0.1003, "pit": 1e-4, "set_up": 5e-5, "working": 7e4, "factor": 1.5, "interference": 4e-5, "seat": 0.045},
    **{"hub_outer": 0.1, "shaft_inner": 0.018, "hub_poisson": 0.25, "shaft_poisson": 0.3, "hub_stiffness": 1.1e11},
    **{"shaft_stiffness": 2.07e11, "outer": 0.1, "inner": 0.045, "thickness": 0.0015, "land": 0.0985, "depth": 0.06},
    **{"pocket": 2e-4, "gasket": 1.2e-5, "crevice": 2e-6, "preload": 9000.0, "count": 6.0, "clamp": 60000.0},
    **{"gas": 25000.0, "circle": 0.15, "outside": 0.6, "density": 7200.0, "velocity": 12.0, "mean_radius": 0.27},
    **{"spokes": 6.0, "poisson": 0.25, "solid": 26.8, "strength": 0.3, "highest": 14.0, "width": 0.06, "inertia": 6.0},
    **{"fluctuation": 900.0, "angle": 0.5, "friction": 0.15, "force": 12000.0, "entry": 5e-5, "cte": 11e-6},
    **{"shaft": 0.042, "height": 0.009, "lift": 0.02, "piston_speed": 2.2, "high": 9.0, "low": 7.0, "radius": 0.06},
    **{"throat": 0.02, "efficiency": 0.15, "jacket_share": 0.35, "altitude": 600.0, "drops": 0.2, "foundation": 300.0},
    **{"volume": 3e-4, "extra": 0.3, "exponent": 1.3, "peak": 1.5e6, "compresses": 1.3, "expands": 1.35, "share": 0.45},
    **{"fired": 4e5, "pumping": 2e4, "dead": 3e4, "to_and_fro": 4.0, "coefficient": 0.03, "wheels": 2.0, "missed": 3.0},
    **{"mark_before": 0.4, "mark_after": 0.9, "opens_before": 0.6, "shuts_after": 0.1, "force_in": 20.0},
    **{"force_out": 40.0, "radius_in": 0.05, "radius_out": 0.08, "rate": 700.0, "weights": 2.0, "large": 0.045},
    **{"small": 0.04, "centres": 0.3, "rings": 3.0, "gap": 0.0004, "tangential": 20.0, "allowance": 0.002},
    **{"needed": 0.006, "pitch": 0.002, "grip": 0.05, "hole": 0.013, "face": 0.02, "stud": 3e8, "clamped": 9e8},
    **{"length_ratio": 1.3, "beam": 0.07, "temp": 293.0, "tested": 1.0},
}
# Where the same name means another thing.
OTHERWISE = {
    "jointed-rim-share": {"speed": 15.0},
    "power-as-hit": {"area": 7.8e-3},
    "stud-clamp-ratio": {"clamp": 60000.0},
    "stud-preload-wanted": {"clamp": 2.5, "load": 25000.0},
    "stud-area": {"diameter": 0.012},
    "stud-pitch-least": {"diameter": 0.012},
    "stud-pitch-most": {"diameter": 0.012},
    "ring-pressure": {"diameter": 0.1, "wall": 0.004},
    "ring-closing-stress": {"diameter": 0.1, "wall": 0.004},
    "ring-opening-stress": {"diameter": 0.1, "wall": 0.004},
    "ring-free-gap-wanted": {"diameter": 0.1, "wall": 0.004},
    "stud-load": {"load": 15000.0},  # about where the joint opens
    "stud-clamp-left": {"load": 15000.0},
    "bore-closure": {"bore": 0.03},
    "stud-stiffness": {"area": 8e-5, "length": 0.06},
    "stud-tension": {"area": 8e-5},
    "shaking-greatest": {"speed": 8.0},
}
TABLES = {"in": ("b17-keys", 0.0254), "mm": ("din6885-keys", 1e-3)}
COLUMNS = {"width": "width", "height": "height", "depth in the shaft": "shaft_depth", "depth in the hub": "hub_depth"}
UNITS = {"mm": 1e-3, "in": 0.0254, "kJ/kg": 1e3, "drops/ml": 1e6}


def by_table(drawn: str | None, column: str, size: float) -> float:
    """What a table of a standard holds for a size, looked up here; SI."""
    if column == "allowance":
        return 1e-3 * float(np.interp(size * 1e3, *zip(*REBORING, strict=True)))
    name, scale = TABLES[drawn or "mm"]
    text = resources.files("gudgeon_calc").joinpath("tables", f"{name}.csv").read_text(encoding="utf-8")
    ends = {"in": ("over_in", "to_in"), "mm": ("over_mm", "to_mm")}[drawn or "mm"]
    for row in csv.DictReader(text.splitlines()):
        if float(row[ends[0]]) < size / scale <= float(row[ends[1]]):
            return float(row[f"{COLUMNS[column]}_{drawn or 'mm'}"]) * scale
    raise AssertionError(f"{name} has no row for {size / scale}")


def as_code(text: str) -> str:
    """A formula as it is shown, as an expression that can be worked out."""
    text = text.translate(str.maketrans("[]{}×÷−≤", "()()*/-\0")).replace("\0", "<=")
    for power, digit in zip("²³⁴", "234", strict=True):
        text = text.replace(power, f"**{digit}")
    text = text.replace("^", "**").replace("¾", "(3/4)")
    table = r"\(?\b(width|height|depth in the shaft|depth in the hub|allowance) by the table for (\w+)\)?"
    if defined := re.search(rf", {table}$", text):
        text = re.sub(rf"\b{defined[1]}\b", f"by_table('{defined[1]}', {defined[2]})", text[: defined.start()])
    text = re.sub(table, r"by_table('\1', \2)", text)
    text = re.sub(r"\b([\d.]+) ?(mm|in|kJ/kg|drops/ml)(?![\w/])", lambda said: f"({said[1]}*{UNITS[said[2]]!r})", text)
    text = re.sub(r"\b(\d+)°", r"radians(\1)", text)
    text = re.sub(r"(\d+)π", r"(\1*π)", text)
    text = re.sub(r"\b(cos|sin|tan) (?!\()([\wθ]+(?:\(\d+\))?)", r"\1(\2)", text)
    text = re.sub(r"√(\w+)", r"sqrt(\1)", text).replace("√(", "sqrt(")
    text = re.sub(r"^(.*), at most (.*)$", r"min(\1, \2)", text)
    text = re.sub(r"^(.*), not under (.*)$", r"max(\1, \2)", text)
    return re.sub(r"(\w+) is Unified", r"is_unified(\1)", text).replace(", else", " else")


def worked_out(calculation, given: dict[str, float]) -> float:
    """What the shown formula gives, in SI, for inputs in SI."""
    text = calculation.shown.format_map({name: name for name in calculation.takes})
    text, _, noted = text.partition(", in ")
    scale = 1e-3 if noted == "millimetres" else 1.0
    known = {name: value / scale for name, value in given.items()} if noted == "millimetres" else dict(given)
    names = {
        **{"π": math.pi, "sqrt": math.sqrt, "cos": math.cos, "sin": math.sin, "tan": math.tan, "ln": math.log},
        **{"lg": math.log10, "arctan": math.atan, "radians": math.radians, "min": min, "max": max},
        "by_table": lambda column, size: by_table(calculation.drawn, column, size),
        "is_unified": lambda pitch: abs(0.0254 / pitch - round(0.0254 / pitch)) < 1e-6,
        "__builtins__": {},
    }
    over = re.match(r"(greatest over θ of|first whole degree θ at which it is greatest:) ", text)
    code = compile(as_code(text[over.end() :] if over else text), calculation.id, "eval")
    if over:
        values = [eval(code, names, known | {"θ": math.radians(degree)}) for degree in range(181)]
        return max(values) if "over θ" in over[1] else math.radians(int(np.argmax(np.round(values, 9))))
    result = eval(code, names, known) * scale
    return result + 273.15 if noted.endswith("°C") else result


def cycle(given: dict[str, float]) -> tuple[float, float, float]:
    """Mean moment, fluctuation of energy and greatest moment, from the words of the sum alone: every 1/80 of a degree, by differences."""
    bore, stroke, rod, mass = (given[name] for name in ("bore", "stroke", "rod", "mass"))
    crank, omega = stroke / 2, 2 * math.pi * given["speed"]
    angle = np.linspace(0, 4 * math.pi, 57601)
    x = crank * (1 - np.cos(angle)) + rod - np.sqrt(rod**2 - (crank * np.sin(angle)) ** 2)
    first = np.gradient(x, angle)
    left = stroke / (given["ratio"] - 1)
    share = (left + x) / left
    closing = given["atmosphere"] * (given["ratio"] / share) ** given["compresses"]
    opening = (given["peak"] + given["atmosphere"]) * share ** -given["expands"]
    stroke_number = np.clip(angle // math.pi, 0, 3)
    gas = np.where(stroke_number == 1, closing, np.where(stroke_number == 2, opening, given["atmosphere"]))
    force = (gas - given["atmosphere"]) * math.pi / 4 * bore**2 - mass * omega**2 * np.gradient(first, angle)
    moment = force * first
    mean = float(np.trapezoid(moment, angle) / (4 * math.pi))
    stored = np.concatenate([[0], np.cumsum((moment[1:] + moment[:-1]) / 2 * np.diff(angle))]) - mean * angle
    return mean, float(stored.max() - stored.min()), float(moment.max())


# What no line holds: said in words on the page, and worked out from the same words here.
IN_WORDS = {"turning-moment-mean": 0, "energy-fluctuation": 1, "turning-moment-greatest": 2}


def _speed(unit_name: str) -> bool:
    return "/" in unit_name and ("radian" in unit_name or "revolution" in unit_name)


def in_unit(value: float, unit_name: str):
    """A quantity of a formula, from SI and turns a second."""
    if _speed(unit_name):
        return quantity(value, "revolution/second").to(unit(unit_name))
    base = quantity(1.0, unit_name).to_base_units().units
    return quantity(value, str(base)).to(unit(unit_name))


def from_unit(result, unit_name: str) -> float:
    """A result in SI and turns a second."""
    if _speed(unit_name):
        return float(result.m_as(unit("revolution/second")))
    return float(result.to_base_units().m)


def drawn_inputs(calculation, chance: random.Random) -> dict[str, float]:
    """Inputs of a sum near its worked example; what is fixed, as it is fixed."""
    given = {}
    for name, wanted in calculation.takes.items():
        if wanted.where == "fixed":
            kind_unit = QUANTITY_KINDS[wanted.kind].unit
            given[name] = from_unit(quantity(wanted.usual[0], kind_unit), kind_unit)
        else:
            value = OTHERWISE.get(calculation.id, {}).get(name, EXAMPLE[name])
            given[name] = value * chance.uniform(0.86, 1.14)
    if "pitch" in given:
        given["pitch"] = chance.choice([0.00125, 0.0015, 0.00175, 0.0254 / 13, 0.0254 / 16, 0.0254 / 20])
    return given


def by_code(calculation, given: dict[str, float]) -> float:
    """What the code gives, in SI and turns a second."""
    arguments = {
        name: in_unit(value, calculation.formula.units[name]) if name in calculation.formula.units else value
        for name, value in given.items()
    }
    result, returns = calculation.formula(**arguments), calculation.formula.returns
    if calculation.pick is not None:
        result = result[calculation.pick]
    return from_unit(result, returns if isinstance(returns, str) else returns[calculation.pick or 0])


@pytest.mark.parametrize("calculation", REGISTRY, ids=lambda calculation: f"{calculation.id} {calculation.family}")
def test_what_is_shown_is_what_is_worked_out(calculation):
    chance = random.Random(calculation.id)
    for _ in range(2 if calculation.id in IN_WORDS else DRAWS):
        given = drawn_inputs(calculation, chance)
        expected = by_code(calculation, given)
        if calculation.id in IN_WORDS:
            assert cycle(given)[IN_WORDS[calculation.id]] == pytest.approx(expected, rel=3e-3)
        else:
            assert worked_out(calculation, given) == pytest.approx(expected, rel=2e-5, abs=1e-12), given


def test_nothing_that_counts_is_left_out_of_what_is_shown():
    """An input has its place in the formula that is shown, or is fixed, or moves nothing."""
    for calculation in REGISTRY:
        given = drawn_inputs(calculation, random.Random(calculation.id))
        for name, wanted in calculation.takes.items():
            if wanted.where != "fixed" and f"{{{name}}}" not in calculation.shown:
                assert by_code(calculation, given | {name: 1.1 * given[name]}) == by_code(calculation, given), (
                    f"{calculation.id} hides {name}"
                )


def test_a_wrong_formula_is_seen():
    """The reading itself: powers, products written together, roots, and what bounds a result."""
    assert (
        as_code("{mass} × (2π × {speed})² ÷ 2π".format_map({"mass": "m", "speed": "n"})) == "m * ((2*π) * n)**2 / (2*π)"
    )
    assert eval(as_code("2 × √wall, at most 3"), {"sqrt": math.sqrt, "min": min, "wall": 4.0}) == 3
