"""figures.yaml: what the sums need beside sizes, such as gas pressures, masses and torques."""

from collections.abc import Mapping

from gudgeon_calc.units import Measure, read_quantity
from pydantic import Field

from gudgeon.records.base import Record
from gudgeon.records.build_file import Basis
from gudgeon.records.fields import Id, Line
from gudgeon.records.refs import SourceRef

# Figure -> (kind of quantity, what it is). A sum that needs another adds it here.
FIGURES = {
    "runaway_speed": ("speed", "highest speed the engine could reach with its governor stuck"),
    "peak_pressure": ("pressure", "highest gas pressure in the cylinder, gauge"),
    "indicated_pressure": ("pressure", "indicated mean effective pressure"),
    "crown_stress": ("pressure", "stress allowed in the piston's crown"),
    "reciprocating_mass": ("mass", "piston, pin, rings and the rod's small end, weighed"),
    "big_end_mass": ("mass", "what of the rod turns with the crankpin, its cap and bolts with it, weighed"),
    "cap_mass": ("mass", "the big end's cap with its half of the bearing"),
    "cylinder_suction": ("pressure", "greatest suction in the cylinder, below the atmosphere"),
    "energy_fluctuation": ("energy", "greatest fluctuation of energy in a cycle, from a torque diagram"),
    "wheel_rim_strength": (
        "number",
        "strength of the rim's joint over that of a solid rim; a wheel in one piece says rim_joints: 0 in its part",
    ),
    "stud_count": ("number", "how many head studs"),
    "stud_size": ("length", "nominal diameter of the head studs"),
    "stud_torque": ("torque", "torque of the head studs"),
    "torque_factor": ("number", "friction factor K of the studs as they are tightened"),
    "stud_circle": ("length", "pitch circle of the head studs"),
    "sealing_diameter": ("length", "diameter on which the gasket seals"),
    "gasket_hole": ("length", "diameter of the gasket's hole"),
    "first_ring_depth": ("length", "crown to the first ring"),
    "jacket_pressure": ("pressure", "highest pressure the jacket works at, gauge"),
    "test_factor": ("number", "test pressure over working pressure"),
    "pit_depth": ("length", "depth of the deepest pit in a worn bore"),
    "set_up_error": ("length", "how far off centre a bore may be set up, on diameter"),
    "inlet_port": ("length", "diameter of the inlet port"),
    "inlet_lift": ("length", "how far the inlet valve lifts: to its stop where it is automatic, by its cam otherwise"),
    "exhaust_port": ("length", "diameter of the exhaust port"),
    "suction": ("pressure", "suction at which an automatic inlet valve opens"),
    "governor_mass": ("mass", "one governor weight"),
    "governor_radius": ("length", "radius of its centre of gravity"),
    "governor_ratio": ("number", "governor's speed over the crank's"),
    "brake_power": ("power", "brake power, as tested or as designed"),
    "brake_tight": ("force", "tight pull of a rope brake"),
    "brake_slack": ("force", "slack pull of a rope brake"),
    "brake_wheel": ("length", "brake wheel's diameter plus one rope"),
    "brake_speed": ("speed", "speed during the brake test"),
    "hits": ("number", "charges fired in a count of cycles"),
    "cycles": ("number", "cycles counted, missed ones with them"),
    "thermal_efficiency": ("number", "brake thermal efficiency"),
    "jacket_share": ("number", "share of the fuel's heat that goes into the jacket"),
    "altitude": ("length", "height of the shop above the sea"),
    "casting_volume": ("volume", "volume of a rough casting to be poured"),
    "gate_share": ("number", "metal for gates, risers and loss over that of the casting"),
    "key_torque": ("torque", "highest torque that the flywheel's key has to carry, several times the mean"),
    "seat_length": ("length", "length of the flywheel's seat on the shaft"),
    "seat_friction": ("number", "coefficient of friction of a press or shrink fit"),
    "entry_clearance": ("length", "clearance to drop a hot hub over its shaft"),
    "engine_mass": ("mass", "the engine without its foundation"),
    "foundation_mass": ("mass", "the foundation"),
    "ring_wanted_pressure": ("pressure", "pressure that a ring is to have on the bore"),
    "ring_stress": ("pressure", "stress allowed in a ring closed in the bore"),
    "ring_count": ("number", "how many rings the piston has"),
    "ring_force": ("force", "tangential force that closes a ring to its gap"),
    "ring_force_ratio": ("number", "force across a ring over the tangential force that closes it as far"),
    "cylinder_stress": ("pressure", "stress allowed in the cylinder's wall"),
    "wall_allowance": ("length", "what boring out and rust may take off the wall, per side, over its life"),
    "rust_allowance": ("length", "what rust may yet take off the wall, per side"),
    "head_stress": ("pressure", "stress allowed in the head"),
    "stud_thread_pitch": ("length", "pitch of the head studs' thread; 1 in over the threads per inch"),
    "stud_length": ("length", "length of a head stud that is stretched"),
    "stud_hole": ("length", "clearance hole of a head stud"),
    "stud_face": ("length", "outside of the face under the nut or its washer"),
    "stud_grip": ("length", "thickness that a head stud clamps"),
    "stud_stiffness": ("pressure", "Young's modulus of the studs"),
    "clamp_wanted": ("number", "clamping load wanted over gas load"),
    "tap_share": ("number", "share of full thread wanted in a tapped hole; 1 is full"),
    "tap_hole": ("length", "hole for the studs' thread as drilled"),
    "journal_ratio": ("number", "length of the crankpin over its diameter"),
    "journal_pressure": ("pressure", "pressure allowed on the crankpin's projected area"),
    "big_end_bolts_apart": ("length", "between the centres of the big end's bolts"),
    "cap_width": ("length", "width of the big end's cap along the crankpin"),
    "cap_stress": ("pressure", "stress allowed in the big end's cap"),
    "compression_exponent": ("number", "polytropic exponent of compression"),
    "expansion_exponent": ("number", "polytropic exponent of expansion"),
    "pumping_pressure": ("pressure", "mean pressure lost to exhaust and suction in a cycle that fires"),
    "dead_cycle_pressure": ("pressure", "mean pressure lost in a missed cycle"),
    "friction_pressure": ("pressure", "mean pressure lost to friction in every cycle"),
    "wanted_fluctuation": ("number", "coefficient of fluctuation wanted; 0.02 is one percent either way"),
    "load_torque": ("torque", "torque of the load with friction, even over the turn"),
    "missed_cycles": ("number", "missed cycles in a row"),
    "rim_stress": ("pressure", "hoop stress allowed in the flywheel's rim"),
    "stop_mark_before": ("length", "mark on the rim where the stop is met before dead centre"),
    "stop_mark_after": ("length", "mark on the rim where the stop is met after dead centre"),
    "turning_mass": ("mass", "what turns with the crankpin, brought to its radius"),
    "balance_share": ("number", "share of the to-and-fro mass that is balanced"),
    "balance_radius": ("length", "radius of the balance weights' centre of gravity"),
    "governor_radius_out": ("length", "radius of its centre of gravity when thrown out"),
    "governor_weights": ("number", "how many weights pull on the governor's spring"),
    "governor_lever": ("number", "travel of the governor's spring over that of a weight"),
    "taper_large": ("length", "large diameter of a taper to turn"),
    "taper_small": ("length", "small diameter of a taper to turn"),
    "taper_length": ("length", "length of a taper to turn, along the axis"),
    "taper_centres": ("length", "length of the tapered work between centres"),
}
# Computed figures that a caution may watch -> kind of quantity. A test holds them against the calculations.
WATCHED = {
    "rim-speed": "velocity",
    "rim-speed-runaway": "velocity",
    "outside-speed-runaway": "velocity",
    "rim-stress-runaway": "pressure",
    "jointed-rim-share": "number",
    "wheel-mass": "mass",
    "rim-hoop-runaway": "pressure",
    "jacket-test-pressure": "pressure",
    "stud-clamp-ratio": "number",
    "ring-closing-stress": "pressure",
    "ring-opening-stress": "pressure",
    "big-end-pressure": "pressure",
    "foundation-ratio": "number",
}


