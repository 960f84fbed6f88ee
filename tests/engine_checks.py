"""Checks of the whole engine against published values: press fits, flywheels, head, power, rings, casting, measurement."""

import math

import limits
import numpy as np
from check_registry import SHELF, check, near
from gudgeon.assess.fitting.rule_results import step_for
from gudgeon.records.figures import WATCHED
from gudgeon.records.rule_forms import Form
from gudgeon_calc import (
    bearings,
    casting,
    cylinders,
    engine,
    flywheels,
    governors,
    keys,
    limits_and_fits,
    pistons,
    power,
    press_fits,
    rings,
    tapers,
    uncertainty,
)
from gudgeon_calc.published import table
from gudgeon_calc.units import Quantity as Q
from gudgeon_calc.units import read_quantity


def plain(value):
    return Q(value, "")


@check("shig-7-8")
def inch_print_of_s6_is_not_followed(row):
    """The print takes 2 in from the step below; ISO's own step for 50.8 mm gives more. We follow ISO."""
    low, high = (each / 25.4 for each in limits.iso_deviations(50.8, "s6"))
    near(low, 0.0021, 5e-5)
    near(high, 0.0028, 5e-5)
    assert row["expected"]["shaft"][0] < 2 + low - 1e-4, "the print disagrees, and stays a row so that nobody copies it"
    near(limits.iso_deviations(50.8, "H7")[1] / 25.4, row["expected"]["hole"][1] - 2, 2e-4)


@check("key-w")
def key_widths(row):
    for band, width in row["expected"].items():
        low, high = (fraction(each) for each in band.split("-"))
        for shaft in (low + 0.001, high):
            near(keys.key_width(Q(shaft, "inch")).m, fraction(width), 1e-9)


@check("key-seats")
def depths_of_inch_keyseats(row):
    for shaft, depths in row["expected"].items():
        sums = (keys.seat_in_shaft, keys.seat_in_hub, keys.seat_in_hub_taper)
        for depth_of, depth in zip(sums, depths, strict=True):
            near(depth_of(Q(float(shaft), "inch")).m, depth, row["tolerance"])


@check("key-din")
def metric_keys(row):
    for shaft, sizes in row["expected"].items():
        sums = (keys.key_width_metric, keys.key_height_metric, keys.seat_in_shaft_metric, keys.seat_in_hub_metric)
        for size_of, size in zip(sums, sizes, strict=True):
            near(size_of(Q(float(shaft), "mm")).m, size, 1e-9)


def fraction(text):
    over, _, under = text.partition("/")
    return float(over) / float(under or 1)


@check("dooley-shrink", "armm-tyre")
def shrink_allowance(row):
    rule = SHELF.rules["P-R19"].gives.expression[0]
    if row["id"] == "dooley-shrink":
        near(-rule.value({"size": 68 * 25.4}) / 25.4, row["expected"], 5e-4)
        return
    for diameter, allowed in zip((38, 44, 50, 56, 62, 66), row["expected"], strict=True):
        near(-rule.value({"size": diameter * 25.4}) / 25.4 / allowed, 1, 0.07)  # the old table allows a little more


@check("dooley-force")
def forced_fit_rule(row):
    tight, light = SHELF.rules["P-R18"].gives.expression
    assert [-light.value({"size": 1.0}), -tight.value({"size": 1.0})] == row["expected"]


@check("lame-8-10")
def lame_stresses(row):
    bore, outside = press_fits.thick_wall_hoop(Q(80, "MPa"), Q(400, "mm"), Q(600, "mm"))
    near(bore.m, row["expected"]["bore"], 0.05)
    near(outside.m, row["expected"]["outside"], 0.05)


@check("lame-8-13")
def lame_wall(row):
    outer = press_fits.thick_wall_outer(Q(40, "MPa"), Q(160, "mm"), Q(120, "MPa"))
    near(outer.m / 2 - 80, row["expected"], 0.01)


@check("props-shig")
def elastic_constants(row):
    for material, name in (
        ("carbon-steel", "steel"),
        ("grey-iron", "grey_iron"),
        ("cast-aluminium", "aluminium"),
        ("brass", "brass"),
        ("phosphor-bronze", "phosphor_bronze"),
    ):
        stiffness, poisson, weight = row["expected"][name]
        record = SHELF.materials[material]
        near(float(record.stiffness) / 1000, stiffness, 1e-9)
        near(record.poisson, poisson, 1e-9)
        if record.density_source == record.stiffness_source:
            near(Q(float(record.density), "kg/m**3").m_as("pound/inch**3"), weight, 1e-9)


