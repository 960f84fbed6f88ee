"""Fits: two features that work together, and the clearance that is wanted."""

from typing import TYPE_CHECKING, Annotated, Literal

from pydantic import AfterValidator, Field, model_validator

from gudgeon.records.base import Record
from gudgeon.records.fields import Date, FeatureRef, FormerIds, Id, Length, Line, Words, limits_pair

# Kind of fit -> the end of the wanted range that hurts.
DANGER = {
    "skirt": "tight",
    "top_land": "tight",
    "ring_gap": "tight",
    "ring_side": "tight",
    "pin": "tight",
    "bearing": "tight",
    "stem": "tight",
    "press": "loose",
    "wheel_seat": "loose",
    "key_taper": "loose",
}

# A type checker reads a plain word here; which words there are stands above, once.
if TYPE_CHECKING:
    FitKind = str
else:
    FitKind = Literal[tuple(DANGER)]
# Kinds that have to keep some clearance, hot or cold; the others hold by interference or by a taper.
RUNNING = ("skirt", "top_land", "ring_gap", "ring_side", "pin", "bearing", "stem")
# Kinds whose rules of thumb count on the outer part's diameter; the others count on the inner part's.
BY_THE_HOLE = ("skirt", "top_land", "ring_gap")
Want = Annotated[tuple[Length, Length], AfterValidator(limits_pair)]


class EarlierWant(Record):
    """A range that was wanted before, kept so that nobody goes back to it unawares."""

    want: Want
    rule: Id | None = Field(default=None, description="The rule that it followed.")
    until: Date | None = Field(default=None, description="The day on which it was given up.")
    because: Words = Field(description="Why it was given up.")


class Fit(Record):
    """A fit. Clearances are diametral; positive is clearance, negative interference."""

    name: Line
    kind: FitKind
    hole: FeatureRef | None = None
    shaft: FeatureRef | None = None
    gap: FeatureRef | None = Field(default=None, description="Of a ring_gap: the closed gap, read in the hole.")
    keyway: FeatureRef | None = None
    key: FeatureRef | None = None
    bears_over: FeatureRef | None = Field(
        default=None, description="Of a key_taper: the feature whose length they bear on."
    )
    want: Want | None = Field(
        default=None, description="Least and most clearance wanted; without it what the class or the rule gives."
    )
    fit_class: Line | None = Field(
        default=None, alias="class", description="A class of fit: 25 H7/g6, or RC4 at the hole's nominal size."
    )
    rule: Id | None = Field(default=None, description="The rule of thumb that it cites.")
    rule_case: Id | None = Field(default=None, description="Which of the rule's cases, where it has several.")
    because: Words | None = Field(default=None, description="Why this range, in words.")
    danger: Literal["tight", "loose"] | None = Field(
        default=None, description="The end that hurts; without it the usual one of the kind."
    )
    hot: tuple[Id, ...] = Field(default=(), description="Temperature cases of the build in which it is worked out hot.")
    wanted_before: tuple[EarlierWant, ...] = ()
    note: Words | None = None
    formerly: FormerIds = ()

    @model_validator(mode="after")
    def _has_its_halves(self):
        needs = {"ring_gap": ("hole", "gap"), "key_taper": ("keyway", "key", "bears_over")}.get(
            self.kind, ("hole", "shaft")
        )
        for name in needs:
            if getattr(self, name) is None:
                raise ValueError(f'a {self.kind} fit needs "{name}". Add the line "{name}: part.feature".')
        if self.want is None and self.rule is None and self.fit_class is None and self.kind != "key_taper":
            raise ValueError('nothing says what is wanted. Add "want: [least, most]", "rule: id" or "class: 25 H7/g6".')
        return self

    @property
    def dangerous(self) -> str:
        """ "tight" or "loose": the end that hurts."""
        return self.danger or DANGER[self.kind]

    @property
    def halves(self) -> tuple[str, ...]:
        """The features that the fit rests on."""
        return tuple(ref for ref in (self.hole, self.shaft, self.gap, self.keyway, self.key) if ref)


class FitsFile(Record):
    """fits.yaml"""

    fits: dict[Id, Fit]
