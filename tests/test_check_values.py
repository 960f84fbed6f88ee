"""Every row of check_values.yaml against the product's own code. A row without a check, or a check without a row, fails."""

import ast
import csv
import importlib.resources
import json
import math
from fractions import Fraction
from pathlib import Path

import cutting_checks  # noqa: F401 - registers its checks
import design_checks  # noqa: F401 - registers its checks
import engine_checks  # noqa: F401 - registers its checks
import engine_sum_checks  # noqa: F401 - registers its checks
import limits
import pytest
import yaml
from check_registry import CHECKS, SHELF, check, near
from gudgeon.assess.measuring.sizes import budget, mean_reading
from gudgeon.records.fields import _expansion
from gudgeon.records.readings import Row
from gudgeon_calc import (
    engine,
    expansion,
    flywheels,
    form,
    limits_and_fits,
    rings,
    stackups,
    tapers,
    thumb_rules,
    uncertainty,
    units,
)
from gudgeon_calc.published import bases
from gudgeon_calc.units import Quantity as Q
from uncertainties import ufloat

HERE = Path(__file__).parent
ROWS = {row["id"]: row for row in yaml.safe_load((HERE / "check_values.yaml").read_text(encoding="utf-8"))["rows"]}


@check(
    "iso286-it-3-6",
    "iso286-it-6-10",
    "iso286-it-10-18",
    "iso286-it-18-30",
    "iso286-it-30-50",
    "iso286-it-50-80",
    "iso286-it-80-120",
)
def grades(row):
    low, high = (float(each) for each in row["id"].split("-")[2:])
    for grade, micrometres in row["expected"].items():
        for basic in (
            low + 0.01,
            (low + high) / 2,
            high,
        ):  # a step goes from over its lower to and including its upper end
            near(limits.iso_tolerance(basic, int(grade[2:])) * 1000, micrometres, 1e-9)


@check("iso286-shaft-g6", "iso286-shaft-f7", "iso286-shaft-p6", "iso286-shaft-s6")
def shafts(row):
    for band, (upper, lower) in row["expected"].items():
        deviations = limits.iso_deviations(float(band.split("-")[1]), row["id"].split("-")[2])
        near(deviations[0] * 1000, lower, 1e-9)
        near(deviations[1] * 1000, upper, 1e-9)


@check("iso286-fd-s-80-180")
def nearest_deviation_of_s(row):
    for basic, micrometres in zip((80, 100, 120), row["expected"], strict=False):
        near(limits.iso_deviations(basic, "s6")[0] * 1000, micrometres, 1e-9)


@check("fit-25H7g6", "fit-40H8f7", "fit-60H7p6", "fit-25H7s6")
def iso_fits(row):
    name = row["id"].removeprefix("fit-")
    least, most = (each * 1000 for each in limits.iso_fit(float(name[:2]), f"{name[2:4]}/{name[4:]}"))
    if row["quantity"].startswith("interference"):
        least, most = -most, -least
    near(least, row["expected"]["min"], 1e-9)
    near(most, row["expected"]["max"], 1e-9)


def of_limits(*limits, unit="mm"):
    return [each.m_as(unit) for each in limits_and_fits.clearance_of_limits(*(Q(each, unit) for each in limits))]


@check("jindal-4-2")
def interference_of_limits(row):
    least, most = of_limits(25, 25.021, 25.028, 25.041)
    near(-least, row["expected"]["max"], 5e-4)
    near(-most, row["expected"]["min"], 5e-4)


@check("jindal-4-3")
def clearance_of_limits_jindal(row):
    least, most = of_limits(50, 50.039, 49.966, 49.991)
    near(least, row["expected"]["min"], 5e-4)
    near(most, row["expected"]["max"], 5e-4)


@check("sharma-9-5")
def clearance_of_limits_sharma(row):
    least, most = of_limits(30, 30.020, 29.982, 29.995)
    near(least, row["expected"]["min"], 5e-4)
    near(most, row["expected"]["max"], 5e-4)


