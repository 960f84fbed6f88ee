"""Findings of work to go: passes of a cut, taper, and how long the rest takes."""

from typing import Annotated, Literal

from pydantic import Field

from gudgeon.assess.findings.base import (
    STATE,
    Chance,
    Count,
    Day,
    Days,
    Divisions,
    Evenings,
    Finding,
    Flag,
    Length,
    Minutes,
    Name,
    Names,
    Note,
    Ratio,
    ReadOnly,
    Source,
    SpindleSpeed,
    SurfaceSpeed,
    Table,
    Temperature,
    Words,
)

PassKind = Literal["skin", "rough", "finish", "spring", "file, emery, hone or lap"]


class Pass(Finding):
    """One pass of the tool."""

    key = ()

    kind: Annotated[PassKind, STATE]
    size_after: Length = Field(description="Expected size after it, mm at 20 °C.")
    on_diameter: Length = Field(description="What comes off, mm on diameter.")
    speed: SpindleSpeed | None = Field(description="Spindle speed from the ladder, rpm.")
    feed: Length | None = Field(description="Per revolution, mm.")
    minutes: Minutes | None = Field(description="Tool in the cut.")


class TakeAt(Finding):
    """What to take at one station to take a taper out by hand."""

    key = ("station",)

    station: Length = Field(description="mm.")
    take: Length = Field(description="On diameter, mm.")
    divisions: Divisions | None = Field(
        default=None, description="The same in divisions of this dial; null where no lathe is known."
    )


class ShownAt(Finding):
    """What the gauge shows at the last stop, part and gauge as warm as this."""

    key = ("part", "gauge")

    part: Temperature = Field(description="Of the part, °C.")
    gauge: Temperature = Field(description="Of the gauge, °C.")
    shows: Length = Field(description="mm as the gauge shows it.")


class CutFinding(Finding):
    """One cut that was made: what was asked of the dial and what came off, on diameter."""

    key = ("feature", "number")

    feature: Name = Field(description="part.feature.")
    number: Count = Field(description="Which cut of the feature, from 1, first to last.")
    label: Name = Field(description="Its id, or its day and what was asked.")
    date: Day
    asked: Length = Field(description="What the dial was set to take, mm; nought for a pass without infeed.")
    got_written: Length | None = Field(description="What came off as its record says, mm.")
    got_read: Length | None = Field(
        description="What came off by the sizes before and after at the places read both times, mm; null where none is."
    )
    expanded: Length | None = Field(description="U of that, mm.")
    before: Names = Field(description="The readings before it.")
    after: Names = Field(description="The readings after it.")
    agree: Flag | None = Field(description="Whether the two figures agree within U; null where one is missing.")
    source: Source

    @property
    def got(self) -> float | None:
        """What came off, mm: as it was read before and after, else as its record says."""
        return self.got_read if self.got_read is not None else self.got_written


class CutPlan(Finding):
    """How to cut one feature in one operation."""

    key = ("operation", "feature")

    operation: Name
    feature: Name
    machine: Name | None
    stock: Length | None = Field(description="To the middle of the target, on diameter, mm.")
    per_side: Length | None = Field(description="Half of it, mm.")
    expanded: Length | None = Field(description="U of it, mm.")
    to_take: Length | None = Field(
        description="What the plan takes, on diameter, mm: to the middle, but short of the scrap limit by the chosen risk."
    )
    scrap_after: Length | None = Field(
        description="Past this much on diameter some place is beyond its last limit, mm."
    )
    left_on: Length = Field(description="What the operation leaves on for later ones, on diameter, mm.")
    for_operation: Length = Field(
        description="What is to come off in this operation, on diameter, mm: the stock without what it leaves on; negative where it is past that."
    )
    held_back: Length | None = Field(
        description="How far the last cut stays short of the scrap limit for the risk, mm."
    )
    risk: Chance = Field(description="Chance of passing the scrap limit that is accepted.")
    risk_by: Words | None = Field(
        description="Who accepts this risk: the operation, the lathe, the build or the club; null where none says, and the usual one is taken."
    )
    risk_worked_out: Flag = Field(
        description="Whether the risk holds for cut and reading; false where too few cuts are logged, and it holds for the reading alone."
    )
    passes: tuple[Pass, ...]
    cut_minutes: Minutes | None = Field(description="All passes, tool in the cut.")
    surface_speed: SurfaceSpeed | None = Field(description="At the chosen spindle speed, m/min.")
    speed_from: Note | None = Field(description="Where the surface speed comes from.")
    law: Note | None = Field(
        description="Got = slope × asked + offset, from cuts of one machine, tool, feed and holding; null where too few are logged."
    )
    law_slope: Ratio | None
    law_offset: Length | None = Field(description="mm on diameter.")
    law_scatter: Length | None = Field(description="Standard deviation of one cut, mm on diameter.")
    law_cuts: Count | None = Field(description="How many cuts it was learnt from.")
    law_middle: Length | None = Field(description="Mean of what was asked in them, mm on diameter.")
    law_reach: Length | None = Field(
        description="Root of the sum of squares about that mean, mm: how far the law is known away from it."
    )
    shown: Note | None = Field(
        description="What the gauge shows at the last stop, at the temperatures last read; null where none were."
    )
    shown_at: tuple[ShownAt, ...] = Field(
        default=(),
        description="What the gauge that read it last shows at the last stop, at some temperatures; empty where none read it.",
    )
    next_cut: Length | None = Field(description="The next pass, mm on diameter.")
    next_ask: Length | None = Field(description="What to ask of the dial for it, mm on diameter.")
    next_divisions: Divisions | None = Field(description="The same in divisions of this dial.")
    taper: tuple[TakeAt, ...] = Field(description="Station by station, where a taper is to be taken out by hand.")
    taper_left: Length | None = Field(description="Greatest departure from straight once it is out, mm on diameter.")
    tailstock: Length | None = Field(description="Tailstock move, mm; positive toward the tool.")
    usual: tuple[Note, ...] = Field(description="Figures of the trade that were taken because nothing else was said.")
    effects: tuple[Note, ...] = Field(
        description="What the last cut leaves, pushes and bends, and how long its tool lasts: told, and judged by nobody."
    )
    missing: tuple[Note, ...] = Field(description="What is still to be written, and where.")
    warnings: tuple[Note, ...]
    source: Source

    @property
    def no_more_than(self) -> float | None:
        """The most that may come off in this operation, mm on diameter: short of scrap by the accepted risk, and of what it leaves on."""
        if self.scrap_after is None:
            return None
        most = self.scrap_after - (self.held_back or 0.0)
        return max(0.0, min(most, self.for_operation) if self.left_on else most)