@check("E-grey-iron-spread")
def modulus_is_a_range(row):
    iron = SHELF.materials["grey-iron"]
    low, high = (float(iron.stiffness) + sign * float(iron.stiffness_within) for sign in (-1, 1))
    assert low <= row["expected"]["TableD1_A48"] * 1000 and row["expected"]["Carvill"] * 1000 <= high
    near(float(iron.stiffness) / 1000, row["expected"]["Shigley_type"], 1e-9)


@check("rho-lineham")
def iron_weighs(row):
    near(Q(float(SHELF.materials["grey-iron"].density), "kg/m**3").m_as("pound/foot**3"), row["expected"], 1.0)


@check("khurmi-16-1")
def wheel_speeds(row):
    inertia, speed = Q(6500 * 1.8**2, "kg * m**2"), Q(120, "revolution/minute")
    spread = flywheels.coefficient_of_fluctuation(Q(56, "kJ"), inertia, speed).m
    near(120 * (1 + spread / 2), row["expected"]["N1"], 0.5)
    near(120 * (1 - spread / 2), row["expected"]["N2"], 0.5)
    printed = (Q(row["expected"][name], "revolution/minute") for name in ("N1", "N2"))
    near(governors.spread(*printed).m, spread, 5e-4)


@check("khurmi-16-2")
def wheel_energy(row):
    near(1500 / 2500, row["expected"]["alpha"], 0.01)
    near(
        flywheels.energy(Q(2500, "kg * m**2"), Q(0.6 * 10, "radian/second")).m_as("kJ"), row["expected"]["KE_kJ"], 0.01
    )


@check("khurmi-16-12")
def torque_diagram(row):
    angles = np.linspace(0, 2 * math.pi, 20001)
    found = flywheels.fluctuation_of_energy(
        list(angles), list(5000 + 600 * np.sin(2 * angles)), list(5000 + 500 * np.sin(angles))
    )
    near(found, row["expected"], 1)


@check("khurmi-16-16")
def wheel_design(row):
    energy, speed = 197 * 250 * math.pi / 60, Q(600, "revolution/minute")
    inertia = energy / (0.02 * speed.m_as("radian/second") ** 2)
    near(inertia, row["expected"]["I"], 0.1)
    near(flywheels.coefficient_of_fluctuation(Q(energy, "joule"), Q(inertia, "kg * m**2"), speed).m, 0.02, 1e-9)
    radius = flywheels.radius_for_stress(Q(6, "MPa"), Q(7250, "kg/m**3"), speed).m
    section = 0.92 * inertia / radius**2 / (7250 * 2 * math.pi * radius)
    near(math.sqrt(section / 2) * 1000, row["expected"]["t_mm"], 0.1)


@check("nz-rim", "restorers-rim", "rim-6000")
def rim_limits(row):
    limits = {
        danger.source: float(read_quantity(danger.limit, WATCHED[danger.figure])) / 0.3048 * 60
        for danger in SHELF.cautions["flywheel-bursts"].dangers
        if WATCHED[danger.figure] == "velocity"
    }
    source = {"nz-rim": "nz-1921", "restorers-rim": "restorers-rim-2006", "rim-6000": "shop-practice-1"}[row["id"]]
    near(limits[source], row["expected"], 0.5)
    danger = next(each for each in SHELF.cautions["flywheel-bursts"].dangers if each.source == source)
    assert (danger.basis == "from memory") == (row["basis"] == "from memory")


@check("solb-3-1")
def ideal_cycle(row):
    near(power.otto_efficiency(plain(6), plain(1.4)).m * 100, row["expected"], 0.001)


@check("gupta-16-3")
def brake_mean_pressure(row):
    swept = 4 * engine.swept_volume(Q(90, "mm"), Q(100, "mm"))
    near(power.brake_mean_pressure(Q(120, "newton * m"), swept).m_as("bar"), row["expected"], 0.005)


