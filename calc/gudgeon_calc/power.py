"""Power: indicated, brake, hit-and-miss; mean effective pressure; efficiency."""

import math

from gudgeon_calc.engine import ABOVE_ONE
from gudgeon_calc.units import Number, formula
from gudgeon_calc.validity import ValidRange, holds_for

HITS_OF_CYCLES = ValidRange(
    "charges fired over cycles counted",
    "hits",
    "no cycle fires twice",
    "derived here",
    least=0.0,
    most=1.0,
    over="cycles",
)


@formula("watt", source="brooks", pressure="pascal", area="m**2", stroke="m", strokes="1/second")
def indicated_power(pressure: Number, area: Number, stroke: Number, strokes: Number) -> Number:
    """Indicated power: p·A·L·(working strokes a second).

    pressure [pascal]: mean effective. area [m**2]: of the piston. stroke [m]. strokes [1/second]: working strokes: in a
    four-stroke engine half the revolutions, less the missed ones; in a double-acting engine both ways. Returns [watt].
    Source: Brooks, engines section. Valid: mean effective pressure from a card of the same working strokes.
    """
    return pressure * area * stroke * strokes


@holds_for(HITS_OF_CYCLES)
@formula("1/second", source="derived", speed="revolution/second", hits="", cycles="")
def working_strokes(speed: Number, hits: Number, cycles: Number) -> Number:
    """Working strokes of a hit-and-miss four-stroke engine: n/2·(hits/cycles).

    speed [revolution/second]. hits []: charges fired in the count. cycles []: all cycles of the count, missed ones too.
    Returns [1/second]. Source: derived. Valid: counted over many turns of the governor between hit and miss.
    """
    return speed / 2 * hits / cycles


@formula("pascal", source="gupta-2006", torque="newton * m", swept="m**3")
def brake_mean_pressure(torque: Number, swept: Number, strokes_per_cycle: Number = 4) -> Number:
    """Brake mean effective pressure from torque: π·T·strokes/Vs.

    torque [newton * m]: mean. swept [m**3]: of all cylinders. strokes_per_cycle: 4 or 2. Returns [pascal].
    Source: Gupta 2006, Ex. 16.3. Valid: every cycle firing.
    """
    return math.pi * torque * strokes_per_cycle / swept


@formula("watt", source="kates", torque="newton * m", speed="radian/second")
def shaft_power(torque: Number, speed: Number) -> Number:
    """Power of a shaft: T·ω; in horsepower torque in lbf·ft times rpm over 5252.1.

    torque [newton * m]. speed [radian/second]. Returns [watt]. Source: Kates, Ex. 1, with the exact constant for his 5250.
    Valid: steady speed.
    """
    return torque * speed


@formula("watt", source="runciman-1905", tight="newton", slack="newton", diameter="m", speed="revolution/second")
def rope_brake_power(tight: Number, slack: Number, diameter: Number, speed: Number) -> Number:
    """Power on a rope brake: (S1 − S2)·π·D·n.

    tight, slack [newton]: the two pulls. diameter [m]: of the wheel plus one rope. speed [revolution/second].
    Returns [watt]. Source: Runciman 1905. Valid: steady pulls; the wheel grows hot.
    """
    return (tight - slack) * math.pi * diameter * speed


@formula("newton * m", source="derived", tight="newton", slack="newton", diameter="m")
def rope_brake_torque(tight: Number, slack: Number, diameter: Number) -> Number:
    """Torque on a rope brake: (S1 − S2)·D/2.

    tight, slack [newton]: the two pulls. diameter [m]: of the wheel plus one rope. Returns [newton * m].
    Source: derived. Valid: steady pulls.
    """
    return (tight - slack) * diameter / 2


@formula("", source="derived", brake="watt", indicated="watt")
def mechanical_efficiency(brake: Number, indicated: Number) -> Number:
    """Mechanical efficiency: brake over indicated power.

    brake, indicated [watt]. Returns []. Raises ValueError for more than came in, which shows that the two
    were not of one run. Source: derived. Valid: both taken at one load and speed.
    """
    if brake > indicated:
        raise ValueError("more power on the brake than in the cylinder")
    return brake / indicated


@holds_for(ABOVE_ONE)
@formula("", source="solberg-1952", ratio="", exponent="")
def otto_efficiency(ratio: Number, exponent: Number) -> Number:
    """Efficiency of the air-standard Otto cycle: 1 − r^(1 − k); an engine reaches half of it or less (common practice, no source).

    ratio []: compression ratio. exponent []: k, 1.4 for air. Returns []. Source: Solberg and others 1952, Ex. 3.1.
    Valid: an ideal to hold figures against: no heat lost, no charge lost, burnt at once.
    """
    return 1 - ratio ** (1 - exponent)


@holds_for(ABOVE_ONE)
@formula(("pascal", "kelvin"), source="keswani", pressure="pascal", temp="kelvin", ratio="", exponent="")
def compressed(pressure: Number, temp: Number, ratio: Number, exponent: Number) -> tuple[Number, Number]:
    """Pressure and temperature after a polytropic compression: p·r^n, T·r^(n − 1).

    pressure [pascal]: absolute, before. temp [kelvin]: absolute, before. ratio []: volume before over after.
    exponent []: n, about 1.3. Returns (pressure, temperature) [pascal], [kelvin]. Source: Keswani, Ex. 4.1. Valid: tight cylinder.
    """
    return pressure * ratio**exponent, temp * ratio ** (exponent - 1)


@formula("", source="derived", mass="kg", foundation="kg")
def foundation_ratio(mass: Number, foundation: Number) -> Number:
    """Mass of the foundation over that of the engine; three to five is wanted (foundation-mass-page).

    mass, foundation [kg]. Returns []. Source: derived. Valid: one cylinder, bolted down.
    """
    return foundation / mass


@holds_for(HITS_OF_CYCLES)
@formula(
    "watt",
    source="derived",
    fired="pascal",
    pumping="pascal",
    dead="pascal",
    friction="pascal",
    swept="m**3",
    speed="revolution/second",
    hits="",
    cycles="",
)
def power_with_losses(
    fired: Number,
    pumping: Number,
    dead: Number,
    friction: Number,
    swept: Number,
    speed: Number,
    hits: Number,
    cycles: Number,
) -> Number:
    """Power at the crank of a hit-and-miss four-stroke engine, its losses taken off: Vs·n/2·{[(pi − pp)·h − pd·(c − h)]/c − pf}.

    fired [pascal]: indicated mean pressure of the working loop. pumping [pascal]: mean pressure of the loop of exhaust and suction in
    a cycle that fires; nought where `fired` is net of it. dead [pascal]: mean pressure lost in a missed cycle, exhaust latched open or
    not. friction [pascal]: of bearings and rings, in all cycles. swept [m**3]. speed [revolution/second]. hits, cycles []: fired, and
    all in the count. Returns [watt]; negative where it cannot keep up this speed. Source: derived: work of the count over its time.
    Valid: steady speed.
    """
    return swept * speed / 2 * (((fired - pumping) * hits - dead * (cycles - hits)) / cycles - friction)
