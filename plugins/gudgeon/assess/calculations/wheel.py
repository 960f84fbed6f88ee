"""Flywheels and their seats."""

from gudgeon_calc.engine import rim_mark
from gudgeon_calc.flywheels import (
    THIN_RIM,
    coefficient_of_fluctuation,
    disc_stress,
    energy,
    hoop_stress,
    jointed_rim_speed,
    mean_radius,
    rim_inertia,
    rim_mass,
    rim_speed,
    rim_stress_between_spokes,
    runaway,
    share_of_speed,
)
from gudgeon_calc.press_fits import heating_needed, press_force, seat_pressure, thick_wall_hoop, torque_carried

from gudgeon.assess.calculations.model import (
    Calculation,
    engine,
    feature,
    figure,
    fixed,
    interference,
    metal,
    of_part,
    outcome,
)
from gudgeon.records.parts import Part

# The thinner the rim, the faster its middle runs and the more it bends; the thicker, the heavier it is to lift or to stop.
RIM = {"outside": feature("D", "rim_od", "greatest"), "depth": feature("h", "rim_depth", "least")}
BODY = {
    "outside": feature("D", "rim_od", "greatest"),
    "depth": feature("h", "rim_depth", "greatest"),
    "width": feature("b", "rim_w", "greatest"),
    "density": metal("ρ", "density"),
}
BETWEEN_SPOKES = {
    "density": metal("ρ", "density"),
    "mean_radius": outcome("R", "rim-radius"),
    "depth": feature("h", "rim_depth", "least"),
    "spokes": of_part("N", "spokes"),
}
OF_RIM = {"depth": feature("h", "rim_depth", "greatest"), "mean_radius": outcome("R", "rim-radius")}
BENDS = "{density} × {velocity}² × [¾ + 4.94 × {mean_radius} ÷ ({spokes}² × {depth})]"
SOLID_RIM = 5280 / 60 * 0.3048  # m/s


def spoked(part: Part) -> bool:
    """Whether a wheel has spokes, or does not say."""
    return part.spokes != 0


def jointed(part: Part) -> bool:
    """Whether a wheel's rim has joints, or nothing says."""
    return part.rim_joints != 0


def disc(part: Part) -> bool:
    """Whether a wheel is a disc."""
    return part.spokes == 0


