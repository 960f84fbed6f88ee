"""Checks of the short sums of an engine against published worked numbers: bores, heads, valves, governor, keys, press fits, brake."""

import math

from check_registry import SHELF, check, near
from gudgeon_calc import (
    bearings,
    cutting,
    cylinders,
    engine,
    governors,
    keys,
    pistons,
    power,
    press_fits,
    rings,
    supplies,
    valves,
)
from gudgeon_calc.units import Quantity as Q


def plain(value):
    return Q(value, "")


@check("rod-bolts")
def inertia_alone(row):
    load = bearings.rod_bolt_load(
        Q(2.533333, "kg"),
        *(Q(0, "kg"), Q(0, "kg"), Q(2 * 137.5, "mm"), Q(1.9 * 137.5, "mm"), Q(52.35988, "radian/second")),
        *(Q(0, "pascal"), Q(100, "mm")),
    )
    near(load.m / row["expected"], 1, 1e-8)


@check("jones-surface")
def surface_of_the_work(row):
    near(
        cutting.surface_speed(Q(46, "revolution/minute"), Q(5, "inch")).m_as("ft/minute"),
        row["expected"],
        0.5,
    )


@check("honing-stock")
def stock_for_honing(row):
    for before, stock, after in zip((4.215, 7.639), (0.023, 0.025), row["expected"]["clean"], strict=True):
        clean = cylinders.clean_up_bore(Q(before, "inch"), Q(stock / 2, "inch"), Q(0, "inch"))
        near(clean.m_as("inch"), after, 0.0005)
    wall = (5 - 4.215) / 2
    left = cylinders.bore_out_left(Q(wall, "inch"), Q(row["expected"]["wall"], "inch"))
    near(left.m_as("inch"), 4.238 - 4.215, 0.0005)


@check("head-bolt-load")
def bolts_of_a_head(row):
    for load_of_one, bolts in ((10375, 4), (8300, 5)):
        clamp = cylinders.clamp_load(Q(load_of_one, "force_pound"), plain(bolts))
        near(clamp.m_as("force_pound"), row["expected"]["clamp"], 0.5)
        gas = pistons.gas_load(Q(1100, "psi"), Q(4, "inch"))
        near(gas.m_as("force_pound"), row["expected"]["gas"], 5)
        near(cylinders.clamp_ratio(clamp, gas).m, row["expected"]["ratio"], 0.05)


@check("crevice-87")
def round_the_top_land(row):
    volume = cylinders.crevice_volume(Q(87, "mm"), Q(86.15, "mm"), Q(8, "mm"))
    near(volume.m_as("cm**3"), row["expected"], 0.0005)


@check("gasket-circle-track")
def gasket(row):
    near(cylinders.disc_volume(Q(4, "inch"), Q(0.02, "inch")).m_as("inch**3"), row["expected"], 2e-6)


@check("beck-ratio")
def whole_clearance_and_ratio(row):
    expected = row["expected"]
    gasket_volume = cylinders.disc_volume(Q(4.166, "inch"), Q(0.035, "inch"))
    deck = cylinders.disc_volume(Q(4.03, "inch"), Q(0.005, "inch"))
    near(gasket_volume.m_as("inch**3"), expected["gasket"], 0.0005)
    near(deck.m_as("inch**3"), expected["deck"], 0.0005)
    clearance = engine.whole_clearance(Q(4.636 + 0.427, "inch**3"), gasket_volume, deck)
    near(clearance.m_as("inch**3"), expected["clearance"], 0.0005)
    swept = engine.swept_volume(Q(4.03, "inch"), Q(3.48, "inch"))
    near(swept.m_as("inch**3"), expected["swept"], 0.0015)
    near(engine.compression_ratio(swept, clearance).m, expected["ratio"], 0.005)


@check("test-by-law")
def pressed_with_water(row):
    near(cylinders.test_pressure(Q(30, "psi"), plain(row["expected"])).m_as("psi"), 45, 1e-9)


@check("khmd-valve")
def exhaust_valve(row):
    expected = row["expected"]
    near(engine.piston_area(Q(140, "mm")).m_as("m**2"), expected["piston_area"], 5e-5)
    speed = engine.mean_piston_speed(Q(270, "mm"), Q(475, "revolution/minute"))
    near(speed.m, expected["piston_speed"], 5e-4)
    port = Q(math.pi / 4 * expected["port_squared"], "m**2")
    near(valves.gas_speed(speed, Q(140, "mm"), port).m, expected["gas_speed"], 0.1)
    flat = valves.full_lift(Q(45, "mm")).m
    near(flat / math.cos(math.radians(45)), expected["lift_45"], 0.05)
    at_full_lift = valves.curtain_area(Q(45, "mm"), Q(flat, "mm")).m
    near(at_full_lift, math.pi / 4 * 45**2, 1e-9)
    near(valves.curtain_area(Q(45, "mm"), Q(2 * flat, "mm")).m, at_full_lift, 1e-9)
    near(valves.spring_load(Q(0.025, "MPa"), Q(51, "mm")).m - 3, expected["spring"], 0.5)


