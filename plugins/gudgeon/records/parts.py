"""A part and its features: the spec, what is intended."""

from collections.abc import Callable, Sequence
from typing import TYPE_CHECKING, Annotated, Literal, TypeVar, get_args

from gudgeon_calc.limits_and_fits import Limits as TableLimits
from gudgeon_calc.limits_and_fits import NotInTable, read_tolerance
from gudgeon_calc.units import KINDS, Measure, NotAQuantity, read_quantity
from pydantic import AfterValidator, Field, ValidationInfo, field_validator

from gudgeon.records.base import Record
from gudgeon.records.bounds import within_kind
from gudgeon.records.fields import (
    Angle,
    FormerIds,
    FormError,
    Id,
    Length,
    Line,
    Words,
    limits_pair,
)
from gudgeon.records.refs import FeatureRef, MateRef, MaterialRef, PhotoName

Limits = Annotated[tuple[Length, Length], AfterValidator(limits_pair)]
# A wider span could not tell a slipped point from an honest reading.
WIDEST = 8


def _plausible_pair(pair: tuple[Measure, Measure]) -> tuple[Measure, Measure]:
    least, most = limits_pair(pair)
    if not 0 < float(least) * WIDEST >= float(most):
        raise ValueError(f"the least must be over 0, and the most at most {WIDEST} times the least.")
    return pair


Plausible = Annotated[tuple[Length, Length], AfterValidator(_plausible_pair)]
MetalSide = Literal["external", "internal"]

Sized = TypeVar("Sized")

# What a feature is -> the kind of quantity that its nominal is, or None where it has none.
FEATURE_KINDS = {
    "bore": "length",
    "od": "length",
    "slot": "length",
    "thickness": "length",
    "gap": "length",
    "length": "length",
    "play": "length",
    "radius": "length",
    "taper": "ratio",
    "speed": "speed",
    "angle": "angle",
    "volume": "volume",
    "drip rate": "drip rate",
    "cone": "angle",
    "thread": "length",
    "force": "force",
    "flat": "length",
    "form": None,
    "vessel": None,
}

# A type checker reads a plain word here; which words there are stands above, once.
if TYPE_CHECKING:
    FeatureKind = str
else:
    FeatureKind = Literal[tuple(FEATURE_KINDS)]
DIAMETERS = ("bore", "od")

FamilyName = Literal[
    "cylinder",
    "head",
    "piston",
    "ring",
    "pin",
    "rod",
    "bush",
    "bearing",
    "crankshaft",
    "flywheel",
    "key",
    "valve",
    "gears",
    "governor",
    "ignition",
    "mixer",
    "cooling",
    "oiler",
    "base",
]
FAMILIES = get_args(FamilyName)


class Plan(Record):
    """Where a feature is to be measured."""

    stations: tuple[Length, ...] = Field(default=(), description="Distances along the axis.")
    angles: tuple[Angle, ...] = Field(default=(), description="Angles round the axis.")
    zero: Line | None = Field(default=None, description="What stations and angles are counted from.")