@check("kates-7-1")
def brake_horsepower(row):
    """The print divides by 5250; the exact constant is 5252.1."""
    found = power.shaft_power(Q(129 * 4, "force_pound * foot"), Q(1150, "revolution/minute")).m_as("horsepower")
    near(found * 33000 / (2 * math.pi) / 5250, row["expected"], 0.02)
    near(found, row["expected"], 0.06)


@check("kates-7-2")
def torque_of_power(row):
    per_unit = power.shaft_power(Q(1, "force_pound * foot"), Q(850, "revolution/minute")).m_as("horsepower")
    near(62 / per_unit * 5250 / (33000 / (2 * math.pi)), row["expected"], 0.02)


@check("tm98000-5254")
def power_constant(row):
    one = power.shaft_power(Q(1, "force_pound * foot"), Q(1, "revolution/minute")).m_as("force_pound * foot / minute")
    near(33000 / one, 5252.11, 0.01)
    assert abs(33000 / one - row["expected"]) > 1, "the print rounds; the exact figure is used"


@check("kesw-4-1")
def compression(row):
    clearance, swept = 900.0, math.pi / 4 * 20**2 * 38
    volume = clearance + 0.25 * swept
    near(volume / row["expected"]["V"], 1, 0.005)
    ratio = (clearance + swept) / volume
    pressure, temp = power.compressed(Q(1, "pascal"), Q(363, "kelvin"), plain(ratio), plain(1.32))
    near(pressure.m / row["expected"]["p"], 1, 0.005)
    near(temp.m / row["expected"]["T"], 1, 0.005)


@check("rath-alt")
def thin_air(row):
    """The print says below 62 percent at 15000 ft; the pressure there, from the boiling point's own atmosphere, agrees."""
    share = (1 - 2.25577e-5 * 15000 * 0.3048) ** 5.25588
    assert 100 * share < row["expected"]
    from gudgeon_calc.supplies import boiling_point

    near(boiling_point(Q(0, "m")).m, 100.0, 0.1)
    near(boiling_point(Q(1500, "m")).m, 95.0, 0.3)


@check("runc-bhp")
def rope_brake(row):
    assert row["expected"] == "(S1-S2)*pi*D*R/33000"
    found = power.rope_brake_power(Q(60, "force_pound"), Q(8, "force_pound"), Q(4, "foot"), Q(200, "revolution/minute"))
    near(found.m_as("force_pound * foot / minute") / 33000, 52 * math.pi * 4 * 200 / 33000, 1e-9)


@check("brooks-ihp")
def indicated_horsepower(row):
    found = power.indicated_power(Q(39.81, "psi"), Q(400, "inch**2"), Q(5.5, "foot"), Q(2 * 40, "1/minute"))
    near(found.m_as("force_pound * foot / minute") / 33000, row["expected"], 0.01)


@check("rath-timing", "ksu-timing")
def valve_settings(row):
    source = {"rath-timing": "rathbun-1916", "ksu-timing": "kansas-timing"}[row["id"]]
    events = {"EVO": "exhaust opens", "EVC": "exhaust shuts", "IVO": "inlet opens", "IVC": "inlet shuts"}
    held = {each["event"]: each for each in table("valve-timing") if each["source"] == source}
    for name, value in row["expected"].items():
        low, high = value if isinstance(value, list) else (value, value)
        found = held[events[name]]
        assert (float(found["least_deg"]), float(found["most_deg"])) == (low, high)
    assert (held["exhaust opens"]["centre"], held["exhaust opens"]["side"]) == ("outer", "before")


@check("went-6-1", "went-6-4", "shig-K-mem")
def stud_torque(row):
    factor, size, preload = {
        "went-6-1": (0.2, 0.75, 0.334 * 85000 * 0.85),
        "went-6-4": (0.15, 1.25, 1.073 * 120000 * 0.9),
        "shig-K-mem": (0.2, 0.75, 25000),
    }[row["id"]]
    torque = cylinders.tightening_torque(plain(factor), Q(size, "inch"), Q(preload, "force_pound"))
    near(torque.m_as("force_pound * inch"), row["expected"], 0.5 if row["id"] == "shig-K-mem" else 0.1)
    back = cylinders.preload_from_torque(torque, plain(factor), Q(size, "inch"))
    near(back.m_as("force_pound"), preload, 1e-6)