@check("valve-spring-atoz")
def suction_on_a_valve(row):
    near(valves.spring_load(Q(0.051, "MPa"), Q(50, "mm")).m / row["expected"], 1, 1e-9)


@check("meksta-valves")
def past_the_valve(row):
    for lift, side in ((row["expected"]["lift"] - 0.005, -1), (row["expected"]["lift"] + 0.005, 1)):
        assert (valves.curtain_area(Q(0.98 * 51, "mm"), Q(lift, "mm")).m - 1600) * side > 0
    speed = engine.mean_piston_speed(Q(86, "mm"), Q(7000, "revolution/minute"))
    two = Q(2 * math.pi / 4 * 35**2, "mm**2")
    near(valves.gas_speed(speed, Q(86, "mm"), two).m, row["expected"]["speed"], 0.05)


@check("jindal-14-5")
def key_of_a_coupling(row):
    torque = Q(36000, "watt") / Q(200, "revolution/minute").to("radian/second")
    given = torque.to("newton * m"), Q(60, "mm"), Q(1, "mm"), Q(105, "mm")
    near(keys.key_shear(*given).m / 40, row["expected"]["width"], 0.05)
    near(2 * keys.key_crushing(*given).m / 90, row["expected"]["thickness"], 0.5)


@check("rajput-17-9")
def brake_test(row):
    expected, speed = row["expected"], Q(300, "revolution/minute")
    area = engine.piston_area(Q(0.3, "m"))
    fired = power.working_strokes(speed, plain(150), plain(150))
    indicated = power.indicated_power(Q(6, "bar"), area, Q(0.45, "m"), fired)
    near(indicated.m_as("kW"), expected["indicated"], 0.005)
    torque = power.rope_brake_torque(Q(1500, "newton"), Q(0, "newton"), Q(1.82, "m"))
    brake = power.shaft_power(torque, speed)
    near(brake.m_as("kW"), expected["brake"], 0.005)
    near(
        power.rope_brake_power(Q(1500, "newton"), Q(0, "newton"), Q(1.82, "m"), speed).m_as("kW"),
        expected["brake"],
        0.005,
    )
    near(100 * power.mechanical_efficiency(brake, indicated).m, expected["efficiency"], 0.005)


@check("governed-gas-engine")
def strokes_missed(row):
    """180 of the 200 cycles of a minute at 400 rpm fire."""
    fired = power.working_strokes(Q(400, "revolution/minute"), plain(180), plain(200))
    near(fired.m_as("1/minute"), 180, 1e-9)
    indicated = power.indicated_power(Q(5.7, "bar"), engine.piston_area(Q(0.18, "m")), Q(0.26, "m"), fired)
    near(0.75 * indicated.m_as("kW"), row["expected"], 0.0005)


@check("bevan-13-4")
def spring_governor(row):
    slope, constant = row["expected"]["line"]
    forces = []
    for radius, speed in ((5, 240), (7, 252)):
        force = governors.weight_force(Q(5, "pound"), Q(radius, "inch"), Q(speed, "revolution/minute"))
        near(force.m_as("force_pound"), slope * radius + constant, 0.1)
        forces.append(force)
    rate = governors.spring_rate(*forces, Q(5, "inch"), Q(7, "inch"))
    near(rate.m_as("force_pound/inch"), slope, 0.05)
    left = rate - Q(4 * 1.5, "force_pound/inch")
    near(
        governors.rate_at_lever(left, plain(2), plain(4 / 6)).m_as("force_pound/inch"), row["expected"]["at_lever"], 0.5
    )


@check("gear-train")
def driven_speed(row):
    train = (100, 60 * 50 * 30 / (40 * 25 * 24)), (1200, 50 / 150)
    for (speed, ratio), driven in zip(train, row["expected"], strict=True):
        near(governors.own_speed(Q(speed, "revolution/minute"), plain(ratio)).m, driven, 1e-9)


@check("key-bears")
def key_in_its_hub(row):
    """Heights and depths as other rows print them: 45 mm 9 and 5.5, 20 mm 6 and 3.5; 1-3/4 in 3/8, half of it in the shaft."""
    assert row["expected"] == "h - hs"
    for shaft, height, in_shaft in ((45, 9, 5.5), (20, 6, 3.5)):
        near(keys.bearing_height_metric(Q(shaft, "mm")).m, height - in_shaft, 1e-9)
    near(keys.bearing_height(Q(1.75, "inch")).m_as("inch"), 3 / 8 - 3 / 16, 1e-9)


@check("shrink-fit-70")
def fit_that_carries(row):
    expected, seat, length = row["expected"], Q(70, "mm"), Q(60, "mm")
    near(press_fits.press_force(Q(1, "MPa"), seat, length, plain(1)).m, expected["area"], 0.5)
    torque = press_fits.torque_carried(Q(expected["tangential"], "newton"), seat.to("m"))
    near(torque.m, 1.25 * 800, 0.005)
    near(math.hypot(expected["tangential"], 1.25 * 2500), expected["both"], 0.05)
    a_megapascal = press_fits.press_force(Q(1, "MPa"), seat, length, plain(0.09)).m
    near(1.4 * expected["both"] / a_megapascal, expected["pressure"], 0.5)


