"""Findings of fits, rules and rings."""

from typing import Annotated, Literal

from pydantic import Field

from gudgeon.assess.findings.base import (
    STATE,
    Chance,
    Choice,
    Component,
    Conformity,
    Day,
    Finding,
    Flag,
    Formula,
    Length,
    Name,
    Names,
    Note,
    Ratio,
    Source,
    State,
    Table,
    Temperature,
    TemperatureDifference,
    Words,
)
from gudgeon.assess.findings.sizes import AsRead, Cell, Stock

EndName = Literal["tight", "loose"]


class HotCase(Finding):
    """A clearance at working temperatures."""

    key = ("case",)

    case: Name = Field(description="Name of the case.")
    hole_temp: Temperature = Field(description="°C.")
    shaft_temp: Temperature = Field(description="°C.")
    hole_within: TemperatureDifference = Field(description="How well the outer part's is known, ± K.")
    shaft_within: TemperatureDifference = Field(description="How well the inner part's is known, ± K.")
    usual_spread: Flag = Field(description="Whether the usual spread stands in because the case states none for one.")
    now: Length = Field(description="Clearance with the sizes as they are, mm.")
    at_target: Length | None = Field(description="Clearance with the unmade half cut to its stop, mm.")
    change: Length = Field(description="Hot less cold clearance of the pair as it is, mm.")
    at_least_wanted: Length | None = Field(description="Clearance if the pair had the least wanted clearance cold, mm.")
    at_most_wanted: Length | None = Field(description="Clearance if the pair had the most wanted clearance cold, mm.")
    chance_closed: Chance | None = Field(
        default=None, description="Of a running fit: chance that no clearance is left, 0 to 1, from U."
    )
    fails: Note | None = Field(default=None, description="How it fails in this case; null where it does not.")
    expanded: Length = Field(description="U from sizes, coefficients and the temperatures of the case, mm.")
    over_sources: tuple[Length, Length] | None = Field(
        default=None,
        description="Least and most clearance over all coefficients that sources print for the two materials, mm.",
    )
    outside_range: tuple[Note, ...] = Field(
        description="Materials used beyond the temperatures that their coefficient holds for."
    )


class EarlierWant(Finding):
    """A range that was wanted before, and what it would have come to hot."""

    key = ("rule", "until")

    want_low: Length = Field(description="mm.")
    want_high: Length = Field(description="mm.")
    rule: Name | None
    until: Day | None
    because: Words = Field(description="Why it was given up.")
    why_outside: Note | None = Field(
        description="Why its rule is not for such a pair; null where it is or does not say."
    )
    hot: Table[str, tuple[Length, Length]] = Field(
        description="Case -> clearance hot at the least and most wanted, mm."
    )


class FitMove(Finding):
    """How a fit's clearance moved."""

    key = ()

    date: Day
    after: Name | None = Field(description="Operation.")
    rows: Names = Field(description="The readings that moved it.")
    clearance: Length = Field(description="mm.")
    known_then: Length | None = Field(
        default=None,
        description="As it was known on that day, mm, where an instrument found off later was in it and moves it; else null.",
    )
    hot_least: Length | None = Field(default=None, description="The same in the tightest of its temperature cases, mm.")
    hot_case: Name | None = Field(default=None, description="That case.")


class DirectReading(Finding):
    """A clearance read directly between two parts, beside the difference of their sizes."""

    of: Name = Field(description="The gap that was read: part.feature.")
    rows: Names = Field(description="Readings.")
    clearance: Length = Field(description="As read, mm at 20 °C.")
    expanded: Length = Field(description="U of that, mm.")
    difference: Length = Field(description="It less the clearance by the sizes, mm.")
    difference_expanded: Length = Field(description="U of the difference, mm, with what both share taken out.")
    error: Ratio = Field(description="Normalised error: the difference over its U.")
    agree: Flag = Field(description="Whether both can be right: the normalised error is not over 1.")


class FitEnd(Finding):
    """One end of a fit, judged at its own worst places."""

    key = ("end",)

    end: Annotated[EndName, STATE]
    clearance: Length = Field(description="The least clearance at the tight end, the most at the loose end, mm.")
    expanded: Length = Field(description="U of that, mm.")
    wanted: Length | None = Field(description="The least, or the most, that is wanted, mm; null where nothing says.")
    conformity: Conformity | None = Field(description="Where it stands; null where nothing says what is wanted.")
    chance: Chance | None = Field(description="Chance that it is truly outside at this end, 0 to 1.")
    hole_at: Cell | None = Field(description="The cell of the outer feature.")
    shaft_at: Cell | None = Field(description="The cell of the inner feature.")


