"""figures.yaml: what the sums need beside sizes, such as gas pressures, masses and torques."""

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
    "energy_fluctuation": ("energy", "greatest fluctuation of energy in a cycle, from a torque diagram"),
    "wheel_rim_strength": ("number", "strength of the rim's joint over that of a solid rim; 1 for one piece"),
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
    "seat_length": ("length", "length of the flywheel's seat on the shaft"),
    "seat_friction": ("number", "coefficient of friction of a press or shrink fit"),
    "entry_clearance": ("length", "clearance to drop a hot hub over its shaft"),
    "engine_mass": ("mass", "the engine without its foundation"),
    "foundation_mass": ("mass", "the foundation"),
}
# Computed figures that a caution may watch -> kind of quantity. A test holds them against the calculations.
WATCHED = {
    "rim-speed": "velocity",
    "rim-speed-runaway": "velocity",
    "rim-stress-runaway": "pressure",
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