@check("tube-under-pressure")
def tube_pressed_from_outside(row):
    """At the inside nothing presses, so that stress is strain times the modulus there."""
    assert row["expected"] == "the sum of both"
    p, inside, outside, modulus, poisson = 40.0, 30.0, 50.0, 100e3, 0.26
    squares = outside**2 - inside**2
    even, of_radius = -p * outside**2 / squares, -p * outside**2 * inside**2 / squares / inside**2
    strain = (1 - poisson) / modulus * even + (1 + poisson) / modulus * of_radius
    seat, hole = Q(2 * outside, "mm"), Q(2 * inside, "mm")
    near(press_fits.shaft_hoop(Q(p, "MPa"), seat, hole).m, modulus * strain, 1e-9)
    near(press_fits.bore_closure(Q(p, "MPa"), seat, hole, Q(modulus, "MPa")).m, -strain * 2 * inside, 1e-12)
    near(press_fits.shaft_hoop(Q(p, "MPa"), seat, Q(0, "mm")).m, -p, 0)


@check("ring-groove-6ly3")
def ring_in_its_groove(row):
    sizes = {"second": (2.570, 2.585, 2.470, 2.490), "oil": (4.010, 4.025, 3.970, 3.990)}
    for ring, (narrow, wide, thin, thick) in sizes.items():
        least, most = row["expected"][ring]
        near(rings.side_clearance(Q(narrow, "mm"), Q(thick, "mm")).m, least, 1e-9)
        near(rings.side_clearance(Q(wide, "mm"), Q(thin, "mm")).m, most, 1e-9)


@check("ring-radial")
def behind_the_ring(row):
    """With the land as wide as the bore, what is left of the groove's depth behind a ring of the given wall."""
    assert row["expected"] == "groove depth - ring width"
    land, depth, wall = 100.0, 4.4, 4.0
    near(rings.back_clearance(Q(land, "mm"), Q(land - 2 * depth, "mm"), Q(wall, "mm")).m, depth - wall, 1e-9)


@check("drops")
def size_of_a_drop(row):
    expected = row["expected"]
    near(supplies.oil_use(Q(expected["common"], "1/minute")).m_as("milliliter/minute"), 1, 1e-12)
    pint = Q(1, "pint").m_as("milliliter")
    assert expected["liquid"] / pint < expected["common"] < expected["vacuum"] / pint
    text = " ".join(supplies.oil_use.__doc__.split())
    assert "10 to 30 drops" in text, "the spread of the prints is told where the drop's size is"
    near(expected["liquid"] / pint, 10, 0.1)
    near(expected["vacuum"] / pint, 30, 0.2)


@check("stop-method")
def half_way_between_the_stops(row):
    assert row["expected"] == "half-way between the two"
    for second in (40.0, 300.0, 359.0):
        print_says = second + (360 - second) / 2
        near(valves.dead_centre_mark(Q(second, "mm"), Q(360, "mm")).m, print_says, 1e-12)


@check("inlet-open")
def open_over_the_stroke(row):
    near(valves.duration(Q(13, "degree"), Q(49, "degree")).m, row["expected"], 1e-12)


@check("timing-tape")
def tenth_of_the_rim(row):
    near(engine.rim_mark(Q(500, "mm"), Q(row["expected"], "degree")).m, math.pi * 500 / 10, 1e-9)


@check("foundation-mass")
def foundation(row):
    least, preferred = row["expected"]
    near(power.foundation_ratio(Q(400, "kg"), Q(400 * least, "kg")).m, least, 1e-12)
    caution = SHELF.cautions["engine-walks"]
    assert [(danger.under, danger.source) for danger in caution.dangers] == [(str(least), "foundation-mass-page")]
    assert "three to five times" in caution.do and preferred == 5


@check("boil-altitude")
def boils_lower_on_a_hill(row):
    slope, constant, sea, per_foot, power_of = row["expected"]
    for feet in range(0, 10001, 1000):
        pressure = sea * (1 - per_foot * feet) ** power_of
        boils = supplies.boiling_point(Q(feet * 0.3048, "m")).m
        near(1.8 * boils + 32, slope * math.log(pressure) + constant, 0.3)


@check("antoine-water")
def vapour_of_water(row):
    a, b, c = row["expected"]
    boils = supplies.boiling_point(Q(0, "m")).m
    near(boils, b / (a - math.log10(760)) - c, 1e-9)


@check("standard-atmosphere")
def pressure_on_a_hill(row):
    air = row["expected"]
    exponent = air["gravity"] * air["molar_mass"] / (air["gas"] * air["lapse"])
    for metres in (500, 1609, 3000):
        pressure = 760 * (1 - air["lapse"] * metres / air["temperature"]) ** exponent
        near(
            supplies.boiling_point(Q(metres, "m")).m, 1730.63 / (8.07131 - math.log10(pressure)) - 233.426, 2e-4
        )  # R of 1976 or of today