class KindFactor(Finding):
    """How long one kind of work took over what was estimated for it."""

    key = ("kind",)

    kind: Name
    jobs: Count = Field(description="Finished jobs of it with both an estimate and a time.")
    factor: Ratio = Field(description="Took over the three-point mean, the mean of the jobs.")
    factor_shrunk: Ratio = Field(
        description="The same, drawn toward the factor of all jobs; it corrects the estimates."
    )


class PlannedJob(Finding):
    """When an operation is done by the plan with mean times, in days from the newest record."""

    key = ("operation",)

    operation: Name
    by: Name | None = Field(description="Whose hands do it; null where nobody is named.")
    ready: Days = Field(description="From when on what it needs lets it start, waits counted.")
    start: Days
    end: Days = Field(description="Work done; what rests after it comes on top.")
    free: Days = Field(description="From when on what needs it can start, or the engine is done.")
    spare: Days | None = Field(
        description="By how much it alone can start later before the plan ends later; null where that is not known, as nothing is known of how long it, or what comes after it, takes."
    )


class Forecast(Finding):
    """How long the rest of the build takes."""

    factor: Ratio = Field(description="Took over the three-point mean, the mean of this builder's finished jobs.")
    factor_shrunk: Ratio = Field(description="The same, drawn toward 1 where jobs are few; it corrects the estimates.")
    factor_spread: Ratio = Field(
        description="Standard deviation of its logarithm, as far as so few jobs leave it open."
    )
    kinds: tuple[KindFactor, ...] = Field(
        description="Kinds of work with enough finished jobs to be corrected by their own."
    )
    history: Count = Field(description="Finished jobs with both an estimate and a time.")
    mean_minutes: Minutes = Field(description="Three-point means of all open jobs, as estimated.")
    sd_minutes: Minutes = Field(description="Their standard deviation, jobs counted as independent.")
    corrected_minutes: Minutes = Field(
        description="The mean corrected by this builder's history, less what was worked at jobs that are under way."
    )
    minutes: tuple[Minutes, Minutes] = Field(description="At 50 and 80 percent, corrected.")
    evenings: tuple[Evenings, Evenings] | None = Field(
        description="The same in evenings; null where several pairs of hands share them."
    )
    days: tuple[Days, Days] | None = Field(description="Calendar days with waits, at 50 and 80 percent.")
    days_between: tuple[Days, Days] = Field(description="Calendar days with waits, at 5 and 95 percent.")
    hands: Names = Field(description="Whose hands are counted, where there are several.")
    hands_decide: Flag = Field(
        description="Whether somewhere on the chain a job waits for hands and not for another job."
    )
    chain: Names = Field(
        description="Operations that decide the date: their days, with the waits between them, add up to it."
    )
    least_days: Days = Field(
        description="Days of the longest path through needs and waits, which more hands could not shorten."
    )
    path: Names = Field(description="The operations on it.")
    order: Names = Field(
        description="Operations to go in the order of the plan: of those that can start free hands take the first."
    )
    plan: tuple[PlannedJob, ...] = Field(
        default=(), description="The operations to go by the plan with mean times, first to last."
    )
    to_go: Table[str, Minutes] = Field(description="Operation -> expected minutes still to work, corrected.")
    unestimated: Names = Field(description="Open operations without an estimate: they count for nothing here.")
    overrun: Names = Field(
        description="Operations under way for longer than their most, corrected: nothing is known of the rest."
    )
    usual: tuple[Note, ...] = Field(description="Figures of the trade that were taken because nothing else was said.")
    absent: Table[str, Day] = Field(
        default_factory=ReadOnly, description="Who is away on the newest day -> until and with which day."
    )
    resting: tuple[Note, ...] = Field(
        default=(), description="What is done and still rests, with nothing left after it."
    )
    fell: Note | None = Field(description="Why progress fell, where rework made it fall.")
    tonight: Table[int, Names] = Field(description="Minutes of an evening -> operations that fit it, best first.")
