"""Keys: their size for a shaft, how deep their seats are cut, and what they carry."""

import math

from gudgeon_calc.limits_and_fits import NotInTable
from gudgeon_calc.published import table
from gudgeon_calc.units import Number, formula
from gudgeon_calc.validity import ValidRange, holds_for

CLEARANCE = 0.005  # in, over a parallel key, in the table's own T
TAPER_BITES = 0.020  # in, by which the table cuts the hub's seat shallower for a taper key, at its deep end
B17_SHAFTS = ValidRange(
    "the shaft",
    "shaft",
    "the table has no row for it",
    "ANSI B17.1, Table 1, as reprinted",
    least=0.3125,
    most=6.5,
    unit="in",
    open=True,
)
DIN_SHAFTS = ValidRange(
    "the shaft",
    "shaft",
    "the table has no row for it",
    "DIN 6885-1 (ISO/R 773), as reprinted",
    least=6.0,
    most=230.0,
    unit="mm",
    open=True,
)


@holds_for(B17_SHAFTS)
@formula("inch", source="ansi-b17-1", shaft="inch")
def key_width(shaft: Number) -> Number:
    """Width of a square key for a shaft, from the table.

    A shaft of 1-1/4 in exactly takes 1/4 in. shaft [inch]: nominal diameter. Returns [inch]. Raises NotInTable.
    Source: ANSI B17.1, Table 1, as reprinted. Valid: square keys.
    """
    return _width(shaft)


@holds_for(DIN_SHAFTS)
@formula("mm", source="din-6885-1", shaft="mm")
def key_width_metric(shaft: Number) -> Number:
    """Width of a parallel key for a shaft, from the metric table.

    shaft [mm]: nominal diameter. Returns [mm]. Raises NotInTable. Source: DIN 6885-1 (ISO/R 773), as reprinted.
    Valid: parallel keys.
    """
    return float(_metric(shaft)["width_mm"])


@holds_for(DIN_SHAFTS)
@formula("mm", source="din-6885-1", shaft="mm")
def key_height_metric(shaft: Number) -> Number:
    """Height of a parallel key for a shaft, from the metric table.

    shaft [mm]: nominal diameter. Returns [mm]. Raises NotInTable. Source: DIN 6885-1 (ISO/R 773), as reprinted.
    Valid: parallel keys.
    """
    return float(_metric(shaft)["height_mm"])


@holds_for(B17_SHAFTS)
@formula("inch", source="ansi-b17-1", shaft="inch")
def seat_in_shaft(shaft: Number) -> Number:
    """From the bottom of the shaft's keyseat to the other side of the shaft: S = D − Y − H/2, Y = [D − √(D² − W²)]/2.

    Y is what the chord over the key takes off, W the key's width and H its height, the same for a square key.
    shaft [inch]: nominal diameter. Returns [inch]. Raises NotInTable. Source: derived here, the chord over the key; it gives
    the depths of ANSI B17.1, Table 2, as reprinted in Machinery's Handbook, 31st ed., p. 2552, to the thousandth.
    Valid: square keys, parallel and taper.
    """
    width = _width(shaft)
    return shaft - _chord(shaft, width) - width / 2


@holds_for(B17_SHAFTS)
@formula("inch", source="ansi-b17-1", shaft="inch")
def seat_in_hub(shaft: Number) -> Number:
    """From the bottom of the hub's keyseat to the other side of the bore, parallel key: T = D − Y + H/2 + 0.005 in.

    shaft [inch]: nominal diameter. Returns [inch]. Raises NotInTable. Source: derived here, the chord over the key; it gives
    the depths of ANSI B17.1, Table 2, as reprinted in Machinery's Handbook, 31st ed., p. 2552, to the thousandth.
    Valid: square parallel keys.
    """
    width = _width(shaft)
    return shaft - _chord(shaft, width) + width / 2 + CLEARANCE


@holds_for(B17_SHAFTS)
@formula("inch", source="ansi-b17-1", shaft="inch")
def seat_in_hub_taper(shaft: Number) -> Number:
    """From the bottom of the hub's keyseat to the other side of the bore, taper key: T = D − Y + H/2 − 0.020 in.

    shaft [inch]: nominal diameter. Returns [inch]: at the deeper end. Raises NotInTable.
    Source: derived here, the chord over the key; it gives
    the depths of ANSI B17.1, Table 2, as reprinted in Machinery's Handbook, 31st ed., p. 2552, to the thousandth. Valid: square taper keys; fit by blue, not by figure.
    """
    width = _width(shaft)
    return shaft - _chord(shaft, width) + width / 2 - TAPER_BITES


