"""The build itself and what its shop owns: build.yaml, instruments.yaml, machines.yaml, materials.yaml, reviews.yaml."""

import datetime
import math
from typing import Annotated, Any, Literal

from gudgeon_calc.units import Measure, reaches
from pydantic import AfterValidator, Discriminator, Field, Tag, field_validator, model_validator

from gudgeon.records.base import Record
from gudgeon.records.cutting import Cutting
from gudgeon.records.fields import (
    Angle,
    CaseTemperature,
    Date,
    Density,
    ErrorOfTemperature,
    Expansion,
    Feed,
    FormerIds,
    FormError,
    GaugeError,
    Id,
    Length,
    Line,
    PositiveDepth,
    PositiveError,
    PositiveLength,
    Pressure,
    Speed,
    Temperature,
    TemperatureDifference,
    Time,
    VerdictRef,
    Words,
    limits_pair,
)
from gudgeon.records.licences import Licence
from gudgeon.records.people import Evenings, Person
from gudgeon.records.refs import (
    AboutRef,
    BuildMaterialRef,
    ClubMaterialRef,
    InstrumentRef,
    PersonRef,
    SourceRef,
    ThermometerRef,
)
from gudgeon.records.running import Upkeep
from gudgeon.records.withdrawals import key_of_entry, model_chosen

EachSession = Literal["each session"]
EACH_SESSION: EachSession = "each session"
Never = Literal["never"]
NEVER: Never = "never"
Basis = Literal["published", "seen in a secondary print", "common practice", "from memory"]


Cooling = Literal["hopper", "tank", "air"]
Running = Literal["no load", "short spells", "steady load"]


class Engine(Record):
    """The engine's leading figures."""

    layout: Line
    bore: PositiveLength | None = None
    stroke: PositiveLength | None = None
    rod_centres: PositiveLength | None = None
    speed: Speed | None = Field(default=None, description="Governed speed.")
    cooling: Cooling | None = None
    running: Running | None = Field(
        default=None, description="How it is run: without load as at shows, under load in short spells, or steadily."
    )
    compression_ratio: float | None = Field(default=None, gt=1, le=30)
    flywheels: int | None = Field(default=None, ge=0, le=4)
    fuel: Line | None = None


class Club(Record):
    """The club the build belongs to."""

    name: Line
    invented: bool = Field(default=False, description="True for demo data: no real club, people or engine.")


class Case(Record):
    """A named state of heat: how hot the outer and the inner part are."""

    hole: CaseTemperature
    shaft: CaseTemperature
    within: TemperatureDifference | None = Field(
        default=None, description="How well each is known, plus or minus, where it does not say so itself: 155 ± 20 °C."
    )
    says: Line | None = None


class Thermometer(Record):
    """What temperatures are read with. Its error is one and the same in everything that it read."""

    name: Line
    within: ErrorOfTemperature = Field(description="How well it is known to read, plus or minus.")


class Licences(Record):
    """Under which licence others may use what lies in the build's folder, each by its SPDX identifier.

    What is not named stays its owner's: nobody may pass it on without asking.
    """

    data: Licence | None = Field(default=None, description="Specs, readings, operations.")
    text: Licence | None = Field(default=None, description="The story.")
    photos: Licence | None = None
    patterns: Licence | None = Field(default=None, description="Pattern sizes and drawings.")


class BuildFile(Record):
    """build.yaml"""

    format: int = Field(
        default=1,
        ge=1,
        le=999_999,
        description="The format that the build's records are written in; without it the first. gudgeon migrate writes it.",
    )
    name: Line
    about: Words | None = None
    engine: Engine
    units: Literal["in", "mm"] = Field(description="The unit that the drawings use; the other stands beside it.")
    stage: Line
    people: dict[Id, Person]
    club: Club
    evenings: Evenings | None = None
    cutting: Cutting | None = None
    licences: Licences | None = None
    formerly: FormerIds = Field(
        default=(),
        description="Names that the build's folder had, the oldest first: addresses with them still lead here, and who follows the build "
        "gets nothing twice.",
    )
    feed_base: Line | None = Field(
        default=None,
        description="What the ids in the build's feed are made of, where it is not its club's name and the first name of its folder. "
        "Before the club is renamed, write here what they were made of: Old name/folder.",
    )
    upkeep: dict[Id, Upkeep] = Field(
        default={}, description="What has to be done after hours of running; running.yaml says how long it ran."
    )
    cases: dict[Id, Case] = Field(default={}, description="Temperature cases for hot clearances.")
    thermometers: dict[Id, Thermometer] = Field(
        default={}, description="What the temperatures of part and instrument are read with."
    )
    thermometer: ThermometerRef | None = Field(
        default=None,
        description="The one that read them where a row names none; without it those of one day and hand share one.",
    )