@check("shig-K")
def friction_factors(row):
    text = " ".join(cylinders.tightening_torque.__doc__.split())
    assert f"{row['expected']['lubricated']:.2f} lubricated" in text and f"{row['expected']['black']:.2f} black" in text
    held = cylinders.preload_from_torque.ranges[0]
    assert (held.least, held.most) == (row["expected"]["grip_nut"], row["expected"]["black"])


@check("tn1297-t", "tn1297-9545")
def t_factors(row):
    if row["id"] == "tn1297-t":
        for degrees, (low, high) in row["expected"].items():
            near(uncertainty.coverage_factor(degrees), low, 0.005)
            near(uncertainty.coverage_factor(degrees, 0.99), high, 0.005)
    else:
        near(uncertainty.coverage_factor(5, 0.9545), row["expected"][0], 0.005)
        near(uncertainty.coverage_factor(math.inf, 0.9545), row["expected"][1], 0.005)


@check("gum-h1-2nd")
def end_gauge_second_order(row):
    """The linear 32 nm misses a product of two uncertain differences; drawn at random the whole comes to 34 nm."""
    chance = np.random.default_rng(20251125)
    n, size = 400_000, 50.000623e6  # nm
    rectangular = lambda half: chance.uniform(-half, half, n)  # noqa: E731
    alpha, spread = 11.5e-6 + rectangular(2e-6), rectangular(1e-6)
    theta = -0.1 + chance.normal(0, 0.2, n) + 0.5 * np.sin(chance.uniform(0, 2 * math.pi, n))
    apart = rectangular(0.05)
    standard, comparator = chance.normal(size, 25, n), chance.normal(215, math.hypot(5.8, 3.9, 6.7), n)
    length = standard + comparator - standard * (spread * theta + alpha * apart)
    near(float(length.std()), row["expected"], 0.6)


@check("shrink-dooley", "shrink-shop")
def contraction(row):
    if row["id"] == "shrink-dooley":
        for metal, per_foot in row["expected"].items():
            held = [each for each in casting.contractions(metal.replace("_", " ")) if each[1] == "dooley-1919"]
            near(held[0][0] * 12, fraction(per_foot), 1e-9)
    else:
        for metal, name in (("cast iron", "cast_iron"), ("brass", "brass")):
            held = [each for each in casting.contractions(metal) if each[1] == "shop-practice-2"]
            near(casting.pattern_size(Q(24, "inch"), plain(held[0][0])).m_as("inch"), row["expected"][name], 1e-9)
    assert len(casting.contractions("cast iron")) == 3, "sources disagree, and all of them are kept"


@check("bmech-weight")
def bar_weight(row):
    """A quick rule of the print, 2.6 percent heavy; the sum takes the density."""
    volume = Q(3.25 * 1.125 * 30, "inch**3")
    exact = casting.melt_weight(volume, Q(0.26, "pound/inch**3"), plain(0)).m_as("pound")
    near(exact, 28.5, 0.05)
    near(row["expected"] / exact, 1.026, 0.001)


@check("cp-finish")
def finish_stock(row):
    assert list(casting.FINISH_STOCK) == row["expected"]


@check("khmd-bigend", "khmd-pin")
def pin_sizes(row):
    if row["id"] == "khmd-pin":
        near(39275 / (25 * 0.45 * 100), row["expected"], 0.05)
        near(bearings.projected_pressure(Q(39275, "newton"), Q(34.9, "mm"), Q(45, "mm")).m, 25, 0.05)
        return
    load = Q(24740, "newton")
    near(bearings.journal_diameter(load, plain(1.3), Q(10, "MPa")).m, row["expected"]["dc"], 0.1)
    near(bearings.journal_diameter(load, plain(2), Q(15, "MPa")).m, row["expected"]["dp"], 0.1)


@check("khmd-main")
def main_pressure(row):
    near(bearings.projected_pressure(Q(185350, "newton"), Q(365, "mm"), Q(155, "mm")).m, row["expected"], 0.001)


@check("khmd-cap")
def cap(row):
    near(9490 * 65 / 6, row["expected"]["M"], 5)
    found = bearings.cap_thickness(Q(9490, "newton"), Q(65, "mm"), Q(9.7 * 6, "mm"), Q(80, "MPa"))
    near(found.m, row["expected"]["tc"], 0.05)


