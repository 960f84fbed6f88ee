"""What the engine takes in: air through the mixer, cooling water, oil."""

import math

from gudgeon_calc.units import Number, formula
from gudgeon_calc.validity import ValidRange, holds_for

STEAM = 2257.0  # kJ/kg, latent heat of water at 100 °C (from memory)
TOP = 1 / 2.25577e-5  # m, where the formula of the atmosphere ends
DROPS_PER_ML = 20.0  # of oil from a sight feed; prints have half of it and half as much again


@formula("m/second", source="derived", piston_speed="m/second", bore="mm", throat="mm")
def throat_speed(piston_speed: Number, bore: Number, throat: Number) -> Number:
    """Mean speed of air through the mixer's throat: v·(D/d)².

    piston_speed [m/second]: mean. bore, throat [mm]: diameters. Returns [m/second]. Source: derived.
    Valid: a mean over the suction stroke, cylinder filled.
    """
    return piston_speed * (bore / throat) ** 2


@formula("kg/hour", source="from memory", brake="kilowatt", efficiency="", jacket_share="")
def boil_off(brake: Number, efficiency: Number, jacket_share: Number) -> Number:
    """Water that a hopper boils away: P/η·f/hfg, with 2257 kJ/kg for boiling water.

    brake [kilowatt]. efficiency []: brake thermal. jacket_share []: share of the fuel's heat that goes into the jacket.
    Returns [kg/hour]. Source: from memory (latent heat). Valid: hopper at the boil, no heat lost otherwise.
    """
    return brake / efficiency * jacket_share / STEAM * 3600


@holds_for(
    ValidRange(
        "the height above the sea",
        "altitude",
        "beyond it the atmosphere and the equation for water were not looked up",
        "from memory",
        least=-500.0,
        most=4000.0,
        unit="m",
    )
)
@formula("degC", source="antoine-page", altitude="m")
def boiling_point(altitude: Number) -> Number:
    """Temperature at which an open hopper boils at a height above the sea.

    altitude [m]. Returns [degC]. Raises ValueError. Source: antoine-page, water from 1 to 100 °C;
    the pressure by standard-atmosphere-page.
    Valid: ordinary weather.
    """
    if altitude >= TOP:
        raise ValueError("there is no air so high")
    mmhg = 760 * (1 - 2.25577e-5 * altitude) ** 5.25588
    return 1730.63 / (8.07131 - math.log10(mmhg)) - 233.426


@formula("milliliter/hour", source="common practice", drops="1/minute")
def oil_use(drops: Number) -> Number:
    """Oil that a drip feed gives, at 20 drops to the millilitre.

    drops [1/minute]. Returns [milliliter/hour]. Source: common practice; the drop by which units are reckoned. A lubricator maker counts
    10 to 30 drops to the millilitre: 4705 a pint through a glass full of liquid, 14115 in a vacuum glass. Valid: to half or double;
    for the feed itself, count a measured quantity.
    """
    return drops * 60 / DROPS_PER_ML
