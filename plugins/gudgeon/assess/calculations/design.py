"""Sizes to draw: rings, walls, head, studs and their thread, caps and journals."""

from gudgeon_calc.bearings import cap_thickness, journal_diameter
from gudgeon_calc.bolted_joints import (
    clamp_left,
    clamped_stiffness,
    preload_wanted,
    stud_load,
    stud_share,
    stud_stiffness,
)
from gudgeon_calc.cylinders import (
    POURED_WALL,
    bore_out_left,
    head_thickness,
    reboring_allowance,
    stud_pitch_limits,
    tightening_torque,
    wall_thickness,
)
from gudgeon_calc.press_fits import shaft_hoop, thick_wall_outer
from gudgeon_calc.rings import diametral_force, free_gap_for_pressure, least_ring_width, ring_wall, wall_pressure
from gudgeon_calc.threads import stress_area, stud_stress, tap_drill, thread_share

from gudgeon.assess.calculations.model import Calculation, engine, feature, figure, fixed, metal, outcome

WALL = {
    "bore": engine("D", "bore"),
    "pressure": figure("p", "peak_pressure"),
    "stress": figure("σ", "cylinder_stress"),
}
THREAD = {"diameter": figure("d", "stud_size"), "pitch": figure("P", "stud_thread_pitch")}
STEEL = (207000.0, "carbon steel, Shigley 2010")
AREA = outcome("As", "stud-area")