@check("od1642-allow")
def allowance_sign(row):
    near(of_limits(0.250, 0.250, 0.245, 0.245, unit="inch")[0], row["expected"]["clearance"], 1e-12)
    near(of_limits(0.250, 0.250, 0.251, 0.251, unit="inch")[0], -row["expected"]["interference"], 1e-12)
    left = stackups.difference(Q(0.250, "inch"), Q(0.245, "inch"))
    near(left.m_as("inch"), row["expected"]["clearance"], 1e-12)


@check("b41-rc-0.71-1.19", "b41-rc-1.97-3.15", "b41-fn-0.95-1.19", "b41-fn-1.58-1.97", "b41-fn-2.56-3.15")
def inch_fits(row):
    _, kind, low, high = row["id"].split("-")
    for fit_class, (least, most) in row["expected"].items():
        for basic in ((float(low) + float(high)) / 2, float(high)):
            found = [each * 1000 for each in limits.inch_fit(basic, fit_class)]
            wanted = [least, most] if kind == "rc" else [-most, -least]
            near(found[0], wanted[0], 1e-9)
            near(found[1], wanted[1], 1e-9)


@check("bansal-1-28")
def free_growth(row):
    near(expansion.growth(Q(2, "m"), Q(12e-6, "1/kelvin"), Q(70, "kelvin")).m, row["expected"]["dL_mm"], 0.01)


@check("ring-growth")
def ring_closing(row):
    cold, hot = Q(1.0, "mm"), (Q(20, "degC"), Q(120, "degC"), Q(10.7e-6, "1/kelvin"), Q(10.7e-6, "1/kelvin"))
    near((cold - rings.gap_at(cold, Q(100, "mm"), *hot)).m, row["expected"], 1e-3)


def printed(material, source, of=None):
    """What the metal rack says that a source prints, 1e-6 per kelvin."""
    record = SHELF.materials[material]
    figures = [record] if record.source == source and of is None else []
    figures += [
        other
        for other in record.others
        if other.source == source and (of is None or of in f"{other.of} {other.where_in_source}")
    ]
    return figures[0].cte * 1e6


@check("sab-alpha")
def ring_iron(row):
    near(printed("grey-iron", "ring-maker-pages"), row["expected"]["low"] * 10, 1e-9)


@check("alpha-ci-spread")
def grey_iron_band(row):
    iron = SHELF.materials["grey-iron"]
    near(printed("grey-iron", "dooley-1919"), row["expected"]["Dooley_1919_per_F"] * 1.8e6, 1e-9)
    near(printed("grey-iron", "carvill-1993"), row["expected"]["Carvill_per_K"] * 1e6, 1e-9)
    near(iron.cte, row["expected"]["tool_maker_table_per_F"] * 1.8, 1e-12)
    assert all(abs(other.cte - iron.cte) <= iron.cte_within + 1e-12 for other in iron.others), (
        "the band has to take in every source shown"
    )


@check("alpha-dooley")
def dooley(row):
    near(printed("grey-iron", "dooley-1919"), row["expected"]["cast_iron"] * 1.8e6, 1e-9)
    near(printed("carbon-steel", "dooley-1919"), row["expected"]["steel_untempered"] * 1.8e6, 1e-9)


@check("alpha-callister")
def callister(row):
    near(printed("cast-aluminium", "callister-2007"), row["expected"]["Al356"], 1e-9)
    near(printed("cast-aluminium", "callister-2007", "6061"), row["expected"]["Al6061"], 1e-9)
    near(printed("brass", "callister-2007"), row["expected"]["C26000"], 1e-9)
    near(printed("phosphor-bronze", "callister-2007"), row["expected"]["C93200"], 1e-9)


@check("props-carvill")
def carvill(row):
    near(printed("grey-iron", "carvill-1993"), row["expected"]["grey"]["alpha"], 1e-9)
    near(printed("phosphor-bronze", "carvill-1993"), row["expected"]["phosphor_bronze"]["alpha"], 1e-9)
    near(printed("brass", "carvill-1993"), row["expected"]["brass"]["alpha"], 1e-9)
    for material, name in (("grey-iron", "grey"), ("phosphor-bronze", "phosphor_bronze"), ("brass", "brass")):
        near(float(SHELF.materials[material].density), row["expected"][name]["rho"], 1e-9)