@check("khmd-head")
def crown(row):
    near(pistons.crown_thickness(Q(100, "mm"), Q(5, "MPa"), Q(38, "MPa")).m, row["expected"], 0.05)


@check("khmd-barrel")
def barrel(row):
    wall, least, most = (each.m for each in pistons.barrel_thickness(Q(100, "mm"), Q(3.4, "mm")))
    near(wall, row["expected"]["t3"], 0.06)
    near(least, row["expected"]["t4"][0], 0.06)
    near(most, row["expected"]["t4"][1], 0.06)


@check("khmd-skirt")
def skirt(row):
    thrust = pistons.side_thrust(pistons.gas_load(Q(5, "MPa"), Q(100, "mm")))
    near(thrust.m, row["expected"]["R"], 1.5)
    near(pistons.skirt_pressure(thrust, Q(100, "mm"), Q(row["expected"]["l"], "mm")).m, 0.45, 0.001)


@check("khmd-studs")
def studs(row):
    least, most = (each.m for each in cylinders.stud_pitch_limits(Q(14, "mm")))
    near(least, row["expected"]["min"], 0.06)
    near(most, row["expected"]["max"], 0.06)
    near(cylinders.stud_pitch(Q(115 + 3 * 14, "mm"), plain(6)).m, row["expected"]["pitch"], 0.06)


@check("bourne-342")
def old_walls(row):
    for (pressure, wall), stress in zip(((20, 1 / 40), (80, 1 / 16)), row["expected"], strict=True):
        near(cylinders.wall_stress(Q(pressure, "psi"), Q(40, "inch"), Q(40 * wall, "inch")).m_as("psi"), stress, 1e-6)
        turned_round = cylinders.wall_thickness(Q(40, "inch"), Q(pressure, "psi"), Q(stress, "psi"), Q(0, "inch"))
        near(turned_round.m_as("inch"), 40 * wall, 1e-9)


@check("bourne-59")
def oil_film(row):
    danger = next(each for each in SHELF.cautions["seizing"].dangers if each.figure == "big-end-pressure")
    near(Q(float(read_quantity(danger.limit, "pressure")), "MPa").m_as("psi"), row["expected"], 1e-6)
    assert danger.source == "bourne-1865"


@check("osha-fly")
def guards(row):
    assert f"within {row['expected']} ft" in SHELF.cautions["flywheel-bursts"].where_in_source


RULES = {
    "piston-forum": ("P-R10", None),
    "yt-gap": ("P-R6", None),
    "tm545-skirt": ("P-R9", 4.2465),
    "tm545-gap": ("P-R3", 4.25),
    "tm366-gap": ("P-R4", 4.134),
    "velo-gap": ("P-R5", 2.913),
    "forda-main": ("P-R17", 1.624),
}


@check(*RULES)
def printed_clearances(row):
    """Rules on the shelf give what the prints give, to the figures that were printed."""
    name, size = RULES[row["id"]]
    low, high = SHELF.rules[name].gives.per_length
    expected = row["expected"]
    if row["id"] == "tm545-gap":
        expected = expected["first"]
    if row["id"] == "tm366-gap":
        expected = expected["no1"]
    if row["id"] == "velo-gap":
        expected = [expected["compression"], expected["scraper"]]
    if row["id"] == "forda-main":
        expected = [expected, expected]
    factor = size or 1.0
    near(low * factor, expected[0], 0.0003 if size else 1e-9)
    near(high * factor, expected[1], 0.0003 if size else 1e-9)
    rule = SHELF.rules[name]
    assert (rule.basis == "common practice") == (row["basis"] == "common practice")


@check("tm240-gap")
def small_engine_bearings(row):
    for name, size, key in (("P-R15", 2.248, "crankpin"), ("P-R16", 2.6235, "main")):
        for rate, printed in zip(SHELF.rules[name].gives.per_length, row["expected"][key], strict=True):
            near(rate * size, printed, 0.0001)


@check("tm219-rings", "tm205-gap")
def looser_prints_are_not_followed(row):
    """Two-stroke and marine diesels run far wider gaps; no rule for these engines follows them."""
    gap = row["expected"].get("others") or row["expected"]["compression"]
    slow = SHELF.rules["P-R1"].gives.per_length[1]
    assert gap[1] / 4.25 > 2 * slow


