"""Keys: their width for a shaft, and what they carry."""

from gudgeon_calc.limits_and_fits import NotInTable
from gudgeon_calc.published import table
from gudgeon_calc.units import Number, formula


@formula("inch", source="ansi-b17-1", shaft="inch")
def key_width(shaft: Number) -> Number:
    """Width of a square or flat key for a shaft, from the table.

    shaft [inch]: diameter. Returns [inch]. Raises NotInTable. Source: ANSI B17.1, Table 1, as reprinted.
    Valid: shafts over 9/16 to 4-1/2 in; 1-1/4 in exactly takes 1/4 in.
    """
    for row in table("b17-keys"):
        if float(row["over_in"]) < round(shaft, 9) <= float(row["to_in"]):
            return float(row["width_in"])
    raise NotInTable(f"no key width for a shaft of {shaft:g} in. Held: over 9/16 to 4-1/2 in.")


@formula("MPa", source="derived", torque="newton * mm", shaft="mm", width="mm", length="mm")
def key_shear(torque: Number, shaft: Number, width: Number, length: Number) -> Number:
    """Shear stress in a key: 2T/(d·b·l).

    torque [newton * mm]: the highest, not the mean; an engine's peak is several times its mean. shaft [mm]. width, length [mm].
    Returns [MPa]. Source: derived. Valid: sides bear evenly; a taper key also holds by friction.
    """
    return 2 * torque / (shaft * width * length)