CALCULATIONS = (
    Calculation(
        "runaway-speed",
        "flywheel",
        "Runaway speed, when the governor sticks",
        "speed",
        runaway,
        {"speed": engine("n", "speed")},
        "2 × {speed}",
    ),
    Calculation(
        "rim-speed",
        "flywheel",
        "Rim speed at the mean radius, governed",
        "velocity",
        rim_speed,
        {**RIM, "speed": engine("n", "speed")},
        "π × ({outside} − {depth}) × {speed}",
    ),
    Calculation(
        "rim-speed-runaway",
        "flywheel",
        "Rim speed at the mean radius, run away",
        "velocity",
        rim_speed,
        {**RIM, "speed": figure("nr", "runaway_speed", "runaway-speed")},
        "π × ({outside} − {depth}) × {speed}",
    ),
    Calculation(
        "rim-hoop",
        "flywheel",
        "Hoop stress of a free rim, governed",
        "pressure",
        hoop_stress,
        {"density": metal("ρ", "density"), "velocity": outcome("v", "rim-speed")},
        "{density} × {velocity}²",
        ranges=(THIN_RIM,),
        tested_by=OF_RIM,
        only=spoked,
    ),
    Calculation(
        "rim-hoop-runaway",
        "flywheel",
        "Hoop stress of a free rim, run away",
        "pressure",
        hoop_stress,
        {"density": metal("ρ", "density"), "velocity": outcome("vr", "rim-speed-runaway")},
        "{density} × {velocity}²",
        ranges=(THIN_RIM,),
        tested_by=OF_RIM,
        only=spoked,
    ),
    Calculation(
        "rim-radius",
        "flywheel",
        "Mean radius of the rim",
        "length",
        mean_radius,
        RIM,
        "({outside} − {depth}) ÷ 2",
    ),
    Calculation(
        "rim-stress",
        "flywheel",
        "Rim stress with bending between spokes, governed",
        "pressure",
        rim_stress_between_spokes,
        {**BETWEEN_SPOKES, "velocity": outcome("v", "rim-speed")},
        BENDS,
        only=spoked,
    ),
    Calculation(
        "rim-stress-runaway",
        "flywheel",
        "Rim stress with bending between spokes, run away",
        "pressure",
        rim_stress_between_spokes,
        {**BETWEEN_SPOKES, "velocity": outcome("vr", "rim-speed-runaway")},
        BENDS,
        only=spoked,
    ),
    Calculation(
        "outside-speed-runaway",
        "flywheel",
        "Speed of the wheel's edge, run away",
        "velocity",
        rim_speed,
        {
            "outside": feature("D", "rim_od", "greatest"),
            "depth": fixed("h", 0.0, "the edge itself", "length"),
            "speed": figure("nr", "runaway_speed", "runaway-speed"),
        },
        "π × {outside} × {speed}",
    ),
    Calculation(
        "disc-stress-runaway",
        "flywheel",
        "Stress of a plain disc at the edge of its bore, run away",
        "pressure",
        disc_stress,
        {
            "density": metal("ρ", "density"),
            "velocity": outcome("v", "outside-speed-runaway"),
            "poisson": metal("ν", "poisson"),
            "bore": feature("d", "bore", "greatest"),
            "outside": feature("D", "rim_od", "least"),
        },
        "{density} × {velocity}² ÷ 4 × [(3 + {poisson}) + (1 − {poisson}) × ({bore}/{outside})²]",
        only=disc,
    ),
    Calculation(
        "jointed-rim-speed",
        "flywheel",
        "Highest rim speed with this joint, at run away",
        "velocity",
        jointed_rim_speed,
        {
            "solid": fixed("vs", SOLID_RIM, "5280 ft/min for one sound piece, New Zealand inspectors 1921", "velocity"),
            "strength": figure("s", "wheel_rim_strength"),
        },
        "{solid} × √{strength}",
        only=jointed,
    ),
    Calculation(
        "jointed-rim-share",
        "flywheel",
        "Speed of the edge run away over the highest with this joint",
        "number",
        share_of_speed,
        {"speed": outcome("ve", "outside-speed-runaway"), "highest": outcome("vj", "jointed-rim-speed")},
        "{speed} ÷ {highest}",
        only=jointed,
    ),
    Calculation(
        "wheel-mass",
        "flywheel",
        "Mass of the rim",
        "mass",
        rim_mass,
        BODY,
        "{density} × {width} × π/4 × [{outside}² − ({outside} − 2 × {depth})²]",
    ),
    Calculation(
        "wheel-inertia",
        "flywheel",
        "Moment of inertia of the rim",
        "inertia",
        rim_inertia,
        BODY,
        "{density} × {width} × π/32 × [{outside}⁴ − ({outside} − 2 × {depth})⁴]",
    ),
    Calculation(
        "wheel-energy",
        "flywheel",
        "Energy in one rim, governed",
        "energy",
        energy,
        {"inertia": outcome("I", "wheel-inertia"), "speed": engine("n", "speed")},
        "{inertia} × (2π × {speed})² ÷ 2",
    ),
    Calculation(
        "wheel-energy-runaway",
        "flywheel",
        "Energy in one rim, run away",
        "energy",
        energy,
        {"inertia": outcome("I", "wheel-inertia"), "speed": figure("nr", "runaway_speed", "runaway-speed")},
        "{inertia} × (2π × {speed})² ÷ 2",
    ),
    Calculation(
        "speed-fluctuation",
        "flywheel",
        "Coefficient of fluctuation with this rim alone",
        "number",
        coefficient_of_fluctuation,
        {
            "fluctuation": figure("ΔE", "energy_fluctuation", "energy-fluctuation"),
            "inertia": outcome("I", "wheel-inertia"),
            "speed": engine("n", "speed"),
        },
        "{fluctuation} ÷ [{inertia} × (2π × {speed})²]",
    ),
    Calculation(
        "rim-mark-degree",
        "flywheel",
        "One degree of crank along the rim",
        "length",
        rim_mark,
        {"diameter": feature("D", "rim_od", "greatest"), "angle": fixed("θ", 1.0, "one degree", "angle")},
        "π × {diameter} × {angle} ÷ 360°",
    ),
    Calculation(
        "seat-pressure",
        "flywheel",
        "Pressure on the seat, by Lamé",
        "pressure",
        seat_pressure,
        {
            "interference": interference("δ", "wheel_seat"),
            "seat": feature("d", "bore", "least"),
            "hub_outer": feature("D", "hub_od", "least"),
            "shaft_inner": fixed("di", 0.0, "solid shaft", "length"),
            "hub_stiffness": metal("Eh", "stiffness"),
            "shaft_stiffness": metal("Es", "stiffness", "crankshaft"),
            "hub_poisson": metal("νh", "poisson"),
            "shaft_poisson": metal("νs", "poisson", "crankshaft"),
        },
        "{interference} ÷ {{{seat} × [(({hub_outer}² + {seat}²)/({hub_outer}² − {seat}²) + {hub_poisson})/{hub_stiffness} + (1 − {shaft_poisson})/{shaft_stiffness}]}}",
    ),
    Calculation(
        "hub-stress",
        "flywheel",
        "Hoop stress at the hub's bore",
        "pressure",
        thick_wall_hoop,
        {
            "pressure": outcome("p", "seat-pressure"),
            "inner": feature("d", "bore", "least"),
            "outer": feature("D", "hub_od", "least"),
        },
        "{pressure} × ({outer}² + {inner}²) ÷ ({outer}² − {inner}²)",
        pick=0,
    ),
    Calculation(
        "hub-force",
        "flywheel",
        "Force to press it on or off",
        "force",
        press_force,
        {
            "pressure": outcome("p", "seat-pressure"),
            "seat": feature("d", "bore", "least"),
            "length": figure("l", "seat_length"),
            "friction": figure("μ", "seat_friction", (0.12, "common practice, no source")),
        },
        "{friction} × {pressure} × π × {seat} × {length}",
    ),
    Calculation(
        "hub-torque",
        "flywheel",
        "Torque carried before it slips, without the key",
        "torque",
        torque_carried,
        {"force": outcome("F", "hub-force"), "seat": feature("d", "bore", "least")},
        "{force} × {seat} ÷ 2",
    ),
    Calculation(
        "hub-heating",
        "flywheel",
        "How much hotter than the shaft the hub has to be",
        "temperature difference",
        heating_needed,
        {
            "interference": interference("δ", "wheel_seat"),
            "entry": figure("e", "entry_clearance", (0.05, "common practice, no source")),
            "diameter": feature("d", "bore", "least"),
            "cte": metal("α", "cte"),
        },
        "({interference} + {entry}) ÷ ({cte} × {diameter})",
        heats="cte",
    ),
)
