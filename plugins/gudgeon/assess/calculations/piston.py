"""Pistons, rings, pins and rods."""

from gudgeon_calc.bearings import projected_pressure, rod_bolt_load
from gudgeon_calc.pistons import (
    RODS_OF_FOUR_CRANKS,
    barrel_thickness,
    crown_thickness,
    gas_load,
    side_thrust,
    skirt_pressure,
)
from gudgeon_calc.rings import bending_stress, opening_over_piston, pressure_from_free_gap, ratio_to
from gudgeon_calc.stackups import difference

from gudgeon.assess.calculations.model import Calculation, engine, feature, figure, metal, outcome

RING = {
    "stiffness": metal("E", "stiffness"),
    "opening": outcome("f", "ring-free-opening"),
    "diameter": engine("D", "bore"),
    "wall": feature("t", "wall", "greatest"),
}
BOLTS = {
    "mass": figure("m", "reciprocating_mass"),
    "turning": figure("mb", "big_end_mass"),
    "cap": figure("mc", "cap_mass", (0.0, "nothing taken off for the cap, which is the safe side")),
    "stroke": engine("L", "stroke"),
    "rod": engine("l", "rod_centres"),
    "suction": figure("ps", "cylinder_suction", (0.101325, "taken at its most, the whole atmosphere")),
    "bore": engine("D", "bore"),
}

CALCULATIONS = (
    Calculation(
        "gas-load",
        "piston",
        "Gas load on the piston",
        "force",
        gas_load,
        {"pressure": figure("p", "peak_pressure"), "diameter": engine("D", "bore")},
        "{pressure} × π/4 × {diameter}²",
    ),
    Calculation(
        "crown-thickness",
        "piston",
        "Least thickness of a flat crown",
        "length",
        crown_thickness,
        {"bore": engine("D", "bore"), "pressure": figure("p", "peak_pressure"), "stress": figure("σ", "crown_stress")},
        "{bore} × √(3 × {pressure} ÷ (16 × {stress}))",
    ),
    Calculation(
        "barrel-thickness",
        "piston",
        "Wall behind the rings of an iron piston",
        "length",
        barrel_thickness,
        {"bore": engine("D", "bore"), "ring_wall": feature("t1", "wall", "greatest", "ring")},
        "0.03 × {bore} + {ring_wall} + 4.9 mm",
        pick=0,
    ),
    Calculation(
        "side-thrust",
        "piston",
        "Side thrust of the skirt",
        "force",
        side_thrust,
        {"load": outcome("F", "gas-load")},
        "{load} ÷ 10",
        ranges=(RODS_OF_FOUR_CRANKS,),
        tested_by={"rod": engine("l", "rod_centres"), "stroke": engine("L", "stroke")},
    ),
    Calculation(
        "skirt-pressure",
        "piston",
        "Pressure of the skirt on the bore",
        "pressure",
        skirt_pressure,
        {
            "thrust": outcome("R", "side-thrust"),
            "bore": engine("D", "bore"),
            "length": feature("l", "skirt_length", "least"),
        },
        "{thrust} ÷ ({bore} × {length})",
    ),
    Calculation(
        "ring-free-opening",
        "ring",
        "How far the ring closes from free",
        "length",
        difference,
        {"larger": feature("G", "free_gap", "greatest"), "smaller": feature("g", "gap", "least")},
        "{larger} − {smaller}",
    ),
    Calculation(
        "ring-thickness-ratio",
        "ring",
        "Bore over the ring's wall",
        "number",
        ratio_to,
        {"size": engine("D", "bore"), "part": feature("t", "wall", "greatest")},
        "{size} ÷ {part}",
    ),
    Calculation(
        "ring-pressure",
        "ring",
        "Mean pressure on the bore",
        "pressure",
        pressure_from_free_gap,
        RING,
        "{stiffness} × {opening} ÷ [7.07 × {diameter} × ({diameter}/{wall} − 1)³]",
    ),
    Calculation(
        "ring-closing-stress",
        "ring",
        "Bending stress with the ring closed in the bore",
        "pressure",
        bending_stress,
        RING,
        "0.424 × {stiffness} × ({opening}/{wall}) ÷ ({diameter}/{wall} − 1)²",
    ),
    Calculation(
        "ring-sprung-open",
        "ring",
        "Gap when it is sprung over the piston, eight walls",
        "length",
        opening_over_piston,
        {"wall": feature("t", "wall", "greatest")},
        "8 × {wall}",
    ),
    Calculation(
        "ring-further-opening",
        "ring",
        "How far the ring opens from free",
        "length",
        difference,
        {"larger": outcome("Go", "ring-sprung-open"), "smaller": feature("G", "free_gap", "least")},
        "{larger} − {smaller}",
    ),
    Calculation(
        "ring-opening-stress",
        "ring",
        "Bending stress with the ring sprung over the piston",
        "pressure",
        bending_stress,
        {**RING, "opening": outcome("fo", "ring-further-opening")},
        "0.424 × {stiffness} × ({opening}/{wall}) ÷ ({diameter}/{wall} − 1)²",
    ),
    Calculation(
        "pin-pressure",
        "pin",
        "Pressure of the pin in its bush",
        "pressure",
        projected_pressure,
        {
            "load": outcome("F", "gas-load"),
            "diameter": feature("d", "od", "least"),
            "length": feature("l", "length", "least", "bush"),
        },
        "{load} ÷ ({diameter} × {length})",
    ),
    *(
        Calculation(
            name,
            "rod",
            f"Load that the rod bolts carry together, {when}",
            "force",
            rod_bolt_load,
            {**BOLTS, "speed": speed},
            "{mass} × {stroke}/2 × (2π × {speed})² × (1 + {stroke}/2 ÷ {rod})"
            " + ({turning} − {cap}) × {stroke}/2 × (2π × {speed})² + {suction} × π/4 × {bore}²",
        )
        for name, when, speed in (
            ("rod-load", "governed", engine("n", "speed")),
            ("rod-load-runaway", "run away", figure("nr", "runaway_speed", "runaway-speed")),
        )
    ),
    Calculation(
        "big-end-pressure",
        "crankshaft",
        "Pressure of the big end on the crankpin",
        "pressure",
        projected_pressure,
        {
            "load": outcome("F", "gas-load"),
            "diameter": feature("d", "crankpin", "least"),
            "length": feature("l", "crankpin_length", "least"),
        },
        "{load} ÷ ({diameter} × {length})",
    ),
)
