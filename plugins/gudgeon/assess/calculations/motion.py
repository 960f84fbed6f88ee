"""What the cycle does to wheels, frame and governor: turning moment, speed, balance, springs, losses; tapers to turn."""

from gudgeon_calc.balance import balance_mass, greatest_shaking, shaking_force
from gudgeon_calc.flywheels import RIM_FOR_RADIUS, radius_for_stress
from gudgeon_calc.governors import own_speed, pull_at_lever, rate_at_lever, spring_rate, stretch, weight_force
from gudgeon_calc.power import compressed, power_with_losses, shaft_power
from gudgeon_calc.tapers import rest_angle, tailstock_setover
from gudgeon_calc.turning_moment import inertia_wanted, rim_mass_wanted, speed_after_misses, turning_moment
from gudgeon_calc.valves import AWAY_FROM_DEAD_CENTRE, dead_centre_mark, duration

from gudgeon.assess.calculations.model import Calculation, engine, feature, figure, fixed, metal, outcome

# Along the cylinder and across it, together.
SHAKING = "{mass} × {stroke}/2 × (2π × {speed})² × √{{[(1 − {share}) × cos θ + {stroke}/2 ÷ {rod} × cos(2 × θ)]² + ({share} × sin θ)²}}"
GUESS = "common practice, no source"
EXPONENT = figure("n", "compression_exponent", (1.3, GUESS))
AIR = fixed("pa", 0.101325, "standard atmosphere", "pressure")
CARD = {
    "bore": engine("D", "bore"),
    "stroke": engine("L", "stroke"),
    "rod": engine("l", "rod_centres"),
    "speed": engine("n", "speed"),
    "mass": figure("m", "reciprocating_mass"),
    "ratio": engine("r", "compression_ratio"),
    "peak": figure("p", "peak_pressure"),
    "atmosphere": AIR,
    "compresses": EXPONENT,
    "expands": figure("ne", "expansion_exponent", (1.3, GUESS)),
}
SHAKES = {
    "mass": figure("m", "reciprocating_mass"),
    "share": figure("c", "balance_share", (0.5, GUESS)),
    "stroke": engine("L", "stroke"),
    "rod": engine("l", "rod_centres"),
    "speed": engine("n", "speed"),
}
TAPER = {
    "large": figure("D", "taper_large"),
    "small": figure("d", "taper_small"),
    "length": figure("L", "taper_length"),
}
WEIGHTS = figure("N", "governor_weights", (2.0, GUESS))
LEVER = figure("i", "governor_lever")