@check("alpha-callister-gray")
def callister_steels(row):
    near(printed("grey-iron", "callister-earlier"), row["expected"]["grey"], 1e-9)
    near(printed("carbon-steel", "callister-earlier"), row["expected"]["s1040"], 1e-9)
    near(printed("carbon-steel", "callister-earlier", "1020"), row["expected"]["s1020"], 1e-9)


@check("sdp-table")
def per_fahrenheit(row):
    near(printed("grey-iron", "gear-technology") / 1.8, row["expected"]["grey"], 1e-9)
    near(printed("phosphor-bronze", "gear-technology") / 1.8, row["expected"]["bronze"], 1e-9)
    near(printed("brass", "gear-technology") / 1.8, row["expected"]["brass"], 1e-9)
    near(_expansion("6.0e-6 /F"), 10.8e-6, 1e-15)


@check("inch")
def inch(row):
    assert units.read_quantity("1 in", "length").value == Fraction(str(row["expected"]))
    near(Q(1, "inch").m_as("mm"), row["expected"], 1e-12)


@check("hp")
def horsepower(row):
    near(Q(33000, "foot*force_pound/minute").m_as("watt"), row["expected"], 0.05)


@check("iso1")
def reference_temperature(row):
    assert row["expected"] == expansion.REFERENCE
    at = Q(row["expected"], "degC")
    near(expansion.size_at_reference(Q(100.0, "mm"), at, at, Q(20e-6, "1/kelvin"), Q(11e-6, "1/kelvin")).m, 100.0, 0)


@check("rect-7-10")
def from_limits(row):
    near(uncertainty.standard_from_limits(1.5), row["expected"], 0.005)


def end_gauge():
    """GUM H.1: l = ls + d − ls·(δα·θ + αs·δθ), in nm, with the product's own budget."""
    ls, d = ufloat(50_000_623, 25, tag="standard"), ufloat(215, math.sqrt(5.8**2 + 3.9**2 + 6.7**2), tag="comparator")
    alpha_difference = ufloat(0, uncertainty.standard_from_limits(1e-6), tag="expansion difference")
    theta_difference = ufloat(0, uncertainty.standard_from_limits(0.05), tag="temperature difference")
    return ls + d - ls.nominal_value * (alpha_difference * -0.1 + 11.5e-6 * theta_difference)


@check("gum-h1-l")
def end_gauge_length(row):
    near(end_gauge().nominal_value * 1e-6, row["expected"], 5e-7)


@check("gum-h1-comp")
def end_gauge_components(row):
    lines = {line.name: line.standard for line in budget(end_gauge())}
    for name, nanometres in zip(
        ("standard", "comparator", "expansion difference", "temperature difference"), row["expected"], strict=True
    ):
        near(lines[name], nanometres, 0.05)


@check("gum-h1-uc")
def end_gauge_combined(row):
    near(end_gauge().std_dev, row["expected"], 0.5)


@check("iso14253")
def acceptance(row):
    for size in row["expected"]["accept"]:
        assert uncertainty.conformity(size, 0.004, 25.0, 25.021) == "in", "the zone's own ends are taken"
    assert uncertainty.conformity(25.0171, 0.004, 25.0, 25.021) == "reads in"
    assert [uncertainty.conformity(size, 0.004, 25.0, 25.021) for size in (25.004, 25.0039, 25.0, 24.9999, 24.996)] == [
        "in",
        "reads in",
        "reads in",
        "reads out",
        "out",
    ]


def norris():
    text = (importlib.resources.files("scipy.stats") / "tests" / "data" / "nist_linregress" / "Norris.dat").read_text()
    pairs = [line.split() for line in text.splitlines() if len(line.split()) == 2]
    numbers = [
        tuple(float(each) for each in pair)
        for pair in pairs
        if all(each.replace(".", "").replace("-", "").isdigit() for each in pair)
    ]
    assert len(numbers) == 36
    return form.line_fit([x for _, x in numbers], [y for y, _ in numbers])


@check("norris-b")
def norris_line(row):
    near(norris().intercept / row["expected"]["B0"], 1, 1e-9)
    near(norris().slope / row["expected"]["B1"], 1, 1e-9)


@check("norris-sd")
def norris_spread(row):
    line = norris()
    for found, name in (
        (line.intercept_sd, "sB0"),
        (line.slope_sd, "sB1"),
        (line.residual_sd, "s"),
        (line.r_squared, "R2"),
    ):
        near(found / row["expected"][name], 1, 1e-8)