class Figure(Record):
    """One figure, and where it comes from."""

    value: Line = Field(alias="is", description="The quantity with its unit.")
    least: Line | None = Field(
        default=None, description="The least that it may be; what it goes into has a range then."
    )
    most: Line | None = Field(default=None, description="The most that it may be; given with the least.")
    said: Line = Field(alias="from", description="Where it comes from: weighed, maker's plate, a book, a guess.")
    basis: Basis | None = Field(default=None, description="Where it is a figure of the trade, not of this engine.")
    source: SourceRef | None = Field(default=None, description="Key in the bibliography.")
    where_in_source: Line | None = None


class FiguresFile(Record):
    """figures.yaml"""

    figures: dict[Id, Figure]


def measured(name: str, figure: Figure) -> Measure:
    """The figure as a quantity."""
    return read_quantity(figure.value, FIGURES[name][0])


def range_fault(figure: Figure, values: Mapping[str, float]) -> str | None:
    """What is wrong with the range that a figure states. values: "is", "least" and "most", those of them that were read."""
    if (figure.least is None) != (figure.most is None):
        return '"least" and "most" go together. Write both, or neither.'
    if len(values) == 3 and not values["least"] <= values["is"] <= values["most"]:
        return f'"{figure.value}" does not lie from "{figure.least}" to "{figure.most}".'
    return None


def figure_range(name: str, figure: Figure) -> tuple[float, float] | None:
    """The least and the most that a figure may be; None where it states no range."""
    if figure.least is None or figure.most is None:
        return None
    kind = FIGURES[name][0]
    return float(read_quantity(figure.least, kind)), float(read_quantity(figure.most, kind))