class FoundOff(Record):
    """An instrument that turned out to read wrong: what it was read with meanwhile is known to be off by as much."""

    reads_high: GaugeError = Field(description="How much it read too high; negative is too low.")
    found: Date = Field(description="The day of the check that showed it.")
    since: Date | None = Field(
        default=None, description="From when it may have been so; without it from its last good check."
    )
    was_reset: bool = Field(
        default=True,
        description="Whether it was put right on the day it was found, before anything was read that day: readings of the day count as "
        "sound. false: it still reads so, and readings of that day and later are corrected.",
    )
    how: Line = Field(description="What the check showed.")


class Instrument(Record):
    """An instrument, with expanded uncertainties (k = 2)."""

    name: Line
    range: Annotated[tuple[Length, Length], AfterValidator(limits_pair)] | None = Field(
        default=None, description="Least and most that it can reach."
    )
    resolution: PositiveError = Field(description="The smallest step it shows.")
    scale: PositiveError | None = Field(default=None, description="Expanded uncertainty of its own scale or zero.")
    scale_from: InstrumentRef | None = Field(
        default=None, description="The instrument it is set in: their scale error is one and the same."
    )
    use: FormError = Field(description="Expanded uncertainty of use: feel and repeat in these hands.")
    use_readings: int | None = Field(
        default=None, ge=2, le=10_000, description="How many repeated readings the uncertainty of use rests on."
    )
    contacts: int | None = Field(default=None, ge=2, le=3, description="Two-point or three-point.")
    vee: Angle | None = Field(
        default=None,
        description="Of an indicator over the middle of a vee block: the angle of the vee. It reads the indicator's full "
        "movement over one turn, which shows lobes and no diameter.",
    )
    cte: Expansion
    checked: Date | EachSession | Never
    due: Date | EachSession | None = Field(
        default=None, description="The day of its next check; may be left out of what was never checked."
    )
    check: Line | None = Field(default=None, description="What the check showed.")
    found_off: FoundOff | None = None
    temp_within: ErrorOfTemperature | None = Field(
        default=None,
        description="How well its and the part's temperature are known, plus or minus, where no thermometer is named.",
    )
    formerly: FormerIds = ()

    def can_reach(self, size: float) -> bool:
        """Whether a size in mm lies within its range; what states no range reaches everything."""
        low, high = self.range or (0.0, math.inf)
        return reaches(size, float(low)) and reaches(float(high), size)

    def is_overdue(self, day: datetime.date) -> bool:
        """Whether its check was due before a day."""
        return isinstance(self.due, datetime.date) and day > self.due

    @field_validator("vee")
    @classmethod
    def _vee_is_one(cls, vee: Measure | None) -> Measure | None:
        if vee is not None and not 0 < float(vee) < 180:
            raise ValueError(f"no vee has {vee}. Write the angle between its sides: 60 deg, 90 deg.")
        return vee

    @model_validator(mode="after")
    def _is_due(self):
        if self.due is None and self.checked != NEVER:
            raise ValueError(
                'nothing says when its next check is due. Add the line "due: 2026-01-31", or "checked: never".'
            )
        return self

    @model_validator(mode="after")
    def _has_a_scale(self):
        if (self.scale is None) == (self.scale_from is None):
            raise ValueError('a scale is its own or another\'s. Write either "scale: 0.0002 in" or "scale_from: id".')
        return self


class InstrumentsFile(Record):
    """instruments.yaml"""

    instruments: dict[Id, Instrument]


class Tool(Record):
    """The least a tool can take off."""

    least_cut: PositiveDepth
    tool: Line


class Machine(Record):
    """A lathe or other machine."""

    name: Line
    speeds: tuple[Speed, ...] = Field(description="The spindle's ladder.")
    feeds: tuple[Feed, ...] = Field(description="The feed ladder, per revolution.")
    dial_reads: Literal["radius", "diameter"]
    dial_division: PositiveError
    taper: Line | None = Field(default=None, description="Known taper, in words, with how it was found.")
    cutting: Cutting | None = None
    clean_cut: Tool | None = Field(default=None, description="Least cut that is clean, on diameter.")