class NearClass(Finding):
    """A standard class beside what a fit wants."""

    key = ("system", "name")

    system: Choice = Field(description="ISO 286 or ANSI B4.1.")
    name: Name = Field(description="Such as H7/f7 or RC5.")
    low: Length = Field(description="Its least clearance, mm.")
    high: Length = Field(description="Its most, mm.")
    off_low: Length = Field(description="Its least less the least that is wanted, mm.")
    off_high: Length = Field(description="Its most less the most that is wanted, mm.")
    basis: Names = Field(description="On what ground its figures stand.")


class PlannedLimits(Finding):
    """Limits of both halves of a fit that is still planned, from what it wants."""

    key = ()

    kept: Choice | None = Field(
        description="The half that is there: hole or shaft. It was read, or it keeps the limits of its specs."
    )
    read: tuple[Length, Length] | None = Field(
        description="Its least and greatest as read, mm; null where its specs or the nominal size stand in for it."
    )
    expanded: tuple[Length, Length] | None = Field(
        description="U of these, mm: its limits are its sizes less and plus that."
    )
    hole: tuple[Length | None, Length | None] | None = Field(
        description="Limits of the hole, mm; null where no tolerance is left, an end null where the want leaves it open."
    )
    shaft: tuple[Length | None, Length | None] | None = Field(description="Limits of the shaft, mm; likewise.")
    cannot: Words | None = Field(description="Why there are none.")
    doubts: tuple[Note, ...] = Field(description="What of the half that was read is not known.")
    classes: tuple[NearClass, ...] = Field(
        description="The nearest classes of each system, nearest first; none where the want has one end only."
    )


class FitFinding(Finding):
    """A fit as it is."""

    id: Name
    name: Words
    kind: Choice
    hole: Name | None = Field(description="The outer feature, or the keyway.")
    shaft: Name | None = Field(description="The inner feature, the gap or the key.")
    state: State = "no reading"
    conformity: Conformity | None = Field(
        default=None, description="Where it stands, whatever the state: the worse of its two ends."
    )
    clearance: Length | None = Field(default=None, description="At the worst place on the dangerous side, mm.")
    tightest: Length | None = Field(default=None, description="Smallest hole read less largest shaft read, mm.")
    loosest: Length | None = Field(default=None, description="Largest hole read less smallest shaft read, mm.")
    ends: tuple[FitEnd, ...] = Field(default=(), description="Its tight and its loose end.")
    hole_at: Cell | None = Field(default=None, description="The cell of the outer feature that decides.")
    shaft_at: Cell | None = Field(default=None, description="The cell of the inner feature that decides.")
    expanded: Length | None = Field(default=None, description="U of the clearance with the shared scale taken out, mm.")
    expanded_unshared: Length | None = Field(
        default=None, description="U had each half a scale of its own, mm; equal to expanded where they share none."
    )
    degrees: Ratio | None = Field(
        default=None,
        description="Effective degrees of freedom of U, where instruments say how many readings theirs rests on.",
    )
    coverage: Ratio | None = Field(
        default=None, description="Coverage factor of U with those degrees, for 95.45 percent; null stands for 2."
    )
    shared_scale: Name | None = Field(default=None, description="The instrument whose scale error cancels.")
    budget: tuple[Component, ...] = ()
    want_low: Length | None = Field(description="Least clearance wanted, mm.")
    want_high: Length | None = Field(description="Most clearance wanted, mm.")
    want_middle: Length | None = Field(description="The middle of the two, mm; the least where no most is set.")
    want_from: tuple[Note, ...] = Field(description="The rule, class or words that the range comes from.")
    want_sources: Names = Field(default=(), description="Keys in the bibliography behind the range.")
    want_basis: Choice | None = Field(default=None, description="On what ground the range stands.")
    fit_class: Name | None = Field(default=None, description="The class of fit that is named, such as H7/g6.")
    class_basic: Length | None = Field(default=None, description="The basic size that the class counts from, mm.")
    class_low: Length | None = Field(default=None, description="What the class gives for its size, least, mm.")
    class_high: Length | None = Field(default=None, description="What the class gives for its size, most, mm.")
    class_sources: Names = Field(default=(), description="Keys in the bibliography behind the class.")
    class_basis: Choice | None = Field(default=None, description="On what ground the class's figures stand.")
    as_read: AsRead | None = Field(
        default=None,
        description="As it was read, where an instrument found off was in it; its known error is taken out of the clearance.",
    )
    direct: DirectReading | None = Field(
        default=None, description="The clearance as it was read directly, where it was."
    )
    wanted_before: tuple[EarlierWant, ...] = ()
    rule_low: Length | None = Field(default=None, description="What the cited rule gives for this size, least, mm.")
    rule_high: Length | None = Field(default=None, description="What the cited rule gives for this size, most, mm.")
    by_limits: tuple[Length, Length] | None = Field(
        default=None, description="Least and most clearance that the two halves' limits would allow, mm."
    )
    dangerous: Annotated[EndName, STATE]
    chance_tight: Chance | None = Field(default=None, description="Chance that it is tighter than wanted, 0 to 1.")
    chance_loose: Chance | None = Field(default=None, description="Chance that it is looser than wanted, 0 to 1.")
    chance_inside: Chance | None = Field(
        default=None, description="Chance that it is truly inside at both ends at once, 0 to 1."
    )
    short_by: Length | None = Field(
        default=None, description="How far it stands outside the wanted range at the worse end, mm; 0 inside."
    )
    target: Stock | None = Field(default=None, description="For the unmade half.")
    target_of: Name | None = Field(default=None, description="The unmade half.")
    at_target: Length | None = Field(
        default=None, description="Clearance cold at the end that hurts once the unmade half is cut to its stop, mm."
    )
    planned: PlannedLimits | None = Field(
        default=None, description="Limits from what is wanted, where the halves have not both been read."
    )
    hot: tuple[HotCase, ...] = ()
    gap_read: Length | None = Field(default=None, description="Of a ring gap: as read, brought to 20 °C, mm.")
    gap_moved_by: Length | None = Field(
        default=None, description="Of a ring gap: bore at the smallest place less bore where it was read, mm."
    )
    moves: tuple[FitMove, ...] = Field(description="How the clearance moved, oldest first.")
    formulas: tuple[Formula, ...] = Field(description="The sums that this rests on, with their sources.")
    causes: tuple[Note, ...] = Field(default=(), description="What decides or spoils this fit.")
    advice: tuple[Note, ...] = ()
    look: Flag = Field(default=False, description="True where somebody should look.")
    source: Source

    def size_for(self, half: str) -> tuple[float, float] | None:
        """Between what sizes its "hole" or its "shaft" would be within the wanted range all over, with the other as read, mm."""
        ends = {end.end: end for end in self.ends}
        tight, loose = ends.get("tight"), ends.get("loose")
        if self.want_low is None or self.want_high is None or tight is None or loose is None:
            return None
        at = (tight.shaft_at, loose.shaft_at) if half == "hole" else (tight.hole_at, loose.hole_at)
        if at[0] is None or at[1] is None:
            return None
        if half == "hole":
            low, high = at[0].size + self.want_low, at[1].size + self.want_high
        else:
            low, high = at[1].size - self.want_high, at[0].size - self.want_low
        return (low, high) if low < high else None