class Feature(Record):
    """One surface or distance of a part, as intended."""

    name: Line
    kind: FeatureKind
    nominal: Line | None = Field(
        default=None, description="Intended size with its unit; for a taper a ratio such as 1:96."
    )
    limits: Limits | None = Field(default=None, description="Least and most size allowed, least first.")
    plausible: Plausible | None = Field(
        default=None,
        description="Least and most that a reading of it can be at all, where neither limits nor a nominal say what it is: "
        "beyond them a slip of the pen is looked for. Nothing else goes by it.",
    )
    tolerance: Line | None = Field(
        default=None,
        description="Basic size and ISO 286 class, such as 45 H7; gives the limits where none are written.",
    )
    metal_side: MetalSide | None = Field(
        default=None, description="external: cutting makes it smaller; internal: cutting makes it larger."
    )
    mates: tuple[MateRef, ...] = Field(default=(), description="What it fits: part.feature, or a part.")
    depends_on: tuple[FeatureRef, ...] = Field(
        default=(), description="Features whose change moves this one without a cut on it."
    )
    plan: Plan | None = None
    extent: Annotated[tuple[Length, Length], AfterValidator(limits_pair)] | None = Field(
        default=None, description="From and to along the axis; a station outside is refused."
    )
    swept: Annotated[tuple[Length, Length], AfterValidator(limits_pair)] | None = Field(
        default=None, description="The length of a bore that the mate travels; without it every station counts."
    )
    oval_most: FormError | None = None
    taper_most: FormError | None = None
    flat_most: FormError | None = Field(default=None, description="Of a flat: how far out of flat it may be.")
    detail: Line | None = Field(default=None, description="What else the drawing says, in words.")
    note: Words | None = None
    formerly: FormerIds = ()

    @field_validator("nominal")
    @classmethod
    def _nominal_fits_kind(cls, nominal: str | None, info: ValidationInfo) -> str | None:
        name = info.data.get("kind")
        if nominal is not None and name is not None:
            kind = FEATURE_KINDS[name]
            if kind is None:
                raise ValueError(f'a {name} has no nominal size. Found "{nominal}". Write it under "detail".')
            within_kind(read_quantity(nominal, kind))
        return nominal

    @field_validator("tolerance")
    @classmethod
    def _tolerance_is_held(cls, tolerance: str | None) -> str | None:
        if tolerance is not None:
            try:
                read_tolerance(tolerance)
            except NotInTable as error:
                raise ValueError(str(error)) from None
        return tolerance

    @property
    def table_limits(self) -> TableLimits | None:
        """What its tolerance class stands for, or None."""
        return read_tolerance(self.tolerance) if self.tolerance else None

    @property
    def allowed(self) -> tuple[float, float] | None:
        """Least and most size allowed, mm: as written, or by its tolerance class; of a flat, from nought."""
        if self.limits:
            return float(self.limits[0]), float(self.limits[1])
        table_limits = self.table_limits
        if table_limits:
            return table_limits.low, table_limits.high
        return (0.0, float(self.flat_most)) if self.flat_most is not None else None

    @property
    def size(self) -> float | None:
        """The nominal in the base unit of its kind (mm, deg, rpm, 1/ratio), or None."""
        return None if self.nominal is None else float(read_quantity(self.nominal, FEATURE_KINDS[self.kind]))

    @property
    def least_decides(self) -> bool:
        """Whether the least of its sizes decides and not the greatest: of what cutting makes larger."""
        if self.metal_side is None:
            return self.kind in ("bore", "slot", "gap")
        return self.metal_side == "internal"

    def deciding(self, sizes: Sequence[Sized], key: Callable[[Sized], float]) -> Sized:
        """The one of some sizes, of which there is at least one, that decides. key: the size in mm."""
        return min(sizes, key=key) if self.least_decides else max(sizes, key=key)

    @property
    def is_length(self) -> bool:
        """Whether its size is a length that can be read."""
        return FEATURE_KINDS[self.kind] == "length"


class Part(Record):
    """A part of the engine."""

    part: Id = Field(description="The same as the file's name.")
    name: Line
    also: Line | None = Field(default=None, description="The other side of the ocean's word, or another name.")
    family: FamilyName
    material: MaterialRef
    state: Line = Field(description="How far the part is, in the builder's words.")
    made_from: Line | None = Field(default=None, description="Pattern, heat, stock.")
    features: dict[Id, Feature] = Field(min_length=1)
    spokes: int | None = Field(default=None, ge=0, le=12, description="Of a flywheel; 0 for a plain disc.")
    rim_joints: int | None = Field(
        default=None, ge=0, le=24, description="Of a flywheel: how many joints its rim has; 0 for one piece."
    )
    cast: bool = Field(
        default=False, description="true: cast from a pattern; the pattern's sizes are worked out for its lengths."
    )
    photos: tuple[PhotoName, ...] = ()
    note: Words | None = None
    formerly: FormerIds = ()


__all__ = ["DIAMETERS", "FAMILIES", "FEATURE_KINDS", "KINDS", "Feature", "Limits", "NotAQuantity", "Part", "Plan"]
