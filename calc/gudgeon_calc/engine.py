"""Figures of the whole engine from bore, stroke, speed and compression ratio."""

import math

from gudgeon_calc.units import Number, formula
from gudgeon_calc.validity import ValidRange, holds_for

ABOVE_ONE = ValidRange(
    "the compression ratio",
    "ratio",
    "nothing is compressed, and the clearance would be without end or negative",
    "derived here",
    least=1.0,
    open=True,
)


@formula("mm**3", source="navedtra-14264", bore="mm", stroke="mm")
def swept_volume(bore: Number, stroke: Number) -> Number:
    """Volume swept by one piston: π/4·D²·L.

    bore, stroke [mm]. Returns [mm**3]. Source: NAVEDTRA 14264, ch. 2. Valid: one single-acting cylinder.
    """
    return math.pi / 4 * bore**2 * stroke


@formula("mm**2", source="navedtra-14264", bore="mm")
def piston_area(bore: Number) -> Number:
    """Area of the piston: π/4·D².

    bore [mm]. Returns [mm**2]. Source: NAVEDTRA 14264, ch. 2. Valid: round bores.
    """
    return math.pi / 4 * bore**2


@holds_for(ABOVE_ONE)
@formula("mm**3", source="doe-hdbk-1018", swept="mm**3", ratio="")
def clearance_volume(swept: Number, ratio: Number) -> Number:
    """Volume left at inner dead centre for a compression ratio: Vc = Vs/(r − 1).

    swept [mm**3]. ratio []: compression ratio. Returns [mm**3].
    Source: DOE-HDBK-1018/1-93, p. 18 (the formula r = (Vs + Vc)/Vc, turned round). Valid: geometric ratio; valve timing not counted.
    """
    return swept / (ratio - 1)


@formula("", source="doe-hdbk-1018", swept="mm**3", clearance="mm**3")
def compression_ratio(swept: Number, clearance: Number) -> Number:
    """Compression ratio from measured volumes: (Vs + Vc)/Vc.

    swept, clearance [mm**3]: clearance holds pockets and gasket. Returns [].
    Source: DOE-HDBK-1018/1-93, p. 18. Valid: geometric ratio; valve timing not counted.
    """
    return (swept + clearance) / clearance


@formula("mm**3", source="derived", pocket="mm**3", gasket="mm**3", crevice="mm**3")
def whole_clearance(pocket: Number, gasket: Number, crevice: Number) -> Number:
    """All of the volume at inner dead centre: pocket + gasket + crevice round the top land.

    pocket, gasket, crevice [mm**3]: as measured or worked out. Returns [mm**3]. Source: derived.
    Valid: piston flush with the joint face; below or above it, its own volume comes on top or off.
    """
    return pocket + gasket + crevice


@formula("m/second", source="porter-1908", stroke="m", speed="revolution/second")
def mean_piston_speed(stroke: Number, speed: Number) -> Number:
    """Mean speed of the piston: 2·L·n.

    stroke [m]. speed [revolution/second]. Returns [m/second]. Source: Porter 1908, table of engine sizes.
    Valid: any crank engine.
    """
    return 2 * stroke * speed


@formula("watt", source="common practice", pressure="pascal", swept="m**3", speed="revolution/second")
def brake_power(pressure: Number, swept: Number, speed: Number, strokes_per_cycle: Number = 4) -> Number:
    """Power from a brake mean effective pressure: p·Vs·n·2/strokes, every cycle firing.

    pressure [pascal]: brake mean effective pressure. swept [m**3]. speed [revolution/second].
    strokes_per_cycle: 4 or 2. Returns [watt].
    Source: common practice (PLAN/33000, from memory). Valid: governor not cutting out.
    """
    return pressure * swept * speed * 2 / strokes_per_cycle


@formula("mm", source="derived", diameter="mm", angle="degree")
def rim_mark(diameter: Number, angle: Number) -> Number:
    """Length along a rim for a crank angle: π·D·θ/360.

    diameter [mm]: outside of the rim. angle [degree]. Returns [mm]. Source: derived. Valid: measured along the rim.
    """
    return math.pi * diameter * angle / 360