@check("gear-mean")
def gear_diameters(row):
    source = (importlib.resources.files("scipy.stats") / "tests" / "test_morestats.py").read_text(encoding="utf-8")
    assigned = {
        node.targets[0].id: node.value
        for node in ast.parse(source).body
        if isinstance(node, ast.Assign) and isinstance(node.targets[0], ast.Name)
    }
    batches = [ast.literal_eval(assigned[f"g{number}"]) for number in range(1, 11)]
    rows = [
        Row(
            id=f"g{number}",
            of="gear.od",
            date="2025-01-01",
            by="x",
            gauge="m",
            reads=" ".join(f"{each:.3f}" for each in batch) + " in",
        )
        for number, batch in enumerate(batches)
    ]
    assert sum(len(each.reads) for each in rows) == 100
    near(sum(mean_reading(each) for each in rows) / 10 / 25.4, row["expected"]["mean"], 1e-7)


@check("hast-gap")
def ring_gap_rule(row):
    assert SHELF.rules["A-R5"].gives.per_length == (row["expected"]["min"], row["expected"]["worn_bore"])
    assert SHELF.rules["A-R5"].source == "hastings-p32"


@check("khmd-ringgap")
def ring_gap_textbook(row):
    low, high = SHELF.rules["P-R1"].gives.per_length
    for rate, millimetres in zip((low, high), row["expected"]["fitted"], strict=True):
        near(thumb_rules.allowance(Q(100, "mm"), Q(rate, ""), Q(0, "mm")).m, millimetres, 1e-3)


@check("tm229-gap-bore")
def gap_follows_bore(row):
    near(rings.gap_at_bore(Q(1.0, "mm"), Q(100.0, "mm"), Q(100.03, "mm")).m - 1.0, row["expected"], 0.02)


@check("ring-p-ft")
def ring_pressure(row):
    near(rings.wall_pressure(Q(10, "newton"), Q(100, "mm"), Q(3, "mm")).m, row["expected"], 1e-4)


@check("forda-piston")
def cold_clearance(row):
    cold = Q(20, "degC")
    near(
        expansion.clearance_at(
            Q(3.876, "inch"), Q(3.8745, "inch"), cold, cold, Q(11e-6, "1/kelvin"), Q(22e-6, "1/kelvin")
        ).m_as("inch"),
        row["expected"],
        5e-5,
    )


@check("tm653-select")
def limits_alone_mislead(row):
    least, most = of_limits(87.20, 87.25, 87.165, 87.215)
    near(least, -0.015, 1e-9)
    near(most, 0.085, 1e-9)
    assert least < row["expected"][0] < row["expected"][1] < most


@check("cp-land")
def land_rule(row):
    rate = SHELF.rules["A-R4"].gives.per_length[0]
    assert row["expected"][0] <= rate <= row["expected"][1] and SHELF.rules["A-R4"].basis == "common practice"


@check("brg-spread")
def bearing_rules(row):
    two = Q(2, "inch")
    near(thumb_rules.allowance(two, Q(0.0015, ""), Q(0, "inch")).m_as("inch"), row["expected"]["per_inch_0015"], 1e-9)
    near(thumb_rules.allowance(two, Q(0.002, ""), Q(0, "inch")).m_as("inch"), row["expected"]["per_inch_002"], 1e-9)
    near(thumb_rules.allowance(two, Q(0.001, ""), Q(0.001, "inch")).m_as("inch"), row["expected"]["one_plus_one"], 1e-9)


@check("brg-slow")
def slow_bearing_rule(row):
    assert list(SHELF.rules["P-R2"].gives.per_length) == row["expected"]


@check("cp-brg")
def poured_bearing_rule(row):
    assert SHELF.rules["A-R8"].gives.per_length[0] == row["expected"]


@check("solb-3-3")
def ratio_from_clearance(row):
    near(engine.compression_ratio(Q(100, "mm**3"), Q(20, "mm**3")).m, row["expected"], 1e-12)


@check("doe-cr")
def ratio_and_back(row):
    swept = Q(1000.0, "mm**3")
    near(engine.compression_ratio(swept, engine.clearance_volume(swept, Q(4.6, ""))).m, 4.6, 1e-12)