CALCULATIONS = (
    Calculation(
        "ring-wall",
        "ring",
        "Radial wall for the wanted pressure",
        "length",
        ring_wall,
        {
            "bore": engine("D", "bore"),
            "pressure": figure("p", "ring_wanted_pressure"),
            "stress": figure("σ", "ring_stress"),
        },
        "{bore} × √(3 × {pressure} ÷ {stress})",
    ),
    Calculation(
        "ring-least-width",
        "ring",
        "Least axial width",
        "length",
        least_ring_width,
        {"bore": engine("D", "bore"), "rings": figure("N", "ring_count")},
        "{bore} ÷ (10 × {rings})",
    ),
    Calculation(
        "ring-free-gap-wanted",
        "ring",
        "Free gap for the wanted pressure",
        "length",
        free_gap_for_pressure,
        {
            "pressure": figure("p", "ring_wanted_pressure"),
            "diameter": engine("D", "bore"),
            "wall": feature("t", "wall", "least"),
            "stiffness": metal("E", "stiffness"),
            "gap": feature("g", "gap", "least"),
        },
        "{gap} + 36π/16 × {pressure} × {diameter} × ({diameter}/{wall} − 1)³ ÷ {stiffness}",
    ),
    Calculation(
        "ring-pressure-weighed",
        "ring",
        "Mean pressure on the bore from the tangential force",
        "pressure",
        wall_pressure,
        {
            "force": figure("Ft", "ring_force"),
            "diameter": engine("D", "bore"),
            "width": feature("h", "width", "least"),
        },
        "2 × {force} ÷ ({diameter} × {width})",
    ),
    Calculation(
        "ring-force-across",
        "ring",
        "Force across the ring that closes it as the tangential force does",
        "force",
        diametral_force,
        {
            "tangential": figure("Ft", "ring_force"),
            "ratio": figure("k", "ring_force_ratio", (2.05, "cast iron, Piston Ring Manual 2008, section 10")),
        },
        "{ratio} × {tangential}",
    ),
    Calculation(
        "reboring-allowance",
        "cylinder",
        "What a textbook leaves on the wall for boring out, per side",
        "length",
        reboring_allowance,
        {"bore": engine("D", "bore")},
        "allowance by the table for {bore}",
    ),
    Calculation(
        "wall-new",
        "cylinder",
        "Wall of a new cylinder, with what boring out and rust may take",
        "length",
        wall_thickness,
        {**WALL, "allowance": figure("C", "wall_allowance", "reboring-allowance")},
        "{pressure} × {bore} ÷ (2 × {stress}) + {allowance}",
        ranges=(POURED_WALL,),
    ),
    Calculation(
        "wall-needed",
        "cylinder",
        "Least wall that may be left, with what rust may yet take",
        "length",
        wall_thickness,
        {**WALL, "allowance": figure("C", "rust_allowance")},
        "{pressure} × {bore} ÷ (2 × {stress}) + {allowance}",
    ),
    Calculation(
        "bore-out-left",
        "cylinder",
        "How much larger the bore may yet become, on diameter",
        "length",
        bore_out_left,
        {"wall": feature("t", "wall", "least"), "needed": outcome("tn", "wall-needed")},
        "2 × ({wall} − {needed})",
    ),
    Calculation(
        "wall-outside-thick",
        "cylinder",
        "Outside of the wall for the same stress, by Lamé",
        "length",
        thick_wall_outer,
        {
            "pressure": figure("p", "peak_pressure"),
            "inner": engine("D", "bore"),
            "stress": figure("σ", "cylinder_stress"),
        },
        "{inner} × √[({stress} + {pressure}) ÷ ({stress} − {pressure})]",
    ),
    *(
        Calculation(
            "pressed-own-stress",
            family,
            "Hoop stress of what is pressed in, where it is greatest; negative presses",
            "pressure",
            shaft_hoop,
            {
                "pressure": outcome("p", "pressed-pressure"),
                "seat": feature("d", "od", "least"),
                "shaft_inner": feature("di", "bore", "greatest"),
            },
            "−2 × {pressure} × {seat}² ÷ ({seat}² − {shaft_inner}²)",
        )
        for family in ("cylinder", "bush")
    ),
    Calculation(
        "head-thickness",
        "head",
        "Thickness of a flat head",
        "length",
        head_thickness,
        {
            "bore": figure("D", "sealing_diameter"),
            "pressure": figure("p", "peak_pressure"),
            "stress": figure("σ", "head_stress"),
        },
        "{bore} × √(0.1 × {pressure} ÷ {stress})",
    ),
    *(
        Calculation(
            f"stud-pitch-{end}",
            "head",
            f"{end.capitalize()} pitch of studs that keeps the joint tight",
            "length",
            stud_pitch_limits,
            {"diameter": figure("d", "stud_size")},
            f"{factor} × √{{diameter}}, in millimetres",
            pick=pick,
        )
        for pick, (end, factor) in enumerate((("least", 19), ("most", 28.5)))
    ),
    Calculation(
        "stud-area",
        "head",
        "Stress area of a stud",
        "area",
        stress_area,
        THREAD,
        "π/4 × ({diameter} − 0.9743 × {pitch})² if {pitch} is Unified, else π/4 × ({diameter} − 0.9382 × {pitch})²",
    ),
    Calculation(
        "stud-stiffness",
        "head",
        "Stiffness of one stud",
        "spring rate",
        stud_stiffness,
        {
            "area": AREA,
            "length": figure("l", "stud_length"),
            "stiffness": figure("E", "stud_stiffness", STEEL),
        },
        "{stiffness} × {area} ÷ {length}",
    ),
    Calculation(
        "clamped-stiffness",
        "head",
        "Stiffness of what one stud clamps, without its gasket",
        "spring rate",
        clamped_stiffness,
        {
            "hole": figure("dh", "stud_hole"),
            "face": figure("Dw", "stud_face"),
            "grip": figure("lg", "stud_grip"),
            "stiffness": metal("E", "stiffness"),
        },
        "π × {stiffness} × {hole} × tan 30° ÷ ln{{[(2 × {grip} × tan 30° + {face} − {hole}) × ({face} + {hole})]"
        " ÷ [(2 × {grip} × tan 30° + {face} + {hole}) × ({face} − {hole})]}}",
    ),
    Calculation(
        "stud-share",
        "head",
        "Share of the gas load that comes onto the studs, without a gasket",
        "number",
        stud_share,
        {"stud": outcome("ks", "stud-stiffness"), "clamped": outcome("kc", "clamped-stiffness")},
        "{stud} ÷ ({stud} + {clamped})",
    ),
    Calculation(
        "gas-load-per-stud",
        "head",
        "Gas load on one stud",
        "force",
        preload_wanted,
        {
            "clamp": fixed("c", 1.0, "shared evenly"),
            "load": outcome("F", "head-gas-load"),
            "count": figure("N", "stud_count"),
        },
        "{clamp} × {load} ÷ {count}",
    ),
    Calculation(
        "stud-load",
        "head",
        "Load of one stud at the peak",
        "force",
        stud_load,
        {
            "preload": outcome("P", "stud-preload"),
            "share": outcome("C", "stud-share"),
            "load": outcome("Fs", "gas-load-per-stud"),
        },
        "{preload} + {share} × {load}, not under {load}",
    ),
    Calculation(
        "stud-clamp-left",
        "head",
        "What one stud still clamps at the peak",
        "force",
        clamp_left,
        {
            "preload": outcome("P", "stud-preload"),
            "share": outcome("C", "stud-share"),
            "load": outcome("Fs", "gas-load-per-stud"),
        },
        "{preload} − (1 − {share}) × {load}, not under 0",
    ),
    Calculation(
        "stud-tension",
        "head",
        "Tension in the stud's thread at the peak",
        "pressure",
        stud_stress,
        {"load": outcome("Pm", "stud-load"), "area": AREA},
        "{load} ÷ {area}",
    ),
    Calculation(
        "stud-preload-wanted",
        "head",
        "Preload of one stud for the wanted clamping load",
        "force",
        preload_wanted,
        {
            "clamp": figure("c", "clamp_wanted", (2.5, "common practice, no source: two to three")),
            "load": outcome("F", "head-gas-load"),
            "count": figure("N", "stud_count"),
        },
        "{clamp} × {load} ÷ {count}",
    ),
    Calculation(
        "stud-torque-wanted",
        "head",
        "Torque of one stud for the wanted clamping load",
        "torque",
        tightening_torque,
        {
            "factor": figure("K", "torque_factor"),
            "diameter": figure("d", "stud_size"),
            "preload": outcome("Pw", "stud-preload-wanted"),
        },
        "{factor} × {diameter} × {preload}",
    ),
    Calculation(
        "stud-tap-drill",
        "head",
        "Hole to drill for the stud's thread",
        "length",
        tap_drill,
        {**THREAD, "share": figure("X", "tap_share", (0.75, "common practice, no source"))},
        "{diameter} − 1.08253 × {pitch} × {share}",
    ),
    Calculation(
        "stud-thread-share",
        "head",
        "Share of full thread in the hole as drilled",
        "number",
        thread_share,
        {**THREAD, "hole": figure("dt", "tap_hole")},
        "({diameter} − {hole}) ÷ (1.08253 × {pitch})",
    ),
    Calculation(
        "journal-diameter",
        "crankshaft",
        "Crankpin for the allowed pressure",
        "length",
        journal_diameter,
        {
            "load": outcome("F", "gas-load"),
            "length_ratio": figure("k", "journal_ratio"),
            "pressure": figure("p", "journal_pressure"),
        },
        "√[{load} ÷ ({length_ratio} × {pressure})]",
    ),
    Calculation(
        "cap-thickness",
        "rod",
        "Thickness of the big-end cap, run away",
        "length",
        cap_thickness,
        {
            "load": outcome("F", "rod-load-runaway"),
            "beam": figure("x", "big_end_bolts_apart"),
            "width": figure("b", "cap_width"),
            "stress": figure("σ", "cap_stress"),
        },
        "√[6 × ({load} × {beam} ÷ 6) ÷ ({width} × {stress})]",
    ),
)
