"""Checks of design and workshop sums against published values: rings, walls, threads, balance, wheels, cutting."""

import math

from check_registry import check, near
from gudgeon_calc import balance, cutting_forces, cylinders, flywheels, rings, tapers, threads, turning_moment
from gudgeon_calc.units import Quantity as Q


def plain(value):
    return Q(value, "")


@check("khmd-ring")
def ring_size(row):
    near(rings.ring_wall(Q(100, "mm"), Q(0.035, "MPa"), Q(90, "MPa")).m, row["expected"]["wall"], 0.05)
    near(rings.least_ring_width(Q(100, "mm"), plain(4)).m, row["expected"]["width"], 1e-9)


@check("khmd-cover")
def head(row):
    near(cylinders.head_thickness(Q(115, "mm"), Q(3.15, "MPa"), Q(42, "MPa")).m, row["expected"], 0.05)
    near(
        cylinders.head_thickness(Q(4.25, "inch"), Q(260, "psi"), Q(6000, "psi")).m_as("inch"),
        4.25 * math.sqrt(26 / 6000),
        1e-9,
    )


@check("khmd-reboring")
def reboring(row):
    for bore, allowed in row["expected"].items():
        near(cylinders.reboring_allowance(Q(bore, "mm")).m, allowed, 1e-9)
    near(cylinders.reboring_allowance(Q(125, "mm")).m, 3.2, 1e-9)


@check("stress-areas-metric")
def metric_areas(row):
    for size, area in row["expected"].items():
        pitch = {6: 1, 8: 1.25, 10: 1.5, 12: 1.75, 16: 2, 20: 2.5}[size]
        near(threads.stress_area(Q(size, "mm"), Q(pitch, "mm")).m, area, 0.01)


@check("stress-areas-inch")
def inch_areas(row):
    for count, area in row["expected"].items():
        size = {13: 1 / 2, 11: 5 / 8, 10: 3 / 4, 9: 7 / 8, 8: 1}[count]
        near(threads.stress_area(Q(size, "inch"), Q(1 / count, "inch")).m_as("inch**2"), area, 0.00015)


@check("tapdrill-pct")
def tap_drill(row):
    hole = threads.tap_drill(Q(0.75, "inch"), Q(0.1, "inch"), plain(0.75))
    near(hole.m_as("inch"), row["expected"], 5e-5)
    near(threads.thread_share(Q(0.75, "inch"), Q(0.1, "inch"), hole).m, 0.75, 1e-12)


@check("khurmi-22-1", "tom-12-1")
def balance_weight(row):
    if row["id"] == "khurmi-22-1":
        found = balance.balance_mass(Q(37, "kg"), Q(50, "kg"), plain(2 / 3), Q(0.3, "m"), Q(0.4, "m"))
        near(found.m, row["expected"], 0.02)
        return
    found = balance.balance_mass(Q(70, "kg"), Q(120, "kg"), plain(2 / 3), Q(0.18, "m"), Q(0.15, "m"))
    near(found.m, row["expected"]["mass"], 0.05)
    speed, endless = Q(250, "revolution/minute"), Q(1e9, "m")
    along, across = balance.shaking_force(Q(120, "kg"), plain(2 / 3), Q(0.18, "m"), endless, speed, Q(30, "degree"))
    near(math.hypot(along.m, across.m), row["expected"]["force"], 2)


@check("gas-engine-triangles")
def gas_engine(row):
    scale = 3  # N m for a square millimetre
    areas = {"suction": -350 * scale, "compression": -1400 * scale, "expansion": 3550 * scale, "exhaust": -500 * scale}
    angles, moments = [0.0], [0.0]
    for number, area in enumerate(areas.values()):
        angles += [math.pi * (number + 0.5), math.pi * (number + 1)]
        moments += [2 * area / math.pi, 0.0]
    energy = flywheels.fluctuation_of_energy(angles, moments)
    inertia = turning_moment.inertia_wanted(Q(energy, "joule"), plain(0.04), Q(200, "revolution/minute"))
    near(turning_moment.rim_mass_wanted(inertia, plain(1), Q(0.75, "m")).m, row["expected"], 2)


@check("mmc-power")
def power_at_the_tool(row):
    force = cutting_forces.cutting_force(Q(3100, "MPa"), Q(3, "mm"), Q(0.2, "mm"))
    near((force * Q(120, "m/minute")).m_as("kW") / 0.8, row["expected"], 0.005)


@check("ra-seen")
def ridges(row):
    feed, nose = Q(0.2, "mm"), Q(0.8, "mm")
    near(cutting_forces.mean_roughness(feed, nose).m_as("micrometer"), row["expected"]["Ra"], 0.005)
    near(cutting_forces.peak_height(feed, nose).m_as("micrometer"), row["expected"]["Rz"], 0.03)


@check("jones-rest")
def compound_rest(row):
    for included, setting in zip((60, 90), row["expected"], strict=True):
        large = 2 * math.tan(math.radians(included / 2))
        near(90 - tapers.rest_angle(Q(large, "mm"), Q(0, "mm"), Q(1, "mm")).m, setting, 1e-9)


@check("carvill-power")
def printed_forces(row):
    metals = {"Al": "cast-aluminium", "brass": "brass", "cast_iron": "grey-iron", "mild_steel": "carbon-steel"}
    for name, metal in metals.items():
        held = [least for least, most, source in cutting_forces.specific_forces(metal) if source == "carvill-1993"]
        assert held == [row["expected"][name]]
