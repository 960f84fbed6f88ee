"""Turning moment, joints, balance and bending against closed forms and sums by quadrature."""

import math

import pytest
from gudgeon_calc import (
    balance,
    bolted_joints,
    cutting_forces,
    flywheels,
    governors,
    power,
    tapers,
    threads,
    turning_moment,
)
from gudgeon_calc.units import Quantity as Q
from scipy import integrate

ENGINE = {
    "bore": Q(4.25, "inch"),
    "stroke": Q(6.375, "inch"),
    "rod": Q(13.75, "inch"),
    "speed": Q(420, "revolution/minute"),
    "mass": Q(9.4, "lb"),
    "ratio": Q(4.6, ""),
    "peak": Q(260, "psi"),
    "atmosphere": Q(101325, "pascal"),
    "compresses": Q(1.3, ""),
    "expands": Q(1.25, ""),
}


def test_the_mean_moment_is_the_work_of_the_cycle():
    """Inertia does no work over a turn; the gas's is p·V^n in closed form."""
    mean, fluctuation, greatest = turning_moment.turning_moment(**ENGINE)
    swept = math.pi / 4 * (4.25 * 0.0254) ** 2 * 6.375 * 0.0254
    air, peak = 101325, Q(260, "psi").m_as("pascal") + 101325
    clearance = swept / 3.6
    out = peak * clearance / 0.25 * (1 - 4.6**-0.25) - air * swept
    back = air * 4.6 * clearance / 0.3 * (4.6**0.3 - 1) - air * swept
    assert mean.m == pytest.approx((out - back) / (4 * math.pi), rel=1e-3)
    heavier = turning_moment.turning_moment(**{**ENGINE, "mass": Q(30, "lb")})
    assert heavier[0].m == pytest.approx(mean.m, rel=1e-6) and heavier[2].m < greatest.m
    assert 0.8 * (out - back) < fluctuation.m < out, "nearly all of the working stroke is stored, none of it twice"


@pytest.mark.parametrize("degrees", [1, 47, 90, 133, 200, 311])
def test_motion_is_its_own_derivative(degrees):
    angle, step = math.radians(degrees), 1e-5
    before, at, after = (turning_moment.piston_motion(angle + k * step, 55.0, 200.0) for k in (-1, 0, 1))
    assert (after[0] - before[0]) / (2 * step) == pytest.approx(at[1], rel=1e-6)
    assert (after[1] - before[1]) / (2 * step) == pytest.approx(at[2], rel=1e-6, abs=1e-6)


def test_a_wheel_coasts_by_its_energy():
    start, torque, inertia = Q(420, "revolution/minute"), Q(12, "newton * m"), Q(4, "kg * m**2")
    after = turning_moment.speed_after_misses(start, torque, Q(3, ""), inertia, Q(2, ""))
    lost = 0.5 * 8 * (start.m_as("radian/second") ** 2 - after.m_as("radian/second") ** 2)
    assert lost == pytest.approx(12 * 3 * 4 * math.pi)
    with pytest.raises(ValueError, match="stops"):
        turning_moment.speed_after_misses(start, torque, Q(300, ""), inertia, Q(1, ""))


def test_a_cone_under_a_nut_by_quadrature():
    hole, face, grip, modulus = 13.0, 18.0, 20.0, 100e3
    area = lambda x: math.pi * ((face / 2 + x * math.tan(math.pi / 6)) ** 2 - (hole / 2) ** 2)  # noqa: E731
    give, _ = integrate.quad(lambda x: 1 / (modulus * area(x)), 0, grip)
    found = bolted_joints.clamped_stiffness(Q(hole, "mm"), Q(face, "mm"), Q(grip, "mm"), Q(modulus, "MPa"))
    assert found.m == pytest.approx(1 / give)
    for wrong in (-1.0, 0.0, face, face + 1):
        with pytest.raises(ValueError, match="over nought and smaller"):
            bolted_joints.clamped_stiffness(Q(wrong, "mm"), Q(face, "mm"), Q(grip, "mm"), Q(modulus, "MPa"))


def test_a_joint_opens_and_then_the_stud_has_it_all():
    kept = [bolted_joints.clamp_left(Q(10, "kN"), Q(0.2, ""), Q(load, "kN")).m_as("kN") for load in (0, 10, 12.5, 20)]
    assert kept == pytest.approx([10, 2, 0, 0])
    loads = [bolted_joints.stud_load(Q(10, "kN"), Q(0.2, ""), Q(load, "kN")).m_as("kN") for load in (0, 10, 12.5, 20)]
    assert loads == pytest.approx([10, 12, 12.5, 20])
    assert bolted_joints.stud_share(Q(1, "N/mm"), Q(4, "N/mm")).m == pytest.approx(0.2)
    assert bolted_joints.stud_stiffness(Q(84.3, "mm**2"), Q(60, "mm"), Q(207, "GPa")).m == pytest.approx(290835)
    assert bolted_joints.preload_wanted(Q(2.5, ""), Q(12, "kN"), Q(6, "")).m == pytest.approx(5000)
    assert threads.stud_stress(Q(8430, "newton"), Q(84.3, "mm**2")).m == pytest.approx(100)