class RuleFinding(Finding):
    """A rule of thumb worked out for this engine."""

    key = ("rule", "case", "fits")

    rule: Name
    case: Name | None
    says: Words
    kind: Choice
    grade: Choice = Field(description="A withdrawn rule is shown and is not to be used.")
    fits: Names = Field(description="Fits of this build that it was worked out for.")
    size: Length | None = Field(description="The size it was worked out for, mm.")
    low: Length | None = Field(description="mm; null where it cannot be worked out.")
    high: Length | None = Field(description="mm.")
    cannot: Note | None = Field(description="Why it cannot be worked out.")
    implied_low: TemperatureDifference | None = Field(
        description="Temperature difference that its per-length part stands for, else its least as a share of the size, K; null where the pair is of unlike materials."
    )
    implied_high: TemperatureDifference | None = Field(description="The same for the upper figure, K.")
    hot_least: Length | None = Field(
        description="Clearance left in the tightest temperature case if the pair had the least that it gives, mm."
    )
    hot_case: Words | None = Field(description="That case and the fit it is of.")
    within: Flag | None = Field(
        description="Whether metals, size, speed, cooling and running lie within what the rule is good for; null where it does not say, or where it cannot be told."
    )
    why_outside: Note | None = Field(description="Why not, or what is not known of this engine.")
    superseded_by: Name | None = Field(default=None, description="The rule that is followed in its place now.")
    cited_by: Names = Field(description="Fits that cite it.")


class RingFinding(Finding):
    """A ring in its own groove, with its own readings."""

    key = ("ring",)

    ring: Name
    groove: Name | None
    side_clearance: Length | None = Field(description="Groove width less this ring's width, mm.")
    side_expanded: Length | None = Field(description="U, mm.")
    back_clearance: Length | None = Field(description="Room behind the ring, per side, mm.")
    back_expanded: Length | None = Field(description="U, mm.")
    missing: tuple[Note, ...] = Field(description="What has no reading, or is not there at all.")