CALCULATIONS = (
    Calculation(
        "compression-pressure",
        "engine",
        "Pressure at the end of compression, absolute",
        "pressure",
        compressed,
        {
            "pressure": AIR,
            "temp": fixed("T", 20.0, "room", "temperature"),
            "ratio": engine("r", "compression_ratio"),
            "exponent": EXPONENT,
        },
        "{pressure} × {ratio}^{exponent}",
        pick=0,
    ),
    *(
        Calculation(
            name,
            "engine",
            gives,
            kind,
            turning_moment,
            CARD,
            "over the cycle, from {bore}, {stroke}, {rod}, {speed}, {mass}, {ratio}, {peak}, {atmosphere}, {compresses}, {expands}",
            pick=pick,
        )
        for pick, (name, gives, kind) in enumerate(
            (
                ("turning-moment-mean", "Mean turning moment, every charge fired, from an ideal card", "torque"),
                ("energy-fluctuation", "Greatest fluctuation of energy in a cycle, from an ideal card", "energy"),
                ("turning-moment-greatest", "Greatest turning moment, from an ideal card", "torque"),
            )
        )
    ),
    Calculation(
        "power-of-moment",
        "engine",
        "Indicated power of that mean moment",
        "power",
        shaft_power,
        {"torque": outcome("T", "turning-moment-mean"), "speed": engine("n", "speed")},
        "{torque} × 2π × {speed}",
    ),
    Calculation(
        "power-with-losses",
        "engine",
        "Power at the crank, with misses, pumping and friction",
        "power",
        power_with_losses,
        {
            "fired": figure("pi", "indicated_pressure"),
            "pumping": figure("pp", "pumping_pressure"),
            "dead": figure("pd", "dead_cycle_pressure"),
            "friction": figure("pf", "friction_pressure"),
            "swept": outcome("Vs", "swept-volume"),
            "speed": engine("n", "speed"),
            "hits": figure("h", "hits"),
            "cycles": figure("c", "cycles"),
        },
        "{swept} × {speed} ÷ 2 × {{[({fired} − {pumping}) × {hits} − {dead} × ({cycles} − {hits})] ÷ {cycles} − {friction}}}",
    ),
    Calculation(
        "balance-mass",
        "engine",
        "Mass of all balance weights together, opposite the crank",
        "mass",
        balance_mass,
        {
            "turning": figure("mt", "turning_mass"),
            "to_and_fro": figure("m", "reciprocating_mass"),
            "share": figure("c", "balance_share", (0.5, GUESS)),
            "stroke": engine("L", "stroke"),
            "radius": figure("b", "balance_radius"),
        },
        "({turning} + {share} × {to_and_fro}) × {stroke}/2 ÷ {radius}",
    ),
    Calculation(
        "shaking-greatest",
        "engine",
        "Greatest shaking force, governed, with that share balanced",
        "force",
        greatest_shaking,
        SHAKES,
        f"greatest over θ of {SHAKING}",
        pick=0,
    ),
    Calculation(
        "shaking-angle",
        "engine",
        "Crank angle at which it comes, from inner dead centre",
        "angle",
        greatest_shaking,
        SHAKES,
        f"first whole degree θ at which it is greatest: {SHAKING}",
        pick=1,
    ),
    *(
        Calculation(
            f"shaking-{way}-{degrees}",
            "engine",
            f"Shaking force {way} the cylinder, crank at {degrees}°",
            "force",
            shaking_force,
            {**SHAKES, "angle": fixed("θ", float(degrees), "a place of the crank", "angle")},
            shown,
            pick=pick,
        )
        for pick, (way, degrees, shown) in (
            (pick, (way, degrees, shown))
            for pick, way, shown in (
                (
                    0,
                    "along",
                    "{mass} × {stroke}/2 × (2π × {speed})² × [(1 − {share}) × cos {angle} + {stroke}/2 ÷ {rod} × cos(2 × {angle})]",
                ),
                (1, "across", "−{share} × {mass} × {stroke}/2 × (2π × {speed})² × sin {angle}"),
            )
            for degrees in ((0, 45, 90, 135, 180) if pick == 0 else (45, 90, 135))
        )
    ),
    Calculation(
        "inertia-wanted",
        "flywheel",
        "Moment of inertia of all wheels for the wanted coefficient of fluctuation",
        "inertia",
        inertia_wanted,
        {
            "fluctuation": figure("ΔE", "energy_fluctuation", "energy-fluctuation"),
            "coefficient": figure("k", "wanted_fluctuation"),
            "speed": engine("n", "speed"),
        },
        "{fluctuation} ÷ [{coefficient} × (2π × {speed})²]",
    ),
    Calculation(
        "rim-mass-wanted",
        "flywheel",
        "Mass of each rim for it, at this rim's mean radius",
        "mass",
        rim_mass_wanted,
        {
            "inertia": outcome("I", "inertia-wanted"),
            "wheels": engine("N", "flywheels"),
            "radius": outcome("R", "rim-radius"),
        },
        "{inertia} ÷ ({wheels} × {radius}²)",
    ),
    Calculation(
        "speed-after-misses",
        "flywheel",
        "Speed after the missed cycles, from governed speed, rims alike",
        "speed",
        speed_after_misses,
        {
            "speed": engine("n", "speed"),
            "torque": figure("T", "load_torque", "brake-torque"),
            "missed": figure("c", "missed_cycles"),
            "inertia": outcome("I", "wheel-inertia"),
            "wheels": engine("N", "flywheels"),
        },
        "√[(2π × {speed})² − 2 × {torque} × 4π × {missed} ÷ ({wheels} × {inertia})] ÷ 2π",
    ),
    Calculation(
        "rim-radius-most",
        "flywheel",
        "Mean radius at which a free rim reaches its allowed stress, run away",
        "length",
        radius_for_stress,
        {
            "stress": figure("σ", "rim_stress"),
            "density": metal("ρ", "density"),
            "speed": figure("nr", "runaway_speed", "runaway-speed"),
        },
        "√({stress} ÷ {density}) ÷ (2π × {speed})",
        ranges=(RIM_FOR_RADIUS,),
        tested_by={"depth": feature("h", "rim_depth", "greatest")},
    ),
    Calculation(
        "dead-centre-mark",
        "flywheel",
        "Dead centre along the rim, by the stop",
        "length",
        dead_centre_mark,
        {"mark_before": figure("a", "stop_mark_before"), "mark_after": figure("b", "stop_mark_after")},
        "({mark_before} + {mark_after}) ÷ 2",
        ranges=(AWAY_FROM_DEAD_CENTRE,),
        tested_by={"rim": feature("D", "rim_od", "greatest")},
    ),
    Calculation(
        "exhaust-duration",
        "gears",
        "Crank angle for which the exhaust stands open",
        "angle",
        duration,
        {
            "opens_before": feature("θ1", "ex_opens", "greatest"),
            "shuts_after": feature("θ2", "ex_shuts", "greatest"),
        },
        "{opens_before} + 180° + {shuts_after}",
    ),
    *(
        calculation
        for which, words, radius in (
            ("in", "latch-in, weights at their inner radius", "governor_radius"),
            ("out", "latch-out, weights at their outer radius", "governor_radius_out"),
        )
        for calculation in (
            Calculation(
                f"governor-speed-{which}",
                "governor",
                f"Speed of the governor's own shaft at latch-{which}",
                "speed",
                own_speed,
                {
                    "speed": feature("n", f"latch_{which}", "greatest" if which == "out" else "least"),
                    "ratio": figure("i", "governor_ratio"),
                },
                "{speed} × {ratio}",
            ),
            Calculation(
                f"governor-force-{which}",
                "governor",
                f"Outward force of one weight at {words}",
                "force",
                weight_force,
                {
                    "mass": figure("m", "governor_mass"),
                    "radius": figure("r", radius),
                    "speed": outcome("ng", f"governor-speed-{which}"),
                },
                "{mass} × {radius} × (2π × {speed})²",
            ),
        )
    ),
    Calculation(
        "governor-rate",
        "governor",
        "Spring rate that one weight needs along its radius",
        "spring rate",
        spring_rate,
        {
            "force_in": outcome("F1", "governor-force-in"),
            "force_out": outcome("F2", "governor-force-out"),
            "radius_in": figure("r1", "governor_radius"),
            "radius_out": figure("r2", "governor_radius_out"),
        },
        "({force_out} − {force_in}) ÷ ({radius_out} − {radius_in})",
    ),
    Calculation(
        "governor-spring-rate",
        "governor",
        "Rate of the one spring at its lever",
        "spring rate",
        rate_at_lever,
        {"rate": outcome("kr", "governor-rate"), "weights": WEIGHTS, "ratio": LEVER},
        "{rate} × {weights} ÷ {ratio}²",
    ),
    Calculation(
        "governor-spring-load",
        "governor",
        "Load of that spring at latch-in",
        "force",
        pull_at_lever,
        {"force": outcome("F1", "governor-force-in"), "weights": WEIGHTS, "ratio": LEVER},
        "{force} × {weights} ÷ {ratio}",
    ),
    Calculation(
        "governor-spring-stretch",
        "governor",
        "How far that spring is drawn or pressed at latch-in",
        "length",
        stretch,
        {"load": outcome("S", "governor-spring-load"), "rate": outcome("k", "governor-spring-rate")},
        "{load} ÷ {rate}",
    ),
    Calculation(
        "taper-rest-angle",
        "engine",
        "Angle of the compound rest to the work's axis for the taper to turn",
        "angle",
        rest_angle,
        TAPER,
        "arctan[({large} − {small}) ÷ (2 × {length})]",
    ),
    Calculation(
        "taper-setover",
        "engine",
        "Setting over of the tailstock for the same taper",
        "length",
        tailstock_setover,
        {**TAPER, "centres": figure("Lc", "taper_centres")},
        "{centres} × sin{{arctan[({large} − {small}) ÷ (2 × {length})]}}",
    ),
)