def test_half_balanced_shakes_as_much_either_way():
    """With half of it balanced and an endless rod the force has one size all round; with none it is all along."""
    speed, stroke = Q(420, "revolution/minute"), Q(0.162, "m")
    base = 4.26 * 0.081 * speed.m_as("radian/second") ** 2
    force, _ = balance.greatest_shaking(Q(4.26, "kg"), Q(0.5, ""), stroke, Q(1e9, "m"), speed)
    assert force.m == pytest.approx(base / 2)
    force, angle = balance.greatest_shaking(Q(4.26, "kg"), Q(0, ""), stroke, Q(0.35, "m"), speed)
    assert force.m == pytest.approx(base * (1 + 0.081 / 0.35)) and angle.m == 0


def test_work_bends_as_a_beam():
    steel, force = Q(207, "GPa"), Q(200, "newton")
    second = math.pi / 64 * 30**4
    middle = cutting_forces.bend_between_centres(force, Q(400, "mm"), Q(200, "mm"), Q(30, "mm"), Q(0, "mm"), steel)
    assert middle.m == pytest.approx(200 * 400**3 / (48 * 207e3 * second))
    end = cutting_forces.bend_overhung(force, Q(120, "mm"), Q(30, "mm"), Q(0, "mm"), steel)
    assert end.m == pytest.approx(200 * 120**3 / (3 * 207e3 * second))
    tube = cutting_forces.bend_overhung(force, Q(120, "mm"), Q(30, "mm"), Q(20, "mm"), steel)
    assert tube.m == pytest.approx(end.m / (1 - (20 / 30) ** 4))


def test_a_governor_s_spring_does_the_same_work_through_its_lever():
    rate = governors.spring_rate(Q(40, "newton"), Q(70, "newton"), Q(50, "mm"), Q(60, "mm"))
    at_lever = governors.rate_at_lever(rate, Q(2, ""), Q(0.5, ""))
    pulls = [governors.pull_at_lever(Q(force, "newton"), Q(2, ""), Q(0.5, "")).m for force in (40, 70)]
    assert pulls[1] - pulls[0] == pytest.approx(at_lever.m * 10 * 0.5), "the spring moves half as far as the weights"
    assert governors.stretch(Q(160, "newton"), at_lever).m == pytest.approx(160 / 24)


def test_losses_come_off_the_power():
    engine = (Q(1.5, "liter"), Q(420, "revolution/minute"))
    nothing = Q(0, "psi")
    every = power.power_with_losses(Q(62, "psi"), nothing, nothing, nothing, *engine, Q(10, ""), Q(10, ""))
    assert every.m == pytest.approx(Q(62, "psi").m_as("pascal") * 1.5e-3 * 3.5)
    half = power.power_with_losses(Q(62, "psi"), Q(2, "psi"), Q(4, "psi"), Q(8, "psi"), *engine, Q(5, ""), Q(10, ""))
    assert half.m / every.m == pytest.approx((60 * 0.5 - 4 * 0.5 - 8) / 62)


def test_a_taper_between_centres_by_its_triangle():
    """14 in between centres, 0.6 in to the foot: the handbook's 0.350 in is for an endless slim taper."""
    found = tapers.tailstock_setover(Q(1.6, "inch"), Q(1, "inch"), Q(12, "inch"), Q(14, "inch")).m_as("inch")
    assert found == pytest.approx(14 * math.sin(math.atan(0.3 / 12))) and found == pytest.approx(0.35, abs=2e-4)


def test_a_rim_between_spokes_has_a_quarter_of_the_bending_of_a_fixed_beam():
    """The beam's end moment is what keeps its ends from turning: the mean of the moment of the same beam on supports."""
    density, velocity, radius, depth, width, spokes = 7200.0, 20.0, 0.25, 0.05, 0.06, 6
    length, load = 2 * math.pi * radius / spokes, density * velocity**2 * width * depth / radius
    held, _ = integrate.quad(lambda x: load * x * (length - x) / 2 / length, 0, length)
    bends, hoop = held / (width * depth**2 / 6), density * velocity**2
    worked = flywheels.rim_stress_between_spokes(
        Q(density, "kg/m**3"), Q(velocity, "m/second"), Q(radius, "m"), Q(depth, "m"), spokes
    ).m
    assert worked == pytest.approx((0.75 * hoop + 0.25 * bends) / 1e6, rel=2e-3)
