"""Heat: sizes brought to 20 °C, sizes and clearances at working temperatures."""

import math

from gudgeon_calc.at_the_lathe import REFERENCE, size_at_20
from gudgeon_calc.units import Number, formula


@formula(
    "mm", source="iso-1", reading="mm", part_temp="degC", gauge_temp="degC", part_cte="1/kelvin", gauge_cte="1/kelvin"
)
def size_at_reference(
    reading: Number, part_temp: Number, gauge_temp: Number, part_cte: Number, gauge_cte: Number
) -> Number:
    """Size at 20 °C of a part read with an instrument, both away from 20 °C.

    D20 = R·[1 + αg(Tg − 20)] / [1 + αp(Tp − 20)]

    reading [mm]: as read. part_temp, gauge_temp [degC]. part_cte, gauge_cte [1/kelvin]: mean linear expansion.
    Returns [mm]. Scalars or arrays of one shape.
    Source: ISO 1 gives 20 °C; the expression is linear expansion of both bodies.
    Valid: both bodies at an even temperature, within the range of their coefficients; over 15 K from 20 °C
    or 5 K between part and instrument, soak and read again.
    """
    return size_at_20(reading, part_temp, gauge_temp, part_cte, gauge_cte)


@formula(
    "mm",
    source="carvill-1993",
    hole="mm",
    shaft="mm",
    hole_temp="degC",
    shaft_temp="degC",
    hole_cte="1/kelvin",
    shaft_cte="1/kelvin",
)
def clearance_at(
    hole: Number, shaft: Number, hole_temp: Number, shaft_temp: Number, hole_cte: Number, shaft_cte: Number
) -> Number:
    """Diametral clearance of a pair, each at its own temperature with its own material.

    C = Dh·[1 + αh(Th − 20)] − Ds·[1 + αs(Ts − 20)]

    hole, shaft [mm]: at 20 °C. hole_temp, shaft_temp [degC]. hole_cte, shaft_cte [1/kelvin]: mean linear
    expansion. Returns [mm]: positive is clearance, negative interference.
    Source: linear expansion, Carvill 1993. Valid: within both coefficients' ranges; each body at an even temperature.
    """
    return hole * (1 + hole_cte * (hole_temp - REFERENCE)) - shaft * (1 + shaft_cte * (shaft_temp - REFERENCE))


@formula("mm", source="carvill-1993", length="mm", cte="1/kelvin", difference="kelvin")
def growth(length: Number, cte: Number, difference: Number) -> Number:
    """Growth of a length with temperature: ΔL = L·α·ΔT.

    length [mm]. cte [1/kelvin]. difference [kelvin]. Returns [mm].
    Source: linear expansion, Carvill 1993. Valid: within the coefficient's temperature range.
    """
    return length * cte * difference


@formula("kelvin", source="derived", per_length="", cte="1/kelvin")
def implied_difference(per_length: Number, cte: Number) -> Number:
    """Temperature difference that a per-length clearance rule stands for: ΔT = rule / α.

    per_length []: clearance over diameter. cte [1/kelvin]: of the material that both parts share.
    Returns [kelvin]. Source: derived from linear expansion. Valid: both parts of one material.
    """
    return per_length / cte


@formula("kelvin", source="derived", per_length="", cte="1/kelvin")
def implied_difference_of_gap(per_length: Number, cte: Number) -> Number:
    """Temperature difference that a per-diameter ring gap rule stands for: ΔT = rule / (π·α).

    per_length []: gap over bore. cte [1/kelvin]: of ring and cylinder. Returns [kelvin].
    Source: derived: the ring's length is π times its diameter. Valid: ring and cylinder of one material.
    """
    return per_length / (math.pi * cte)