@check("nt264-displ")
def displacement(row):
    near(engine.swept_volume(Q(3.5, "inch"), Q(4, "inch")).m_as("inch**3"), row["expected"]["one"], 0.6)


@check("porter-pistonspeed")
def piston_speeds(row):
    strokes, speeds = (12, 16, 20, 24, 30, 36, 42, 48), (350, 280, 230, 200, 165, 140, 125, 112.5)
    for stroke, speed, feet in zip(strokes, speeds, row["expected"], strict=True):
        near(engine.mean_piston_speed(Q(stroke, "inch"), Q(speed, "revolution/minute")).m_as("ft/minute"), feet, 1)


@check("mem-plan")
def plan(row):
    p, stroke, area, speed = 55, 6.375, math.pi / 4 * 4.25**2, 420
    horse = p * stroke / 12 * area * speed / 2 / 33000
    found = engine.brake_power(
        Q(p, "psi"), engine.swept_volume(Q(4.25, "inch"), Q(stroke, "inch")), Q(speed, "revolution/minute")
    )
    near(found.m_as("foot*force_pound/minute") / 33000, horse, 1e-6)


@check("carvill-ring")
def thin_ring(row):
    assert row["expected"].startswith("sigma = rho v^2")
    near(flywheels.hoop_stress(Q(7200, "kg/m**3"), Q(20, "m/second")).m, 7200 * 20**2 / 1e6, 1e-12)
    assert flywheels.hoop_stress.source == "carvill-1993"


@check("nz-double")
def double_speed(row):
    density, one = Q(7200, "kg/m**3"), Q(12, "m/second")
    near((flywheels.hoop_stress(density, 2 * one) / flywheels.hoop_stress(density, one)).m, row["expected"], 1e-12)
    joint = Q(0.25, "")  # of the solid rim's strength, as the same report has joints
    of_a_quarter = flywheels.jointed_rim_speed(2 * one, joint)
    near((of_a_quarter / one).m, 1, 1e-12)


@check("gem-rimspeed")
def rim_speed(row):
    near(
        flywheels.rim_speed(Q(24, "inch"), Q(0, "inch"), Q(500, "revolution/minute")).m_as("mile/hour"),
        row["expected"],
        0.05,
    )


@check("rim-v2-10")
def rim_rule(row):
    exact = flywheels.hoop_stress(Q(0.26, "pound/inch**3"), Q(88, "ft/second")).m_as("psi")
    near(exact / row["expected"], 1, 0.04)  # the rule rounds the density


@check("nav-taper")
def taper_per_foot(row):
    for length, per_foot in zip((2, 6), row["expected"], strict=True):
        half = tapers.rest_angle(Q(2, "inch"), Q(1, "inch"), Q(length, "inch")).m
        near(24 * math.tan(math.radians(half)), per_foot, 1e-12)


@check("shrink-ratio")
def ratio_per_foot(row):
    near(float(units.read_quantity("1:96", "ratio")) * 12, row["expected"][0], 5e-4)


@pytest.mark.parametrize("name", ROWS)
def test_published_value(name):
    assert name in CHECKS, "no check for this row"
    assert ROWS[name]["source"] and ROWS[name]["basis"] in ("seen", "from memory", "common practice")
    CHECKS[name](ROWS[name])


def test_every_check_has_its_row():
    assert set(CHECKS) == set(ROWS) and len(ROWS) >= 140


def test_tables_cite_works_in_the_bibliography():
    folder = importlib.resources.files("gudgeon_calc") / "tables"
    names = sorted(path.stem for path in folder.iterdir() if path.name.endswith(".csv"))
    described = {each["name"]: each for each in json.loads((folder / "datapackage.json").read_text())["resources"]}
    assert set(names) == set(described)
    for name in names:
        rows = list(csv.DictReader((folder / f"{name}.csv").read_text().splitlines()))
        assert [field["name"] for field in described[name]["schema"]["fields"]] == list(rows[0])
        for row in rows:
            assert row["basis"] in bases(), name
            assert row["source"] in SHELF.sources or (not row["source"] and row["basis"] == "from memory"), name
