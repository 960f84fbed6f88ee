"""Balance of a one-cylinder engine: the weight opposite the crank, and what still shakes."""

import numpy as np
from numpy.typing import NDArray

from gudgeon_calc.pistons import ROD_OF_TWO_CRANKS
from gudgeon_calc.units import Number, formula
from gudgeon_calc.validity import holds_for


@formula("kg", source="khurmi-theory", turning="kg", to_and_fro="kg", share="", stroke="m", radius="m")
def balance_mass(turning: Number, to_and_fro: Number, share: Number, stroke: Number, radius: Number) -> Number:
    """Mass opposite the crank that balances all that turns and a share of what goes to and fro: (mt + c·mr)·r/b.

    turning [kg]: that turns with the crankpin, brought to its radius. to_and_fro [kg]. share []: c, of the latter. stroke [m]: r is
    half of it. radius [m]: b, of the balance weight's centre of gravity. Returns [kg], of all balance weights together.
    Source: Khurmi and Gupta, Theory of machines, Ex. 22.1 (as a question-and-answer page has it). Valid: weights in the cylinder's
    plane, or shared evenly on both sides of it.
    """
    return (turning + share * to_and_fro) * stroke / 2 / radius


@holds_for(ROD_OF_TWO_CRANKS)
@formula(
    ("newton", "newton"),
    source="derived",
    mass="kg",
    share="",
    stroke="m",
    rod="m",
    speed="radian/second",
    angle="radian",
)
def shaking_force(
    mass: Number, share: Number, stroke: Number, rod: Number, speed: Number, angle: Number
) -> tuple[Number, Number]:
    """What shakes the frame along the cylinder and across it, with a share of the to-and-fro mass balanced.

    along: m·r·ω²·[(1 − c)·cos θ + (r/L)·cos 2θ]; across: −c·m·r·ω²·sin θ. mass [kg]: that goes to and fro. share []: c, balanced at
    the crank. stroke [m]: r is half of it. rod [m]: L, between centres. speed [radian/second]. angle [radian]: from inner
    dead centre. Returns (along, toward the head positive; across) [newton]. Source: derived here: first two terms of the
    piston's acceleration less the weight's pull. Valid: what turns is wholly balanced.
    """
    return _shaking(mass, share, stroke, rod, speed, angle)


def _shaking(
    mass: Number, share: Number, stroke: Number, rod: Number, speed: Number, angle: Number
) -> tuple[Number, Number]:
    crank = stroke / 2
    base = mass * crank * speed**2
    along = base * ((1 - share) * np.cos(angle) + crank / rod * np.cos(2 * angle))
    return along, -base * share * np.sin(angle)


@holds_for(ROD_OF_TWO_CRANKS)
@formula(("newton", "degree"), source="derived", mass="kg", share="", stroke="m", rod="m", speed="radian/second")
def greatest_shaking(mass: Number, share: Number, stroke: Number, rod: Number, speed: Number) -> tuple[Number, Number]:
    """Greatest shaking force over the crank's turn, and the first angle at which it comes.

    mass [kg]: that goes to and fro. share []: balanced at the crank. stroke, rod [m]. speed [radian/second].
    Returns (force, crank angle from inner dead centre) [newton], [degree]. Source: derived here, by whole degrees over half a
    turn; the other half is its mirror. Valid: what turns is wholly balanced.
    """
    forces: NDArray[np.float64] = np.hypot(*_shaking(mass, share, stroke, rod, speed, np.radians(np.arange(181))))
    greatest = int(np.argmax(np.round(forces, 9)))
    return float(forces[greatest]), float(greatest)
