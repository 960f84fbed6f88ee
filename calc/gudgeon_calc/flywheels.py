"""Flywheel rims: speed and stress. A wheel that bursts kills: these are figures to stay away from."""

import math

from gudgeon_calc.units import formula


@formula("m/second", source="derived", outside="m", depth="m", speed="revolution/second")
def rim_speed(outside, depth, speed):
    """Speed of the rim at its mean radius: π·(D − depth)·n.

    outside [m]: outside diameter. depth [m]: radial depth of the rim. speed [revolution/second].
    Returns [m/second]. Source: derived. Valid: rims thin against the radius.
    """
    return math.pi * (outside - depth) * speed


@formula("MPa", source="carvill-1993", density="kg/m**3", velocity="m/second")
def hoop_stress(density, velocity):
    """Hoop stress of a free thin ring: ρ·v².

    density [kg/m**3]. velocity [m/second]: at the mean radius. Returns [MPa].
    Source: Carvill 1993, sec. 1.2.7. Valid: thin ring, one piece, no spokes; grows with the square of speed.
    """
    return density * velocity**2 / 1e6


@formula("MPa", source="common practice", density="kg/m**3", velocity="m/second", mean_radius="mm", depth="mm")
def rim_stress_between_spokes(density, velocity, mean_radius, depth, spokes):
    """Rim stress with bending between spokes: ρ·v²·[¾ + 4.94·R/(n²·t)].

    density [kg/m**3]. velocity [m/second]: at the mean radius. mean_radius [mm]. depth [mm]: radial depth of
    the rim. spokes: how many. Returns [MPa].
    Source: common practice, no source. Valid: one-piece rims of even section on stiff spokes.
    """
    return density * velocity**2 / 1e6 * (0.75 + 4.94 * mean_radius / (spokes**2 * depth))
