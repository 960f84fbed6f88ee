"""How work was held for an operation, and where an indicator ran on it."""

from pydantic import Field, model_validator

from gudgeon.records.base import Record
from gudgeon.records.fields import Angle, Date, Length, Line, Readings, Words
from gudgeon.records.refs import FeatureRef, GaugeRef, PersonRef

USUAL_ANGLES = (0.0, 90.0, 180.0, 270.0)


class IndicatorRun(Record):
    """What an indicator showed over one turn at one place along the work."""

    station: Length | None = Field(
        default=None,
        description="Where along the axis, counted as the part's stations are; the one nearest the jaws first.",
    )
    reads: Readings = Field(
        description="At each of the angles in turn, greater where the work is high: 0 1.5 2.0 0.5 thou."
    )


class SetUp(Record):
    """How the work was held, and how true it ran."""

    date: Date
    by: PersonRef | None = None
    held: Words = Field(description="Chuck, faceplate or centres; the grip, packing, stops, steady.")
    surface: FeatureRef | None = Field(default=None, description="The surface that the indicator ran on.")
    indicator: GaugeRef | None = None
    zero: Line | None = Field(default=None, description="Where 0° is on the work, such as: jaw 1, thrust side.")
    angles: tuple[Angle, ...] = Field(
        default=(), description="Angles that it was read at; without them 0°, 90°, 180° and 270°, jaw 1 at 0°."
    )
    runs: tuple[IndicatorRun, ...] = Field(default=(), description="Two places along the work tell its tilt too.")
    note: Words | None = None

    @property
    def turns(self) -> tuple[float, ...]:
        """The angles that it was read at, degrees."""
        return tuple(float(angle) for angle in self.angles) or USUAL_ANGLES

    @model_validator(mode="after")
    def _can_tell_an_offset(self) -> "SetUp":
        turns = self.turns
        if len({turn % 360.0 for turn in turns}) < len(turns) or len(turns) < 3:
            raise ValueError(
                'the offset takes three angles or more, each once. Write "angles: [0 deg, 120 deg, 240 deg]".'
            )
        for run in self.runs:
            if len(run.reads) != len(turns):
                raise ValueError(
                    f"{len(turns)} angles and {len(run.reads)} readings do not go together. Write a reading for each angle: "
                    f"{', '.join(f'{turn:g}°' for turn in turns)}."
                )
        stations = [run.station for run in self.runs]
        if len(stations) > 1 and (
            None in stations or len({float(at) for at in stations if at is not None}) < len(stations)
        ):
            raise ValueError('several runs of the indicator need a "station" each, and no two the same.')
        return self
