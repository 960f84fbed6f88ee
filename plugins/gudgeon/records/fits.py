"""Fits: two features that work together, and the clearance that is wanted."""

from typing import Annotated

from pydantic import AfterValidator, Field, model_validator

from gudgeon.records.base import Record
from gudgeon.records.fields import Clearance, Date, FormerIds, Id, Line, Words, limits_pair
from gudgeon.records.fit_kinds import FIT_KINDS, FitKindName
from gudgeon.records.fit_kinds.kind import FitKind, Pairing, Side
from gudgeon.records.refs import CaseRef, FeatureRef, RuleRef

Want = Annotated[tuple[Clearance, Clearance], AfterValidator(limits_pair)]


# Keys that name the features of a fit; which of them a kind takes, its pairings say.
HALVES = ("hole", "shaft", "gap", "keyway", "key", "bears_over")


class EarlierWant(Record):
    """A range that was wanted before, kept so that nobody goes back to it unawares."""

    want: Want
    rule: RuleRef | None = Field(default=None, description="The rule that it followed.")
    until: Date | None = Field(default=None, description="The day on which it was given up.")
    because: Words = Field(description="Why it was given up.")


class Fit(Record):
    """A fit. Clearances are diametral, or in all along an axis; positive is clearance, negative interference."""

    name: Line
    kind: FitKindName
    hole: FeatureRef | None = None
    shaft: FeatureRef | None = None
    gap: FeatureRef | None = Field(
        default=None, description="A gap read as one: the closed gap of a ring, read in the hole."
    )
    keyway: FeatureRef | None = None
    key: FeatureRef | None = None
    bears_over: FeatureRef | None = Field(
        default=None, description="Of a key_taper: the feature whose length they bear on."
    )
    direct: FeatureRef | None = Field(
        default=None,
        description="A gap in which the clearance was read directly, with feelers or plastic strip: held against the difference of the sizes.",
    )
    want: Want | None = Field(
        default=None, description="Least and most clearance wanted; without it what the class or the rule gives."
    )
    fit_class: Line | None = Field(
        default=None, alias="class", description="A class of fit: 25 H7/g6, or RC4 at the hole's nominal size."
    )
    rule: RuleRef | None = Field(default=None, description="The rule of thumb that it cites.")
    rule_case: Id | None = Field(default=None, description="Which of the rule's cases, where it has several.")
    because: Words | None = Field(default=None, description="Why this range, in words.")
    danger: Side | None = Field(default=None, description="The end that hurts; without it the usual one of the kind.")
    hot: tuple[CaseRef, ...] = Field(
        default=(), description="Temperature cases of the build in which it is worked out hot."
    )
    wanted_before: tuple[EarlierWant, ...] = ()
    note: Words | None = None
    formerly: FormerIds = ()

    @model_validator(mode="after")
    def _has_its_halves(self):
        # The way in which it is written has to be one of its kind's.
        pairing = self.pairing
        if self.hole is not None and self.hole == self.shaft:
            raise ValueError(f'hole and shaft are one feature, "{self.hole}". Name the two that meet.')
        if self.hot and (pairing.hot is None or not set(pairing.hot_needs) <= self._given):
            lacks = " and ".join(f'"{name}: part.feature"' for name in pairing.hot_needs if name not in self._given)
            how = f"Add {lacks}, the lengths that grow" if lacks else "Remove the line"
            raise ValueError(f"heat cannot be worked out for this {self.kind} fit. {how}.")
        if self.fit_class is not None and not pairing.takes_class:
            raise ValueError(f'a class of fit is for a hole and a shaft, not for a {self.kind} fit. Write "want".')
        if self.want is None and self.rule is None and self.fit_class is None and self.of_kind.stated is None:
            raise ValueError('nothing says what is wanted. Add "want: [least, most]", "rule: id" or "class: 25 H7/g6".')
        return self

    @property
    def of_kind(self) -> FitKind:
        """What its kind says."""
        return FIT_KINDS[self.kind]

    @property
    def pairing(self) -> Pairing:
        """The way in which it is written."""
        return self.of_kind.pairing_of(self._given)

    @property
    def _given(self) -> set[str]:
        """The keys that name features."""
        return {name for name in HALVES if getattr(self, name) is not None}

    @property
    def dangerous(self) -> Side:
        """The end that hurts."""
        return self.danger or self.of_kind.dangerous

    @property
    def outer(self) -> str | None:
        """The outer half; None where only the gap between the halves is read."""
        return getattr(self, self.pairing.outer) if self.pairing.outer else None

    @property
    def inner(self) -> str:
        """The inner half, or the gap."""
        return getattr(self, self.pairing.inner)

    @property
    def grows(self) -> tuple[str | None, str | None]:
        """The features whose parts grow with heat, the outer first."""
        outer, inner = self.pairing.grows
        return getattr(self, outer), getattr(self, inner)

    def named(self, key: str) -> str:
        """The feature that it names under a key which its pairing needs."""
        ref = getattr(self, key)
        assert ref is not None, f"a {self.kind} fit is written with {key}"
        return ref

    @property
    def counted_on(self) -> str | None:
        """The feature whose size a rule of thumb multiplies."""
        return getattr(self, self.of_kind.rules_count_on) if self.of_kind.rules_count_on else None

    @property
    def halves(self) -> tuple[str, ...]:
        """The features that the fit rests on."""
        return tuple(ref for ref in (self.hole, self.shaft, self.gap, self.keyway, self.key, self.direct) if ref)


class FitsFile(Record):
    """fits.yaml"""

    fits: dict[Id, Fit]
