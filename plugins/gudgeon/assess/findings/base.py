"""What all findings share, and the kinds of value that their fields hold.

A field says in its type what kind of value it is: `clearance: Length | None`. The kind gives the grain under which two
values are equal, and tells text for people (`Words`) from what is a change of standing (`Flag`, `Choice`).
"""

import functools
import operator
import types
from dataclasses import dataclass
from typing import TYPE_CHECKING, Annotated, Any, ClassVar, Literal, NoReturn, TypeVar, Union, get_args, get_origin

from pydantic import AfterValidator, BaseModel, ConfigDict, Field


@dataclass(frozen=True)
class Kind:
    """What kind of value a field holds, and within what two of them are equal."""

    name: str
    grain: float = 0.0  # absolute; numbers nearer than this are equal
    relative: float = 0.0  # share of the larger of two numbers


# The nanometre of gudgeon_calc.units.GRAIN, which findings may not import; tests/ledger/test_kinds.py holds the two equal.
GRAIN = 1e-6  # mm
# What the order of a sum may change in a number, and nothing else.
ROUNDING = 1e-9

STATE = Kind("state")
NAMES = Kind("names")
WORDS = Kind("words")

Length = Annotated[float, Kind("length", grain=GRAIN)]  # mm
Temperature = Annotated[float, Kind("temperature", grain=1e-6)]  # °C
TemperatureDifference = Annotated[float, Kind("temperature difference", grain=1e-6)]  # K
Angle = Annotated[float, Kind("angle", grain=1e-6)]  # degrees
Chance = Annotated[float, Kind("chance", grain=1e-6)]  # 0 to 1
Share = Annotated[float, Kind("share", grain=1e-6)]  # 0 to 1
Minutes = Annotated[float, Kind("minutes", grain=1e-6)]
Evenings = Annotated[float, Kind("evenings", grain=1e-6)]
Days = Annotated[float, Kind("days", grain=1e-6)]
Expansion = Annotated[float, Kind("expansion", relative=ROUNDING)]  # per K
Density = Annotated[float, Kind("density", relative=ROUNDING)]  # kg/m³
SpindleSpeed = Annotated[float, Kind("spindle speed", relative=ROUNDING)]  # rpm
Force = Annotated[float, Kind("force", relative=ROUNDING)]  # N
SurfaceSpeed = Annotated[float, Kind("surface speed", relative=ROUNDING)]  # m/min
Divisions = Annotated[float, Kind("divisions", grain=1e-6)]  # of a dial
Ratio = Annotated[float, Kind("ratio", grain=1e-12, relative=ROUNDING)]  # a number without a unit
Number = Annotated[float, Kind("number", relative=ROUNDING)]  # its unit stands beside it
Count = Annotated[int, Kind("count")]

# A change of these is a change of standing: a truth, or one word of a fixed set.
Flag = Annotated[bool, STATE]
Choice = Annotated[str, STATE]
State = Annotated[
    Literal["no reading", "no limit", "metal on", "in", "reads in", "reads out", "out", "stale", "frozen", "conceded"],
    STATE,
]
Conformity = Annotated[Literal["in", "reads in", "reads out", "out"], STATE]
RowStatus = Annotated[Literal["current", "past", "stale", "frozen", "superseded", "withdrawn", "held back"], STATE]

# Ids of records, keys of the bibliography, and places on a part.
Name = Annotated[str, NAMES]
Names = Annotated[tuple[str, ...], NAMES]
Places = Annotated[tuple[tuple[float | None, float | None], ...], NAMES]
Day = Annotated[str, Kind("day")]  # 2025-03-18

# Text for people. A change of it is a change of text and never a number that moved.
Words = Annotated[str, WORDS]
Texts = Annotated[tuple[str, ...], WORDS]

Key = TypeVar("Key")
Item = TypeVar("Item")


class ReadOnly(dict[Key, Item]):
    """A dict that nobody changes once it is made."""

    def _refused(self, *_: Any, **__: Any) -> NoReturn:
        raise TypeError("findings are not changed once they are made")

    if not TYPE_CHECKING:  # a checker holds them to a dict's signatures
        __setitem__ = __delitem__ = __ior__ = clear = pop = popitem = setdefault = update = _refused

    def __reduce__(self):
        return ReadOnly, (dict(self),)


# Findings by name.
Table = Annotated[dict[Key, Item], AfterValidator(ReadOnly)]


def bare(annotation: Any) -> Any:
    """The type of a field without the kinds in it."""
    origin: Any = get_origin(annotation)
    arguments = get_args(annotation)
    if origin is Annotated:
        return bare(arguments[0])
    if origin in (Union, types.UnionType):
        return functools.reduce(operator.or_, (bare(part) for part in arguments))
    if origin in (list, dict, tuple):
        container: Any = types.GenericAlias(origin, tuple(bare(part) for part in arguments))
        return container
    return annotation


class Finding(BaseModel):
    """Base of all findings: none is changed once it is made; `model_copy(update=...)` makes another."""

    # Every field is always written, so readers of findings.json may count on it. What was handed out stays as it is.
    model_config = ConfigDict(extra="forbid", frozen=True, json_schema_serialization_defaults_required=True)

    # The fields that tell an entry from the others where the model stands in a list; () where only its place does.
    key: ClassVar[tuple[str, ...]]


class Source(Finding):
    """Where the record behind a finding stands."""

    # A position in a file is no value of the finding: its fields have no kind.
    file: str = Field(description="File, from the project's root.")
    line: int = Field(description="Line, from 1.")


class Note(Finding):
    """Something to be told: a code with the values that its sentence is made of. gudgeon.notes has the sentences."""

    key = ("code", "subject")

    code: Choice = Field(description="Which sentence it is.")
    subject: Name | None = Field(default=None, description="What it is about, where that is not what holds the note.")
    lengths: Table[str, Length] = Field(default_factory=ReadOnly, description="Lengths in it by name, mm.")
    ratios: Table[str, Ratio] = Field(default_factory=ReadOnly, description="Numbers without a unit.")
    kelvins: Table[str, TemperatureDifference] = Field(default_factory=ReadOnly, description="Differences, K.")
    temperatures: Table[str, Temperature] = Field(default_factory=ReadOnly, description="Temperatures, °C.")
    chances: Table[str, Chance] = Field(default_factory=ReadOnly, description="0 to 1.")
    minutes: Table[str, Minutes] = Field(default_factory=ReadOnly, description="Times, minutes.")
    speeds: Table[str, SurfaceSpeed] = Field(default_factory=ReadOnly, description="Surface speeds, m/min.")
    forces: Table[str, Force] = Field(default_factory=ReadOnly, description="Forces, N.")
    days: Table[str, Day] = Field(default_factory=ReadOnly, description="Days, such as 2025-03-18.")
    counts: Table[str, Count] = Field(default_factory=ReadOnly, description="How many.")
    names: Table[str, Names] = Field(default_factory=ReadOnly, description="Ids of records and keys of tables.")
    words: Table[str, Words] = Field(
        default_factory=ReadOnly, description="Words as written, or as a kind of fit or a sum has them."
    )
    because: "Note | None" = Field(default=None, description="What it comes from, where its sentence says that too.")


class Component(Finding):
    """One line of an uncertainty budget."""

    key = ("name",)

    name: Words = Field(description="What the uncertainty comes from.")
    standard: Length = Field(description="Standard uncertainty, mm.")


class Formula(Finding):
    """A sum that a finding rests on."""

    key = ("what",)

    what: Words = Field(description="What it gives, in words.")
    source: Name = Field(description='Key in the bibliography, "derived" or "common practice".')