@holds_for(DIN_SHAFTS)
@formula("mm", source="din-6885-1", shaft="mm")
def seat_in_shaft_metric(shaft: Number) -> Number:
    """From the bottom of the shaft's keyseat to the other side of the shaft: d − t1, t1 from the metric table.

    shaft [mm]: nominal diameter. Returns [mm]. Raises NotInTable. Source: DIN 6885-1 (ISO/R 773), as reprinted.
    Valid: parallel keys.
    """
    return shaft - float(_metric(shaft)["shaft_depth_mm"])


@holds_for(DIN_SHAFTS)
@formula("mm", source="din-6885-1", shaft="mm")
def seat_in_hub_metric(shaft: Number) -> Number:
    """From the bottom of the hub's keyseat to the other side of the bore: d + t2, t2 from the metric table.

    shaft [mm]: nominal diameter. Returns [mm]. Raises NotInTable. Source: DIN 6885-1 (ISO/R 773), as reprinted.
    Valid: parallel keys, which have clearance over them; a taper key needs a shallower seat.
    """
    return shaft + float(_metric(shaft)["hub_depth_mm"])


@holds_for(B17_SHAFTS)
@formula("inch", source="derived", shaft="inch")
def bearing_height(shaft: Number) -> Number:
    """Height on which a square key of the table's size bears in the hub: half of it.

    shaft [inch]: nominal diameter. Returns [inch]. Raises NotInTable. Source: derived from ANSI B17.1, Table 1.
    Valid: square keys, seats half the key deep, edges not broken.
    """
    return _width(shaft) / 2


@holds_for(DIN_SHAFTS)
@formula("mm", source="derived", shaft="mm")
def bearing_height_metric(shaft: Number) -> Number:
    """Height on which a metric key bears in the hub: h − t1, less than half of it.

    shaft [mm]: nominal diameter. Returns [mm]. Raises NotInTable. Source: derived from DIN 6885-1.
    Valid: parallel keys of the table's size, edges not broken.
    """
    row = _metric(shaft)
    return float(row["height_mm"]) - float(row["shaft_depth_mm"])


@formula("MPa", source="derived", torque="newton * mm", shaft="mm", width="mm", length="mm")
def key_shear(torque: Number, shaft: Number, width: Number, length: Number) -> Number:
    """Shear stress in a key: 2T/(d·b·l).

    torque [newton * mm]: the highest, not the mean; an engine's peak is several times its mean. shaft [mm]. width, length [mm].
    Returns [MPa]. Source: derived. Valid: sides bear evenly; a taper key also holds by friction.
    """
    return 2 * torque / (shaft * width * length)


@formula("MPa", source="derived", torque="newton * mm", shaft="mm", height="mm", length="mm")
def key_crushing(torque: Number, shaft: Number, height: Number, length: Number) -> Number:
    """Pressure on the side of a key: 2T/(d·h·l).

    torque [newton * mm]: the highest, not the mean. shaft [mm]. height [mm]: of the side that bears, in hub or shaft, whichever
    is less. length [mm]. Returns [MPa]. Source: derived: the force 2T/d on the side's area.
    Valid: sides bear evenly over the whole length; a taper key also holds by friction.
    """
    return 2 * torque / (shaft * height * length)


def _width(shaft: Number) -> float:
    return float(_row("b17-keys", "in", shaft, B17_SHAFTS)["width_in"])


def _chord(shaft: Number, width: Number) -> Number:
    return (shaft - math.sqrt(shaft**2 - width**2)) / 2


def _metric(shaft: Number) -> dict[str, str]:
    return _row("din6885-keys", "mm", shaft, DIN_SHAFTS)


def _row(name: str, unit: str, shaft: Number, held: ValidRange) -> dict[str, str]:
    for row in table(name):
        if float(row[f"over_{unit}"]) < round(shaft, 9) <= float(row[f"to_{unit}"]):
            return row
    raise NotInTable(f"no key for a shaft of {shaft:g} {unit}. Held: {held.said}.")
