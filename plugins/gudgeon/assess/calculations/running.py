"""Valves, timing, governor, ignition, mixer, cooling, oil and foundation."""

from gudgeon_calc.casting import melt_weight
from gudgeon_calc.engine import rim_mark
from gudgeon_calc.governors import own_speed, spread, weight_force
from gudgeon_calc.pistons import travel
from gudgeon_calc.power import foundation_ratio
from gudgeon_calc.supplies import boil_off, boiling_point, oil_use, throat_speed
from gudgeon_calc.valves import curtain_area, full_lift, gas_speed, spring_load

from gudgeon.assess.calculations.model import Calculation, engine, feature, figure, metal, outcome

CALCULATIONS = (
    *(
        Calculation(
            f"{which}-full-lift",
            "valve",
            f"Lift that opens the {which} port fully",
            "length",
            full_lift,
            {"diameter": figure("d", f"{which}_port")},
            "{diameter} ÷ 4",
        )
        for which in ("inlet", "exhaust")
    ),
    *(
        Calculation(
            f"{which}-curtain",
            "valve",
            f"Area round the lifted {which} valve",
            "area",
            curtain_area,
            {
                "diameter": figure("d", f"{which}_port"),
                "lift": figure("l", "inlet_lift") if which == "inlet" else feature("l", "lift", "least", "gears"),
            },
            "π × {diameter} × {lift}, at most π × {diameter}² ÷ 4",
        )
        for which in ("inlet", "exhaust")
    ),
    *(
        Calculation(
            f"{which}-gas-speed",
            "valve",
            f"Mean gas speed past the {which} valve",
            "velocity",
            gas_speed,
            {
                "piston_speed": outcome("v", "piston-speed"),
                "bore": engine("D", "bore"),
                "area": outcome("a", f"{which}-curtain"),
            },
            "{piston_speed} × π/4 × {bore}² ÷ {area}",
        )
        for which in ("inlet", "exhaust")
    ),
    Calculation(
        "automatic-inlet-spring",
        "valve",
        "Spring load for an automatic inlet",
        "force",
        spring_load,
        {"pressure": figure("p", "suction"), "diameter": figure("d", "inlet_port")},
        "{pressure} × π/4 × {diameter}²",
    ),
    Calculation(
        "governor-spread",
        "governor",
        "Spread between latch-out and latch-in",
        "number",
        spread,
        {"high": feature("n1", "latch_out", "greatest"), "low": feature("n2", "latch_in", "least")},
        "({high} − {low}) ÷ [({high} + {low}) ÷ 2]",
    ),
    Calculation(
        "governor-speed",
        "governor",
        "Speed of the governor's own shaft",
        "speed",
        own_speed,
        {"speed": engine("n", "speed"), "ratio": figure("i", "governor_ratio")},
        "{speed} × {ratio}",
    ),
    Calculation(
        "governor-force",
        "governor",
        "Outward force of one weight at governed speed",
        "force",
        weight_force,
        {
            "mass": figure("m", "governor_mass"),
            "radius": figure("r", "governor_radius"),
            "speed": outcome("ng", "governor-speed"),
        },
        "{mass} × {radius} × (2π × {speed})²",
    ),
    *(
        Calculation(
            f"spark-mark-{which}",
            "ignition",
            f"Spark mark along the rim, {words}",
            "length",
            rim_mark,
            {"diameter": feature("D", "rim_od", "greatest", "flywheel"), "angle": feature("θ", which, "greatest")},
            "π × {diameter} × {angle} ÷ 360°",
        )
        for which, words in (("run", "running"), ("start", "starting"))
    ),
    *(
        Calculation(
            f"spark-travel-{which}",
            "ignition",
            f"Piston from inner dead centre at the spark, {words}",
            "length",
            travel,
            {
                "angle": feature("θ", which, "greatest"),
                "stroke": engine("L", "stroke"),
                "rod": engine("l", "rod_centres"),
            },
            "{stroke}/2 × (1 − cos {angle}) + {rod} − √({rod}² − ({stroke}/2 × sin {angle})²)",
        )
        for which, words in (("run", "running"), ("start", "starting"))
    ),
    Calculation(
        "throat-speed",
        "mixer",
        "Mean air speed in the throat",
        "velocity",
        throat_speed,
        {
            "piston_speed": outcome("v", "piston-speed"),
            "bore": engine("D", "bore"),
            "throat": feature("d", "throat", "least"),
        },
        "{piston_speed} × ({bore}/{throat})²",
    ),
    Calculation(
        "boil-off",
        "cooling",
        "Water boiled away on load",
        "mass flow",
        boil_off,
        {
            "brake": figure("P", "brake_power"),
            "efficiency": figure("η", "thermal_efficiency"),
            "jacket_share": figure("s", "jacket_share"),
        },
        "{brake} ÷ {efficiency} × {jacket_share} ÷ 2257 kJ/kg",
    ),
    Calculation(
        "boiling-point",
        "cooling",
        "An open hopper boils here at",
        "temperature",
        boiling_point,
        {"altitude": figure("h", "altitude")},
        "1730.63 ÷ {{8.07131 − lg[760 × (1 − 0.0000225577 × {altitude})^5.25588]}} − 233.426, in metres and °C",
    ),
    Calculation(
        "oil-use",
        "oiler",
        "Oil used by the cylinder feed",
        "volume flow",
        oil_use,
        {"drops": feature("q", "rate", "least")},
        "{drops} ÷ 20 drops/ml",
    ),
    Calculation(
        "foundation-ratio",
        "base",
        "Mass of the foundation over that of the engine",
        "number",
        foundation_ratio,
        {"mass": figure("m", "engine_mass"), "foundation": figure("M", "foundation_mass")},
        "{foundation} ÷ {mass}",
    ),
    Calculation(
        "melt-weight",
        "cylinder",
        "Metal to melt for the casting",
        "mass",
        melt_weight,
        {"volume": figure("V", "casting_volume"), "density": metal("ρ", "density"), "extra": figure("g", "gate_share")},
        "{volume} × {density} × (1 + {extra})",
    ),
)