class MachinesFile(Record):
    """machines.yaml"""

    machines: dict[Id, Machine]


class OtherFigure(Record):
    """What another source prints."""

    cte: Expansion
    source: SourceRef
    where_in_source: Line
    of: Line | None = None


class Material(Record):
    """A material: the figures that the sums need, each with where it comes from."""

    name: Line
    like: ClubMaterialRef | None = Field(
        default=None, description="The club's material that this one is; what it does not say is taken from there."
    )
    cte: Expansion | None = Field(default=None, description="Mean linear expansion.")
    cte_within: Expansion | None = Field(default=None, description="Plus or minus; taken as lying evenly within.")
    shell: BuildMaterialRef | None = Field(
        default=None, description="Of a thin lining bonded to a shell: the shell's material, whose growth governs."
    )
    valid: Annotated[tuple[Temperature, Temperature], AfterValidator(limits_pair)] | None = Field(
        default=None, description="Temperatures that the coefficient holds for."
    )
    density: Density | None = None
    stiffness: Pressure | None = Field(default=None, description="Young's modulus.")
    stiffness_within: Pressure | None = Field(
        default=None, description="Plus or minus: grey iron's modulus is a range, not a number."
    )
    poisson: float | None = Field(default=None, ge=0, le=0.5, description="Poisson's ratio.")
    stiffness_source: SourceRef | None = None
    stiffness_where: Line | None = None
    source: SourceRef | None = Field(default=None, description="Key in the bibliography.")
    where_in_source: Line | None = None
    basis: Basis | None = None
    density_source: SourceRef | None = None
    density_where: Line | None = None
    said: Line | None = Field(default=None, description="Where the figure comes from, in words.")
    others: tuple[OtherFigure, ...] = Field(default=(), description="What other sources print for the expansion.")


class MaterialsFile(Record):
    """materials.yaml of a build"""

    materials: dict[Id, Material]


class Review(Record):
    """What a person said of fits or features. A verdict is a person's, never computed."""

    id: Id | None = Field(
        default=None, description="Needed only where another verdict of the same day and person is withdrawn."
    )
    date: Date
    who: PersonRef
    verdict: Literal["agreed", "changes asked", "concession"]
    says: Words
    about: tuple[AboutRef, ...] = ()
    pull_request: int | None = Field(default=None, ge=1, le=9_999_999)
    allow: Annotated[tuple[Length, Length], AfterValidator(limits_pair)] | None = Field(
        default=None, description="Of a concession: the range that is let stand."
    )
    recheck: Date | None = Field(default=None, description="Of a concession: the day it ends.")
    recheck_after: Time | None = Field(
        default=None, description="Of a concession: hours of running after which it ends."
    )

    @property
    def day_and_person(self) -> str:
        """How a verdict without an id is named: its day and who."""
        return f"{self.date} {self.who}"

    @model_validator(mode="after")
    def _concession_is_bounded(self):
        ends = self.recheck is not None or self.recheck_after is not None
        if self.verdict == "concession" and (self.allow is None or not ends or not self.about):
            raise ValueError(
                'a concession names what it is about, what it allows and when it ends. Write "about", "allow" and "recheck" or "recheck_after".'
            )
        return self


class ReviewWithdrawal(Record):
    """An entry with which a person takes a verdict of theirs back: the verdict stays, with the reason, and no longer counts."""

    id: Id | None = None
    date: Date
    who: PersonRef = Field(description="Who takes it back: the person whose verdict it was.")
    withdraws: VerdictRef = Field(description="The verdict, by its id or by its date and who.")
    because: Words = Field(description="Why it is withdrawn.")
    pull_request: int | None = Field(default=None, ge=1, le=9_999_999)

    @model_validator(mode="before")
    @classmethod
    def _is_no_verdict(cls, data: Any) -> Any:
        if key := key_of_entry(Review, cls, data):
            raise ValueError(
                f'an entry that withdraws a verdict gives none itself. Take out "{key}", and give a new verdict '
                "in an entry of its own."
            )
        return data


ReviewEntry = Annotated[
    Annotated[Review, Tag(Review.__name__)] | Annotated[ReviewWithdrawal, Tag(ReviewWithdrawal.__name__)],
    Discriminator(model_chosen(Review, ReviewWithdrawal)),
]


class ReviewsFile(Record):
    """reviews.yaml"""

    reviews: tuple[ReviewEntry, ...]
