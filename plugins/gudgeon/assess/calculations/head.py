"""Cylinder, liner, bushes and head."""

from gudgeon_calc.cylinders import (
    clamp_load,
    clamp_ratio,
    clean_up_bore,
    crevice_volume,
    disc_volume,
    preload_from_torque,
    stud_pitch,
    test_pressure,
    wall_stress,
)
from gudgeon_calc.engine import compression_ratio, whole_clearance
from gudgeon_calc.pistons import gas_load
from gudgeon_calc.press_fits import bore_closure, seat_pressure, thick_wall_hoop

from gudgeon.assess.calculations.model import Calculation, engine, feature, figure, interference, metal, outcome

PRESSED = {
    "interference": interference("δ", "press"),
    "seat": feature("d", "od", "greatest"),
    "hub_outer": feature("D", "seat_outside", "least", "host"),
    "shaft_inner": feature("di", "bore", "least"),
    "hub_stiffness": metal("Eh", "stiffness", "host"),
    "shaft_stiffness": metal("Es", "stiffness"),
    "hub_poisson": metal("νh", "poisson", "host"),
    "shaft_poisson": metal("νs", "poisson"),
}
LAME = (
    "{interference} ÷ {{{seat} × [(({hub_outer}² + {seat}²)/({hub_outer}² − {seat}²) + {hub_poisson})/{hub_stiffness}"
    " + (({seat}² + {shaft_inner}²)/({seat}² − {shaft_inner}²) − {shaft_poisson})/{shaft_stiffness}]}}"
)
CLOSES = {
    "pressure": outcome("p", "pressed-pressure"),
    "seat": feature("d", "od", "greatest"),
    "bore": feature("di", "bore", "least"),
    "stiffness": metal("Es", "stiffness"),
}

CALCULATIONS = (
    Calculation(
        "wall-stress",
        "cylinder",
        "Hoop stress of the wall at its thinnest",
        "pressure",
        wall_stress,
        {
            "pressure": figure("p", "peak_pressure"),
            "bore": feature("D", "bore", "greatest"),
            "wall": feature("t", "wall", "least"),
        },
        (
            "{pressure} × {bore} ÷ (2 × {wall}) if {wall} ≤ {bore} ÷ 10, else"
            " {pressure} × [({bore} + 2 × {wall})² + {bore}²] ÷ [({bore} + 2 × {wall})² − {bore}²]"
        ),
    ),
    Calculation(
        "clean-up-bore",
        "cylinder",
        "Smallest bore that cleans up",
        "size",
        clean_up_bore,
        {
            "worn": feature("D", "bore", "greatest"),
            "pit": figure("h", "pit_depth"),
            "set_up": figure("e", "set_up_error"),
        },
        "{worn} + 2 × {pit} + {set_up}",
    ),
    Calculation(
        "jacket-test-pressure",
        "cylinder",
        "Water test of a closed jacket",
        "pressure",
        test_pressure,
        {
            "working": figure("p", "jacket_pressure"),
            "factor": figure("s", "test_factor", (1.5, "common practice, no source")),
        },
        "{working} × {factor}",
    ),
    *(
        Calculation(name, family, gives, kind, formula, takes, shown, pick=pick)
        for family in ("cylinder", "bush")
        for name, gives, kind, formula, takes, shown, pick in (
            (
                "pressed-pressure",
                "Pressure on the pressed-in outside, by Lamé",
                "pressure",
                seat_pressure,
                PRESSED,
                LAME,
                None,
            ),
            (
                "pressed-host-stress",
                "Hoop stress of what it is pressed into",
                "pressure",
                thick_wall_hoop,
                {
                    "pressure": outcome("p", "pressed-pressure"),
                    "inner": feature("d", "od", "greatest"),
                    "outer": feature("D", "seat_outside", "least", "host"),
                },
                "{pressure} × ({outer}² + {inner}²) ÷ ({outer}² − {inner}²)",
                0,
            ),
            (
                "bore-closure",
                "How much the bore closes when it is pressed in",
                "length",
                bore_closure,
                CLOSES,
                "2 × {pressure} × {seat}² × {bore} ÷ [{stiffness} × ({seat}² − {bore}²)]",
                None,
            ),
        )
    ),
    Calculation(
        "gasket-volume",
        "head",
        "Volume of the crushed gasket",
        "volume",
        disc_volume,
        {"diameter": figure("D", "gasket_hole"), "thickness": feature("t", "t", "least")},
        "π/4 × {diameter}² × {thickness}",
    ),
    Calculation(
        "crevice-volume",
        "head",
        "Volume round the top land",
        "volume",
        crevice_volume,
        {
            "bore": engine("D", "bore"),
            "land": feature("d", "land1", "greatest", "piston"),
            "depth": figure("h", "first_ring_depth"),
        },
        "π/4 × ({bore}² − {land}²) × {depth}",
    ),
    Calculation(
        "whole-clearance",
        "head",
        "Clearance volume with gasket and crevice",
        "volume",
        whole_clearance,
        {
            "pocket": feature("Vh", "vc", "least"),
            "gasket": outcome("Vg", "gasket-volume"),
            "crevice": outcome("Vk", "crevice-volume"),
        },
        "{pocket} + {gasket} + {crevice}",
    ),
    Calculation(
        "compression-ratio",
        "head",
        "Compression ratio with gasket and crevice",
        "number",
        compression_ratio,
        {"swept": outcome("Vs", "swept-volume"), "clearance": outcome("Vc", "whole-clearance")},
        "({swept} + {clearance}) ÷ {clearance}",
    ),
    Calculation(
        "compression-ratio-chamber",
        "head",
        "Compression ratio of the measured chamber alone",
        "number",
        compression_ratio,
        {"swept": outcome("Vs", "swept-volume"), "clearance": feature("Vh", "vc", "least")},
        "({swept} + {clearance}) ÷ {clearance}",
    ),
    Calculation(
        "head-gas-load",
        "head",
        "Gas load on the sealing diameter",
        "force",
        gas_load,
        {"pressure": figure("p", "peak_pressure"), "diameter": figure("D", "sealing_diameter")},
        "{pressure} × π/4 × {diameter}²",
    ),
    Calculation(
        "stud-preload",
        "head",
        "Preload of one stud from its torque",
        "force",
        preload_from_torque,
        {
            "torque": figure("T", "stud_torque"),
            "factor": figure("K", "torque_factor"),
            "diameter": figure("d", "stud_size"),
        },
        "{torque} ÷ ({factor} × {diameter})",
    ),
    Calculation(
        "stud-clamp",
        "head",
        "Clamping load of all studs",
        "force",
        clamp_load,
        {"preload": outcome("P", "stud-preload"), "count": figure("N", "stud_count")},
        "{preload} × {count}",
    ),
    Calculation(
        "stud-clamp-ratio",
        "head",
        "Clamping load over gas load",
        "number",
        clamp_ratio,
        {"clamp": outcome("Pc", "stud-clamp"), "gas": outcome("F", "head-gas-load")},
        "{clamp} ÷ {gas}",
    ),
    Calculation(
        "stud-pitch",
        "head",
        "Pitch of the studs along their circle",
        "length",
        stud_pitch,
        {"circle": figure("Dc", "stud_circle"), "count": figure("N", "stud_count")},
        "π × {circle} ÷ {count}",
    ),
)