@check("cp-piston", "cp-land", "cp-sideclr", "cp-gap")
def figures_without_an_origin_stay_off_the_shelf(row):
    """What no print and no named member says is a check value here and no rule that a fit could cite (decision 0034)."""
    assert row["basis"] == "common practice" and row["source"] == "(common shop practice)"
    kind = {"cp-piston": "skirt", "cp-land": "top_land", "cp-sideclr": "ring_side", "cp-gap": "ring_gap"}[row["id"]]
    if row["id"] == "cp-piston":  # in its own words it is a step by size, no range
        below, above = row["expected"]
        steps = [{"under": "8 in", "per_length": str(below)}, {"per_length": str(above)}]
        held = Form.model_validate({"steps": steps}).steps
        assert [step_for(held, inches * 25.4).per_length[0] for inches in (7.999, 8, 10)] == [below, above, above]
    for rule in SHELF.rules.values():
        if rule.kind == kind and rule.gives and rule.gives.per_length:
            assert list(rule.gives.per_length) != row["expected"], rule.rule
        if rule.kind == kind and rule.gives and rule.gives.least and rule.gives.most:
            assert [float(rule.gives.least) / 25.4, float(rule.gives.most) / 25.4] != row["expected"], rule.rule


@check("forda-piston")
def printed_sizes(row):
    low, _ = limits_and_fits.clearance_of_limits(*(Q(each, "inch") for each in (3.876, 3.876, 3.8745, 3.8745)))
    near(low.m_as("inch"), row["expected"], 5e-5)


@check("kori-fd")
def ring_forces(row):
    for ratio in row["expected"].values():
        near(rings.diametral_force(Q(10, "newton"), plain(ratio)).m, 10 * ratio, 1e-9)
        assert f"{ratio:g} for" in rings.diametral_force.__doc__


RING = {"stiffness": Q(100, "GPa"), "diameter": Q(100, "mm"), "wall": Q(100 / 24.4, "mm")}


@check("kori-p", "khmd-pw")
def two_schools_of_ring_pressure(row):
    """A ring with the free gap of one textbook presses between what the two schools print: neither is followed blindly."""
    opening = Q(3.5 * 100 / 24.4 - 0.35, "mm")
    found = rings.pressure_from_free_gap(RING["stiffness"], opening, RING["diameter"], RING["wall"]).m
    low, high = row["expected"] if row["id"] == "kori-p" else row["expected"]["pw"]
    assert found > high if row["id"] == "khmd-pw" else low <= found <= high


@check("sab-ring", "mem-ringthk")
def ring_wall_ratios(row):
    if row["id"] == "sab-ring":
        near(1 / rings.ratio_to(Q(100, "mm"), Q(4.1, "mm")).m, row["expected"], 1e-9)
        return
    assert row["expected"] == ["D/30", "D/22"]
    worst = rings.bending_stress(RING["stiffness"], Q(0.15 * 100, "mm"), Q(100, "mm"), Q(100 / 22, "mm")).m
    near(worst, 317, 1)
    limit = next(each for each in SHELF.cautions["ring-breaks"].dangers if each.figure == "ring-closing-stress")
    assert worst > float(read_quantity(limit.limit, "pressure")), (
        "D/22 with 0.15 D together break a ring, and are warned of"
    )


@check("mem-ring", "ring-derive")
def ring_spring(row):
    bore = 2 * 48.3 + 3.4
    on_bore = Q(0.1 * 2 * 48.3 / bore, "MPa")  # the print's pressure is at the mean radius
    opening = rings.free_gap_for_pressure(on_bore, Q(bore, "mm"), Q(3.4, "mm"), Q(1e5, "MPa"), Q(0, "mm"))
    if row["id"] == "ring-derive":
        near(opening.m, row["expected"], 0.01)
    else:
        second_moment = 3 * 3.4**3 / 12
        near(opening.m, 3 * math.pi * 0.1 * 3 * 48.3**4 / (1e5 * second_moment), 1e-9)
        assert row["expected"].startswith("m = 3 pi p h r^4")


@check("mem-tc9")
def setover(row):
    assert row["expected"]["offset"] == "TPF*L/24"
    per_foot, length = 0.6, 14
    found = tapers.tailstock_move(Q(per_foot, "inch"), Q(length, "inch"), Q(12, "inch")).m_as("inch")
    near(found, per_foot * length / 24, 1e-12)
